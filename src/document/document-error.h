/* document-error.h: the error domain of document. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

#define TD_DOCUMENT_ERROR (td_document_error_quark ())

typedef enum
{
  TD_DOCUMENT_ERROR_FONTS, /* a font is missing; the message names what to install */
  TD_DOCUMENT_ERROR_PAINT, /* cairo could not paint or make the file's bytes */
  TD_DOCUMENT_ERROR_WRITE  /* the file could not be written; an older file of that name still stands
                            */
} TdDocumentError;

GQuark td_document_error_quark (void);

G_END_DECLS
