#include "desk-look.h"

#include <string.h>

/* As the schema numbers them. */
enum
{
  APPEARANCE_SYSTEM,
  APPEARANCE_LIGHT,
  APPEARANCE_DARK
};

struct _TdLook
{
  GdkDisplay *display;
  GtkSettings *gtk;
  GSettings *settings;
  GtkCssProvider *rules;
  GtkCssProvider *colours;
  gboolean system_dark; /* what the desktop wants, as it was when we came */
};

static gboolean
is_dark (GtkSettings *gtk)
{
  g_autofree char *theme = NULL;
  gboolean prefers_dark = FALSE;

  g_object_get (gtk, "gtk-theme-name", &theme, "gtk-application-prefer-dark-theme", &prefers_dark, NULL);
  return prefers_dark || (theme != NULL && strstr (theme, "-dark") != NULL);
}

static void
load_colours (TdLook *look)
{
  gtk_css_provider_load_from_resource (look->colours,
                                       is_dark (look->gtk) ? "/tundish/dark.css" : "/tundish/light.css");
}

static void
appearance_changed_cb (GSettings *settings, const char *key, gpointer user_data)
{
  TdLook *look = user_data;
  int appearance = g_settings_get_enum (settings, "appearance");
  gboolean now = FALSE;
  gboolean dark = appearance == APPEARANCE_SYSTEM ? look->system_dark : appearance == APPEARANCE_DARK;

  g_object_get (look->gtk, "gtk-application-prefer-dark-theme", &now, NULL);
  /* Setting it reads the whole theme again, even where it is the same. */
  if (now != dark)
    g_object_set (look->gtk, "gtk-application-prefer-dark-theme", dark, NULL);
}

TdLook *
td_look_new (GdkDisplay *display, GSettings *settings)
{
  TdLook *look = g_new0 (TdLook, 1);

  g_return_val_if_fail (GDK_IS_DISPLAY (display) && G_IS_SETTINGS (settings), look);
  look->display = display;
  look->settings = g_object_ref (settings);
  look->gtk = gtk_settings_get_for_display (display);
  g_object_get (look->gtk, "gtk-application-prefer-dark-theme", &look->system_dark, NULL);
  look->rules = gtk_css_provider_new ();
  look->colours = gtk_css_provider_new ();
  gtk_css_provider_load_from_resource (look->rules, "/tundish/desk.css");
  gtk_style_context_add_provider_for_display (display, GTK_STYLE_PROVIDER (look->colours),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
  gtk_style_context_add_provider_for_display (display, GTK_STYLE_PROVIDER (look->rules),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
  g_signal_connect_swapped (look->gtk, "notify::gtk-application-prefer-dark-theme", G_CALLBACK (load_colours), look);
  g_signal_connect_swapped (look->gtk, "notify::gtk-theme-name", G_CALLBACK (load_colours), look);
  g_signal_connect (look->settings, "changed::appearance", G_CALLBACK (appearance_changed_cb), look);
  appearance_changed_cb (settings, "appearance", look);
  load_colours (look);
  return look;
}

void
td_look_free (TdLook *look)
{
  g_signal_handlers_disconnect_by_data (look->gtk, look);
  g_signal_handlers_disconnect_by_data (look->settings, look);
  g_object_set (look->gtk, "gtk-application-prefer-dark-theme", look->system_dark, NULL);
  gtk_style_context_remove_provider_for_display (look->display, GTK_STYLE_PROVIDER (look->rules));
  gtk_style_context_remove_provider_for_display (look->display, GTK_STYLE_PROVIDER (look->colours));
  g_object_unref (look->rules);
  g_object_unref (look->colours);
  g_object_unref (look->settings);
  g_free (look);
}

gboolean
td_look_is_dark (GtkWidget *widget)
{
  return is_dark (gtk_widget_get_settings (widget));
}
