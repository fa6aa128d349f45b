/* A whole visit in the wizard, by pointer and by keyboard; pictures of its steps. */
#include "desk-book.h"
#include "store-journal.h"
#include "wizard-drive.h"

#define TWO_LANTERNS_REPLAY "01-two-lanterns-reversed.jsonl"
#define REPLAY_ENTRIES 114

static char *
make_book (TdDrive *drive)
{
  g_autofree char *path = td_drive_path (drive, "w.tundish");
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, &error);
  TdUuid visit;

  g_assert_no_error (error);
  td_test_book_fill (book);
  visit = td_test_book_replay (book, TWO_LANTERNS_REPLAY, REPLAY_ENTRIES - 1);
  return td_uuid_to_text (&visit);
}

static GString *
do_visit (WizardHow how, gboolean bulk, const char *pictures, int width, int height, gboolean dark, guint *acts_out)
{
  g_autoptr (TdDrive) drive = td_drive_new (width, height, dark);
  WizardHand hand = { drive, how, 0, bulk };
  g_autofree char *book = td_drive_path (drive, "w.tundish");
  g_autofree char *visit = make_book (drive);
  GString *journal = g_string_new (NULL);

  td_drive_open (drive, book);
  wizard_open (&hand, visit);
  for (TdStep step = 0; step < TD_N_STEPS; step++)
    {
      g_autofree char *name = g_strdup_printf ("%s-%d-%s", pictures, step + 1, td_step_to_text (step));

      wizard_work_to (&hand, step);
      wizard_picture (&hand, name);
    }
  wizard_work_to (&hand, TD_N_STEPS);
  g_assert_true (wizard_get_visit (&hand)->closed);
  for (guint i = 0; i < wizard_get_visit (&hand)->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (wizard_get_visit (&hand)->entries, i);

      if (entry->envelope.kind != TD_KIND_CLOSING)
        g_string_append_printf (journal, "%s %s\n", td_kind_get_code (entry->envelope.kind), entry->body_text);
    }
  *acts_out = hand.acts;
  return journal;
}

static void
test_pointer (void)
{
  guint acts = 0;
  GString *journal = do_visit (WIZARD_BY_POINTER, FALSE, "light-1024", 1024, 600, FALSE, &acts);

  g_test_message ("%u acts\n%s", acts, journal->str);
  g_string_free (journal, TRUE);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  g_test_add_func ("/wizard/pointer", test_pointer);
  return g_test_run ();
}
