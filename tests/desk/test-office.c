/* What an office does in the window: from a site to its account, and a visit that was missed or moved, written down
 * and seen in the round. */
#include "desk-book.h"
#include "desk-drive.h"

#include "desk-site-page.h"
#include "model-round.h"

#define SITE "kestrel-yard"

static TdDrive *
open_site (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "b.tundish");

  td_test_book_make (path, 0);
  td_drive_open (drive, path);
  td_drive_until_place (drive, "round");
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-site", g_variant_new_string (SITE));
  td_drive_until_place (drive, "site:" SITE);
  return drive;
}

static GtkWidget *
page (TdDrive *drive)
{
  return td_window_get_page (drive->window);
}

/* A question of the form that is shown. */
static GtkWidget *
find_question (TdDrive *drive, const char *name)
{
  GtkWidget *widget = td_drive_look_named (drive, page (drive), name);

  g_assert_nonnull (widget);
  return widget;
}

/* What the page's own row of the round says. */
static void
get_note (TdDrive *drive, guint *missed_out, int *moved_to_out, char **reason_out)
{
  g_autoptr (TdRoundItem) round = NULL;

  g_object_get (page (drive), "round", &round, NULL);
  g_object_get (round, "missed", missed_out, "moved-to", moved_to_out, "reason", reason_out, NULL);
}

/* The site's button leads to the account, and Escape back. */
static void
test_account (void)
{
  TdDrive *drive = open_site ();

  td_drive_click (drive, td_drive_find (drive, NULL, "account"));
  td_drive_until_place (drive, "account:kestrel-yard-kitchen");
  td_drive_key (drive, "Escape");
  td_drive_until_place (drive, "site:" SITE);
  td_drive_free (drive);
}

static void
test_missed (void)
{
  TdDrive *drive = open_site ();
  g_autofree char *reason = NULL;
  guint missed = 7;
  int moved_to = 0;

  get_note (drive, &missed, &moved_to, &reason);
  g_assert_cmpuint (missed, ==, 0);
  g_assert_cmpint (moved_to, ==, TD_DATE_NONE);
  g_assert_null (reason);
  td_drive_act (drive, page (drive), "site.miss", NULL);
  td_drive_fill (drive, find_question (drive, "day"), "2026-06-29");
  td_drive_fill (drive, find_question (drive, "person"), "Office");
  /* Without a reason nothing is written; the form stays and says so. */
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_label (drive, page (drive), "This cannot be left empty.");
  td_drive_fill (drive, find_question (drive, "reason"), "Cellar locked");
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_label (drive, page (drive), "Missed: Cellar locked");
  g_assert_null (td_drive_look (drive, NULL, "answer"));
  get_note (drive, &missed, &moved_to, &reason);
  g_assert_cmpuint (missed, ==, 1);
  g_assert_cmpint (moved_to, ==, TD_DATE_NONE);
  g_assert_cmpstr (reason, ==, "Cellar locked");
  td_drive_free (drive);
}

static void
test_moved (void)
{
  TdDrive *drive = open_site ();

  td_drive_act (drive, page (drive), "site.move", NULL);
  /* Escape leaves the question, not the site. */
  td_drive_find (drive, NULL, "answer");
  td_drive_key (drive, "Escape");
  g_assert_null (td_drive_look (drive, NULL, "answer"));
  g_assert_cmpstr (td_window_get_place (drive->window), ==, "site:" SITE);
  td_drive_act (drive, page (drive), "site.move", NULL);
  td_drive_fill (drive, find_question (drive, "day"), "2026-06-29");
  td_drive_fill (drive, find_question (drive, "to"), "2026-06-29");
  td_drive_fill (drive, find_question (drive, "reason"), "Private party");
  td_drive_fill (drive, find_question (drive, "person"), "Office");
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_label (drive, page (drive), "It is moved to the day that it was planned for. Choose another day.");
  td_drive_fill (drive, find_question (drive, "to"), "2026-07-02");
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_label (drive, page (drive), "Moved to 2 Jul 2026: Private party");
  td_drive_free (drive);
}

/* "Day Sheets…" stands in the round itself. */
static void
test_day_sheets (void)
{
  TdDrive *drive = open_site ();
  GtkWidget *button;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-round", NULL);
  td_drive_until_place (drive, "round");
  button = td_drive_find (drive, NULL, "day_sheets");
  g_assert_cmpstr (gtk_actionable_get_action_name (GTK_ACTIONABLE (button)), ==, "win.day-sheets");
  g_assert_true (gtk_widget_is_sensitive (button));
  td_drive_free (drive);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/office/account", test_account);
  g_test_add_func ("/office/missed", test_missed);
  g_test_add_func ("/office/moved", test_moved);
  g_test_add_func ("/office/day-sheets", test_day_sheets);
  return g_test_run ();
}
