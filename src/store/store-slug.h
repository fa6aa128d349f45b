/* store-slug.h: a short name that no row has yet. */
#pragma once

#include "store-statement.h"

G_BEGIN_DECLS

/* The slug of @name, with "-2", "-3", ... where another row has it already. @find: asks for ":slug".
 * Returns: (transfer full): it, or NULL with a TD_BOOK_ERROR. */
char *td_slug_find_free (TdBook *book, TdSql find, const char *name, GError **error);

G_END_DECLS
