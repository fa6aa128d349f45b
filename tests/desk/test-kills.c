/* The program is killed at each of the nine steps of a visit and opens again where it stood: the same step,
 * the same facts.  The visit that is left is the one that nobody interrupted.
 *
 * The program runs as a child of the test, which is this same file: TUNDISH_KILL_FOLDER, _CLOCK and _STEP
 * tell it where its books are, what the clock shows, and how far to work. */
#include "desk-book.h"
#include "desk-state.h"
#include "desk-visit-page.h"
#include "store-journal.h"
#include "store-query.h"
#include "wizard-drive.h"
#include "wizard-journal.h"

#include <gio/gio.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

#define PACE_MS 20000

static const char *program;

static gboolean
is_at_a_visit (TdDrive *drive, gpointer data)
{
  return g_str_has_prefix (td_window_get_place (drive->window), "visit:")
         && td_visit_page_get_session (TD_VISIT_PAGE (td_window_get_page (drive->window))) != NULL;
}

/* Step on show, and everything that was written down, with its times. */
static char *
describe (WizardHand *hand)
{
  TdVisit *visit = wizard_get_visit (hand);
  g_autoptr (GChecksum) sum = g_checksum_new (G_CHECKSUM_SHA256);

  for (guint i = 0; i < visit->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (visit->entries, i);
      g_autofree char *envelope = td_envelope_to_canonical (&entry->envelope);

      g_checksum_update (sum, (const guchar *) envelope, -1);
      g_checksum_update (sum, (const guchar *) entry->body_text, -1);
    }
  return g_strdup_printf ("%d %u %s", visit->closed ? TD_N_STEPS : (int) td_wizard_get_step (wizard_get (hand)),
                          visit->last_seq, g_checksum_get_string (sum));
}

static void
say (WizardHand *hand, const char *word)
{
  TdClock *clock = td_context_get_clock (td_window_get_context (hand->drive->window));
  g_autofree char *text = wizard_get_visit (hand)->closed ? g_strdup ("closed") : describe (hand);

  printf ("KILL %s %" G_GINT64_FORMAT " %s\n", word, td_clock_get_now_ms (clock), text);
  fflush (stdout);
}

/* Opens where the last one was killed, works on, and waits for its own end. */
static void G_GNUC_NORETURN
be_killed (const char *folder)
{
  gint64 now_ms = g_ascii_strtoll (g_getenv ("TUNDISH_KILL_CLOCK"), NULL, 10);
  TdStep step = (TdStep) g_ascii_strtoll (g_getenv ("TUNDISH_KILL_STEP"), NULL, 10);
  TdDrive *drive = td_drive_resume (folder, now_ms);
  WizardHand hand = { .drive = drive, .how = WIZARD_BY_KEYBOARD, .pace_ms = PACE_MS };

  td_drive_until (drive, is_at_a_visit, NULL, "the visit");
  td_drive_frames (drive, 2);
  say (&hand, "opened");
  wizard_work_to (&hand, step);
  say (&hand, "reached");
  for (;;)
    g_main_context_iteration (NULL, TRUE);
}

typedef struct
{
  GSubprocess *process;
  GDataInputStream *lines;
} Child;

static Child
start (const char *folder, const char *clock, TdStep step)
{
  g_autoptr (GSubprocessLauncher) launcher = g_subprocess_launcher_new (G_SUBPROCESS_FLAGS_STDOUT_PIPE);
  g_autofree char *number = g_strdup_printf ("%d", (int) step);
  g_autoptr (GError) error = NULL;
  Child child;

  g_subprocess_launcher_setenv (launcher, "TUNDISH_KILL_FOLDER", folder, TRUE);
  g_subprocess_launcher_setenv (launcher, "TUNDISH_KILL_CLOCK", clock, TRUE);
  g_subprocess_launcher_setenv (launcher, "TUNDISH_KILL_STEP", number, TRUE);
  child.process = g_subprocess_launcher_spawn (launcher, &error, program, NULL);
  g_assert_no_error (error);
  child.lines = g_data_input_stream_new (g_subprocess_get_stdout_pipe (child.process));
  return child;
}

