/* Issuing: the next number, frozen, sealed. */
#include "store-invoice-private.h"

#include "store-cache.h"

#include "core-error.h"
#include "core-invoice-json.h"

#include <string.h>

#define STANDARD_PREFIX "INV-"
#define PREFIX_MOST 12

typedef struct
{
  char *prefix;
  gboolean here; /* this copy of the book numbers */
} Series;

/* A book without a row is numbered by the copy that asks first. */
static gboolean
read_series (TdBook *book, Series *series, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_SERIES, error);
  if (row == NULL)
    return FALSE;
  TdStep step = td_statement_ask (row, error);
  series->prefix = step == TD_STEP_ROW ? td_statement_dup_text (row, 0) : g_strdup (STANDARD_PREFIX);
  series->here = step != TD_STEP_ROW || td_statement_get_integer (row, 1) == book->device_key;
  return step != TD_STEP_FAILED;
}

static gboolean
write_series (TdBook *book, const char *prefix, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_SELECT_SERIES, error);
  TdStep step = find != NULL ? td_statement_ask (find, error) : TD_STEP_FAILED;
  if (step == TD_STEP_FAILED)
    return FALSE;
  g_autoptr (TdStatement) row
      = td_statement_get (book, step == TD_STEP_ROW ? TD_SQL_UPDATE_SERIES : TD_SQL_INSERT_SERIES, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":prefix", prefix);
  td_statement_bind_integer (row, ":device", book->device_key);
  return td_statement_run (row, error);
}

gboolean
td_book_set_invoice_series (TdBook *book, const char *prefix, GError **error)
{
  Series series = { 0 };
  td_book_assert_owner (book);
  if (prefix != NULL && (!g_utf8_validate (prefix, -1, NULL) || g_utf8_strlen (prefix, -1) > PREFIX_MOST ||
                         strpbrk (prefix, " /\\\t\n\r") != NULL))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   "A prefix of invoice numbers has at most %d characters, no space and no slash", PREFIX_MOST);
      return FALSE;
    }
  if (!td_book_begin (book, error))
    return FALSE;
  gboolean ok = read_series (book, &series, error) && write_series (book, prefix != NULL ? prefix : series.prefix, error);
  g_free (series.prefix);
  if (!ok)
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}

char *
td_book_get_invoice_series (TdBook *book, gboolean *here_out, GError **error)
{
  Series series = { 0 };
  td_book_assert_owner (book);
  if (!read_series (book, &series, error))
    g_clear_pointer (&series.prefix, g_free);
  if (here_out != NULL)
    *here_out = series.here;
  return series.prefix;
}

static gboolean
find_last (TdBook *book, gint64 *number_out, char **seal_out, TdDate *issued_out, GError **error)
{
  g_autoptr (TdStatement) last = td_statement_get (book, TD_SQL_SELECT_LAST_INVOICE, error);
  if (last == NULL)
    return FALSE;
  TdStep step = td_statement_ask (last, error);
  *number_out = step == TD_STEP_ROW ? td_statement_get_integer (last, 0) : 0;
  *seal_out = step == TD_STEP_ROW ? td_statement_get_hash (last, 1) : NULL;
  *issued_out = step == TD_STEP_ROW ? (TdDate) td_statement_get_integer (last, 2) : TD_DATE_NONE;
  return step != TD_STEP_FAILED;
}

static gboolean
refuse (GError **error, const char *what, const char *remedy)
{
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED, "%s; nothing was issued; %s", what, remedy);
  return FALSE;
}

/* The code of the next number, and what it is chained to. */
static gboolean
next_number (TdBook *book, TdDate issued, gint64 *number_out, char **code_out, char **previous_out, GError **error)
{
  Series series = { 0 };
  TdDate last = TD_DATE_NONE;
  if (!read_series (book, &series, error))
    return FALSE;
  g_autofree char *prefix = series.prefix;
  if (!series.here)
    return refuse (error, "Another copy of this book numbers the invoices",
                   "issue there, or make this copy the one that numbers (invoice series --here)");
  if (!write_series (book, prefix, error) || !find_last (book, number_out, previous_out, &last, error))
    return FALSE;
  if (last != TD_DATE_NONE && issued < last)
    return refuse (error, "The newest invoice bears a later date", "give a date that is not before it");
  *number_out += 1;
  *code_out = g_strdup_printf ("%s%05" G_GINT64_FORMAT, prefix, *number_out);
  return TRUE;
}

static gboolean
find_account (TdBook *book, const char *slug, gint64 *key_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_ACCOUNT, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":slug", slug);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_ROW)
    *key_out = td_statement_get_integer (find, 0);
  return step == TD_STEP_ROW;
}

