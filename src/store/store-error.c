#include "store-error.h"

#include "store-private.h"

#include <errno.h>

GQuark
td_book_error_quark (void)
{
  return g_quark_from_static_string ("tundish-book-error");
}

/* What a result code of SQLite means to a person: the sentence before and after the file's name. */
typedef struct
{
  int rc;
  TdBookError code;
  const char *before;
  const char *after;
} Meaning;

static const char read_only_text[] =
  "cannot be written; nothing was changed; look at the permissions of the file and its folder, or copy it to a "
  "place that can be written";
static const char damaged_text[] =
  "is damaged; nothing more is written to it; keep it, and restore the newest backup";

static const Meaning meanings[] = {
  { SQLITE_BUSY, TD_BOOK_ERROR_LOCKED, "Another program is busy writing to ",
    "; nothing of this was kept and all that was confirmed before is safe; wait for it to end and do it again" },
  { SQLITE_LOCKED, TD_BOOK_ERROR_LOCKED, "Another part of this program is using ",
    "; nothing of this was kept and all that was confirmed before is safe; do it again" },
  { SQLITE_READONLY, TD_BOOK_ERROR_READ_ONLY, "", read_only_text },
  { SQLITE_PERM, TD_BOOK_ERROR_READ_ONLY, "", read_only_text },
  { SQLITE_AUTH, TD_BOOK_ERROR_READ_ONLY, "", read_only_text },
  { SQLITE_FULL, TD_BOOK_ERROR_FULL, "No room is left for ",
    "; nothing of this was kept and all that was confirmed before is safe; make room and do it again" },
  { SQLITE_CORRUPT, TD_BOOK_ERROR_DAMAGED, "", damaged_text },
  { SQLITE_NOTADB, TD_BOOK_ERROR_DAMAGED, "", damaged_text },
  /* Every statement was tried on a sound book: a column or function that is not there is a spoiled schema. */
  { SQLITE_ERROR, TD_BOOK_ERROR_DAMAGED, "", damaged_text },
  { SQLITE_CONSTRAINT, TD_BOOK_ERROR_REFUSED, "The record in ",
    "may not be changed in this way; nothing of this was kept" },
  { SQLITE_CANTOPEN, TD_BOOK_ERROR_IO, "",
    "cannot be opened; nothing was changed; look at the path and at the folder's permissions" },
  { -1, TD_BOOK_ERROR_IO, "The disk refused to read or write ",
    "; nothing of this was kept and all that was confirmed before is safe; look after the disk, make a backup, and "
    "do it again" }
};

static gboolean
means_full (int system)
{
  return system == ENOSPC || system == EFBIG || system == EDQUOT;
}

/* What the system said to the last failed access to the book's file or its log. */
static gboolean
is_full (sqlite3 *db)
{
  int system = 0;
  sqlite3_file *log = NULL;
  sqlite3_file_control (db, "main", SQLITE_FCNTL_LAST_ERRNO, &system);
  if (means_full (system))
    return TRUE;
  sqlite3_file_control (db, "main", SQLITE_FCNTL_JOURNAL_POINTER, &log);
  if (log == NULL || log->pMethods == NULL)
    return FALSE;
  log->pMethods->xFileControl (log, SQLITE_FCNTL_LAST_ERRNO, &system);
  return means_full (system);
}

/* The system's word can be more exact than SQLite's: a quota or a limit on the size of files is a lack
 * of room, though SQLite calls it a failed write. */
static int
refine (sqlite3 *db, int rc)
{
  int primary = rc & 0xff;
  int system = db != NULL ? sqlite3_system_errno (db) : 0;
  if (primary == SQLITE_IOERR && db != NULL && is_full (db))
    return SQLITE_FULL;
  if ((primary == SQLITE_IOERR || primary == SQLITE_CANTOPEN) &&
      (system == EACCES || system == EROFS || system == EPERM))
    return SQLITE_READONLY;
  return primary;
}

gboolean
td_error_set_sqlite (GError **error, sqlite3 *db, int rc, const char *path)
{
  g_assert (rc != SQLITE_OK && rc != SQLITE_ROW && rc != SQLITE_DONE);
  g_assert (path != NULL);
  /* A misuse is a fault of this program, never of the book. */
  if ((rc & 0xff) == SQLITE_MISUSE || (rc & 0xff) == SQLITE_RANGE)
    g_warning ("SQLite: %s", db != NULL ? sqlite3_errmsg (db) : sqlite3_errstr (rc));
  int meant = refine (db, rc);
  const Meaning *meaning = meanings;
  while (meaning->rc != meant && meaning->rc != -1)
    meaning++;
  g_autofree char *name = g_path_get_basename (path);
  g_set_error (error, TD_BOOK_ERROR, meaning->code, "%s“%s”%s%s (%s)", meaning->before, name,
               meaning->after[0] == ';' ? "" : " ", meaning->after,
               db != NULL ? sqlite3_errmsg (db) : sqlite3_errstr (rc));
  return FALSE;
}
