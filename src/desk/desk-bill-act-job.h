/* desk-bill-act-job.h: what is done with invoices, on the book's thread: issuing, crediting, paying, holding. */
#pragma once

#include "store-invoice.h"
#include "store-ledger.h"

G_BEGIN_DECLS

/* What any of the jobs looks at; the rest is left 0. */
typedef struct
{
  char **ids;      /* issue: keys of drafts, NULL: all; hold, release: visits */
  char *number;    /* credit, pay: the invoice */
  char *reason;    /* hold, credit */
  char *text;      /* pay: its reference; NULL */
  TdDate day;      /* issue, credit, pay */
  gint64 amount_minor;
  GArray *lines;   /* credit: guint, from 0; NULL: all that are left */
  gboolean again;  /* credit: may be invoiced again */
} TdBillAct;

void td_bill_act_free (gpointer act);

/* TdJobs that write. @data: a TdBillAct. */
/* @result_out: a GPtrArray of numbers. */
gboolean td_bill_issue_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* @result_out: the number of the credit note. */
gboolean td_bill_credit_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* No result. */
gboolean td_bill_pay_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* One visit after the other: where one is refused, those before it stay held, and the error says which it
 * was. No result. */
gboolean td_bill_hold_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);
gboolean td_bill_release_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
