#include "core-plan-make.h"

#include <string.h>

#include "core-error.h"
#include "core-plan-certify.h"
#include "core-plan-check.h"
#include "core-plan-figures.h"
#include "core-plan-part.h"
#include "core-plan-route.h"
#include "core-plan-solve.h"
#include "core-plan-time.h"
#include "core-plan-why.h"

/* A circuit on its way into the plan. */
typedef struct
{
  guint *lines;
  guint n_lines;
  guint station;
  guint station_place; /* of the station in the order of ids */
  guint first;         /* least rank of its lines */
} Loop;

typedef struct
{
  const TdSite *site;
  const TdLegModel *model;
  const TdPlanProblem *problem;
  const TdPlanPins *pins;
  TdPlan *plan;
  guint *rank;    /* by line: by number, then by id */
  GArray *loops;  /* Loop */
  gboolean *held; /* by line: static */
} Make;

static void
clear_loop (gpointer data)
{
  g_free (((Loop *)data)->lines);
}

/* ---- order of lines and circuits ---- */

static int
compare_lines (gconstpointer a, gconstpointer b, gpointer data)
{
  const TdSite *site = data;
  const TdLine *x = &site->lines[*(const guint *)a], *y = &site->lines[*(const guint *)b];
  /* Lines without a number come last. */
  guint i = x->number > 0 ? (guint)x->number : G_MAXUINT;
  guint j = y->number > 0 ? (guint)y->number : G_MAXUINT;
  if (i != j)
    return i < j ? -1 : 1;
  return strcmp (x->id, y->id);
}

static guint *
rank_lines (const TdSite *site)
{
  g_autofree guint *order = g_new (guint, site->n_lines + 1);
  guint *rank = g_new (guint, site->n_lines + 1);
  for (guint i = 0; i < site->n_lines; i++)
    order[i] = i;
  g_qsort_with_data (order, (int)site->n_lines, sizeof (guint), compare_lines, (gpointer)site);
  for (guint i = 0; i < site->n_lines; i++)
    rank[order[i]] = i;
  return rank;
}

static int
compare_loops (gconstpointer a, gconstpointer b)
{
  const Loop *x = a, *y = b;
  if (x->station_place != y->station_place)
    return x->station_place < y->station_place ? -1 : 1;
  return x->first < y->first ? -1 : x->first > y->first ? 1 : 0;
}

/* Takes over @lines. */
static void
add_loop (Make *make, guint *lines, guint n_lines)
{
  const TdPlanProblem *problem = make->problem;
  Loop loop = { lines, n_lines, 0, 0, G_MAXUINT };
  TdPlanFit fit;

  td_plan_problem_fit (problem, lines, n_lines, &fit);
  g_assert (fit.flow_fits && fit.station >= 0);
  loop.station = (guint)fit.station;
  while (problem->node_order[loop.station_place] != loop.station)
    loop.station_place++;
  for (guint i = 0; i < n_lines; i++)
    loop.first = MIN (loop.first, make->rank[lines[i]]);
  g_array_append_val (make->loops, loop);
}

/* ---- from counts of types to lines ---- */

/* Lines of a type go to the circuits in their order, and what is left is static. */
static void
add_packing (Make *make, const TdPlanPart *part, const TdPlanPacking *packing)
{
  g_autofree guint *dealt = g_new0 (guint, part->n_types + 1);
  for (guint c = 0; c < packing->n_circuits; c++)
    {
      const TdPlanCount *counts = packing->circuits + (gsize)c * part->n_types;
      guint *lines = g_new (guint, part->n_lines);
      guint n = 0;
      for (guint i = 0; i < part->n_types; i++)
        for (guint k = 0; k < counts[i]; k++)
          lines[n++] = part->types[i].lines[dealt[i]++];
      add_loop (make, lines, n);
    }
  for (guint i = 0; i < part->n_types; i++)
    for (guint k = dealt[i]; k < part->types[i].count; k++)
      make->held[part->types[i].lines[k]] = TRUE;
}

