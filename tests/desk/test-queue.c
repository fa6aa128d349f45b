/* The one thread of a book: order, cancelling, errors, what is told of and when, and the end. */
#include "desk-book.h"
#include "desk-queue.h"
#include "store-master.h"
#include "store-query.h"

#include <glib/gstdio.h>

typedef struct
{
  char *folder;
  char *path;
  TdQueue *queue;
  GString *log;
} Fixture;

static void
note (Fixture *fixture, const char *word)
{
  g_string_append_printf (fixture->log, "%s%s", fixture->log->len > 0 ? " " : "", word);
}

static void
opened_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  Fixture *fixture = user_data;
  g_autoptr (GError) error = NULL;

  fixture->queue = td_queue_open_finish (result, &error);
  note (fixture, error != NULL ? "failed" : "opened");
  if (error != NULL)
    g_string_append_printf (fixture->log, ":%d", error->code);
}

static void
until (const char *const *text_at, const char *wanted)
{
  gint64 end = g_get_monotonic_time () + 10 * G_USEC_PER_SEC;

  while (!g_str_equal (*text_at, wanted))
    {
      if (g_get_monotonic_time () > end)
        g_error ("waited for '%s', have '%s'", wanted, *text_at);
      if (!g_main_context_iteration (NULL, FALSE))
        g_usleep (500);
    }
}

#define UNTIL(fixture, wanted) until ((const char *const *) &(fixture)->log->str, wanted)

static void
set_up (Fixture *fixture, gconstpointer data)
{
  fixture->folder = g_dir_make_tmp ("tundish-queue-XXXXXX", NULL);
  fixture->path = g_build_filename (fixture->folder, "b.tundish", NULL);
  fixture->log = g_string_new (NULL);
  td_queue_open_async (fixture->path, TD_OPEN_NEW_TEST, td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 1), opened_cb,
                       fixture);
  UNTIL (fixture, "opened");
  g_string_truncate (fixture->log, 0);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  g_clear_object (&fixture->queue);
  g_unlink (fixture->path);
  g_rmdir (fixture->folder);
  g_free (fixture->folder);
  g_free (fixture->path);
  g_string_free (fixture->log, TRUE);
}

/* Jobs */

typedef struct
{
  const char *word;
  gulong sleep_us;
  gboolean fails;
  GThread **thread_out;
  gint *ran; /* counted, atomically */
} Work;

static gboolean
work (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  Work *job = data;

  g_usleep (job->sleep_us);
  if (job->thread_out != NULL)
    *job->thread_out = g_thread_self ();
  if (job->ran != NULL)
    g_atomic_int_inc (job->ran);
  if (job->fails)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_FULL, "no room for %s", job->word);
      return FALSE;
    }
  *result_out = g_strdup (job->word);
  return TRUE;
}

static void
worked_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  Fixture *fixture = user_data;
  g_autoptr (GError) error = NULL;
  g_autofree char *word = NULL;
  gpointer answer = NULL;

  g_assert_null (source);
  if (td_queue_run_finish (result, &answer, &error))
    {
      word = answer;
      note (fixture, word);
    }
  else
    note (fixture, g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED) ? "cancelled" : error->message);
}

static void
hand_in (Fixture *fixture, TdJobKind kind, Work template_, GCancellable *cancellable)
{
  td_queue_run_async (fixture->queue, kind, work, g_memdup2 (&template_, sizeof template_), g_free, g_free,
                      cancellable, worked_cb, fixture);
}

static void
changed_cb (TdQueue *queue, Fixture *fixture)
{
  note (fixture, "changed");
}

static void
test_order (Fixture *fixture, gconstpointer data)
{
  GThread *thread = NULL;

  hand_in (fixture, TD_JOB_READ, (Work) { .word = "a", .sleep_us = 20000, .thread_out = &thread }, NULL);
  hand_in (fixture, TD_JOB_READ, (Work) { .word = "b" }, NULL);
  hand_in (fixture, TD_JOB_READ, (Work) { .word = "c" }, NULL);
  g_assert_cmpstr (fixture->log->str, ==, ""); /* never from inside the call */
  UNTIL (fixture, "a b c");
  g_assert_true (thread != NULL && thread != g_thread_self ());
}

static void
test_error (Fixture *fixture, gconstpointer data)
{
  hand_in (fixture, TD_JOB_WRITE, (Work) { .word = "x", .fails = TRUE }, NULL);
  hand_in (fixture, TD_JOB_READ, (Work) { .word = "y" }, NULL);
  UNTIL (fixture, "no room for x y");
}

