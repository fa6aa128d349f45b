/* document-words.h: codes of the journal and names of its fields, in words of the reader's
 * language. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* "stops-service" -> "stops service"; a code that the table does not know comes back as it is; NULL
 * gives "–". Returns: (transfer none). */
const char *td_word (const char *code);
/* "concentrate_ml" -> "concentrate"; NULL for a field that needs no name beside its value. */
const char *td_field_name (const char *key);
/* The same word with a capital in front: for a cell of its own. (transfer full) */
char *td_word_capital (const char *code);

G_END_DECLS
