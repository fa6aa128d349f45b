/* A site's history and papers in the window; files looked at before they are taken in. */
#include "desk-book.h"
#include "desk-chart-view.h"
#include "desk-drive.h"

#include "core-site.h"
#include "desk-document-view.h"
#include "desk-history-job.h"
#include "desk-history-view.h"
#include "desk-listing-view.h"
#include "desk-preview-page.h"
#include "desk-site-page.h"
#include "store-edit.h"
#include "store-query.h"

#include <glib/gstdio.h>
#include <string.h>

static GtkWidget *
get_page (TdDrive *drive)
{
  return td_window_get_page (drive->window);
}

typedef struct
{
  GType type;
  GPtrArray *found;
} Search;

static void
match (GtkWidget *widget, gpointer data)
{
  Search *search = data;

  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, search->type))
    g_ptr_array_add (search->found, widget);
}

/* Visible widgets of a type, from above. (transfer container) */
static GPtrArray *
find_all (TdDrive *drive, GType type)
{
  Search search = { type, g_ptr_array_new () };

  td_drive_walk (get_page (drive), match, &search);
  return search.found;
}

static TdDrive *
start (int width, int height, char **path_out)
{
  TdDrive *drive = td_drive_new (width, height, FALSE);
  char *path = td_drive_path (drive, "b.tundish");

  td_test_book_make (path, 0);
  td_drive_open (drive, path);
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-site", g_variant_new_string ("two-lanterns-bar"));
  td_drive_until_place (drive, "site:two-lanterns-bar");
  if (path_out != NULL)
    *path_out = path;
  else
    g_free (path);
  return drive;
}

static gboolean
has_rows (TdDrive *drive, gpointer data)
{
  g_autoptr (GPtrArray) tables = find_all (drive, TD_TYPE_LISTING_VIEW);

  return tables->len == 2 && td_listing_view_get_length (g_ptr_array_index (tables, 0)) > 0;
}

/* What the job reads is what the reports say. */
static void
test_job (void)
{
  g_autofree char *folder = g_dir_make_tmp ("tundish-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "b.tundish", NULL);
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 5);
  g_autoptr (GError) error = NULL;
  gpointer answer = NULL;

  td_test_book_make (path, 0);
  {
    g_autoptr (TdBook) book = td_book_open (path, clock, &error);
    g_autoptr (TdHistory) history = NULL, none = NULL;
    const TdHistoryVisit *visit;
    const TdHistoryPoint *point;

    g_assert_true (td_history_job (book, (gpointer) "two-lanterns-bar", &answer, &error));
    history = answer;
    g_assert_cmpuint (history->visits->len, ==, 1);
    visit = g_ptr_array_index (history->visits, 0);
    g_assert_nonnull (visit->number);
    g_assert_cmpuint (visit->points->len, >, 0);
    point = &g_array_index (visit->points, TdHistoryPoint, 0);
    g_assert_true (td_history_visit_find (visit, point->line) == point);
    g_assert_null (td_history_visit_find (visit, "no such line"));
    /* Every line of that visit was held at least as long as required, and rinsed to the tap's pH. */
    g_assert_cmpint (point->contact_s, >=, point->required_s);
    g_assert_cmpint (ABS (point->rinse_ph_milli - point->tap_ph_milli), <=, 300);
    answer = NULL;
    g_assert_true (td_history_job (book, (gpointer) "no-such-site", &answer, &error));
    none = answer;
    g_assert_cmpuint (none->visits->len, ==, 0);
  }
  g_clear_error (&error);
  g_unlink (path);
  g_rmdir (folder);
}

/* Four charts, their figures beside them; another line is another picture; a row leads to its visit. */
static void
test_history (void)
{
  TdDrive *drive = start (1024, 600, NULL);
  g_autoptr (GPtrArray) charts = NULL, tables = NULL, views = NULL;

  td_drive_act (drive, get_page (drive), "site.show", g_variant_new_string ("history"));
  td_drive_until (drive, has_rows, NULL, "the history");
  tables = find_all (drive, TD_TYPE_LISTING_VIEW);
  views = find_all (drive, TD_TYPE_HISTORY_VIEW);
  /* The first line was left out of that visit, and says so; the second was cleaned. */
  td_history_view_choose (g_ptr_array_index (views, 0), 1);
  td_drive_settle (drive, 50);
  charts = find_all (drive, TD_TYPE_CHART_VIEW);
  g_assert_cmpuint (charts->len, >=, 2); /* a figure that nobody read has no chart */
  g_signal_emit_by_name (g_ptr_array_index (tables, 0), "row-activated", (gint64) 0);
  td_drive_settle (drive, 200);
  g_assert_true (g_str_has_prefix (td_window_get_place (drive->window), "visit:"));
  td_drive_free (drive);
}

