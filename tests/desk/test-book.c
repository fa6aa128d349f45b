/* Whole books in the window: none open, a new one, an empty one, the demonstration, import, copies; what
 * goes wrong is a sentence on the page. */
#include "desk-book-acts.h"
#include "desk-book.h"
#include "desk-bundle-acts.h"
#include "desk-drive.h"
#include "desk-export.h"
#include "store-bundle.h"
#include "store-master.h"

#include <glib/gstdio.h>
#include <string.h>

static GtkWidget *
page (TdDrive *drive)
{
  return td_window_get_page (drive->window);
}

static gboolean
is_setting_up (TdDrive *drive, gpointer data)
{
  return td_drive_look (drive, NULL, "company") != NULL;
}

static GListModel *
list_files (const char *const *paths)
{
  GListStore *store = g_list_store_new (G_TYPE_FILE);

  for (guint i = 0; paths[i] != NULL; i++)
    {
      g_autoptr (GFile) file = g_file_new_for_path (paths[i]);

      g_list_store_append (store, file);
    }
  return G_LIST_MODEL (store);
}

static char *
find_demo (const char *name)
{
  return g_test_build_filename (G_TEST_DIST, "../data/demo", name, NULL);
}

static TdMasters *
read_masters (const char *path)
{
  g_autoptr (TdClock) clock = td_clock_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_open (path, clock, &error);
  TdMasters *masters;

  g_assert_no_error (error);
  masters = td_book_get_masters (book, &error);
  g_assert_no_error (error);
  return masters;
}

/* From nothing to a book with a company and sites, by pointer and keys. */
static void
test_new (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "new.tundish");
  g_autofree char *sheet = find_demo ("kestrel-yard.site.json");
  g_autoptr (GListModel) files = list_files ((const char *[]) { sheet, NULL });
  g_autoptr (TdMasters) masters = NULL;

  td_drive_until_place (drive, "start");
  g_assert_null (td_drive_look (drive, NULL, "recent"));
  td_window_open_book (drive->window, path, TD_OPEN_NEW_TEST);
  td_drive_until (drive, is_setting_up, NULL, "the form of an empty book");
  td_drive_fill (drive, td_drive_find (drive, NULL, "company"), "Weir Lines");
  td_drive_key (drive, "Tab");
  td_drive_type (drive, "1 Lock Road");
  td_drive_fill (drive, td_drive_find (drive, NULL, "technician"), "Ann Other");
  td_drive_click (drive, td_drive_find (drive, NULL, "keep"));
  td_drive_until_notice (drive, "Kept.");
  masters = read_masters (path);
  g_assert_cmpstr (masters->company, ==, "Weir Lines");
  g_assert_cmpstr (masters->company_address, ==, "1 Lock Road");
  g_assert_cmpuint (masters->n_technicians, ==, 1);
  g_assert_cmpstr (masters->technicians[0].id, ==, "ann-other");
  td_book_acts_import (GTK_WIDGET (drive->window), files);
  td_drive_until_notice (drive, "Sites: 1 new, 0 changed, 0 as before.");
  td_drive_until_label (drive, page (drive), "Kestrel Yard");
  td_drive_free (drive);
}

/* "Start a new book" takes the standard place while that is free. */
static void
test_standard_place (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_context_make_standard_path ();

  td_drive_until_place (drive, "start");
  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
  /* The clock of the test stands still, which an ordinary book refuses, and says so. */
  td_drive_click (drive, td_drive_find (drive, NULL, "new_book"));
  td_drive_until_notice (drive, "The book could not be opened.");
  g_unlink (path);
  td_drive_free (drive);
}

static void
test_demo (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);

  td_drive_until_place (drive, "start");
  td_drive_click (drive, td_drive_find (drive, NULL, "open_demo"));
  td_drive_until_label (drive, NULL, "Two Lanterns Bar");
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.close-book", NULL);
  td_drive_until_place (drive, "start");
  /* The second time it is there already, and among those used of late. */
  td_drive_click (drive, td_drive_look_label (page (drive), "demo.tundish"));
  td_drive_until_label (drive, NULL, "Two Lanterns Bar");
  td_drive_free (drive);
}

