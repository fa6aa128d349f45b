#include "store-error.h"

GQuark
td_book_error_quark (void)
{
  return g_quark_from_static_string ("tundish-book-error");
}
