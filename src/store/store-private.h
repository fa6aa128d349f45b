/* store-private.h: what the files of store share about a book and its connection. */
#pragma once

#include "core-json.h"
#include "core-time.h"
#include "store-book.h"
#include "store-statement.h"

#include <sqlite3.h>

G_BEGIN_DECLS

/* "Tund" in the header of the file, so that another program's database is told apart (SQLite's file
 * format, "Application ID", offset 68). */
#define TD_BOOK_APPLICATION_ID 0x54756e64
/* How long a writer waits for another, milliseconds. */
#define TD_BOOK_BUSY_MS 5000

struct _TdBook
{
  sqlite3 *db;
  GThread *owner;
  char *path;
  TdClock *clock;
  TdUuid id;
  TdDevice device;
  gint64 device_key; /* of the device's row */
  gboolean test;
  gboolean reading; /* opened for reading alone: td_book_begin() refuses */
  gboolean writing; /* within td_book_begin() .. td_book_commit(); a commit at any other time is refused */
  TdStatement *statements[TD_N_SQL];
  struct _TdBookCache *cache;
};

/* A book belongs to the thread that opened it. */
#define td_book_assert_owner(book) g_assert ((book) != NULL && (book)->owner == g_thread_self ())

/* Sets a TD_BOOK_ERROR for @rc: what happened, what is safe, what to do. @path: of the book.
 * Returns FALSE always. */
gboolean td_error_set_sqlite (GError **error, sqlite3 *db, int rc, const char *path);

/* Opens a connection with every safeguard set.  Checks that the file is a book that this program may
 * open by its first bytes, before SQLite reads anything else of it; what is refused is left as it was.
 * @version_out: user_version, at most TD_BOOK_VERSION. */
gboolean td_connect (const char *path, sqlite3 **db_out, int *version_out, GError **error);
/* The same for reading only, from a place that need not be written. */
gboolean td_connect_reading (const char *path, sqlite3 **db_out, int *version_out, GError **error);
/* The same from a place where nothing can be written beside the file, @path absolute. */
gboolean td_connect_frozen (const char *path, sqlite3 **db_out, int *version_out, GError **error);
/* TRUE where this process may write the file and make others beside it. */
gboolean td_connect_may_write (const char *path);
/* Pragmas that every connection sets. */
gboolean td_connect_set_up (sqlite3 *db, const char *path, GError **error);
/* Runs SQL that gives no rows. */
gboolean td_connect_run (sqlite3 *db, const char *path, const char *sql, GError **error);
/* Puts everything into the one file, without a write-ahead log; td_book_open() begins one again. Fails
 * with TD_BOOK_ERROR_LOCKED while another connection is open. */
gboolean td_connect_settle (sqlite3 *db, const char *path, GError **error);
/* The first column of the first row as a number. */
gboolean td_connect_ask (sqlite3 *db, const char *path, const char *sql, gint64 *value_out, GError **error);

/* Brings a book to what @scripts make, in one transaction; what it has had already is passed over. */
gboolean td_migrate_run (sqlite3 *db, const char *path, const char *const *scripts, GError **error);
/* The same after a backup beside the book; @version: its own, less than the scripts'. */
gboolean td_migrate_old (sqlite3 *db, const char *path, int version, const char *const *scripts, GError **error);
/* Copies what @db holds to a new file in one step and verifies it; fails where @copy_path exists unless
 * @replace. */
gboolean td_backup_connection (sqlite3 *db, const char *path, const char *copy_path, gboolean replace, GError **error);

/* What @from holds in place of what @to holds. @path: of @from. */
gboolean td_backup_copy (sqlite3 *from, sqlite3 *to, const char *path, GError **error);
/* Reads every page. */
gboolean td_backup_verify (sqlite3 *db, const char *path, GError **error);
/* Both, into the empty file @temporary, which is closed afterwards. */
gboolean td_backup_fill (sqlite3 *from, const char *path, const char *temporary, GError **error);

/* Makes this copy of the book a device of its own, with a prefix that the book does not have yet. */
gboolean td_book_renew_device (TdBook *book, GError **error);

/* Begins a write at once, waiting for another writer up to the busy timeout. */
gboolean td_book_begin (TdBook *book, GError **error);
/* On failure everything is taken back. */
gboolean td_book_commit (TdBook *book, GError **error);
void td_book_rollback (TdBook *book);
/* A view of the book that stands still over several statements. */
gboolean td_book_begin_read (TdBook *book, GError **error);
void td_book_end_read (TdBook *book);

G_END_DECLS
