/* Older books are brought up to date in one step, after a backup; what goes wrong leaves them as they were. */
#include "book-bench.h"
#include "fault-vfs.h"

#include "store-check.h"
#include "store-migrate.h"
#include "store-private.h"
#include "store-query.h"

#include <glib/gstdio.h>
#include <string.h>

/* A later version's script, as one might come. */
#define LATER_SQL \
  "ALTER TABLE account ADD COLUMN colour TEXT; UPDATE account SET colour = 'blue';" \
  "CREATE TABLE later (a INTEGER PRIMARY KEY) STRICT; INSERT INTO later VALUES (1), (2)"

/* The scripts so far and @extra. (transfer full) */
static char **
add_script (const char *extra)
{
  guint n = td_migrate_get_version ();
  char **scripts = td_migrate_get_all ();
  scripts = g_renew (char *, scripts, n + 2);
  scripts[n] = g_strdup (extra);
  scripts[n + 1] = NULL;
  return scripts;
}

static gboolean
migrate (const char *path, const char *extra, GError **error)
{
  g_auto (GStrv) scripts = add_script (extra);
  sqlite3 *db = NULL;
  int version = 0;
  g_assert_true (td_connect (path, &db, &version, NULL));
  gboolean ok = td_migrate_old (db, path, version, (const char *const *) scripts, error);
  g_assert_cmpint (sqlite3_close (db), ==, SQLITE_OK);
  return ok;
}

static char *
get_copy_path (const char *path)
{
  return g_strdup_printf ("%s.version-%u", path, td_migrate_get_version ());
}

static void
test_forward (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  guint version = td_migrate_get_version (), n = 0;
  g_autofree char *copy = get_copy_path (bench->path);
  book_bench_add_visit (bench, &visit, 5);
  book_bench_close (bench);
  g_assert_true (migrate (bench->path, LATER_SQL, &error));
  g_assert_no_error (error);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "PRAGMA user_version"), ==, version + 1);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM later"), ==, 2);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM account WHERE colour = 'blue'"), ==, 1);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM entry"), ==, 5);
  /* The backup is the book as it was, and opens. */
  TdBook *before = td_book_open (copy, bench->clock, &error);
  g_assert_no_error (error);
  td_book_check (before, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (td_book_count_entries (before, &visit, &n, NULL));
  g_assert_cmpuint (n, ==, 5);
  td_book_close (before);
  /* This program does not know the later version. */
  g_assert_null (td_book_open (bench->path, bench->clock, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NEWER);
}

static const struct
{
  const char *name;
  const char *sql;
} mistakes[] = {
  { "no SQL", "CREATE TABLE later (a INTEGER PRIMARY KEY) STRICT; this is no SQL" },
  { "a constraint", "CREATE TABLE later (a INTEGER PRIMARY KEY) STRICT; INSERT INTO later VALUES (1), (1)" },
  { "a frozen row", "CREATE TABLE later (a INTEGER PRIMARY KEY) STRICT; UPDATE entry SET person = 'x'" },
  { "a broken reference", "CREATE TABLE later (a INTEGER PRIMARY KEY) STRICT; DELETE FROM account" },
};

static void
test_backward (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  book_bench_add_visit (bench, &visit, 5);
  for (gsize i = 0; i < G_N_ELEMENTS (mistakes); i++)
    {
      g_autoptr (GError) error = NULL;
      book_bench_close (bench);
      g_assert_false (migrate (bench->path, mistakes[i].sql, &error));
      g_assert_nonnull (error);
      g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM sqlite_schema WHERE name = 'later'"), ==, 0);
      book_bench_reopen (bench);
      book_bench_check (bench);
    }
  /* Each attempt made a backup under a name of its own. */
  g_autofree char *copy = get_copy_path (bench->path);
  g_autofree char *last = g_strdup_printf ("%s-%u", copy, (guint) G_N_ELEMENTS (mistakes));
  g_assert_true (g_file_test (last, G_FILE_TEST_EXISTS));
}

/* The n-th write fails, for every n: the book is the old one or the new one, and whole. */
static void
test_faults (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *bytes = NULL;
  gsize n_bytes = 0;
  g_autofree char *copy = get_copy_path (bench->path);
  guint failures = 0;
  gboolean fired = TRUE;
  book_bench_close (bench);
  g_assert_true (g_file_get_contents (bench->path, &bytes, &n_bytes, NULL));
  for (guint n = 1; fired; n++)
    {
      g_auto (GStrv) scripts = add_script (LATER_SQL);
      sqlite3 *db = NULL;
      int version = 0;
      g_unlink (copy);
      g_assert_true (g_file_set_contents (bench->path, bytes, n_bytes, NULL));
      g_assert_true (td_connect (bench->path, &db, &version, NULL));
      fault_vfs_arm (FAULT_FROM, n, bench->folder);
      gboolean ok = td_migrate_old (db, bench->path, version, (const char *const *) scripts, NULL);
      g_assert_cmpint (sqlite3_close (db), ==, SQLITE_OK);
      fault_vfs_disarm (&fired);
      failures += fired;
      gint64 now = book_bench_ask_sql (bench->path, "PRAGMA user_version");
      g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM sqlite_schema WHERE name = 'later'"), ==,
                       now - version);
      if (ok)
        g_assert_cmpint (now, ==, version + 1);
      g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM pragma_integrity_check WHERE integrity_check = 'ok'"), ==, 1);
      g_autofree char *log = g_strconcat (bench->path, "-wal", NULL);
      g_unlink (log);
    }
  g_assert_cmpuint (failures, >, 50);
}

