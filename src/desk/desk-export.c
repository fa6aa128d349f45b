#include "desk-export.h"

#include "desk-i18n.h"
#include "desk-window.h"

#define DAY_MS G_GINT64_CONSTANT (86400000)
/* Keys of what the question asks besides the place. */
#define CHOICE_DAYS "days"
#define CHOICE_SPREADSHEET "spreadsheet"

static void
written_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWindow) window = user_data;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  gpointer answer = NULL;

  if (td_queue_run_finish (result, &answer, &error))
    text = answer;
  td_window_tell (window, text != NULL ? text : _ ("Nothing was written."), error);
}

void
td_export_acts_run (GtkWidget *widget, TdExportJob *job)
{
  g_return_if_fail (TD_IS_WINDOW (widget) && job != NULL);
  td_context_run_async (td_window_get_context (TD_WINDOW (widget)), TD_JOB_READ, td_export_job_run, job,
                        td_export_job_free, g_free, NULL, written_cb, g_object_ref (widget));
}

/* A question that is asked, and the job that its answer completes. */
typedef struct
{
  GtkWidget *window;
  GtkFileChooserNative *chooser;
  TdExportJob *job; /* without its path */
} Question;

static void
free_question (Question *question)
{
  g_clear_pointer (&question->job, td_export_job_free);
  g_object_unref (question->chooser);
  g_object_unref (question->window);
  g_free (question);
}

static void
take_choices (Question *question)
{
  GtkFileChooser *chooser = GTK_FILE_CHOOSER (question->chooser);
  const char *safe = gtk_file_chooser_get_choice (chooser, CHOICE_SPREADSHEET);
  const char *days = gtk_file_chooser_get_choice (chooser, CHOICE_DAYS);
  TdContext *context = td_window_get_context (TD_WINDOW (question->window));

  question->job->kind = g_strcmp0 (safe, "true") == 0 ? TD_CSV_SPREADSHEET : TD_CSV_PLAIN;
  if (days != NULL)
    td_export_find_days (days, (TdDate) (td_context_get_now_ms (context) / DAY_MS), &question->job->from,
                         &question->job->to);
}

static void
response_cb (GtkNativeDialog *dialog, int response, gpointer user_data)
{
  Question *question = user_data;
  g_autoptr (GFile) file = NULL;

  gtk_native_dialog_hide (dialog);
  file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  if (response == GTK_RESPONSE_ACCEPT && file != NULL && g_file_peek_path (file) != NULL)
    {
      g_free (question->job->path);
      question->job->path = g_file_get_path (file);
      if (question->job->what == TD_EXPORT_JOB_TABLE)
        take_choices (question);
      td_export_acts_run (question->window, g_steal_pointer (&question->job));
    }
  free_question (question);
}

static void
add_choices (GtkFileChooser *chooser, TdExport table)
{
  const char *ids[] = { "all", "this-month", "last-month", "this-year", "last-year", NULL };
  const char *labels[] = { _ ("All days"),  _ ("This month"), _ ("Last month"),
                           _ ("This year"), _ ("Last year"),  NULL };

  gtk_file_chooser_add_choice (chooser, CHOICE_SPREADSHEET, _ ("To be opened in a spreadsheet"), NULL, NULL);
  gtk_file_chooser_set_choice (chooser, CHOICE_SPREADSHEET, "true");
  if (!td_export_has_days (table))
    return;
  gtk_file_chooser_add_choice (chooser, CHOICE_DAYS, _ ("Days"), ids, labels);
  gtk_file_chooser_set_choice (chooser, CHOICE_DAYS, "all");
}

static void
add_filter (GtkFileChooser *chooser, TdExportWhat what)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, what == TD_EXPORT_JOB_TABLE ? _ ("Tables (CSV)") : _ ("Electronic invoices (XML)"));
  gtk_file_filter_add_pattern (filter, what == TD_EXPORT_JOB_TABLE ? "*.csv" : "*.xml");
  gtk_file_chooser_add_filter (chooser, filter);
}

/* @job: (transfer full). @name: (nullable): proposed; a folder is asked for where there is none. */
static void
ask (GtkWidget *window, TdExportJob *job, const char *title, const char *name)
{
  Question *question = g_new0 (Question, 1);
  GtkFileChooser *chooser;

  question->window = g_object_ref (window);
  question->job = job;
  question->chooser = gtk_file_chooser_native_new (title, GTK_WINDOW (window),
                                                   name != NULL ? GTK_FILE_CHOOSER_ACTION_SAVE
                                                                : GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER,
                                                   NULL, NULL);
  chooser = GTK_FILE_CHOOSER (question->chooser);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (question->chooser), TRUE);
  if (name != NULL)
    {
      gtk_file_chooser_set_current_name (chooser, name);
      add_filter (chooser, job->what);
    }
  if (job->what == TD_EXPORT_JOB_TABLE)
    add_choices (chooser, job->table);
  g_signal_connect (question->chooser, "response", G_CALLBACK (response_cb), question);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (question->chooser));
}

static void
export_action (GtkWidget *widget, const char *action, GVariant *parameter)
{
  const char *word = g_variant_get_string (parameter, NULL);
  g_autofree char *name = g_strconcat (word, ".csv", NULL);
  TdExport table = TD_N_EXPORTS;
  TdExportJob *job;

  if (g_str_equal (word, "sheets"))
    {
      ask (widget, td_export_job_new (TD_EXPORT_JOB_SHEETS, ""), _ ("Folder for the Site Sheets"), NULL);
      return;
    }
  g_return_if_fail (td_export_from_text (word, &table));
  job = td_export_job_new (TD_EXPORT_JOB_TABLE, "");
  job->table = table;
  ask (widget, job, _ ("Export"), name);
}

static void
export_invoice_action (GtkWidget *widget, const char *action, GVariant *parameter)
{
  const char *number = g_variant_get_string (parameter, NULL);
  g_autofree char *name = g_strconcat (number, ".xml", NULL);
  TdExportJob *job = td_export_job_new (TD_EXPORT_JOB_INVOICE, "");

  job->number = g_strdup (number);
  ask (widget, job, _ ("Electronic Invoice"), g_strdelimit (name, G_DIR_SEPARATOR_S, '-'));
}

void
td_export_acts_install (GtkWidgetClass *klass)
{
  gtk_widget_class_install_action (klass, "win.export", "s", export_action);
  gtk_widget_class_install_action (klass, "win.export-invoice", "s", export_invoice_action);
}

void
td_export_acts_update (GtkWidget *window, TdContext *context)
{
  gboolean open = td_context_get_queue (context) != NULL;

  gtk_widget_action_set_enabled (window, "win.export", open);
  gtk_widget_action_set_enabled (window, "win.export-invoice", open);
}
