#include "desk-book-acts.h"

#include "demo-book.h"
#include "desk-bundle-acts.h"
#include "desk-choose.h"
#include "desk-export.h"
#include "desk-i18n.h"
#include "desk-import-job.h"
#include "desk-window.h"
#include "store-backup.h"

#include <glib/gstdio.h>

static char *
get_first_path (GListModel *files)
{
  g_autoptr (GFile) file = g_list_model_get_item (files, 0);

  return g_file_get_path (file);
}

static void
make_folder_of (const char *path)
{
  g_autofree char *folder = g_path_get_dirname (path);

  /* Where it cannot be made, the book says so when it is created. */
  g_mkdir_with_parents (folder, 0700);
}

/* Opening and making */

static void
open_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autofree char *path = get_first_path (files);

  if (path != NULL)
    td_window_open_book (TD_WINDOW (widget), path, TD_OPEN_EXISTING);
}

static void
open_book_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_choose_files (widget, TD_CHOOSE_OPEN, TD_CHOOSE_BOOKS, _ ("Open a Service Book"), NULL, open_chosen, NULL,
                   NULL);
}

static void
open_recent_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_window_open_book (TD_WINDOW (widget), g_variant_get_string (parameter, NULL), TD_OPEN_EXISTING);
}

static void
make_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autofree char *path = get_first_path (files);

  if (path != NULL)
    td_window_open_book (TD_WINDOW (widget), path, TD_OPEN_NEW);
}

static void
new_book_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autofree char *path = td_context_make_standard_path ();

  if (!g_file_test (path, G_FILE_TEST_EXISTS))
    {
      make_folder_of (path);
      td_window_open_book (TD_WINDOW (widget), path, TD_OPEN_NEW);
      return;
    }
  td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_BOOKS, _ ("Where to Keep the New Book"), "book.tundish",
                   make_chosen, NULL, NULL);
}

static void
close_book_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_context_close (td_window_get_context (TD_WINDOW (widget)));
}

/* The demonstration */

/* What a demonstration is made of: where, and when it is. */
typedef struct
{
  char *path;
  gint64 now_ms;
} Demo;

static void
free_demo (gpointer data)
{
  Demo *demo = data;

  g_free (demo->path);
  g_free (demo);
}

static void
run_demo (GTask *task, gpointer source, gpointer task_data, GCancellable *cancellable)
{
  Demo *demo = task_data;
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_demo_book_create (demo->path, demo->now_ms, 0, &error);

  if (book != NULL)
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, g_steal_pointer (&error));
}

static void
demo_made_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdWindow *window = TD_WINDOW (source);
  Demo *demo = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;

  if (g_task_propagate_boolean (G_TASK (result), &error))
    td_window_open_book (window, demo->path, TD_OPEN_EXISTING);
  else
    td_window_tell (window, _ ("The demonstration could not be made."), error);
}

static void
open_demo_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWindow *window = TD_WINDOW (widget);
  g_autofree char *path = g_build_filename (g_get_user_data_dir (), "tundish", "demo.tundish", NULL);
  g_autoptr (GTask) task = NULL;
  Demo *demo;

  if (g_file_test (path, G_FILE_TEST_EXISTS))
    {
      td_window_open_book (window, path, TD_OPEN_EXISTING);
      return;
    }
  make_folder_of (path);
  demo = g_new0 (Demo, 1);
  demo->path = g_steal_pointer (&path);
  demo->now_ms = td_context_get_now_ms (td_window_get_context (window));
  task = g_task_new (window, NULL, demo_made_cb, NULL);
  g_task_set_task_data (task, demo, free_demo);
  g_task_run_in_thread (task, run_demo);
}

/* Import */

