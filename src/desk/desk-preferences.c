#include "desk-preferences.h"

struct _TdPreferences
{
  GtkWindow parent;
};

G_DEFINE_FINAL_TYPE (TdPreferences, td_preferences, GTK_TYPE_WINDOW)

static void
td_preferences_class_init (TdPreferencesClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/preferences.ui");
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
td_preferences_init (TdPreferences *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

/* Each choice is an action of the settings themselves: nothing to be kept in step by hand. */
GtkWidget *
td_preferences_new (GSettings *settings)
{
  TdPreferences *self = g_object_new (TD_TYPE_PREFERENCES, NULL);
  g_autoptr (GSimpleActionGroup) group = g_simple_action_group_new ();
  static const char *const keys[] = { "units", "paper", "appearance" };

  g_return_val_if_fail (G_IS_SETTINGS (settings), GTK_WIDGET (self));
  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      g_autoptr (GAction) action = g_settings_create_action (settings, keys[i]);

      g_action_map_add_action (G_ACTION_MAP (group), action);
    }
  gtk_widget_insert_action_group (GTK_WIDGET (self), "preferences", G_ACTION_GROUP (group));
  return GTK_WIDGET (self);
}