static void
test_cancel (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  gint ran = 0, wrote = 0;

  hand_in (fixture, TD_JOB_READ, (Work) { .word = "slow", .sleep_us = 50000 }, NULL);
  hand_in (fixture, TD_JOB_READ, (Work) { .word = "never", .ran = &ran }, cancellable);
  hand_in (fixture, TD_JOB_WRITE, (Work) { .word = "written", .ran = &wrote }, cancellable);
  g_cancellable_cancel (cancellable);
  UNTIL (fixture, "slow cancelled written");
  g_assert_cmpint (g_atomic_int_get (&ran), ==, 0);
  g_assert_cmpint (g_atomic_int_get (&wrote), ==, 1);
}

/* A reading job that was already running when it was cancelled: its answer is let go, not handed over. */
static void
test_cancel_late (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  gint ran = 0;

  hand_in (fixture, TD_JOB_READ, (Work) { .word = "late", .sleep_us = 30000, .ran = &ran }, cancellable);
  while (g_atomic_int_get (&ran) == 0)
    g_usleep (500);
  g_cancellable_cancel (cancellable);
  UNTIL (fixture, "cancelled");
}

static void
test_changed (Fixture *fixture, gconstpointer data)
{
  g_signal_connect (fixture->queue, "changed", G_CALLBACK (changed_cb), fixture);
  hand_in (fixture, TD_JOB_READ, (Work) { .word = "read" }, NULL);
  hand_in (fixture, TD_JOB_WRITE, (Work) { .word = "write" }, NULL);
  hand_in (fixture, TD_JOB_WRITE, (Work) { .word = "fail", .fails = TRUE }, NULL);
  UNTIL (fixture, "read write changed no room for fail");
}

/* What another program writes is told of within some seconds. */
static void
test_changed_elsewhere (Fixture *fixture, gconstpointer data)
{
  g_autoptr (TdClock) clock = td_clock_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) other = td_book_open (fixture->path, clock, &error);
  gint64 days = 7;

  g_assert_no_error (error);
  g_signal_connect (fixture->queue, "changed", G_CALLBACK (changed_cb), fixture);
  td_book_set_setting (other, NULL, TD_SETTING_CAUSTIC_INTERVAL, &days, &error);
  g_assert_no_error (error);
  UNTIL (fixture, "changed");
}

/* What was handed in is done before the queue is gone. */
static void
test_end (Fixture *fixture, gconstpointer data)
{
  gint ran = 0;

  hand_in (fixture, TD_JOB_WRITE, (Work) { .word = "a", .sleep_us = 30000, .ran = &ran }, NULL);
  hand_in (fixture, TD_JOB_WRITE, (Work) { .word = "b", .ran = &ran }, NULL);
  g_assert_finalize_object (g_steal_pointer (&fixture->queue));
  g_assert_cmpint (g_atomic_int_get (&ran), ==, 2);
  UNTIL (fixture, "a b");
}

static const struct
{
  const char *name;
  const char *content; /* NULL: no file */
  TdOpenHow how;
  int code;
} failures[] = {
  { "missing", NULL, TD_OPEN_EXISTING, TD_BOOK_ERROR_MISSING },
  { "zero", "", TD_OPEN_EXISTING, TD_BOOK_ERROR_NOT_A_BOOK },
  { "foreign", "not a book at all, but a text that somebody wrote", TD_OPEN_EXISTING, TD_BOOK_ERROR_NOT_A_BOOK },
  { "there", "x", TD_OPEN_NEW, TD_BOOK_ERROR_EXISTS },
};

static void
test_open_failures (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (failures); i++)
    {
      g_autofree char *folder = g_dir_make_tmp ("tundish-queue-XXXXXX", NULL);
      Fixture fixture = { .log = g_string_new (NULL) };
      g_autofree char *wanted = g_strdup_printf ("failed:%d", failures[i].code);

      fixture.path = g_build_filename (folder, failures[i].name, NULL);
      if (failures[i].content != NULL)
        g_assert_true (g_file_set_contents (fixture.path, failures[i].content, -1, NULL));
      td_queue_open_async (fixture.path, failures[i].how, NULL, opened_cb, &fixture);
      UNTIL (&fixture, wanted);
      g_assert_null (fixture.queue);
      g_unlink (fixture.path);
      g_rmdir (folder);
      g_free (fixture.path);
      g_string_free (fixture.log, TRUE);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define TEST(name, function) g_test_add ("/queue/" name, Fixture, NULL, set_up, function, tear_down)
  TEST ("order", test_order);
  TEST ("error", test_error);
  TEST ("cancel", test_cancel);
  TEST ("cancel-late", test_cancel_late);
  TEST ("changed", test_changed);
  TEST ("changed-elsewhere", test_changed_elsewhere);
  TEST ("end", test_end);
  g_test_add_func ("/queue/open-failures", test_open_failures);
  return g_test_run ();
}
