#include "store-ledger.h"

#include "store-invoice-private.h"

#include "core-invoice-json.h"
#include "core-money.h"

#include <string.h>

static void
clear_row (gpointer data)
{
  TdInvoiceRow *row = data;
  g_free (row->number);
  g_free (row->account_id);
  g_free (row->account);
  g_free (row->payer);
  g_free (row->bill_to);
  g_free (row->currency);
  g_free (row->credits);
}

TdInvoiceRow *
td_invoice_row_ref (TdInvoiceRow *row)
{
  g_return_val_if_fail (row != NULL, NULL);
  return g_atomic_rc_box_acquire (row);
}

void
td_invoice_row_unref (TdInvoiceRow *row)
{
  g_return_if_fail (row != NULL);
  g_atomic_rc_box_release_full (row, clear_row);
}

/* Columns as every statement that gives rows of invoices has them. */
static TdInvoiceRow *
read_row (TdStatement *statement)
{
  TdInvoiceRow *row = g_atomic_rc_box_new0 (TdInvoiceRow);
  row->key = td_statement_get_integer (statement, 0);
  row->number = td_statement_dup_text (statement, 1);
  row->kind = strcmp (td_statement_get_text (statement, 2), "invoice") == 0 ? TD_INVOICE_INVOICE : TD_INVOICE_CREDIT;
  row->account_id = td_statement_dup_text (statement, 3);
  row->account = td_statement_dup_text (statement, 4);
  row->payer = td_statement_dup_text (statement, 5);
  row->bill_to = td_statement_dup_text (statement, 6);
  row->currency = td_statement_dup_text (statement, 7);
  row->issued = td_statement_get_integer (statement, 8);
  row->due = td_statement_get_integer (statement, 9);
  row->net_minor = td_statement_get_integer (statement, 10);
  row->tax_minor = td_statement_get_integer (statement, 11);
  row->total_minor = td_statement_get_integer (statement, 12);
  row->credits = td_statement_dup_text_or_null (statement, 13);
  row->paid_minor = td_statement_get_integer (statement, 14);
  row->credited_minor = td_statement_get_integer (statement, 15);
  row->open_minor = td_statement_get_integer (statement, 16);
  return row;
}

static const TdSql LISTS[] = {
  [TD_INVOICES_BY_NUMBER] = TD_SQL_LIST_INVOICES_BY_NUMBER,
  [TD_INVOICES_BY_ISSUED] = TD_SQL_LIST_INVOICES_BY_ISSUED,
  [TD_INVOICES_BY_BILL_TO] = TD_SQL_LIST_INVOICES_BY_BILL_TO,
  [TD_INVOICES_BY_TOTAL] = TD_SQL_LIST_INVOICES_BY_TOTAL,
  [TD_INVOICES_BY_DUE] = TD_SQL_LIST_INVOICES_BY_DUE,
};

/* "%part%", its own signs escaped. */
static char *
make_pattern (const char *part)
{
  GString *pattern = g_string_new ("%");
  for (const char *c = part; *c != '\0'; c++)
    {
      if (*c == '%' || *c == '_' || *c == '\\')
        g_string_append_c (pattern, '\\');
      g_string_append_c (pattern, *c);
    }
  return g_string_free (g_string_append_c (pattern, '%'), FALSE);
}

static void
bind_filter (TdStatement *list, const TdInvoicesFilter *filter)
{
  g_autofree char *pattern = filter->search != NULL ? make_pattern (filter->search) : NULL;
  td_statement_bind_text (list, ":account", filter->account_id);
  td_statement_bind_integer (list, ":open", filter->open_only || filter->overdue_only);
  if (filter->overdue_only)
    td_statement_bind_integer (list, ":overdue", filter->today);
  else
    td_statement_bind_null (list, ":overdue");
  td_statement_bind_text (list, ":search", pattern);
}

GArray *
td_book_list_invoice_keys (TdBook *book, const TdInvoicesFilter *filter, GError **error)
{
  static const TdInvoicesFilter everything = { 0 };
  td_book_assert_owner (book);
  filter = filter != NULL ? filter : &everything;
  g_return_val_if_fail (filter->order < G_N_ELEMENTS (LISTS), NULL);
  g_autoptr (GArray) keys = g_array_new (FALSE, FALSE, sizeof (gint64));
  g_autoptr (TdStatement) row = td_statement_get (book, LISTS[filter->order], error);
  if (row == NULL)
    return NULL;
  bind_filter (row, filter);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      gint64 key = td_statement_get_integer (row, 0);
      g_array_append_val (keys, key);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&keys) : NULL;
}

static gboolean
missing (GError **error, const char *number)
{
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book has no invoice %s; look at the list of invoices",
               number);
  return FALSE;
}

TdInvoiceRow *
td_book_get_invoice_row (TdBook *book, gint64 key, GError **error)
{
  td_book_assert_owner (book);
  g_autofree char *name = g_strdup_printf ("no. %" G_GINT64_FORMAT, key);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_INVOICE_ROW, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_integer (row, ":number", key);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_DONE)
    missing (error, name);
  return step == TD_STEP_ROW ? read_row (row) : NULL;
}

