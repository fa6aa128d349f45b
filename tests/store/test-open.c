/* Files that are no book of this program, or cannot be opened: each is told apart, the message says what
 * happened, what is safe and what to do, and the file stays as it was. */
#include "book-bench.h"

#include "store-backup.h"

#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

/* A sentence about what happened, then what is safe, then what to do; none of it empty. */
static void
assert_told (const GError *error)
{
  g_auto (GStrv) parts = g_strsplit (error->message, "; ", -1);
  g_assert_cmpuint (g_strv_length (parts), >=, 3);
  for (guint i = 0; parts[i] != NULL; i++)
    g_assert_cmpuint (strlen (parts[i]), >, 8);
  g_assert_null (strchr (error->message, '\n'));
}

static void
assert_refused (const BookBench *bench, const char *path, TdBookError code)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *before = book_bench_hash_file (path);
  TdBook *book = td_book_open (path, bench->clock, &error);
  g_assert_null (book);
  g_assert_error (error, TD_BOOK_ERROR, (int) code);
  assert_told (error);
  g_autofree char *after = book_bench_hash_file (path);
  g_assert_cmpstr (after, ==, before);
  g_autofree char *log = g_strconcat (path, "-wal", NULL);
  g_assert_false (g_file_test (log, G_FILE_TEST_EXISTS));
}

static char *
write_file (const BookBench *bench, const char *bytes, gsize n_bytes)
{
  char *path = book_bench_path (bench, "other");
  g_assert_true (g_file_set_contents (path, bytes, n_bytes, NULL));
  return path;
}

static void
test_empty (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autofree char *path = write_file (bench, "", 0);
  assert_refused (bench, path, TD_BOOK_ERROR_NOT_A_BOOK);
}

static void
test_text (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GString) text = g_string_new (NULL);
  for (guint i = 0; i < 1000; i++)
    g_string_append_printf (text, "Line %u of a letter.\n", i);
  g_autofree char *path = write_file (bench, text->str, text->len);
  assert_refused (bench, path, TD_BOOK_ERROR_NOT_A_BOOK);
  g_autofree char *small = write_file (bench, "short", 5);
  assert_refused (bench, small, TD_BOOK_ERROR_NOT_A_BOOK);
}