static void
test_import_failures (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "b.tundish");
  g_autofree char *bad = td_drive_path (drive, "bad.json");
  g_autofree char *csv = td_drive_path (drive, "accounts.csv");
  g_autofree char *good = find_demo ("kestrel-yard.site.json");
  g_autofree char *missing = td_drive_path (drive, "missing.json");
  g_autoptr (GListModel) files = list_files ((const char *[]) { bad, csv, good, missing, NULL });

  td_window_open_book (drive->window, path, TD_OPEN_NEW_TEST);
  td_drive_until (drive, is_setting_up, NULL, "the form of an empty book");
  g_assert_true (g_file_set_contents (bad, "{\n  \"format\": \"something/1\" }", -1, NULL));
  g_assert_true (g_file_set_contents (csv, "name,address\nThe Mill,\"1, Weir\"\n", -1, NULL));
  td_book_acts_import (GTK_WIDGET (drive->window), files);
  td_drive_until_notice (drive, "Sites: 1 new, 0 changed, 0 as before. Other rows: 1 new, 0 changed, 0 as before.\n"
                                "bad.json: This is neither a site sheet");
  td_drive_free (drive);
}

static void
test_open_failures (void)
{
  static const struct
  {
    const char *content; /* NULL: no file */
    const char *says;
  } cases[] = {
    { NULL, "The book could not be opened.\n" },
    { "", "The book could not be opened.\n" },
    { "<!DOCTYPE html>", "The book could not be opened.\n" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      TdDrive *drive = td_drive_new (1024, 600, FALSE);
      g_autofree char *path = td_drive_path (drive, "x.tundish");

      if (cases[i].content != NULL)
        g_assert_true (g_file_set_contents (path, cases[i].content, -1, NULL));
      td_window_open_book (drive->window, path, TD_OPEN_EXISTING);
      td_drive_until_notice (drive, cases[i].says);
      g_assert_cmpstr (td_window_get_place (drive->window), ==, "start");
      td_drive_click (drive, td_drive_find (drive, NULL, "dismiss"));
      g_assert_null (td_drive_look (drive, NULL, "dismiss"));
      td_drive_free (drive);
    }
}

/* A book that cannot be opened leaves the one that is open alone. */
static void
test_open_beside (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "b.tundish");

  td_test_book_make (path, 0);
  td_drive_open (drive, path);
  td_window_open_book (drive->window, "/nowhere/at/all.tundish", TD_OPEN_EXISTING);
  td_drive_until_notice (drive, "The book could not be opened.");
  g_assert_cmpstr (td_queue_get_path (td_context_get_queue (td_window_get_context (drive->window))), ==, path);
  td_drive_find (drive, NULL, "search");
  td_drive_free (drive);
}

static void
test_copies (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "b.tundish");
  g_autofree char *copy = td_drive_path (drive, "copy.tundish");
  g_autofree char *unwritable = td_drive_path (drive, "no/such/folder/copy.tundish");

  td_test_book_make (path, 0);
  td_drive_open (drive, path);
  td_book_acts_back_up (GTK_WIDGET (drive->window), copy);
  td_drive_until_notice (drive, "The copy is made and verified.");
  td_book_acts_back_up (GTK_WIDGET (drive->window), unwritable);
  td_drive_until_notice (drive, "The book was not copied.\n");
  td_book_acts_restore (GTK_WIDGET (drive->window), path, copy);
  td_drive_until_place (drive, "round");
  td_drive_free (drive);
}

