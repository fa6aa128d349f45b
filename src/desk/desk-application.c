#include "desk-application.h"

#include "desk-i18n.h"
#include "desk-format.h"
#include "desk-look.h"
#include "desk-preferences.h"

struct _TdApplication
{
  GtkApplication parent;
  GSettings *settings;
  TdContext *context;
  TdLook *look;
  char *state_path;
  gint64 pinned_ms;
};

G_DEFINE_FINAL_TYPE (TdApplication, td_application, GTK_TYPE_APPLICATION)

static const struct
{
  const char *action;
  const char *accels[3];
} accels[] = {
  { "win.back", { "Escape", "<Alt>Left", NULL } },
  { "win.search", { "<Control>f", NULL } },
  { "win.show-round", { "<Control>r", NULL } },
  { "win.show-invoices", { "<Control>b", NULL } },
  { "win.show-chemicals", { "<Control>k", NULL } },
  { "win.open-book", { "<Control>o", NULL } },
  { "win.new-book", { "<Control>n", NULL } },
  { "win.import", { "<Control>i", NULL } },
  { "win.show-shortcuts", { "<Control>question", "F1", NULL } },
  { "app.preferences", { "<Control>comma", NULL } },
  { "app.quit", { "<Control>q", NULL } },
  { "window.close", { "<Control>w", NULL } },
};

static void
units_changed_cb (GSettings *settings, const char *key, gpointer user_data)
{
  td_format_set_units (g_settings_get_enum (settings, "units") == 0 ? TD_UNITS_US : TD_UNITS_METRIC);
}

static void
show_visit_action (GSimpleAction *action, GVariant *parameter, gpointer user_data)
{
  TdWindow *window = td_application_get_window (user_data);

  gtk_widget_activate_action_variant (GTK_WIDGET (window), "win.show-visit", parameter);
  gtk_window_present (GTK_WINDOW (window));
}

/* The clock of a circuit or of a static line is up: said aloud, wherever the person is looking. */
static void
contact_reached_cb (TdContext *context, TdSession *session, guint circuit, int outlet, gpointer user_data)
{
  const TdVisit *visit = td_session_get_visit (session);
  g_autoptr (GNotification) notification = NULL;
  g_autofree char *title = NULL;
  g_autofree char *line = NULL;
  g_autofree char *visit_id = td_uuid_to_text (&visit->id);
  g_autofree char *key = g_strdup_printf ("contact-%u-%d", circuit, outlet);

  if (circuit != 0)
    title = g_strdup_printf (_ ("Circuit %u: contact time is up"), circuit);
  else
    {
      line = td_outlet_get_title (visit->site, (guint) outlet);
      title = g_strdup_printf (_ ("%s: contact time is up"), line);
    }
  notification = g_notification_new (title);
  g_notification_set_body (notification, visit->site->name);
  g_notification_set_priority (notification, G_NOTIFICATION_PRIORITY_HIGH);
  g_notification_set_default_action_and_target (notification, "app.show-visit", "s", visit_id);
  /* Without a session bus there is nobody to tell but the person before the screen. */
  if (g_application_get_dbus_connection (user_data) != NULL)
    g_application_send_notification (user_data, key, notification);
  gdk_display_beep (gdk_display_get_default ());
}

static void
preferences_action (GSimpleAction *action, GVariant *parameter, gpointer user_data)
{
  TdApplication *self = TD_APPLICATION (user_data);
  GtkWidget *preferences = td_preferences_new (self->settings);

  gtk_window_set_transient_for (GTK_WINDOW (preferences), GTK_WINDOW (td_application_get_window (self)));
  gtk_window_present (GTK_WINDOW (preferences));
}

static void
about_action (GSimpleAction *action, GVariant *parameter, gpointer user_data)
{
  gtk_show_about_dialog (
    GTK_WINDOW (td_application_get_window (user_data)), "program-name", _ ("Tundish"), "version",
    TD_PROGRAM_VERSION, "logo-icon-name", TD_APPLICATION_ID, "license-type", GTK_LICENSE_GPL_3_0, "comments",
    _ ("Plans, leads and records the cleaning of draught-beer lines.\n\n"
       "The chemical's label and safety data sheet, local codes and licensed practice come first."),
    NULL);
}

static void
quit_action (GSimpleAction *action, GVariant *parameter, gpointer user_data)
{
  GtkWindow *window = gtk_application_get_active_window (user_data);

  if (window != NULL)
    gtk_window_close (window);
  else
    g_application_quit (user_data);
}

static void
td_application_startup (GApplication *application)
{
  static const GActionEntry actions[] = { { .name = "preferences", .activate = preferences_action },
                                          { .name = "about", .activate = about_action },
                                          { .name = "show-visit",
                                            .activate = show_visit_action,
                                            .parameter_type = "s" },
                                          { .name = "quit", .activate = quit_action } };
  TdApplication *self = TD_APPLICATION (application);

  G_APPLICATION_CLASS (td_application_parent_class)->startup (application);
  gtk_window_set_default_icon_name (TD_APPLICATION_ID);
  self->settings = g_settings_new (TD_APPLICATION_ID);
  g_signal_connect_object (self->settings, "changed::units", G_CALLBACK (units_changed_cb), self, 0);
  units_changed_cb (self->settings, "units", self);
  self->look = td_look_new (gdk_display_get_default (), self->settings);
  self->context = td_context_new (td_state_new (self->state_path), self->settings, self->pinned_ms);
  g_signal_connect_object (self->context, "contact-reached", G_CALLBACK (contact_reached_cb), self, 0);
  g_action_map_add_action_entries (G_ACTION_MAP (self), actions, G_N_ELEMENTS (actions), self);
  for (gsize i = 0; i < G_N_ELEMENTS (accels); i++)
    gtk_application_set_accels_for_action (GTK_APPLICATION (self), accels[i].action, accels[i].accels);
}

