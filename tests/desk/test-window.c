/* Going about in the window by pointer and by keyboard: the round, a site, a visit, and back. */
#include "desk-book.h"
#include "desk-drive.h"
#include "desk-notice.h"
#include "desk-site-page.h"
#include "desk-tower-view.h"
#include "desk-visit-page.h"

#define TWO_LANTERNS "site:two-lanterns-bar"
#define CLOSED_VISIT "019eced0-a200-7001-9b01-54554e444001"
#define OPEN_VISIT "019ed40f-b620-7002-9b02-54554e444002"

typedef struct
{
  TdDrive *drive;
  char *book;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer data)
{
  fixture->drive = td_drive_new (1024, 600, FALSE);
  fixture->book = td_drive_path (fixture->drive, "b.tundish");
  td_test_book_make (fixture->book, 12);
  td_drive_open (fixture->drive, fixture->book);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  td_drive_free (fixture->drive);
  g_free (fixture->book);
}

static GtkWidget *
page (Fixture *fixture)
{
  return td_window_get_page (fixture->drive->window);
}

static void
test_by_pointer (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;

  td_drive_click (drive, td_drive_look_label (page (fixture), "Two Lanterns Bar"));
  td_drive_until_place (drive, TWO_LANTERNS);
  td_drive_until_label (drive, NULL, "Tower A 1");
  td_drive_click (drive, td_drive_look_label (page (fixture), "Visits"));
  td_drive_until_label (drive, page (fixture), "16 Jun 2026");
  td_drive_click (drive, td_drive_look_label (page (fixture), "16 Jun 2026"));
  td_drive_until_place (drive, "visit:" CLOSED_VISIT);
  td_drive_until_label (drive, page (fixture), "Visit closed");
  td_drive_click (drive, td_drive_find (drive, NULL, "back"));
  td_drive_until_place (drive, TWO_LANTERNS);
  td_drive_click (drive, td_drive_find (drive, NULL, "back"));
  td_drive_until_place (drive, "round");
  g_assert_null (td_drive_look (drive, NULL, "back"));
}

static void
test_by_keyboard (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;

  td_drive_key (drive, "<Control>f");
  td_drive_type (drive, "lant quay");
  td_drive_until_label (drive, page (fixture), "1 site");
  td_drive_key (drive, "Return");
  td_drive_until_place (drive, TWO_LANTERNS);
  td_drive_key (drive, "Escape");
  td_drive_until_place (drive, "round");
  /* What was searched for is still there, and Escape in it takes it out. */
  td_drive_until_label (drive, page (fixture), "1 site");
  td_drive_key (drive, "<Control>f");
  td_drive_key (drive, "Escape");
  td_drive_until_label (drive, page (fixture), "7 sites");
  td_drive_key (drive, "Tab"); /* the filters */
  td_drive_key (drive, "Tab");
  td_drive_key (drive, "Tab");
  td_drive_key (drive, "space");
  td_drive_until_label (drive, page (fixture), "1 site");
  td_drive_key (drive, "Tab"); /* the day sheets */
  td_drive_key (drive, "Tab"); /* the list */
  td_drive_key (drive, "Return");
  td_drive_until_place (drive, "site:the-tin-heron");
}

static void
test_search_finds_nothing (Fixture *fixture, gconstpointer data)
{
  td_drive_fill (fixture->drive, td_drive_find (fixture->drive, NULL, "search"), "zzz");
  td_drive_until_label (fixture->drive, page (fixture), "No site matches. Take words out of the search, or show all.");
  td_drive_key (fixture->drive, "Return"); /* opens nothing */
  g_assert_cmpstr (td_window_get_place (fixture->drive->window), ==, "round");
}

static int
get_chosen (Fixture *fixture)
{
  int chosen = -2;

  g_object_get (page (fixture), "chosen", &chosen, NULL);
  return chosen;
}

static gboolean
is_chosen (TdDrive *drive, gpointer data)
{
  int chosen = -2;

  g_object_get (td_window_get_page (drive->window), "chosen", &chosen, NULL);
  return chosen == GPOINTER_TO_INT (data);
}