static gboolean
insert_row (TdBook *book, const TdInvoice *invoice, gint64 number, gint64 account, gint64 credits, const char *previous,
            GError **error)
{
  g_autofree char *body = td_invoice_to_body (invoice);
  g_autofree char *seal = td_invoice_make_seal (previous, body);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_INVOICE, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":number", number);
  td_statement_bind_text (row, ":code", invoice->number);
  td_statement_bind_text (row, ":kind", td_invoice_kind_to_text (invoice->kind));
  td_statement_bind_integer (row, ":account", account);
  td_statement_bind_text (row, ":payer", invoice->payer.id);
  td_statement_bind_text (row, ":bill_to", invoice->payer.name);
  td_statement_bind_text (row, ":currency", invoice->currency);
  td_statement_bind_integer (row, ":issued", invoice->issued);
  td_statement_bind_integer (row, ":due", invoice->due);
  td_statement_bind_integer (row, ":net_minor", invoice->net_minor);
  td_statement_bind_integer (row, ":tax_minor", invoice->tax_minor);
  td_statement_bind_integer (row, ":total_minor", invoice->total_minor);
  if (credits != 0)
    td_statement_bind_integer (row, ":credits", credits);
  else
    td_statement_bind_null (row, ":credits");
  td_statement_bind_integer (row, ":issued_ms", td_clock_get_now_ms (book->clock));
  td_statement_bind_text (row, ":body", body);
  td_statement_bind_hash (row, ":previous", previous);
  td_statement_bind_hash (row, ":seal", seal);
  return td_statement_run (row, error);
}

static gboolean
insert_visits (TdBook *book, const TdInvoice *invoice, gint64 number, GError **error)
{
  g_autoptr (GPtrArray) visits = td_invoice_list_visits (invoice);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_INVOICE_VISIT, error);
  if (row == NULL)
    return FALSE;
  for (guint i = 0; i < visits->len; i++)
    {
      TdUuid id = { { 0 } };
      if (!td_uuid_parse (g_ptr_array_index (visits, i), &id, error))
        return FALSE;
      td_statement_bind_uuid (row, ":uuid", &id);
      td_statement_bind_text (row, ":payer", invoice->payer.id);
      td_statement_bind_integer (row, ":invoice", number);
      if (!td_statement_run (row, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
insert_months (TdBook *book, const TdInvoice *invoice, gint64 number, gint64 account, GError **error)
{
  const TdInvoiceLine *last = NULL;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_INVOICE_MONTH, error);
  if (row == NULL)
    return FALSE;
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
      /* The price and what is taken off it stand next to each other. */
      gint64 served = account;
      if (line->item != TD_ITEM_CONTRACT ||
          (last != NULL && line->date == last->date && g_strcmp0 (line->account, last->account) == 0))
        continue;
      last = line;
      if (line->account != NULL && !find_account (book, line->account, &served, error))
        return FALSE;
      td_statement_bind_integer (row, ":account", served);
      td_statement_bind_text (row, ":payer", invoice->payer.id);
      td_statement_bind_integer (row, ":month", line->date);
      td_statement_bind_integer (row, ":invoice", number);
      if (!td_statement_run (row, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
insert_balance (TdBook *book, const TdInvoice *invoice, gint64 number, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_BALANCE, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":invoice", number);
  td_statement_bind_integer (row, ":open_minor", invoice->kind == TD_INVOICE_INVOICE ? invoice->total_minor : 0);
  td_statement_bind_integer (row, ":due", invoice->due);
  return td_statement_run (row, error);
}

static gboolean
insert_credit (TdBook *book, const TdInvoice *credit, gint64 number, gint64 credits, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_CREDIT_LINE, error);
  g_autoptr (TdStatement) balance = row != NULL ? td_statement_get (book, TD_SQL_UPDATE_BALANCE, error) : NULL;
  if (balance == NULL)
    return FALSE;
  for (guint i = 0; i < credit->lines->len; i++)
    {
      td_statement_bind_integer (row, ":invoice", credits);
      td_statement_bind_integer (row, ":line", g_array_index (credit->lines, TdInvoiceLine, i).of);
      td_statement_bind_integer (row, ":credit", number);
      if (!td_statement_run (row, error))
        return FALSE;
    }
  td_statement_bind_integer (balance, ":invoice", credits);
  td_statement_bind_integer (balance, ":paid_minor", 0);
  td_statement_bind_integer (balance, ":credited_minor", credit->total_minor);
  return td_statement_run (balance, error);
}

/* What was written is what will be read: the bytes, the sums, the seal. */
static gboolean
read_back (TdBook *book, const TdInvoice *invoice, GError **error)
{
  g_autoptr (TdInvoiceRecord) record = td_invoice_record_read (book, invoice->number, error);
  if (record == NULL)
    return FALSE;
  g_autofree char *written = td_invoice_to_body (invoice);
  g_autofree char *read = td_invoice_to_body (record->invoice);
  g_autofree char *seal = td_invoice_make_seal (record->previous_seal, read);
  if (strcmp (written, read) == 0 && g_strcmp0 (seal, record->seal) == 0 && td_invoice_check (record->invoice, error))
    return TRUE;
  g_clear_error (error);
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
               "Invoice %s read back from “%s” otherwise than it was written; nothing was issued; check the book and "
               "the disk", invoice->number, book->path);
  return FALSE;
}

gboolean
td_invoice_write (TdBook *book, TdInvoice *draft, TdDate issued, gint64 *number_out, char **code_out, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing && draft->number == NULL);
  gint64 account = 0, credits = 0;
  TdSeller seller = { 0 };
  g_autofree char *code = NULL;
  g_autofree char *previous = NULL;
  TdMasters *masters = td_cache_get_masters (book, error);
  if (masters == NULL || !next_number (book, issued, number_out, &code, &previous, error) ||
      !find_account (book, draft->account_id, &account, error))
    return FALSE;
  td_party_fill (td_seller_fields, &seller, td_company_fields, masters);
  td_invoice_issue (draft, code, issued, &seller);
  td_seller_clear (&seller);
  if (draft->credits != NULL)
    {
      g_autoptr (TdInvoiceRecord) credited = td_invoice_record_read (book, draft->credits, error);
      if (credited == NULL)
        return FALSE;
      credits = credited->row->key;
    }
  if (!insert_row (book, draft, *number_out, account, credits, previous, error) ||
      !insert_balance (book, draft, *number_out, error))
    return FALSE;
  if (draft->kind == TD_INVOICE_CREDIT ? !insert_credit (book, draft, *number_out, credits, error)
                                       : !insert_visits (book, draft, *number_out, error) ||
                                             !insert_months (book, draft, *number_out, account, error))
    return FALSE;
  *code_out = g_steal_pointer (&code);
  return read_back (book, draft, error);
}

/* Credit notes of an account go along with whatever is chosen of it: the invoices rest on them. */
static gboolean
is_wanted (const TdInvoiceDrafts *drafts, const TdInvoiceDraft *draft, const char *const *keys)
{
  if (keys == NULL || g_strv_contains (keys, draft->key))
    return TRUE;
  for (guint i = 0; draft->invoice->kind == TD_INVOICE_CREDIT && i < drafts->drafts->len; i++)
    {
      const TdInvoiceDraft *other = g_ptr_array_index (drafts->drafts, i);
      if (strcmp (other->invoice->account_id, draft->invoice->account_id) == 0 && g_strv_contains (keys, other->key))
        return TRUE;
    }
  return FALSE;
}

static gboolean
mark_billed (TdBook *book, const GArray *visits, GError **error)
{
  for (guint i = 0; i < visits->len; i++)
    {
      const TdDraftedVisit *visit = &g_array_index (visits, TdDraftedVisit, i);
      g_autoptr (GPtrArray) done = NULL;
      guint missing = 0;
      if (!td_billed_read (book, visit->key, &done, NULL, error))
        return FALSE;
      for (guint p = 0; p < visit->payers->len; p++)
        missing += !g_ptr_array_find_with_equal_func (done, g_ptr_array_index (visit->payers, p), g_str_equal, NULL);
      if (missing > 0)
        continue;
      g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_BILLED, error);
      if (row == NULL)
        return FALSE;
      td_statement_bind_integer (row, ":visit", visit->key);
      if (!td_statement_run (row, error))
        return FALSE;
    }
  return TRUE;
}

