/* What a mix should have taken, and what a visit shows by itself. */
#include "core-exception.h"
#include "core-use.h"
#include "visit-bench.h"

#include <string.h>

/* Lines A2 and A4 of 20 m and B6 of 4 m, all of 9.525 mm bore: pi/4 x 9.525^2 = 71.2557 mL a metre, 3135.3 mL;
 * two jumpers of 1 m: 142.5 mL; the bucket keeps 4000 mL: 7278 mL.  Of 2 % w/w at 20 C (1.0207 g/mL, CRC) that
 * is 7428 g with 148.6 g NaOH: 495.2 g of the 30 % lye, which at 1.328 g/mL is 372.9 mL. */
static void
test_expected (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;

  bench_add_lines (bench, bench_good_visit);
  visit = bench_fold (bench);
  g_assert_cmpint (td_use_get_expected_solution_ml (visit, 0), ==, 7278);
  g_assert_cmpint (td_use_get_expected_ml (visit, 0), >=, 372);
  g_assert_cmpint (td_use_get_expected_ml (visit, 0), <=, 374);
  g_assert_cmpstr (td_use_get_method (visit, 0), ==, "both");
  g_assert_cmpuint (td_use_count_lines (visit, 0), ==, 3);
}

/* A mix that went nowhere asked for nothing. */
static void
test_unused (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;

  for (guint i = 0; i < BENCH_UP_TO_MIX; i++)
    bench_add (bench, bench_good_visit[i]);
  visit = bench_fold (bench);
  g_assert_cmpint (td_use_get_expected_solution_ml (visit, 0), ==, 0);
  g_assert_cmpint (td_use_get_expected_ml (visit, 0), ==, 0);
  g_assert_cmpstr (td_use_get_method (visit, 0), ==, "none");
  g_assert_cmpuint (td_use_count_lines (visit, 0), ==, 0);
}

static void
test_factor (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  TdSettings *changed = td_settings_with (bench->context.settings, TD_SETTING_FILL_VOLUMES, 200, NULL);

  td_settings_unref (bench->context.settings);
  bench->context.settings = changed;
  bench_add_lines (bench, bench_good_visit);
  visit = bench_fold (bench);
  /* 2 x 3277.8 + 4000 */
  g_assert_cmpint (td_use_get_expected_solution_ml (visit, 0), ==, 10556);
}

static void
test_band (void)
{
  static const struct
  {
    gint64 used, expected, band;
    gboolean off;
  } cases[] = { { 125, 100, 25, FALSE }, { 126, 100, 25, TRUE }, { 75, 100, 25, FALSE }, { 74, 100, 25, TRUE },
                { 0, 0, 25, FALSE },     { 1, 0, 25, TRUE } };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_assert_cmpint (td_use_is_off (cases[i].used, cases[i].expected, cases[i].band), ==, cases[i].off);
}

static gboolean
has (const GPtrArray *list, TdExceptionId id)
{
  for (guint i = 0; i < list->len; i++)
    if (((const TdVisitException *) g_ptr_array_index (list, i))->id == id)
      return TRUE;
  return FALSE;
}

/* @last: the countersignature. */
static gboolean
find_in_closed (const char *last, TdExceptionId id)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  g_autoptr (GPtrArray) list = NULL;

  for (guint i = 0; bench_good_visit[i] != NULL; i++)
    if (strstr (bench_good_visit[i], "countersignature") == NULL)
      bench_add (bench, bench_good_visit[i]);
  bench_add (bench, last);
  bench_add (bench, "07:27 closing");
  visit = bench_fold (bench);
  list = td_visit_get_exceptions (visit);
  return has (list, id);
}

static void
test_countersignature (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  g_autoptr (GPtrArray) list = NULL;

  g_assert_false (find_in_closed ("07:26 countersignature meaning=informed name=Bo", TD_EXCEPTION_NOT_COUNTERSIGNED));
  g_assert_true (find_in_closed ("07:26 countersignature meaning=nobody-present", TD_EXCEPTION_NOT_COUNTERSIGNED));
  g_assert_true (find_in_closed ("07:26 countersignature meaning=refused name=Bo reason=no",
                                 TD_EXCEPTION_NOT_COUNTERSIGNED));
  /* One that is still open has time. */
  bench_add (bench, bench_good_visit[0]);
  visit = bench_fold (bench);
  list = td_visit_get_exceptions (visit);
  g_assert_cmpuint (list->len, ==, 0);
}

/* Late acts, @gap_s apart: late-burst-count is 5 within late-burst-s, 60. */
static gboolean
find_burst (guint n, guint gap_s)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  g_autoptr (GPtrArray) list = NULL;

  bench_add (bench, bench_good_visit[0]);
  for (guint i = 0; i < n; i++)
    {
      guint s = i * gap_s;
      g_autofree char *line = g_strdup_printf ("06:%02u note text=x !08:%02u:%02u", i + 1, s / 60, s % 60);

      bench_add (bench, line);
    }
  visit = bench_fold (bench);
  list = td_visit_get_exceptions (visit);
  return has (list, TD_EXCEPTION_LATE_BURST);
}

static void
test_burst (void)
{
  g_assert_true (find_burst (5, 15));   /* 0 to 60 s */
  g_assert_false (find_burst (4, 10));  /* too few */
  g_assert_false (find_burst (8, 16));  /* four within 48 s, the fifth at 64 s */
}

static void
test_table (void)
{
  for (guint i = 0; i < TD_N_EXCEPTIONS; i++)
    {
      const TdExceptionInfo *info = td_exception_get_info (i);
      TdExceptionId id;

      g_assert_true (td_exception_find (info->code, &id));
      g_assert_cmpuint (id, ==, i);
      g_assert_true (g_str_has_suffix (info->text, "."));
    }
  g_assert_false (td_exception_find ("no-such", &(TdExceptionId) { 0 }));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/use/expected", test_expected);
  g_test_add_func ("/use/unused", test_unused);
  g_test_add_func ("/use/factor", test_factor);
  g_test_add_func ("/use/band", test_band);
  g_test_add_func ("/exception/countersignature", test_countersignature);
  g_test_add_func ("/exception/burst", test_burst);
  g_test_add_func ("/exception/table", test_table);
  return g_test_run ();
}
