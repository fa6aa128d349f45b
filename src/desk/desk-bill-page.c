#include "desk-bill-page.h"

#include "core-money.h"
#include "desk-ask-form.h"
#include "desk-bill-act-job.h"
#include "desk-bill-paper.h"
#include "desk-document-view.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-page.h"

struct _TdBillPage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  char *number; /* NULL for a draft */
  char *draft;  /* NULL for an issued one */
  TdBillLoaded *loaded;
  gboolean with_reports;
  gboolean answered; /* it was read, or could not be */

  GtkWidget *box;
  TdNotice *notice;
  TdDocumentView *document;
  GtkGrid *facts;
  GtkWidget *pay, *credit, *issue, *electronic;
  TdAskForm *form;
};

G_DEFINE_FINAL_TYPE (TdBillPage, td_bill_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUBTITLE,
  PROP_LOADED,
  PROP_ASKING,
  PROP_WITH_REPORTS,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static TdDate
get_today (TdBillPage *self)
{
  return (TdDate) (td_context_get_now_ms (self->context) / G_GINT64_CONSTANT (86400000));
}

static void
add_fact (TdBillPage *self, int row, const char *name, const char *value)
{
  GtkWidget *left = gtk_label_new (name);
  GtkWidget *right = gtk_label_new (value);

  gtk_label_set_xalign (GTK_LABEL (left), 0);
  gtk_label_set_xalign (GTK_LABEL (right), 1);
  gtk_label_set_wrap (GTK_LABEL (left), TRUE);
  gtk_label_set_ellipsize (GTK_LABEL (right), PANGO_ELLIPSIZE_NONE);
  gtk_widget_set_hexpand (left, TRUE);
  gtk_widget_set_valign (left, GTK_ALIGN_START);
  gtk_widget_set_valign (right, GTK_ALIGN_START);
  gtk_widget_add_css_class (left, "faint");
  gtk_widget_add_css_class (right, "figure");
  gtk_accessible_update_relation (GTK_ACCESSIBLE (right), GTK_ACCESSIBLE_RELATION_LABELLED_BY, left, NULL, -1);
  gtk_grid_attach (self->facts, left, 0, row, 1, 1);
  gtk_grid_attach (self->facts, right, 1, row, 1, 1);
}

static void
add_sum (TdBillPage *self, int row, const char *name, gint64 minor)
{
  g_autofree char *sum = td_money_to_text (minor, self->loaded->invoice->currency);

  add_fact (self, row, name, sum);
}

static int
add_balance (TdBillPage *self, int row)
{
  const TdInvoiceRow *balance = self->loaded->record->row;
  g_autofree char *issued = td_format_date (self, balance->issued);
  g_autofree char *due = td_format_date (self, balance->due);

  add_fact (self, row++, _ ("Issued"), issued);
  if (balance->kind == TD_INVOICE_CREDIT)
    {
      add_fact (self, row++, _ ("Takes back"), balance->credits);
      return row;
    }
  add_fact (self, row++, _ ("Due"), due);
  add_sum (self, row++, _ ("Paid"), balance->paid_minor);
  add_sum (self, row++, _ ("Credited"), balance->credited_minor);
  add_sum (self, row++, _ ("Still open"), balance->open_minor);
  for (guint i = 0; i < self->loaded->record->payments->len; i++)
    {
      const TdPayment *payment = &g_array_index (self->loaded->record->payments, TdPayment, i);
      g_autofree char *day = td_format_date (self, payment->day);
      g_autofree char *words = td_format_pair (self, day, payment->text);
      /* Translators: a payment: its day and reference. */
      g_autofree char *name = g_strdup_printf (_ ("Payment of %s"), words);

      add_sum (self, row++, name, payment->amount_minor);
    }
  return row;
}

static void
show_facts (TdBillPage *self)
{
  GtkWidget *child;
  int row = 0;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->facts))) != NULL)
    gtk_grid_remove (self->facts, child);
  add_sum (self, row++, _ ("Net"), self->loaded->invoice->net_minor);
  add_sum (self, row++, _ ("Tax"), self->loaded->invoice->tax_minor);
  add_sum (self, row++, _ ("Sum"), self->loaded->invoice->total_minor);
  if (self->loaded->record != NULL)
    add_balance (self, row);
}

