/* The planner's tools, each against trying everything: matchings, balance, heaviest circuits,
 * weights, fractions, the linear program, the table of states. */
#include <math.h>
#include <string.h>

#include "core-plan-balance.h"
#include "core-plan-build.h"
#include "core-plan-heaviest.h"
#include "core-plan-match.h"
#include "core-plan-memo.h"
#include "core-plan-round.h"
#include "core-plan-simplex.h"
#include "core-plan-solve.h"
#include "core-plan-weigh.h"
#include "planner-bench.h"

/* A made-up site taken apart, with what the parts need. */
typedef struct
{
  TdSite *site;
  TdLegModel *model;
  TdPlanProblem *problem;
  GPtrArray *parts;
  GArray *alone;
} Apart;

static void
take_apart (Apart *apart, GRand *rand, guint max_lines)
{
  g_autoptr (GError) error = NULL;
  BenchShape shape = bench_make_shape (rand, max_lines);
  g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
  apart->site = td_site_from_json (sheet, &error);
  g_assert_no_error (error);
  apart->model = td_leg_model_new (apart->site, NULL, &error);
  g_assert_no_error (error);
  apart->problem = td_plan_problem_new (apart->site, apart->model, NULL, &error);
  g_assert_no_error (error);
  apart->parts = td_plan_parts_new (apart->problem, &apart->alone);
}

static void
clear_apart (Apart *apart)
{
  g_ptr_array_unref (apart->parts);
  g_array_unref (apart->alone);
  td_plan_problem_free (apart->problem);
  td_leg_model_unref (apart->model);
  td_site_unref (apart->site);
}

/* The lines of a part, one by one. */
static guint
list_lines (const TdPlanPart *part, guint *types_out)
{
  guint n = 0;
  for (guint i = 0; i < part->n_types; i++)
    for (guint k = 0; k < part->types[i].count; k++)
      types_out[n++] = i;
  return n;
}

/* ---- matchings ---- */

static gboolean
is_pair (const TdPlanPart *part, guint a, guint b)
{
  return part->types[a].loss_um + part->types[b].loss_um <= part->capacity_um
         && (part->types[a].kind != TD_PLAN_OUT_ONLY || part->types[b].kind != TD_PLAN_OUT_ONLY);
}

/* The most pairs of the lines at one cell: the first line left alone, or with each of the others.
 */
static guint
match_by_trying (const TdPlanPart *part, const guint *types, guint n, guint used)
{
  guint first = 0;
  while (first < n && (used >> first & 1) != 0)
    first++;
  if (first >= n)
    return 0;
  guint best = match_by_trying (part, types, n, used | 1u << first);
  for (guint other = first + 1; other < n; other++)
    if ((used >> other & 1) == 0 && is_pair (part, types[first], types[other]))
      best = MAX (best, 1 + match_by_trying (part, types, n, used | 1u << first | 1u << other));
  return best;
}

/* Odd pieces of the lines without the removed ones. */
static guint
count_odd (const TdPlanPart *part, const guint *types, guint n, guint removed)
{
  guint seen = removed, odd = 0;
  for (guint i = 0; i < n; i++)
    {
      guint piece = 1u << i, before = 0;
      if ((seen >> i & 1) != 0)
        continue;
      while (piece != before)
        {
          before = piece;
          for (guint a = 0; a < n; a++)
            for (guint b = 0; b < n; b++)
              if ((piece >> a & 1) != 0 && (removed >> b & 1) == 0 && a != b
                  && is_pair (part, types[a], types[b]))
                piece |= 1u << b;
        }
      seen |= piece;
      odd += (guint)__builtin_popcount (piece) % 2;
    }
  return odd;
}

