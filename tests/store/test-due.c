/* The round. The bench's visit of Monday 2 March 2026 cleaned A2, A4 and B6 of nine lines and a side
 * faucet; intervals are the defaults: caustic 14 days, acid 3 months, faucets 14 days, FOB and coupler
 * 6 months (Brewers Association, Draught Beer Quality Manual, 4th ed. 2019, ch. 7). */
#include "book-bench.h"

#include "store-due.h"
#include "store-query.h"

#include <string.h>

static const TdDueRow *
find_row (const GPtrArray *rows, TdTask task)
{
  for (guint i = 0; i < rows->len; i++)
    {
      const TdDueRow *row = g_ptr_array_index (rows, i);
      if (row->task == task)
        return row;
    }
  g_assert_not_reached ();
}

static void
assert_due (BookBench *bench, gint64 now_ms, TdTask task, TdDate last, TdDate due, int days)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) rows = td_book_list_due (bench->book, now_ms, &error);
  g_assert_no_error (error);
  const TdDueRow *row = find_row (rows, task);
  g_assert_cmpint (row->last, ==, last);
  g_assert_cmpint (row->due, ==, due);
  g_assert_cmpint (row->days, ==, days);
  g_assert_cmpint (row->minutes, ==, -1);
}

/* Takes lines out of the sheet until only those that the visit cleans are left, in a zone of choice. */
static void
import_small (BookBench *bench, const char *zone)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strdup_printf (
    "{\"format\":\"tundish-site/1\",\"account\":{\"name\":\"Two Lanterns\"},"
    "\"site\":{\"name\":\"Two Lanterns Bar\",\"zone\":\"%s\"},"
    "\"coolers\":[{\"id\":\"C1\"}],\"towers\":[{\"id\":\"TA\"},{\"id\":\"TB\"}],\"lines\":["
    "{\"id\":\"A2\",\"tower\":\"TA\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.5,\"length_m\":20}]},"
    "{\"id\":\"A4\",\"tower\":\"TA\",\"cooler\":\"C1\",\"beer_pump\":\"reversible\",\"fob\":true,"
    "\"segments\":[{\"bore_mm\":9.5,\"length_m\":20}]},"
    "{\"id\":\"B6\",\"tower\":\"TB\",\"cooler\":\"C1\",\"fob\":true,\"segments\":[{\"bore_mm\":9.5,\"length_m\":4}]}]}",
    zone);
  g_autoptr (TdSite) site = td_site_parse (text, -1, &error);
  g_assert_no_error (error);
  td_book_import_company (bench->book, bench->bench->context.masters, NULL, &error);
  g_assert_no_error (error);
  td_book_import_site (bench->book, site, NULL, &error);
  g_assert_no_error (error);
}

/* A site that was never visited is due from the day it came into the book. */
static void
test_never (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdDate day = td_date_make (2026, 3, 2);
  g_autoptr (GPtrArray) rows = td_book_list_due (bench->book, bench_time ("05:00"), NULL);
  g_assert_cmpuint (rows->len, ==, TD_N_TASKS);
  for (guint task = 0; task < TD_TASK_HOSE; task++)
    assert_due (bench, bench_time ("05:00"), task, TD_DATE_NONE, day, 0);
  /* Hoses came new with the site. */
  assert_due (bench, bench_time ("05:00"), TD_TASK_HOSE, TD_DATE_NONE, td_date_make (2027, 3, 2), 365);
  assert_due (bench, bench_time ("05:00") + 3 * G_GINT64_CONSTANT (86400000), TD_TASK_ACID, TD_DATE_NONE, day, -3);
}

static void
test_done (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  TdUuid visit = book_bench_visit (1);
  TdDate day = td_date_make (2026, 3, 2);
  import_small (bench, "UTC");
  book_bench_add_visit (bench, &visit, 0);
  /* Open visits count. */
  assert_due (bench, bench_time ("08:00"), TD_TASK_CAUSTIC, day, day + 14, 14);
  book_bench_add (bench, &visit, "07:27 closing");
  assert_due (bench, bench_time ("08:00"), TD_TASK_CAUSTIC, day, day + 14, 14);
  assert_due (bench, bench_time ("08:00"), TD_TASK_FAUCETS, day, day + 14, 14);
  assert_due (bench, bench_time ("08:00"), TD_TASK_ACID, TD_DATE_NONE, day, 0);
  assert_due (bench, bench_time ("08:00"), TD_TASK_FOB_COUPLER, TD_DATE_NONE, day, 0);
  assert_due (bench, bench_time ("08:00") + 20 * G_GINT64_CONSTANT (86400000), TD_TASK_CAUSTIC, day, day + 14, -6);
}

