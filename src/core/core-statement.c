#include "core-statement.h"

static void
clear_line (gpointer data)
{
  TdStatementLine *line = data;

  g_free (line->kind);
  g_free (line->number);
  g_free (line->bill_to);
  g_free (line->currency);
  g_free (line->text);
}

static void
clear_balance (gpointer data)
{
  g_free (((TdStatementBalance *) data)->currency);
}

TdAccountStatement *
td_account_statement_new (const char *account_id, TdDate from, TdDate to)
{
  TdAccountStatement *statement = g_new0 (TdAccountStatement, 1);

  statement->account_id = g_strdup (account_id);
  statement->from = from;
  statement->to = to;
  statement->lines = g_array_new (FALSE, TRUE, sizeof (TdStatementLine));
  g_array_set_clear_func (statement->lines, clear_line);
  statement->balances = g_array_new (FALSE, TRUE, sizeof (TdStatementBalance));
  g_array_set_clear_func (statement->balances, clear_balance);
  return statement;
}

void
td_account_statement_free (TdAccountStatement *statement)
{
  g_return_if_fail (statement != NULL);
  g_free (statement->account_id);
  g_free (statement->account);
  g_array_unref (statement->lines);
  g_array_unref (statement->balances);
  g_free (statement);
}