static void
update_acts (TdBillPage *self)
{
  gboolean loaded = self->loaded != NULL;
  gboolean invoice = loaded && self->loaded->record != NULL && self->loaded->invoice->kind == TD_INVOICE_INVOICE;
  gboolean issued = loaded && self->loaded->record != NULL;
  gboolean left = invoice && self->loaded->credited->len < self->loaded->invoice->lines->len;

  gtk_widget_set_visible (self->issue, self->draft != NULL);
  gtk_widget_set_visible (self->pay, invoice);
  gtk_widget_set_visible (self->credit, invoice);
  gtk_widget_set_visible (self->electronic, issued);
  if (issued)
    gtk_actionable_set_action_target (GTK_ACTIONABLE (self->electronic), "s", self->number);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "bill.issue", loaded && self->draft != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "bill.pay", invoice);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "bill.credit", left);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "bill.account", loaded);
}

static void
loaded_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdBillPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer loaded = NULL;
  TdBillPaper *paper;

  if (!td_queue_run_finish (result, &loaded, &error))
    {
      /* Cancelled: the page is gone, and must not be looked at. */
      if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        return;
      g_clear_pointer (&self->loaded, td_bill_loaded_free);
      td_document_view_set_error (self->document, error);
    }
  else
    {
      g_clear_pointer (&self->loaded, td_bill_loaded_free);
      self->loaded = loaded;
      paper = g_steal_pointer (&self->loaded->paper);
      td_document_view_set_bound (self->document, paper->documents, paper->name, td_bill_paper_write, paper,
                                  td_bill_paper_free);
      show_facts (self);
    }
  self->answered = TRUE;
  update_acts (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TITLE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_SUBTITLE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
}

static void
reload (TdBillPage *self)
{
  GSettings *settings = td_context_get_settings (self->context);
  g_autofree char *paper = g_settings_get_string (settings, "paper");
  TdBillPaperAsked *asked;

  if (td_context_get_queue (self->context) == NULL)
    return;
  asked = g_new0 (TdBillPaperAsked, 1);
  asked->number = g_strdup (self->number);
  asked->draft = g_strdup (self->draft);
  asked->with_reports = self->with_reports;
  asked->kind = TD_PAPER_A4;
  td_paper_kind_from_text (paper, &asked->kind);
  asked->units = td_format_get_style ()->system;
  td_context_run_async (self->context, TD_JOB_READ, td_bill_load_job, asked, td_bill_paper_asked_free,
                        td_bill_loaded_free, self->cancellable, loaded_cb, self);
}

static void
run_act (TdBillPage *self, TdJob job, TdBillAct *act, GDestroyNotify free_result, GAsyncReadyCallback callback)
{
  td_context_run_async (self->context, TD_JOB_WRITE, job, act, td_bill_act_free, free_result, NULL, callback,
                        g_object_ref (self));
}

static void
paid_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdBillPage) self = user_data;
  g_autoptr (GError) error = NULL;

  if (!td_queue_run_finish (result, NULL, &error))
    {
      td_notice_show_error (self->notice, _ ("The payment was not written down."), error);
      return;
    }
  td_ask_form_close (self->form);
  td_notice_show_done (self->notice, _ ("The payment is written down."));
}