static void
td_application_shutdown (GApplication *application)
{
  TdApplication *self = TD_APPLICATION (application);

  if (self->context != NULL)
    td_context_close (self->context);
  g_clear_object (&self->context);
  g_clear_pointer (&self->look, td_look_free);
  g_clear_object (&self->settings);
  G_APPLICATION_CLASS (td_application_parent_class)->shutdown (application);
}

TdWindow *
td_application_get_window (TdApplication *self)
{
  g_return_val_if_fail (TD_IS_APPLICATION (self) && self->context != NULL, NULL);
  for (GList *l = gtk_application_get_windows (GTK_APPLICATION (self)); l != NULL; l = l->next)
    if (TD_IS_WINDOW (l->data))
      return l->data;
  return TD_WINDOW (td_window_new (GTK_APPLICATION (self), self->context));
}

/* The book to begin with where none is named: the last used that is still there, else the standard one. */
static char *
find_book (TdApplication *self)
{
  g_auto (GStrv) recent = td_state_get_recent (td_context_get_state (self->context));
  g_autofree char *standard = td_context_make_standard_path ();

  for (guint i = 0; recent[i] != NULL; i++)
    if (g_file_test (recent[i], G_FILE_TEST_EXISTS))
      return g_strdup (recent[i]);
  return g_file_test (standard, G_FILE_TEST_EXISTS) ? g_steal_pointer (&standard) : NULL;
}

static void
show_book (TdApplication *self, const char *path)
{
  TdWindow *window = td_application_get_window (self);
  TdQueue *queue = td_context_get_queue (self->context);

  if (path != NULL && (queue == NULL || !g_str_equal (td_queue_get_path (queue), path)))
    td_window_open_book (window, path, TD_OPEN_EXISTING);
  else
    td_window_show_start (window);
  gtk_window_present (GTK_WINDOW (window));
}

static void
td_application_activate (GApplication *application)
{
  TdApplication *self = TD_APPLICATION (application);
  g_autofree char *path = NULL;

  if (td_context_get_queue (self->context) == NULL)
    path = find_book (self);
  show_book (self, path);
}

static void
td_application_open (GApplication *application, GFile **files, int n_files, const char *hint)
{
  g_autofree char *path = n_files > 0 ? g_file_get_path (files[0]) : NULL;

  show_book (TD_APPLICATION (application), path);
}

static int
td_application_command_line (GApplication *application, GApplicationCommandLine *line)
{
  TdApplication *self = TD_APPLICATION (application);
  GVariantDict *options = g_application_command_line_get_options_dict (line);
  g_autoptr (GVariant) rest = NULL;
  g_autoptr (GFile) file = NULL;
  g_autofree char *path = NULL;
  const char *name = NULL;

  if (!g_variant_dict_lookup (options, "book", "^&ay", &name))
    {
      rest = g_variant_dict_lookup_value (options, G_OPTION_REMAINING, G_VARIANT_TYPE_BYTESTRING_ARRAY);
      if (rest != NULL && g_variant_n_children (rest) > 0)
        g_variant_get_child (rest, 0, "^&ay", &name);
    }
  if (name == NULL)
    {
      g_application_activate (application);
      return 0;
    }
  file = g_application_command_line_create_file_for_arg (line, name);
  path = g_file_get_path (file);
  show_book (self, path);
  return 0;
}

static int
td_application_handle_local_options (GApplication *application, GVariantDict *options)
{
  if (g_variant_dict_contains (options, "version"))
    {
      g_print ("tundish %s\n", TD_PROGRAM_VERSION);
      return 0;
    }
  return -1;
}

static void
td_application_finalize (GObject *object)
{
  g_free (TD_APPLICATION (object)->state_path);
  G_OBJECT_CLASS (td_application_parent_class)->finalize (object);
}

static void
td_application_class_init (TdApplicationClass *klass)
{
  GApplicationClass *application_class = G_APPLICATION_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = td_application_finalize;
  application_class->startup = td_application_startup;
  application_class->shutdown = td_application_shutdown;
  application_class->activate = td_application_activate;
  application_class->open = td_application_open;
  application_class->command_line = td_application_command_line;
  application_class->handle_local_options = td_application_handle_local_options;
}

static void
td_application_init (TdApplication *self)
{
  const GOptionEntry entries[] = {
    { "book", 'b', 0, G_OPTION_ARG_FILENAME, NULL, N_ ("Open this service book"), N_ ("FILE") },
    { "version", 0, 0, G_OPTION_ARG_NONE, NULL, N_ ("Print the version and end"), NULL },
    { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, NULL, NULL, N_ ("[FILE]") },
    { NULL }
  };

  g_application_add_main_option_entries (G_APPLICATION (self), entries);
}

TdApplication *
td_application_new (GApplicationFlags flags)
{
  return g_object_new (TD_TYPE_APPLICATION, "application-id", TD_APPLICATION_ID, "resource-base-path", "/tundish",
                       "flags", flags | G_APPLICATION_HANDLES_COMMAND_LINE | G_APPLICATION_HANDLES_OPEN, NULL);
}

void
td_application_set_test (TdApplication *self, const char *state_path, gint64 pinned_ms)
{
  g_return_if_fail (TD_IS_APPLICATION (self) && self->context == NULL);
  g_free (self->state_path);
  self->state_path = g_strdup (state_path);
  self->pinned_ms = pinned_ms;
}
