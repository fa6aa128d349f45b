/* Several programs at one book, and a place without room. */
#include "book-bench.h"

#include "store-check.h"
#include "store-private.h"

#include "core-error.h"

#include <glib/gstdio.h>
#include <sched.h>
#include <signal.h>
#include <string.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

/* What a child does; it leaves by _exit(), so that nothing of the parent's is put away twice. */
typedef int (*ChildFunc) (BookBench *bench, guint n);

static pid_t
start (ChildFunc func, BookBench *bench, guint n)
{
  pid_t child = fork ();
  g_assert_cmpint (child, >=, 0);
  if (child == 0)
    _exit (func (bench, n));
  return child;
}

static void
assert_ended_well (pid_t child)
{
  int status = 0;
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFEXITED (status));
  g_assert_cmpint (WEXITSTATUS (status), ==, 0);
}

/* A visit of its own, entry by entry, among others who do the same. */
static int
record_visit (BookBench *bench, guint n)
{
  TdUuid visit = book_bench_visit (n);
  bench->book = td_book_open (bench->path, bench->clock, NULL);
  if (bench->book == NULL)
    return 2;
  book_bench_add_closed (bench, &visit);
  td_book_close (bench->book);
  return 0;
}

static void
test_writers (void)
{
  enum { WRITERS = 4 };
  g_autoptr (BookBench) bench = book_bench_new ();
  pid_t children[WRITERS];
  book_bench_close (bench);
  for (guint i = 0; i < WRITERS; i++)
    children[i] = start (record_visit, bench, i + 1);
  for (guint i = 0; i < WRITERS; i++)
    assert_ended_well (children[i]);
  book_bench_reopen (bench);
  book_bench_check (bench);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM seal"), ==, WRITERS);
  guint n = g_strv_length ((char **) bench_good_visit) + 1;
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM entry"), ==, WRITERS * n);
}

/* Two writers at one visit: every note of each is there once, numbered without a gap. */
static int
record_notes (BookBench *bench, guint n)
{
  TdUuid visit = book_bench_visit (1);
  bench->book = td_book_open (bench->path, bench->clock, NULL);
  if (bench->book == NULL)
    return 2;
  for (guint i = 0; i < 40; i++)
    {
      g_autofree char *line = g_strdup_printf ("06:30 note text=note-%u-%u", n, i);
      book_bench_add (bench, &visit, line);
    }
  td_book_close (bench->book);
  return 0;
}

static void
test_same_visit (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  book_bench_add (bench, &visit, bench_good_visit[0]);
  pid_t first = start (record_notes, bench, 1), second = start (record_notes, bench, 2);
  assert_ended_well (first);
  assert_ended_well (second);
  book_bench_check (bench);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (DISTINCT body) FROM entry"), ==, 81);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT max (seq) FROM entry"), ==, 81);
}

