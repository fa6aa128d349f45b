#include "desk-bundle-acts.h"

#include "desk-bundle-job.h"
#include "desk-choose.h"
#include "desk-day-job.h"
#include "desk-i18n.h"
#include "desk-window.h"

/* How long the folder must be quiet before it is read, milliseconds: several files often come together. */
#define QUIET_MS 400

/* What watches the folder for a window; lives as long as it. */
typedef struct
{
  GtkWidget *window; /* not held */
  GFileMonitor *monitor;
  GHashTable *seen; /* (element-type utf8): what was read in this run of the program */
  guint timeout;
} Watch;

static const char watch_key[] = "td-bundle-watch";

static TdContext *
get_context (gpointer window)
{
  return td_window_get_context (TD_WINDOW (window));
}

static void
answered_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWindow) window = user_data;
  g_autoptr (GError) error = NULL;
  gpointer answer = NULL;
  TdBundleAnswer *told;

  if (!td_queue_run_finish (result, &answer, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_window_tell (window, _ ("The bundle was not written or read."), error);
      return;
    }
  told = answer;
  if (told->failures->len > 0)
    error = g_error_new_literal (G_IO_ERROR, G_IO_ERROR_INVALID_DATA, told->failures->str);
  if (told->text->len > 0 || error != NULL)
    td_window_tell (window, told->text->len > 0 ? told->text->str : _ ("A bundle was not taken in."), error);
  td_bundle_answer_free (told);
}

static void
run (GtkWidget *window, TdBundleJob *job)
{
  td_context_run_async (get_context (window), TD_JOB_WRITE, td_bundle_job_run, job, td_bundle_job_free,
                        td_bundle_answer_free, NULL, answered_cb, g_object_ref (window));
}

void
td_bundle_acts_write (GtkWidget *window, const char *path)
{
  g_return_if_fail (TD_IS_WINDOW (window) && path != NULL);
  run (window, td_bundle_job_new_write (path));
}

void
td_bundle_acts_read (GtkWidget *window, const char *path)
{
  g_return_if_fail (TD_IS_WINDOW (window) && path != NULL);
  run (window, td_bundle_job_new_read (path));
}

static char *
get_first_path (GListModel *files)
{
  g_autoptr (GFile) file = g_list_model_get_item (files, 0);

  return g_file_get_path (file);
}

static void
write_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autofree char *path = get_first_path (files);

  if (path != NULL)
    td_bundle_acts_write (widget, path);
}

static void
write_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_BUNDLES, _ ("Where to Put the Bundle"), "visits.bundle", write_chosen,
                   NULL, NULL);
}

static void
read_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autofree char *path = get_first_path (files);

  if (path != NULL)
    td_bundle_acts_read (widget, path);
}

static void
read_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_choose_files (widget, TD_CHOOSE_OPEN, TD_CHOOSE_BUNDLES, _ ("Which Bundle to Take In"), NULL, read_chosen, NULL,
                   NULL);
}

/* The folder */

static Watch *
get_watch (GtkWidget *window)
{
  return g_object_get_data (G_OBJECT (window), watch_key);
}

/* (transfer full) (nullable): NULL where none is set. */
static char *
get_folder (GtkWidget *window)
{
  g_autofree char *folder = g_settings_get_string (td_context_get_settings (get_context (window)), "bundle-folder");

  return *folder != '\0' ? g_steal_pointer (&folder) : NULL;
}

static void
read_folder (GtkWidget *window, gboolean write)
{
  g_autofree char *folder = get_folder (window);
  Watch *watch = get_watch (window);

  if (folder != NULL && watch != NULL && td_context_get_queue (get_context (window)) != NULL)
    run (window, td_bundle_job_new_folder (folder, write, watch->seen));
}

static gboolean
quiet_cb (gpointer user_data)
{
  Watch *watch = user_data;

  watch->timeout = 0;
  read_folder (watch->window, FALSE);
  return G_SOURCE_REMOVE;
}

static void
changed_cb (GFileMonitor *monitor, GFile *file, GFile *other, GFileMonitorEvent event, gpointer user_data)
{
  Watch *watch = user_data;

  if (watch->timeout != 0)
    g_source_remove (watch->timeout);
  watch->timeout = g_timeout_add (QUIET_MS, quiet_cb, watch);
}

static void
stop (Watch *watch)
{
  if (watch->monitor != NULL)
    g_signal_handlers_disconnect_by_data (watch->monitor, watch);
  g_clear_object (&watch->monitor);
  if (watch->timeout != 0)
    g_source_remove (watch->timeout);
  watch->timeout = 0;
}

