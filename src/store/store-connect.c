/* A connection to a book: looked at before it is trusted, and opened with every safeguard. */
#include "store-private.h"

#include "store-migrate.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* SQLite's file format, "The Database Header": magic at 0, user_version at 60, application id at 68. */
#define HEADER_SIZE 100
#define HEADER_MAGIC "SQLite format 3"
#define HEADER_USER_VERSION 60
#define HEADER_APPLICATION_ID 68

static guint32
read_be32 (const guint8 *bytes)
{
  return (guint32) bytes[0] << 24 | (guint32) bytes[1] << 16 | (guint32) bytes[2] << 8 | bytes[3];
}

/* How a file is opened. */
typedef enum
{
  FOR_WRITING,
  FOR_READING, /* with the locks and the log of other programs */
  AS_IT_LIES   /* without either: only where no log lies beside it */
} How;

static gboolean
may_write (const char *path)
{
  g_autofree char *folder = g_path_get_dirname (path);

  return faccessat (AT_FDCWD, path, R_OK | W_OK, AT_EACCESS) == 0
         && faccessat (AT_FDCWD, folder, W_OK | X_OK, AT_EACCESS) == 0;
}

/* Looks at the file without opening it: an open and close of our own would drop the locks that SQLite
 * holds on it for another connection of this process (POSIX advisory locks). */
static gboolean
check_file (const char *path, How how, GError **error)
{
  struct stat status;
  g_autofree char *name = g_path_get_basename (path);
  if (stat (path, &status) != 0)
    {
      if (errno == ENOENT || errno == ENOTDIR)
        g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                     "There is no “%s”; nothing was made; look at the path, or make a new book", path);
      else
        g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_IO, "“%s” cannot be looked at: %s", path,
                     g_strerror (errno));
      return FALSE;
    }
  if (!S_ISREG (status.st_mode) || status.st_size < HEADER_SIZE)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NOT_A_BOOK, "“%s” is not a service book but %s; it was left as it is; choose another file",
                   name, !S_ISREG (status.st_mode) ? "no file at all"
                         : status.st_size == 0     ? "an empty file"
                                                   : "too short for one");
      return FALSE;
    }
  if (how == FOR_WRITING && !may_write (path))
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_READ_ONLY,
                   "“%s” or its folder cannot be written; nothing was changed; look at the permissions, or "
                   "copy the book to a place that can be written", name);
      return FALSE;
    }
  return TRUE;
}

static gboolean
check_header (sqlite3 *db, const char *path, GError **error)
{
  guint8 header[HEADER_SIZE];
  sqlite3_file *file = NULL;
  g_autofree char *name = g_path_get_basename (path);
  int rc = sqlite3_file_control (db, "main", SQLITE_FCNTL_FILE_POINTER, &file);
  g_assert (rc == SQLITE_OK && file != NULL && file->pMethods != NULL);
  rc = file->pMethods->xRead (file, header, sizeof header, 0);
  if (rc != SQLITE_OK && rc != SQLITE_IOERR_SHORT_READ)
    return td_error_set_sqlite (error, db, rc, path);
  if (rc == SQLITE_IOERR_SHORT_READ || memcmp (header, HEADER_MAGIC, sizeof HEADER_MAGIC) != 0)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NOT_A_BOOK,
                   "“%s” is not a service book, or its beginning is damaged; it was left as it is; choose "
                   "another file, or restore a backup", name);
      return FALSE;
    }
  if (read_be32 (header + HEADER_APPLICATION_ID) != TD_BOOK_APPLICATION_ID)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NOT_A_BOOK,
                   "“%s” is another program's database, not a service book; it was left as it is; choose "
                   "another file", name);
      return FALSE;
    }
  if (read_be32 (header + HEADER_USER_VERSION) > td_migrate_get_version ())
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NEWER,
                   "“%s” was written by a newer version of this program; it was left as it is; install "
                   "the newer version to open it", name);
      return FALSE;
    }
  return TRUE;
}

gboolean
td_connect_run (sqlite3 *db, const char *path, const char *sql, GError **error)
{
  g_assert (db != NULL && sql != NULL);
  int rc = sqlite3_exec (db, sql, NULL, NULL, NULL);
  return rc == SQLITE_OK || td_error_set_sqlite (error, db, rc, path);
}

gboolean
td_connect_ask (sqlite3 *db, const char *path, const char *sql, gint64 *value_out, GError **error)
{
  sqlite3_stmt *stmt = NULL;
  g_assert (db != NULL && value_out != NULL);
  int rc = sqlite3_prepare_v2 (db, sql, -1, &stmt, NULL);
  if (rc == SQLITE_OK)
    rc = sqlite3_step (stmt);
  if (rc == SQLITE_ROW)
    *value_out = sqlite3_column_int64 (stmt, 0);
  else
    td_error_set_sqlite (error, db, rc == SQLITE_DONE ? SQLITE_CORRUPT : rc, path);
  sqlite3_finalize (stmt);
  return rc == SQLITE_ROW;
}