static void
check_cell (const Apart *apart, const TdPlanPart *part, guint tower, guint cooler)
{
  guint types[32], n = 0, all = list_lines (part, types), removed = 0;
  g_autoptr (GArray) witness = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autofree TdPlanCount *used = g_new0 (TdPlanCount, part->n_types + 1);
  g_autofree TdPlanCount *ins = g_new0 (TdPlanCount, part->n_types + 1);
  for (guint i = 0; i < all; i++)
    if (part->types[types[i]].tower == tower && part->types[types[i]].cooler == cooler)
      types[n++] = types[i];
  guint pairs = td_plan_match (part, tower, cooler, used, ins);
  g_assert_cmpuint (pairs, ==, match_by_trying (part, types, n, 0));

  guint n_used = 0, n_ins = 0;
  for (guint i = 0; i < part->n_types; i++)
    {
      g_assert_cmpuint (ins[i], <=, used[i]);
      g_assert_true (ins[i] == 0 || part->types[i].kind != TD_PLAN_OUT_ONLY);
      n_used += used[i];
      n_ins += ins[i];
    }
  g_assert_cmpuint (n_used, ==, 2 * pairs);
  g_assert_cmpuint (n_ins, ==, pairs);

  td_plan_match_witness (part, tower, cooler, witness);
  for (guint i = 0; i < n; i++)
    {
      guint same = i > 0 && types[i - 1] == types[i] ? 1 : 0;
      for (guint k = 0; k < witness->len; k++)
        if (g_array_index (witness, guint, k) == part->types[types[i]].lines[0])
          removed |= 1u << i;
      removed |= same != 0 && (removed >> (i - 1) & 1) != 0 ? 1u << i : 0;
    }
  g_assert_cmpuint ((guint)__builtin_popcount (removed), ==, witness->len);
  g_assert_cmpuint (n - 2 * pairs, ==, count_odd (part, types, n, removed) - witness->len);
}

static void
test_match (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (31);
  for (guint round = 0; round < 400; round++)
    {
      Apart apart;
      take_apart (&apart, rand, 11);
      for (guint i = 0; i < apart.parts->len; i++)
        {
          const TdPlanPart *part = g_ptr_array_index (apart.parts, i);
          for (guint t = 0; t < part->n_towers; t++)
            for (guint c = 0; c < part->n_coolers; c++)
              check_cell (&apart, part, t, c);
        }
      clear_apart (&apart);
    }
}

/* ---- balance and heaviest circuits, by every way to run every line ---- */

typedef struct
{
  const TdPlanPart *part;
  const gint64 *weights;
  guint types[16];
  guint n;
  int surplus[8]; /* towers, then coolers */
  int least[17];  /* reversals by static lines */
  gint64 heaviest;
} Trying;

static void
try_all (Trying *trying, guint at, guint statics, int reversals, gint64 loss, gint64 weight)
{
  const TdPlanPart *part = trying->part;
  guint n_nodes = part->n_towers + part->n_coolers;
  if (at == trying->n)
    {
      for (guint i = 0; i < n_nodes; i++)
        if (trying->surplus[i] != 0)
          return;
      if (trying->least[statics] < 0 || reversals < trying->least[statics])
        trying->least[statics] = reversals;
      if (loss <= part->capacity_um)
        trying->heaviest = MAX (trying->heaviest, weight);
      return;
    }
  const TdPlanType *type = &part->types[trying->types[at]];
  try_all (trying, at + 1, statics + 1, reversals, loss, weight);
  for (int step = -1; step <= (type->kind == TD_PLAN_OUT_ONLY ? -1 : 1); step += 2)
    {
      trying->surplus[type->tower] += step;
      trying->surplus[part->n_towers + type->cooler] += step;
      try_all (trying, at + 1, statics,
               reversals + (step > 0 && type->kind == TD_PLAN_REVERSIBLE ? 1 : 0),
               loss + type->loss_um, weight + trying->weights[trying->types[at]]);
      trying->surplus[type->tower] -= step;
      trying->surplus[part->n_towers + type->cooler] -= step;
    }
}

static void
check_balance (const TdPlanPart *part, const Trying *trying)
{
  int least[17], so_far = -1;
  g_autofree TdPlanShare *shares = g_new0 (TdPlanShare, part->n_towers * part->n_coolers);
  guint statics = 0, fewest = 0;
  g_assert_true (td_plan_balance (part, trying->n, least));
  for (guint s = 0; s <= trying->n; s++)
    {
      if (trying->least[s] >= 0 && (so_far < 0 || trying->least[s] < so_far))
        so_far = trying->least[s];
      g_assert_cmpint (least[s], ==, so_far);
    }
  while (trying->least[fewest] < 0)
    fewest++;
  g_assert_true (td_plan_balance_share (part, trying->n, shares));
  for (guint i = 0; i < part->n_towers * part->n_coolers; i++)
    statics += shares[i].statics;
  g_assert_cmpuint (statics, ==, fewest);
}

