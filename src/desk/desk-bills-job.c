#include "desk-bills-job.h"

#include "store-query.h"

#include <string.h>

#define DAY_MS G_GINT64_CONSTANT (86400000)

struct _TdBillsJob
{
  TdRowKeys *keys;
  gint64 now_ms;
};

TdBillsJob *
td_bills_job_new (TdRowKeys *keys, gint64 now_ms)
{
  TdBillsJob *job = g_new0 (TdBillsJob, 1);

  job->keys = td_row_keys_ref (keys);
  job->now_ms = now_ms;
  return job;
}

void
td_bills_job_free (gpointer data)
{
  TdBillsJob *job = data;

  td_row_keys_unref (job->keys);
  g_free (job);
}

void
td_bills_unbilled_free (gpointer data)
{
  TdBillsUnbilled *unbilled = data;

  g_clear_pointer (&unbilled->visits, g_ptr_array_unref);
  g_clear_pointer (&unbilled->drafts, g_ptr_array_unref);
  g_clear_pointer (&unbilled->book, td_invoice_drafts_free);
  g_free (unbilled);
}

static TdBill *
make_draft (TdBillsJob *job, const TdInvoiceDraft *draft)
{
  const TdInvoice *invoice = draft->invoice;
  const TdBill bill = { .key = td_row_keys_get (job->keys, draft->key),
                        .state = invoice->kind == TD_INVOICE_CREDIT ? TD_BILL_DRAFT_CREDIT : TD_BILL_DRAFT,
                        .id = draft->key,
                        .who = invoice->payer.name,
                        .account = invoice->account,
                        .account_id = invoice->account_id,
                        .currency = invoice->currency,
                        .total_minor = invoice->total_minor,
                        .date = invoice->last,
                        .due = TD_DATE_NONE,
                        .count = invoice->lines->len,
                        .text = invoice->reason };

  return td_bill_new (&bill);
}

static TdBill *
make_waiting (TdBillsJob *job, const TdWaiting *waiting)
{
  g_autofree char *id = td_uuid_to_text (&waiting->visit);
  const TdBill bill = { .key = td_row_keys_get (job->keys, id),
                        .state = waiting->why == TD_WAITING_HOLD ? TD_BILL_HELD : TD_BILL_WAITING,
                        .id = id,
                        .number = waiting->number,
                        .who = waiting->site,
                        .account = waiting->account,
                        .account_id = waiting->account_id,
                        .date = waiting->date,
                        .due = TD_DATE_NONE,
                        .days = waiting->why == TD_WAITING_HOLD ? (int) ((job->now_ms - waiting->since_ms) / DAY_MS) : 0,
                        .text = waiting->text };

  return td_bill_new (&bill);
}

/* A visit may stand on several drafts, in parts. */
static void
add_line (GHashTable *visits, GPtrArray *order, const TdInvoice *invoice, const TdInvoiceLine *line)
{
  TdBill *bill = g_hash_table_lookup (visits, line->visit);

  if (bill == NULL)
    {
      bill = g_new0 (TdBill, 1);
      bill->state = TD_BILL_READY;
      bill->id = line->visit;
      bill->number = line->report;
      bill->who = line->site;
      bill->account = invoice->account;
      bill->account_id = invoice->account_id;
      bill->currency = invoice->currency;
      bill->date = line->date;
      bill->due = TD_DATE_NONE;
      g_hash_table_insert (visits, line->visit, bill);
      g_ptr_array_add (order, bill);
    }
  if (g_strcmp0 (bill->currency, invoice->currency) == 0)
    bill->total_minor += line->net_minor;
}

static void
add_visits (TdBillsJob *job, GPtrArray *visits, const GPtrArray *drafts)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GPtrArray) order = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; i < drafts->len; i++)
    {
      const TdInvoice *invoice = ((TdInvoiceDraft *) g_ptr_array_index (drafts, i))->invoice;

      for (guint k = 0; invoice->kind == TD_INVOICE_INVOICE && k < invoice->lines->len; k++)
        if (g_array_index (invoice->lines, TdInvoiceLine, k).visit != NULL)
          add_line (seen, order, invoice, &g_array_index (invoice->lines, TdInvoiceLine, k));
    }
  for (guint i = 0; i < order->len; i++)
    {
      TdBill *bill = g_ptr_array_index (order, i);

      bill->key = td_row_keys_get (job->keys, bill->id);
      g_ptr_array_add (visits, td_bill_new (bill));
    }
}

gboolean
td_bills_unbilled_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdBillsJob *job = data;
  TdInvoiceDrafts *drafts = td_book_draft_invoices (book, NULL, error);
  TdBillsUnbilled *unbilled;

  if (drafts == NULL)
    return FALSE;
  unbilled = g_new0 (TdBillsUnbilled, 1);
  unbilled->book = drafts;
  unbilled->visits = g_ptr_array_new_with_free_func ((GDestroyNotify) td_bill_unref);
  unbilled->drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_bill_unref);
  for (guint i = 0; i < drafts->drafts->len; i++)
    g_ptr_array_add (unbilled->drafts, make_draft (job, g_ptr_array_index (drafts->drafts, i)));
  for (guint i = 0; i < drafts->waiting->len; i++)
    g_ptr_array_add (unbilled->visits, make_waiting (job, g_ptr_array_index (drafts->waiting, i)));
  add_visits (job, unbilled->visits, drafts->drafts);
  *result_out = unbilled;
  return TRUE;
}

