/* An account's statement: what was invoiced, credited and paid, with the balance after each. */
#include "store-ledger.h"

#include "store-private.h"

#include "core-money.h"

#include <string.h>

static TdStatementBalance *
find_balance (TdAccountStatement *statement, const char *currency)
{
  for (guint i = 0; i < statement->balances->len; i++)
    if (strcmp (g_array_index (statement->balances, TdStatementBalance, i).currency, currency) == 0)
      return &g_array_index (statement->balances, TdStatementBalance, i);
  TdStatementBalance balance = { g_strdup (currency), 0, 0 };
  g_array_append_val (statement->balances, balance);
  return &g_array_index (statement->balances, TdStatementBalance, statement->balances->len - 1);
}

static gboolean
add_event (TdAccountStatement *statement, TdStatement *row, GError **error)
{
  TdDate day = td_statement_get_integer (row, 0);
  gint64 amount = td_statement_get_integer (row, 7);
  TdStatementBalance *balance = find_balance (statement, td_statement_get_text (row, 6));
  if (!td_money_add (&balance->closing_minor, amount, error))
    return FALSE;
  if (day < statement->from)
    {
      balance->opening_minor = balance->closing_minor;
      return TRUE;
    }
  TdStatementLine line = { .day = day,
                           .kind = td_statement_dup_text (row, 3),
                           .number = td_statement_dup_text (row, 4),
                           .bill_to = td_statement_dup_text (row, 5),
                           .currency = td_statement_dup_text (row, 6),
                           .amount_minor = amount,
                           .balance_minor = balance->closing_minor,
                           .text = td_statement_dup_text_or_null (row, 8),
                           .due = strcmp (td_statement_get_text (row, 3), "invoice") == 0 ? td_statement_get_integer (row, 9)
                                                                                  : TD_DATE_NONE };
  g_array_append_val (statement->lines, line);
  return TRUE;
}

static gboolean
find_account (TdBook *book, TdAccountStatement *statement, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_ACCOUNT, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":slug", statement->account_id);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book has no account “%s”; look at the list of "
                 "accounts", statement->account_id);
  if (step == TD_STEP_ROW)
    statement->account = td_statement_dup_text (find, 3);
  return step == TD_STEP_ROW;
}

static gboolean
fill (TdBook *book, TdAccountStatement *statement, GError **error)
{
  g_autoptr (TdStatement) row = find_account (book, statement, error)
                                    ? td_statement_get (book, TD_SQL_LIST_ACCOUNT_EVENTS, error)
                                    : NULL;
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":account", statement->account_id);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    if (td_statement_get_integer (row, 0) <= statement->to && !add_event (statement, row, error))
      return FALSE;
  return step == TD_STEP_DONE;
}

TdAccountStatement *
td_book_make_statement (TdBook *book, const char *account_id, TdDate from, TdDate to, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (account_id != NULL && from <= to, NULL);
  g_autoptr (TdAccountStatement) statement = td_account_statement_new (account_id, from, to);
  if (!td_book_begin_read (book, error))
    return NULL;
  gboolean ok = fill (book, statement, error);
  td_book_end_read (book);
  return ok ? g_steal_pointer (&statement) : NULL;
}

void
td_account_balance_free (TdAccountBalance *balance)
{
  g_return_if_fail (balance != NULL);
  g_free (balance->account_id);
  g_free (balance->currency);
  g_free (balance);
}

static TdAccountBalance *
read_balance (TdStatement *row)
{
  TdAccountBalance *balance = g_new0 (TdAccountBalance, 1);
  balance->account_id = td_statement_dup_text (row, 0);
  balance->currency = td_statement_dup_text (row, 1);
  balance->open_minor = td_statement_get_integer (row, 2);
  balance->overdue_minor = td_statement_get_integer (row, 3);
  balance->due = (TdDate) td_statement_get_integer (row, 4);
  balance->invoices = (guint) td_statement_get_integer (row, 5);
  return balance;
}

GPtrArray *
td_book_list_account_balances (TdBook *book, const char *account_id, TdDate today, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (GPtrArray) balances = g_ptr_array_new_with_free_func ((GDestroyNotify) td_account_balance_free);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_ACCOUNT_BALANCES, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_text (row, ":account", account_id);
  td_statement_bind_integer (row, ":today", today);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    g_ptr_array_add (balances, read_balance (row));
  return step == TD_STEP_DONE ? g_steal_pointer (&balances) : NULL;
}
