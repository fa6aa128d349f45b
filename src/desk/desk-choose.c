#include "desk-choose.h"

#include "desk-i18n.h"

typedef struct
{
  GtkWidget *widget;
  GtkFileChooserNative *chooser;
  TdChosen chosen;
  gpointer user_data;
  GDestroyNotify free_data;
} Question;

static void
free_question (Question *question)
{
  if (question->free_data != NULL)
    question->free_data (question->user_data);
  g_object_unref (question->chooser);
  g_object_unref (question->widget);
  g_free (question);
}

static void
response_cb (GtkNativeDialog *dialog, int response, gpointer user_data)
{
  Question *question = user_data;
  g_autoptr (GListModel) files = NULL;

  gtk_native_dialog_hide (dialog);
  files = gtk_file_chooser_get_files (GTK_FILE_CHOOSER (dialog));
  if (response == GTK_RESPONSE_ACCEPT && g_list_model_get_n_items (files) > 0)
    question->chosen (question->widget, files, question->user_data);
  free_question (question);
}

static void
add_filter (GtkFileChooser *chooser, const char *name, const char *const *patterns)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, name);
  for (guint i = 0; patterns[i] != NULL; i++)
    gtk_file_filter_add_pattern (filter, patterns[i]);
  gtk_file_chooser_add_filter (chooser, filter);
}

static void
add_filters (GtkFileChooser *chooser, TdChooseWhat what)
{
  static const char *const books[] = { "*.tundish", NULL };
  static const char *const sheets[] = { "*.json", "*.csv", NULL };
  static const char *const pdf[] = { "*.pdf", NULL };
  static const char *const bundles[] = { "*.bundle", NULL };
  static const char *const all[] = { "*", NULL };

  if (what == TD_CHOOSE_BOOKS)
    add_filter (chooser, _ ("Service books"), books);
  else if (what == TD_CHOOSE_SHEETS)
    add_filter (chooser, _ ("Site sheets, company files, accounts"), sheets);
  else if (what == TD_CHOOSE_BUNDLES)
    add_filter (chooser, _ ("Bundles"), bundles);
  else
    add_filter (chooser, _ ("PDF documents"), pdf);
  add_filter (chooser, _ ("All files"), all);
}

void
td_choose_files (GtkWidget *widget, TdChooseHow how, TdChooseWhat what, const char *title, const char *name,
                 TdChosen chosen, gpointer user_data, GDestroyNotify free_data)
{
  Question *question = g_new0 (Question, 1);
  GtkFileChooserAction action = how == TD_CHOOSE_SAVE     ? GTK_FILE_CHOOSER_ACTION_SAVE
                                : how == TD_CHOOSE_FOLDER ? GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER
                                                          : GTK_FILE_CHOOSER_ACTION_OPEN;
  GtkRoot *root = gtk_widget_get_root (widget);

  g_return_if_fail (GTK_IS_WIDGET (widget) && title != NULL && chosen != NULL);
  question->widget = g_object_ref (widget);
  question->chosen = chosen;
  question->user_data = user_data;
  question->free_data = free_data;
  question->chooser = gtk_file_chooser_native_new (title, GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, action,
                                                   NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (question->chooser), TRUE);
  gtk_file_chooser_set_select_multiple (GTK_FILE_CHOOSER (question->chooser), how == TD_CHOOSE_OPEN_MANY);
  if (how == TD_CHOOSE_SAVE && name != NULL)
    gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (question->chooser), name);
  if (how != TD_CHOOSE_FOLDER)
    add_filters (GTK_FILE_CHOOSER (question->chooser), what);
  g_signal_connect (question->chooser, "response", G_CALLBACK (response_cb), question);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (question->chooser));
}