static void
check_heaviest (const TdPlanPart *part, const Trying *trying)
{
  g_autofree TdPlanCount *counts = g_new0 (TdPlanCount, part->n_types);
  gboolean exact;
  gint64 weight = 0, loss = 0;
  TdPlanScale scale = { .out_weights = trying->weights,
                        .in_weights = trying->weights,
                        .must = -1,
                        .capacity_um = part->capacity_um };
  gint64 found = td_plan_find_heaviest (part, &scale, counts, NULL, &exact);
  g_assert_true (exact);
  g_assert_cmpint (found, ==, trying->heaviest);
  for (guint i = 0; i < part->n_types; i++)
    {
      g_assert_cmpuint (counts[i], <=, part->types[i].count);
      weight += counts[i] * trying->weights[i];
      loss += counts[i] * part->types[i].loss_um;
    }
  g_assert_cmpint (weight, ==, found);
  g_assert_cmpint (loss, <=, part->capacity_um);
  g_assert_cmpint (td_plan_count_work (part, &scale), >, 0);
}

static void
test_tried (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (32);
  for (guint round = 0; round < 300; round++)
    {
      Apart apart;
      take_apart (&apart, rand, 8);
      for (guint i = 0; i < apart.parts->len; i++)
        {
          const TdPlanPart *part = g_ptr_array_index (apart.parts, i);
          g_autofree gint64 *weights = g_new (gint64, part->n_types + 1);
          Trying trying = { .part = part, .weights = weights };
          for (guint k = 0; k < part->n_types; k++)
            weights[k] = g_rand_int_range (rand, 0, 40);
          memset (trying.least, -1, sizeof trying.least);
          trying.n = list_lines (part, trying.types);
          try_all (&trying, 0, 0, 0, 0, 0);
          check_balance (part, &trying);
          check_heaviest (part, &trying);
        }
      clear_apart (&apart);
    }
}

/* ---- bounds and plans made of fractions ---- */

static void
check_weights (const TdPlanPart *part, const TdPlanPacking *best, const GPtrArray *weights)
{
  for (guint i = 0; i < weights->len; i++)
    {
      const TdPlanWeights *these = g_ptr_array_index (weights, i);
      g_assert_cmpuint (td_plan_weigh_bound (part, best->n_statics, these), <=, best->n_circuits);
      for (guint c = 0; c < best->n_circuits; c++)
        {
          gint64 weight = 0;
          for (guint k = 0; k < part->n_types; k++)
            weight += best->circuits[c * part->n_types + k] * these->weights[k];
          g_assert_cmpint (weight, <=, these->most);
        }
    }
}

/* Circuits of the packing are circuits, and no line stands in it twice. */
static void
check_packing (const TdPlanPart *part, const TdPlanPacking *packing)
{
  guint reversals = 0;
  for (guint c = 0; c < packing->n_circuits; c++)
    {
      int needs = td_plan_part_orient (part, packing->circuits + c * part->n_types);
      g_assert_cmpint (needs, >=, 0);
      g_assert_true (td_plan_part_fits (part, packing->circuits + c * part->n_types));
      reversals += (guint)needs;
    }
  g_assert_cmpuint (packing->reversals, ==, reversals);
  for (guint i = 0; i < part->n_types; i++)
    {
      guint n = packing->statics[i];
      for (guint c = 0; c < packing->n_circuits; c++)
        n += packing->circuits[c * part->n_types + i];
      g_assert_cmpuint (n, ==, part->types[i].count);
    }
}