static void
do_pay (TdBillPage *self)
{
  TdBillAct *act = g_new0 (TdBillAct, 1);
  g_autofree char *amount = td_ask_form_get_text (self->form, "amount");
  char *text = td_ask_form_get_text (self->form, "text");

  act->number = g_strdup (self->number);
  act->text = *text != '\0' ? text : NULL;
  if (act->text == NULL)
    g_free (text);
  if (!td_ask_form_get_date (self->form, "date", &act->day))
    td_bill_act_free (act);
  else if (!td_money_parse (amount, self->loaded->invoice->currency, &act->amount_minor, NULL) || act->amount_minor == 0)
    {
      td_ask_form_complain (self->form, _ ("Write the sum with a point and the currency's decimals: 120.50; with a minus "
                                           "where a payment is taken back."));
      td_bill_act_free (act);
    }
  else
    run_act (self, td_bill_pay_job, act, NULL, paid_cb);
}

static void
credited_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdBillPage) self = user_data;
  g_autoptr (GError) error = NULL;
  g_autofree char *done = NULL;
  gpointer number = NULL;

  if (!td_queue_run_finish (result, &number, &error))
    {
      td_notice_show_error (self->notice, _ ("Nothing was credited."), error);
      return;
    }
  done = g_strdup_printf (_ ("Credit note %s is issued."), (char *) number);
  g_free (number);
  td_ask_form_close (self->form);
  td_notice_show_done (self->notice, done);
}

static gboolean
is_credited (TdBillPage *self, guint line)
{
  for (guint i = 0; i < self->loaded->credited->len; i++)
    if (g_array_index (self->loaded->credited, guint, i) == line)
      return TRUE;
  return FALSE;
}

/* The lines that are to be taken back. (transfer full) */
static GArray *
list_lines (TdBillPage *self)
{
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (guint));
  gboolean all = td_ask_form_get_active (self->form, "all");

  for (guint i = 0; i < self->loaded->invoice->lines->len; i++)
    {
      g_autofree char *id = g_strdup_printf ("line-%u", i);

      if (!is_credited (self, i) && (all || td_ask_form_get_active (self->form, id)))
        g_array_append_val (lines, i);
    }
  return lines;
}

static void
do_credit (TdBillPage *self)
{
  TdBillAct *act = g_new0 (TdBillAct, 1);

  act->number = g_strdup (self->number);
  act->again = td_ask_form_get_active (self->form, "again");
  act->lines = list_lines (self);
  if (!td_ask_form_require_text (self->form, "reason", &act->reason)
      || !td_ask_form_get_date (self->form, "date", &act->day))
    td_bill_act_free (act);
  else if (act->lines->len == 0)
    {
      td_ask_form_complain (self->form, _ ("Mark the lines that are to be taken back."));
      td_bill_act_free (act);
    }
  else
    run_act (self, td_bill_credit_job, act, g_free, credited_cb);
}

static void
issued_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdBillPage) self = user_data;
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) numbers = NULL;
  gpointer answer = NULL;

  if (!td_queue_run_finish (result, &answer, &error))
    {
      td_notice_show_error (self->notice, _ ("Nothing was issued."), error);
      return;
    }
  numbers = answer;
  td_ask_form_close (self->form);
  if (numbers->len == 0)
    td_notice_show_done (self->notice, _ ("There was nothing left to be issued."));
  else if (gtk_widget_get_root (GTK_WIDGET (self)) != NULL)
    /* The invoice stands behind the credit notes that it goes with. */
    gtk_widget_activate_action (GTK_WIDGET (self), "win.show-invoice", "s",
                                (char *) g_ptr_array_index (numbers, numbers->len - 1));
}

static void
do_issue (TdBillPage *self)
{
  TdBillAct *act = g_new0 (TdBillAct, 1);

  if (!td_ask_form_get_date (self->form, "date", &act->day))
    {
      td_bill_act_free (act);
      return;
    }
  act->ids = g_strdupv ((char **) (const char *[]) { self->draft, NULL });
  run_act (self, td_bill_issue_job, act, (GDestroyNotify) g_ptr_array_unref, issued_cb);
}

static void
answered_cb (TdAskForm *form, const char *name, TdBillPage *self)
{
  if (self->loaded == NULL)
    return;
  if (g_str_equal (name, "pay"))
    do_pay (self);
  else if (g_str_equal (name, "credit"))
    do_credit (self);
  else
    do_issue (self);
}

