/* document-pdf.h: pages as a PDF file.
 *
 * The same pages give the same bytes: the dates in the file are the ones handed in, not the
 * clock's. */
#pragma once

#include "document-pages.h"

G_BEGIN_DECLS

typedef struct
{
  const char *title;
  const char *author;   /* the company; NULL where none */
  const char *subject;  /* NULL where none */
  const char *language; /* BCP 47, "en" */
  gint64 utc_ms;        /* when what it tells was finished, milliseconds since 1970 */
} TdPdfInfo;

/* Returns: (transfer full): the file's bytes, or NULL with TD_DOCUMENT_ERROR_PAINT. */
GBytes *td_pdf_make (const TdPages *pages, const TdPdfInfo *info, GError **error);
/* Writes the bytes so that @path holds either its old content or the whole new file, even through a
 * crash. Returns FALSE with TD_DOCUMENT_ERROR_PAINT or _WRITE. */
gboolean
td_pdf_write (const TdPages *pages, const char *path, const TdPdfInfo *info, GError **error);

/* The same of several documents bound into one file, each with pages numbered of its own; at least one.
 * @documents: (element-type TdPages). */
GBytes *td_pdf_make_bound (const GPtrArray *documents, const TdPdfInfo *info, GError **error);
gboolean td_pdf_write_bound (const GPtrArray *documents,
                             const char *path,
                             const TdPdfInfo *info,
                             GError **error);

G_END_DECLS
