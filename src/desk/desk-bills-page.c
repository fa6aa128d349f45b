#include "desk-bills-page.h"

#include "desk-bill-row.h"
#include "desk-bills-private.h"
#include "desk-clamp.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-lazy.h"
#include "model-round.h"

#include <string.h>

G_DEFINE_FINAL_TYPE (TdBillsPage, td_bills_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_LIST,
  PROP_LOADED,
  PROP_ASKING,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static const char *const names[TD_BILLS_N_LISTS] = { "visits", "drafts", "held", "issued", "accounts" };

/* Filters of the issued, as they stand in the choice. */
enum
{
  FILTER_ALL,
  FILTER_OPEN,
  FILTER_OVERDUE
};

TdDate
td_bills_get_today (TdBillsPage *self)
{
  return (TdDate) (td_context_get_now_ms (self->context) / G_GINT64_CONSTANT (86400000));
}

GtkBitset *
td_bills_get_chosen (TdBillsPage *self)
{
  return gtk_selection_model_get_selection (GTK_SELECTION_MODEL (self->choices[self->list]));
}

GPtrArray *
td_bills_list_chosen (TdBillsPage *self)
{
  g_autoptr (GtkBitset) chosen = td_bills_get_chosen (self);
  GPtrArray *bills = g_ptr_array_new_with_free_func ((GDestroyNotify) td_bill_unref);
  GtkBitsetIter iter;
  guint position = 0;

  for (gboolean more = gtk_bitset_iter_init_first (&iter, chosen, &position); more;
       more = gtk_bitset_iter_next (&iter, &position))
    {
      gint64 key = td_lazy_list_get_key (self->lists[self->list], position);
      TdBill *bill = g_hash_table_lookup (self->by_key, &key);

      if (bill != NULL)
        g_ptr_array_add (bills, td_bill_ref (bill));
    }
  return bills;
}

static gboolean
is_read (TdBillsPage *self)
{
  if (self->list == TD_BILLS_ISSUED)
    return self->issued_read;
  return self->list == TD_BILLS_ACCOUNTS ? self->accounts != NULL : self->unbilled != NULL;
}

static const char *
get_nothing (TdBillsPage *self)
{
  if (*gtk_editable_get_text (GTK_EDITABLE (self->search)) != '\0'
      || (self->list == TD_BILLS_ISSUED && gtk_drop_down_get_selected (self->filter) != FILTER_ALL))
    return _ ("Nothing matches. Take words out of the search, or show all.");
  switch (self->list)
    {
    case TD_BILLS_VISITS:
      return _ ("Every closed visit has been invoiced.");
    case TD_BILLS_DRAFTS:
      return _ ("There is nothing to be invoiced. Drafts are made of closed visits by the account's price agreement.");
    case TD_BILLS_HELD:
      return _ ("No visit is held back.");
    case TD_BILLS_ISSUED:
      return _ ("No invoice has been issued yet.");
    case TD_BILLS_ACCOUNTS:
    case TD_BILLS_N_LISTS:
    default:
      return _ ("The book knows no account. Take in a site sheet.");
    }
}

/* Keys reach the page only while the focus is in it: it is not let fall with a row or a form that goes. */
static void
keep_focus (TdBillsPage *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  if (root == NULL || !gtk_widget_get_mapped (GTK_WIDGET (self)) || (focus != NULL && gtk_widget_get_mapped (focus)))
    return;
  if (g_str_equal (gtk_stack_get_visible_child_name (self->stack), "list"))
    gtk_widget_child_focus (GTK_WIDGET (self->view), GTK_DIR_TAB_FORWARD);
  else
    gtk_widget_grab_focus (GTK_WIDGET (self->search));
}

static void
show_count (TdBillsPage *self)
{
  g_autoptr (GtkBitset) chosen = td_bills_get_chosen (self);
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->lists[self->list]));
  guint n_chosen = (guint) gtk_bitset_get_size (chosen);
  g_autofree char *text = NULL;

  if (!is_read (self))
    text = g_strdup ("");
  else if (n_chosen > 0)
    /* Translators: how many rows of a list are chosen. */
    text = g_strdup_printf (_ ("%u of %u chosen"), n_chosen, n);
  else
    text = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u row", "%u rows", n), n);
  gtk_label_set_label (self->count, text);
  gtk_label_set_label (self->nothing, get_nothing (self));
  gtk_stack_set_visible_child_name (self->stack, !is_read (self) ? "reading" : n > 0 ? "list" : "nothing");
  td_bills_acts_update (self);
  keep_focus (self);
}

/* Only what is asked for in words is held against a row; lists in memory are sorted here. */
static gboolean
belongs (const TdBill *bill, TdBillsList list)
{
  return list != TD_BILLS_HELD || bill->state == TD_BILL_HELD || bill->state == TD_BILL_WAITING;
}