static TdBill *
make_account (TdBillsJob *job, const TdAccountRow *account, const GPtrArray *balances)
{
  TdDate today = (TdDate) (job->now_ms / DAY_MS);
  TdBill bill = { .key = td_row_keys_get (job->keys, account->id),
                  .state = TD_BILL_ACCOUNT,
                  .id = account->id,
                  .who = account->name,
                  .account = account->address,
                  .account_id = account->id,
                  .date = TD_DATE_NONE,
                  .due = TD_DATE_NONE,
                  .count = account->sites };

  /* The first of several currencies; the account's own page shows each. */
  for (guint i = 0; i < balances->len && bill.currency == NULL; i++)
    {
      const TdAccountBalance *balance = g_ptr_array_index (balances, i);

      if (strcmp (balance->account_id, account->id) != 0)
        continue;
      bill.currency = balance->currency;
      bill.total_minor = bill.open_minor = balance->open_minor;
      bill.due = balance->due;
      bill.days = MAX (today - balance->due, 0);
    }
  return td_bill_new (&bill);
}

gboolean
td_bills_accounts_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdBillsJob *job = data;
  g_autoptr (GPtrArray) accounts = td_book_list_accounts (book, error);
  g_autoptr (GPtrArray) balances
    = accounts != NULL ? td_book_list_account_balances (book, NULL, (TdDate) (job->now_ms / DAY_MS), error) : NULL;
  GPtrArray *bills;

  if (balances == NULL)
    return FALSE;
  bills = g_ptr_array_new_with_free_func ((GDestroyNotify) td_bill_unref);
  for (guint i = 0; i < accounts->len; i++)
    g_ptr_array_add (bills, make_account (job, g_ptr_array_index (accounts, i), balances));
  *result_out = bills;
  return TRUE;
}

void
td_bills_asked_free (gpointer data)
{
  TdBillsAsked *asked = data;

  g_free (asked->account_id);
  g_free (asked->search);
  g_free (asked);
}

gboolean
td_bills_keys_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  static const TdInvoicesOrder orders[] = {
    [TD_BILLS_NEWEST] = TD_INVOICES_BY_NUMBER, [TD_BILLS_OLDEST] = TD_INVOICES_BY_ISSUED,
    [TD_BILLS_BY_WHO] = TD_INVOICES_BY_BILL_TO, [TD_BILLS_BY_SUM] = TD_INVOICES_BY_TOTAL,
    [TD_BILLS_BY_URGENCY] = TD_INVOICES_BY_DUE,
  };
  const TdBillsAsked *asked = data;
  const TdInvoicesFilter filter = { .account_id = asked->account_id,
                                    .open_only = asked->open_only,
                                    .overdue_only = asked->overdue_only,
                                    .today = asked->today,
                                    .search = asked->search,
                                    .order = orders[asked->order] };

  *result_out = td_book_list_invoice_keys (book, &filter, error);
  return *result_out != NULL;
}

TdBillKeysPage *
td_bill_keys_page_new (const gint64 *keys, guint n, TdDate today)
{
  TdBillKeysPage *page = g_new0 (TdBillKeysPage, 1);

  page->keys = g_memdup2 (keys, n * sizeof *keys);
  page->n = n;
  page->today = today;
  return page;
}

void
td_bill_keys_page_free (gpointer data)
{
  TdBillKeysPage *page = data;

  g_free (page->keys);
  g_free (page);
}

static TdBillState
get_state (const TdInvoiceRow *row, TdDate today)
{
  if (row->kind == TD_INVOICE_CREDIT)
    return TD_BILL_CREDIT;
  if (row->open_minor == 0)
    return TD_BILL_PAID;
  return row->due < today && row->open_minor > 0 ? TD_BILL_OVERDUE : TD_BILL_OPEN;
}

TdBill *
td_bill_from_row (const TdInvoiceRow *row, TdDate today)
{
  TdBill bill = { .key = row->key,
                  .state = get_state (row, today),
                  .id = row->number,
                  .number = row->number,
                  .who = row->bill_to,
                  .account = row->account,
                  .account_id = row->account_id,
                  .currency = row->currency,
                  .total_minor = row->total_minor,
                  .open_minor = row->open_minor,
                  .date = row->issued,
                  .due = row->due,
                  .text = row->credits };

  if (bill.state == TD_BILL_OVERDUE)
    bill.days = today - row->due;
  return td_bill_new (&bill);
}

gboolean
td_bills_rows_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdBillKeysPage *page = data;
  g_autoptr (GPtrArray) bills = g_ptr_array_new_with_free_func ((GDestroyNotify) td_bill_unref);

  for (guint i = 0; i < page->n; i++)
    {
      g_autoptr (TdInvoiceRow) row = td_book_get_invoice_row (book, page->keys[i], error);

      if (row == NULL)
        return FALSE;
      g_ptr_array_add (bills, td_bill_from_row (row, page->today));
    }
  *result_out = g_steal_pointer (&bills);
  return TRUE;
}