/* Begins to watch what is set now, and looks at what lies there already. */
static void
watch_again_cb (gpointer user_data)
{
  GtkWidget *window = user_data;
  Watch *watch = get_watch (window);
  g_autofree char *folder = get_folder (window);
  g_autoptr (GFile) file = folder != NULL ? g_file_new_for_path (folder) : NULL;
  g_autoptr (GError) error = NULL;

  stop (watch);
  /* Another book has not read what the last one did. */
  g_hash_table_unref (watch->seen);
  watch->seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  td_bundle_acts_update (window, get_context (window));
  if (file == NULL || td_context_get_queue (get_context (window)) == NULL)
    return;
  watch->monitor = g_file_monitor_directory (file, G_FILE_MONITOR_WATCH_MOVES, NULL, &error);
  if (watch->monitor == NULL)
    {
      td_window_tell (TD_WINDOW (window), _ ("The folder that carries bundles cannot be watched."), error);
      return;
    }
  g_signal_connect (watch->monitor, "changed", G_CALLBACK (changed_cb), watch);
  read_folder (window, FALSE);
}

static void
free_watch (gpointer data)
{
  Watch *watch = data;

  stop (watch);
  g_hash_table_unref (watch->seen);
  g_free (watch);
}

void
td_bundle_acts_watch (GtkWidget *window)
{
  Watch *watch = g_new0 (Watch, 1);

  g_return_if_fail (TD_IS_WINDOW (window));
  watch->window = window;
  watch->seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_object_set_data_full (G_OBJECT (window), watch_key, watch, free_watch);
  g_signal_connect_object (td_context_get_settings (get_context (window)), "changed::bundle-folder",
                           G_CALLBACK (watch_again_cb), window, G_CONNECT_SWAPPED);
  g_signal_connect_object (get_context (window), "notify::queue", G_CALLBACK (watch_again_cb), window, G_CONNECT_SWAPPED);
  watch_again_cb (window);
}

static void
folder_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autofree char *path = get_first_path (files);

  if (path != NULL)
    g_settings_set_string (td_context_get_settings (get_context (widget)), "bundle-folder", path);
}

static void
choose_folder_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_choose_files (widget, TD_CHOOSE_FOLDER, TD_CHOOSE_BUNDLES, _ ("Which Folder Carries Bundles"), NULL, folder_chosen, NULL,
                   NULL);
}

static void
exchange_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  read_folder (widget, TRUE);
}

/* Day sheets */

static void
sheets_written_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWindow) window = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    td_window_tell (window, _ ("The day sheets are written."), NULL);
  else
    td_window_tell (window, _ ("The day sheets were not written."), error);
}

void
td_bundle_acts_day_sheets (GtkWidget *window, const char *path)
{
  TdContext *context;
  gboolean a4;

  g_return_if_fail (TD_IS_WINDOW (window) && path != NULL);
  context = get_context (window);
  a4 = g_settings_get_enum (td_context_get_settings (context), "paper") == 0;
  td_context_run_async (context, TD_JOB_READ, td_day_job_run,
                        td_day_job_new (path, td_context_get_now_ms (context), a4 ? TD_PAPER_A4 : TD_PAPER_LETTER),
                        td_day_job_free, NULL, NULL, sheets_written_cb, g_object_ref (window));
}

static void
day_sheets_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autofree char *path = get_first_path (files);

  if (path != NULL)
    td_bundle_acts_day_sheets (widget, path);
}

static void
day_sheets_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_PDF, _ ("Where to Put the Day Sheets"), "day-sheets.pdf",
                   day_sheets_chosen, NULL, NULL);
}

void
td_bundle_acts_install (GtkWidgetClass *klass)
{
  gtk_widget_class_install_action (klass, "win.write-bundle", NULL, write_action);
  gtk_widget_class_install_action (klass, "win.read-bundle", NULL, read_action);
  gtk_widget_class_install_action (klass, "win.exchange", NULL, exchange_action);
  gtk_widget_class_install_action (klass, "win.choose-bundle-folder", NULL, choose_folder_action);
  gtk_widget_class_install_action (klass, "win.day-sheets", NULL, day_sheets_action);
}

void
td_bundle_acts_update (GtkWidget *window, TdContext *context)
{
  gboolean open = td_context_get_queue (context) != NULL;
  g_autofree char *folder = g_settings_get_string (td_context_get_settings (context), "bundle-folder");

  gtk_widget_action_set_enabled (window, "win.write-bundle", open);
  gtk_widget_action_set_enabled (window, "win.read-bundle", open);
  gtk_widget_action_set_enabled (window, "win.exchange", open && *folder != '\0');
  gtk_widget_action_set_enabled (window, "win.day-sheets", open);
}
