/* The planner against a search of another make on small sites: every subset of lines, every choice
 * of directions, every partition.  Shares nothing with the planner but the reader of sheets. */
#include "planner-bench.h"

#include <math.h>

#define MAX_LINES 9
#define N_SITES 2000
#define NO_CIRCUIT 255

typedef struct
{
  const TdSite *site;
  guint n;
  gint64 capacity_um;
  guint8 reversals[1 << MAX_LINES]; /* fewest of the set as one circuit */
  guint best[1 << MAX_LINES];       /* static * 10000 + circuits * 100 + reversals */
} Search;

/* Do the lines of the set hang together? Spreads from the first one. */
static gboolean
is_connected (const Search *search, guint set)
{
  guint reached = set & (0u - set), before = 0;
  while (reached != before)
    {
      before = reached;
      for (guint i = 0; i < search->n; i++)
        for (guint k = 0; k < search->n; k++)
          if ((reached >> i & 1) != 0 && (set >> k & 1) != 0
              && (search->site->lines[i].tower == search->site->lines[k].tower
                  || search->site->lines[i].cooler == search->site->lines[k].cooler))
            reached |= 1u << k;
    }
  return reached == set;
}

/* Reversals of the set with the lines of @ins running in, or NO_CIRCUIT. */
static guint8
try_directions (const Search *search, guint set, guint ins)
{
  int towers[3] = { 0 }, coolers[3] = { 0 };
  guint8 reversals = 0;
  for (guint i = 0; i < search->n; i++)
    {
      const TdLine *line = &search->site->lines[i];
      if ((set >> i & 1) == 0)
        continue;
      gboolean in = (ins >> i & 1) != 0;
      if (in && (line->check_valve || line->beer_pump == TD_BEER_PUMP_ONE_WAY))
        return NO_CIRCUIT;
      reversals += in && line->beer_pump == TD_BEER_PUMP_REVERSIBLE ? 1 : 0;
      towers[line->tower] += in ? 1 : -1;
      coolers[line->cooler] += in ? 1 : -1;
    }
  for (guint i = 0; i < 3; i++)
    if (towers[i] != 0 || coolers[i] != 0)
      return NO_CIRCUIT;
  return reversals;
}

static guint8
try_set (const Search *search, guint set)
{
  gint64 loss_um = 0;
  guint8 best = NO_CIRCUIT;
  for (guint i = 0; i < search->n; i++)
    if ((set >> i & 1) != 0)
      loss_um += llround (search->site->lines[i].head_loss_m * 1e6);
  if (loss_um > search->capacity_um || !is_connected (search, set))
    return NO_CIRCUIT;
  for (guint ins = set;; ins = (ins - 1) & set)
    {
      best = MIN (best, try_directions (search, set, ins));
      if (ins == 0)
        return best;
    }
}

/* The best of every set of lines, from the smaller to the larger: its first line is static or in a
 * circuit with some of the others. */
static guint
search_all (Search *search)
{
  for (guint set = 1; set < 1u << search->n; set++)
    search->reversals[set] = try_set (search, set);
  search->best[0] = 0;
  for (guint set = 1; set < 1u << search->n; set++)
    {
      guint first = set & (0u - set);
      search->best[set] = search->best[set ^ first] + 10000;
      for (guint part = set; part > 0; part = (part - 1) & set)
        if ((part & first) != 0 && search->reversals[part] != NO_CIRCUIT)
          search->best[set]
              = MIN (search->best[set], search->best[set ^ part] + 100 + search->reversals[part]);
    }
  return search->best[(1u << search->n) - 1];
}

static void
test_exhaustive (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20240611);
  g_autofree Search *search = g_new0 (Search, 1);
  guint n_static = 0, n_reversed = 0, n_many = 0;
  for (guint round = 0; round < N_SITES; round++)
    {
      g_autoptr (GError) error = NULL;
      BenchShape shape = bench_make_shape (rand, MAX_LINES);
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      g_autoptr (TdSite) site = td_site_from_json (sheet, &error);
      g_assert_no_error (error);
      g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);
      g_assert_no_error (error);
      bench_check_plan (site, plan);
      *search = (Search){ site, site->n_lines, llround (shape.capacity_m * 1e6), { 0 }, { 0 } };
      guint best = search_all (search), sides = site->n_outlets - site->n_lines;
      g_assert_true (plan->proven);
      g_assert_cmpuint (plan->n_statics, ==, best / 10000 + sides);
      g_assert_cmpuint (plan->n_circuits, ==, best / 100 % 100);
      g_assert_cmpuint (plan->reversals, ==, best % 100);
      n_static += best >= 10000 ? 1 : 0;
      n_many += best / 100 % 100 > 1 ? 1 : 0;
      n_reversed += best % 100 > 0 ? 1 : 0;
    }
  /* The sites are worth something: each objective is at stake in many of them. */
  g_assert_cmpuint (n_static, >, N_SITES / 10);
  g_assert_cmpuint (n_many, >, N_SITES / 10);
  g_assert_cmpuint (n_reversed, >, N_SITES / 10);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/planner/exhaustive", test_exhaustive);
  return g_test_run ();
}
