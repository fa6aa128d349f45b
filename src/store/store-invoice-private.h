/* store-invoice-private.h: what drafting, issuing and crediting share. All within a transaction. */
#pragma once

#include "store-invoice.h"
#include "store-ledger.h"
#include "store-private.h"

G_BEGIN_DECLS

/* A visit of which something is drafted: who has to be invoiced before it is done with. */
typedef struct
{
  gint64 key;
  GPtrArray *payers; /* ids */
} TdDraftedVisit;

/* A GArray of TdDraftedVisit that frees its lists. */
GArray *td_drafted_visits_new (void);
/* Drafts everything that @filter (nullable) leaves; keys are not looked at. @visits: (nullable): is added to. */
TdInvoiceDrafts *td_drafts_collect (TdBook *book, const TdDraftFilter *filter, GArray *visits, GError **error);

/* Active invoices of a visit: payer ids, and beside them the numbers. */
gboolean td_billed_read (TdBook *book, gint64 visit_key, GPtrArray **payers_out, GArray **invoices_out, GError **error);
/* Returns: (transfer full) (element-type guint): lines that have been credited. */
GArray *td_credit_lines_read (TdBook *book, gint64 invoice, GError **error);
/* Lines of @invoice, of @visit alone where that is not NULL, that have not been credited. (transfer full) */
GArray *td_credit_lines_left (const TdInvoice *invoice, const GArray *credited, const char *visit);

/* Gives the draft the next number and writes it, its lines' visits and months and its balance; reads it back.
 * @code_out: (transfer full). */
gboolean td_invoice_write (TdBook *book, TdInvoice *draft, TdDate issued, gint64 *number_out, char **code_out,
                           GError **error);
/* Returns: (transfer full): without a transaction of its own. */
TdInvoiceRecord *td_invoice_record_read (TdBook *book, const char *number, GError **error);
/* FALSE with TD_BOOK_ERROR_MISSING. Within a transaction. */
gboolean td_invoice_find_code (TdBook *book, gint64 number, char **code_out, GError **error);

G_END_DECLS
