/* desk-bills-job.h: what the Invoices place reads of the book, on the book's thread. */
#pragma once

#include "desk-row-keys.h"
#include "model-bill.h"
#include "store-invoice.h"
#include "store-ledger.h"

G_BEGIN_DECLS

typedef struct _TdBillsJob TdBillsJob;

/* Takes a reference to @keys. */
TdBillsJob *td_bills_job_new (TdRowKeys *keys, gint64 now_ms);
void td_bills_job_free (gpointer job);

/* What can be invoiced, and what waits. */
typedef struct
{
  GPtrArray *visits; /* TdBill: every closed visit that somebody has not been invoiced for */
  GPtrArray *drafts; /* TdBill */
  TdInvoiceDrafts *book; /* what they were made from */
} TdBillsUnbilled;

void td_bills_unbilled_free (gpointer unbilled);
/* A TdJob. @data: a TdBillsJob. @result_out: a TdBillsUnbilled. */
gboolean td_bills_unbilled_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* A TdJob: every account with what it owes. @data: a TdBillsJob. @result_out: a GPtrArray of TdBill. */
gboolean td_bills_accounts_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

/* Keys of issued invoices, for a lazy list. */
typedef struct
{
  char *account_id; /* NULL: of all */
  char *search;     /* NULL */
  gboolean open_only, overdue_only;
  TdBillsOrder order;
  TdDate today;
} TdBillsAsked;

void td_bills_asked_free (gpointer asked);
/* A TdJob. @data: a TdBillsAsked. @result_out: a GArray of gint64. */
gboolean td_bills_keys_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

typedef struct
{
  gint64 *keys;
  guint n;
  TdDate today;
} TdBillKeysPage;

/* @keys: copied. */
TdBillKeysPage *td_bill_keys_page_new (const gint64 *keys, guint n, TdDate today);
void td_bill_keys_page_free (gpointer page);
/* A TdJob. @data: a TdBillKeysPage. @result_out: a GPtrArray of TdBill, one for each key. */
gboolean td_bills_rows_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

/* One issued invoice as a row. (transfer full) */
TdBill *td_bill_from_row (const TdInvoiceRow *row, TdDate today);

G_END_DECLS
