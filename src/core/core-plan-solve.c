#include "core-plan-solve.h"

#include "core-plan-balance.h"
#include "core-plan-build.h"
#include "core-plan-columns.h"
#include "core-plan-match.h"
#include "core-plan-round.h"
#include "core-plan-weigh.h"

/* Steps for the first look at a question, before weights are made to cut by. */
#define FIRST_LOOK 100000
#define SECOND_LOOK 1500000
#define MAX_WEIGHTS 3
/* Steps of the programs behind weights from fractions. */
#define FRACTION_WORK 1200000000
/* The order of plans prefers circuits that use fewer tenths of the pump's head. */
#define TIERS 10

typedef struct
{
  const TdPlanPart *part;
  TdPlanSolution *solution;
  gboolean built; /* the fixed procedure has been asked */
  gboolean tried_fractions;
  TdPlanFractions *fractions;
  gint64 *budget;
} Work;

void
td_plan_solution_free (TdPlanSolution *solution)
{
  g_return_if_fail (solution != NULL);
  g_clear_pointer (&solution->packing, td_plan_packing_free);
  g_clear_pointer (&solution->weights, g_ptr_array_unref);
  g_free (solution);
}

static void
take (TdPlanSolution *solution, TdPlanPacking *packing)
{
  g_clear_pointer (&solution->packing, td_plan_packing_free);
  solution->packing = packing;
}

/* Searches with what is left of the budget, @share of it at most. */
static TdPlanAnswer
ask (Work *work, const TdPlanQuestion *question, gint64 share, TdPlanPacking **packing_out)
{
  gint64 given = MIN (share, *work->budget), left = given;
  TdPlanAnswer answer = td_plan_search (work->part, question, &left, packing_out);
  *work->budget -= given - left;
  return answer;
}

/* Asks the fixed procedure, once; TRUE where it has something better. */
static gboolean
try_building (Work *work)
{
  TdPlanSolution *solution = work->solution;
  if (work->built)
    return FALSE;
  work->built = TRUE;
  g_autoptr (TdPlanPacking) packing = td_plan_build (work->part);
  if (solution->packing != NULL && !td_plan_packing_is_better (packing, solution->packing))
    return FALSE;
  take (solution, g_steal_pointer (&packing));
  return TRUE;
}

/* Weights cost more than most searches, so they are made when a first look was not enough. */
static void
need_weights (Work *work)
{
  TdPlanSolution *solution = work->solution;
  if (solution->weights == NULL)
    solution->weights = td_plan_weigh_steps (work->part, solution->packing->n_statics, MAX_WEIGHTS);
}

/* ---- static lines ---- */

/* Every circuit splits into pairs between one tower and one cooler and into rings over several of both,
 * each of at least four lines and within the capacity.  Returns: lines that rings can hold at most: so
 * many of the lightest that there is a quarter of the capacity for each. */
static guint
count_crossing (const TdPlanPart *part)
{
  gint64 sum = 0;
  guint n = 0, most = 0;
  if (part->n_coolers == 1 || part->n_towers == 1)
    return 0;
  for (guint i = part->n_types; i > 0; i--)
    for (guint k = 0; k < part->types[i - 1].count; k++)
      {
        sum += part->types[i - 1].loss_um;
        n++;
        if (4 * sum <= n * part->capacity_um)
          most = n;
      }
  return most >= 4 ? most : 0;
}

static void
bound_statics (Work *work)
{
  const TdPlanPart *part = work->part;
  TdPlanSolution *solution = work->solution;
  guint paired = 0, most = 0; /* lines in pairs; static lines allowed */

  solution->proofs[0] = TD_PLAN_PROOF_BALANCE;
  /* The program's table grows with the static lines allowed, so they are allowed step by step. */
  while (most <= part->n_lines)
    {
      g_autofree int *least = g_new (int, most + 1);
      if (!td_plan_balance (part, most, least))
        break;
      while (solution->bounds[0] <= most && least[solution->bounds[0]] < 0)
        solution->bounds[0]++;
      if (solution->bounds[0] <= most)
        break;
      most = 2 * most + 2;
    }
  for (guint t = 0; t < part->n_towers; t++)
    for (guint c = 0; c < part->n_coolers; c++)
      paired += 2 * td_plan_match (part, t, c, NULL, NULL);
  guint apart = paired + count_crossing (part);
  if (part->n_lines > apart + solution->bounds[0])
    {
      solution->bounds[0] = part->n_lines - apart;
      solution->proofs[0] = TD_PLAN_PROOF_MATCHING;
    }
}

static gboolean
is_done (const TdPlanSolution *solution, guint statics)
{
  return solution->packing != NULL && solution->packing->n_statics <= statics;
}