static void
pay_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdBillPage *self = TD_BILL_PAGE (widget);
  const TdInvoiceRow *row = self->loaded->record->row;
  g_autofree char *open = td_money_to_plain_text (row->open_minor, row->currency);
  g_autofree char *amount = g_strdup_printf (_ ("Amount in %s"), row->currency);
  g_autofree char *title = g_strdup_printf (_ ("What was paid of %s?"), self->number);

  td_ask_form_begin (self->form, "pay", title, _ ("Write down"));
  td_ask_form_add_entry (self->form, "amount", amount, open);
  td_ask_form_add_date (self->form, "date", _ ("Day of the payment"), get_today (self));
  td_ask_form_add_entry (self->form, "text", _ ("Reference, where there is one"), NULL);
  td_ask_form_show (self->form);
}

static void
credit_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdBillPage *self = TD_BILL_PAGE (widget);
  const TdInvoice *invoice = self->loaded->invoice;
  g_autofree char *title = g_strdup_printf (_ ("Take back lines of %s by a credit note?"), self->number);

  td_ask_form_begin (self->form, "credit", title, _ ("Issue the credit note"));
  td_ask_form_add_entry (self->form, "reason", _ ("Reason, as it stands on the credit note"), NULL);
  td_ask_form_add_date (self->form, "date", _ ("Date of issue"), get_today (self));
  td_ask_form_add_check (self->form, "again", _ ("What is taken back may be invoiced again"), FALSE);
  td_ask_form_add_check (self->form, "all", _ ("Every line that is left"), TRUE);
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
      g_autofree char *id = g_strdup_printf ("line-%u", i);
      g_autofree char *net = td_money_to_text (line->net_minor, invoice->currency);
      g_autofree char *words = td_format_pair (self, line->report, line->text);
      g_autofree char *label = td_format_pair (self, words, net);

      if (is_credited (self, i))
        continue;
      td_ask_form_add_check (self->form, id, label, FALSE);
      td_ask_form_bar_check (self->form, id, "all");
    }
  td_ask_form_show (self->form);
}

static void
issue_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdBillPage *self = TD_BILL_PAGE (widget);

  td_ask_form_begin (self->form, "issue",
                     _ ("Issue this draft? It gets its number for good; what is wrong afterwards needs a credit note."),
                     _ ("Issue"));
  td_ask_form_add_date (self->form, "date", _ ("Date of issue"), get_today (self));
  td_ask_form_show (self->form);
}

static void
account_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  gtk_widget_activate_action (widget, "win.show-account", "s", TD_BILL_PAGE (widget)->loaded->invoice->account_id);
}

static void
asking_cb (TdBillPage *self)
{
  /* Keys reach the page only while the focus is in it. */
  if (!gtk_widget_get_visible (GTK_WIDGET (self->form)) && gtk_widget_get_mapped (GTK_WIDGET (self)))
    gtk_widget_child_focus (GTK_WIDGET (self), GTK_DIR_TAB_FORWARD);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ASKING]);
}

static char *
make_title (TdBillPage *self)
{
  if (!self->answered)
    return NULL;
  if (self->number == NULL)
    return g_strdup (_ ("Draft"));
  if (self->loaded != NULL && self->loaded->invoice->kind == TD_INVOICE_CREDIT)
    return g_strdup_printf (_ ("Credit note %s"), self->number);
  return g_strdup_printf (_ ("Invoice %s"), self->number);
}

