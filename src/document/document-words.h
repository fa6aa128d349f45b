/* document-words.h: codes of the journal and names of its fields, in words of the reader's
 * language. */
#pragma once

#include "core-time.h"

G_BEGIN_DECLS

/* "stops-service" -> "stops service"; a code that the table does not know comes back as it is; NULL
 * gives "–". Returns: (transfer none). */
const char *td_word (const char *code);
/* "concentrate_ml" -> "concentrate"; NULL for a field that needs no name beside its value. */
const char *td_field_name (const char *key);
/* The language that documents speak: that of the program's words, as a tag (BCP 47). (transfer none) */
const char *td_document_language (void);
/* "2026-05-01 to 2026-05-31". (transfer full) */
char *td_document_period (TdDate from, TdDate to);
/* The same word with a capital in front: for a cell of its own. (transfer full) */
char *td_word_capital (const char *code);

G_END_DECLS