static int
compare_cb (gconstpointer a, gconstpointer b, gpointer data)
{
  return td_bill_compare (*(TdBill *const *) a, *(TdBill *const *) b, *(const TdBillsOrder *) data);
}

static TdBillsOrder
get_order (TdBillsPage *self)
{
  return (TdBillsOrder) MIN (gtk_drop_down_get_selected (self->order), TD_BILLS_BY_URGENCY);
}

static GPtrArray *
get_rows (TdBillsPage *self, TdBillsList list)
{
  if (list == TD_BILLS_ACCOUNTS)
    return self->accounts;
  if (self->unbilled == NULL)
    return NULL;
  return list == TD_BILLS_DRAFTS ? self->unbilled->drafts : self->unbilled->visits;
}

static void
show_memory (TdBillsPage *self, TdBillsList list)
{
  g_auto (GStrv) words = td_round_fold_search (gtk_editable_get_text (GTK_EDITABLE (self->search)));
  g_autoptr (GPtrArray) fit = g_ptr_array_new ();
  GPtrArray *rows = get_rows (self, list);
  TdBillsOrder order = get_order (self);
  GArray *keys;

  if (rows == NULL)
    return;
  for (guint i = 0; i < rows->len; i++)
    {
      TdBill *bill = g_ptr_array_index (rows, i);

      if (belongs (bill, list) && td_bill_matches (bill, words))
        g_ptr_array_add (fit, bill);
    }
  g_ptr_array_sort_with_data (fit, compare_cb, &order);
  keys = g_array_sized_new (FALSE, FALSE, sizeof (gint64), fit->len);
  for (guint i = 0; i < fit->len; i++)
    g_array_append_val (keys, ((TdBill *) g_ptr_array_index (fit, i))->key);
  td_lazy_list_set_keys (self->lists[list], keys);
}

static void
keys_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdBillsPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer keys = NULL;

  if (!td_queue_run_finish (result, &keys, &error))
    {
      /* Cancelled: the page is gone, and must not be looked at, or a newer question is on its way. */
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The invoices could not be read."), error);
      return;
    }
  self->issued_read = TRUE;
  td_lazy_list_set_keys (self->lists[TD_BILLS_ISSUED], keys);
  show_count (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
}

static void
ask_issued (TdBillsPage *self)
{
  g_autofree char *search = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->search))));
  guint filter = gtk_drop_down_get_selected (self->filter);
  TdBillsAsked *asked = g_new0 (TdBillsAsked, 1);

  g_cancellable_cancel (self->asked);
  g_set_object (&self->asked, NULL);
  self->asked = g_cancellable_new ();
  asked->search = *search != '\0' ? g_steal_pointer (&search) : NULL;
  asked->open_only = filter == FILTER_OPEN;
  asked->overdue_only = filter == FILTER_OVERDUE;
  asked->order = get_order (self);
  asked->today = td_bills_get_today (self);
  td_context_run_async (self->context, TD_JOB_READ, td_bills_keys_job, asked, td_bills_asked_free,
                        (GDestroyNotify) g_array_unref, self->asked, keys_cb, self);
}

/* Shows what search, filter and order say; the list on show alone. */
static void
show_list (TdBillsPage *self)
{
  /* The template sets its choices before there is a context. */
  if (self->context == NULL || td_context_get_queue (self->context) == NULL)
    return;
  if (self->list == TD_BILLS_ISSUED)
    ask_issued (self);
  else
    show_memory (self, self->list);
  show_count (self);
}

static void
index_rows (TdBillsPage *self)
{
  g_hash_table_remove_all (self->by_key);
  for (int list = TD_BILLS_VISITS; list < TD_BILLS_N_LISTS; list++)
    {
      GPtrArray *rows = list != TD_BILLS_ISSUED && list != TD_BILLS_HELD ? get_rows (self, (TdBillsList) list) : NULL;

      for (guint i = 0; rows != NULL && i < rows->len; i++)
        g_hash_table_insert (self->by_key, &((TdBill *) g_ptr_array_index (rows, i))->key, g_ptr_array_index (rows, i));
    }
}