static void
td_bill_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdBillPage *self = TD_BILL_PAGE (object);

  if (id == PROP_TITLE)
    g_value_take_string (value, make_title (self));
  else if (id == PROP_SUBTITLE && self->loaded != NULL)
    g_value_take_string (value, td_format_pair (self, self->loaded->invoice->payer.name, self->loaded->invoice->account));
  else if (id == PROP_LOADED)
    g_value_set_boolean (value, self->loaded != NULL);
  else if (id == PROP_ASKING)
    g_value_set_boolean (value, gtk_widget_get_visible (GTK_WIDGET (self->form)));
  else if (id == PROP_WITH_REPORTS)
    g_value_set_boolean (value, self->with_reports);
  else if (id != PROP_SUBTITLE)
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_bill_page_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdBillPage *self = TD_BILL_PAGE (object);

  if (id == PROP_ASKING && !g_value_get_boolean (value))
    td_ask_form_close (self->form);
  else if (id == PROP_WITH_REPORTS && g_value_get_boolean (value) != self->with_reports)
    {
      self->with_reports = g_value_get_boolean (value);
      reload (self);
      g_object_notify_by_pspec (object, properties[PROP_WITH_REPORTS]);
    }
  else if (id != PROP_ASKING && id != PROP_WITH_REPORTS)
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_bill_page_dispose (GObject *object)
{
  TdBillPage *self = TD_BILL_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_bill_page_parent_class)->dispose (object);
}

static void
td_bill_page_finalize (GObject *object)
{
  TdBillPage *self = TD_BILL_PAGE (object);

  g_clear_object (&self->cancellable);
  g_clear_pointer (&self->loaded, td_bill_loaded_free);
  g_free (self->number);
  g_free (self->draft);
  G_OBJECT_CLASS (td_bill_page_parent_class)->finalize (object);
}

static void
install_properties (GObjectClass *object_class)
{
  const GParamFlags both = G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  td_page_make_title_properties (&properties[PROP_TITLE], &properties[PROP_SUBTITLE]);
  properties[PROP_LOADED] = td_page_make_loaded_property ();
  properties[PROP_ASKING] = g_param_spec_boolean ("asking", NULL, NULL, FALSE, both);
  properties[PROP_WITH_REPORTS] = g_param_spec_boolean ("with-reports", NULL, NULL, FALSE, both);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
td_bill_page_class_init (TdBillPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  const GdkModifierType ctrl = GDK_CONTROL_MASK;

  object_class->get_property = td_bill_page_get_property;
  object_class->set_property = td_bill_page_set_property;
  object_class->dispose = td_bill_page_dispose;
  object_class->finalize = td_bill_page_finalize;
  install_properties (object_class);

  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_DOCUMENT_VIEW);
  g_type_ensure (TD_TYPE_ASK_FORM);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/bill-page.ui");
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, box);
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, document);
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, facts);
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, pay);
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, credit);
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, electronic);
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, issue);
  gtk_widget_class_bind_template_child (widget_class, TdBillPage, form);
  gtk_widget_class_bind_template_callback (widget_class, answered_cb);
  gtk_widget_class_bind_template_callback (widget_class, asking_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "bill.issue", NULL, issue_action);
  gtk_widget_class_install_action (widget_class, "bill.pay", NULL, pay_action);
  gtk_widget_class_install_action (widget_class, "bill.credit", NULL, credit_action);
  gtk_widget_class_install_action (widget_class, "bill.account", NULL, account_action);
  gtk_widget_class_install_property_action (widget_class, "bill.with-reports", "with-reports");
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Return, ctrl, "bill.issue", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_KP_Enter, ctrl, "bill.issue", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_m, ctrl, "bill.pay", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_d, ctrl, "bill.credit", NULL);
}

static void
td_bill_page_init (TdBillPage *self)
{
  self->cancellable = g_cancellable_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_bill_page_new (TdContext *context, const char *number, const char *draft)
{
  TdBillPage *self = g_object_new (TD_TYPE_BILL_PAGE, NULL);

  g_return_val_if_fail (TD_IS_CONTEXT (context) && (number == NULL) != (draft == NULL), GTK_WIDGET (self));
  self->context = g_object_ref (context);
  self->number = g_strdup (number);
  self->draft = g_strdup (draft);
  g_signal_connect_object (context, "book-changed", G_CALLBACK (reload), self, G_CONNECT_SWAPPED);
  update_acts (self);
  reload (self);
  return GTK_WIDGET (self);
}
