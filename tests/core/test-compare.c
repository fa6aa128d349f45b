/* Planned against run, and what the flows of a visit say. */
#include "core-compare.h"

#include <math.h>
#include <string.h>

#include "core-diagnose.h"
#include "core-json-build.h"
#include "visit-bench.h"

#define PREDICTED                                                                                  \
  " predicted='{\"circuits\":[{\"number\":1,\"flow_ml_min\":4400,\"fill_s\":50,\"volume_ml\":3000," \
  "\"velocity_mm_s\":1030,\"rinse_s\":90,\"rinse_ml\":6500}]}'"

/* The bench's site with a cleaning pump on its sheet. */
static void
give_pump (Bench *bench)
{
  g_autoptr (TdJson) sheet = td_site_to_json (bench->context.site);
  g_autoptr (TdJson) pump = td_json_parse ("{\"curve\":[[0,45],[4,38],[8,15]]}", -1, NULL);
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  g_autoptr (TdJson) whole = NULL;

  td_json_builder_begin_object (b);
  for (guint i = 0; i < td_json_get_length (sheet); i++)
    td_json_builder_member_value (b, td_json_get_key (sheet, i), td_json_get_element (sheet, i));
  td_json_builder_member_value (b, "cleaning_pump", pump);
  td_json_builder_end (b);
  whole = td_json_builder_finish (b);
  td_site_unref (bench->context.site);
  bench->context.site = td_site_from_json (whole, NULL);
  g_assert_nonnull (bench->context.site);
}

/* The good visit, its plan with what it expects, its pump act with another flow. */
static void
run_visit (Bench *bench, const char *plan_more, const char *flow)
{
  for (guint i = 0; bench_good_visit[i] != NULL; i++)
    {
      const char *line = bench_good_visit[i];
      g_autofree char *changed = NULL;

      if (strstr (line, " plan-adopted ") != NULL)
        changed = g_strconcat (line, plan_more, NULL);
      else if (strstr (line, " cleaning-pump-on ") != NULL)
        changed = g_strdup_printf ("06:29 cleaning-pump-on circuit=1%s", flow);
      bench_add (bench, changed != NULL ? changed : line);
    }
}

static void
test_compared (void)
{
  /* By hand: 1200 mL/min in a minute is 20 mm3 in a ms: 4200 mL/min through 71.26 mm2 are 982 mm/s; from
   * 06:31 (in) to 06:34 (return) 180 s, which at that flow are 12.6 L; contact to 06:51 is 1020 s; the
   * rinse began at 06:52 and passed at 07:02. */
  static const gint64 planned[TD_N_COMPARED] = { 4400, 50, 3000, 1030, 900, 90, 6500 };
  static const gint64 run[TD_N_COMPARED] = { 4200, 180, 12600, 982, 1020, 600, 30000 };
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  TdComparison compared;

  run_visit (bench, PREDICTED, " flow_ml_min=4200");
  visit = bench_fold (bench);
  td_visit_compare (visit, &g_array_index (visit->circuits, TdVisitCircuit, 0), &compared);
  for (guint i = 0; i < TD_N_COMPARED; i++)
    {
      if (compared.planned[i] != planned[i] || compared.run[i] != run[i])
        g_error ("%s: planned %" G_GINT64_FORMAT ", run %" G_GINT64_FORMAT, td_compared_get_key (i),
                 compared.planned[i], compared.run[i]);
    }
  g_assert_cmpint (visit->planned_minutes, ==, 70);
}

/* Nothing measured, nothing expected: nothing is made up. */
static void
test_unknown (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  TdComparison compared;

  bench_fill (bench, bench_good_visit, BENCH_UP_TO_PLAN);
  visit = bench_fold (bench);
  td_visit_compare (visit, &g_array_index (visit->circuits, TdVisitCircuit, 0), &compared);
  for (guint i = 0; i < TD_N_COMPARED; i++)
    {
      g_assert_cmpint (compared.planned[i], ==, TD_COMPARED_UNKNOWN);
      g_assert_cmpint (compared.run[i], ==, TD_COMPARED_UNKNOWN);
    }
  g_assert_null (td_visit_diagnose (visit));
}

static void
test_no_curve (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  g_autofree char *words = NULL;

  run_visit (bench, "", " flow_ml_min=4200");
  visit = bench_fold (bench);
  words = td_visit_diagnose (visit);
  g_assert_nonnull (strstr (words, "no curve of the cleaning pump"));
}

/* The flow that the sheet predicts agrees; two thirds of it want a cause, which one reading cannot tell. */
static void
test_flows (void)
{
  g_autoptr (Bench) probe = bench_new ();
  g_autoptr (TdLegModel) model = NULL;
  guint lines[2];
  double expected;

  give_pump (probe);
  model = td_leg_model_new (probe->context.site, NULL, NULL);
  lines[0] = (guint) td_site_find_line (probe->context.site, "A4");
  lines[1] = (guint) td_site_find_line (probe->context.site, "A2");
  expected = td_leg_model_get_flow_l_min (model, lines, 2, 0.0);
  for (guint i = 0; i < 2; i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_autoptr (TdVisit) visit = NULL;
      g_autofree char *flow = g_strdup_printf (" flow_ml_min=%d", (int) (expected * (i == 0 ? 1000 : 670)));
      g_autofree char *words = NULL;

      give_pump (bench);
      run_visit (bench, "", flow);
      visit = bench_fold (bench);
      words = td_visit_diagnose (visit);
      if (i == 0)
        g_assert_cmpstr (words, ==, "The flows measured agree with those predicted.");
      else
        g_assert_true (g_str_has_prefix (words, "Cannot tell: ") && strstr (words, "line A2") != NULL
                       && strstr (words, "line A4") != NULL && strstr (words, "the pump") != NULL);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/compare/compared", test_compared);
  g_test_add_func ("/compare/unknown", test_unknown);
  g_test_add_func ("/compare/no-curve", test_no_curve);
  g_test_add_func ("/compare/flows", test_flows);
  return g_test_run ();
}