/* Line list and drawing show the same choice, whichever of them it was made in. */
static void
test_shared_choice (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  GtkWidget *drawing;
  graphene_rect_t faucet;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-site", g_variant_new_string ("two-lanterns-bar"));
  td_drive_until_place (drive, TWO_LANTERNS);
  drawing = td_drive_find (drive, NULL, "drawing");
  g_assert_cmpint (get_chosen (fixture), ==, -1);

  td_drive_click (drive, td_drive_look_label (page (fixture), "Tower A 3"));
  td_drive_until (drive, is_chosen, GINT_TO_POINTER (2), "the list's choice");
  g_assert_cmpint (td_tower_view_get_chosen (TD_TOWER_VIEW (drawing)), ==, 2);

  g_assert_true (td_tower_view_locate (TD_TOWER_VIEW (drawing), 5, &faucet));
  td_drive_click_at (drive, drawing, faucet.origin.x + faucet.size.width / 2, faucet.origin.y + faucet.size.height / 2);
  td_drive_until (drive, is_chosen, GINT_TO_POINTER (5), "the drawing's choice");
  {
    GtkWidget *view = td_drive_find (drive, NULL, "line_view");
    GtkSelectionModel *model = gtk_column_view_get_model (GTK_COLUMN_VIEW (view));

    g_assert_true (gtk_selection_model_is_selected (model, 5));
  }
  /* The drawing has the focus now: arrows walk along the faucets. */
  td_drive_key (drive, "Left");
  td_drive_until (drive, is_chosen, GINT_TO_POINTER (4), "the next faucet");
  td_drive_key (drive, "Home");
  td_drive_until (drive, is_chosen, GINT_TO_POINTER (0), "the first faucet");
  td_drive_key (drive, "Left");
  g_assert_cmpint (get_chosen (fixture), ==, 0);
}

static TdVisit *
get_visit (TdDrive *drive)
{
  return td_session_get_visit (td_visit_page_get_session (TD_VISIT_PAGE (td_window_get_page (drive->window))));
}

static gboolean
is_at_a_visit (TdDrive *drive, gpointer data)
{
  return g_str_has_prefix (td_window_get_place (drive->window), "visit:")
         && td_visit_page_get_session (TD_VISIT_PAGE (td_window_get_page (drive->window))) != NULL;
}

/* A visit begun by pointer: who, with whom, what for, since when. */
static void
test_begin_by_pointer (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  const TdEntry *arrival;

  td_drive_click (drive, td_drive_look_label (page (fixture), "Kestrel Yard"));
  td_drive_until_place (drive, "site:kestrel-yard");
  td_drive_click (drive, td_drive_find (drive, NULL, "begin"));
  td_drive_click (drive, td_drive_look_label (page (fixture), "Milo Tarn"));
  td_drive_click (drive, td_drive_find (drive, NULL, "work_call_out"));
  td_drive_click (drive, td_drive_find (drive, NULL, "sds"));
  td_drive_click (drive, td_drive_find (drive, NULL, "commit"));
  td_drive_until (drive, is_at_a_visit, NULL, "the new visit");
  arrival = g_ptr_array_index (get_visit (drive)->entries, 0);
  g_assert_cmpstr (arrival->envelope.person, ==, "dara");
  g_assert_cmpstr (arrival->body_text, ==,
                   "{\"crew\":[\"milo\"],\"out_of_hours\":\"no\",\"sds_at_hand\":\"yes\",\"site\":\"kestrel-yard\","
                   "\"work\":\"call-out\"}");
  g_assert_cmpint (arrival->envelope.happened.utc_ms, ==, TD_TEST_NOW_MS);
  /* The site knows of it: the way in is now the way on. */
  td_drive_key (drive, "Escape");
  td_drive_until_place (drive, "site:kestrel-yard");
  g_assert_null (td_drive_look (drive, NULL, "begin"));
  td_drive_click (drive, td_drive_find (drive, NULL, "continue"));
  td_drive_until (drive, is_at_a_visit, NULL, "the visit again");
}