static char *
describe_sum (const TdImportSum *sum)
{
  g_autoptr (GString) text = g_string_new (NULL);
  guint sites = sum->sites[TD_IMPORT_ADDED] + sum->sites[TD_IMPORT_CHANGED] + sum->sites[TD_IMPORT_SAME];
  guint rows = sum->rows.added + sum->rows.changed + sum->rows.same;

  if (sites > 0)
    g_string_append_printf (text, _ ("Sites: %u new, %u changed, %u as before."), sum->sites[TD_IMPORT_ADDED],
                            sum->sites[TD_IMPORT_CHANGED], sum->sites[TD_IMPORT_SAME]);
  if (sites > 0 && rows > 0)
    g_string_append_c (text, ' ');
  if (rows > 0)
    g_string_append_printf (text, _ ("Other rows: %u new, %u changed, %u as before."), sum->rows.added,
                            sum->rows.changed, sum->rows.same);
  if (text->len == 0)
    g_string_append (text, _ ("Nothing was taken in."));
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static void
imported_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWindow) window = user_data;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  gpointer answer = NULL;
  TdImportSum *sum;

  if (!td_queue_run_finish (result, &answer, &error))
    {
      td_window_tell (window, _ ("Nothing was taken in."), error);
      return;
    }
  sum = answer;
  text = describe_sum (sum);
  if (sum->failed > 0)
    error = g_error_new (G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "%s", sum->failures->str);
  td_window_tell (window, text, error);
  td_import_sum_free (sum);
}

void
td_book_acts_import (GtkWidget *widget, GListModel *files)
{
  TdImportJob *job = td_import_job_new ();

  g_return_if_fail (TD_IS_WINDOW (widget) && G_IS_LIST_MODEL (files));
  for (guint i = 0; i < g_list_model_get_n_items (files); i++)
    {
      g_autoptr (GFile) file = g_list_model_get_item (files, i);

      td_import_job_add_file (job, file);
    }
  td_context_run_async (td_window_get_context (TD_WINDOW (widget)), TD_JOB_WRITE, td_import_job_run, job,
                        td_import_job_free, td_import_sum_free, NULL, imported_cb, g_object_ref (widget));
}

static void
import_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  td_window_preview (TD_WINDOW (widget), files);
}

/* Files that have been looked at, by their URIs. */
static void
take_in_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autoptr (GListStore) files = g_list_store_new (G_TYPE_FILE);
  GVariantIter uris;
  const char *uri;

  g_variant_iter_init (&uris, parameter);
  while (g_variant_iter_next (&uris, "&s", &uri))
    {
      g_autoptr (GFile) file = g_file_new_for_uri (uri);

      g_list_store_append (files, file);
    }
  gtk_widget_activate_action (widget, "win.show-round", NULL);
  td_book_acts_import (widget, G_LIST_MODEL (files));
}

static void
import_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_choose_files (widget, TD_CHOOSE_OPEN_MANY, TD_CHOOSE_SHEETS, _ ("Import"), NULL, import_chosen, NULL, NULL);
}

/* Backup */

static gboolean
back_up_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  return td_book_backup (td_book_get_path (book), data, error);
}

static void
backed_up_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWindow) window = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    td_window_tell (window, _ ("The copy is made and verified."), NULL);
  else
    td_window_tell (window, _ ("The book was not copied."), error);
}

void
td_book_acts_back_up (GtkWidget *widget, const char *copy_path)
{
  g_return_if_fail (TD_IS_WINDOW (widget) && copy_path != NULL);
  /* A reading job by what it does to the book; but once asked for it must not be dropped. */
  td_context_run_async (td_window_get_context (TD_WINDOW (widget)), TD_JOB_READ, back_up_job,
                        g_strdup (copy_path), g_free, NULL, NULL, backed_up_cb, g_object_ref (widget));
}

static void
back_up_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autofree char *path = get_first_path (files);

  if (path != NULL)
    td_book_acts_back_up (widget, path);
}

static void
back_up_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_BOOKS, _ ("Where to Put the Copy"), "backup.tundish",
                   back_up_chosen, NULL, NULL);
}

/* Restore */

typedef struct
{
  char *copy_path;
  char *book_path;
  char *kept;
} Restore;

