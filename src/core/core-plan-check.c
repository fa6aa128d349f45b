#include "core-plan-check.h"

#include <stdarg.h>

typedef struct
{
  const TdPlanProblem *problem;
  const TdSite *site;
  GPtrArray *faults;
  guint number; /* of the circuit at hand, 0 for a set of lines */
} Check;

void
td_plan_fault_free (TdPlanFault *fault)
{
  g_return_if_fail (fault != NULL);
  g_free (fault->text);
  g_free (fault);
}

static void add (Check *check, TdPlanFaultCode code, const char *line, const char *format, ...)
    G_GNUC_PRINTF (4, 5);

static void
add (Check *check, TdPlanFaultCode code, const char *line, const char *format, ...)
{
  TdPlanFault *fault = g_new0 (TdPlanFault, 1);
  va_list arguments;

  va_start (arguments, format);
  g_autofree char *text = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  fault->code = code;
  fault->circuit = check->number;
  fault->line = line != NULL ? g_intern_string (line) : NULL;
  fault->text = check->number > 0 ? g_strdup_printf ("Circuit %u: %s", check->number, text)
                                  : g_strdup (text);
  g_ptr_array_add (check->faults, fault);
}

static char *
get_title (const TdSite *site, const char *id)
{
  int outlet = td_site_find_outlet (site, id);
  return outlet < 0 ? g_strdup (id) : td_outlet_get_title (site, (guint)outlet);
}

static const char *
get_node_name (const TdSite *site, guint node)
{
  return node < site->n_towers ? site->towers[node].name
                               : site->coolers[node - site->n_towers].name;
}

/* ---- a set of lines as one circuit ---- */

/* Lines and one-way lines at every node. */
static void
check_node (Check *check, guint node, guint lines, guint out_only)
{
  TdPlanFaultCode code = node < check->site->n_towers ? TD_PLAN_FAULT_TOWER : TD_PLAN_FAULT_COOLER;
  const char *name = get_node_name (check->site, node);
  if (lines % 2 != 0)
    add (
        check, code, NULL,
        "it has an odd number of lines at %s, %u, and as many must run in as out; add one there or take "
        "one out",
        name, lines);
  else if (out_only > lines / 2)
    add (check, code, NULL,
         "at %s it has %u lines, of which %u can only run out, but half must run in; "
         "take a line that only runs out away or add one there that can run in",
         name, lines, out_only);
}

static void
check_nodes (Check *check, const TdPlanCell *cells)
{
  guint n_towers = check->problem->n_towers, n_coolers = check->problem->n_coolers;
  guint n_before = check->faults->len;
  g_autofree guint *counts = g_new0 (guint, 2 * (n_towers + n_coolers));

  for (guint t = 0; t < n_towers; t++)
    for (guint c = 0; c < n_coolers; c++)
      {
        const TdPlanCell *cell = &cells[t * n_coolers + c];
        guint n = cell->out_only + cell->plain + cell->reversible;
        counts[2 * t] += n;
        counts[2 * t + 1] += cell->out_only;
        counts[2 * (n_towers + c)] += n;
        counts[2 * (n_towers + c) + 1] += cell->out_only;
      }
  for (guint node = 0; node < n_towers + n_coolers; node++)
    check_node (check, node, counts[2 * node], counts[2 * node + 1]);
  if (!td_plan_hangs_together (n_towers, n_coolers, cells))
    add (
        check, TD_PLAN_FAULT_APART, NULL,
        "its lines do not hang together; join them by lines that share a tower or a cooler, or make "
        "two circuits of them");
  else if (check->faults->len == n_before && td_plan_orient (n_towers, n_coolers, cells, NULL) < 0)
    add (
        check, TD_PLAN_FAULT_ONE_WAY, NULL,
        "its one-way lines leave no way to run as many in as out at every tower and cooler; take one "
        "of them out");
}

