/* Copies: whole, verified, taken while others write; and putting one back. */
#include "book-bench.h"

#include "store-backup.h"
#include "store-check.h"
#include "store-query.h"

#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static TdBook *
open_checked (const char *path, TdClock *clock)
{
  g_autoptr (GError) error = NULL;
  TdBook *book = td_book_open (path, clock, &error);
  g_assert_no_error (error);
  td_book_check (book, NULL, NULL, &error);
  g_assert_no_error (error);
  return book;
}

static void
test_backup (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  g_autofree char *copy = book_bench_path (bench, "copy.tundish");
  book_bench_add_closed (bench, &visit);
  g_assert_true (td_book_backup (bench->path, copy, &error));
  struct stat status;
  g_assert_cmpint (stat (copy, &status), ==, 0);
  g_assert_cmpint (status.st_mode & 0777, ==, 0600);
  /* One file, with nothing beside it that belongs to it. */
  g_autofree char *log = g_strconcat (copy, "-wal", NULL);
  g_assert_false (g_file_test (log, G_FILE_TEST_EXISTS));
  TdBook *book = open_checked (copy, bench->clock);
  g_autoptr (TdVisitRecord) a = td_book_load_visit (bench->book, &visit, NULL);
  g_autoptr (TdVisitRecord) b = td_book_load_visit (book, &visit, NULL);
  g_assert_cmpstr (a->seal, ==, b->seal);
  td_book_close (book);
}

