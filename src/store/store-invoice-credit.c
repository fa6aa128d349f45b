/* Crediting invoices, and holding visits back from them. */
#include "store-invoice-private.h"

#include "store-cache.h"
#include "store-state.h"

#include <string.h>

GArray *
td_credit_lines_read (TdBook *book, gint64 invoice, GError **error)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_CREDIT_LINES, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_integer (row, ":invoice", invoice);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      guint line = td_statement_get_integer (row, 0);
      g_array_append_val (lines, line);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&lines) : NULL;
}

static gboolean
has_line (const GArray *lines, guint line)
{
  for (guint i = 0; i < lines->len; i++)
    if (g_array_index (lines, guint, i) == line)
      return TRUE;
  return FALSE;
}

GArray *
td_credit_lines_left (const TdInvoice *invoice, const GArray *credited, const char *visit)
{
  GArray *left = g_array_new (FALSE, FALSE, sizeof (guint));
  g_assert (invoice != NULL && credited != NULL);
  for (guint i = 0; i < invoice->lines->len; i++)
    if (!has_line (credited, i) &&
        (visit == NULL || g_strcmp0 (g_array_index (invoice->lines, TdInvoiceLine, i).visit, visit) == 0))
      g_array_append_val (left, i);
  return left;
}

static gboolean
refuse (GError **error, const char *number, const char *why)
{
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED, "%s cannot be credited: %s; nothing was written; look at "
               "the invoice", number, why);
  return FALSE;
}

/* The lines wanted, or all that are left; refused where one is credited already. */
static gboolean
choose_lines (const TdInvoiceRecord *record, const GArray *credited, const guint *lines, guint n_lines,
              GArray **chosen_out, GError **error)
{
  const char *number = record->row->number;
  if (record->invoice->kind == TD_INVOICE_CREDIT)
    return refuse (error, number, "it is a credit note itself");
  if (lines == NULL)
    *chosen_out = td_credit_lines_left (record->invoice, credited, NULL);
  else
    {
      *chosen_out = g_array_new (FALSE, FALSE, sizeof (guint));
      for (guint i = 0; i < n_lines; i++)
        {
          if (lines[i] >= record->invoice->lines->len)
            return refuse (error, number, "it has no such line");
          if (has_line (credited, lines[i]) || has_line (*chosen_out, lines[i]))
            return refuse (error, number, "a line can be credited once only");
          g_array_append_val (*chosen_out, lines[i]);
        }
    }
  return (*chosen_out)->len > 0 || refuse (error, number, "all its lines have been credited");
}

/* Whether every line of the invoice that shares visit, or month, with @line is in one of the lists. */
static gboolean
is_whole (const TdInvoice *invoice, const TdInvoiceLine *line, const GArray *credited, const GArray *chosen)
{
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *other = &g_array_index (invoice->lines, TdInvoiceLine, i);
      gboolean same = line->visit != NULL ? g_strcmp0 (other->visit, line->visit) == 0
                                          : other->visit == NULL && other->date == line->date &&
                                                g_strcmp0 (other->account, line->account) == 0;
      if (same && !has_line (credited, i) && !has_line (chosen, i))
        return FALSE;
    }
  return TRUE;
}

static gboolean
release_visit (TdBook *book, const TdInvoice *invoice, const char *visit, gint64 credit, guint n, GError **error)
{
  TdUuid id = { { 0 } };
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_RELEASE_VISIT, error);
  g_autoptr (TdStatement) billed = row != NULL ? td_statement_get (book, TD_SQL_DELETE_BILLED, error) : NULL;
  if (billed == NULL || !td_uuid_parse (visit, &id, error))
    return FALSE;
  td_statement_bind_integer (row, ":credit", credit);
  td_statement_bind_integer (row, ":n", n);
  td_statement_bind_uuid (row, ":uuid", &id);
  td_statement_bind_text (row, ":payer", invoice->payer.id);
  td_statement_bind_uuid (billed, ":uuid", &id);
  return td_statement_run (row, error) && td_statement_run (billed, error);
}

static gboolean
release_month (TdBook *book, const TdInvoice *invoice, const TdInvoiceLine *line, gint64 credit, guint n,
               GError **error)
{
  gint64 account = 0;
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_ACCOUNT, error);
  g_autoptr (TdStatement) row = find != NULL ? td_statement_get (book, TD_SQL_INSERT_RELEASE_MONTH, error) : NULL;
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (find, ":slug", line->account != NULL ? line->account : invoice->account_id);
  if (td_statement_ask (find, error) != TD_STEP_ROW)
    return FALSE;
  account = td_statement_get_integer (find, 0);
  td_statement_bind_integer (row, ":credit", credit);
  td_statement_bind_integer (row, ":n", n);
  td_statement_bind_integer (row, ":account", account);
  td_statement_bind_text (row, ":payer", invoice->payer.id);
  td_statement_bind_integer (row, ":month", line->date);
  return td_statement_run (row, error);
}