static gboolean
has_paper (TdDrive *drive, gpointer data)
{
  g_autoptr (GPtrArray) views = find_all (drive, TD_TYPE_DOCUMENT_VIEW);

  return views->len == 1 && td_document_view_get_n_pages (g_ptr_array_index (views, 0)) == GPOINTER_TO_UINT (data);
}

/* The papers are shown and written; the sheet comes out as it went in. */
static void
test_papers (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (1024, 600, &path);
  g_autofree char *pdf = td_drive_path (drive, "labels.pdf");
  g_autofree char *sheet = td_drive_path (drive, "s.site.json");
  g_autofree char *bytes = NULL, *text = NULL;
  g_autoptr (GPtrArray) views = NULL;
  g_autoptr (TdSite) site = NULL;
  g_autoptr (GError) error = NULL;

  td_drive_act (drive, get_page (drive), "site.line-map", NULL);
  td_drive_until (drive, has_paper, GUINT_TO_POINTER (1), "the line map");
  td_drive_act (drive, get_page (drive), "site.labels", NULL);
  td_drive_until (drive, has_paper, GUINT_TO_POINTER (2), "the labels"); /* eight faucets, four a page */
  views = find_all (drive, TD_TYPE_DOCUMENT_VIEW);
  g_assert_true (td_document_view_export (g_ptr_array_index (views, 0), pdf));
  g_assert_true (g_file_get_contents (pdf, &bytes, NULL, NULL));
  g_assert_true (g_str_has_prefix (bytes, "%PDF-"));
  g_assert_true (td_site_page_export (TD_SITE_PAGE (get_page (drive)), sheet));
  g_assert_true (g_file_get_contents (sheet, &text, NULL, NULL));
  site = td_site_parse (text, -1, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (site->name, ==, "Two Lanterns Bar");
  td_drive_free (drive);
}

static gboolean
has_preview (TdDrive *drive, gpointer data)
{
  gboolean loaded = FALSE;

  if (!TD_IS_PREVIEW_PAGE (get_page (drive)))
    return FALSE;
  g_object_get (get_page (drive), "loaded", &loaded, NULL);
  return loaded;
}

static guint
count_accounts (const char *path, const char *name)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 5);
  g_autoptr (TdBook) book = td_book_open (path, clock, NULL);
  g_autoptr (GPtrArray) rows = td_book_list_accounts (book, NULL);
  guint n = 0;

  for (guint i = 0; i < rows->len; i++)
    n += strcmp (((TdAccountRow *) g_ptr_array_index (rows, i))->name, name) == 0;
  return n;
}

/* Nothing is written by looking; what passes is taken in by one press, what is refused stays out. */
static void
test_preview (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (1024, 600, &path);
  g_autofree char *good = td_drive_path (drive, "good.csv");
  g_autofree char *bad = td_drive_path (drive, "bad.csv");
  g_autoptr (GListStore) files = g_list_store_new (G_TYPE_FILE);
  g_autoptr (GFile) good_file = g_file_new_for_path (good), bad_file = g_file_new_for_path (bad);
  g_autoptr (GPtrArray) tables = NULL;

  g_assert_true (g_file_set_contents (good, "name,phone\nWeir Taverns,1\n\nTin Heron Inns,99\n", -1, NULL));
  g_assert_true (g_file_set_contents (bad, "name,email\nLock Inns,nobody\nSluice Bars,\n", -1, NULL));
  g_list_store_append (files, good_file);
  g_list_store_append (files, bad_file);
  td_window_preview (drive->window, G_LIST_MODEL (files));
  td_drive_until (drive, has_preview, NULL, "the preview");
  td_drive_until_label (drive, get_page (drive), "2 new, 1 changed, 0 as before, 1 refused");
  tables = find_all (drive, TD_TYPE_LISTING_VIEW);
  g_assert_cmpuint (td_listing_view_get_length (g_ptr_array_index (tables, 0)), ==, 4);
  td_drive_until_notice (drive, "1 file is not taken in.");
  g_assert_cmpuint (count_accounts (path, "Weir Taverns"), ==, 0);
  td_drive_click (drive, td_drive_find (drive, NULL, "take"));
  td_drive_until_notice (drive, "Other rows: 1 new, 1 changed, 0 as before.");
  g_assert_cmpuint (count_accounts (path, "Weir Taverns"), ==, 1);
  g_assert_cmpuint (count_accounts (path, "Sluice Bars"), ==, 0);
  td_drive_free (drive);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/history/job", test_job);
  g_test_add_func ("/history/view", test_history);
  g_test_add_func ("/history/papers", test_papers);
  g_test_add_func ("/history/preview", test_preview);
  return g_test_run ();
}