/* The fewest static lines, however many circuits. */
static void
solve_statics (Work *work)
{
  const TdPlanPart *part = work->part;
  TdPlanSolution *solution = work->solution;
  gboolean complete = TRUE;
  bound_statics (work);
  for (guint statics = solution->bounds[0]; !is_done (solution, statics); statics++)
    {
      TdPlanPacking *packing = NULL;
      TdPlanQuestion question = { .statics = statics,
                                  .circuits = part->n_lines,
                                  .reversals = part->n_lines,
                                  .capacity_um = part->capacity_um,
                                  .elementary = part->splits };
      TdPlanAnswer answer = ask (work, &question, FIRST_LOOK, &packing);
      if (answer == TD_PLAN_UNKNOWN)
        {
          try_building (work);
          if (is_done (solution, statics))
            break;
          answer = ask (work, &question, *work->budget / 4, &packing);
        }
      if (answer == TD_PLAN_FOUND)
        take (solution, packing);
      complete &= answer != TD_PLAN_UNKNOWN;
      if (answer == TD_PLAN_NONE && complete)
        {
          solution->bounds[0] = statics + 1;
          solution->proofs[0] = TD_PLAN_PROOF_SEARCH;
        }
    }
}

/* ---- circuits ---- */

/* Raises the bound on circuits to what the weights show; those that show most come first. */
static void
raise_circuits (Work *work)
{
  TdPlanSolution *solution = work->solution;
  for (guint i = 0; i < solution->weights->len; i++)
    {
      const TdPlanWeights *weights = g_ptr_array_index (solution->weights, i);
      guint bound = td_plan_weigh_bound (work->part, solution->packing->n_statics, weights);
      if (bound <= solution->bounds[1])
        continue;
      solution->bounds[1] = bound;
      solution->proofs[1] = TD_PLAN_PROOF_WEIGHTS;
      g_ptr_array_insert (solution->weights, 0, g_ptr_array_steal_index (solution->weights, i));
    }
}

/* Looks for better weights in the prices of fractions; once. */
static void
try_fractions (Work *work)
{
  TdPlanSolution *solution = work->solution;
  gint64 steps = FRACTION_WORK;
  if (work->tried_fractions)
    return;
  work->tried_fractions = TRUE;
  work->fractions = td_plan_find_fractions (work->part, solution->packing->n_statics,
                                            solution->packing, &steps);
  if (work->fractions == NULL)
    return;
  GPtrArray *weights = work->fractions->weights;
  while (weights->len > 0)
    g_ptr_array_insert (solution->weights, 0, g_ptr_array_steal_index (weights, weights->len - 1));
  while (solution->weights->len > MAX_WEIGHTS + 1)
    g_ptr_array_remove_index (solution->weights, solution->weights->len - 1);
}

/* A plan with so many circuits from the fractions. */
static gboolean
try_rounding (Work *work, const TdPlanQuestion *question)
{
  gint64 given = *work->budget / 8, left = given;
  if (work->fractions == NULL)
    return FALSE;
  TdPlanPacking *packing = td_plan_round (work->part, work->fractions, question, &left);
  *work->budget -= given - left;
  if (packing == NULL)
    return FALSE;
  take (work->solution, packing);
  return TRUE;
}

/* Is there a plan with so many circuits and no more static lines than were found?  Goes from what
 * is cheap to what is not. */
static TdPlanAnswer
find_circuits (Work *work, guint circuits)
{
  const TdPlanPart *part = work->part;
  TdPlanSolution *solution = work->solution;
  TdPlanPacking *packing = NULL;
  TdPlanQuestion question = { .statics = solution->packing->n_statics,
                              .circuits = circuits,
                              .reversals = part->n_lines,
                              .capacity_um = part->capacity_um,
                              .weights = solution->weights };
  TdPlanAnswer answer = ask (work, &question, FIRST_LOOK, &packing);
  if (answer == TD_PLAN_UNKNOWN)
    {
      try_building (work);
      need_weights (work);
      raise_circuits (work);
      if (solution->bounds[1] > circuits || solution->packing->n_circuits <= circuits)
        return solution->bounds[1] > circuits ? TD_PLAN_NONE : TD_PLAN_FOUND;
      question.weights = solution->weights;
      answer = ask (work, &question, SECOND_LOOK, &packing);
    }
  if (answer == TD_PLAN_UNKNOWN)
    {
      try_fractions (work);
      raise_circuits (work);
      if (solution->bounds[1] > circuits)
        return TD_PLAN_NONE;
      if (try_rounding (work, &question))
        return TD_PLAN_FOUND;
      answer = ask (work, &question, *work->budget / 3, &packing);
    }
  if (answer == TD_PLAN_FOUND)
    take (solution, packing);
  return answer;
}

