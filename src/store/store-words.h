/* store-words.h: from the words that tables and snapshots hold back to core's values. */
#pragma once

#include "core-masters.h"

G_BEGIN_DECLS

/* TD_PRODUCT_OTHER where the word is not known, as a later program may have written it. */
TdProductKind td_words_find_product_kind (const char *text);
/* TD_INSTRUMENT_OTHER likewise. */
TdInstrumentKind td_words_find_instrument_kind (const char *text);

G_END_DECLS
