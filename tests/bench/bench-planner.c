/* The planner's time: beside glpsol on the same sites, on 24 lines, on 200 lines in one cold room.
 * usage: bench-planner   (run by meson test --benchmark, which sets where the data lies) */
#include "planner-bench.h"

#include <math.h>

#define N_SMALL 300
#define N_LARGE 10

/* Circuits and static lines beyond what is proven to be needed, over all sites timed so far. */
static guint gap_circuits, gap_statics;

static double
time_plan (const TdSite *site, guint times, gboolean *proven_out)
{
  gint64 begun_us = bench_get_cpu_us (FALSE);
  for (guint i = 0; i < times; i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);
      g_assert_no_error (error);
      *proven_out = plan->proven;
      gap_circuits += plan->n_circuits - MIN (plan->n_circuits, plan->bound_circuits);
      gap_statics += plan->n_statics - plan->bound_static;
    }
  return (double)(bench_get_cpu_us (FALSE) - begun_us) / times / 1000.0;
}

/* Returns how many times as long glpsol takes. */
static double
race (const char *name, const TdSite *site, gint64 capacity_um)
{
  BenchOptimum optimum;
  gboolean proven;
  double planner_ms = time_plan (site, 50, &proven);
  bench_run_glpsol (site, capacity_um, &optimum);
  double glpsol_ms = (double)optimum.took_us / 1000.0;
  g_print ("%-20s %2u lines  planner %8.3f ms  glpsol %10.1f ms  ratio %8.0f\n", name, site->n_lines,
           planner_ms, glpsol_ms, glpsol_ms / planner_ms);
  return glpsol_ms / planner_ms;
}

static void
race_glpsol (void)
{
  static const char *const names[] = { "h03_4cycle", "h09_join_at_tower", "r06a", "r08b", "r12a" };
  g_autoptr (GRand) rand = g_rand_new_with_seed (11);
  double logs = 0.0;
  guint n = 0;
  for (guint i = 0; i < G_N_ELEMENTS (names); i++, n++)
    {
      g_autofree char *file = g_strconcat (names[i], ".site.json", NULL);
      g_autoptr (TdSite) site = bench_read_site (file);
      logs += log (race (names[i], site, llround (site->curve[1].head_m * 1e6)));
    }
  for (guint i = 0; i < 10; i++, n++)
    {
      BenchShape shape = bench_make_shape (rand, 8);
      shape.n_lines = 8;
      g_autofree char *name = g_strdup_printf ("made up %u", i + 1);
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      g_autoptr (TdSite) site = td_site_from_json (sheet, NULL);
      logs += log (race (name, site, llround (shape.capacity_m * 1e6)));
    }
  g_print ("glpsol takes %.0f times as long (geometric mean over %u sites)\n", exp (logs / n), n);
}

static int
compare_times (gconstpointer a, gconstpointer b)
{
  double x = *(const double *)a, y = *(const double *)b;
  return x < y ? -1 : x > y ? 1 : 0;
}

static void
time_many (const char *what, guint n_lines, guint n_coolers, guint n)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (12);
  g_autofree double *times = g_new (double, n);
  guint n_proven = 0;
  gap_circuits = gap_statics = 0;
  for (guint i = 0; i < n; i++)
    {
      gboolean proven;
      BenchShape shape = bench_make_shape (rand, 24);
      shape.n_lines = n_lines;
      shape.n_coolers = n_coolers > 0 ? n_coolers : shape.n_coolers;
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      g_autoptr (TdSite) site = td_site_from_json (sheet, NULL);
      times[i] = time_plan (site, 1, &proven);
      n_proven += proven ? 1 : 0;
    }
  qsort (times, n, sizeof (double), compare_times);
  g_print ("%s: %u sites, median %.1f ms, nine in ten within %.1f ms, worst %.1f ms, %u proven; in all %u static "
           "lines and %u circuits above the bounds\n",
           what, n, times[n / 2], times[n * 9 / 10], times[n - 1], n_proven, gap_statics, gap_circuits);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  if (bench_has_glpsol ())
    race_glpsol ();
  time_many ("24 lines", 24, 0, N_SMALL);
  time_many ("200 lines, one cold room", 200, 1, N_LARGE);
  time_many ("60 lines, two cold rooms", 60, 2, N_LARGE);
  time_many ("200 lines, two cold rooms", 200, 2, N_LARGE);
  return 0;
}
