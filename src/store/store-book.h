/* store-book.h: a service book: one SQLite file, opened by one thread.
 *
 * Synchronous.  A book belongs to the thread that opened it; every function asserts that.  Several
 * programs may have the same book open. */
#pragma once

#include "store-error.h"
#include "store-host.h"

G_BEGIN_DECLS

typedef struct _TdBook TdBook;

/* Who writes: one device for each copy of the book that is worked in. */
typedef struct
{
  TdUuid id;
  char *prefix; /* of its report numbers, four capitals */
} TdDevice;

/* Makes a new, empty book, readable and writable by its owner only.  @test: marks it as a demonstration
 * or test book, on which alone a pinned clock is accepted.  The file appears whole or not at all.
 * Returns: (transfer full): the open book, or NULL with a TD_BOOK_ERROR (EXISTS where something stands
 * at @path). */
TdBook *td_book_create (const char *path, gboolean test, TdClock *clock, GError **error);

/* Opens a book; one of an earlier version is brought up to date, after a backup beside it.
 * Returns: (transfer full): the book, or NULL with a TD_BOOK_ERROR; the file is then as it was. */
TdBook *td_book_open (const char *path, TdClock *clock, GError **error);

/* The same for a program that will only read: a book that cannot be written (a copy on a read-only disk, a
 * file of somebody else) is opened all the same, and every write to it fails with TD_BOOK_ERROR_READ_ONLY.
 * Such a book has to be of this program's version: bringing it up to date would be a write. */
TdBook *td_book_open_reading (const char *path, TdClock *clock, GError **error);

/* Everything acknowledged is on disk already. */
void td_book_close (TdBook *book);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdBook, td_book_close)

const char *td_book_get_path (TdBook *book);
gboolean td_book_is_test (TdBook *book);
void td_book_get_id (TdBook *book, TdUuid *id_out);
/* Returns: (transfer none): the device that this copy of the book writes as. */
const TdDevice *td_book_get_device (TdBook *book);
/* Returns: (transfer none). */
TdClock *td_book_get_clock (TdBook *book);

/* A number that changes whenever *another* connection has written to the book (its own writes a caller
 * knows of).  Cheap; for a window to ask now and then.  Returns FALSE with a TD_BOOK_ERROR. */
gboolean td_book_get_data_version (TdBook *book, guint *version_out, GError **error);

G_END_DECLS