/* What this credit note makes whole may be invoiced again. */
static gboolean
release (TdBook *book, const TdInvoice *invoice, const GArray *credited, const GArray *chosen, gint64 credit,
         GError **error)
{
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  guint n = 0;
  for (guint i = 0; i < chosen->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, g_array_index (chosen, guint, i));
      char *key = line->visit != NULL ? g_strdup (line->visit) : g_strdup_printf ("%d %s", line->date, line->account != NULL ? line->account : "");
      if (!g_hash_table_add (seen, key) || !is_whole (invoice, line, credited, chosen))
        continue;
      if (line->visit != NULL ? !release_visit (book, invoice, line->visit, credit, n++, error)
                              : !release_month (book, invoice, line, credit, n++, error))
        return FALSE;
    }
  return TRUE;
}

static char *
credit_invoice (TdBook *book, const char *number, const guint *lines, guint n_lines, gboolean again, const char *reason,
                TdDate issued, GError **error)
{
  gint64 key = 0;
  g_autofree char *code = NULL;
  g_autoptr (GArray) chosen = NULL;
  g_autoptr (TdInvoiceRecord) record
      = td_cache_refresh (book, error) ? td_invoice_record_read (book, number, error) : NULL;
  g_autoptr (GArray) credited = record != NULL ? td_credit_lines_read (book, record->row->key, error) : NULL;
  if (credited == NULL || !choose_lines (record, credited, lines, n_lines, &chosen, error))
    return NULL;
  g_autoptr (TdInvoice) credit
      = td_invoice_credit (record->invoice, (const guint *) (gpointer) chosen->data, chosen->len, reason, error);
  if (credit == NULL || !td_invoice_write (book, credit, issued, &key, &code, error))
    return NULL;
  if (again && !release (book, record->invoice, credited, chosen, key, error))
    return NULL;
  return g_steal_pointer (&code);
}

char *
td_book_credit_invoice (TdBook *book, const char *number, const guint *lines, guint n_lines, gboolean again,
                        const char *reason, TdDate issued, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (number != NULL && reason != NULL && issued != TD_DATE_NONE, NULL);
  if (!td_book_begin (book, error))
    return NULL;
  g_autofree char *code = credit_invoice (book, number, lines, n_lines, again, reason, issued, error);
  if (code == NULL)
    {
      td_book_rollback (book);
      return NULL;
    }
  return td_book_commit (book, error) ? g_steal_pointer (&code) : NULL;
}

GArray *
td_book_list_credited_lines (TdBook *book, const char *number, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (number != NULL, NULL);
  g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (book, number, error);
  return record != NULL ? td_credit_lines_read (book, record->row->key, error) : NULL;
}

static gboolean
ask_visit (TdBook *book, TdSql sql, gint64 key, gboolean *found_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, sql, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_integer (find, ":visit", key);
  TdStep step = td_statement_ask (find, error);
  *found_out = step == TD_STEP_ROW;
  return step != TD_STEP_FAILED;
}

static gboolean
find_visit (TdBook *book, const TdUuid *visit, gint64 *key_out, gboolean *closed_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_SELECT_VISIT, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_uuid (find, ":uuid", visit);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_DONE)
    g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book has no such visit; look at the list "
                                                                      "of visits");
  if (step != TD_STEP_ROW)
    return FALSE;
  *key_out = td_statement_get_integer (find, 0);
  *closed_out = !td_statement_is_null (find, 6);
  return TRUE;
}

static gboolean
hold (TdBook *book, const TdUuid *visit, const char *reason, GError **error)
{
  gint64 key = 0;
  gboolean closed = FALSE, held = FALSE, billed = FALSE;
  if (!find_visit (book, visit, &key, &closed, error) || !ask_visit (book, TD_SQL_FIND_HOLD, key, &held, error) ||
      !ask_visit (book, TD_SQL_IS_BILLED, key, &billed, error))
    return FALSE;
  if (!closed || held || billed)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED, "The visit cannot be held back: %s; nothing was written; "
                   "look at the list of visits",
                   !closed ? "it is still open and is not invoiced anyway" : held ? "it is held already"
                                                                                  : "it has been invoiced");
      return FALSE;
    }
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_HOLD, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":visit", key);
  td_statement_bind_text (row, ":reason", reason);
  td_statement_bind_integer (row, ":since_ms", td_clock_get_now_ms (book->clock));
  return td_statement_run (row, error);
}

gboolean
td_book_hold_visit (TdBook *book, const TdUuid *visit, const char *reason, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (visit != NULL && reason != NULL && *reason != '\0', FALSE);
  if (!td_book_begin (book, error))
    return FALSE;
  if (!hold (book, visit, reason, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}

static gboolean
let_go (TdBook *book, const TdUuid *visit, GError **error)
{
  gint64 key = 0;
  gboolean closed = FALSE, held = FALSE;
  if (!find_visit (book, visit, &key, &closed, error) || !ask_visit (book, TD_SQL_FIND_HOLD, key, &held, error))
    return FALSE;
  if (!held)
    {
      g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The visit is not held; look at the drafts");
      return FALSE;
    }
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_RELEASE_HOLD, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":visit", key);
  td_statement_bind_integer (row, ":released_ms", td_clock_get_now_ms (book->clock));
  return td_statement_run (row, error);
}

gboolean
td_book_release_visit (TdBook *book, const TdUuid *visit, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (visit != NULL, FALSE);
  if (!td_book_begin (book, error))
    return FALSE;
  if (!let_go (book, visit, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}