/* The fewest circuits with no more static lines than were found. */
static void
solve_circuits (Work *work)
{
  TdPlanSolution *solution = work->solution;
  gboolean complete = TRUE;

  solution->bounds[1] = td_plan_loss_bound (work->part, solution->packing->n_statics);
  solution->proofs[1] = TD_PLAN_PROOF_LOSS;
  for (guint circuits = solution->bounds[1]; circuits < solution->packing->n_circuits;
       circuits = MAX (circuits + 1, solution->bounds[1]))
    {
      TdPlanAnswer answer = find_circuits (work, circuits);
      if (answer == TD_PLAN_FOUND)
        break;
      complete &= answer == TD_PLAN_NONE;
      if (complete && solution->bounds[1] <= circuits)
        {
          solution->bounds[1] = circuits + 1;
          solution->proofs[1] = TD_PLAN_PROOF_SEARCH;
        }
    }
}

/* ---- reversals ---- */

/* The fewest reversals with no more static lines and circuits than were found. */
static void
solve_reversals (Work *work)
{
  const TdPlanPart *part = work->part;
  TdPlanSolution *solution = work->solution;
  guint statics = solution->packing->n_statics, circuits = solution->packing->n_circuits;
  gboolean complete = TRUE;
  g_autofree int *least = g_new (int, statics + 1);

  solution->proofs[2] = TD_PLAN_PROOF_BALANCE;
  if (td_plan_balance (part, statics, least))
    solution->bounds[2] = (guint)MAX (least[statics], 0);
  for (guint reversals = solution->bounds[2]; reversals < solution->packing->reversals; reversals++)
    {
      TdPlanPacking *packing = NULL;
      TdPlanQuestion question = { .statics = statics,
                                  .circuits = circuits,
                                  .reversals = reversals,
                                  .capacity_um = part->capacity_um,
                                  .weights = solution->weights };
      gint64 share = solution->weights == NULL ? FIRST_LOOK : *work->budget / 3;
      TdPlanAnswer answer = ask (work, &question, share, &packing);
      if (answer == TD_PLAN_FOUND)
        {
          take (solution, packing);
          break;
        }
      if (answer == TD_PLAN_UNKNOWN && solution->weights == NULL)
        {
          need_weights (work);
          reversals--;
          continue;
        }
      complete &= answer == TD_PLAN_NONE;
      if (complete)
        {
          solution->bounds[2] = reversals + 1;
          solution->proofs[2] = TD_PLAN_PROOF_SEARCH;
        }
    }
}

/* ---- the order among equals ---- */

/* Among plans as good, the one that uses the fewest tenths of the pump's head, then the first in
 * the order of the search. */
static void
settle (Work *work)
{
  const TdPlanPart *part = work->part;
  TdPlanSolution *solution = work->solution;
  guint low = 1, high = TIERS;
  while (low <= high)
    {
      const TdPlanPacking *best = solution->packing;
      guint tier = (low + high) / 2;
      TdPlanPacking *packing = NULL;
      TdPlanQuestion question = { .statics = best->n_statics,
                                  .circuits = best->n_circuits,
                                  .reversals = best->reversals,
                                  .capacity_um = part->capacity_um / TIERS * tier
                                                 + part->capacity_um % TIERS * tier / TIERS,
                                  .weights = solution->weights };
      TdPlanAnswer answer = ask (work, &question, FIRST_LOOK, &packing);
      if (answer == TD_PLAN_FOUND)
        {
          take (solution, packing);
          solution->tier = tier;
          high = tier - 1;
        }
      else
        low = tier + 1;
    }
}

TdPlanSolution *
td_plan_solve (const TdPlanPart *part, gint64 *budget)
{
  g_return_val_if_fail (part != NULL && budget != NULL, NULL);
  TdPlanSolution *solution = g_new0 (TdPlanSolution, 1);
  Work work = { part, solution, FALSE, FALSE, NULL, budget };

  solve_statics (&work);
  solve_circuits (&work);
  solve_reversals (&work);
  settle (&work);
  g_clear_pointer (&work.fractions, td_plan_fractions_free);
  return solution;
}

guint
td_plan_solve_statics (const TdPlanPart *part, gint64 *budget, gboolean *known_out)
{
  g_return_val_if_fail (part != NULL && budget != NULL && known_out != NULL, 0);
  g_autoptr (TdPlanSolution) solution = g_new0 (TdPlanSolution, 1);
  Work work = { part, solution, FALSE, FALSE, NULL, budget };
  TdPlanAnswer answer = TD_PLAN_NONE;

  bound_statics (&work);
  *known_out = TRUE;
  /* With one cooler the pairs of a greatest matching are circuits themselves. */
  if (part->splits && part->n_coolers == 1)
    return solution->bounds[0];
  for (; answer == TD_PLAN_NONE; solution->bounds[0]++)
    {
      TdPlanQuestion question = { .statics = solution->bounds[0],
                                  .circuits = part->n_lines,
                                  .reversals = part->n_lines,
                                  .capacity_um = part->capacity_um,
                                  .elementary = part->splits };
      answer = ask (&work, &question, FIRST_LOOK, NULL);
      if (answer != TD_PLAN_NONE)
        break;
    }
  *known_out = answer == TD_PLAN_FOUND;
  return solution->bounds[0];
}
