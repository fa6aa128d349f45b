/* store-ledger-code.h: by which codes an accounting program knows what the ledger posts to, one by one. */
#pragma once

#include "store-book.h"

G_BEGIN_DECLS

/* Sets the company's code of an id of the ledger (td_ledger_is_id()). @code: (nullable): NULL takes it away, so that
 * the code of its first word, or the standard, holds again.  The same code again changes nothing.
 * FALSE with TD_ERROR_SHAPE (no such id, or nothing that can be a code) or a TD_BOOK_ERROR. */
gboolean td_book_put_ledger_code (TdBook *book, const char *id, const char *code, GError **error);

G_END_DECLS