/* Two programs of the new version open the old book at once: the second finds the work done. */
static void
test_twice (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_auto (GStrv) scripts = add_script (LATER_SQL);
  sqlite3 *first = NULL, *second = NULL;
  int version = 0;
  book_bench_close (bench);
  g_assert_true (td_connect (bench->path, &first, &version, NULL));
  g_assert_true (td_connect (bench->path, &second, &version, NULL));
  g_assert_true (td_migrate_run (first, bench->path, (const char *const *) scripts, &error));
  g_assert_true (td_migrate_run (second, bench->path, (const char *const *) scripts, &error));
  sqlite3_close (first);
  sqlite3_close (second);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM later"), ==, 2);
}

/* Projections of an older kind are made again when the book is opened. */
static void
test_projections (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  book_bench_add_closed (bench, &visit);
  book_bench_close (bench);
  book_bench_run_sql (bench->path, "UPDATE book SET projections = 0; DELETE FROM visit_row; DELETE FROM visit_task;"
                                   "UPDATE visit_line SET method = 'x'; DELETE FROM line_now");
  book_bench_reopen (bench);
  book_bench_check (bench);
}

/* A book of every version that was ever given out, as it was given out. */
static void
test_stored (void)
{
  g_autofree char *folder = g_test_build_filename (G_TEST_DIST, "data", "books", NULL);
  for (guint version = 1; version <= td_migrate_get_version (); version++)
    {
      g_autoptr (BookBench) bench = book_bench_new_empty ();
      g_autoptr (GError) error = NULL;
      g_autofree char *name = g_strdup_printf ("v%u.tundish", version);
      g_autofree char *stored = g_build_filename (folder, name, NULL);
      g_autofree char *bytes = NULL;
      gsize n_bytes = 0;
      TdUuid closed = book_bench_visit (1), open = book_bench_visit (2);
      book_bench_close (bench);
      g_assert_true (g_file_get_contents (stored, &bytes, &n_bytes, NULL));
      g_assert_true (g_file_set_contents (bench->path, bytes, n_bytes, NULL));
      g_assert_cmpint (book_bench_ask_sql (bench->path, "PRAGMA user_version"), ==, version);
      book_bench_reopen (bench);
      book_bench_check (bench);
      g_autoptr (TdVisitRecord) record = td_book_load_visit (bench->book, &closed, &error);
      g_assert_no_error (error);
      g_assert_nonnull (record->seal);
      g_autofree char *text = td_book_get_sealed_text (bench->book, &closed, &error);
      g_autofree char *hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
      g_assert_cmpstr (hash, ==, record->seal);
      book_bench_add (bench, &open, "07:30 note text=later");
      book_bench_add (bench, &open, "07:31 closing");
      book_bench_check (bench);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  if (g_access ("/dev/shm", 7) == 0)
    g_setenv ("TMPDIR", "/dev/shm", TRUE);
  fault_vfs_register ();
  g_test_add_func ("/migrate/forward", test_forward);
  g_test_add_func ("/migrate/backward", test_backward);
  g_test_add_func ("/migrate/faults", test_faults);
  g_test_add_func ("/migrate/twice", test_twice);
  g_test_add_func ("/migrate/projections", test_projections);
  g_test_add_func ("/migrate/stored", test_stored);
  return g_test_run ();
}