static void
solve_parts (Make *make)
{
  g_autoptr (GArray) alone = NULL;
  g_autoptr (GPtrArray) parts = td_plan_parts_new (make->problem, &alone);
  g_autoptr (GPtrArray) solutions
      = g_ptr_array_new_with_free_func ((GDestroyNotify)td_plan_solution_free);
  gint64 budget = TD_PLAN_BUDGET;
  TdPlan *plan = make->plan;

  plan->proven = TRUE;
  plan->bound_static = alone->len;
  plan->bound_circuits = make->problem->n_fixed;
  for (guint i = 0; i < alone->len; i++)
    make->held[g_array_index (alone, guint, i)] = TRUE;
  for (guint i = 0; i < parts->len; i++)
    {
      const TdPlanPart *part = g_ptr_array_index (parts, i);
      TdPlanSolution *solution = td_plan_solve (part, &budget);
      g_ptr_array_add (solutions, solution);
      add_packing (make, part, solution->packing);
      plan->bound_static += solution->bounds[0];
      plan->bound_circuits += solution->bounds[1];
      plan->proven &= solution->packing->n_statics == solution->bounds[0]
                      && solution->packing->n_circuits == solution->bounds[1]
                      && solution->packing->reversals == solution->bounds[2];
    }
  plan->certificate
      = td_plan_certify (make->site, make->model, make->problem, make->pins, alone, parts, solutions);
  for (guint i = 0; i < make->problem->n_fixed; i++)
    add_loop (make, g_memdup2 (make->problem->fixed[i], make->problem->fixed_n[i] * sizeof (guint)),
              make->problem->fixed_n[i]);
  for (guint i = 0; i < make->problem->n_lines; i++)
    if (make->problem->lines[i].status == TD_PLAN_STATIC)
      {
        make->held[i] = TRUE;
        plan->bound_static++;
      }
}

/* ---- writing the plan ---- */

static void
write_circuit (Make *make, const Loop *loop, TdPlanCircuit *circuit, guint number)
{
  const TdSite *site = make->site;
  g_autofree TdPlanStep *steps = g_new (TdPlanStep, loop->n_lines);

  td_plan_route (make->problem, loop->lines, loop->n_lines, loop->station, make->rank, steps);
  circuit->number = number;
  circuit->at_cooler = loop->station >= site->n_towers;
  circuit->station = g_strdup (circuit->at_cooler ? site->coolers[loop->station - site->n_towers].id
                                                  : site->towers[loop->station].id);
  circuit->n_legs = loop->n_lines;
  circuit->legs = g_new0 (TdPlanLeg, loop->n_lines);
  for (guint i = 0; i < loop->n_lines; i++)
    {
      circuit->legs[i].line = g_strdup (site->lines[steps[i].line].id);
      circuit->legs[i].runs_in = steps[i].runs_in;
      circuit->legs[i].reversal = steps[i].reversal;
      make->plan->reversals += steps[i].reversal ? 1 : 0;
    }
}

static void
write_circuits (Make *make)
{
  TdPlan *plan = make->plan;
  g_array_sort (make->loops, compare_loops);
  plan->n_circuits = make->loops->len;
  plan->circuits = g_new0 (TdPlanCircuit, plan->n_circuits + 1);
  for (guint i = 0; i < plan->n_circuits; i++)
    write_circuit (make, &g_array_index (make->loops, Loop, i), &plan->circuits[i], i + 1);
}

/* The first circuit that touches the cooler; 0 where none does. */
static guint
find_feed (const Make *make, guint cooler)
{
  for (guint c = 0; c < make->loops->len; c++)
    {
      const Loop *loop = &g_array_index (make->loops, Loop, c);
      for (guint i = 0; i < loop->n_lines; i++)
        if (make->problem->lines[loop->lines[i]].cooler == cooler)
          return c + 1;
    }
  return 0;
}

static int
compare_statics (gconstpointer a, gconstpointer b)
{
  return strcmp (((const TdPlanStatic *)a)->line, ((const TdPlanStatic *)b)->line);
}

static int
compare_texts (gconstpointer a, gconstpointer b)
{
  return strcmp (*(char *const *)a, *(char *const *)b);
}