static void
test_folder (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  g_assert_null (td_book_open (bench->folder, bench->clock, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NOT_A_BOOK);
  assert_told (error);
}

static void
test_missing (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  g_autofree char *path = book_bench_path (bench, "nowhere");
  g_assert_null (td_book_open (path, bench->clock, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  assert_told (error);
  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
}

static void
test_foreign (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autofree char *path = write_file (bench, "", 0);
  book_bench_run_sql (path, "PRAGMA application_id = 252006673; CREATE TABLE t (a); PRAGMA user_version = 1");
  assert_refused (bench, path, TD_BOOK_ERROR_NOT_A_BOOK);
}

/* A foreign database with an unfinished log: not even that may be played in. */
static void
test_foreign_log (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  g_autofree char *path = write_file (bench, "", 0);
  g_autofree char *log = g_strconcat (path, "-wal", NULL);
  pid_t child = fork ();
  if (child == 0)
    {
      book_bench_try_sql (path, "PRAGMA journal_mode = WAL; CREATE TABLE t (a); INSERT INTO t VALUES (1)");
      _exit (0);
    }
  g_assert_cmpint (waitpid (child, NULL, 0), ==, child);
  /* The child closed its database; a log is put there as a crash would have left it. */
  g_assert_true (g_file_set_contents (log, "left over", 9, NULL));
  g_autofree char *before = book_bench_hash_file (path);
  g_autofree char *log_before = book_bench_hash_file (log);
  g_assert_null (td_book_open (path, bench->clock, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NOT_A_BOOK);
  g_autofree char *after = book_bench_hash_file (path);
  g_autofree char *log_after = book_bench_hash_file (log);
  g_assert_cmpstr (after, ==, before);
  g_assert_cmpstr (log_after, ==, log_before);
}

static void
test_newer (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  book_bench_close (bench);
  book_bench_run_sql (bench->path, "PRAGMA user_version = 9999");
  assert_refused (bench, bench->path, TD_BOOK_ERROR_NEWER);
}

/* Changes bytes of the book's file. */
static void
spoil (const char *path, gsize at, gsize n_bytes)
{
  g_autofree char *bytes = NULL;
  gsize length = 0;
  g_assert_true (g_file_get_contents (path, &bytes, &length, NULL));
  g_assert_cmpuint (at + n_bytes, <=, length);
  for (gsize i = 0; i < n_bytes; i++)
    bytes[at + i] ^= 0x55;
  g_assert_true (g_file_set_contents (path, bytes, length, NULL));
}

static void
test_damaged_magic (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  book_bench_close (bench);
  spoil (bench->path, 0, 16);
  assert_refused (bench, bench->path, TD_BOOK_ERROR_NOT_A_BOOK);
}

static void
test_damaged_page_size (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  book_bench_close (bench);
  /* SQLite's file format: the page size stands at 16, the reserved space at 20, fixed fractions at 21. */
  spoil (bench->path, 16, 8);
  assert_refused (bench, bench->path, TD_BOOK_ERROR_DAMAGED);
}

static void
test_damaged_pages (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  book_bench_close (bench);
  struct stat status;
  g_assert_cmpint (stat (bench->path, &status), ==, 0);
  /* Everything behind the header: the schema with it. */
  spoil (bench->path, 100, status.st_size - 100);
  assert_refused (bench, bench->path, TD_BOOK_ERROR_DAMAGED);
}

static void
test_cut_short (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  book_bench_close (bench);
  g_assert_cmpint (truncate (bench->path, 4096), ==, 0);
  assert_refused (bench, bench->path, TD_BOOK_ERROR_DAMAGED);
}

/* Runs as somebody whom permissions bind; the test may be run by root, whom they do not. */
static void
run_unprivileged (void (*run) (BookBench *), BookBench *bench)
{
  pid_t child = fork ();
  if (child == 0)
    {
      /* 65534: nobody */
      if (geteuid () == 0 && (setegid (65534) != 0 || seteuid (65534) != 0))
        _exit (3);
      run (bench);
      _exit (0);
    }
  int status = 0;
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFEXITED (status));
  g_assert_cmpint (WEXITSTATUS (status), ==, 0);
}

static void
open_read_only (BookBench *bench)
{
  g_autoptr (GError) error = NULL;
  if (td_book_open (bench->path, bench->clock, &error) != NULL)
    _exit (4);
  if (!g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_READ_ONLY))
    _exit (5);
  assert_told (error);
}

/* What cannot be written is read all the same, and refuses to be written. */
static void
read_read_only (BookBench *bench)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_open_reading (bench->path, bench->clock, &error);
  gint64 days = 7;
  if (book == NULL)
    _exit (4);
  g_autoptr (TdSettings) settings = td_book_get_settings (book, NULL, &error);
  if (settings == NULL || td_settings_get (settings, TD_SETTING_CAUSTIC_INTERVAL) != 14)
    _exit (5);
  if (td_book_set_setting (book, NULL, TD_SETTING_CAUSTIC_INTERVAL, &days, &error) ||
      !g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_READ_ONLY))
    _exit (6);
  assert_told (error);
}

static void
create_read_only (BookBench *bench)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *path = book_bench_path (bench, "new.tundish");
  if (td_book_create (path, TRUE, bench->clock, &error) != NULL)
    _exit (4);
  if (!g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_READ_ONLY))
    _exit (5);
  assert_told (error);
}

static void
test_read_only_file (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  book_bench_close (bench);
  g_assert_cmpint (chmod (bench->folder, 0777), ==, 0);
  g_assert_cmpint (chmod (bench->path, 0444), ==, 0);
  g_autofree char *before = book_bench_hash_file (bench->path);
  run_unprivileged (open_read_only, bench);
  run_unprivileged (read_read_only, bench);
  g_autofree char *after = book_bench_hash_file (bench->path);
  g_assert_cmpstr (after, ==, before);
}

static void
test_read_only_folder (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  book_bench_close (bench);
  g_assert_cmpint (chmod (bench->path, 0666), ==, 0);
  g_assert_cmpint (chmod (bench->folder, 0555), ==, 0);
  run_unprivileged (open_read_only, bench);
  run_unprivileged (create_read_only, bench);
  g_assert_cmpint (chmod (bench->folder, 0755), ==, 0);
}

