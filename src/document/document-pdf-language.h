/* document-pdf-language.h: the language of a PDF that cairo has written. Private to document. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Puts /Lang into the catalog of @pdf, as ISO 32000-1, 14.9.2 has it; cairo 1.16 has no way to say
 * it. Also asks viewers to show the title instead of the file's name (ISO 32000-1, 12.2). Returns
 * FALSE with TD_DOCUMENT_ERROR_PAINT where the file is not built as expected: a catalog that is the
 * last object before a cross-reference table. */
gboolean td_pdf_set_language (GByteArray *pdf, const char *language, GError **error);

G_END_DECLS
