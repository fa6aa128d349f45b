#include "desk-account-page.h"

#include "core-money.h"
#include "desk-account-job.h"
#include "desk-bill-paper.h"
#include "desk-bill-row.h"
#include "desk-bills-job.h"
#include "desk-clamp.h"
#include "desk-document-view.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-lazy.h"
#include "desk-notice.h"
#include "desk-page.h"
#include "document-agreement.h"
#include "model-lazy-list.h"

/* How far back a statement goes unless told otherwise. */
#define STATEMENT_MONTHS 12

struct _TdAccountPage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  char *account_id;
  TdAccountLoaded *loaded;
  TdLazyList *invoices;

  GtkWidget *box;
  TdNotice *notice;
  GtkLabel *balance;
  GtkStack *stack;
  GtkBox *agreements;
  GtkListView *view;
  GtkStack *history;
  GtkEditable *from;
  GtkEditable *to;
  TdDocumentView *statement;
};

G_DEFINE_FINAL_TYPE (TdAccountPage, td_account_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUBTITLE,
  PROP_LOADED,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static TdDate
get_today (TdAccountPage *self)
{
  return (TdDate) (td_context_get_now_ms (self->context) / G_GINT64_CONSTANT (86400000));
}

static void
show_balance (TdAccountPage *self)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < self->loaded->balances->len; i++)
    {
      const TdAccountBalance *balance = g_ptr_array_index (self->loaded->balances, i);
      g_autofree char *open = td_money_to_text (balance->open_minor, balance->currency);
      g_autofree char *overdue = td_money_to_text (balance->overdue_minor, balance->currency);

      if (i > 0)
        g_string_append (text, " · ");
      /* Translators: what an account owes. */
      g_string_append_printf (text, _ ("Open: %s"), open);
      if (balance->overdue_minor != 0)
        /* Translators: follows what an account owes. */
        g_string_append_printf (text, _ (", of it overdue: %s"), overdue);
    }
  gtk_label_set_label (self->balance, text->len > 0 ? text->str : _ ("Nothing is open."));
}

static void
add_words (TdAccountPage *self, const char *text, const char *style_class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_selectable (GTK_LABEL (label), FALSE);
  if (style_class != NULL)
    gtk_widget_add_css_class (label, style_class);
  gtk_box_append (self->agreements, label);
}

static void
show_agreements (TdAccountPage *self)
{
  GPtrArray *rows = self->loaded->agreements;
  GtkWidget *child;
  TdDate last = TD_DATE_NONE;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->agreements))) != NULL)
    gtk_box_remove (self->agreements, child);
  if (rows->len == 0)
    add_words (self, _ ("No price agreement is known. Take one in: without it no visit of this account is invoiced."),
               NULL);
  for (guint i = 0; i < rows->len; i++)
    {
      const TdAgreementRow *row = g_ptr_array_index (rows, i);
      g_autoptr (GPtrArray) words = td_agreement_to_words (row->agreement);
      g_autofree char *from = td_format_date (self, row->agreement->from);
      g_autofree char *title = NULL;

      /* Only the newest version of each day holds. */
      if (row->agreement->from == last)
        title = g_strdup_printf (_ ("From %s, version %u, superseded"), from, row->version);
      else
        title = g_strdup_printf (_ ("From %s, version %u"), from, row->version);
      last = row->agreement->from;
      add_words (self, title, "strong");
      for (guint k = 0; k < words->len; k++)
        add_words (self, g_ptr_array_index (words, k), NULL);
    }
}

static void
show_invoices (TdAccountPage *self)
{
  GArray *keys = g_array_copy (self->loaded->invoices);

  gtk_stack_set_visible_child_name (self->history, keys->len > 0 ? "list" : "nothing");
  td_lazy_list_set_keys (self->invoices, keys);
}

