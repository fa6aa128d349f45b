/* Company, accounts, sites, settings: what a file adds, changes and leaves alone; all or nothing. */
#include "book-bench.h"

#include "store-query.h"

#include "core-error.h"
#include "core-json-build.h"

#include <string.h>

static TdMasters *
parse_company (const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (text, -1, &error);
  g_assert_no_error (error);
  TdMasters *masters = td_masters_from_json (json, &error);
  g_assert_no_error (error);
  return masters;
}

/* The bench's site with one text put for another. */
static TdSite *
make_site (const BookBench *bench, const char *find, const char *replace)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_site_to_json (bench->bench->context.site);
  g_autofree char *text = td_json_to_text (json, FALSE);
  g_autoptr (GString) changed = g_string_new (text);
  g_assert_cmpuint (g_string_replace (changed, find, replace, 1), ==, 1);
  TdSite *site = td_site_parse (changed->str, -1, &error);
  g_assert_no_error (error);
  return site;
}

static void
assert_import (BookBench *bench, const TdSite *site, TdImportOutcome outcome, const char *id, guint rev)
{
  g_autoptr (GError) error = NULL;
  TdSiteImport import = { 0 };
  td_book_import_site (bench->book, site, &import, &error);
  g_assert_no_error (error);
  g_assert_cmpint (import.outcome, ==, outcome);
  g_assert_cmpstr (import.site_id, ==, id);
  g_assert_cmpuint (import.rev, ==, rev);
  td_site_import_clear (&import);
}

/* Out of the book as into it. */
static void
test_company (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  TdImportCount count;
  const TdMasters *given = bench->bench->context.masters;
  guint n = 1 + given->n_products + given->n_lots + given->n_technicians + given->n_instruments;
  g_assert_true (td_book_import_company (bench->book, given, &count, &error));
  /* The company's row is there from the beginning, so it is changed, not added. */
  g_assert_cmpuint (count.added, ==, n - 1);
  g_assert_cmpuint (count.changed, ==, 1);
  g_assert_true (td_book_import_company (bench->book, given, &count, &error));
  g_assert_cmpuint (count.same, ==, n);
  g_assert_cmpuint (count.added + count.changed, ==, 0);
  book_bench_reopen (bench);
  g_autoptr (TdMasters) read = td_book_get_masters (bench->book, &error);
  g_assert_no_error (error);
  g_autoptr (TdJson) a = td_masters_to_json (given);
  g_autoptr (TdJson) b = td_masters_to_json (read);
  g_autofree char *a_text = td_json_to_text (a, TRUE);
  g_autofree char *b_text = td_json_to_text (b, TRUE);
  g_assert_cmpstr (a_text, ==, b_text);
}

static void
test_company_changes (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdImportCount count;
  g_autoptr (TdMasters) one = parse_company (
    "{\"format\":\"tundish-company/1\",\"technicians\":[{\"id\":\"ida\",\"name\":\"Ida Brook-Reed\"},"
    "{\"id\":\"new\",\"name\":\"New One\"}]}");
  g_assert_true (td_book_import_company (bench->book, one, &count, &error));
  g_assert_cmpuint (count.added, ==, 1);
  g_assert_cmpuint (count.changed, ==, 1);
  g_autoptr (TdMasters) now = td_book_get_masters (bench->book, NULL);
  /* What the file leaves out stays. */
  g_assert_cmpstr (now->company, ==, "Clear Run Line Care");
  g_assert_cmpuint (now->n_technicians, ==, bench->bench->context.masters->n_technicians + 1);
  g_assert_cmpstr (td_masters_find_technician (now, "ida")->name, ==, "Ida Brook-Reed");
  g_assert_null (td_masters_find_technician (now, "ida")->certificate);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT rev FROM technician WHERE slug = 'ida'"), ==, 2);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT rev FROM technician WHERE slug = 'pia'"), ==, 1);
}

/* A lot of a product that nobody knows: nothing of the file is kept. */
static void
test_company_refused (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdMasters) bad = td_masters_new ();
  bad->technicians = g_new0 (TdTechnician, 1);
  bad->n_technicians = 1;
  bad->technicians[0].id = g_strdup ("x");
  bad->technicians[0].name = g_strdup ("X");
  bad->technicians[0].certificate_expiry = TD_DATE_NONE;
  bad->lots = g_new0 (TdLot, 1);
  bad->n_lots = 1;
  bad->lots[0].id = g_strdup ("L");
  bad->lots[0].product = g_strdup ("nowhere");
  bad->lots[0].code = g_strdup ("1");
  g_assert_false (td_book_import_company (bench->book, bad, NULL, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_REFERENCE);
  g_assert_nonnull (strstr (error->message, "nowhere"));
  g_autoptr (TdMasters) now = td_book_get_masters (bench->book, NULL);
  g_assert_cmpuint (now->n_technicians, ==, 0);
}