/* The same by keyboard alone, with a remark; the last person is proposed. */
static void
test_begin_by_keyboard (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  const TdEntry *arrival;

  td_state_set_person (td_context_get_state (td_window_get_context (drive->window)), fixture->book, "nora");
  td_drive_key (drive, "<Control>f");
  td_drive_type (drive, "kestrel");
  td_drive_until_label (drive, page (fixture), "1 site");
  td_drive_key (drive, "Return");
  td_drive_until_place (drive, "site:kestrel-yard");
  for (int i = 0; i < 12 && !gtk_widget_has_focus (td_drive_find (drive, NULL, "begin")); i++)
    td_drive_key (drive, "Tab");
  td_drive_key (drive, "Return");
  td_drive_find (drive, NULL, "commit");
  for (int i = 0; i < 24 && !gtk_widget_has_focus (td_drive_find (drive, NULL, "out_of_hours")); i++)
    {
      GtkWidget *remark = td_drive_find (drive, NULL, "remark");

      if (gtk_widget_is_ancestor (gtk_window_get_focus (GTK_WINDOW (drive->window)), remark))
        td_drive_type (drive, "rain");
      td_drive_key (drive, "Tab");
    }
  td_drive_key (drive, "space");
  for (int i = 0; i < 4 && !gtk_widget_has_focus (td_drive_find (drive, NULL, "commit")); i++)
    td_drive_key (drive, "Tab");
  td_drive_key (drive, "Return");
  td_drive_until (drive, is_at_a_visit, NULL, "the new visit");
  arrival = g_ptr_array_index (get_visit (drive)->entries, 0);
  g_assert_cmpstr (arrival->envelope.person, ==, "nora");
  g_assert_cmpstr (arrival->body_text, ==,
                   "{\"out_of_hours\":\"yes\",\"sds_at_hand\":\"no\",\"site\":\"kestrel-yard\",\"text\":\"rain\","
                   "\"work\":\"routine\"}");
}

static void
test_give_up (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-site", g_variant_new_string ("kestrel-yard"));
  td_drive_until_place (drive, "site:kestrel-yard");
  td_drive_click (drive, td_drive_find (drive, NULL, "begin"));
  td_drive_click (drive, td_drive_find (drive, NULL, "give_up"));
  td_drive_find (drive, NULL, "begin");
}

/* A closed visit is not gone on with but amended: by a visit that stands for it. */
static void
test_amend (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  TdVisit *visit;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-visit", g_variant_new_string (CLOSED_VISIT));
  td_drive_until_place (drive, "visit:" CLOSED_VISIT);
  td_drive_click (drive, td_drive_find (drive, NULL, "amend"));
  g_assert_null (td_drive_look (drive, NULL, "work_row"));
  td_drive_click (drive, td_drive_find (drive, NULL, "commit"));
  td_drive_until_label (drive, NULL, "Tell the staff at Tower A"); /* the new visit, at its first step */
  visit = get_visit (drive);
  g_assert_true (visit->amends_other);
  g_assert_cmpstr (visit->work, ==, "amendment");
}

/* The window opens again where it was left, also after the program was killed: the state is on disk. */
static void
test_comes_back (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-visit", g_variant_new_string (OPEN_VISIT));
  td_drive_until_place (drive, "visit:" OPEN_VISIT);
  td_context_close (td_window_get_context (drive->window));
  td_drive_until_place (drive, "start");
  td_drive_click (drive, td_drive_look_label (page (fixture), "b.tundish"));
  td_drive_until_place (drive, "visit:" OPEN_VISIT);
}

static void
test_unknown_places (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-site", g_variant_new_string ("nowhere"));
  td_drive_until_notice (drive, "The site could not be read.");
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-visit", g_variant_new_string ("no id"));
  td_drive_until_notice (drive, "The visit could not be read.");
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-visit",
                g_variant_new_string ("00000000-0000-7000-8000-000000000000"));
  td_drive_until_notice (drive, "The visit could not be read.");
  td_drive_key (drive, "Escape");
  td_drive_until_place (drive, "round");
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
#define TEST(name, function) g_test_add ("/window/" name, Fixture, NULL, set_up, function, tear_down)
  TEST ("by-pointer", test_by_pointer);
  TEST ("by-keyboard", test_by_keyboard);
  TEST ("search-finds-nothing", test_search_finds_nothing);
  TEST ("shared-choice", test_shared_choice);
  TEST ("begin-by-pointer", test_begin_by_pointer);
  TEST ("begin-by-keyboard", test_begin_by_keyboard);
  TEST ("give-up", test_give_up);
  TEST ("amend", test_amend);
  TEST ("comes-back", test_comes_back);
  TEST ("unknown-places", test_unknown_places);
  return g_test_run ();
}