GPtrArray *
td_book_list_invoices (TdBook *book, const TdInvoicesFilter *filter, GError **error)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_invoice_row_unref);
  g_autoptr (GArray) keys = td_book_list_invoice_keys (book, filter, error);
  if (keys == NULL)
    return NULL;
  for (guint i = 0; i < keys->len; i++)
    {
      TdInvoiceRow *row = td_book_get_invoice_row (book, g_array_index (keys, gint64, i), error);
      if (row == NULL)
        return NULL;
      g_ptr_array_add (rows, row);
    }
  return g_steal_pointer (&rows);
}

static void
clear_payment (gpointer data)
{
  g_free (((TdPayment *) data)->text);
}

void
td_invoice_record_free (TdInvoiceRecord *record)
{
  g_return_if_fail (record != NULL);
  g_clear_pointer (&record->row, td_invoice_row_unref);
  g_clear_pointer (&record->invoice, td_invoice_unref);
  g_clear_pointer (&record->payments, g_array_unref);
  g_free (record->seal);
  g_free (record->previous_seal);
  g_free (record);
}

static gboolean
read_payments (TdBook *book, TdInvoiceRecord *record, GError **error)
{
  record->payments = g_array_new (FALSE, FALSE, sizeof (TdPayment));
  g_array_set_clear_func (record->payments, clear_payment);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_PAYMENTS, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":invoice", record->row->key);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdPayment payment = { td_statement_get_integer (row, 0), td_statement_get_integer (row, 1),
                            td_statement_dup_text_or_null (row, 2) };
      g_array_append_val (record->payments, payment);
    }
  return step == TD_STEP_DONE;
}

TdInvoiceRecord *
td_invoice_record_read (TdBook *book, const char *number, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (GError) why = NULL;
  g_autoptr (TdInvoiceRecord) record = g_new0 (TdInvoiceRecord, 1);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_INVOICE, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_text (row, ":code", number);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_DONE)
    missing (error, number);
  if (step != TD_STEP_ROW)
    return NULL;
  record->row = read_row (row);
  record->invoice = td_invoice_from_body (td_statement_get_text (row, 17), &why);
  record->previous_seal = td_statement_get_hash (row, 18);
  record->seal = td_statement_get_hash (row, 19);
  if (record->invoice == NULL)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
                   "Invoice %s in “%s” can no longer be read (%s); nothing was changed; restore the newest backup that "
                   "passes the check", number, book->path, why->message);
      return NULL;
    }
  return read_payments (book, record, error) ? g_steal_pointer (&record) : NULL;
}

TdInvoiceRecord *
td_book_load_invoice (TdBook *book, const char *number, GError **error)
{
  g_return_val_if_fail (number != NULL, NULL);
  if (!td_book_begin_read (book, error))
    return NULL;
  TdInvoiceRecord *record = td_invoice_record_read (book, number, error);
  td_book_end_read (book);
  return record;
}

gboolean
td_invoice_find_code (TdBook *book, gint64 number, char **code_out, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_INVOICE_CODE, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":number", number);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_ROW)
    *code_out = td_statement_dup_text (row, 0);
  return step == TD_STEP_ROW || (step == TD_STEP_DONE && missing (error, "of that count"));
}

/* FALSE where the payment cannot be. */
static gboolean
check_payment (const TdInvoiceRow *row, gint64 amount_minor, GError **error)
{
  const char *why = NULL;
  if (row->kind == TD_INVOICE_CREDIT)
    why = "it is a credit note";
  else if (amount_minor > row->open_minor)
    why = "more would be paid than is open";
  else if (row->paid_minor + amount_minor < 0)
    why = "more would be taken back than was paid";
  if (why != NULL)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED, "The payment of %s was not taken: %s; nothing was written; "
                 "look at its balance", row->number, why);
  return why == NULL;
}

static gboolean
pay (TdBook *book, const char *number, gint64 amount_minor, TdDate day, const char *text, GError **error)
{
  g_autoptr (TdInvoiceRecord) record = td_invoice_record_read (book, number, error);
  if (record == NULL || !check_payment (record->row, amount_minor, error))
    return FALSE;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_PAYMENT, error);
  g_autoptr (TdStatement) balance = row != NULL ? td_statement_get (book, TD_SQL_UPDATE_BALANCE, error) : NULL;
  if (balance == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":invoice", record->row->key);
  td_statement_bind_integer (row, ":day", day);
  td_statement_bind_integer (row, ":amount_minor", amount_minor);
  td_statement_bind_text (row, ":text", text);
  td_statement_bind_integer (row, ":recorded_ms", td_clock_get_now_ms (book->clock));
  td_statement_bind_integer (balance, ":invoice", record->row->key);
  td_statement_bind_integer (balance, ":paid_minor", amount_minor);
  td_statement_bind_integer (balance, ":credited_minor", 0);
  return td_statement_run (row, error) && td_statement_run (balance, error);
}

gboolean
td_book_pay_invoice (TdBook *book, const char *number, gint64 amount_minor, TdDate day, const char *text,
                     GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (number != NULL && amount_minor != 0 && day != TD_DATE_NONE, FALSE);
  if (!td_book_begin (book, error))
    return FALSE;
  if (!pay (book, number, amount_minor, day, text, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}
