/* document-inspect-pages.h: the inspector's extract of one site as pages. */
#pragma once

#include "document-pdf.h"

#include "core-inspect.h"

G_BEGIN_DECLS

/* First what the rules ask for and what of it is missing, then the cleanings one by one, chemicals with
 * their lots, changes of components, and a line to sign for whoever hands it over.
 * Returns: (transfer full), or NULL with a TD_DOCUMENT_ERROR. */
TdPages *td_inspection_to_pages (const TdInspection *inspection, TdPaperKind paper, GError **error);
/* What its file says of itself. @title_out: (transfer full): keep it as long as the answer. @now_ms: UTC ms. */
TdPdfInfo td_inspection_make_info (const TdInspection *inspection, gint64 now_ms, char **title_out);
/* The same as a PDF file, written whole or not at all. @now_ms: UTC ms, the date of the file. */
gboolean td_inspection_write_pdf (const TdInspection *inspection, const char *path, TdPaperKind paper, gint64 now_ms,
                                  GError **error);

G_END_DECLS
