/* Putting a copy back. */
#include "store-backup.h"

#include "store-check.h"
#include "store-file.h"
#include "store-migrate.h"
#include "store-private.h"

/* Brings the copy in @temporary to this program's version; its own backup it is already. */
static gboolean
migrate (const char *temporary, GError **error)
{
  sqlite3 *db = NULL;
  int version = 0;
  g_auto (GStrv) scripts = td_migrate_get_all ();
  if (!td_connect (temporary, &db, &version, error))
    return FALSE;
  gboolean ok = version == (int) td_migrate_get_version () ||
                td_migrate_run (db, temporary, (const char *const *) scripts, error);
  sqlite3_close (db);
  return ok;
}

/* A last look at what is in it, as a book of a new device. */
static gboolean
renew (const char *temporary, TdClock *clock, GError **error)
{
  g_autoptr (TdBook) book = td_book_open (temporary, clock, error);
  return book != NULL && td_book_check (book, NULL, NULL, error) && td_book_renew_device (book, error);
}

static gboolean
settle (const char *temporary, GError **error)
{
  sqlite3 *db = NULL;
  int version = 0;
  if (!td_connect (temporary, &db, &version, error))
    return FALSE;
  gboolean ok = td_connect_settle (db, temporary, error);
  sqlite3_close (db);
  return ok;
}

/* Fills @temporary with the copy as a book of a new device, and verifies everything in it. */
static gboolean
prepare (const char *copy_path, const char *temporary, TdClock *clock, GError **error)
{
  sqlite3 *from = NULL;
  int version = 0;
  if (!td_connect_reading (copy_path, &from, &version, error))
    return FALSE;
  gboolean filled = td_backup_fill (from, copy_path, temporary, error);
  sqlite3_close (from);
  return filled && migrate (temporary, error) && renew (temporary, clock, error) && settle (temporary, error);
}

/* Takes the book for this connection alone: while another program has it open, what that one writes
 * would be lost. */
static gboolean
take_alone (sqlite3 *db, const char *path, GError **error)
{
  return td_connect_run (db, path, "PRAGMA locking_mode = EXCLUSIVE", error) &&
         td_connect_run (db, path, "BEGIN IMMEDIATE; COMMIT", error);
}

static gboolean
write_over (sqlite3 *db, const char *path, const char *temporary, const char *kept, GError **error)
{
  sqlite3 *from = NULL;
  int version = 0;
  if (!take_alone (db, path, error) || !td_backup_connection (db, path, kept, FALSE, error) ||
      !td_connect (temporary, &from, &version, error))
    return FALSE;
  gboolean ok = td_backup_copy (from, db, path, error) && td_backup_verify (db, path, error);
  sqlite3_close (from);
  return ok;
}

/* What stands at @path is kept at @kept; a book through SQLite, so that its log counts too; what is no
 * readable book any more as the file that it is. */
static gboolean
replace_book (const char *path, const char *temporary, const char *kept, GError **error)
{
  sqlite3 *db = NULL;
  int version = 0;
  g_autoptr (GError) why = NULL;
  if (td_connect (path, &db, &version, &why))
    {
      gboolean ok = write_over (db, path, temporary, kept, error);
      sqlite3_close (db);
      td_file_discard (temporary);
      return ok;
    }
  if (!g_error_matches (why, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED) &&
      !g_error_matches (why, TD_BOOK_ERROR, TD_BOOK_ERROR_NOT_A_BOOK))
    {
      g_propagate_error (error, g_steal_pointer (&why));
      return FALSE;
    }
  return td_file_move (path, kept, error) && td_file_publish (temporary, path, FALSE, error);
}

static gboolean
check_free (const char *path, gboolean replace, const char *copy_path, gboolean *exists_out, GError **error)
{
  *exists_out = g_file_test (path, G_FILE_TEST_EXISTS | G_FILE_TEST_IS_SYMLINK);
  if (!*exists_out)
    return TRUE;
  if (replace && !td_file_is_same (path, copy_path))
    return TRUE;
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS, "“%s” %s", path,
               replace ? "is the copy itself; nothing was changed; choose another name for the book"
                       : "exists already and was left as it is; choose another name, or say that it is to be "
                         "replaced");
  return FALSE;
}

gboolean
td_book_restore (const char *copy_path, const char *book_path, gboolean replace, TdClock *clock, char **kept_out,
                 GError **error)
{
  g_return_val_if_fail (copy_path != NULL && book_path != NULL && clock != NULL, FALSE);
  gboolean exists = FALSE;
  g_autofree char *from = g_canonicalize_filename (copy_path, NULL);
  g_autofree char *to = g_canonicalize_filename (book_path, NULL);
  if (!check_free (to, replace, from, &exists, error))
    return FALSE;
  g_autofree char *temporary = td_file_make_temporary (to, error);
  if (temporary == NULL)
    return FALSE;
  g_autofree char *kept = exists ? td_file_find_free (to, ".before-restore") : NULL;
  gboolean ok = prepare (from, temporary, clock, error) &&
                (exists ? replace_book (to, temporary, kept, error) : td_file_publish (temporary, to, FALSE, error));
  if (!ok)
    {
      td_file_discard (temporary);
      return FALSE;
    }
  if (kept_out != NULL)
    *kept_out = g_steal_pointer (&kept);
  return TRUE;
}
