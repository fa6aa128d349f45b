#include "store-book.h"

#include "store-cache.h"
#include "store-file.h"
#include "store-migrate.h"
#include "store-private.h"
#include "store-project.h"

/* Letters that are hard to mistake for one another, in any hand; vowels left out so that no prefix spells
 * a word. Four of them: 160,000 prefixes, so that two copies of a book that were restored apart hardly
 * ever meet in one. */
static const char prefix_letters[] = "BCDFGHJKLMNPQRSTVWXZ";
#define PREFIX_LENGTH 4

static char *
make_prefix (TdClock *clock)
{
  guint8 chance[PREFIX_LENGTH];
  char prefix[PREFIX_LENGTH + 1] = "";
  td_clock_fill_random (clock, chance, sizeof chance);
  for (guint i = 0; i < PREFIX_LENGTH; i++)
    prefix[i] = prefix_letters[chance[i] % (sizeof prefix_letters - 1)];
  return g_strdup (prefix);
}

/* A commit that does not come from td_book_commit() is a mistake of this program: SQLite turns it into a
 * rollback. */
static int
guard_commit_cb (void *user_data)
{
  const TdBook *book = user_data;
  return book->writing ? 0 : 1;
}

static TdBook *
wrap (sqlite3 *db, const char *path, TdClock *clock)
{
  TdBook *book = g_new0 (TdBook, 1);
  book->db = db;
  book->owner = g_thread_self ();
  book->path = g_strdup (path);
  book->clock = td_clock_ref (clock);
  book->cache = td_cache_new ();
  sqlite3_commit_hook (db, guard_commit_cb, book);
  return book;
}

static gboolean
has_prefix (TdBook *book, const char *prefix, gboolean *found_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_DEVICE, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":prefix", prefix);
  TdStep step = td_statement_ask (find, error);
  *found_out = step == TD_STEP_ROW;
  return step != TD_STEP_FAILED;
}

/* A new device; the book's row is not touched. */
static gboolean
insert_device (TdBook *book, TdUuid *id_out, GError **error)
{
  g_autofree char *prefix = NULL;
  gboolean taken = TRUE;
  while (taken)
    {
      g_free (prefix);
      prefix = make_prefix (book->clock);
      if (!has_prefix (book, prefix, &taken, error))
        return FALSE;
    }
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_DEVICE, error);
  if (insert == NULL)
    return FALSE;
  *id_out = td_clock_make_uuid (book->clock);
  td_statement_bind_uuid (insert, ":uuid", id_out);
  td_statement_bind_text (insert, ":prefix", prefix);
  td_statement_bind_integer (insert, ":created_ms", td_clock_get_now_ms (book->clock));
  return td_statement_run (insert, error);
}

static gboolean
fill_new (TdBook *book, gboolean test, GError **error)
{
  TdUuid book_id = td_clock_make_uuid (book->clock);
  TdUuid device_id;
  if (!insert_device (book, &device_id, error))
    return FALSE;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_INSERT_BOOK, error);
  g_autoptr (TdStatement) company = row ? td_statement_get (book, TD_SQL_INSERT_COMPANY, error) : NULL;
  if (company == NULL)
    return FALSE;
  td_statement_bind_uuid (row, ":uuid", &book_id);
  td_statement_bind_integer (row, ":test", test);
  td_statement_bind_uuid (row, ":device", &device_id);
  td_statement_bind_integer (row, ":projections", TD_PROJECTIONS_VERSION);
  td_statement_bind_integer (row, ":created_ms", td_clock_get_now_ms (book->clock));
  return td_statement_run (row, error) && td_statement_run (company, error);
}

/* Fills the empty file at @temporary; it is closed, and so whole, afterwards.  Without a write-ahead log:
 * all of it must stand in the one file that is then given its name, and what tells it from another
 * program's must be there before SQLite reads anything. */
static gboolean
build (const char *temporary, gboolean test, TdClock *clock, GError **error)
{
  sqlite3 *db = NULL;
  int rc = sqlite3_open_v2 (temporary, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
  if (rc != SQLITE_OK)
    {
      td_error_set_sqlite (error, db, rc, temporary);
      sqlite3_close (db);
      return FALSE;
    }
  g_autofree char *mark = g_strdup_printf ("PRAGMA application_id = %d", TD_BOOK_APPLICATION_ID);
  g_auto (GStrv) scripts = td_migrate_get_all ();
  gboolean ok = td_connect_set_up (db, temporary, error) &&
                td_connect_run (db, temporary, mark, error) &&
                td_migrate_run (db, temporary, (const char *const *) scripts, error);
  g_autoptr (TdBook) book = wrap (db, temporary, clock);
  ok = ok && td_book_begin (book, error);
  if (ok && !fill_new (book, test, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return ok && td_book_commit (book, error);
}

TdBook *
td_book_create (const char *path, gboolean test, TdClock *clock, GError **error)
{
  g_return_val_if_fail (path != NULL && clock != NULL, NULL);
  if (td_clock_is_pinned (clock) && !test)
    {
      g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_TEST_CLOCK,
                           "A real book cannot be kept by a pinned clock; nothing was made; leave the time "
                           "out, or make a test book");
      return NULL;
    }
  g_autofree char *full = g_canonicalize_filename (path, NULL);
  g_autofree char *temporary = NULL;
  if (g_file_test (full, G_FILE_TEST_EXISTS | G_FILE_TEST_IS_SYMLINK))
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS,
                   "“%s” exists already and was left as it is; choose another name", path);
      return NULL;
    }
  temporary = td_file_make_temporary (full, error);
  if (temporary == NULL)
    return NULL;
  if (!build (temporary, test, clock, error) || !td_file_publish (temporary, full, FALSE, error))
    {
      td_file_discard (temporary);
      return NULL;
    }
  return td_book_open (full, clock, error);
}