gboolean
td_connect_settle (sqlite3 *db, const char *path, GError **error)
{
  gint64 settled = 0;
  /* SQLite answers with the mode that holds now, which is the old one where it could not change. */
  if (!td_connect_run (db, path, "PRAGMA journal_mode = DELETE", error) ||
      !td_connect_ask (db, path, "SELECT journal_mode = 'delete' FROM pragma_journal_mode", &settled, error))
    return FALSE;
  return settled || td_error_set_sqlite (error, NULL, SQLITE_BUSY, path);
}

gboolean
td_connect_set_up (sqlite3 *db, const char *path, GError **error)
{
  g_assert (db != NULL);
  sqlite3_extended_result_codes (db, 1);
  sqlite3_busy_timeout (db, TD_BOOK_BUSY_MS);
  sqlite3_db_config (db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
  sqlite3_db_config (db, SQLITE_DBCONFIG_DQS_DML, 0, NULL);
  sqlite3_db_config (db, SQLITE_DBCONFIG_DQS_DDL, 0, NULL);
  return td_connect_run (db, path,
                         "PRAGMA trusted_schema = OFF;"
                         "PRAGMA cell_size_check = ON;"
                         "PRAGMA foreign_keys = ON;"
                         "PRAGMA recursive_triggers = ON;"
                         "PRAGMA synchronous = FULL;"
                         "PRAGMA temp_store = MEMORY;", error);
}

static gboolean
read_version (sqlite3 *db, const char *path, int *version_out, GError **error)
{
  gint64 id = 0, version = 0;
  g_autofree char *name = g_path_get_basename (path);
  /* Once more through SQLite: what is still in the write-ahead log counts. */
  if (!td_connect_ask (db, path, "PRAGMA application_id", &id, error) ||
      !td_connect_ask (db, path, "PRAGMA user_version", &version, error))
    return FALSE;
  if (id != TD_BOOK_APPLICATION_ID || version < 1)
    return td_error_set_sqlite (error, NULL, SQLITE_CORRUPT, path);
  if (version > (gint64) td_migrate_get_version ())
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NEWER,
                   "“%s” was written by a newer version of this program; nothing in it was changed; "
                   "install the newer version to open it", name);
      return FALSE;
    }
  *version_out = version;
  return TRUE;
}

static int
open_file (const char *path, How how, sqlite3 **db_out)
{
  if (how != AS_IT_LIES)
    return sqlite3_open_v2 (path, db_out,
                            SQLITE_OPEN_NOMUTEX | (how == FOR_WRITING ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY),
                            NULL);
  g_autofree char *plain = g_filename_to_uri (path, NULL, NULL);
  g_autofree char *uri = g_strconcat (plain != NULL ? plain : path, "?immutable=1", NULL);
  return sqlite3_open_v2 (uri, db_out, SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, NULL);
}

static gboolean
connect_to (const char *path, How how, sqlite3 **db_out, int *version_out, GError **error)
{
  sqlite3 *db = NULL;
  g_assert (path != NULL && db_out != NULL && version_out != NULL);
  if (!check_file (path, how, error))
    return FALSE;
  int rc = open_file (path, how, &db);
  if (rc != SQLITE_OK)
    td_error_set_sqlite (error, db, rc, path);
  else if (how == FOR_WRITING && sqlite3_db_readonly (db, "main") != 0)
    td_error_set_sqlite (error, NULL, SQLITE_READONLY, path);
  else if (check_header (db, path, error) && td_connect_set_up (db, path, error) &&
           read_version (db, path, version_out, error))
    {
      *db_out = db;
      return TRUE;
    }
  sqlite3_close (db);
  return FALSE;
}

gboolean
td_connect (const char *path, sqlite3 **db_out, int *version_out, GError **error)
{
  return connect_to (path, FOR_WRITING, db_out, version_out, error);
}

gboolean
td_connect_reading (const char *path, sqlite3 **db_out, int *version_out, GError **error)
{
  return connect_to (path, FOR_READING, db_out, version_out, error);
}

gboolean
td_connect_frozen (const char *path, sqlite3 **db_out, int *version_out, GError **error)
{
  struct stat status;
  g_autofree char *log = g_strconcat (path, "-wal", NULL);
  /* With a log beside it the file alone would be an old state of the book. */
  gboolean logged = stat (log, &status) == 0 && status.st_size > 0;
  return connect_to (path, logged ? FOR_READING : AS_IT_LIES, db_out, version_out, error);
}

gboolean
td_connect_may_write (const char *path)
{
  g_assert (path != NULL);
  return may_write (path);
}
