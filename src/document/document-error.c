#include "document-error.h"

GQuark
td_document_error_quark (void)
{
  return g_quark_from_static_string ("tundish-document-error");
}