static void
check_limits (Check *check, const guint *lines, guint n_lines)
{
  const TdPlanProblem *problem = check->problem;
  TdPlanFit fit;
  td_plan_problem_fit (problem, lines, n_lines, &fit);
  if (!fit.flow_fits)
    add (check, TD_PLAN_FAULT_FLOW, NULL,
         "its lines lose %.2f m at %.3f L/min, and the pump gives %.2f m there; take lines out",
         (double)fit.loss_um * 1e-6, check->site->min_flow_l_min,
         MAX (0.0, (double)problem->capacity_um[0] * 1e-6));
  else if (!fit.pressure_fits)
    add (
        check, TD_PLAN_FAULT_PRESSURE, NULL,
        "the flow through its lines is so small that the pump's pressure rises above %.0f kPa; take "
        "lines out or place the pump lower",
        check->site->max_pressure_kpa);
  if (problem->station >= 0 && fit.station < 0 && fit.pressure_fits)
    add (check, TD_PLAN_FAULT_STATION, NULL, "none of its lines ends at %s, where the pump stands",
         get_node_name (check->site, (guint)problem->station));
}

GPtrArray *
td_plan_problem_check_lines (const TdPlanProblem *problem,
                             const TdSite *site,
                             const guint *lines,
                             guint n_lines)
{
  g_return_val_if_fail (problem != NULL && site != NULL && (lines != NULL || n_lines == 0), NULL);
  GPtrArray *faults = g_ptr_array_new_with_free_func ((GDestroyNotify)td_plan_fault_free);
  Check check = { problem, site, faults, 0 };
  g_autofree TdPlanCell *cells = g_new0 (TdPlanCell, problem->n_towers * problem->n_coolers + 1);
  g_autofree gboolean *seen = g_new0 (gboolean, problem->n_lines + 1);

  for (guint i = 0; i < n_lines; i++)
    {
      if (seen[lines[i]])
        add (&check, TD_PLAN_FAULT_TWICE, site->lines[lines[i]].id,
             "line %s stands twice; a line is one leg", site->lines[lines[i]].id);
      seen[lines[i]] = TRUE;
    }
  td_plan_problem_count_cells (problem, lines, n_lines, cells);
  if (n_lines == 0)
    add (&check, TD_PLAN_FAULT_APART, NULL, "it has no lines yet; a circuit takes two at least");
  else
    check_nodes (&check, cells);
  if (faults->len == 0)
    check_limits (&check, lines, n_lines);
  return faults;
}

GPtrArray *
td_plan_check_lines (const TdSite *site, const TdLegModel *model, const guint *lines, guint n_lines)
{
  g_return_val_if_fail (site != NULL && model != NULL, NULL);
  g_autoptr (TdPlanProblem) problem = td_plan_problem_new (site, model, NULL, NULL);
  return td_plan_problem_check_lines (problem, site, lines, n_lines);
}

/* ---- a whole plan ---- */

/* The index of the line of a leg, or -1 after a fault. */
static int
check_leg (Check *check, const TdPlanLeg *leg)
{
  const TdSite *site = check->site;
  int line = td_site_find_line (site, leg->line);
  g_autofree char *title = get_title (site, leg->line);

  if (line < 0 && td_site_find_outlet (site, leg->line) >= 0)
    add (check, TD_PLAN_FAULT_SIDE, leg->line,
         "%s is a side faucet and can only be held static; put its line there instead", title);
  else if (line < 0)
    add (check, TD_PLAN_FAULT_UNKNOWN, leg->line, "the site has no line \"%s\"", leg->line);
  if (line < 0)
    return -1;
  gboolean lever = check->problem->lines[line].kind == TD_PLAN_REVERSIBLE && leg->runs_in;
  if (leg->runs_in && check->problem->lines[line].kind == TD_PLAN_OUT_ONLY)
    add (check, TD_PLAN_FAULT_ONE_WAY, leg->line,
         "%s holds a one-way part and cannot run in; run it out", title);
  else if (leg->reversal && !lever)
    add (check, TD_PLAN_FAULT_REVERSAL, leg->line, "%s has no lever to be set; it runs as it is",
         title);
  else if (!leg->reversal && lever)
    add (check, TD_PLAN_FAULT_REVERSAL, leg->line,
         "%s runs in against its beer pump, whose lever has to be set for that", title);
  return line;
}

