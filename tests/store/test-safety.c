/* Safety data sheets and recalls in the book; what labels say comes back as it went in. */
#include "book-bench.h"

#include "core-error.h"
#include "store-attachment.h"
#include "store-inspect.h"
#include "store-query.h"
#include "store-safety.h"
#include "store-setting.h"

#include <string.h>

#define DAY ((TdDate) (BENCH_DAY_MS / 86400000))

static GBytes *
make_sheet (const char *text)
{
  return g_bytes_new (text, strlen (text));
}

static void
test_sheet (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) first = make_sheet ("%PDF-1.7 first");
  g_autoptr (GBytes) second = make_sheet ("%PDF-1.7 second");

  g_assert_true (td_book_add_safety_sheet (bench->book, "lye", second, DAY - 10, &error));
  g_assert_true (td_book_add_safety_sheet (bench->book, "lye", first, DAY - 400, &error));
  g_assert_true (td_book_add_safety_sheet (bench->book, "lye", first, DAY - 400, &error)); /* once */
  g_assert_no_error (error);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM safety_sheet"), ==, 2);
  g_autoptr (TdMasters) masters = td_book_get_masters (bench->book, &error);
  const TdProduct *product = td_masters_find_product (masters, "lye");
  /* The latest revision holds, whatever came last. */
  g_assert_cmpint (product->sds_revised, ==, DAY - 10);
  g_autofree char *media = NULL;
  g_autoptr (GBytes) back = td_book_get_attachment (bench->book, product->sds_sha256, &media, &error);
  g_assert_no_error (error);
  g_assert_true (g_bytes_equal (back, second));
  g_assert_cmpstr (media, ==, "application/pdf");
  g_assert_null (td_masters_find_product (masters, "sour")->sds_sha256);
  book_bench_check (bench);
}

static void
test_refused (void)
{
  static const struct
  {
    const char *product;
    const char *text;
    int day;
    gboolean book; /* the domain is the book's */
    int code;
  } cases[] = {
    { "lye", "PK\x03\x04", -1, FALSE, TD_ERROR_SHAPE },
    { "lye", "", -1, FALSE, TD_ERROR_SHAPE },
    { "lye", "%PDF-1.7", 2, FALSE, TD_ERROR_RANGE },
    { "no-such", "%PDF-1.7", -1, TRUE, TD_BOOK_ERROR_MISSING },
  };
  g_autoptr (BookBench) bench = book_bench_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GBytes) bytes = make_sheet (cases[i].text);
      g_assert_false (td_book_add_safety_sheet (bench->book, cases[i].product, bytes, DAY + cases[i].day, &error));
      if (cases[i].book)
        g_assert_error (error, TD_BOOK_ERROR, cases[i].code);
      else
        g_assert_error (error, TD_ERROR, cases[i].code);
    }
  g_autofree char *big = g_strnfill (TD_SAFETY_SHEET_MAX + 1, 'x');
  memcpy (big, "%PDF-", 5);
  g_autoptr (GBytes) bytes = make_sheet (big);
  g_autoptr (GError) error = NULL;
  g_assert_false (td_book_add_safety_sheet (bench->book, "lye", bytes, DAY - 1, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM safety_sheet"), ==, 0);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM attachment"), ==, 0);
}

static void
test_frozen (void)
{
  static const char *const tries[] = {
    "UPDATE safety_sheet SET revised = 1", "DELETE FROM safety_sheet",
    "INSERT OR REPLACE INTO safety_sheet SELECT * FROM safety_sheet",
  };
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GBytes) bytes = make_sheet ("%PDF-1.7");

  g_assert_true (td_book_add_safety_sheet (bench->book, "lye", bytes, DAY - 1, NULL));
  for (gsize i = 0; i < G_N_ELEMENTS (tries); i++)
    {
      g_autofree char *message = book_bench_try_sql (bench->path, tries[i]);
      g_assert_nonnull (message);
      g_assert_nonnull (strstr (message, "never"));
    }
}