static void
test_mode (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  static const char *const endings[] = { "", "-wal", "-shm" };
  for (gsize i = 0; i < G_N_ELEMENTS (endings); i++)
    {
      struct stat status;
      g_autofree char *path = g_strconcat (bench->path, endings[i], NULL);
      g_assert_cmpint (stat (path, &status), ==, 0);
      g_assert_cmpint (status.st_mode & 0777, ==, 0600);
    }
}

static void
test_create_exists (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  g_autofree char *path = write_file (bench, "mine", 4);
  g_assert_null (td_book_create (path, TRUE, bench->clock, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS);
  g_autofree char *bytes = NULL;
  g_assert_true (g_file_get_contents (path, &bytes, NULL, NULL));
  g_assert_cmpstr (bytes, ==, "mine");
}

/* A log left beside a name would be played into a book that is made there. */
static void
test_create_left_over (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  g_autofree char *path = book_bench_path (bench, "new.tundish");
  g_autofree char *log = g_strconcat (path, "-wal", NULL);
  g_assert_true (g_file_set_contents (log, "left over", 9, NULL));
  g_assert_null (td_book_create (path, TRUE, bench->clock, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS);
  assert_told (error);
  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
  g_assert_true (g_file_test (log, G_FILE_TEST_EXISTS));
}

static void
test_pinned (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (TdClock) real = td_clock_new ();
  g_autoptr (GError) error = NULL;
  g_autofree char *path = book_bench_path (bench, "real.tundish");
  g_assert_null (td_book_create (path, FALSE, bench->clock, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_TEST_CLOCK);
  g_clear_error (&error);
  g_autoptr (TdBook) book = td_book_create (path, FALSE, real, &error);
  g_assert_no_error (error);
  g_assert_false (td_book_is_test (book));
  g_assert_null (td_book_open (path, bench->clock, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_TEST_CLOCK);
  assert_told (error);
  g_assert_true (td_book_is_test (bench->book));
}

/* No folder is left with half a book in it. */
static void
test_nothing_left (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  book_bench_close (bench);
  g_autoptr (GDir) dir = g_dir_open (bench->folder, 0, NULL);
  g_assert_cmpstr (g_dir_read_name (dir), ==, "b.tundish");
  g_assert_null (g_dir_read_name (dir));
}

static void
test_identity (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  TdUuid id, again;
  td_book_get_id (bench->book, &id);
  TdUuid device = td_book_get_device (bench->book)->id;
  g_autofree char *prefix = g_strdup (td_book_get_device (bench->book)->prefix);
  g_assert_cmpuint (strlen (prefix), ==, 4);
  book_bench_reopen (bench);
  td_book_get_id (bench->book, &again);
  g_assert_true (td_uuid_equal (&id, &again));
  g_assert_true (td_uuid_equal (&device, &td_book_get_device (bench->book)->id));
  g_assert_cmpstr (td_book_get_device (bench->book)->prefix, ==, prefix);
  g_assert_cmpstr (td_book_get_path (bench->book), ==, bench->path);
  g_assert_true (td_book_get_clock (bench->book) == bench->clock);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/open/empty", test_empty);
  g_test_add_func ("/open/text", test_text);
  g_test_add_func ("/open/folder", test_folder);
  g_test_add_func ("/open/missing", test_missing);
  g_test_add_func ("/open/foreign", test_foreign);
  g_test_add_func ("/open/foreign-log", test_foreign_log);
  g_test_add_func ("/open/newer", test_newer);
  g_test_add_func ("/open/damaged/magic", test_damaged_magic);
  g_test_add_func ("/open/damaged/page-size", test_damaged_page_size);
  g_test_add_func ("/open/damaged/pages", test_damaged_pages);
  g_test_add_func ("/open/damaged/cut-short", test_cut_short);
  g_test_add_func ("/open/read-only/file", test_read_only_file);
  g_test_add_func ("/open/read-only/folder", test_read_only_folder);
  g_test_add_func ("/open/mode", test_mode);
  g_test_add_func ("/open/create/exists", test_create_exists);
  g_test_add_func ("/open/create/left-over", test_create_left_over);
  g_test_add_func ("/open/pinned", test_pinned);
  g_test_add_func ("/open/nothing-left", test_nothing_left);
  g_test_add_func ("/open/identity", test_identity);
  return g_test_run ();
}
