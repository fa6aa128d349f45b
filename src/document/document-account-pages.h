/* document-account-pages.h: the chemical account of a period as pages. */
#pragma once

#include "document-pages.h"

#include "core-audit.h"

G_BEGIN_DECLS

/* The account by product with a signature line, use by month as a chart that reads in greyscale beside its
 * figures, lots, places, sites and technicians, and the exceptions with what was found out about them.
 * @now_ms: UTC ms, the date of the file. Returns: (transfer full), or NULL with a TD_DOCUMENT_ERROR. */
TdPages *td_account_to_pages (const TdAudit *audit, TdPaperKind paper, GError **error);
/* The same as a PDF file, written whole or not at all. */
gboolean td_account_write_pdf (const TdAudit *audit, const char *path, TdPaperKind paper, gint64 now_ms,
                               GError **error);

G_END_DECLS