static void
loaded_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdAccountPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer loaded = NULL;

  if (!td_queue_run_finish (result, &loaded, &error))
    {
      /* Cancelled: the page is gone, and must not be looked at. */
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The account could not be read."), error);
      return;
    }
  g_clear_pointer (&self->loaded, td_account_loaded_free);
  self->loaded = loaded;
  show_balance (self);
  show_agreements (self);
  show_invoices (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TITLE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_SUBTITLE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
}

static void
statement_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdAccountPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer answer = NULL;
  TdBillPaper *paper;

  if (!td_queue_run_finish (result, &answer, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_document_view_set_error (self->statement, error);
      return;
    }
  paper = answer;
  td_document_view_set_bound (self->statement, paper->documents, paper->name, td_bill_paper_write, paper,
                              td_bill_paper_free);
}

static void
make_statement (TdAccountPage *self)
{
  g_autofree char *paper = g_settings_get_string (td_context_get_settings (self->context), "paper");
  TdDate from = TD_DATE_NONE, to = TD_DATE_NONE;
  g_autoptr (GError) error = NULL;
  TdBillPaperAsked *asked;

  if (td_context_get_queue (self->context) == NULL)
    return;
  if (!td_date_parse (gtk_editable_get_text (self->from), &from, &error)
      || !td_date_parse (gtk_editable_get_text (self->to), &to, &error))
    {
      td_notice_show_error (self->notice, _ ("A statement needs two dates, as 2026-03-02."), error);
      return;
    }
  if (from > to)
    {
      error = g_error_new_literal (TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED,
                                   _ ("Its first day lies behind its last; change one of them."));
      td_notice_show_error (self->notice, _ ("There is no such statement."), error);
      return;
    }
  td_notice_clear (self->notice);
  asked = g_new0 (TdBillPaperAsked, 1);
  asked->account_id = g_strdup (self->account_id);
  asked->from = from;
  asked->to = to;
  asked->kind = TD_PAPER_A4;
  td_paper_kind_from_text (paper, &asked->kind);
  td_context_run_async (self->context, TD_JOB_READ, td_bill_statement_job, asked, td_bill_paper_asked_free,
                        td_bill_paper_free, self->cancellable, statement_cb, self);
}

static void
reload (TdAccountPage *self)
{
  TdAccountAsked *asked;

  if (td_context_get_queue (self->context) == NULL)
    return;
  asked = g_new0 (TdAccountAsked, 1);
  asked->account_id = g_strdup (self->account_id);
  asked->today = get_today (self);
  td_context_run_async (self->context, TD_JOB_READ, td_account_job, asked, td_account_asked_free,
                        td_account_loaded_free, self->cancellable, loaded_cb, self);
  make_statement (self);
}

static void
fetch (TdLazyList *list, TdLazyRequest *request, gpointer user_data)
{
  TdAccountPage *self = user_data;
  guint n = 0;
  const gint64 *keys = td_lazy_request_get_keys (request, &n);

  td_lazy_answer_from_job (list, request, self->context, td_bills_rows_job,
                           td_bill_keys_page_new (keys, n, get_today (self)), td_bill_keys_page_free, self->cancellable);
}

static void
activated_cb (GtkListView *view, guint position, TdAccountPage *self)
{
  g_autoptr (TdRow) item = g_list_model_get_item (G_LIST_MODEL (self->invoices), position);
  const TdBill *bill = item != NULL ? td_row_get_value (item) : NULL;

  if (bill != NULL)
    gtk_widget_activate_action (GTK_WIDGET (self), "win.show-invoice", "s", bill->id);
}

static void
show_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  GtkStack *stack = TD_ACCOUNT_PAGE (widget)->stack;
  const char *child = g_variant_get_string (parameter, NULL);

  if (gtk_stack_get_child_by_name (stack, child) != NULL)
    gtk_stack_set_visible_child_name (stack, child);
}

static void
make_statement_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  make_statement (TD_ACCOUNT_PAGE (widget));
}