/* What was remembered of a visit is not trusted once somebody else has written. */
static void
test_overtaken (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  guint before = 0, after = 0, own = 0;
  book_bench_add_visit (bench, &visit, BENCH_UP_TO_PLAN + 1);
  g_assert_true (td_book_get_data_version (bench->book, &before, NULL));
  book_bench_add (bench, &visit, "06:14 note text=mine");
  g_assert_true (td_book_get_data_version (bench->book, &own, NULL));
  g_assert_cmpuint (own, ==, before);
  TdBook *other = td_book_open (bench->path, bench->clock, NULL);
  g_autoptr (TdDraft) draft = book_bench_draft (&visit, "06:15 tag-removed tag=T1", NULL);
  g_assert_true (td_book_append (other, draft, NULL, NULL, NULL));
  td_book_close (other);
  g_assert_true (td_book_get_data_version (bench->book, &after, NULL));
  g_assert_cmpuint (after, !=, before);
  /* Hung once, removed by the other: removing it again is impossible, and this book knows. */
  g_assert_false (book_bench_try (bench, &visit, "06:16 tag-removed tag=T1", &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
  g_clear_error (&error);
  TdBookAppend options = { BENCH_UP_TO_PLAN + 3, 0 };
  g_autoptr (TdDraft) note = book_bench_draft (&visit, "06:16 note text=late", NULL);
  g_assert_false (td_book_append (bench->book, note, &options, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT);
}

/* Holds the write lock until it is told to go. */
static int
hold_lock (BookBench *bench, guint n)
{
  sqlite3 *db = NULL;
  if (sqlite3_open (bench->path, &db) != SQLITE_OK || sqlite3_exec (db, "BEGIN IMMEDIATE", NULL, NULL, NULL) != SQLITE_OK)
    return 2;
  g_autofree char *held = book_bench_path (bench, "held");
  if (!g_file_set_contents (held, "", 0, NULL))
    return 3;
  pause ();
  return 0;
}

static void
test_locked (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_autofree char *held = book_bench_path (bench, "held");
  TdUuid visit = book_bench_visit (1);
  book_bench_add (bench, &visit, bench_good_visit[0]);
  pid_t child = start (hold_lock, bench, 0);
  while (!g_file_test (held, G_FILE_TEST_EXISTS))
    g_usleep (1000);
  /* Not to wait five seconds for a test that knows how it ends. */
  sqlite3_busy_timeout (bench->book->db, 50);
  g_assert_false (book_bench_try (bench, &visit, bench_good_visit[1], &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_LOCKED);
  g_assert_nonnull (strstr (error->message, "do it again"));
  /* Reading goes on. */
  guint n = 0;
  g_assert_true (td_book_count_entries (bench->book, &visit, &n, NULL));
  g_assert_cmpuint (n, ==, 1);
  kill (child, SIGKILL);
  waitpid (child, NULL, 0);
  book_bench_add (bench, &visit, bench_good_visit[1]);
  book_bench_check (bench);
}

/* Records until the place is full, then makes room and goes on. */
static void
fill_up (BookBench *bench, void (*make_room) (BookBench *))
{
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  g_autofree char *text = g_strnfill (4000, 'x');
  g_autofree char *line = g_strdup_printf ("06:20 note text=%s", text);
  guint n = 1, counted = 0;
  book_bench_add (bench, &visit, bench_good_visit[0]);
  while (n < 2000 && book_bench_try (bench, &visit, line, &error))
    n++;
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_FULL);
  g_assert_nonnull (strstr (error->message, "make room"));
  g_assert_true (td_book_count_entries (bench->book, &visit, &counted, NULL));
  g_assert_cmpuint (counted, ==, n);
  book_bench_check (bench);
  make_room (bench);
  book_bench_add (bench, &visit, "06:30 left-tidy");
  book_bench_check (bench);
}

static void
lift_page_limit (BookBench *bench)
{
  g_assert_true (td_connect_run (bench->book->db, bench->path, "PRAGMA max_page_count = 1073741823", NULL));
}

static void
test_full_pages (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  gint64 pages = book_bench_ask_sql (bench->path, "PRAGMA page_count");
  g_autofree char *limit = g_strdup_printf ("PRAGMA max_page_count = %" G_GINT64_FORMAT, pages + 20);
  g_assert_true (td_connect_run (bench->book->db, bench->path, limit, NULL));
  fill_up (bench, lift_page_limit);
}

static void
set_file_limit (rlim_t bytes)
{
  struct rlimit limit;
  g_assert_cmpint (getrlimit (RLIMIT_FSIZE, &limit), ==, 0);
  limit.rlim_cur = bytes;
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &limit), ==, 0);
}

static void
lift_file_limit (BookBench *bench)
{
  struct rlimit limit;
  g_assert_cmpint (getrlimit (RLIMIT_FSIZE, &limit), ==, 0);
  set_file_limit (limit.rlim_max);
}

static void
throw_ballast (BookBench *bench)
{
  g_autofree char *folder = g_path_get_dirname (bench->path);
  g_autofree char *ballast = g_build_filename (folder, "ballast", NULL);
  g_assert_cmpint (g_unlink (ballast), ==, 0);
}

/* A limit on the size of files: the system says so with another word than a full disk does. */
static void
test_full_limit (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  signal (SIGXFSZ, SIG_IGN);
  set_file_limit (600000);
  fill_up (bench, lift_file_limit);
}

/* A file system without room, which only this process sees. 77: it cannot be had here. */
static int
record_on_full_disk (BookBench *bench, guint n)
{
  g_autofree char *mounted = book_bench_path (bench, "mounted");
  g_autofree char *bytes = NULL;
  gsize n_bytes = 0;
  if (unshare (CLONE_NEWNS) != 0 || mount (NULL, "/", NULL, MS_REC | MS_PRIVATE, NULL) != 0 ||
      g_mkdir (mounted, 0700) != 0 || mount ("tmpfs", mounted, "tmpfs", 0, "size=2m") != 0)
    return 77;
  g_assert_true (g_file_get_contents (bench->path, &bytes, &n_bytes, NULL));
  g_free (bench->path);
  bench->path = g_build_filename (mounted, "b.tundish", NULL);
  g_assert_true (g_file_set_contents (bench->path, bytes, n_bytes, NULL));
  g_autofree char *ballast = g_build_filename (mounted, "ballast", NULL);
  g_autofree char *filling = g_strnfill (500000, 'x');
  g_assert_true (g_file_set_contents (ballast, filling, -1, NULL));
  book_bench_reopen (bench);
  fill_up (bench, throw_ballast);
  book_bench_close (bench);
  return 0;
}

static void
test_full_disk (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  book_bench_close (bench);
  pid_t child = start (record_on_full_disk, bench, 0);
  int status = 0;
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFEXITED (status));
  if (WEXITSTATUS (status) == 77)
    g_test_skip ("no file system can be mounted here");
  else
    g_assert_cmpint (WEXITSTATUS (status), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/share/writers", test_writers);
  g_test_add_func ("/share/same-visit", test_same_visit);
  g_test_add_func ("/share/overtaken", test_overtaken);
  g_test_add_func ("/share/locked", test_locked);
  g_test_add_func ("/share/full/pages", test_full_pages);
  g_test_add_func ("/share/full/limit", test_full_limit);
  g_test_add_func ("/share/full/disk", test_full_disk);
  return g_test_run ();
}
