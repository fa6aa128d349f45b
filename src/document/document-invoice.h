/* document-invoice.h: invoices, credit notes and statements as pages.
 *
 * The fonts are handed in, so that a run of many documents loads them once.  Sums and dates are written
 * as in every document of ours: a decimal point, no-break spaces, ISO 8601 dates. */
#pragma once

#include "document-pages.h"

#include "core-invoice.h"
#include "core-statement.h"

G_BEGIN_DECLS

/* What an issued invoice's pages say beside the invoice itself; all may be left 0. */
typedef struct
{
  const char *seal; /* 64 hex digits; NULL for a draft */
  gboolean has_balance;
  gint64 paid_minor, credited_minor, open_minor;
} TdInvoiceContext;

/* @context: (nullable). A draft is stamped as one. Returns: (transfer full): the pages, or NULL with
 * TD_DOCUMENT_ERROR_FONTS. */
TdPages *td_invoice_to_pages (const TdInvoice *invoice,
                              const TdInvoiceContext *context,
                              TdFonts *fonts,
                              TdPaperKind paper,
                              GError **error);
/* "Invoice INV-00012, Owner": title of its file. (transfer full) */
char *td_invoice_make_title (const TdInvoice *invoice);

/* As td_invoice_to_pages(). @masters: the company whose statement it is, as it stands today. */
TdPages *td_statement_to_pages (const TdAccountStatement *statement,
                                const TdMasters *masters,
                                TdFonts *fonts,
                                TdPaperKind paper,
                                GError **error);

G_END_DECLS