static void
td_account_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdAccountPage *self = TD_ACCOUNT_PAGE (object);

  if (id == PROP_TITLE)
    g_value_set_string (value, self->loaded != NULL ? self->loaded->account->name : NULL);
  else if (id == PROP_SUBTITLE)
    g_value_set_string (value, self->loaded != NULL ? self->loaded->account->address : NULL);
  else if (id == PROP_LOADED)
    g_value_set_boolean (value, self->loaded != NULL);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_account_page_dispose (GObject *object)
{
  TdAccountPage *self = TD_ACCOUNT_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  if (self->view != NULL)
    gtk_list_view_set_model (self->view, NULL);
  self->view = NULL;
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->invoices);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_account_page_parent_class)->dispose (object);
}

static void
td_account_page_finalize (GObject *object)
{
  TdAccountPage *self = TD_ACCOUNT_PAGE (object);

  g_clear_object (&self->cancellable);
  g_clear_pointer (&self->loaded, td_account_loaded_free);
  g_free (self->account_id);
  G_OBJECT_CLASS (td_account_page_parent_class)->finalize (object);
}

static void
td_account_page_class_init (TdAccountPageClass *klass)
{
  static const char *const shown[] = { "agreement", "invoices", "statement" };
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_account_page_get_property;
  object_class->dispose = td_account_page_dispose;
  object_class->finalize = td_account_page_finalize;
  td_page_make_title_properties (&properties[PROP_TITLE], &properties[PROP_SUBTITLE]);
  properties[PROP_LOADED] = td_page_make_loaded_property ();
  g_object_class_install_properties (object_class, N_PROPS, properties);

  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_CLAMP);
  g_type_ensure (TD_TYPE_BILL_ROW);
  g_type_ensure (TD_TYPE_BILL_ITEM);
  g_type_ensure (TD_TYPE_DOCUMENT_VIEW);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/account-page.ui");
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, box);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, balance);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, stack);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, agreements);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, view);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, history);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, from);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, to);
  gtk_widget_class_bind_template_child (widget_class, TdAccountPage, statement);
  gtk_widget_class_bind_template_callback (widget_class, activated_cb);
  gtk_widget_class_bind_template_callback (widget_class, make_statement);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "account.show", "s", show_action);
  gtk_widget_class_install_action (widget_class, "account.make-statement", NULL, make_statement_action);
  for (guint i = 0; i < G_N_ELEMENTS (shown); i++)
    gtk_widget_class_add_binding_action (widget_class, GDK_KEY_1 + i, GDK_ALT_MASK, "account.show", "s", shown[i]);
}

static void
td_account_page_init (TdAccountPage *self)
{
  self->cancellable = g_cancellable_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
  self->invoices = td_lazy_list_new (TD_TYPE_BILL_ITEM, fetch, self, NULL);
  gtk_list_view_set_model (self->view, GTK_SELECTION_MODEL (gtk_single_selection_new (
                                         g_object_ref (G_LIST_MODEL (self->invoices)))));
}

GtkWidget *
td_account_page_new (TdContext *context, const char *account_id)
{
  TdAccountPage *self = g_object_new (TD_TYPE_ACCOUNT_PAGE, NULL);
  g_autofree char *from = NULL;
  g_autofree char *to = NULL;

  g_return_val_if_fail (TD_IS_CONTEXT (context) && account_id != NULL, GTK_WIDGET (self));
  self->context = g_object_ref (context);
  self->account_id = g_strdup (account_id);
  from = td_date_to_text (td_date_add_months (get_today (self), -STATEMENT_MONTHS));
  to = td_date_to_text (get_today (self));
  gtk_editable_set_text (self->from, from);
  gtk_editable_set_text (self->to, to);
  g_signal_connect_object (context, "book-changed", G_CALLBACK (reload), self, G_CONNECT_SWAPPED);
  reload (self);
  return GTK_WIDGET (self);
}
