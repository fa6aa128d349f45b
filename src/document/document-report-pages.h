/* document-report-pages.h: the service report on paper. */
#pragma once

#include "document-pages.h"
#include "document-pdf.h"
#include "document-report.h"

G_BEGIN_DECLS

/* Lays the report out. Returns: (transfer full): its pages, or NULL with TD_DOCUMENT_ERROR_FONTS.
 */
TdPages *td_report_to_pages (const TdReport *report, TdPaperKind paper, GError **error);
/* What its file says of itself; its date is that of the visit, so that the same visit gives the same bytes.
 * @title_out: (transfer full): keep it as long as the answer. */
TdPdfInfo td_report_make_info (const TdReport *report, char **title_out);
/* Writes the report as a PDF; nothing is written after an error. Errors as td_pdf_write() and
 * td_report_to_pages(). */
gboolean
td_report_write_pdf (const TdReport *report, const char *path, TdPaperKind paper, GError **error);
/* The same as bytes. */
GBytes *td_report_to_pdf (const TdReport *report, TdPaperKind paper, GError **error);

G_END_DECLS
