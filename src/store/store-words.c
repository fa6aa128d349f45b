#include "store-words.h"

TdProductKind
td_words_find_product_kind (const char *text)
{
  for (guint i = TD_PRODUCT_CAUSTIC; i < TD_PRODUCT_OTHER; i++)
    if (g_strcmp0 (td_product_kind_to_text (i), text) == 0)
      return i;
  return TD_PRODUCT_OTHER;
}

TdInstrumentKind
td_words_find_instrument_kind (const char *text)
{
  for (guint i = TD_INSTRUMENT_PH_METER; i < TD_INSTRUMENT_OTHER; i++)
    if (g_strcmp0 (td_instrument_kind_to_text (i), text) == 0)
      return i;
  return TD_INSTRUMENT_OTHER;
}