/* Are as many legs in as out at every node? */
static gboolean
check_balance (Check *check, const TdPlanCircuit *circuit, const guint *lines)
{
  guint n_towers = check->problem->n_towers, n_nodes = n_towers + check->problem->n_coolers;
  g_autofree int *surplus = g_new0 (int, n_nodes);
  gboolean balanced = TRUE;

  for (guint i = 0; i < circuit->n_legs; i++)
    {
      int step = circuit->legs[i].runs_in ? 1 : -1;
      surplus[check->problem->lines[lines[i]].tower] += step;
      surplus[n_towers + check->problem->lines[lines[i]].cooler] += step;
    }
  for (guint node = 0; node < n_nodes; node++)
    if (surplus[node] != 0)
      {
        add (check, node < n_towers ? TD_PLAN_FAULT_TOWER : TD_PLAN_FAULT_COOLER, NULL,
             "at %s %d more of its lines run %s than %s; as many must run in as out",
             get_node_name (check->site, node), ABS (surplus[node]),
             surplus[node] > 0 ? "in" : "out", surplus[node] > 0 ? "out" : "in");
        balanced = FALSE;
      }
  return balanced;
}

/* Do the legs lead from the station round to the station? */
static void
check_order (Check *check, const TdPlanCircuit *circuit, const guint *lines)
{
  const TdPlanProblem *problem = check->problem;
  int tower = td_site_find_tower (check->site, circuit->station);
  int cooler = td_site_find_cooler (check->site, circuit->station);
  const TdPlanLine *first = &problem->lines[lines[0]];
  guint start = circuit->legs[0].runs_in ? first->tower : problem->n_towers + first->cooler;
  guint at = start;

  for (guint i = 0; i < circuit->n_legs; i++)
    {
      const TdPlanLine *line = &problem->lines[lines[i]];
      guint faucet_end = line->tower, keg_end = problem->n_towers + line->cooler;
      if (at != (circuit->legs[i].runs_in ? faucet_end : keg_end))
        {
          add (
              check, TD_PLAN_FAULT_ORDER, circuit->legs[i].line,
              "leg %u, line %s, does not begin where the leg before it ends, at %s; change the order",
              i + 1, circuit->legs[i].line, get_node_name (check->site, at));
          return;
        }
      at = circuit->legs[i].runs_in ? keg_end : faucet_end;
    }
  guint station = tower >= 0 ? (guint)tower : problem->n_towers + (guint)MAX (cooler, 0);
  if (tower < 0 && cooler < 0)
    add (check, TD_PLAN_FAULT_UNKNOWN, NULL, "the site has no tower or cooler \"%s\" for the pump",
         circuit->station);
  else if (station != start || at != start)
    add (check, TD_PLAN_FAULT_STATION, NULL,
         "it begins at %s and ends at %s, but the pump stands at %s",
         get_node_name (check->site, start), get_node_name (check->site, at),
         get_node_name (check->site, station));
}

static void
check_circuit (Check *check, const TdPlanCircuit *circuit)
{
  const TdPlanProblem *problem = check->problem;
  g_autofree guint *lines = g_new (guint, circuit->n_legs + 1);
  g_autofree TdPlanCell *cells = g_new0 (TdPlanCell, problem->n_towers * problem->n_coolers + 1);
  guint n_known = 0;

  check->number = circuit->number;
  for (guint i = 0; i < circuit->n_legs; i++)
    {
      int line = check_leg (check, &circuit->legs[i]);
      if (line >= 0)
        lines[n_known++] = (guint)line;
    }
  if (n_known == circuit->n_legs && n_known > 0 && check_balance (check, circuit, lines))
    {
      td_plan_problem_count_cells (problem, lines, n_known, cells);
      if (!td_plan_hangs_together (problem->n_towers, problem->n_coolers, cells))
        add (check, TD_PLAN_FAULT_APART, NULL,
             "its lines do not hang together; make two circuits of them");
      else
        check_order (check, circuit, lines);
      check_limits (check, lines, n_known);
    }
  check->number = 0;
}

