#include "store-bundle-file.h"

#include "store-private.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* "TunB" in the header, as the book has "Tund". */
#define APPLICATION_ID 0x54756e42
#define VERSION 1
/* SQLite's file format, "The Database Header". */
#define HEADER_SIZE 100
#define HEADER_MAGIC "SQLite format 3"
#define HEADER_PAGE_SIZE 16
#define HEADER_WRITE_VERSION 18
#define HEADER_READ_VERSION 19
#define HEADER_PAGES 28
#define HEADER_USER_VERSION 60
#define HEADER_APPLICATION_ID 68
/* Longest text or picture in it, bytes; a closing's snapshot and a picture stay far below. */
#define LENGTH_MAX (8 << 20)

/* By name, as they are compared. */
static const struct
{
  const char *name;
  const char *sql;
  TdSql list;
} tables[] = {
  { "agreement", "CREATE TABLE agreement (uuid BLOB NOT NULL, account TEXT NOT NULL, since INTEGER NOT NULL, version INTEGER NOT NULL, until INTEGER, sha256 BLOB NOT NULL, text TEXT NOT NULL, taken_ms INTEGER NOT NULL, PRIMARY KEY (account, since, version)) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_AGREEMENTS },
  { "attachment", "CREATE TABLE attachment (sha256 BLOB PRIMARY KEY, media TEXT NOT NULL, bytes BLOB NOT NULL) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_ATTACHMENTS },
  { "conflict", "CREATE TABLE conflict (kind TEXT NOT NULL, slug TEXT NOT NULL, kept_sha256 BLOB NOT NULL, other_sha256 BLOB NOT NULL, kept_rev INTEGER NOT NULL, other_rev INTEGER NOT NULL, kept TEXT NOT NULL, other TEXT NOT NULL, met_ms INTEGER NOT NULL, PRIMARY KEY (kind, slug, kept_sha256, other_sha256)) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_CONFLICTS },
  { "device", "CREATE TABLE device (uuid BLOB PRIMARY KEY, prefix TEXT NOT NULL, created_ms INTEGER NOT NULL, number INTEGER) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_DEVICES },
  { "entry", "CREATE TABLE entry (visit BLOB NOT NULL, seq INTEGER NOT NULL, kind TEXT NOT NULL, version INTEGER NOT NULL, happened_ms INTEGER NOT NULL, offset_min INTEGER NOT NULL, zone TEXT NOT NULL, recorded_ms INTEGER NOT NULL, boot_id TEXT NOT NULL, boottime_ms INTEGER NOT NULL, person TEXT NOT NULL, device BLOB NOT NULL, body TEXT NOT NULL, digest BLOB NOT NULL, PRIMARY KEY (visit, seq)) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_ALL_ENTRIES },
  { "manifest", "CREATE TABLE manifest (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_MANIFEST },
  { "master", "CREATE TABLE master (kind TEXT NOT NULL, slug TEXT NOT NULL, uuid BLOB, rev INTEGER NOT NULL, body TEXT NOT NULL, PRIMARY KEY (kind, slug)) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_MASTERS },
  { "note", "CREATE TABLE note (uuid BLOB PRIMARY KEY, site TEXT NOT NULL, day INTEGER NOT NULL, moved_to INTEGER, cause TEXT NOT NULL, reason TEXT NOT NULL, person TEXT NOT NULL, recorded_ms INTEGER NOT NULL, device BLOB NOT NULL) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_NOTES },
  { "sheet", "CREATE TABLE sheet (sha256 BLOB PRIMARY KEY, text TEXT NOT NULL) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_SHEETS },
  { "site_sheet", "CREATE TABLE site_sheet (site TEXT NOT NULL, rev INTEGER NOT NULL, sheet BLOB NOT NULL, since_ms INTEGER NOT NULL, PRIMARY KEY (site, rev)) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_SITE_SHEETS },
  { "version", "CREATE TABLE version (kind TEXT NOT NULL, slug TEXT NOT NULL, sha256 BLOB NOT NULL, rev INTEGER NOT NULL, PRIMARY KEY (kind, slug, sha256)) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_VERSIONS },
  { "visit", "CREATE TABLE visit (uuid BLOB PRIMARY KEY, site TEXT NOT NULL, sheet BLOB NOT NULL, device BLOB NOT NULL, amends BLOB, closed_on BLOB NOT NULL, number INTEGER NOT NULL, previous BLOB, seal BLOB NOT NULL) STRICT, WITHOUT ROWID", TD_SQL_BUNDLE_LIST_VISITS },
};

gboolean
td_bundle_fail (GError **error, TdBookError code, const char *path, const char *format, ...)
{
  va_list arguments;
  g_autofree char *name = g_path_get_basename (path);
  va_start (arguments, format);
  g_autofree char *text = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, TD_BOOK_ERROR, code, "“%s” %s", name, text);
  return FALSE;
}

static gboolean
fail_strange (GError **error, const char *path, const char *what)
{
  return td_bundle_fail (error, TD_BOOK_ERROR_NOT_A_BOOK, path,
                         "is not a bundle as this program writes them (%s); nothing was taken in; ask for a new one",
                         what);
}

static gboolean
fail_damaged (GError **error, const char *path, const char *what)
{
  return td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, path,
                         "is damaged (%s); nothing was taken in; ask for the bundle once more", what);
}

static TdBundle *
wrap (sqlite3 *db, const char *path)
{
  TdBundle *bundle = g_new0 (TdBundle, 1);
  bundle->db = db;
  bundle->owner = g_thread_self ();
  bundle->path = g_strdup (path);
  return bundle;
}

void
td_bundle_close (TdBundle *bundle)
{
  g_return_if_fail (bundle != NULL);
  td_statements_finalize (bundle);
  int rc = sqlite3_close (bundle->db);
  g_assert (rc == SQLITE_OK);
  g_free (bundle->path);
  g_free (bundle);
}

TdBundle *
td_bundle_create (const char *temporary, GError **error)
{
  sqlite3 *db = NULL;
  g_assert (temporary != NULL);
  g_autofree char *marks = g_strdup_printf ("PRAGMA application_id = %d; PRAGMA user_version = %d", APPLICATION_ID, VERSION);
  int rc = sqlite3_open_v2 (temporary, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
  /* Nothing but the whole file is ever given its name, so that a journal has nothing to save; the commit
   * is still flushed. */
  gboolean ok = (rc == SQLITE_OK || td_error_set_sqlite (error, db, rc, temporary)) &&
                td_connect_set_up (db, temporary, error) &&
                td_connect_run (db, temporary, "PRAGMA journal_mode = OFF", error) &&
                td_connect_run (db, temporary, marks, error) && td_connect_run (db, temporary, "BEGIN IMMEDIATE", error);
  for (gsize i = 0; ok && i < G_N_ELEMENTS (tables); i++)
    ok = td_connect_run (db, temporary, tables[i].sql, error);
  if (ok)
    return wrap (db, temporary);
  sqlite3_close (db);
  return NULL;
}

gboolean
td_bundle_put (TdBundle *bundle, const char *key, const char *value, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (bundle, TD_SQL_BUNDLE_INSERT_MANIFEST, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_text (insert, ":key", key);
  td_statement_bind_text (insert, ":value", value);
  return td_statement_run (insert, error);
}

/* SHA-256 over every row of every table, types and lengths included, so that no two contents meet. */
static char *
hash_content (TdBundle *bundle, GError **error)
{
  g_autoptr (GChecksum) checksum = g_checksum_new (G_CHECKSUM_SHA256);
  for (gsize i = 0; i < G_N_ELEMENTS (tables); i++)
    {
      g_autoptr (TdStatement) row = td_statement_get (bundle, tables[i].list, error);
      if (row == NULL)
        return NULL;
      g_checksum_update (checksum, (const guchar *) tables[i].name, strlen (tables[i].name) + 1);
      TdStep step;
      while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
        td_statement_feed (row, checksum);
      if (step == TD_STEP_FAILED)
        return NULL;
    }
  return g_strdup (g_checksum_get_string (checksum));
}

gboolean
td_bundle_seal (TdBundle *bundle, char **sha256_out, GError **error)
{
  g_autofree char *sha256 = hash_content (bundle, error);
  if (sha256 == NULL || !td_bundle_put (bundle, "digest", sha256, error) ||
      !td_connect_run (bundle->db, bundle->path, "COMMIT", error))
    return FALSE;
  *sha256_out = g_steal_pointer (&sha256);
  return TRUE;
}

static guint32
read_be32 (const guint8 *bytes)
{
  return (guint32) bytes[0] << 24 | (guint32) bytes[1] << 16 | (guint32) bytes[2] << 8 | bytes[3];
}

static gboolean
check_header (const guint8 *bytes, gint64 size, const char *path, GError **error)
{
  if (size < HEADER_SIZE || memcmp (bytes, HEADER_MAGIC, sizeof HEADER_MAGIC) != 0 ||
      read_be32 (bytes + HEADER_APPLICATION_ID) != APPLICATION_ID)
    return td_bundle_fail (error, TD_BOOK_ERROR_NOT_A_BOOK, path,
                           "is not a bundle; nothing was taken in; choose a file that was written as one");
  if (read_be32 (bytes + HEADER_USER_VERSION) != VERSION)
    return td_bundle_fail (error, TD_BOOK_ERROR_NEWER, path,
                           "was written by a newer version of this program; nothing was taken in; install the newer "
                           "version");
  /* A page size of 65536 is written as 1. */
  guint32 page = bytes[HEADER_PAGE_SIZE] << 8 | bytes[HEADER_PAGE_SIZE + 1];
  page = page == 1 ? 65536 : page;
  if (page == 0 || size % page != 0 || read_be32 (bytes + HEADER_PAGES) != size / page)
    return fail_damaged (error, path, "its length is not what its beginning says");
  if (bytes[HEADER_WRITE_VERSION] != 1 || bytes[HEADER_READ_VERSION] != 1)
    return fail_strange (error, path, "it has a log beside it");
  return TRUE;
}

/* @bytes_out: to be given back with sqlite3_free(). */
static gboolean
read_all (int fd, const char *path, guint8 **bytes_out, gint64 *size_out, GError **error)
{
  struct stat status;
  if (fstat (fd, &status) != 0 || !S_ISREG (status.st_mode))
    return td_bundle_fail (error, TD_BOOK_ERROR_NOT_A_BOOK, path, "is no file; nothing was taken in; choose a bundle");
  if (status.st_size > TD_BUNDLE_MAX)
    return td_bundle_fail (error, TD_BOOK_ERROR_FULL, path,
                           "is larger than a bundle may be (256 MiB); nothing was taken in; ask for one with fewer "
                           "visits, or work in a restored copy of the book");
  guint8 *bytes = sqlite3_malloc64 (MAX (status.st_size, 1));
  g_assert (bytes != NULL);
  gint64 have = 0;
  while (have < status.st_size)
    {
      gssize n = read (fd, bytes + have, status.st_size - have);
      if (n < 0 && errno == EINTR)
        continue;
      if (n <= 0)
        break;
      have += n;
    }
  if (have < status.st_size)
    {
      sqlite3_free (bytes);
      return td_bundle_fail (error, TD_BOOK_ERROR_IO, path, "cannot be read to its end; nothing was taken in; do it again");
    }
  *bytes_out = bytes;
  *size_out = have;
  return TRUE;
}

/* A database in memory that holds the file's bytes, read-only. Takes @bytes over. */
static sqlite3 *
load (guint8 *bytes, gint64 size, const char *path, GError **error)
{
  sqlite3 *db = NULL;
  int rc = sqlite3_open_v2 (":memory:", &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_MEMORY | SQLITE_OPEN_NOMUTEX, NULL);
  g_assert (rc == SQLITE_OK);
  sqlite3_limit (db, SQLITE_LIMIT_LENGTH, LENGTH_MAX);
  sqlite3_limit (db, SQLITE_LIMIT_ATTACHED, 0);
  sqlite3_limit (db, SQLITE_LIMIT_TRIGGER_DEPTH, 1);
  sqlite3_db_config (db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL);
  sqlite3_db_config (db, SQLITE_DBCONFIG_ENABLE_VIEW, 0, NULL);
  rc = sqlite3_deserialize (db, "main", bytes, size, size, SQLITE_DESERIALIZE_FREEONCLOSE | SQLITE_DESERIALIZE_READONLY);
  if (rc == SQLITE_OK && td_connect_set_up (db, path, NULL) && td_connect_run (db, path, "PRAGMA query_only = ON", NULL))
    return db;
  fail_damaged (error, path, sqlite3_errmsg (db));
  sqlite3_close (db);
  return NULL;
}

/* Exactly the tables of a bundle, to the letter; nothing that could run. */
static gboolean
check_schema (TdBundle *bundle, GError **error)
{
  gsize n = 0;
  g_autoptr (TdStatement) row = td_statement_get (bundle, TD_SQL_BUNDLE_SCHEMA, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      const char *name = td_statement_get_text (row, 1);
      if (n >= G_N_ELEMENTS (tables) || strcmp (td_statement_get_text (row, 0), "table") != 0 ||
          strcmp (name, tables[n].name) != 0 || strcmp (td_statement_get_text (row, 2), tables[n].sql) != 0)
        {
          g_autofree char *what = g_strdup_printf ("%s “%s”", td_statement_get_text (row, 0), name);
          return fail_strange (error, bundle->path, what);
        }
      n++;
    }
  if (step == TD_STEP_FAILED)
    return FALSE;
  return n == G_N_ELEMENTS (tables) || fail_strange (error, bundle->path, "a table is missing");
}

static gboolean
check_pages (TdBundle *bundle, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (bundle, TD_SQL_BUNDLE_QUICK_CHECK, error);
  if (row == NULL || td_statement_ask (row, error) != TD_STEP_ROW)
    return FALSE;
  return strcmp (td_statement_get_text (row, 0), "ok") == 0 ||
         fail_damaged (error, bundle->path, td_statement_get_text (row, 0));
}

/* A text that goes on behind a NUL would be kept without being seen. */
static gboolean
check_texts (TdBundle *bundle, GError **error)
{
  for (gsize i = 0; i < G_N_ELEMENTS (tables); i++)
    {
      g_autoptr (TdStatement) row = td_statement_get (bundle, tables[i].list, error);
      if (row == NULL)
        return FALSE;
      TdStep step;
      while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
        if (!td_statement_has_sound_texts (row))
          return fail_strange (error, bundle->path, "it holds a text that is none");
      if (step == TD_STEP_FAILED)
        return FALSE;
    }
  return TRUE;
}

static gboolean
check_content (TdBundle *bundle, GError **error)
{
  g_autofree char *format = td_bundle_get (bundle, "format", error);
  g_autofree char *digest = format != NULL ? td_bundle_get (bundle, "digest", error) : NULL;
  g_autofree char *hash = digest != NULL ? hash_content (bundle, error) : NULL;
  if (hash == NULL)
    return FALSE;
  if (strcmp (format, TD_BUNDLE_FORMAT) != 0)
    return fail_strange (error, bundle->path, "its format is another");
  return strcmp (hash, digest) == 0 || fail_damaged (error, bundle->path, "its content is not what it was sealed with");
}

/* What SQLite says of a book's file does not fit a bundle. */
static gboolean
check_all (TdBundle *bundle, GError **error)
{
  g_autoptr (GError) why = NULL;
  if (check_schema (bundle, &why) && check_pages (bundle, &why) && check_content (bundle, &why) &&
      check_texts (bundle, &why))
    return TRUE;
  g_assert (why != NULL);
  if (sqlite3_errcode (bundle->db) != SQLITE_OK && sqlite3_errcode (bundle->db) != SQLITE_DONE &&
      sqlite3_errcode (bundle->db) != SQLITE_ROW)
    return fail_damaged (error, bundle->path, sqlite3_errmsg (bundle->db));
  g_propagate_error (error, g_steal_pointer (&why));
  return FALSE;
}

TdBundle *
td_bundle_open (const char *path, GError **error)
{
  guint8 *bytes = NULL;
  gint64 size = 0;
  g_return_val_if_fail (path != NULL, NULL);
  /* O_NONBLOCK: a pipe of that name must not hold the program up. */
  int fd = open (path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
  if (fd < 0)
    {
      td_bundle_fail (error, errno == ENOENT ? TD_BOOK_ERROR_MISSING : TD_BOOK_ERROR_IO, path,
                      "cannot be read (%s); nothing was taken in; look at the path", g_strerror (errno));
      return NULL;
    }
  gboolean ok = read_all (fd, path, &bytes, &size, error);
  close (fd);
  if (!ok)
    return NULL;
  if (!check_header (bytes, size, path, error))
    {
      sqlite3_free (bytes);
      return NULL;
    }
  sqlite3 *db = load (bytes, size, path, error);
  if (db == NULL)
    return NULL;
  TdBundle *bundle = wrap (db, path);
  if (check_all (bundle, error))
    return bundle;
  td_bundle_close (bundle);
  return NULL;
}

char *
td_bundle_get (TdBundle *bundle, const char *key, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (bundle, TD_SQL_BUNDLE_SELECT_MANIFEST, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_text (row, ":key", key);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_FAILED)
    return NULL;
  return step == TD_STEP_ROW ? td_statement_dup_text (row, 0) : g_strdup ("");
}

gboolean
td_bundle_may_replace (const char *path, GError **error)
{
  guint8 header[HEADER_SIZE] = { 0 };
  g_return_val_if_fail (path != NULL, FALSE);
  int fd = open (path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
  if (fd < 0)
    return errno == ENOENT || td_bundle_fail (error, TD_BOOK_ERROR_IO, path, "cannot be looked at (%s); nothing was written",
                                              g_strerror (errno));
  gssize n = read (fd, header, sizeof header);
  close (fd);
  if (n == HEADER_SIZE && memcmp (header, HEADER_MAGIC, sizeof HEADER_MAGIC) == 0 &&
      read_be32 (header + HEADER_APPLICATION_ID) == APPLICATION_ID)
    return TRUE;
  return td_bundle_fail (error, TD_BOOK_ERROR_EXISTS, path,
                         "exists already and is not a bundle; it was left as it is; choose another name");
}
