/* A whole visit of the site with two towers, from the round to its closing: by pointer, and by keyboard alone.
 * Both leave the journal that hand-visit.jsonl holds, and so does `tundishctl record`, which reads it.
 *
 * TUNDISH_UPDATE=1 writes the file anew from the visit by pointer: look at the difference. */
#include "desk-book.h"
#include "desk-visit-page.h"
#include "store-query.h"
#include "wizard-drive.h"
#include "wizard-journal.h"

#define SITE "site:two-lanterns-bar"
/* Between two acts, milliseconds. */
#define PACE_MS 20000
/* A screen of wet hands: presses and keys that the visit may cost, letters and digits apart. */
#define ACTS_MAX 130
#define KEYS_MAX 420

static char *
get_reference (void)
{
  return g_test_build_filename (G_TEST_DIST, "desk", "hand-visit.jsonl", NULL);
}

static void
make_book (const char *path)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, &error);

  g_assert_no_error (error);
  td_test_book_fill (book);
}

static gboolean
is_at_a_visit (TdDrive *drive, gpointer data)
{
  return g_str_has_prefix (td_window_get_place (drive->window), "visit:")
         && td_visit_page_get_session (TD_VISIT_PAGE (td_window_get_page (drive->window))) != NULL;
}

static void
begin (WizardHand *hand)
{
  TdDrive *drive = hand->drive;

  if (hand->how == WIZARD_BY_POINTER)
    {
      td_drive_click (drive, td_drive_look_label (td_window_get_page (drive->window), "Two Lanterns Bar"));
      td_drive_until_place (drive, SITE);
    }
  else
    {
      td_drive_key (drive, "<Control>f");
      td_drive_type (drive, "lanterns");
      td_drive_until_label (drive, NULL, "1 site");
      td_drive_key (drive, "Return");
      td_drive_until_place (drive, SITE);
    }
  wizard_press (hand, td_drive_find (drive, NULL, "begin"));
  wizard_press (hand, td_drive_find (drive, NULL, "sds"));
  wizard_press (hand, td_drive_find (drive, NULL, "commit"));
  td_drive_until (drive, is_at_a_visit, NULL, "the new visit");
  td_drive_settle (drive, 60);
}

/* The journal of the visit in the book. */
static GPtrArray *
read_journal (const char *path, const TdUuid *visit)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_open (path, clock, &error);
  g_autoptr (TdVisitRecord) record = NULL;

  g_assert_no_error (error);
  record = td_book_load_visit (book, visit, &error);
  g_assert_no_error (error);
  g_assert_true (record->visit->closed);
  return wizard_journal_of_visit (record->visit);
}

static void
test_visit (gconstpointer data)
{
  WizardHow how = GPOINTER_TO_INT (data);
  g_autoptr (TdDrive) drive = td_drive_new (1024, 600, FALSE);
  WizardHand hand = { .drive = drive, .how = how, .pace_ms = PACE_MS };
  g_autofree char *path = td_drive_path (drive, "w.tundish");
  g_autofree char *reference = get_reference ();
  g_autoptr (GPtrArray) should_be = NULL;
  g_autoptr (GPtrArray) is = NULL;

  make_book (path);
  td_state_set_person (td_context_get_state (td_window_get_context (drive->window)), path, "nora");
  td_drive_open (drive, path);
  begin (&hand);
  for (TdStep step = TD_STEP_PLAN; step <= TD_N_STEPS; step++)
    wizard_work_to (&hand, step);
  g_test_message ("%u presses, %u keys beside letters and digits", hand.acts, hand.keys);
  g_assert_cmpuint (hand.acts, <=, ACTS_MAX);
  g_assert_cmpuint (hand.keys, <=, KEYS_MAX);
  if (g_getenv ("TUNDISH_UPDATE") != NULL && how == WIZARD_BY_POINTER)
    wizard_journal_write (wizard_get_visit (&hand), reference);
  should_be = wizard_journal_of_file (reference);
  is = read_journal (path, &wizard_get_visit (&hand)->id);
  wizard_journal_assert_same (is, should_be);
}

/* The same visit written line by line on the command line. */
static void
test_record (void)
{
  g_autofree char *reference = get_reference ();
  g_autoptr (GPtrArray) drafts = wizard_journal_read (reference, NULL);
  g_autoptr (GPtrArray) should_be = wizard_journal_of_file (reference);
  g_autoptr (GPtrArray) is = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("tundish-record-XXXXXX", &error);
  g_autofree char *path = g_build_filename (folder, "r.tundish", NULL);
  g_autofree char *text = NULL;
  g_autofree char *said = NULL;
  g_autoptr (GSubprocess) process = NULL;

  g_assert_no_error (error);
  make_book (path);
  g_file_get_contents (reference, &text, NULL, &error);
  g_assert_no_error (error);
  process = g_subprocess_new (G_SUBPROCESS_FLAGS_STDIN_PIPE | G_SUBPROCESS_FLAGS_STDOUT_PIPE, &error,
                              g_getenv ("TUNDISHCTL"), "record", "--book", path, NULL);
  g_assert_no_error (error);
  g_assert_true (g_subprocess_communicate_utf8 (process, text, NULL, &said, NULL, &error));
  g_assert_no_error (error);
  g_test_message ("%s", said);
  g_assert_true (g_subprocess_get_successful (process));
  is = read_journal (path, &((TdDraft *) g_ptr_array_index (drafts, 0))->visit);
  wizard_journal_assert_same (is, should_be);
  td_drive_remove_folder (folder);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_data_func ("/wizard/pointer", GINT_TO_POINTER (WIZARD_BY_POINTER), test_visit);
  g_test_add_data_func ("/wizard/keyboard", GINT_TO_POINTER (WIZARD_BY_KEYBOARD), test_visit);
  g_test_add_func ("/wizard/record", test_record);
  return g_test_run ();
}
