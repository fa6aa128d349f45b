#include "core-error.h"

GQuark
td_error_quark (void)
{
  return g_quark_from_static_string ("tundish-core-error");
}
