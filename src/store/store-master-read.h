/* store-master-read.h: products, lots, people and instruments out of the book's tables. */
#pragma once

#include "core-masters.h"
#include "store-book.h"

G_BEGIN_DECLS

/* Within a transaction. What was taken away is there too: old entries name it.
 * Returns: (transfer full): the masters, or NULL with a TD_BOOK_ERROR. */
TdMasters *td_masters_read (TdBook *book, GError **error);

G_END_DECLS