static void
test_sites (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  const TdSite *given = bench->bench->context.site;
  assert_import (bench, given, TD_IMPORT_ADDED, "two-lanterns-bar", 1);
  assert_import (bench, given, TD_IMPORT_SAME, "two-lanterns-bar", 1);
  g_autoptr (TdSite) changed = make_site (bench, "\"Beer 1\"", "\"Stout\"");
  assert_import (bench, changed, TD_IMPORT_CHANGED, "two-lanterns-bar", 2);
  /* Back to the first sheet, which the book has already. */
  assert_import (bench, given, TD_IMPORT_CHANGED, "two-lanterns-bar", 3);
  /* The same name under another account is another site. */
  g_autoptr (TdSite) other = make_site (bench, "\"Two Lanterns\"", "\"Somebody Else\"");
  assert_import (bench, other, TD_IMPORT_ADDED, "two-lanterns-bar-2", 1);
  assert_import (bench, other, TD_IMPORT_SAME, "two-lanterns-bar-2", 1);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM sheet"), ==, 3);
  g_autoptr (GPtrArray) rows = td_book_list_sites (bench->book, &error);
  g_assert_cmpuint (rows->len, ==, 2);
  const TdSiteRow *row = g_ptr_array_index (rows, 0);
  g_assert_cmpstr (row->account, ==, "Somebody Else");
  g_assert_cmpstr (row->id, ==, "two-lanterns-bar-2");
  row = g_ptr_array_index (rows, 1);
  g_assert_cmpstr (row->account, ==, "Two Lanterns");
  g_assert_cmpuint (row->rev, ==, 3);
  g_assert_cmpuint (row->lines, ==, given->n_outlets);
  g_autoptr (TdSite) back = td_book_get_site (bench->book, "two-lanterns-bar", &error);
  g_assert_no_error (error);
  g_autoptr (TdJson) a = td_site_to_json (given);
  g_autoptr (TdJson) b = td_site_to_json (back);
  g_assert_true (td_json_equal (a, b));
  g_assert_null (td_book_get_site (bench->book, "nowhere", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  book_bench_check (bench);
}

static void
test_site_refused (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  static const char *const sheets[] = {
    "{\"format\":\"tundish-site/1\",\"site\":{\"name\":\"Bar\"},%s}",
    "{\"format\":\"tundish-site/1\",\"account\":{\"name\":\"A\"},%s}",
    "{\"format\":\"tundish-site/1\",\"account\":{\"name\":\"A\"},\"site\":{\"name\":\"Bar\",\"zone\":\"Europe/Nowhere\"},%s}",
  };
  static const char rest[] =
    "\"coolers\":[{\"id\":\"C\"}],\"towers\":[{\"id\":\"T\"}],\"lines\":[{\"id\":\"1\",\"tower\":\"T\",\"cooler\":\"C\","
    "\"segments\":[{\"bore_mm\":9.5,\"length_m\":10}]}]";
  for (gsize i = 0; i < G_N_ELEMENTS (sheets); i++)
    {
      g_autoptr (GError) error = NULL;
      g_auto (GStrv) parts = g_strsplit (sheets[i], "%s", 2);
      g_autofree char *text = g_strconcat (parts[0], rest, parts[1], NULL);
      g_autoptr (TdSite) site = td_site_parse (text, -1, &error);
      g_assert_no_error (error);
      g_assert_false (td_book_import_site (bench->book, site, NULL, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
    }
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM account"), ==, 0);
}

static void
test_accounts (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdImportCount count;
  g_assert_true (td_book_import_csv (bench->book,
                                          "name,phone,address\r\n"
                                          "Two Lanterns,12,\"Quay 1\r\nPort\"\r\n"
                                          "Café Süd,,\r\nCafe Sud,34,\r\n", -1, &count, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (count.added, ==, 2);
  g_assert_cmpuint (count.changed, ==, 1);
  g_autoptr (GPtrArray) rows = td_book_list_accounts (bench->book, &error);
  g_assert_cmpuint (rows->len, ==, 3);
  /* By name; the two that would have the same slug are told apart. */
  const TdAccountRow *row = g_ptr_array_index (rows, 0);
  g_assert_cmpstr (row->name, ==, "Cafe Sud");
  g_assert_cmpstr (row->id, ==, "cafe-sud-2");
  g_assert_cmpstr (row->phone, ==, "34");
  row = g_ptr_array_index (rows, 1);
  g_assert_cmpstr (row->name, ==, "Café Süd");
  g_assert_cmpstr (row->id, ==, "cafe-sud");
  g_assert_null (row->phone);
  row = g_ptr_array_index (rows, 2);
  g_assert_cmpstr (row->address, ==, "Quay 1\r\nPort");
  g_assert_cmpuint (row->sites, ==, 1);
  g_assert_true (td_book_import_csv (bench->book, "name,phone,address\nCafe Sud,34,\n", -1, &count, &error));
  g_assert_cmpuint (count.same, ==, 1);
}

static const struct
{
  const char *name;
  const char *csv;
  const char *place;
} wrong_accounts[] = {
  { "no name column", "phone,address\n1,2\n", "line 1, column 1: " },
  { "an unknown column", "name,colour\nA,blue\n", "line 1, column 6: " },
  { "a column twice", "name,phone,phone\nA,1,2\n", "line 1, column 12: " },
  { "no name", "phone,name\n1,A\n2,\n", "line 3, column 3: " },
  { "a name twice", "name\nA\nB\nA\n", "line 4, column 1: " },
  { "bad CSV", "name\n\"A\n", "line 2, column 1: " },
};

static void
test_accounts_refused (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  for (gsize i = 0; i < G_N_ELEMENTS (wrong_accounts); i++)
    {
      g_autoptr (GError) error = NULL;
      g_assert_false (td_book_import_csv (bench->book, wrong_accounts[i].csv, -1, NULL, &error));
      g_assert_cmpint (error->domain, ==, TD_ERROR);
      if (!g_str_has_prefix (error->message, wrong_accounts[i].place))
        g_error ("%s: %s", wrong_accounts[i].name, error->message);
    }
  /* Not even the lines before the wrong one. */
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM account"), ==, 0);
}

static gint64
get_setting (BookBench *bench, const char *site_id, TdSettingId id)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSettings) settings = td_book_get_settings (bench->book, site_id, &error);
  g_assert_no_error (error);
  return td_settings_get (settings, id);
}

/* The default, over it the company's, over it the sheet's own interval, over it the site's. */
static void
test_settings (void)
{
  static const char site[] = "two-lanterns-bar";
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdSettingId caustic = TD_SETTING_CAUSTIC_INTERVAL, acid = TD_SETTING_ACID_INTERVAL;
  gint64 standard = td_setting_get_info (acid)->standard, two = 2, five = 5, seven = 7, far = 100000;
  g_assert_cmpint (get_setting (bench, NULL, acid), ==, standard);
  g_assert_true (td_book_set_setting (bench->book, NULL, acid, &two, NULL));
  g_assert_cmpint (get_setting (bench, NULL, acid), ==, 2);
  g_assert_cmpint (get_setting (bench, site, acid), ==, 2);
  g_assert_true (td_book_set_setting (bench->book, site, acid, &five, NULL));
  g_assert_cmpint (get_setting (bench, NULL, acid), ==, 2);
  g_assert_cmpint (get_setting (bench, site, acid), ==, 5);
  g_assert_true (td_book_set_setting (bench->book, site, acid, NULL, NULL));
  g_assert_cmpint (get_setting (bench, site, acid), ==, 2);
  /* Taking back what was never set is no harm. */
  g_assert_true (td_book_set_setting (bench->book, site, acid, NULL, NULL));
  /* The sheet says 14 days. */
  g_assert_true (td_book_set_setting (bench->book, NULL, caustic, &seven, NULL));
  g_assert_cmpint (get_setting (bench, NULL, caustic), ==, 7);
  g_assert_cmpint (get_setting (bench, site, caustic), ==, 14);
  g_assert_true (td_book_set_setting (bench->book, site, caustic, &five, NULL));
  g_assert_cmpint (get_setting (bench, site, caustic), ==, 5);
  g_assert_false (td_book_set_setting (bench->book, NULL, caustic, &far, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
  g_clear_error (&error);
  g_assert_false (td_book_set_setting (bench->book, "nowhere", caustic, &five, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  g_clear_error (&error);
  g_assert_null (td_book_get_settings (bench->book, "nowhere", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
}

/* What an open visit is judged by changes: its row in the list follows at once. */
static void
test_projected (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  gint64 hour = 3600;
  book_bench_add_visit (bench, &visit, 0);
  g_autoptr (GPtrArray) before = td_book_list_visits (bench->book, NULL, NULL);
  guint reasons = ((TdVisitRow *) g_ptr_array_index (before, 0))->findings[TD_SEVERITY_REASON];
  g_assert_true (td_book_set_setting (bench->book, NULL, TD_SETTING_CONTACT_STATIC, &hour, NULL));
  g_autoptr (GPtrArray) after = td_book_list_visits (bench->book, NULL, NULL);
  g_assert_cmpuint (((TdVisitRow *) g_ptr_array_index (after, 0))->findings[TD_SEVERITY_REASON], ==, reasons + 1);
  book_bench_check (bench);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/master/company", test_company);
  g_test_add_func ("/master/company/changes", test_company_changes);
  g_test_add_func ("/master/company/refused", test_company_refused);
  g_test_add_func ("/master/sites", test_sites);
  g_test_add_func ("/master/sites/refused", test_site_refused);
  g_test_add_func ("/master/accounts", test_accounts);
  g_test_add_func ("/master/accounts/refused", test_accounts_refused);
  g_test_add_func ("/master/settings", test_settings);
  g_test_add_func ("/master/projected", test_projected);
  return g_test_run ();
}