/* FOB and coupler: both of a line that has a FOB, the coupler of one that has none; months are months. */
static void
test_months (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  TdUuid visit = book_bench_visit (1);
  TdDate day = td_date_make (2026, 3, 2);
  import_small (bench, "UTC");
  book_bench_add (bench, &visit, "06:00 arrival site=two-lanterns-bar work=routine");
  book_bench_add (bench, &visit, "06:10 coupler-stripped lines=A2,A4,B6");
  assert_due (bench, bench_time ("08:00"), TD_TASK_FOB_COUPLER, day, day, 0);
  book_bench_add (bench, &visit, "06:11 fob-stripped lines=A4,B6");
  assert_due (bench, bench_time ("08:00"), TD_TASK_FOB_COUPLER, day, td_date_make (2026, 9, 2),
              td_date_make (2026, 9, 2) - day);
}

/* The line that waits longest decides; one that was left out does not hold the others back. */
static void
test_longest (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  TdUuid first = book_bench_visit (1), second = book_bench_visit (2);
  TdDate day = td_date_make (2026, 3, 2);
  import_small (bench, "UTC");
  book_bench_add (bench, &first, "06:00 arrival site=two-lanterns-bar work=routine");
  book_bench_add (bench, &first, "06:10 faucet-stripped lines=A2,A4");
  /* B6 was never done. */
  assert_due (bench, bench_time ("08:00"), TD_TASK_FAUCETS, day, day, 0);
  book_bench_add (bench, &second, "07:00 arrival site=two-lanterns-bar work=routine");
  book_bench_add (bench, &second, "07:10 line-left-out lines=B6 reason='Keg empty'");
  assert_due (bench, bench_time ("08:00"), TD_TASK_FAUCETS, day, day + 14, 14);
}

/* An amendment that was begun and left takes nobody's place; one that is closed does. */
static void
test_amended (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  TdUuid first = book_bench_visit (1), second = book_bench_visit (2);
  TdDate day = td_date_make (2026, 3, 2);
  g_autofree char *id = td_uuid_to_text (&first);
  g_autofree char *line = g_strdup_printf ("09:00 arrival site=two-lanterns-bar work=amendment amends=%s", id);
  import_small (bench, "UTC");
  book_bench_add_closed (bench, &first);
  book_bench_add (bench, &second, line);
  book_bench_add (bench, &second, "09:01 line-left-out lines=A2,A4 reason='Written on the wrong sheet'");
  assert_due (bench, bench_time ("10:00"), TD_TASK_CAUSTIC, day, day + 14, 14);
  assert_due (bench, bench_time ("10:00"), TD_TASK_FAUCETS, day, day + 14, 14);
  book_bench_add (bench, &second, "09:02 line-left-out lines=B6 reason='Written on the wrong sheet'");
  book_bench_add (bench, &second, "09:04 signature name=Ines meaning=work-done");
  book_bench_add (bench, &second, "09:04 countersignature meaning=nobody-present reason='Amended in the office'");
  book_bench_add (bench, &second, "09:05 closing");
  assert_due (bench, bench_time ("10:00"), TD_TASK_CAUSTIC, TD_DATE_NONE, day, 0);
  assert_due (bench, bench_time ("10:00"), TD_TASK_FAUCETS, TD_DATE_NONE, day, 0);
}

/* A fitted jumper hose renews that of its line, or of all. */
static void
test_hose (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  TdUuid visit = book_bench_visit (1);
  TdDate day = td_date_make (2026, 3, 2);
  import_small (bench, "UTC");
  book_bench_add (bench, &visit, "06:00 arrival site=two-lanterns-bar work=routine");
  book_bench_add (bench, &visit, "06:10 part-fitted part='Jumper hose, 10 mm' quantity=1 line=A2");
  assert_due (bench, bench_time ("08:00"), TD_TASK_HOSE, day, td_date_make (2027, 3, 2), 365);
  book_bench_add (bench, &visit, "06:11 part-fitted part='Faucet washer' quantity=1");
  book_bench_add (bench, &visit, "06:12 part-fitted part='jumper hose' quantity=3");
  assert_due (bench, bench_time ("08:00"), TD_TASK_HOSE, day, td_date_make (2027, 3, 2), 365);
  g_autoptr (GPtrArray) rows = td_book_list_due (bench->book, bench_time ("08:00"), NULL);
  g_assert_cmpint (find_row (rows, TD_TASK_HOSE)->last, ==, day);
}

