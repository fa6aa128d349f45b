/* desk-bill-paper.h: invoices, drafts and statements of the book as documents, laid out on the book's thread:
 * a run of some hundred takes seconds. */
#pragma once

#include "desk-document-view.h"
#include "document-units.h"
#include "store-invoice.h"
#include "store-ledger.h"

G_BEGIN_DECLS

/* What was laid out: to be shown, printed or written, on the main thread or the book's. */
typedef struct
{
  GPtrArray *documents; /* TdPages; each is numbered by itself */
  char *name;   /* of a file, without ".pdf" */
  char *title;
  char *author; /* NULL */
  gint64 utc_ms;
} TdBillPaper;

void td_bill_paper_free (gpointer paper);
/* A TdDocumentWrite. @document: a TdBillPaper. */
gboolean td_bill_paper_write (gpointer document, const char *path, GError **error);

/* What is wanted, and how. */
typedef struct
{
  gint64 *keys; /* of issued invoices, in order */
  guint n_keys;
  char *number; /* of one issued invoice */
  char *draft;  /* key of one draft */
  char *account_id; /* of a statement */
  TdDate from, to;
  gboolean with_reports; /* the reports of its visits behind each invoice */
  TdPaperKind kind;
  TdUnitSystem units; /* of the reports */
  char *path; /* where td_bill_paper_file_job() writes it */
} TdBillPaperAsked;

void td_bill_paper_asked_free (gpointer asked);

/* One invoice or draft for its page. */
typedef struct
{
  TdInvoice *invoice;
  TdInvoiceRecord *record; /* NULL for a draft */
  GArray *credited;        /* guint: lines that a credit note has taken back; NULL for a draft */
  TdBillPaper *paper;
} TdBillLoaded;

void td_bill_loaded_free (gpointer loaded);

/* TdJobs. @data: a TdBillPaperAsked. */
/* Of number or draft. @result_out: a TdBillLoaded. TD_BOOK_ERROR_MISSING where it is not there (any more). */
gboolean td_bill_load_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* Of keys. @result_out: a TdBillPaper. */
gboolean td_bill_paper_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* Of keys, written to path. @result_out: nothing. */
gboolean td_bill_paper_file_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* Of account_id. @result_out: a TdBillPaper. */
gboolean td_bill_statement_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
