#include "book-bench.h"

#include "store-check.h"

#include <glib/gstdio.h>
#include <sqlite3.h>
#include <string.h>

/* Any number does; this one is the day's own. */
#define SEED 20260302

char *
book_bench_path (const BookBench *bench, const char *name)
{
  return g_build_filename (bench->folder, name, NULL);
}

BookBench *
book_bench_new_empty (void)
{
  BookBench *bench = g_new0 (BookBench, 1);
  g_autoptr (GError) error = NULL;
  bench->folder = g_dir_make_tmp ("tundish-book-XXXXXX", &error);
  g_assert_no_error (error);
  bench->path = book_bench_path (bench, "b.tundish");
  bench->clock = td_clock_new_pinned (bench_time ("05:00"), 1000, SEED);
  bench->bench = bench_new ();
  bench->book = td_book_create (bench->path, TRUE, bench->clock, &error);
  g_assert_no_error (error);
  return bench;
}

BookBench *
book_bench_new (void)
{
  BookBench *bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  td_book_import_company (bench->book, bench->bench->context.masters, NULL, &error);
  g_assert_no_error (error);
  td_book_import_site (bench->book, bench->bench->context.site, NULL, &error);
  g_assert_no_error (error);
  return bench;
}

void
book_bench_close (BookBench *bench)
{
  g_clear_pointer (&bench->book, td_book_close);
}

void
book_bench_reopen (BookBench *bench)
{
  g_autoptr (GError) error = NULL;
  book_bench_close (bench);
  bench->book = td_book_open (bench->path, bench->clock, &error);
  g_assert_no_error (error);
}

void
book_bench_remove (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      if (g_file_test (path, G_FILE_TEST_IS_DIR) && !g_file_test (path, G_FILE_TEST_IS_SYMLINK))
        book_bench_remove (path);
      else
        g_unlink (path);
    }
  g_rmdir (folder);
}

void
book_bench_free (BookBench *bench)
{
  book_bench_close (bench);
  book_bench_remove (bench->folder);
  td_clock_unref (bench->clock);
  bench_free (bench->bench);
  g_free (bench->path);
  g_free (bench->folder);
  g_free (bench);
}

TdUuid
book_bench_visit (guint n)
{
  guint8 chance[10] = { 0 };
  chance[8] = n >> 8;
  chance[9] = n;
  return td_uuid_make_v7 (BENCH_DAY_MS, chance);
}

TdDraft *
book_bench_draft (const TdUuid *visit, const char *line, gint64 *recorded_ms_out)
{
  g_autoptr (Bench) scratch = bench_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdEntry) entry = bench_make_entry (scratch, line, &error);
  g_assert_no_error (error);
  if (recorded_ms_out != NULL)
    *recorded_ms_out = entry->envelope.recorded_ms;
  return td_draft_new (visit, entry->envelope.kind, &entry->envelope.happened, entry->envelope.person,
                       entry->body);
}

gboolean
book_bench_try (BookBench *bench, const TdUuid *visit, const char *line, GError **error)
{
  TdBookAppend options = { 0 };
  g_autoptr (TdDraft) draft = book_bench_draft (visit, line, &options.recorded_ms);
  return td_book_append (bench->book, draft, &options, NULL, error);
}

void
book_bench_add (BookBench *bench, const TdUuid *visit, const char *line)
{
  g_autoptr (GError) error = NULL;
  book_bench_try (bench, visit, line, &error);
  g_assert_no_error (error);
}

void
book_bench_add_visit (BookBench *bench, const TdUuid *visit, guint n)
{
  for (guint i = 0; bench_good_visit[i] != NULL && (n == 0 || i < n); i++)
    book_bench_add (bench, visit, bench_good_visit[i]);
}

void
book_bench_add_closed (BookBench *bench, const TdUuid *visit)
{
  book_bench_add_visit (bench, visit, 0);
  book_bench_add (bench, visit, "07:27 closing");
}

