/* store-export.h: what leaves the book as tables and files, row by row.
 *
 * Rows come out of the book one at a time and are handed to a function, so that no table is ever in memory
 * as a whole.  Cells are plain text, the same in every locale: dates "2026-03-02", moments
 * "2026-03-02T06:10:07+00:00", amounts of money with their currency's decimals and a point, "" for what is
 * not known. */
#pragma once

#include "core-invoice.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef enum
{
  TD_EXPORT_ACCOUNTS,
  TD_EXPORT_LINES,         /* faucets by the newest sheets */
  TD_EXPORT_VISITS,        /* by arrival */
  TD_EXPORT_INVOICES,      /* with credit notes, by number */
  TD_EXPORT_INVOICE_LINES, /* by number */
  TD_EXPORT_PAYMENTS,      /* by day */
  TD_EXPORT_CHEMICALS,     /* movements of stock and uses of visits, by day; of amendments the newest counts */
  TD_EXPORT_LEDGER,        /* double-entry bookkeeping, one row a posting, entries by day; each entry balanced */
  TD_N_EXPORTS
} TdExport;

/* Takes one row. FALSE, with @error set, ends the export. */
typedef gboolean (*TdExportRow) (gpointer data, const char *const *cells, guint n_cells, GError **error);

/* Hands the names of the columns and then every row of a table to @row.  @from, @to: days, both included, of
 * what happens on a day (accounts and lines do not); TD_DATE_NONE: no limit.
 * FALSE with a TD_BOOK_ERROR, TD_ERROR_IMPOSSIBLE where an invoice's sums do not follow from its lines, or
 * what @row gave. */
gboolean td_book_export (TdBook *book, TdExport table, TdDate from, TdDate to, TdExportRow row, gpointer data,
                         GError **error);

const char *td_export_to_text (TdExport table); /* "accounts", ..., "invoice-lines", ... */
gboolean td_export_from_text (const char *text, TdExport *table_out);
/* TRUE where a period means something. */
gboolean td_export_has_days (TdExport table);

/* Returns: (transfer full): the issued invoice, completed with what company and agreements know today of
 * seller and payer (td_invoice_complete()), to be written as an electronic one; NULL with
 * TD_BOOK_ERROR_MISSING or _DAMAGED. */
TdInvoice *td_book_get_invoice_to_send (TdBook *book, const char *number, GError **error);

/* Returns: (transfer full): the newest sheet of a site in the site format, on one line with a line feed at its
 * end: importing it and exporting it again gives the same bytes. NULL with TD_BOOK_ERROR_MISSING. */
char *td_book_get_sheet_text (TdBook *book, const char *site_id, GError **error);

G_END_DECLS
