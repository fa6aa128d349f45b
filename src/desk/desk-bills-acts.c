/* What can be done with the rows that are chosen in the Invoices place. */
#include "desk-bills-private.h"

#include "desk-bill-act-job.h"
#include "desk-bill-paper.h"
#include "desk-choose.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-print.h"

#include <string.h>

/* Which states of rows an act is for. */
#define BIT(state) (1u << (state))
#define DRAFTS (BIT (TD_BILL_DRAFT) | BIT (TD_BILL_DRAFT_CREDIT))
#define HOLDABLE (BIT (TD_BILL_READY) | BIT (TD_BILL_WAITING))

static guint
count_chosen (TdBillsPage *self, guint states)
{
  g_autoptr (GPtrArray) bills = td_bills_list_chosen (self);
  guint n = 0;

  for (guint i = 0; i < bills->len; i++)
    n += (BIT (((TdBill *) g_ptr_array_index (bills, i))->state) & states) != 0;
  return n;
}

/* Ids of what is chosen and in one of @states. (transfer full) */
static char **
list_ids (TdBillsPage *self, guint states)
{
  g_autoptr (GPtrArray) bills = td_bills_list_chosen (self);
  GPtrArray *ids = g_ptr_array_new ();

  for (guint i = 0; i < bills->len; i++)
    {
      const TdBill *bill = g_ptr_array_index (bills, i);

      if (BIT (bill->state) & states)
        g_ptr_array_add (ids, g_strdup (bill->id));
    }
  g_ptr_array_add (ids, NULL);
  return (char **) g_ptr_array_free (ids, FALSE);
}

static void
allow (TdBillsPage *self, const char *action, GtkWidget *button, gboolean here, gboolean possible)
{
  gtk_widget_action_set_enabled (GTK_WIDGET (self), action, here && possible);
  gtk_widget_set_visible (button, here);
}

void
td_bills_acts_update (TdBillsPage *self)
{
  g_autoptr (GtkBitset) chosen = td_bills_get_chosen (self);
  guint64 n = gtk_bitset_get_size (chosen);
  gboolean drafts = self->list == TD_BILLS_DRAFTS, issued = self->list == TD_BILLS_ISSUED;
  gboolean visits = self->list == TD_BILLS_VISITS || self->list == TD_BILLS_HELD;
  gboolean any_draft = self->unbilled != NULL && self->unbilled->drafts->len > 0;

  allow (self, "bills.open", self->open, TRUE, n == 1);
  allow (self, "bills.issue", self->issue, drafts, drafts && n > 0);
  allow (self, "bills.issue-all", self->issue_all, drafts, any_draft);
  allow (self, "bills.hold", self->hold, visits, visits && count_chosen (self, HOLDABLE) > 0);
  allow (self, "bills.release", self->release, visits, visits && count_chosen (self, BIT (TD_BILL_HELD)) > 0);
  allow (self, "bills.export", self->export, issued, n > 0);
  allow (self, "bills.print", self->print, issued, n > 0);
  gtk_widget_set_visible (self->export_bound, issued);
}

/* The list shows what came of it when the book says that it has changed. */
static void
finish_act (TdBillsPage *self, const char *done)
{
  td_ask_form_close (self->form);
  td_notice_show_done (self->notice, done);
}

static void
issued_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdBillsPage) self = user_data;
  g_autoptr (GPtrArray) numbers = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *done = NULL;
  gpointer answer = NULL;

  if (!td_queue_run_finish (result, &answer, &error))
    {
      td_notice_show_error (self->notice, _ ("Nothing was issued."), error);
      return;
    }
  numbers = answer;
  if (numbers->len == 1)
    done = g_strdup_printf (_ ("Issued: %s."), (char *) g_ptr_array_index (numbers, 0));
  else if (numbers->len > 1)
    done = g_strdup_printf (_ ("Issued: %u documents, %s to %s."), numbers->len,
                            (char *) g_ptr_array_index (numbers, 0),
                            (char *) g_ptr_array_index (numbers, numbers->len - 1));
  else
    done = g_strdup (_ ("There was nothing left to be issued."));
  finish_act (self, done);
}

static void
run_act (TdBillsPage *self, TdJob job, TdBillAct *act, GDestroyNotify free_result, GAsyncReadyCallback callback)
{
  td_context_run_async (self->context, TD_JOB_WRITE, job, act, td_bill_act_free, free_result, NULL, callback,
                        g_object_ref (self));
}

