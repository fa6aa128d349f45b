/* The n-th write, truncation or flush fails, for every n over a whole visit, in three ways: what was
 * acknowledged is there afterwards, what was not leaves nothing half done, and the visit goes on. */
#include "book-bench.h"
#include "fault-vfs.h"
#include "store-check.h"

#include <glib/gstdio.h>
#include <string.h>
#include <unistd.h>

/* In the first run of a visit. */
typedef struct
{
  BookBench *bench; /* its book is closed; its file is the visit so far */
  TdUuid visit;
  char *folder; /* where each attempt is made */
  char *path;
  guint attempts;
  guint fired;
} Trial;

static const char *
get_line (guint i)
{
  return bench_good_visit[i] != NULL ? bench_good_visit[i] : "07:27 closing";
}

static void
copy_file (const char *from, const char *to)
{
  g_autofree char *bytes = NULL;
  gsize n_bytes = 0;
  g_assert_true (g_file_get_contents (from, &bytes, &n_bytes, NULL));
  g_assert_true (g_file_set_contents (to, bytes, n_bytes, NULL));
}

static gboolean
append (TdBook *book, const TdDraft *draft, gint64 recorded_ms, GError **error)
{
  TdBookAppend options = { 0, recorded_ms };
  return td_book_append (book, draft, &options, NULL, error);
}

static guint
count_entries (TdBook *book, const TdUuid *visit)
{
  guint n = 0;
  g_assert_true (td_book_count_entries (book, visit, &n, NULL));
  return n;
}

/* The book as it is found afterwards, on a good disk: @before entries, and one more where that was
 * acknowledged; one that was not may be there whole or not at all, and is then taken. */
static void
assert_whole (Trial *trial, const TdDraft *draft, gint64 recorded_ms, guint before, gboolean acknowledged)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_open (trial->path, trial->bench->clock, &error);
  g_assert_no_error (error);
  td_book_check (book, NULL, NULL, &error);
  g_assert_no_error (error);
  guint n = count_entries (book, &trial->visit);
  g_assert_cmpuint (n, >=, acknowledged ? before + 1 : before);
  g_assert_cmpuint (n, <=, before + 1);
  if (n == before + 1)
    return;
  append (book, draft, recorded_ms, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (count_entries (book, &trial->visit), ==, before + 1);
}

/* One attempt at the entry with the n-th write failing. Returns FALSE once there is no n-th write. */
static gboolean
attempt (Trial *trial, guint i, const TdDraft *draft, gint64 recorded_ms, FaultMode mode, guint n)
{
  g_autoptr (GError) error = NULL;
  gboolean fired = FALSE, again = FALSE;
  book_bench_remove (trial->folder);
  g_assert_cmpint (g_mkdir (trial->folder, 0700), ==, 0);
  copy_file (trial->bench->path, trial->path);
  g_autoptr (TdBook) book = td_book_open (trial->path, trial->bench->clock, &error);
  g_assert_no_error (error);
  fault_vfs_arm (mode, n, trial->folder);
  gboolean acknowledged = append (book, draft, recorded_ms, &error);
  if (!acknowledged)
    {
      g_assert_true (g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_IO) ||
                     g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_FULL));
      /* The same connection goes on where the disk does. */
      if (mode == FAULT_ONCE)
        again = count_entries (book, &trial->visit) == i && append (book, draft, recorded_ms, NULL);
    }
  g_clear_pointer (&book, td_book_close);
  fault_vfs_disarm (&fired);
  if (mode == FAULT_ONCE && fired && !acknowledged)
    g_assert_true (again);
  if (mode == FAULT_POWER)
    fault_vfs_lose (trial->folder, trial->attempts);
  assert_whole (trial, draft, recorded_ms, i, acknowledged || again);
  trial->attempts++;
  trial->fired += fired;
  return fired;
}

static void
run_mode (FaultMode mode)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  Trial trial = { .bench = bench, .visit = book_bench_visit (1) };
  guint stride = book_bench_stride ();
  trial.folder = book_bench_path (bench, "trial");
  trial.path = g_build_filename (trial.folder, "b.tundish", NULL);
  for (guint i = 0; i <= g_strv_length ((char **) bench_good_visit); i++)
    {
      gint64 recorded_ms = 0;
      g_autoptr (TdDraft) draft = book_bench_draft (&trial.visit, get_line (i), &recorded_ms);
      book_bench_close (bench);
      for (guint n = 1 + i % stride; attempt (&trial, i, draft, recorded_ms, mode, n); n += stride)
        ;
      book_bench_reopen (bench);
      book_bench_add (bench, &trial.visit, get_line (i));
    }
  book_bench_check (bench);
  g_test_message ("%u attempts, %u failures", trial.attempts, trial.fired);
  g_assert_cmpuint (trial.fired, >, 1000 / stride);
  g_free (trial.folder);
  g_free (trial.path);
}

static void
test_once (void)
{
  run_mode (FAULT_ONCE);
}

static void
test_from (void)
{
  run_mode (FAULT_FROM);
}

static void
test_power (void)
{
  run_mode (FAULT_POWER);
}

/* A new book appears whole or not at all. */
static void
test_create (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autofree char *path = book_bench_path (bench, "new.tundish");
  guint failures = 0;
  for (guint n = 1;; n++)
    {
      g_autoptr (GError) error = NULL;
      gboolean fired = FALSE;
      fault_vfs_arm (FAULT_FROM, n, bench->folder);
      TdBook *book = td_book_create (path, TRUE, bench->clock, &error);
      fault_vfs_disarm (&fired);
      if (book != NULL)
        {
          td_book_close (book);
          /* Past the renaming only the opening can still fail; then the book is there, and whole. */
          break;
        }
      g_assert_true (fired);
      g_assert_true (g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_IO) ||
                     g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_FULL));
      failures++;
      if (g_file_test (path, G_FILE_TEST_EXISTS))
        {
          td_book_close (td_book_open (path, bench->clock, &error));
          g_unlink (path);
        }
    }
  g_assert_cmpuint (failures, >, 50);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  /* Thousands of flushes: in memory where there is a file system for it. */
  if (g_access ("/dev/shm", R_OK | W_OK | X_OK) == 0)
    g_setenv ("TMPDIR", "/dev/shm", TRUE);
  fault_vfs_register ();
  g_test_add_func ("/fault/create", test_create);
  g_test_add_func ("/fault/once", test_once);
  g_test_add_func ("/fault/from", test_from);
  g_test_add_func ("/fault/power", test_power);
  return g_test_run ();
}
