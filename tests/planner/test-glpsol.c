/* The planner against glpsol (GLPK) on an integer program of its own, run live where it is installed. */
#include "planner-bench.h"

#include <math.h>

#define N_SITES 40

static void
check_site (const TdSite *site, gint64 capacity_um)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);
  BenchOptimum optimum;
  g_assert_no_error (error);
  bench_run_glpsol (site, capacity_um, &optimum);
  g_assert_cmpuint (plan->n_statics, ==, optimum.statics + site->n_outlets - site->n_lines);
  g_assert_cmpuint (plan->n_circuits, ==, optimum.circuits);
  g_assert_cmpuint (plan->reversals, ==, optimum.reversals);
}

static void
test_references (void)
{
  static const char *const names[] = { "h01_all_oneway", "h02_odd", "h03_4cycle", "h06_disconnected",
                                       "h09_join_at_tower", "r06a", "r08b", "r12a" };
  if (!bench_has_glpsol ())
    {
      g_test_skip ("glpsol is not installed");
      return;
    }
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *name = g_strconcat (names[i], ".site.json", NULL);
      g_autoptr (TdSite) site = bench_read_site (name);
      /* In these sites the second point of the curve stands at the least flow. */
      g_assert_cmpfloat (site->curve[1].flow_l_min, ==, site->min_flow_l_min);
      check_site (site, llround (site->curve[1].head_m * 1e6));
    }
}

static void
test_made_up (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);
  if (!bench_has_glpsol ())
    {
      g_test_skip ("glpsol is not installed");
      return;
    }
  for (guint i = 0; i < N_SITES; i++)
    {
      BenchShape shape = bench_make_shape (rand, 7);
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      g_autoptr (TdSite) site = td_site_from_json (sheet, NULL);
      check_site (site, llround (shape.capacity_m * 1e6));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/planner/glpsol/references", test_references);
  g_test_add_func ("/planner/glpsol/made-up", test_made_up);
  return g_test_run ();
}