/* Does circuit number @fed_by touch the cooler? */
static gboolean
touches (const TdSite *site, const TdPlan *plan, guint fed_by, guint cooler)
{
  for (guint i = 0;
       fed_by >= 1 && fed_by <= plan->n_circuits && i < plan->circuits[fed_by - 1].n_legs; i++)
    {
      int line = td_site_find_line (site, plan->circuits[fed_by - 1].legs[i].line);
      if (line >= 0 && site->lines[line].cooler == cooler)
        return TRUE;
    }
  return FALSE;
}

static void
check_static (Check *check, const TdPlan *plan, const TdPlanStatic *still)
{
  const TdSite *site = check->site;
  int outlet = td_site_find_outlet (site, still->line);
  if (outlet < 0)
    {
      add (check, TD_PLAN_FAULT_UNKNOWN, still->line, "the site has no line \"%s\"", still->line);
      return;
    }
  g_autofree char *title = td_outlet_get_title (site, (guint)outlet);
  const char *cooler = site->coolers[site->outlets[outlet].cooler].id;
  if (!g_str_equal (cooler, still->cooler))
    add (check, TD_PLAN_FAULT_FEED, still->line, "%s begins in cooler %s, not in %s", title, cooler,
         still->cooler);
  else if (still->fed_by > 0 && !touches (site, plan, still->fed_by, site->outlets[outlet].cooler))
    add (check, TD_PLAN_FAULT_FEED, still->line,
         "%s cannot be fed by circuit %u, which does not touch cooler %s", title, still->fed_by,
         cooler);
}

/* Every faucet stands in the plan once. */
static void
check_once (Check *check, const TdPlan *plan)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint c = 0; c < plan->n_circuits; c++)
    for (guint i = 0; i < plan->circuits[c].n_legs; i++)
      if (!g_hash_table_add (seen, plan->circuits[c].legs[i].line))
        add (check, TD_PLAN_FAULT_TWICE, plan->circuits[c].legs[i].line,
             "line %s stands twice in the plan; take one place away",
             plan->circuits[c].legs[i].line);
  for (guint i = 0; i < plan->n_statics; i++)
    if (!g_hash_table_add (seen, plan->statics[i].line))
      add (check, TD_PLAN_FAULT_TWICE, plan->statics[i].line,
           "line %s stands twice in the plan; take one place away", plan->statics[i].line);
  for (guint i = 0; plan->left_out[i] != NULL; i++)
    if (!g_hash_table_add (seen, plan->left_out[i]))
      add (check, TD_PLAN_FAULT_TWICE, plan->left_out[i],
           "line %s is left out and planned; take one of the two away", plan->left_out[i]);
  for (guint i = 0; i < check->site->n_outlets; i++)
    if (!g_hash_table_contains (seen, check->site->outlets[i].id))
      {
        g_autofree char *title = td_outlet_get_title (check->site, i);
        add (check, TD_PLAN_FAULT_MISSING, check->site->outlets[i].id,
             "%s stands nowhere in the plan; circulate it, hold it static or leave it out", title);
      }
}

GPtrArray *
td_plan_check (const TdSite *site, const TdLegModel *model, const TdPlan *plan)
{
  g_return_val_if_fail (site != NULL && model != NULL && plan != NULL, NULL);
  GPtrArray *faults = g_ptr_array_new_with_free_func ((GDestroyNotify)td_plan_fault_free);
  g_autoptr (TdPlanProblem) problem = td_plan_problem_new (site, model, NULL, NULL);
  Check check = { problem, site, faults, 0 };

  for (guint i = 0; i < plan->n_circuits; i++)
    check_circuit (&check, &plan->circuits[i]);
  for (guint i = 0; i < plan->n_statics; i++)
    check_static (&check, plan, &plan->statics[i]);
  check_once (&check, plan);
  return faults;
}