static GPtrArray *
issue (TdBook *book, const TdDraftFilter *filter, TdDate issued, GError **error)
{
  g_autoptr (GArray) visits = td_drafted_visits_new ();
  g_autoptr (GPtrArray) numbers = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (TdInvoiceDrafts) drafts = NULL;
  if (!td_cache_refresh (book, error))
    return NULL;
  drafts = td_drafts_collect (book, filter, visits, error);
  if (drafts == NULL)
    return NULL;
  for (guint i = 0; i < drafts->drafts->len; i++)
    {
      const TdInvoiceDraft *draft = g_ptr_array_index (drafts->drafts, i);
      gint64 number = 0;
      char *code = NULL;
      if (!is_wanted (drafts, draft, filter != NULL ? filter->keys : NULL))
        continue;
      if (!td_invoice_write (book, draft->invoice, issued, &number, &code, error))
        {
          g_free (code);
          return NULL;
        }
      g_ptr_array_add (numbers, code);
    }
  return mark_billed (book, visits, error) ? g_steal_pointer (&numbers) : NULL;
}

GPtrArray *
td_book_issue_invoices (TdBook *book, const TdDraftFilter *filter, TdDate issued, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (issued != TD_DATE_NONE, NULL);
  if (!td_book_begin (book, error))
    return NULL;
  g_autoptr (GPtrArray) numbers = issue (book, filter, issued, error);
  if (numbers == NULL)
    {
      td_book_rollback (book);
      return NULL;
    }
  return td_book_commit (book, error) ? g_steal_pointer (&numbers) : NULL;
}
