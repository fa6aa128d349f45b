/* store-keys.h: lists of keys, read whole before the rows behind them are looked at, so that no statement
 * stays open meanwhile. */
#pragma once

#include "store-statement.h"

G_BEGIN_DECLS

/* The first column of every row of a statement without parameters.
 * Returns: (transfer full) (element-type TdUuid), or NULL with a TD_BOOK_ERROR. */
GArray *td_keys_list_uuids (TdBook *book, TdSql sql, GError **error);
/* Returns: (transfer full) (element-type gint64). */
GArray *td_keys_list_integers (TdBook *book, TdSql sql, GError **error);

G_END_DECLS