/* Put back over the book that is open: what stood there is kept beside it. */
static void
test_restore_over (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "b.tundish");
  g_autofree char *copy = td_drive_path (drive, "copy.tundish");

  td_test_book_make (path, 0);
  td_drive_open (drive, path);
  td_book_acts_back_up (GTK_WIDGET (drive->window), copy);
  td_drive_until_notice (drive, "The copy is made and verified.");
  td_book_acts_restore (GTK_WIDGET (drive->window), copy, path);
  td_drive_until_notice (drive, "The copy is put back. What stood there before is kept as ");
  td_drive_until_label (drive, NULL, "Two Lanterns Bar");
  td_book_acts_restore (GTK_WIDGET (drive->window), "/nowhere.tundish", path);
  td_drive_until_notice (drive, "The copy was not put back.\n");
  td_drive_free (drive);
}

static TdExportJob *
make_job (TdExportWhat what, TdExport table, const char *path, const char *number)
{
  TdExportJob *job = td_export_job_new (what, path);

  job->table = table;
  job->kind = TD_CSV_SPREADSHEET;
  job->number = g_strdup (number);
  return job;
}

/* What is written comes from the book, and what cannot be written is a sentence. */
static void
test_export (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "b.tundish");
  g_autofree char *csv = td_drive_path (drive, "visits.csv");
  g_autofree char *sheet = td_drive_path (drive, "two-lanterns-bar.site.json");
  g_autofree char *folder = g_path_get_dirname (csv);
  g_autofree char *xml = td_drive_path (drive, "INV-1.xml");
  g_autofree char *text = NULL;
  GtkWidget *window = GTK_WIDGET (drive->window);

  td_test_book_make (path, 0);
  td_drive_open (drive, path);
  td_export_acts_run (window, make_job (TD_EXPORT_JOB_TABLE, TD_EXPORT_VISITS, csv, NULL));
  td_drive_until_notice (drive, "2 rows were written.");
  g_assert_true (g_file_get_contents (csv, &text, NULL, NULL));
  g_assert_true (g_str_has_prefix (text, "\xef\xbb\xbfreport,visit,account,"));
  g_assert_nonnull (strstr (text, ",two-lanterns-bar,Two Lanterns Bar,"));
  td_export_acts_run (window, make_job (TD_EXPORT_JOB_SHEETS, TD_N_EXPORTS, folder, NULL));
  td_drive_until_notice (drive, "7 site sheets were written.");
  g_assert_true (g_file_test (sheet, G_FILE_TEST_EXISTS));
  td_export_acts_run (window, make_job (TD_EXPORT_JOB_INVOICE, TD_N_EXPORTS, xml, "INV-1"));
  td_drive_until_notice (drive, "Nothing was written.\nThe book has no invoice INV-1;");
  g_assert_false (g_file_test (xml, G_FILE_TEST_EXISTS));
  td_drive_free (drive);
}

/* Civil calendar by hand; 2028 is a leap year. */
static void
test_export_days (void)
{
  static const struct
  {
    int year, month, day;
    const char *word;
    int from[3], to[3]; /* year 0: no limit */
  } cases[] = {
    { 2026, 6, 30, "all", { 0 }, { 0 } },
    { 2026, 6, 30, "this-month", { 2026, 6, 1 }, { 2026, 6, 30 } },
    { 2026, 3, 31, "last-month", { 2026, 2, 1 }, { 2026, 2, 28 } },
    { 2028, 3, 1, "last-month", { 2028, 2, 1 }, { 2028, 2, 29 } },
    { 2026, 1, 1, "last-month", { 2025, 12, 1 }, { 2025, 12, 31 } },
    { 2026, 6, 30, "this-year", { 2026, 1, 1 }, { 2026, 12, 31 } },
    { 2028, 2, 29, "last-year", { 2027, 1, 1 }, { 2027, 12, 31 } },
  };
  TdDate from, to;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      const int *a = cases[i].from, *b = cases[i].to;

      g_assert_true (td_export_find_days (cases[i].word, td_date_make (cases[i].year, cases[i].month, cases[i].day),
                                          &from, &to));
      g_assert_cmpint (from, ==, a[0] != 0 ? td_date_make (a[0], a[1], a[2]) : TD_DATE_NONE);
      g_assert_cmpint (to, ==, b[0] != 0 ? td_date_make (b[0], b[1], b[2]) : TD_DATE_NONE);
    }
  g_assert_false (td_export_find_days ("next-month", 20000, &from, &to));
  g_assert_false (td_export_find_days ("tomorrow", 20000, &from, &to));
}