/* What the child says with that word: the clock, and the rest. (transfer full) */
static char **
hear (Child *child, const char *word)
{
  g_autofree char *prefix = g_strdup_printf ("KILL %s ", word);

  for (;;)
    {
      g_autofree char *line = g_data_input_stream_read_line (child->lines, NULL, NULL, NULL);

      if (line == NULL)
        g_error ("the program ended before it said '%s'", word);
      if (g_str_has_prefix (line, prefix))
        return g_strsplit (line + strlen (prefix), " ", 2);
    }
}

static void
kill_it (Child *child)
{
  g_subprocess_force_exit (child->process);
  g_assert_true (g_subprocess_wait (child->process, NULL, NULL));
  g_assert_true (g_subprocess_get_if_signaled (child->process));
  g_assert_cmpint (g_subprocess_get_term_sig (child->process), ==, SIGKILL);
  g_object_unref (child->lines);
  g_object_unref (child->process);
}

/* A book in which the visit has just begun, and a window that was left there. */
static TdUuid
make_folder (const char *folder, const char *path, const GPtrArray *drafts)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, &error);
  g_autofree char *ini = g_build_filename (folder, "window.ini", NULL);
  g_autoptr (TdState) state = td_state_new (ini);
  TdUuid visit = ((TdDraft *) g_ptr_array_index (drafts, 0))->visit;
  g_autofree char *id = td_uuid_to_text (&visit);
  g_autofree char *place = g_strconcat ("visit:", id, NULL);

  g_assert_no_error (error);
  td_test_book_fill (book);
  td_book_append (book, g_ptr_array_index (drafts, 0), NULL, NULL, &error);
  g_assert_no_error (error);
  td_state_add_recent (state, path);
  td_state_set_place (state, path, place);
  td_state_set_person (state, path, "nora");
  return visit;
}

static void
check_journal (const char *path, const TdUuid *visit, const GPtrArray *should_be)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_open (path, clock, &error);
  g_autoptr (TdVisitRecord) record = NULL;
  g_autoptr (GPtrArray) is = NULL;

  g_assert_no_error (error);
  record = td_book_load_visit (book, visit, &error);
  g_assert_no_error (error);
  g_assert_true (record->visit->closed);
  is = wizard_journal_of_visit (record->visit);
  wizard_journal_assert_same (is, should_be);
}

static void
test_each_step (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("tundish-kills-XXXXXX", &error);
  g_autofree char *path = g_build_filename (folder, "k.tundish", NULL);
  g_autofree char *file = g_test_build_filename (G_TEST_DIST, "desk", "hand-visit.jsonl", NULL);
  g_autoptr (GPtrArray) drafts = wizard_journal_read (file, NULL);
  g_autoptr (GPtrArray) should_be = wizard_journal_of_file (file);
  TdUuid visit = make_folder (folder, path, drafts);
  g_autofree char *clock = g_strdup_printf ("%" G_GINT64_FORMAT, TD_TEST_NOW_MS);
  g_autofree char *left = NULL;

  for (TdStep step = TD_STEP_ARRIVE; step <= TD_N_STEPS; step++)
    {
      Child child = start (folder, clock, step);
      g_auto (GStrv) opened = hear (&child, "opened");
      g_auto (GStrv) reached = hear (&child, "reached");

      kill_it (&child);
      if (left != NULL)
        g_assert_cmpstr (opened[1], ==, left);
      g_test_message ("killed at: %s", reached[1]);
      if (step < TD_N_STEPS)
        g_assert_cmpint (g_ascii_strtoll (reached[1], NULL, 10), ==, step);
      g_free (left);
      left = g_strdup (reached[1]);
      g_free (clock);
      clock = g_strdup (reached[0]);
    }
  check_journal (path, &visit, should_be);
  td_drive_remove_folder (folder);
}

int
main (int argc, char **argv)
{
  const char *folder = g_getenv ("TUNDISH_KILL_FOLDER");

  program = argv[0];
  td_drive_init (&argc, &argv);
  if (folder != NULL)
    be_killed (folder);
  g_test_add_func ("/kills/each-step", test_each_step);
  return g_test_run ();
}
