/* Ten sites with optima proven elsewhere (all feasible circuits enumerated, set partitioning solved
 * to gap 0 by HiGHS through scipy 1.10.1; the proof is named in each file), and shuffled sheets. */
#include "core-json-build.h"
#include "planner-bench.h"

static const char *const sites[] = { "h01_all_oneway",
                                     "h02_odd",
                                     "h03_4cycle",
                                     "h06_disconnected",
                                     "h09_join_at_tower",
                                     "r06a",
                                     "r08b",
                                     "r12a",
                                     "r16a",
                                     "r20a" };

static void
test_optimum (gconstpointer data)
{
  const char *name = data;
  g_autoptr (GError) error = NULL;
  g_autofree char *site_name = g_strconcat (name, ".site.json", NULL);
  g_autofree char *optimum_name = g_strconcat (name, ".optimum.json", NULL);
  g_autoptr (TdSite) site = bench_read_site (site_name);
  g_autoptr (TdJson) optimum = bench_read (optimum_name);
  g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);

  g_assert_no_error (error);
  bench_check_plan (site, plan);
  g_assert_cmpint (plan->n_statics, ==,
                   td_json_get_integer (td_json_get_member (optimum, "static")));
  g_assert_cmpint (plan->n_circuits, ==,
                   td_json_get_integer (td_json_get_member (optimum, "circuits")));
  g_assert_cmpint (plan->reversals, ==,
                   td_json_get_integer (td_json_get_member (optimum, "reversals")));
  g_assert_true (plan->proven);
  g_assert_cmpuint (plan->bound_static, ==, plan->n_statics);
  g_assert_cmpuint (plan->bound_circuits, ==, plan->n_circuits);
}

static char *
plan_text (const TdJson *sheet)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSite) site = td_site_from_json (sheet, &error);
  g_assert_no_error (error);
  g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (TdJson) json = td_plan_to_json (plan);
  return td_json_to_text (json, TRUE);
}

static void
check_shuffles (const TdJson *sheet, GRand *rand, guint n)
{
  g_autofree char *expected = plan_text (sheet);
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (TdJson) shuffled = bench_shuffle (sheet, rand);
      g_autofree char *text = plan_text (shuffled);
      g_assert_cmpstr (text, ==, expected);
    }
}

static void
test_shuffled_references (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);
  for (guint i = 0; i < G_N_ELEMENTS (sites); i++)
    {
      g_autofree char *name = g_strconcat (sites[i], ".site.json", NULL);
      g_autoptr (TdJson) sheet = bench_read (name);
      check_shuffles (sheet, rand, 20);
    }
}

static void
test_shuffled_random (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (2);
  for (guint i = 0; i < 150; i++)
    {
      BenchShape shape = bench_make_shape (rand, 24);
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      check_shuffles (sheet, rand, 2);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (sites); i++)
    {
      g_autofree char *path = g_strconcat ("/planner/optimum/", sites[i], NULL);
      g_test_add_data_func (path, sites[i], test_optimum);
    }
  g_test_add_func ("/planner/shuffled/references", test_shuffled_references);
  g_test_add_func ("/planner/shuffled/random", test_shuffled_random);
  return g_test_run ();
}
