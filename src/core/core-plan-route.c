#include "core-plan-route.h"

#include <string.h>

typedef struct
{
  const TdPlanProblem *problem;
  const guint *rank;
  TdPlanStep *legs; /* by rank */
  gboolean *used;   /* legs that the walk has taken */
  guint n;
} Route;

static int
compare_steps (gconstpointer a, gconstpointer b, gpointer data)
{
  const guint *rank = data;
  guint x = rank[((const TdPlanStep *)a)->line], y = rank[((const TdPlanStep *)b)->line];
  return x < y ? -1 : x > y ? 1 : 0;
}

static guint
get_start (const Route *route, const TdPlanStep *step)
{
  const TdPlanLine *line = &route->problem->lines[step->line];
  return step->runs_in ? line->tower : route->problem->n_towers + line->cooler;
}

static guint
get_end (const Route *route, const TdPlanStep *step)
{
  const TdPlanLine *line = &route->problem->lines[step->line];
  return step->runs_in ? route->problem->n_towers + line->cooler : line->tower;
}

/* The cell of each leg, with towers and coolers in the order of their ids: among choices of
 * directions as good, the one taken must not hang on the order of the sheet. */
static guint *
find_cells (const Route *route)
{
  const TdPlanProblem *problem = route->problem;
  guint n_nodes = problem->n_towers + problem->n_coolers, towers = 0, coolers = 0;
  g_autofree guint *place = g_new (guint, n_nodes + 1);
  guint *cells = g_new (guint, route->n + 1);

  for (guint i = 0; i < n_nodes; i++)
    {
      guint node = problem->node_order[i];
      place[node] = node < problem->n_towers ? towers++ : coolers++;
    }
  for (guint i = 0; i < route->n; i++)
    {
      const TdPlanLine *line = &problem->lines[route->legs[i].line];
      cells[i] = place[line->tower] * problem->n_coolers + place[problem->n_towers + line->cooler];
    }
  return cells;
}

/* Of each cell's lines the first by rank run in, those that need no reversal before the others. */
static void
set_directions (Route *route)
{
  const TdPlanProblem *problem = route->problem;
  guint n_cells = problem->n_towers * problem->n_coolers;
  g_autofree guint *cell_of = find_cells (route);
  g_autofree TdPlanCell *cells = g_new0 (TdPlanCell, n_cells + 1);
  g_autofree guint *in = g_new0 (guint, n_cells + 1);

  for (guint i = 0; i < route->n; i++)
    {
      TdPlanKind kind = problem->lines[route->legs[i].line].kind;
      cells[cell_of[i]].out_only += kind == TD_PLAN_OUT_ONLY ? 1 : 0;
      cells[cell_of[i]].plain += kind == TD_PLAN_PLAIN ? 1 : 0;
      cells[cell_of[i]].reversible += kind == TD_PLAN_REVERSIBLE ? 1 : 0;
    }
  int reversals = td_plan_orient (problem->n_towers, problem->n_coolers, cells, in);
  g_assert (reversals >= 0);
  for (guint pass = 0; pass < 2; pass++)
    for (guint i = 0; i < route->n; i++)
      {
        TdPlanKind kind = problem->lines[route->legs[i].line].kind;
        if (in[cell_of[i]] == 0 || kind != (pass == 0 ? TD_PLAN_PLAIN : TD_PLAN_REVERSIBLE))
          continue;
        route->legs[i].runs_in = TRUE;
        route->legs[i].reversal = pass == 1;
        in[cell_of[i]]--;
      }
}

/* The first leg by rank that leaves the node and is not taken, or -1. */
static int
find_leg (const Route *route, guint node)
{
  for (guint i = 0; i < route->n; i++)
    if (!route->used[i] && get_start (route, &route->legs[i]) == node)
      return (int)i;
  return -1;
}

void
td_plan_route (const TdPlanProblem *problem,
               const guint *lines,
               guint n_lines,
               guint station,
               const guint *rank,
               TdPlanStep *steps_out)
{
  g_return_if_fail (problem != NULL && lines != NULL && n_lines > 0 && steps_out != NULL);
  g_autofree TdPlanStep *legs = g_new0 (TdPlanStep, n_lines);
  g_autofree gboolean *used = g_new0 (gboolean, n_lines);
  g_autofree int *stack = g_new (int, n_lines + 1);
  Route route = { problem, rank, legs, used, n_lines };
  guint depth = 1, at = n_lines;

  for (guint i = 0; i < n_lines; i++)
    legs[i].line = lines[i];
  g_qsort_with_data (legs, (int)n_lines, sizeof (TdPlanStep), compare_steps, (gpointer)rank);
  set_directions (&route);
  /* Hierholzer: walk while a leg leads on, and where none does, put the last one at the end. */
  stack[0] = -1;
  while (depth > 0)
    {
      int last = stack[depth - 1];
      int next = find_leg (&route, last < 0 ? station : get_end (&route, &legs[last]));
      if (next >= 0)
        {
          used[next] = TRUE;
          stack[depth++] = next;
          continue;
        }
      if (last >= 0)
        {
          g_assert (at > 0);
          steps_out[--at] = legs[last];
        }
      depth--;
    }
  /* Every leg has a place if the set was balanced and hung together. */
  g_assert (at == 0);
}