static void
do_issue (TdBillsPage *self, gboolean all)
{
  TdBillAct *act = g_new0 (TdBillAct, 1);

  if (!td_ask_form_get_date (self->form, "date", &act->day))
    {
      td_bill_act_free (act);
      return;
    }
  act->ids = all ? NULL : list_ids (self, DRAFTS);
  run_act (self, td_bill_issue_job, act, (GDestroyNotify) g_ptr_array_unref, issued_cb);
}

static void
held_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdBillsPage) self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    finish_act (self, _ ("Held back. It stands on no draft until it is released."));
  else
    td_notice_show_error (self->notice, _ ("It was not held back."), error);
}

static void
released_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdBillsPage) self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    finish_act (self, _ ("Released. It stands on the drafts again."));
  else
    td_notice_show_error (self->notice, _ ("It was not released."), error);
}

static void
do_hold (TdBillsPage *self)
{
  TdBillAct *act = g_new0 (TdBillAct, 1);

  if (!td_ask_form_require_text (self->form, "reason", &act->reason))
    {
      td_bill_act_free (act);
      return;
    }
  act->ids = list_ids (self, HOLDABLE);
  run_act (self, td_bill_hold_job, act, NULL, held_cb);
}

void
td_bills_acts_answered_cb (TdAskForm *form, const char *name, TdBillsPage *self)
{
  if (g_str_equal (name, "hold"))
    do_hold (self);
  else
    do_issue (self, g_str_equal (name, "issue-all"));
}

static void
ask_issue (TdBillsPage *self, const char *name, guint n)
{
  g_autofree char *title
    = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Issue %u draft? It gets its number for good; what is wrong "
                                                     "afterwards needs a credit note.",
                                    "Issue %u drafts? They get their numbers for good; what is wrong afterwards "
                                    "needs a credit note.",
                                    n),
                       n);

  td_ask_form_begin (self->form, name, title, _ ("Issue"));
  td_ask_form_add_date (self->form, "date", _ ("Date of issue"), td_bills_get_today (self));
  td_ask_form_show (self->form);
}

static void
issue_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  ask_issue (TD_BILLS_PAGE (widget), "issue", count_chosen (TD_BILLS_PAGE (widget), DRAFTS));
}

static void
issue_all_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  ask_issue (TD_BILLS_PAGE (widget), "issue-all", TD_BILLS_PAGE (widget)->unbilled->drafts->len);
}

static void
hold_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdBillsPage *self = TD_BILLS_PAGE (widget);
  guint n = count_chosen (self, HOLDABLE);
  g_autofree char *title
    = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Hold %u visit back from invoicing?",
                                    "Hold %u visits back from invoicing?", n),
                       n);

  td_ask_form_begin (self->form, "hold", title, _ ("Hold back"));
  td_ask_form_add_entry (self->form, "reason", _ ("Reason"), NULL);
  td_ask_form_show (self->form);
}

static void
release_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdBillsPage *self = TD_BILLS_PAGE (widget);
  TdBillAct *act = g_new0 (TdBillAct, 1);

  act->ids = list_ids (self, BIT (TD_BILL_HELD));
  run_act (self, td_bill_release_job, act, NULL, released_cb);
}

static void
open_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdBillsPage *self = TD_BILLS_PAGE (widget);
  g_autoptr (GtkBitset) chosen = td_bills_get_chosen (self);

  g_signal_emit_by_name (self->view, "activate", (guint) gtk_bitset_get_minimum (chosen));
}

/* The chosen invoices in the order of the list. */
static TdBillPaperAsked *
ask_paper (TdBillsPage *self, gboolean with_reports)
{
  g_autoptr (GtkBitset) chosen = td_bills_get_chosen (self);
  GSettings *settings = td_context_get_settings (self->context);
  g_autofree char *paper = g_settings_get_string (settings, "paper");
  TdBillPaperAsked *asked = g_new0 (TdBillPaperAsked, 1);
  GtkBitsetIter iter;
  guint position = 0;

  asked->keys = g_new (gint64, gtk_bitset_get_size (chosen));
  for (gboolean more = gtk_bitset_iter_init_first (&iter, chosen, &position); more;
       more = gtk_bitset_iter_next (&iter, &position))
    asked->keys[asked->n_keys++] = td_lazy_list_get_key (self->lists[self->list], position);
  asked->with_reports = with_reports;
  asked->kind = TD_PAPER_A4;
  td_paper_kind_from_text (paper, &asked->kind);
  asked->units = td_format_get_style ()->system;
  return asked;
}

