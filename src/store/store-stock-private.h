/* store-stock-private.h: what the files of stock share. Within a transaction of the caller's. */
#pragma once

#include "store-private.h"
#include "store-stock.h"

G_BEGIN_DECLS

/* The ledger, in the order of writing. (transfer full) (element-type TdMovementRow) */
GPtrArray *td_movements_read (TdBook *book, GError **error);
/* Adds the ledger to @stock. */
gboolean td_movements_add (const GPtrArray *movements, TdStock *stock, GError **error);
/* Adds the uses of visits up to @to, summed up by day. */
gboolean td_uses_add (TdBook *book, TdStock *stock, TdDate to, GError **error);
/* Makes a place or changes it. */
gboolean td_place_put (TdBook *book, const char *id, const char *name, gboolean van, GError **error);
/* FALSE with TD_BOOK_ERROR_MISSING where @find (by ":slug") gives no row. @what: "place". */
gboolean td_slug_check (TdBook *book, TdSql find, const char *what, const char *slug, GError **error);
/* SHA-256 over all that a movement says; 64 hex digits. (transfer full) */
char *td_movement_make_digest (const TdMovementRow *row);

G_END_DECLS
