/* core-statement.h: an account's statement: what was invoiced, credited and paid from one day to another, with the
 * balance after each. */
#pragma once

#include "core-time.h"

G_BEGIN_DECLS

/* One line of it. Amounts in the currency's minor unit. */
typedef struct
{
  TdDate day;
  char *kind;    /* "invoice", "credit-note", "payment" */
  char *number;
  char *bill_to;
  char *currency;
  gint64 amount_minor;  /* raises (invoice) or lowers (credit note, payment) the balance */
  gint64 balance_minor; /* of its currency, after it */
  char *text;           /* of a payment, NULL */
  TdDate due;           /* of an invoice; TD_DATE_NONE where it asks for nothing */
} TdStatementLine;

typedef struct
{
  char *currency;
  gint64 opening_minor, closing_minor;
} TdStatementBalance;

typedef struct
{
  char *account_id, *account; /* account: its name */
  TdDate from, to;
  GArray *lines;    /* TdStatementLine, from from to to */
  GArray *balances; /* TdStatementBalance, in the order first met */
} TdAccountStatement;

/* Without lines and balances; both free what is put into them. (transfer full). */
TdAccountStatement *td_account_statement_new (const char *account_id, TdDate from, TdDate to);
void td_account_statement_free (TdAccountStatement *statement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdAccountStatement, td_account_statement_free)

G_END_DECLS
