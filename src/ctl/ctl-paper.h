/* ctl-paper.h: pages as a file, or on standard output for "-". */
#pragma once

#include "document-pdf.h"

G_BEGIN_DECLS

/* @pages: (nullable): FALSE then, with what their maker has set. Returns FALSE with what td_pdf_write() or td_ctl_print()
 * say. */
gboolean td_ctl_write_pages (const TdPages *pages, const char *path, const TdPdfInfo *info, GError **error);
/* The same of several documents bound into one file; at least one. @documents: (element-type TdPages). */
gboolean td_ctl_write_bound (const GPtrArray *documents, const char *path, const TdPdfInfo *info, GError **error);

G_END_DECLS