static void
free_restore (gpointer data)
{
  Restore *restore = data;

  g_free (restore->copy_path);
  g_free (restore->book_path);
  g_free (restore->kept);
  g_free (restore);
}

static void
run_restore (GTask *task, gpointer source, gpointer task_data, GCancellable *cancellable)
{
  Restore *restore = task_data;
  g_autoptr (TdClock) clock = td_clock_new ();
  g_autoptr (GError) error = NULL;

  if (td_book_restore (restore->copy_path, restore->book_path, TRUE, clock, &restore->kept, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, g_steal_pointer (&error));
}

static void
restored_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdWindow *window = TD_WINDOW (source);
  Restore *restore = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;

  if (!g_task_propagate_boolean (G_TASK (result), &error))
    {
      td_window_tell (window, _ ("The copy was not put back."), error);
      return;
    }
  td_window_open_book (window, restore->book_path, TD_OPEN_EXISTING);
  if (restore->kept != NULL)
    {
      text = g_strdup_printf (_ ("The copy is put back. What stood there before is kept as %s."), restore->kept);
      td_window_tell (window, text, NULL);
    }
}

void
td_book_acts_restore (GtkWidget *widget, const char *copy_path, const char *book_path)
{
  g_autoptr (GTask) task = g_task_new (widget, NULL, restored_cb, NULL);
  Restore *restore = g_new0 (Restore, 1);
  TdContext *context;

  g_return_if_fail (TD_IS_WINDOW (widget) && copy_path != NULL && book_path != NULL);
  restore->copy_path = g_strdup (copy_path);
  restore->book_path = g_canonicalize_filename (book_path, NULL);
  g_task_set_task_data (task, restore, free_restore);
  context = td_window_get_context (TD_WINDOW (widget));
  if (td_context_get_queue (context) != NULL
      && g_str_equal (td_queue_get_path (td_context_get_queue (context)), restore->book_path))
    td_context_close (context);
  g_task_run_in_thread (task, run_restore);
}

static void
restore_place_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autofree char *path = get_first_path (files);

  if (path != NULL)
    td_book_acts_restore (widget, user_data, path);
}

static void
restore_copy_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  char *path = get_first_path (files);

  if (path != NULL)
    td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_BOOKS, _ ("Where to Put the Copy Back"), "book.tundish",
                     restore_place_chosen, path, g_free);
}

static void
restore_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_choose_files (widget, TD_CHOOSE_OPEN, TD_CHOOSE_BOOKS, _ ("Which Copy to Put Back"), NULL,
                   restore_copy_chosen, NULL, NULL);
}

void
td_book_acts_install (GtkWidgetClass *klass)
{
  gtk_widget_class_install_action (klass, "win.open-book", NULL, open_book_action);
  gtk_widget_class_install_action (klass, "win.open-recent", "s", open_recent_action);
  gtk_widget_class_install_action (klass, "win.new-book", NULL, new_book_action);
  gtk_widget_class_install_action (klass, "win.open-demo", NULL, open_demo_action);
  gtk_widget_class_install_action (klass, "win.close-book", NULL, close_book_action);
  gtk_widget_class_install_action (klass, "win.import", NULL, import_action);
  gtk_widget_class_install_action (klass, "win.take-in", "as", take_in_action);
  gtk_widget_class_install_action (klass, "win.back-up", NULL, back_up_action);
  gtk_widget_class_install_action (klass, "win.restore", NULL, restore_action);
  td_bundle_acts_install (klass);
  td_export_acts_install (klass);
}

void
td_book_acts_update (GtkWidget *window, TdContext *context)
{
  gboolean open = td_context_get_queue (context) != NULL;

  gtk_widget_action_set_enabled (window, "win.close-book", open);
  gtk_widget_action_set_enabled (window, "win.import", open);
  gtk_widget_action_set_enabled (window, "win.back-up", open);
  td_bundle_acts_update (window, context);
  td_export_acts_update (window, context);
  gtk_widget_action_set_enabled (window, "win.show-round", open);
  gtk_widget_action_set_enabled (window, "win.show-records", open);
}
