/* A routine visit of twelve lines without faults in the real window: presses of the pointer are counted. The
 * book knows one visit before, so that the names of the staff are known. */
#include "core-entry.h"
#include "desk-book.h"
#include "store-journal.h"
#include "store-master.h"
#include "wizard-drive.h"

#define SITE_SHEET "ferry-landing-12.site.json"
#define SITE_ID "ferry-landing"
/* More and the clipboard is faster. */
#define PRESSES_MAX 45

static TdUuid
begin (TdBook *book, gint64 at_ms, const char *visit, const char *const *more)
{
  g_autoptr (GPtrArray) drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_autoptr (GError) error = NULL;
  const TdMoment moment = { .utc_ms = at_ms };
  TdUuid id;

  g_assert_true (td_uuid_parse (visit, &id, &error));
  for (guint i = 0; more[i] != NULL; i += 2)
    {
      g_autoptr (TdJson) body = td_json_parse (more[i + 1], -1, &error);
      TdKind kind;

      g_assert_no_error (error);
      g_assert_true (td_kind_from_code (more[i], &kind));
      g_ptr_array_add (drafts, td_draft_new (&id, kind, &moment, "nora", body));
    }
  td_book_append_many (book, drafts, NULL, NULL, &error);
  g_assert_no_error (error);
  return id;
}

static const char *const before[] = {
  "arrival", "{\"site\":\"" SITE_ID "\",\"work\":\"routine\"}",
  "staff-told", "{\"tower\":\"TA\",\"name\":\"Petra Vane\"}",
  "staff-told", "{\"tower\":\"TB\",\"name\":\"Owen Marsh\"}",
  "solution-disposed", "{\"volume_ml\":9000,\"drain\":\"neutralised\",\"known\":\"estimated\"}",
  NULL,
};
static const char *const now[] = { "arrival", "{\"site\":\"" SITE_ID "\",\"work\":\"routine\",\"sds_at_hand\":\"yes\"}", NULL };

static char *
make_book (TdDrive *drive, const char *path)
{
  g_autofree char *sheet = g_test_build_filename (G_TEST_DIST, "data", SITE_SHEET, NULL);
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, &error);
  g_autoptr (TdSite) site = NULL;
  g_autofree char *text = NULL;
  TdUuid visit;

  g_assert_no_error (error);
  td_test_book_fill (book);
  g_file_get_contents (sheet, &text, NULL, &error);
  g_assert_no_error (error);
  site = td_site_parse (text, -1, &error);
  g_assert_no_error (error);
  td_book_import_site (book, site, NULL, &error);
  g_assert_no_error (error);
  /* One that was given up half way tells names as well. */
  begin (book, TD_TEST_NOW_MS - G_GINT64_CONSTANT (14) * 86400000, "0197aaaa-0000-7000-8000-000000000001", before);
  visit = begin (book, TD_TEST_NOW_MS, "0197aaaa-0000-7000-8000-000000000002", now);
  return td_uuid_to_text (&visit);
}

static void
test_presses (void)
{
  g_autoptr (TdDrive) drive = td_drive_new (1024, 600, FALSE);
  WizardHand hand = { .drive = drive, .how = WIZARD_BY_POINTER, .bulk = TRUE, .pace_ms = 20000 };
  g_autofree char *path = td_drive_path (drive, "w.tundish");
  g_autofree char *visit = make_book (drive, path);

  td_drive_open (drive, path);
  wizard_open (&hand, visit);
  for (TdStep step = TD_STEP_ARRIVE; step <= TD_N_STEPS; step++)
    {
      g_autofree char *name = g_strdup_printf ("routine-%d", step);

      wizard_work_to (&hand, step);
      wizard_picture (&hand, name);
    }
  g_assert_true (wizard_get_visit (&hand)->closed);
  g_test_message ("%u presses, %u keys beside letters and digits", hand.acts, hand.keys);
  g_assert_cmpuint (hand.acts, <=, PRESSES_MAX);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/wizard-routine/presses", test_presses);
  return g_test_run ();
}