void
book_bench_check (BookBench *bench)
{
  g_autoptr (GError) error = NULL;
  td_book_check (bench->book, NULL, NULL, &error);
  g_assert_no_error (error);
}

void
book_bench_check_fails (BookBench *bench, const char *part)
{
  g_autoptr (GError) error = NULL;
  g_assert_false (td_book_check (bench->book, NULL, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED);
  if (strstr (error->message, part) == NULL)
    g_error ("“%s” says nothing of “%s”", error->message, part);
}

static sqlite3 *
open_raw (const char *path)
{
  sqlite3 *db = NULL;
  g_assert_cmpint (sqlite3_open_v2 (path, &db, SQLITE_OPEN_READWRITE, NULL), ==, SQLITE_OK);
  return db;
}

char *
book_bench_try_sql (const char *path, const char *sql)
{
  sqlite3 *db = open_raw (path);
  char *message = NULL, *copy;
  sqlite3_exec (db, sql, NULL, NULL, &message);
  copy = g_strdup (message);
  sqlite3_free (message);
  g_assert_cmpint (sqlite3_close (db), ==, SQLITE_OK);
  return copy;
}

void
book_bench_run_sql (const char *path, const char *sql)
{
  g_autofree char *message = book_bench_try_sql (path, sql);
  g_assert_cmpstr (message, ==, NULL);
}

gint64
book_bench_ask_sql (const char *path, const char *sql)
{
  sqlite3 *db = open_raw (path);
  sqlite3_stmt *stmt = NULL;
  g_assert_cmpint (sqlite3_prepare_v2 (db, sql, -1, &stmt, NULL), ==, SQLITE_OK);
  g_assert_cmpint (sqlite3_step (stmt), ==, SQLITE_ROW);
  gint64 value = sqlite3_column_int64 (stmt, 0);
  sqlite3_finalize (stmt);
  g_assert_cmpint (sqlite3_close (db), ==, SQLITE_OK);
  return value;
}

char *
book_bench_tamper (const char *path, const char *sql)
{
  sqlite3 *db = open_raw (path);
  sqlite3_stmt *row = NULL;
  char *message = NULL, *copy;
  g_autoptr (GString) drop = g_string_new (NULL);
  g_autoptr (GString) make = g_string_new (NULL);
  g_assert_cmpint (sqlite3_prepare_v2 (db, "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'", -1, &row, NULL),
                   ==, SQLITE_OK);
  while (sqlite3_step (row) == SQLITE_ROW)
    {
      g_string_append_printf (drop, "DROP TRIGGER %s;", sqlite3_column_text (row, 0));
      g_string_append_printf (make, "%s;", sqlite3_column_text (row, 1));
    }
  sqlite3_finalize (row);
  g_assert_cmpint (sqlite3_exec (db, drop->str, NULL, NULL, NULL), ==, SQLITE_OK);
  sqlite3_exec (db, sql, NULL, NULL, &message);
  copy = g_strdup (message);
  sqlite3_free (message);
  g_assert_cmpint (sqlite3_exec (db, make->str, NULL, NULL, NULL), ==, SQLITE_OK);
  g_assert_cmpint (sqlite3_close (db), ==, SQLITE_OK);
  return copy;
}

char *
book_bench_hash_file (const char *path)
{
  g_autofree char *bytes = NULL;
  gsize n_bytes = 0;
  g_autoptr (GError) error = NULL;
  g_file_get_contents (path, &bytes, &n_bytes, &error);
  g_assert_no_error (error);
  return g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *) bytes, n_bytes);
}

guint
book_bench_stride (void)
{
  const char *text = g_getenv ("TUNDISH_STRIDE");
  guint64 stride = 1;
  if (text != NULL && !g_ascii_string_to_unsigned (text, 10, 1, 100, &stride, NULL))
    g_error ("TUNDISH_STRIDE is a number from 1 to 100, not \"%s\"", text);
  return stride;
}