static void
rows_read (TdBillsPage *self)
{
  index_rows (self);
  for (int list = TD_BILLS_VISITS; list < TD_BILLS_N_LISTS; list++)
    if (list != TD_BILLS_ISSUED)
      show_memory (self, (TdBillsList) list);
  show_count (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
}

static void
unbilled_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdBillsPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer unbilled = NULL;

  if (!td_queue_run_finish (result, &unbilled, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The drafts could not be made."), error);
      return;
    }
  g_clear_pointer (&self->unbilled, td_bills_unbilled_free);
  self->unbilled = unbilled;
  rows_read (self);
}

static void
accounts_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdBillsPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer accounts = NULL;

  if (!td_queue_run_finish (result, &accounts, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The accounts could not be read."), error);
      return;
    }
  g_clear_pointer (&self->accounts, g_ptr_array_unref);
  self->accounts = accounts;
  rows_read (self);
}

static void
reload (TdBillsPage *self)
{
  gint64 now_ms = td_context_get_now_ms (self->context);

  if (td_context_get_queue (self->context) == NULL)
    return;
  td_context_run_async (self->context, TD_JOB_READ, td_bills_unbilled_job, td_bills_job_new (self->keys, now_ms),
                        td_bills_job_free, td_bills_unbilled_free, self->cancellable, unbilled_cb, self);
  td_context_run_async (self->context, TD_JOB_READ, td_bills_accounts_job, td_bills_job_new (self->keys, now_ms),
                        td_bills_job_free, (GDestroyNotify) g_ptr_array_unref, self->cancellable, accounts_cb, self);
  ask_issued (self);
}

/* Rows of lists in memory are there at once. */
static void
fetch_memory (TdLazyList *list, TdLazyRequest *request, gpointer user_data)
{
  td_lazy_answer_from_table (list, request, ((TdBillsPage *) user_data)->by_key);
}

static void
fetch_issued (TdLazyList *list, TdLazyRequest *request, gpointer user_data)
{
  TdBillsPage *self = user_data;
  guint n = 0;
  const gint64 *keys = td_lazy_request_get_keys (request, &n);

  td_lazy_answer_from_job (list, request, self->context, td_bills_rows_job,
                           td_bill_keys_page_new (keys, n, td_bills_get_today (self)), td_bill_keys_page_free,
                           self->cancellable);
}

static void
activated_cb (GtkListView *view, guint position, TdBillsPage *self)
{
  g_autoptr (TdRow) item = g_list_model_get_item (G_LIST_MODEL (self->lists[self->list]), position);
  const TdBill *bill = item != NULL ? td_row_get_value (item) : NULL;
  static const char *const actions[TD_BILLS_N_LISTS]
    = { "win.show-visit", "win.show-draft", "win.show-visit", "win.show-invoice", "win.show-account" };

  if (bill != NULL)
    gtk_widget_activate_action (GTK_WIDGET (self), actions[self->list], "s", bill->id);
}

static void
search_activate_cb (GtkSearchEntry *entry, TdBillsPage *self)
{
  if (g_list_model_get_n_items (G_LIST_MODEL (self->lists[self->list])) > 0)
    g_signal_emit_by_name (self->view, "activate", 0);
}

static void
search_stopped_cb (GtkSearchEntry *entry, TdBillsPage *self)
{
  gtk_editable_set_text (GTK_EDITABLE (entry), "");
}

static void
set_list (TdBillsPage *self, const char *name)
{
  for (int i = 0; i < TD_BILLS_N_LISTS; i++)
    if (g_str_equal (name, names[i]) && (int) self->list != i)
      {
        self->list = (TdBillsList) i;
        td_ask_form_close (self->form);
        td_notice_clear (self->notice);
        gtk_widget_set_visible (GTK_WIDGET (self->filter), self->list == TD_BILLS_ISSUED);
        gtk_list_view_set_model (self->view, GTK_SELECTION_MODEL (self->choices[self->list]));
        show_list (self);
        g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LIST]);
      }
}

static void
asking_cb (TdBillsPage *self)
{
  keep_focus (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ASKING]);
}

static void
td_bills_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdBillsPage *self = TD_BILLS_PAGE (object);

  if (id == PROP_LIST)
    g_value_set_string (value, names[self->list]);
  else if (id == PROP_LOADED)
    g_value_set_boolean (value, is_read (self) && self->unbilled != NULL);
  else if (id == PROP_ASKING)
    g_value_set_boolean (value, gtk_widget_get_visible (GTK_WIDGET (self->form)));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_bills_page_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdBillsPage *self = TD_BILLS_PAGE (object);

  if (id == PROP_LIST && g_value_get_string (value) != NULL)
    set_list (self, g_value_get_string (value));
  else if (id == PROP_ASKING && !g_value_get_boolean (value))
    td_ask_form_close (self->form);
  else if (id != PROP_LIST && id != PROP_ASKING)
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_bills_page_dispose (GObject *object)
{
  TdBillsPage *self = TD_BILLS_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  g_cancellable_cancel (self->asked);
  if (self->view != NULL)
    gtk_list_view_set_model (self->view, NULL);
  self->view = NULL;
  g_clear_pointer (&self->box, gtk_widget_unparent);
  for (int i = 0; i < TD_BILLS_N_LISTS; i++)
    {
      g_clear_object (&self->choices[i]);
      g_clear_object (&self->lists[i]);
    }
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_bills_page_parent_class)->dispose (object);
}