static guint
count_findings (BookBench *bench, const TdUuid *visit, TdRuleId rule)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdVisitRecord) record = td_book_load_visit (bench->book, visit, &error);
  guint n = 0;
  g_assert_no_error (error);
  for (guint i = 0; i < record->findings->len; i++)
    n += ((const TdFinding *) g_ptr_array_index (record->findings, i))->rule == rule;
  return n;
}

/* What other visits did, and only that, keeps the rules from saying that it is due; a closed visit keeps what it
 * was told by. */
static void
test_history (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  TdUuid first = book_bench_visit (1), second = book_bench_visit (2);
  import_small (bench, "UTC");
  book_bench_add_closed (bench, &first);
  /* A2, A4 and B6 never had an acid clean; A4 and B6 have a FOB, and all three a coupler. */
  g_assert_cmpuint (count_findings (bench, &first, TD_RULE_ACID_DUE), ==, 3);
  g_assert_cmpuint (count_findings (bench, &first, TD_RULE_STRIP_DUE), ==, 5);
  TdUuid third = book_bench_visit (3);
  book_bench_add_visit (bench, &third, 0);
  g_assert_cmpuint (count_findings (bench, &third, TD_RULE_STRIP_DUE), ==, 5);
  /* While that one is open, another strips them. */
  book_bench_add (bench, &second, "08:00 arrival site=two-lanterns-bar work=routine");
  book_bench_add (bench, &second, "08:10 coupler-stripped lines=A2,A4,B6");
  g_assert_cmpuint (count_findings (bench, &third, TD_RULE_STRIP_DUE), ==, 2);
  book_bench_add (bench, &second, "08:11 fob-stripped lines=A4");
  g_assert_cmpuint (count_findings (bench, &third, TD_RULE_STRIP_DUE), ==, 1);
  g_assert_cmpuint (count_findings (bench, &first, TD_RULE_STRIP_DUE), ==, 5);
  book_bench_check (bench);
  book_bench_reopen (bench);
  g_assert_cmpuint (count_findings (bench, &first, TD_RULE_STRIP_DUE), ==, 5);
  book_bench_check (bench);
}

/* Dates are those of the site's clocks: 06:52 UTC on the 2nd is still the 1st in Honolulu (UTC-10, no
 * summer time since 1967) and 20:52 on the 2nd in Kiritimati (UTC+14). */
static void
test_zone (void)
{
  static const struct
  {
    const char *zone;
    int day;
  } cases[] = { { "Pacific/Honolulu", 1 }, { "Pacific/Kiritimati", 2 } };
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (BookBench) bench = book_bench_new_empty ();
      TdUuid visit = book_bench_visit (1);
      TdDate day = td_date_make (2026, 3, cases[i].day);
      import_small (bench, cases[i].zone);
      book_bench_add_visit (bench, &visit, 0);
      assert_due (bench, bench_time ("08:00"), TD_TASK_CAUSTIC, day, day + 14, 14);
    }
}

static void
test_words (void)
{
  /* As `due --json` has them. */
  g_assert_cmpstr (td_task_to_text (TD_TASK_CAUSTIC), ==, "caustic");
  g_assert_cmpstr (td_task_to_text (TD_TASK_ACID), ==, "acid");
  g_assert_cmpstr (td_task_to_text (TD_TASK_FAUCETS), ==, "faucets");
  g_assert_cmpstr (td_task_to_text (TD_TASK_FOB_COUPLER), ==, "fob-coupler");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/due/never", test_never);
  g_test_add_func ("/due/done", test_done);
  g_test_add_func ("/due/months", test_months);
  g_test_add_func ("/due/longest", test_longest);
  g_test_add_func ("/due/amended", test_amended);
  g_test_add_func ("/due/hose", test_hose);
  g_test_add_func ("/due/history", test_history);
  g_test_add_func ("/due/zone", test_zone);
  g_test_add_func ("/due/words", test_words);
  return g_test_run ();
}