static void
write_statics (Make *make)
{
  const TdSite *site = make->site;
  TdPlan *plan = make->plan;
  guint n_left_out = 0;

  plan->statics = g_new0 (TdPlanStatic, site->n_outlets + 1);
  plan->left_out = g_renew (char *, plan->left_out, site->n_outlets + 1);
  for (guint i = 0; i < site->n_outlets; i++)
    {
      const TdOutlet *outlet = &site->outlets[i];
      if (make->problem->left_out[i])
        plan->left_out[n_left_out++] = g_strdup (outlet->id);
      else if (outlet->side >= 0 || make->held[outlet->line])
        {
          TdPlanStatic *still = &plan->statics[plan->n_statics++];
          still->line = g_strdup (outlet->id);
          still->cooler = g_strdup (site->coolers[outlet->cooler].id);
          still->fed_by = find_feed (make, outlet->cooler);
          /* A side faucet can only be held static, whatever the plan. */
          plan->bound_static += outlet->side >= 0 ? 1 : 0;
        }
    }
  plan->left_out[n_left_out] = NULL;
  qsort (plan->statics, plan->n_statics, sizeof (TdPlanStatic), compare_statics);
  qsort (plan->left_out, n_left_out, sizeof (char *), compare_texts);
}

/* What is not shown, in words, and how far from the best the plan can be. */
static void
write_gap (TdPlan *plan)
{
  guint statics = plan->n_statics - plan->bound_static;
  guint circuits = plan->n_circuits - MIN (plan->n_circuits, plan->bound_circuits);
  if (plan->proven)
    return;
  if (statics > 0)
    plan->gap = g_strdup_printf (
        "It is not proven that this plan is the best: %u of its faucets are static, and no plan has "
        "fewer than %u; at most %u could be saved.",
        plan->n_statics, plan->bound_static, statics);
  else if (circuits > 0)
    plan->gap = g_strdup_printf (
        "No plan has fewer static faucets. It is not proven that none has fewer circuits: this one has "
        "%u, and none has fewer than %u; at most %u could be saved.",
        plan->n_circuits, plan->bound_circuits, circuits);
  else
    plan->gap = g_strdup_printf (
        "No plan has fewer static faucets or fewer circuits. It is not proven that %u is the least number "
        "of levers to be set.",
        plan->reversals);
}

/* ---- pins ---- */

static gboolean
check_fixed (const TdPlanProblem *problem, const TdSite *site, GError **error)
{
  for (guint i = 0; i < problem->n_fixed; i++)
    {
      g_autoptr (GPtrArray) faults
          = td_plan_problem_check_lines (problem, site, problem->fixed[i], problem->fixed_n[i]);
      if (faults->len == 0)
        continue;
      const TdPlanFault *fault = g_ptr_array_index (faults, 0);
      g_set_error (error, TD_ERROR, TD_ERROR_INFEASIBLE, "pin %s cannot be kept: %s",
                   problem->fixed_pins[i]->text, fault->text);
      return FALSE;
    }
  return TRUE;
}

TdPlan *
td_plan_make (const TdSite *site, const TdPlanPins *pins, GError **error)
{
  return td_plan_make_with (site, NULL, pins, error);
}

TdPlan *
td_plan_make_with (const TdSite *site,
                   const TdSettings *settings,
                   const TdPlanPins *pins,
                   GError **error)
{
  g_return_val_if_fail (site != NULL, NULL);
  g_autoptr (TdLegModel) model = td_leg_model_new (site, settings, error);
  g_autoptr (TdPlanProblem) problem
      = model != NULL ? td_plan_problem_new (site, model, pins, error) : NULL;
  if (problem == NULL || !check_fixed (problem, site, error))
    return NULL;

  g_autoptr (TdPlan) plan = td_plan_new ();
  g_autofree guint *rank = rank_lines (site);
  g_autofree gboolean *held = g_new0 (gboolean, site->n_lines + 1);
  g_autoptr (GArray) loops = g_array_new (FALSE, FALSE, sizeof (Loop));
  Make make = { site, model, problem, pins, plan, rank, loops, held };

  g_array_set_clear_func (loops, clear_loop);
  solve_parts (&make);
  write_circuits (&make);
  write_statics (&make);
  td_plan_fill_figures (plan, site, model, settings);
  write_gap (plan);
  td_plan_explain (plan, site, problem, plan->bound_static == plan->n_statics);
  g_autoptr (TdPlanTime) time = td_plan_time_new (site, plan, settings, 1);
  /* Whole minutes: the durations that they are made of are no better known. */
  plan->minutes = (double)((time->total_s + 59) / 60);
  return g_steal_pointer (&plan);
}
