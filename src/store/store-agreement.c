#include "store-agreement.h"

#include "store-account.h"
#include "store-private.h"

#include "core-json-build.h"

#include <string.h>

void
td_agreement_row_free (TdAgreementRow *row)
{
  g_return_if_fail (row != NULL);
  td_agreement_unref (row->agreement);
  g_free (row);
}

/* The newest version that begins on that day; 0 where there is none. */
static gboolean
find_version (TdBook *book, gint64 account, TdDate since, gint64 *version_out, char **sha256_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_AGREEMENT, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_integer (find, ":account", account);
  td_statement_bind_integer (find, ":since", since);
  TdStep step = td_statement_ask (find, error);
  *version_out = step == TD_STEP_ROW ? td_statement_get_integer (find, 0) : 0;
  *sha256_out = step == TD_STEP_ROW ? td_statement_get_hash (find, 1) : NULL;
  return step != TD_STEP_FAILED;
}

static gboolean
insert (TdBook *book, gint64 account, const TdAgreement *agreement, const char *text, TdImportOutcome *outcome_out,
        GError **error)
{
  gint64 version = 0;
  g_autofree char *before = NULL;
  g_autofree char *sha256 = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  if (!find_version (book, account, agreement->from, &version, &before, error))
    return FALSE;
  *outcome_out = version == 0 ? TD_IMPORT_ADDED : g_strcmp0 (before, sha256) == 0 ? TD_IMPORT_SAME : TD_IMPORT_CHANGED;
  if (*outcome_out == TD_IMPORT_SAME)
    return TRUE;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_AGREEMENT, error);
  if (row == NULL)
    return FALSE;
  TdUuid uuid = td_clock_make_uuid (book->clock);
  td_statement_bind_uuid (row, ":uuid", &uuid);
  td_statement_bind_integer (row, ":account", account);
  td_statement_bind_integer (row, ":since", agreement->from);
  td_statement_bind_integer (row, ":version", version + 1);
  if (agreement->to == TD_DATE_NONE)
    td_statement_bind_null (row, ":until");
  else
    td_statement_bind_integer (row, ":until", agreement->to);
  td_statement_bind_hash (row, ":sha256", sha256);
  td_statement_bind_text (row, ":text", text);
  td_statement_bind_integer (row, ":taken_ms", td_clock_get_now_ms (book->clock));
  return td_statement_run (row, error);
}

/* The accounts that it speaks of are made where they are new. */
static gboolean
ensure_accounts (TdBook *book, const TdAgreement *agreement, gint64 *account_out, GError **error)
{
  gint64 key = 0;
  for (guint i = 0; i < agreement->payers->len; i++)
    {
      const TdPayer *payer = &g_array_index (agreement->payers, TdPayer, i);
      if (payer->account != NULL && !td_account_ensure (book, payer->account, &key, error))
        return FALSE;
    }
  return td_account_ensure (book, agreement->account, account_out, error);
}

gboolean
td_book_import_agreement (TdBook *book, const TdJson *json, TdImportOutcome *outcome_out, GError **error)
{
  td_book_assert_owner (book);
  gint64 account = 0;
  TdImportOutcome outcome = TD_IMPORT_SAME;
  g_autoptr (TdAgreement) agreement = td_agreement_from_json (json, error);
  g_autofree char *text = agreement != NULL ? td_json_to_canonical (json, error) : NULL;
  if (text == NULL || !td_book_begin (book, error))
    return FALSE;
  if (!ensure_accounts (book, agreement, &account, error) || !insert (book, account, agreement, text, &outcome, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  if (!td_book_commit (book, error))
    return FALSE;
  if (outcome_out != NULL)
    *outcome_out = outcome;
  return TRUE;
}

static TdAgreement *
parse (TdBook *book, const char *text, GError **error)
{
  g_autoptr (GError) why = NULL;
  g_autoptr (TdJson) json = td_json_parse (text, -1, &why);
  TdAgreement *agreement = json != NULL ? td_agreement_from_json (json, &why) : NULL;
  if (agreement == NULL)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
                 "An agreement in “%s” can no longer be read (%s); nothing was changed; restore the newest backup "
                 "that passes the check", book->path, why->message);
  return agreement;
}

static GPtrArray *
read_rows (TdBook *book, gint64 account_key, GError **error)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_agreement_row_free);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_AGREEMENTS, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_integer (row, ":account", account_key);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdAgreement *agreement = parse (book, td_statement_get_text (row, 0), error);
      if (agreement == NULL)
        return NULL;
      TdAgreementRow *one = g_new0 (TdAgreementRow, 1);
      one->agreement = agreement;
      one->version = td_statement_get_integer (row, 2);
      one->taken_ms = td_statement_get_integer (row, 4);
      g_ptr_array_add (rows, one);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}

GPtrArray *
td_agreements_read (TdBook *book, gint64 account_key, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (GPtrArray) rows = read_rows (book, account_key, error);
  g_autoptr (GPtrArray) agreements = g_ptr_array_new_with_free_func ((GDestroyNotify) td_agreement_unref);
  if (rows == NULL)
    return NULL;
  for (guint i = 0; i < rows->len; i++)
    {
      const TdAgreementRow *row = g_ptr_array_index (rows, i);
      const TdAgreement *last = agreements->len > 0 ? g_ptr_array_index (agreements, agreements->len - 1) : NULL;
      /* Of those that begin on one day the newest version comes first. */
      if (last == NULL || last->from != row->agreement->from)
        g_ptr_array_add (agreements, td_agreement_ref (row->agreement));
    }
  return g_steal_pointer (&agreements);
}

const TdAgreement *
td_agreements_find (const GPtrArray *agreements, TdDate date)
{
  g_return_val_if_fail (agreements != NULL, NULL);
  for (guint i = 0; i < agreements->len; i++)
    if (td_agreement_holds (g_ptr_array_index (agreements, i), date))
      return g_ptr_array_index (agreements, i);
  return NULL;
}

static gboolean
find_account_key (TdBook *book, const char *account_id, gint64 *key_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_ACCOUNT, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":slug", account_id);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book has no account “%s”; look at the list of "
                 "accounts", account_id);
  if (step == TD_STEP_ROW)
    *key_out = td_statement_get_integer (find, 0);
  return step == TD_STEP_ROW;
}

GPtrArray *
td_book_list_agreements (TdBook *book, const char *account_id, GError **error)
{
  gint64 key = 0;
  GPtrArray *rows = NULL;
  g_return_val_if_fail (account_id != NULL, NULL);
  if (!td_book_begin_read (book, error))
    return NULL;
  if (find_account_key (book, account_id, &key, error))
    rows = read_rows (book, key, error);
  td_book_end_read (book);
  return rows;
}
