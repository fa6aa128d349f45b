/* desk-account-job.h: what the page of an account reads, on the book's thread. */
#pragma once

#include "store-agreement.h"
#include "store-ledger.h"
#include "store-query.h"

G_BEGIN_DECLS

typedef struct
{
  TdAccountRow *account;
  GPtrArray *agreements; /* TdAgreementRow */
  GPtrArray *balances;   /* TdAccountBalance */
  GArray *invoices;      /* gint64: keys, the newest first */
} TdAccountLoaded;

void td_account_loaded_free (gpointer loaded);

typedef struct
{
  char *account_id;
  TdDate today;
} TdAccountAsked;

void td_account_asked_free (gpointer asked);
/* A TdJob. @data: a TdAccountAsked. @result_out: a TdAccountLoaded. TD_BOOK_ERROR_MISSING where there is no such
 * account. */
gboolean td_account_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