/* An existing copy is replaced by a later state of the same book, and by nothing else. */
static void
test_backup_again (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (BookBench) other = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  g_autofree char *copy = book_bench_path (bench, "copy.tundish");
  book_bench_add_visit (bench, &visit, 3);
  g_assert_true (td_book_backup (bench->path, copy, &error));
  for (guint i = 3; bench_good_visit[i] != NULL; i++)
    book_bench_add (bench, &visit, bench_good_visit[i]);
  g_assert_true (td_book_backup (bench->path, copy, &error));
  TdBook *book = open_checked (copy, bench->clock);
  td_book_close (book);
  /* The two names mixed up: the book holds as much as the copy, then more than it. */
  book_bench_add (bench, &visit, "07:27 note text=new");
  g_assert_false (td_book_backup (copy, bench->path, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS);
  g_clear_error (&error);
  g_autofree char *letter = book_bench_path (bench, "letter.txt");
  g_assert_true (g_file_set_contents (letter, "Dear all,", -1, NULL));
  g_assert_false (td_book_backup (bench->path, letter, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_NOT_A_BOOK);
  g_clear_error (&error);
  g_assert_false (td_book_backup (bench->path, other->path, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS);
  g_clear_error (&error);
  g_assert_false (td_book_backup (bench->path, bench->path, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS);
  g_clear_error (&error);
  g_autofree char *nowhere = book_bench_path (bench, "no/such/folder/copy");
  g_assert_false (td_book_backup (bench->path, nowhere, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  book_bench_check (bench);
}

/* Writes without a pause until it is killed. */
static void
write_on (BookBench *bench)
{
  TdUuid visit = book_bench_visit (1);
  bench->book = td_book_open (bench->path, bench->clock, NULL);
  for (;;)
    book_bench_add (bench, &visit, "06:30 note text=more");
}

static void
test_backup_busy (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  book_bench_add (bench, &visit, bench_good_visit[0]);
  book_bench_close (bench);
  pid_t child = fork ();
  if (child == 0)
    {
      write_on (bench);
      _exit (2);
    }
  guint last = 0;
  for (guint i = 0; i < 8; i++)
    {
      guint n = 0;
      g_autofree char *name = g_strdup_printf ("copy-%u", i);
      g_autofree char *copy = book_bench_path (bench, name);
      td_book_backup (bench->path, copy, &error);
      g_assert_no_error (error);
      TdBook *book = open_checked (copy, bench->clock);
      g_assert_true (td_book_count_entries (book, &visit, &n, NULL));
      g_assert_cmpuint (n, >=, last);
      last = n;
      td_book_close (book);
    }
  g_assert_cmpuint (last, >, 1);
  kill (child, SIGKILL);
  waitpid (child, NULL, 0);
  book_bench_reopen (bench);
  book_bench_check (bench);
}

static void
test_restore (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid first = book_bench_visit (1), second = book_bench_visit (2), id, id_again;
  g_autofree char *copy = book_bench_path (bench, "copy.tundish");
  g_autofree char *again = book_bench_path (bench, "again.tundish");
  book_bench_add_closed (bench, &first);
  book_bench_add_visit (bench, &second, 0);
  g_assert_true (td_book_backup (bench->path, copy, NULL));
  g_autofree char *hash = book_bench_hash_file (copy);
  g_assert_true (td_book_restore (copy, again, FALSE, bench->clock, NULL, &error));
  g_assert_no_error (error);
  g_autofree char *hash_after = book_bench_hash_file (copy);
  g_assert_cmpstr (hash, ==, hash_after);
  TdBook *book = open_checked (again, bench->clock);
  /* The same book, but another device. */
  td_book_get_id (bench->book, &id);
  td_book_get_id (book, &id_again);
  g_assert_true (td_uuid_equal (&id, &id_again));
  g_assert_false (td_uuid_equal (&td_book_get_device (book)->id, &td_book_get_device (bench->book)->id));
  g_assert_cmpstr (td_book_get_device (book)->prefix, !=, td_book_get_device (bench->book)->prefix);
  /* The open visit goes on there and gets the first number of the new device. */
  g_autoptr (TdDraft) closing = book_bench_draft (&second, "07:27 closing", NULL);
  g_assert_true (td_book_append (book, closing, NULL, NULL, &error));
  g_autoptr (TdVisitRecord) record = td_book_load_visit (book, &second, NULL);
  g_autofree char *number = g_strdup_printf ("%s-00001", td_book_get_device (book)->prefix);
  g_assert_cmpstr (record->row->number, ==, number);
  g_assert_null (record->previous_seal);
  td_book_check (book, NULL, NULL, &error);
  g_assert_no_error (error);
  td_book_close (book);
}

static void
test_restore_over (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_autofree char *kept = NULL;
  TdUuid visit = book_bench_visit (1);
  guint n = 0;
  g_autofree char *copy = book_bench_path (bench, "copy.tundish");
  book_bench_add_visit (bench, &visit, 3);
  g_assert_true (td_book_backup (bench->path, copy, NULL));
  book_bench_add (bench, &visit, "06:30 note text=later");
  g_assert_false (td_book_restore (copy, bench->path, FALSE, bench->clock, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS);
  g_clear_error (&error);
  book_bench_close (bench);
  g_assert_true (td_book_restore (copy, bench->path, TRUE, bench->clock, &kept, &error));
  g_assert_no_error (error);
  book_bench_reopen (bench);
  g_assert_true (td_book_count_entries (bench->book, &visit, &n, NULL));
  g_assert_cmpuint (n, ==, 3);
  book_bench_check (bench);
  /* What stood there is not lost. */
  TdBook *before = open_checked (kept, bench->clock);
  g_assert_true (td_book_count_entries (before, &visit, &n, NULL));
  g_assert_cmpuint (n, ==, 4);
  td_book_close (before);
}

/* Another program has the book open: what it writes next would be lost. */
static int
keep_open (BookBench *bench)
{
  bench->book = td_book_open (bench->path, bench->clock, NULL);
  TdUuid visit = book_bench_visit (1);
  book_bench_add (bench, &visit, "06:30 note text=here");
  g_autofree char *held = book_bench_path (bench, "held");
  g_file_set_contents (held, "", 0, NULL);
  pause ();
  return 0;
}

static void
test_restore_in_use (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  g_autofree char *copy = book_bench_path (bench, "copy.tundish");
  g_autofree char *held = book_bench_path (bench, "held");
  book_bench_add_visit (bench, &visit, 3);
  g_assert_true (td_book_backup (bench->path, copy, NULL));
  book_bench_close (bench);
  pid_t child = fork ();
  if (child == 0)
    _exit (keep_open (bench));
  while (!g_file_test (held, G_FILE_TEST_EXISTS))
    g_usleep (1000);
  g_assert_false (td_book_restore (copy, bench->path, TRUE, bench->clock, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_LOCKED);
  kill (child, SIGKILL);
  waitpid (child, NULL, 0);
  guint n = 0;
  book_bench_reopen (bench);
  g_assert_true (td_book_count_entries (bench->book, &visit, &n, NULL));
  g_assert_cmpuint (n, ==, 4);
}

/* A damaged book, and what is left of one, make way; neither is thrown away. */
static void
test_restore_damaged (void)
{
  static const char *const remains[] = { "", "no book at all, but long enough to be looked at: "
                                             "................................................................" };
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *copy = book_bench_path (bench, "copy.tundish");
  g_assert_true (td_book_backup (bench->path, copy, NULL));
  book_bench_close (bench);
  for (gsize i = 0; i < G_N_ELEMENTS (remains); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *kept = NULL;
      g_autofree char *bytes = NULL;
      g_assert_true (g_file_set_contents (bench->path, remains[i], -1, NULL));
      g_assert_true (td_book_restore (copy, bench->path, TRUE, bench->clock, &kept, &error));
      g_assert_no_error (error);
      g_assert_true (g_file_get_contents (kept, &bytes, NULL, NULL));
      g_assert_cmpstr (bytes, ==, remains[i]);
      book_bench_reopen (bench);
      book_bench_check (bench);
      book_bench_close (bench);
    }
}

/* A copy in which something is wanting is not put back. */
static void
test_restore_bad_copy (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  g_autofree char *copy = book_bench_path (bench, "copy.tundish");
  g_autofree char *again = book_bench_path (bench, "again.tundish");
  book_bench_add_closed (bench, &visit);
  g_assert_true (td_book_backup (bench->path, copy, NULL));
  g_autofree char *message = book_bench_tamper (copy, "UPDATE entry SET person = 'olav' WHERE seq = 3");
  g_assert_cmpstr (message, ==, NULL);
  g_assert_false (td_book_restore (copy, again, FALSE, bench->clock, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED);
  g_clear_error (&error);
  g_assert_false (g_file_test (again, G_FILE_TEST_EXISTS));
  g_autofree char *nowhere = book_bench_path (bench, "nowhere");
  g_assert_false (td_book_restore (nowhere, again, FALSE, bench->clock, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  g_clear_error (&error);
  g_assert_false (td_book_restore (bench->path, bench->path, TRUE, bench->clock, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS);
  /* Nothing half made is left behind. */
  g_autoptr (GDir) dir = g_dir_open (bench->folder, 0, NULL);
  const char *name;
  while ((name = g_dir_read_name (dir)) != NULL)
    g_assert_null (strstr (name, ".new-"));
}

/* From a place that cannot be written. */
static void
restore_unprivileged (BookBench *bench)
{
  g_autofree char *copy = g_build_filename (bench->folder, "closed", "copy.tundish", NULL);
  g_autofree char *again = book_bench_path (bench, "again.tundish");
  if (geteuid () == 0 && (setegid (65534) != 0 || seteuid (65534) != 0))
    _exit (3);
  _exit (td_book_restore (copy, again, FALSE, bench->clock, NULL, NULL) ? 0 : 4);
}

static void
test_restore_read_only (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *closed = book_bench_path (bench, "closed");
  g_autofree char *copy = g_build_filename (closed, "copy.tundish", NULL);
  g_assert_cmpint (g_mkdir (closed, 0755), ==, 0);
  g_assert_true (td_book_backup (bench->path, copy, NULL));
  g_assert_cmpint (chmod (copy, 0444), ==, 0);
  g_assert_cmpint (chmod (closed, 0555), ==, 0);
  g_assert_cmpint (chmod (bench->folder, 0777), ==, 0);
  int status = 0;
  pid_t child = fork ();
  if (child == 0)
    restore_unprivileged (bench);
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFEXITED (status));
  g_assert_cmpint (WEXITSTATUS (status), ==, 0);
  g_assert_cmpint (chmod (closed, 0755), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/backup/backup", test_backup);
  g_test_add_func ("/backup/again", test_backup_again);
  g_test_add_func ("/backup/busy", test_backup_busy);
  g_test_add_func ("/backup/restore", test_restore);
  g_test_add_func ("/backup/restore/over", test_restore_over);
  g_test_add_func ("/backup/restore/in-use", test_restore_in_use);
  g_test_add_func ("/backup/restore/damaged", test_restore_damaged);
  g_test_add_func ("/backup/restore/bad-copy", test_restore_bad_copy);
  g_test_add_func ("/backup/restore/read-only", test_restore_read_only);
  return g_test_run ();
}
