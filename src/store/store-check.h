/* store-check.h: everything in a book that can be verified. */
#pragma once

#include "store-book.h"

G_BEGIN_DECLS

/* Called once for each kind of check, in order. @kind: stable word ("sqlite", "journal", "seals", ...).
 * @count: how many things were looked at. @failure: (nullable): the first thing that was found wanting,
 * a sentence; NULL where all hold. */
typedef void (*TdCheckFunc) (const char *kind, guint count, const char *failure, gpointer user_data);

/* SQLite's own checks; tables and freezes as the migrations make them; sheets and attachments against their hashes; each journal numbered, canonical,
 * unchanged since it was written, and foldable; projections rebuilt and compared; seals recomputed and
 * their chain walked for each device; report numbers without a gap; agreements against their hashes;
 * invoices numbered without a gap, chained, as they were sealed, their sums computed again, their visits and
 * balances compared; movements of stock unchanged, and their sums with the uses of visits the
 * same by two ways.  Writes nothing.
 * @func: (nullable). Goes through all kinds even after a failure.
 * Returns FALSE with TD_BOOK_ERROR_DAMAGED that names the first failure, or another TD_BOOK_ERROR where
 * the check itself could not run. */
gboolean td_book_check (TdBook *book, TdCheckFunc func, gpointer user_data, GError **error);

G_END_DECLS