/* FALSE also where a row that every book has is not there. */
static gboolean
read_book (TdBook *book, int *projections_out, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_BOOK, error);
  if (row == NULL)
    return FALSE;
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_DONE)
    return td_error_set_sqlite (error, NULL, SQLITE_CORRUPT, book->path);
  if (step == TD_STEP_FAILED)
    return FALSE;
  g_clear_pointer (&book->device.prefix, g_free);
  book->id = td_statement_get_uuid (row, 0);
  book->test = td_statement_get_integer (row, 1) != 0;
  book->device_key = td_statement_get_integer (row, 2);
  *projections_out = td_statement_get_integer (row, 3);
  book->device.id = td_statement_get_uuid (row, 4);
  book->device.prefix = td_statement_dup_text (row, 5);
  return TRUE;
}

static gboolean
prepare (TdBook *book, GError **error)
{
  int projections = 0;
  if (!read_book (book, &projections, error))
    return FALSE;
  if (td_clock_is_pinned (book->clock) && !book->test)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_TEST_CLOCK,
                   "“%s” is a real book, and its times cannot be pinned; nothing was changed; leave the time "
                   "out, or use a test book", book->path);
      return FALSE;
    }
  return projections == TD_PROJECTIONS_VERSION || td_project_rebuild (book, error);
}

TdBook *
td_book_open (const char *path, TdClock *clock, GError **error)
{
  g_return_val_if_fail (path != NULL && clock != NULL, NULL);
  sqlite3 *db = NULL;
  int version = 0;
  g_autofree char *full = g_canonicalize_filename (path, NULL);
  if (!td_connect (full, &db, &version, error))
    return NULL;
  g_auto (GStrv) scripts = td_migrate_get_all ();
  if (!td_connect_run (db, full, "PRAGMA journal_mode = WAL", error) ||
      (version < (int) td_migrate_get_version () &&
       !td_migrate_old (db, full, version, (const char *const *) scripts, error)))
    {
      sqlite3_close (db);
      return NULL;
    }
  g_autoptr (TdBook) book = wrap (db, full, clock);
  if (!prepare (book, error))
    return NULL;
  return g_steal_pointer (&book);
}

static gboolean
check_current (TdBook *book, int version, GError **error)
{
  int projections = 0;
  if (version == (int) td_migrate_get_version ())
    {
      if (!read_book (book, &projections, error))
        return FALSE;
      if (projections == TD_PROJECTIONS_VERSION)
        return TRUE;
    }
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_READ_ONLY,
               "“%s” is of an earlier version and cannot be written, so it cannot be brought up to date; nothing "
               "was changed; copy it to a place that can be written and open the copy", book->path);
  return FALSE;
}

TdBook *
td_book_open_reading (const char *path, TdClock *clock, GError **error)
{
  g_return_val_if_fail (path != NULL && clock != NULL, NULL);
  sqlite3 *db = NULL;
  int version = 0;
  g_autofree char *full = g_canonicalize_filename (path, NULL);
  if (!g_file_test (full, G_FILE_TEST_EXISTS) || td_connect_may_write (full))
    return td_book_open (full, clock, error);
  if (!td_connect_frozen (full, &db, &version, error))
    return NULL;
  g_autoptr (TdBook) book = wrap (db, full, clock);
  book->reading = TRUE;
  return check_current (book, version, error) ? g_steal_pointer (&book) : NULL;
}

static gboolean
renew_device (TdBook *book, GError **error)
{
  TdUuid device_id;
  int projections = 0;
  if (!insert_device (book, &device_id, error))
    return FALSE;
  g_autoptr (TdStatement) update = td_statement_get (book, TD_SQL_UPDATE_BOOK_DEVICE, error);
  if (update == NULL)
    return FALSE;
  td_statement_bind_uuid (update, ":device", &device_id);
  return td_statement_run (update, error) && read_book (book, &projections, error);
}

gboolean
td_book_renew_device (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  if (!td_book_begin (book, error))
    return FALSE;
  if (!renew_device (book, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}

void
td_book_close (TdBook *book)
{
  g_return_if_fail (book != NULL);
  td_book_assert_owner (book);
  g_assert (!book->writing);
  td_statements_finalize (book);
  td_cache_free (book->cache);
  int rc = sqlite3_close (book->db);
  g_assert (rc == SQLITE_OK);
  td_clock_unref (book->clock);
  g_free (book->device.prefix);
  g_free (book->path);
  g_free (book);
}

const char *
td_book_get_path (TdBook *book)
{
  td_book_assert_owner (book);
  return book->path;
}

gboolean
td_book_is_test (TdBook *book)
{
  td_book_assert_owner (book);
  return book->test;
}

void
td_book_get_id (TdBook *book, TdUuid *id_out)
{
  td_book_assert_owner (book);
  *id_out = book->id;
}

const TdDevice *
td_book_get_device (TdBook *book)
{
  td_book_assert_owner (book);
  return &book->device;
}

TdClock *
td_book_get_clock (TdBook *book)
{
  td_book_assert_owner (book);
  return book->clock;
}

gboolean
td_book_get_data_version (TdBook *book, guint *version_out, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (TdStatement) ask = td_statement_get (book, TD_SQL_PRAGMA_DATA_VERSION, error);
  if (ask == NULL || td_statement_ask (ask, error) != TD_STEP_ROW)
    return FALSE;
  *version_out = td_statement_get_integer (ask, 0);
  return TRUE;
}