static void
written_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdBillsPage *self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    td_notice_show_done (self->notice, _ ("The PDF has been written."));
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    td_notice_show_error (self->notice, _ ("The PDF was not written."), error);
}

void
td_bills_page_export (TdBillsPage *self, const char *path, gboolean with_reports)
{
  TdBillPaperAsked *asked;

  g_return_if_fail (TD_IS_BILLS_PAGE (self) && path != NULL && self->list == TD_BILLS_ISSUED);
  asked = ask_paper (self, with_reports);
  asked->path = g_strdup (path);
  td_notice_show_done (self->notice, _ ("The PDF is being written…"));
  td_context_run_async (self->context, TD_JOB_READ, td_bill_paper_file_job, asked, td_bill_paper_asked_free, NULL,
                        self->cancellable, written_cb, self);
}

static void
export_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autoptr (GFile) file = g_list_model_get_item (files, 0);
  g_autofree char *path = g_file_get_path (file);

  if (path != NULL)
    td_bills_page_export (TD_BILLS_PAGE (widget), path, GPOINTER_TO_INT (user_data));
}

static void
export_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autofree char *file_name = g_strconcat (_ ("Invoices"), ".pdf", NULL);

  td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_PDF, _ ("Export as PDF"), file_name, export_chosen,
                   GINT_TO_POINTER (g_variant_get_boolean (parameter)), NULL);
}

static void
laid_out_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdBillsPage *self = user_data;
  g_autoptr (GError) error = NULL;
  g_autoptr (GtkPrintOperation) print = NULL;
  gpointer answer = NULL;
  TdBillPaper *paper;
  GtkRoot *root;

  if (!td_queue_run_finish (result, &answer, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("It was not printed."), error);
      return;
    }
  paper = answer;
  td_notice_clear (self->notice);
  print = td_print_new (paper->documents, paper->title);
  root = gtk_widget_get_root (GTK_WIDGET (self));
  /* Runs a loop of its own until the dialog is answered. */
  g_object_ref (self);
  if (gtk_print_operation_run (print, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG,
                               GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, &error)
        == GTK_PRINT_OPERATION_RESULT_ERROR
      && self->box != NULL)
    td_notice_show_error (self->notice, _ ("It was not printed."), error);
  g_object_unref (self);
  td_bill_paper_free (paper);
}

static void
print_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdBillsPage *self = TD_BILLS_PAGE (widget);

  td_notice_show_done (self->notice, _ ("The pages are being laid out…"));
  td_context_run_async (self->context, TD_JOB_READ, td_bill_paper_job, ask_paper (self, FALSE), td_bill_paper_asked_free,
                        td_bill_paper_free, self->cancellable, laid_out_cb, self);
}

void
td_bills_acts_install (GtkWidgetClass *klass)
{
  const GdkModifierType ctrl = GDK_CONTROL_MASK;

  gtk_widget_class_install_action (klass, "bills.open", NULL, open_action);
  gtk_widget_class_install_action (klass, "bills.issue", NULL, issue_action);
  gtk_widget_class_install_action (klass, "bills.issue-all", NULL, issue_all_action);
  gtk_widget_class_install_action (klass, "bills.hold", NULL, hold_action);
  gtk_widget_class_install_action (klass, "bills.release", NULL, release_action);
  gtk_widget_class_install_action (klass, "bills.export", "b", export_action);
  gtk_widget_class_install_action (klass, "bills.print", NULL, print_action);
  gtk_widget_class_add_binding_action (klass, GDK_KEY_Return, ctrl, "bills.issue", NULL);
  gtk_widget_class_add_binding_action (klass, GDK_KEY_KP_Enter, ctrl, "bills.issue", NULL);
  gtk_widget_class_add_binding_action (klass, GDK_KEY_h, ctrl, "bills.hold", NULL);
  gtk_widget_class_add_binding_action (klass, GDK_KEY_l, ctrl, "bills.release", NULL);
  gtk_widget_class_add_binding_action (klass, GDK_KEY_s, ctrl, "bills.export", "b", FALSE);
  gtk_widget_class_add_binding_action (klass, GDK_KEY_p, ctrl, "bills.print", NULL);
}
