/* document-account-pages.h: the chemical account of a period as pages. */
#pragma once

#include "document-pdf.h"

#include "core-audit.h"

G_BEGIN_DECLS

/* The account by product with a signature line, use by month as a chart that reads in greyscale beside its
 * figures, lots, places, sites and technicians, and the exceptions with what was found out about them.
 * @now_ms: UTC ms, the date of the file. Returns: (transfer full), or NULL with a TD_DOCUMENT_ERROR. */
TdPages *td_account_to_pages (const TdAudit *audit, TdPaperKind paper, GError **error);
/* What its file says of itself. @title_out: (transfer full): keep it as long as the answer. @now_ms: UTC ms. */
TdPdfInfo td_account_make_info (const TdAudit *audit, gint64 now_ms, char **title_out);
/* The same as a PDF file, written whole or not at all. */
gboolean td_account_write_pdf (const TdAudit *audit, const char *path, TdPaperKind paper, gint64 now_ms,
                               GError **error);

G_END_DECLS