/* Makes a test book that has a bundle of its own to give. */
static void
give_bundle (const char *book_path, const char *bundle_path)
{
  g_autoptr (TdClock) clock = td_clock_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (book_path, TRUE, clock, &error);

  g_assert_no_error (error);
  td_book_import_csv (book, "name\nThe Mill\n", -1, NULL, &error);
  g_assert_no_error (error);
  td_book_write_bundle (book, bundle_path, NULL, NULL, &error);
  g_assert_no_error (error);
}

/* A bundle by hand, and what comes into the folder that carries them. */
static void
test_bundles (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  GtkWidget *window = GTK_WIDGET (drive->window);
  g_autofree char *path = td_drive_path (drive, "a.bundle");
  g_autofree char *other = td_drive_path (drive, "other.tundish");
  g_autofree char *third = td_drive_path (drive, "third.tundish");
  g_autofree char *folder = td_drive_path (drive, "carrier");
  g_autofree char *came = g_build_filename (folder, "third.bundle", NULL);
  g_autofree char *bad = g_build_filename (folder, "bad.bundle", NULL);
  g_autofree char *sheets = td_drive_path (drive, "day.pdf");
  g_autofree char *start = NULL;
  GSettings *settings = td_context_get_settings (td_window_get_context (drive->window));

  td_drive_until_place (drive, "start");
  td_drive_click (drive, td_drive_find (drive, NULL, "open_demo"));
  td_drive_until_label (drive, NULL, "Two Lanterns Bar");
  td_bundle_acts_day_sheets (window, sheets);
  td_drive_until_notice (drive, "The day sheets are written.");
  g_assert_true (g_file_get_contents (sheets, &start, NULL, NULL));
  g_assert_true (g_str_has_prefix (start, "%PDF-"));
  td_bundle_acts_write (window, path);
  td_drive_until_notice (drive, "The bundle is written and verified: 8 visits");
  td_window_open_book (drive->window, other, TD_OPEN_NEW_TEST);
  td_drive_until (drive, is_setting_up, NULL, "the form of an empty book");
  td_bundle_acts_read (window, path);
  td_drive_until_notice (drive, "From ");
  td_bundle_acts_read (window, path);
  td_drive_until_notice (drive, "This bundle of ");
  td_bundle_acts_read (window, other);
  td_drive_until_notice (drive, "The bundle was not written or read.\n“other.tundish” is not a bundle");
  /* What lies in the folder already, then what comes; and one that is none. */
  g_assert_cmpint (g_mkdir (folder, 0700), ==, 0);
  g_settings_set_string (settings, "bundle-folder", folder);
  give_bundle (third, came);
  td_drive_until_notice (drive, "From ");
  g_assert_true (g_file_set_contents (bad, "nothing", -1, NULL));
  td_drive_until_notice (drive, "A bundle was not taken in.\n“bad.bundle” is not a bundle");
  td_drive_act (drive, window, "win.exchange", NULL);
  td_drive_until_notice (drive, "The bundle is written and verified: 8 visits");
  g_settings_reset (settings, "bundle-folder");
  td_drive_free (drive);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/book/new", test_new);
  g_test_add_func ("/book/standard-place", test_standard_place);
  g_test_add_func ("/book/demo", test_demo);
  g_test_add_func ("/book/import-failures", test_import_failures);
  g_test_add_func ("/book/open-failures", test_open_failures);
  g_test_add_func ("/book/open-beside", test_open_beside);
  g_test_add_func ("/book/copies", test_copies);
  g_test_add_func ("/book/restore-over", test_restore_over);
  g_test_add_func ("/book/export", test_export);
  g_test_add_func ("/book/export-days", test_export_days);
  g_test_add_func ("/book/bundles", test_bundles);
  return g_test_run ();
}