static void
td_bills_page_finalize (GObject *object)
{
  TdBillsPage *self = TD_BILLS_PAGE (object);

  g_clear_object (&self->cancellable);
  g_clear_object (&self->asked);
  g_clear_pointer (&self->by_key, g_hash_table_unref);
  g_clear_pointer (&self->unbilled, td_bills_unbilled_free);
  g_clear_pointer (&self->accounts, g_ptr_array_unref);
  g_clear_pointer (&self->keys, td_row_keys_unref);
  G_OBJECT_CLASS (td_bills_page_parent_class)->finalize (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, box);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, search);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, filter);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, order);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, count);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, stack);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, nothing);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, view);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, form);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, open);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, issue);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, issue_all);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, hold);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, release);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, export);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, export_bound);
  gtk_widget_class_bind_template_child (widget_class, TdBillsPage, print);
  gtk_widget_class_bind_template_callback (widget_class, show_list);
  gtk_widget_class_bind_template_callback (widget_class, search_activate_cb);
  gtk_widget_class_bind_template_callback (widget_class, search_stopped_cb);
  gtk_widget_class_bind_template_callback (widget_class, activated_cb);
  gtk_widget_class_bind_template_callback (widget_class, asking_cb);
  gtk_widget_class_bind_template_callback (widget_class, td_bills_acts_answered_cb);
}

static void
td_bills_page_class_init (TdBillsPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  const GParamFlags both = G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_bills_page_get_property;
  object_class->set_property = td_bills_page_set_property;
  object_class->dispose = td_bills_page_dispose;
  object_class->finalize = td_bills_page_finalize;
  properties[PROP_LIST] = g_param_spec_string ("list", NULL, NULL, "visits", both);
  properties[PROP_LOADED]
    = g_param_spec_boolean ("loaded", NULL, NULL, FALSE, G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  properties[PROP_ASKING] = g_param_spec_boolean ("asking", NULL, NULL, FALSE, both);
  g_object_class_install_properties (object_class, N_PROPS, properties);

  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_CLAMP);
  g_type_ensure (TD_TYPE_BILL_ROW);
  g_type_ensure (TD_TYPE_BILL_ITEM);
  g_type_ensure (TD_TYPE_ASK_FORM);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/bills-page.ui");
  bind_children (widget_class);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_property_action (widget_class, "bills.list", "list");
  for (guint i = 0; i < TD_BILLS_N_LISTS; i++)
    gtk_widget_class_add_binding_action (widget_class, GDK_KEY_1 + i, GDK_ALT_MASK, "bills.list", "s", names[i]);
  td_bills_acts_install (widget_class);
}

static void
td_bills_page_init (TdBillsPage *self)
{
  self->cancellable = g_cancellable_new ();
  self->asked = g_cancellable_new ();
  self->keys = td_row_keys_new ();
  self->by_key = g_hash_table_new (g_int64_hash, g_int64_equal);
  gtk_widget_init_template (GTK_WIDGET (self));
  for (int i = 0; i < TD_BILLS_N_LISTS; i++)
    {
      self->lists[i] = td_lazy_list_new (TD_TYPE_BILL_ITEM, i == TD_BILLS_ISSUED ? fetch_issued : fetch_memory, self, NULL);
      self->choices[i] = gtk_multi_selection_new (g_object_ref (G_LIST_MODEL (self->lists[i])));
      g_signal_connect_object (self->choices[i], "selection-changed", G_CALLBACK (show_count), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (self->choices[i], "items-changed", G_CALLBACK (show_count), self,
                               G_CONNECT_SWAPPED | G_CONNECT_AFTER);
    }
  gtk_widget_set_visible (GTK_WIDGET (self->filter), FALSE);
  gtk_list_view_set_model (self->view, GTK_SELECTION_MODEL (self->choices[self->list]));
}

GtkWidget *
td_bills_page_new (TdContext *context)
{
  TdBillsPage *self = g_object_new (TD_TYPE_BILLS_PAGE, NULL);

  g_return_val_if_fail (TD_IS_CONTEXT (context), GTK_WIDGET (self));
  self->context = g_object_ref (context);
  g_signal_connect_object (context, "book-changed", G_CALLBACK (reload), self, G_CONNECT_SWAPPED);
  show_count (self);
  reload (self);
  return GTK_WIDGET (self);
}

void
td_bills_page_focus_search (TdBillsPage *self)
{
  g_return_if_fail (TD_IS_BILLS_PAGE (self));
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
}