static void
check_part (const TdPlanPart *part, guint *n_rounded)
{
  gint64 budget = TD_PLAN_BUDGET, work = 200000000, rounding = 1000000;
  g_autoptr (TdPlanSolution) solution = td_plan_solve (part, &budget);
  const TdPlanPacking *best = solution->packing;
  g_autoptr (TdPlanPacking) built = td_plan_build (part);
  g_autoptr (GPtrArray) steps = td_plan_weigh_steps (part, best->n_statics, 4);
  g_autoptr (TdPlanFractions) fractions
      = td_plan_find_fractions (part, best->n_statics, built, &work);
  TdPlanQuestion question = { .statics = best->n_statics,
                              .circuits = best->n_circuits + 1,
                              .reversals = part->n_lines,
                              .capacity_um = part->capacity_um };
  double sum = 0.0;

  check_packing (part, best);
  check_packing (part, built);
  g_assert_false (td_plan_packing_is_better (built, best));
  g_assert_cmpuint (td_plan_loss_bound (part, best->n_statics), <=, best->n_circuits);
  check_weights (part, best, steps);
  check_weights (part, best, fractions->weights);
  for (guint i = 0; i < fractions->n_circuits; i++)
    sum += fractions->amounts[i];
  g_assert_cmpfloat (sum, <=, best->n_circuits + 0.1);
  g_autoptr (TdPlanPacking) rounded = td_plan_round (part, fractions, &question, &rounding);
  if (rounded == NULL)
    return;
  check_packing (part, rounded);
  g_assert_cmpuint (rounded->n_statics, <=, best->n_statics);
  g_assert_cmpuint (rounded->n_circuits, <=, best->n_circuits + 1);
  (*n_rounded)++;
}

static void
test_weights (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (33);
  guint n_parts = 0, n_rounded = 0;
  for (guint round = 0; round < 120; round++)
    {
      Apart apart;
      take_apart (&apart, rand, 16);
      for (guint i = 0; i < apart.parts->len; i++, n_parts++)
        check_part (g_ptr_array_index (apart.parts, i), &n_rounded);
      clear_apart (&apart);
    }
  g_assert_cmpuint (n_parts, >, 100);
  g_assert_cmpuint (n_rounded, >, n_parts * 9 / 10);
}

/* ---- tools ---- */

/* Minimise x + y with x + 2 y >= 4, 3 x + y >= 6: 2.8 at x = 1.6, y = 1.2, prices 0.4 and 0.2. */
static void
test_simplex (void)
{
  double right[] = { 4.0, 6.0 }, costs[] = { 10.0, 10.0 };
  double columns[4][2] = { { 1.0, 3.0 }, { 2.0, 1.0 }, { -1.0, 0.0 }, { 0.0, -1.0 } };
  double column_costs[] = { 1.0, 1.0, 0.0, 0.0 };
  g_autoptr (TdSimplex) simplex = td_simplex_new (2, right, costs);
  for (gboolean changed = TRUE; changed;)
    {
      changed = FALSE;
      for (int k = 0; k < 4 && !changed; k++)
        {
          const double *prices = td_simplex_get_prices (simplex);
          double price = prices[0] * columns[k][0] + prices[1] * columns[k][1];
          if (column_costs[k] < price - 1e-9)
            changed = td_simplex_enter (simplex, columns[k], column_costs[k], k);
        }
    }
  g_assert_cmpfloat_with_epsilon (td_simplex_get_sum (simplex), 2.8, 1e-9);
  g_assert_cmpfloat_with_epsilon (td_simplex_get_prices (simplex)[0], 0.4, 1e-9);
  g_assert_cmpfloat_with_epsilon (td_simplex_get_prices (simplex)[1], 0.2, 1e-9);
  for (guint row = 0; row < 2; row++)
    {
      double value;
      int name = td_simplex_get_basic (simplex, row, &value);
      g_assert_cmpfloat_with_epsilon (value, name == 0 ? 1.6 : 1.2, 1e-9);
    }
}

static void
test_memo (void)
{
  g_autoptr (TdPlanMemo) memo = td_plan_memo_new (sizeof (guint), 3000);
  for (guint i = 0; i < 5000; i++)
    {
      guint key = i * 2654435761u;
      g_assert_cmpint (td_plan_memo_get (memo, &key), ==, -1);
      td_plan_memo_put (memo, &key, (int)i % 7);
      td_plan_memo_put (memo, &key, (int)i % 5);
    }
  for (guint i = 0; i < 5000; i++)
    {
      guint key = i * 2654435761u;
      int expected = i < 3000 ? (int)MAX (i % 7, i % 5) : -1;
      g_assert_cmpint (td_plan_memo_get (memo, &key), ==, expected);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/planner/bounds/match", test_match);
  g_test_add_func ("/planner/bounds/tried", test_tried);
  g_test_add_func ("/planner/bounds/weights", test_weights);
  g_test_add_func ("/planner/bounds/simplex", test_simplex);
  g_test_add_func ("/planner/bounds/memo", test_memo);
  return g_test_run ();
}