/* What a company file says of a product is in the book, in the masters, and in the snapshot of a closed visit. */
static void
test_labels (void)
{
  static const char text[] =
    "{\"format\": \"tundish-company/1\", \"products\": [{\"id\": \"lye\", \"name\": \"Lye\", \"kind\": \"caustic\","
    " \"substance\": \"naoh\", \"basis\": \"w/w\", \"percent_milli\": 30000, \"target_percent_milli\": 2000,"
    " \"classes\": [\"met-corr-1\", \"skin-corr-1a\"], \"hazards\": [\"H290\", \"H314\"], \"precautions\": [\"P280\"],"
    " \"protection\": [\"goggles\"], \"never_with\": [\"acid\"]}]}";
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (text, -1, &error);
  g_autoptr (TdMasters) company = td_masters_from_json (json, &error);
  TdUuid visit = book_bench_visit (1);

  g_assert_no_error (error);
  g_assert_true (td_book_import_company (bench->book, company, NULL, &error));
  book_bench_add_closed (bench, &visit);
  book_bench_run_sql (bench->path, "UPDATE product SET hazards = 'H315', rev = rev + 1 WHERE slug = 'lye'");
  g_autoptr (TdVisitRecord) record = td_book_load_visit (bench->book, &visit, &error);
  g_assert_no_error (error);
  const TdProduct *closed = td_masters_find_product (record->visit->masters, "lye");
  g_assert_cmpstr (closed->safety[TD_SAFETY_HAZARD][1], ==, "H314");
  g_assert_cmpstr (closed->safety[TD_SAFETY_CLASS][1], ==, "skin-corr-1a");
  g_assert_cmpstr (closed->safety[TD_SAFETY_NEVER_WITH][0], ==, "acid");
  g_autoptr (TdMasters) now = td_book_get_masters (bench->book, &error);
  g_assert_cmpstr (td_masters_find_product (now, "lye")->safety[TD_SAFETY_HAZARD][0], ==, "H315");
}

static void
test_recall (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;

  for (int recalled = 1; recalled >= 0; recalled--)
    {
      g_assert_true (td_book_recall_lot (bench->book, "LY1", recalled, &error));
      g_assert_no_error (error);
      g_autoptr (TdMasters) masters = td_book_get_masters (bench->book, NULL);
      g_assert_cmpint (td_masters_find_lot (masters, "LY1")->recalled, ==, recalled);
    }
  g_assert_false (td_book_recall_lot (bench->book, "no-such", TRUE, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
}

/* The extract reads the site's visits and the sheets that are on file now; its rules are a setting of the site. */
static void
test_inspection (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = make_sheet ("%PDF-1.7");
  TdUuid visit = book_bench_visit (1);
  gint64 rhode_island = TD_RECORD_RULES_RHODE_ISLAND;
  TdRecordRules all = TD_RECORD_RULES_ALL;

  book_bench_add_closed (bench, &visit);
  g_assert_true (td_book_set_setting (bench->book, "two-lanterns-bar", TD_SETTING_RECORD_RULES, &rhode_island, NULL));
  g_autoptr (TdInspection) set = td_book_get_inspection (bench->book, "two-lanterns-bar", NULL, DAY - 300, DAY, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (set->rules, ==, TD_RECORD_RULES_RHODE_ISLAND);
  g_assert_cmpuint (set->visits->len, ==, 1);
  g_assert_cmpuint (td_inspection_count_all_missing (set), ==, 0);
  g_autoptr (TdInspection) before = td_book_get_inspection (bench->book, "two-lanterns-bar", &all, DAY, DAY, &error);
  g_assert_cmpuint (td_inspection_count_missing (before, TD_RECORD_SHEET), ==, 1);
  g_assert_true (td_book_add_safety_sheet (bench->book, "lye", bytes, DAY - 1, NULL));
  g_autoptr (TdInspection) after = td_book_get_inspection (bench->book, "two-lanterns-bar", &all, DAY, DAY, &error);
  g_assert_cmpuint (td_inspection_count_missing (after, TD_RECORD_SHEET), ==, 0);
  g_assert_null (td_book_get_inspection (bench->book, "no-such", NULL, DAY, DAY, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/safety/sheet", test_sheet);
  g_test_add_func ("/safety/refused", test_refused);
  g_test_add_func ("/safety/frozen", test_frozen);
  g_test_add_func ("/safety/labels", test_labels);
  g_test_add_func ("/safety/recall", test_recall);
  g_test_add_func ("/safety/inspection", test_inspection);
  return g_test_run ();
}
