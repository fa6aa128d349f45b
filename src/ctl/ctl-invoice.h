/* ctl-invoice.h: what the parts of the command invoice share. */
#pragma once

#include "ctl-book.h"
#include "ctl-context.h"

#include "core-json-build.h"
#include "document-paper.h"
#include "store-invoice.h"
#include "store-ledger.h"

G_BEGIN_DECLS

/* Everything that any part takes; each looks at what is its own. */
typedef struct
{
  TdCtlBookOptions book;
  char *account, *until, *date, *from, *to, *reason, *amount, *text, *out, *paper, *prefix, *format;
  char **keys, **lines;
  gboolean json, all, again, release, open, overdue, with_reports, here;
  TdPaperKind paper_kind;
  TdDate until_day, day, from_day, to_day; /* day: today where not given; the others TD_DATE_NONE */
} TdCtlInvoice;

/* @words: after the part's name. Each prints what it did, or gives the error back. */
typedef gboolean (*TdCtlInvoiceRun) (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);

gboolean td_ctl_invoice_draft (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_waiting (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_issue (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_show (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_list (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_credit (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_pay (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_hold (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_series (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_statement (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);
gboolean td_ctl_invoice_export (TdBook *book, const TdCtlInvoice *options, char **words, GError **error);

/* Prints what was built, or writes it to @path (nullable). */
gboolean td_ctl_invoice_put (TdJsonBuilder *builder, const char *path, GError **error);
/* Id of the account with that id or name. (transfer full) */
char *td_ctl_invoice_find_account (TdBook *book, const char *word, GError **error);
/* Appends an object of the whole of an issued invoice, with seal, payments and balance. */
void td_ctl_invoice_build (TdJsonBuilder *builder, const TdInvoiceRecord *record);

/* A PDF of drafts (TdInvoiceDraft), or of issued invoices by number. */
gboolean td_ctl_invoice_paint_drafts (const GPtrArray *drafts, const TdCtlInvoice *options, GError **error);
gboolean td_ctl_invoice_paint (TdBook *book, const GPtrArray *numbers, const TdCtlInvoice *options, GError **error);
/* Electronic invoices, checked before the first is written. */
gboolean td_ctl_invoice_write_ubl (TdBook *book, const GPtrArray *numbers, const TdCtlInvoice *options, GError **error);
/* A PDF of pages that were made already (TdPages). @utc_ms: of its dates. */
gboolean td_ctl_invoice_write (const GPtrArray *documents, const char *path, const char *title, const char *author,
                               gint64 utc_ms, GError **error);

G_END_DECLS
