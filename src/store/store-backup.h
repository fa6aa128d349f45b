/* store-backup.h: copying a book safely, and putting a copy back. */
#pragma once

#include "store-book.h"

G_BEGIN_DECLS

/* Copies the book at @book_path, which others may be writing to, in one step to @copy_path, and verifies
 * the copy before it takes its name. An existing file at @copy_path is replaced only where it is an
 * earlier state of the same book (TD_BOOK_ERROR_EXISTS otherwise). Any thread. */
gboolean td_book_backup (const char *book_path, const char *copy_path, GError **error);

/* Makes the book at @book_path from the copy, verified, and gives it a new device with a prefix of its
 * own, so that its numbers cannot meet those of the book that the copy was taken from.
 * @replace: FALSE refuses where something stands at @book_path (TD_BOOK_ERROR_EXISTS); TRUE keeps what
 * stood there in a file beside it. @kept_out: (out) (optional) (transfer full) (nullable): its path. */
gboolean td_book_restore (const char *copy_path,
                          const char *book_path,
                          gboolean replace,
                          TdClock *clock,
                          char **kept_out,
                          GError **error);

G_END_DECLS
