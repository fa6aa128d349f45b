#include "store-backup.h"

#include "store-file.h"
#include "store-private.h"

#include <unistd.h>

/* Copies in one step: a copy in several begins again whenever another connection writes, and under a busy
 * writer never ends. */
gboolean
td_backup_copy (sqlite3 *from, sqlite3 *to, const char *path, GError **error)
{
  sqlite3_backup *backup = sqlite3_backup_init (to, "main", from, "main");
  if (backup == NULL)
    return td_error_set_sqlite (error, to, sqlite3_errcode (to), path);
  int rc = sqlite3_backup_step (backup, -1);
  int finished = sqlite3_backup_finish (backup);
  if (rc == SQLITE_DONE && finished == SQLITE_OK)
    return TRUE;
  return td_error_set_sqlite (error, to, rc != SQLITE_DONE ? rc : finished, path);
}

/* Reads every page of the copy; content is held against the book's own hashes by td_book_check(). */
gboolean
td_backup_verify (sqlite3 *db, const char *path, GError **error)
{
  gint64 n = 0;
  if (!td_connect_ask (db, path, "SELECT count (*) FROM pragma_integrity_check WHERE integrity_check <> 'ok'", &n, error))
    return FALSE;
  return n == 0 || td_error_set_sqlite (error, NULL, SQLITE_CORRUPT, path);
}

gboolean
td_backup_fill (sqlite3 *from, const char *path, const char *temporary, GError **error)
{
  sqlite3 *to = NULL;
  int rc = sqlite3_open_v2 (temporary, &to, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
  gboolean ok = rc == SQLITE_OK ? td_connect_set_up (to, temporary, error)
                                : td_error_set_sqlite (error, to, rc, temporary);
  /* One file without a write-ahead log: it can be renamed, and read from a place that cannot be written. */
  ok = ok && td_backup_copy (from, to, path, error) && td_connect_settle (to, temporary, error) &&
       td_backup_verify (to, temporary, error);
  if (sqlite3_close (to) != SQLITE_OK)
    g_assert_not_reached ();
  return ok;
}

gboolean
td_backup_connection (sqlite3 *db, const char *path, const char *copy_path, gboolean replace, GError **error)
{
  g_assert (db != NULL && copy_path != NULL);
  g_autofree char *temporary = td_file_make_temporary (copy_path, error);
  if (temporary == NULL)
    return FALSE;
  if (td_backup_fill (db, path, temporary, error) && td_file_publish (temporary, copy_path, replace, error))
    return TRUE;
  td_file_discard (temporary);
  return FALSE;
}

/* Whether every entry of the book at @copy_path is in @db too, and it is the same book. */
static gboolean
check_earlier (sqlite3 *db, const char *path, const char *copy_path, GError **error)
{
  sqlite3 *other = NULL;
  int version = 0;
  gint64 earlier = 0;
  /* Only a look: refuses what is no book. */
  if (!td_connect (copy_path, &other, &version, error))
    return FALSE;
  sqlite3_close (other);
  char *attach = sqlite3_mprintf ("ATTACH %Q AS earlier", copy_path);
  gboolean ok = td_connect_run (db, path, attach, error) &&
                td_connect_ask (db, path,
                                "SELECT (SELECT uuid FROM earlier.book) IS (SELECT uuid FROM main.book)"
                                " AND NOT EXISTS (SELECT digest FROM earlier.entry EXCEPT SELECT digest FROM main.entry)",
                                &earlier, error) &&
                td_connect_run (db, path, "DETACH earlier", error);
  sqlite3_free (attach);
  if (ok && !earlier)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS,
                 "“%s” holds what this book does not, or is another book; it was left as it is; choose another name",
                 copy_path);
  return ok && earlier;
}

gboolean
td_book_backup (const char *book_path, const char *copy_path, GError **error)
{
  g_return_val_if_fail (book_path != NULL && copy_path != NULL, FALSE);
  sqlite3 *db = NULL;
  int version = 0;
  g_autofree char *from = g_canonicalize_filename (book_path, NULL);
  g_autofree char *to = g_canonicalize_filename (copy_path, NULL);
  if (!td_connect (from, &db, &version, error))
    return FALSE;
  gboolean replace = g_file_test (to, G_FILE_TEST_EXISTS | G_FILE_TEST_IS_SYMLINK);
  gboolean ok = TRUE;
  if (replace && td_file_is_same (from, to))
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS,
                   "“%s” is the book itself; nothing was changed; choose another name for the copy", copy_path);
      ok = FALSE;
    }
  ok = ok && (!replace || check_earlier (db, from, to, error)) && td_backup_connection (db, from, to, replace, error);
  sqlite3_close (db);
  return ok;
}
