#include "core-plan-why.h"

#include <string.h>

#include "core-plan-solve.h"

/* Steps of search for all sentences of a plan together. */
#define EXPLAIN_BUDGET 3000000
/* What a line loses, in micrometres, once its loss is taken away. */
#define LEAST_LOSS_UM 1

typedef struct
{
  TdPlan *plan;
  const TdSite *site;
  const TdPlanProblem *problem;
  guint statics; /* the fewest, side faucets and pinned lines apart */
  gint64 budget;
  GHashTable *asked; /* line and causes to whether it helps, so that alike lines are asked once */
} Explain;

/* ---- a problem without a cause ---- */

static void
copy_lines (TdPlanProblem *copy, const TdPlanProblem *problem, guint n_lines)
{
  copy->lines = g_new0 (TdPlanLine, n_lines + 1);
  copy->order = g_new (guint, n_lines + 1);
  memcpy (copy->lines, problem->lines, problem->n_lines * sizeof (TdPlanLine));
  memcpy (copy->order, problem->order, problem->n_lines * sizeof (guint));
  for (guint i = 0; i < problem->n_lines; i++)
    copy->lines[i].loss_um
        = g_memdup2 (problem->lines[i].loss_um, problem->n_levels * sizeof (gint64));
  copy->n_lines = n_lines;
}

TdPlanProblem *
td_plan_problem_without (const TdPlanProblem *problem, guint line, TdPlanCause causes)
{
  g_return_val_if_fail (problem != NULL && line < problem->n_lines, NULL);
  guint n_nodes = problem->n_towers + problem->n_coolers;
  TdPlanProblem *copy = g_new0 (TdPlanProblem, 1);

  copy->n_towers = problem->n_towers;
  copy->n_coolers = problem->n_coolers;
  copy->n_levels = problem->n_levels;
  copy->station = (causes & TD_PLAN_CAUSE_STATION) != 0 ? -1 : problem->station;
  copy->node_order = g_memdup2 (problem->node_order, n_nodes * sizeof (guint));
  copy->lowest = g_memdup2 (problem->lowest, n_nodes * sizeof (guint));
  copy->capacity_um = g_memdup2 (problem->capacity_um, problem->n_levels * sizeof (gint64));
  copy->levels = g_memdup2 (problem->levels, n_nodes * n_nodes * sizeof (guint));
  if ((causes & TD_PLAN_CAUSE_PRESSURE) != 0)
    memset (copy->levels, 0, n_nodes * n_nodes * sizeof (guint));
  copy_lines (copy, problem, problem->n_lines + ((causes & TD_PLAN_CAUSE_PARTNER) != 0 ? 1 : 0));
  TdPlanLine *changed = &copy->lines[line];
  if ((causes & TD_PLAN_CAUSE_ONE_WAY) != 0)
    changed->kind = TD_PLAN_PLAIN;
  for (guint k = 0; (causes & TD_PLAN_CAUSE_LOSS) != 0 && k < problem->n_levels; k++)
    changed->loss_um[k] = LEAST_LOSS_UM;
  if ((causes & TD_PLAN_CAUSE_PARTNER) != 0)
    {
      TdPlanLine *partner = &copy->lines[problem->n_lines];
      *partner = *changed;
      partner->kind = TD_PLAN_PLAIN;
      partner->status = TD_PLAN_FREE;
      partner->loss_um = g_new (gint64, problem->n_levels);
      for (guint k = 0; k < problem->n_levels; k++)
        partner->loss_um[k] = LEAST_LOSS_UM;
      copy->order[problem->n_lines] = problem->n_lines;
    }
  return copy;
}

/* ---- does it help? ---- */

static gboolean
count_statics (const TdPlanProblem *problem, gint64 *budget, guint *statics_out)
{
  g_autoptr (GArray) alone = NULL;
  g_autoptr (GPtrArray) parts = td_plan_parts_new (problem, &alone);
  gboolean all_known = TRUE;
  *statics_out = alone->len;
  for (guint i = 0; i < parts->len; i++)
    {
      gboolean known;
      *statics_out += td_plan_solve_statics (g_ptr_array_index (parts, i), budget, &known);
      all_known &= known;
    }
  return all_known;
}

/* Lines that are alike in everything have one answer. */
static char *
name_question (const TdPlanProblem *problem, guint line, TdPlanCause causes)
{
  const TdPlanLine *is = &problem->lines[line];
  GString *name = g_string_new (NULL);
  g_string_printf (name, "%d %u %u %d", causes, is->tower, is->cooler, is->kind);
  for (guint k = 0; k < problem->n_levels; k++)
    g_string_append_printf (name, " %" G_GINT64_FORMAT, is->loss_um[k]);
  return g_string_free (name, FALSE);
}

/* Would fewer lines be static without the causes? */
static gboolean
helps (Explain *explain, guint line, TdPlanCause causes)
{
  g_autofree char *name = name_question (explain->problem, line, causes);
  gpointer answer;
  guint statics;
  if (g_hash_table_lookup_extended (explain->asked, name, NULL, &answer))
    return GPOINTER_TO_INT (answer);
  g_autoptr (TdPlanProblem) without = td_plan_problem_without (explain->problem, line, causes);
  gboolean better
      = count_statics (without, &explain->budget, &statics) && statics < explain->statics;
  g_hash_table_insert (explain->asked, g_steal_pointer (&name), GINT_TO_POINTER (better));
  return better;
}

/* What could be a cause at all. */
static TdPlanCause
find_candidates (const Explain *explain, guint line)
{
  const TdPlanProblem *problem = explain->problem;
  guint n_nodes = problem->n_towers + problem->n_coolers;
  TdPlanCause causes = TD_PLAN_CAUSE_LOSS | TD_PLAN_CAUSE_PARTNER;
  if (problem->lines[line].kind == TD_PLAN_OUT_ONLY)
    causes |= TD_PLAN_CAUSE_ONE_WAY;
  if (problem->station >= 0)
    causes |= TD_PLAN_CAUSE_STATION;
  for (guint i = 0; i < n_nodes * n_nodes; i++)
    if (problem->levels[i] != 0)
      causes |= TD_PLAN_CAUSE_PRESSURE;
  return causes;
}

static guint
count_bits (guint bits)
{
  guint n = 0;
  for (; bits != 0; bits &= bits - 1)
    n++;
  return n;
}

/* The smallest set of causes without which fewer lines would be static. */
static TdPlanCause
find_cause (Explain *explain, guint line)
{
  guint candidates = (guint)find_candidates (explain, line);
  for (guint size = 1; size <= count_bits (candidates); size++)
    for (guint causes = 1; causes <= candidates; causes++)
      if ((causes & ~candidates) == 0 && count_bits (causes) == size && explain->budget > 0
          && helps (explain, line, (TdPlanCause)causes))
        return (TdPlanCause)causes;
  return TD_PLAN_CAUSE_UNKNOWN;
}

/* ---- words ---- */

static guint
count_free (const TdPlanProblem *problem, guint node, gboolean one_way_only)
{
  guint n = 0;
  for (guint i = 0; i < problem->n_lines; i++)
    {
      const TdPlanLine *line = &problem->lines[i];
      guint at = node < problem->n_towers ? line->tower : problem->n_towers + line->cooler;
      n += line->status == TD_PLAN_FREE && at == node
                   && (!one_way_only || line->kind == TD_PLAN_OUT_ONLY)
               ? 1
               : 0;
    }
  return n;
}

static const char *
get_name (const TdSite *site, guint node)
{
  return node < site->n_towers ? site->towers[node].name
                               : site->coolers[node - site->n_towers].name;
}

static char *
tell_one_way (const Explain *explain, guint line)
{
  const TdPlanProblem *problem = explain->problem;
  const TdLine *is = &explain->site->lines[line];
  guint nodes[2] = { is->tower, problem->n_towers + is->cooler };
  const char *part = is->check_valve ? "its fixed check lets liquid through outwards only"
                     : is->beer_pump == TD_BEER_PUMP_ONE_WAY
                         ? "its beer pump lets liquid through outwards only"
                         : "its lever may not be set";
  for (guint i = 0; i < 2; i++)
    {
      guint all = count_free (problem, nodes[i], FALSE);
      guint one_way = count_free (problem, nodes[i], TRUE);
      if (2 * one_way > all)
        return g_strdup_printf ("%s, and at %s %u of %u lines run out only, where half must run in",
                                part, get_name (explain->site, nodes[i]), one_way, all);
    }
  return g_strdup (part);
}

static char *
tell_partner (const Explain *explain, guint line)
{
  const TdPlanProblem *problem = explain->problem;
  guint nodes[2] = { problem->lines[line].tower, problem->n_towers + problem->lines[line].cooler };
  for (guint i = 0; i < 2; i++)
    {
      guint all = count_free (problem, nodes[i], FALSE);
      if (all == 1)
        return g_strdup_printf (
            "it is the only line at %s that could circulate, and a circuit takes an "
            "even number at every tower and cooler",
            get_name (explain->site, nodes[i]));
      if (all % 2 != 0)
        return g_strdup_printf (
            "a circuit takes an even number of lines at every tower and cooler, and "
            "%s has %u",
            get_name (explain->site, nodes[i]), all);
    }
  return g_strdup ("the lines at its tower and its cooler do not pair up");
}

static char *
tell_cause (const Explain *explain, guint line, TdPlanCause cause)
{
  const TdPlanProblem *problem = explain->problem;
  switch (cause)
    {
    case TD_PLAN_CAUSE_ONE_WAY:
      return tell_one_way (explain, line);
    case TD_PLAN_CAUSE_LOSS:
      return g_strdup_printf (
          "it loses %.1f m at %.3f L/min, and the pump gives %.1f m there for a "
          "whole circuit",
          (double)problem->lines[line].loss_um[0] * 1e-6, explain->site->min_flow_l_min,
          MAX (0.0, (double)problem->capacity_um[0] * 1e-6));
    case TD_PLAN_CAUSE_PARTNER:
      return tell_partner (explain, line);
    case TD_PLAN_CAUSE_STATION:
      return g_strdup_printf ("the cleaning pump is pinned to %s",
                              get_name (explain->site, (guint)problem->station));
    default:
      return g_strdup_printf ("the pressure must stay below %.0f kPa",
                              explain->site->max_pressure_kpa);
    }
}

static const char *
tell_remedy (TdPlanCause cause)
{
  switch (cause)
    {
    case TD_PLAN_CAUSE_ONE_WAY:
      return "could it run in";
    case TD_PLAN_CAUSE_LOSS:
      return "did it lose next to nothing";
    case TD_PLAN_CAUSE_PARTNER:
      return "with a further line beside it";
    case TD_PLAN_CAUSE_STATION:
      return "with the pump free to stand elsewhere";
    default:
      return "without that limit";
    }
}

/* "A, and B; C and D together, one faucet fewer would be static." */
static char *
tell_causes (const Explain *explain, guint line, TdPlanCause causes)
{
  g_autoptr (GString) reasons = g_string_new (NULL);
  g_autoptr (GString) remedies = g_string_new (NULL);
  for (guint bit = 1; bit <= (guint)causes; bit <<= 1)
    {
      if ((causes & bit) == 0)
        continue;
      g_autofree char *reason = tell_cause (explain, line, (TdPlanCause)bit);
      g_string_append_printf (reasons, "%s%s", reasons->len > 0 ? "; and " : "", reason);
      g_string_append_printf (remedies, "%s%s", remedies->len > 0 ? " and " : "",
                              tell_remedy ((TdPlanCause)bit));
    }
  reasons->str[0] = g_ascii_toupper (reasons->str[0]);
  return g_strdup_printf ("%s; %s, %sone faucet fewer would be static.", reasons->str,
                          remedies->str, count_bits (causes) > 1 ? "but not with less, " : "");
}

/* ---- static lines ---- */

static void
explain_static (Explain *explain, TdPlanStatic *still, gboolean statics_known)
{
  int at = td_site_find_outlet (explain->site, still->line);
  g_return_if_fail (at >= 0);
  const TdOutlet *outlet = &explain->site->outlets[at];
  if (outlet->side >= 0)
    {
      still->cause = TD_PLAN_CAUSE_SIDE;
      still->why = g_strdup_printf (
          "It is a side faucet of line %s: a circuit passes its tee by, so it is drawn through and held "
          "at its own outlet.",
          explain->site->lines[outlet->line].id);
      return;
    }
  if (explain->problem->lines[outlet->line].status == TD_PLAN_STATIC)
    {
      still->cause = TD_PLAN_CAUSE_PIN;
      still->why = g_strdup ("A pin holds it static.");
      return;
    }
  if (statics_known)
    still->cause = find_cause (explain, outlet->line);
  still->why
      = still->cause != TD_PLAN_CAUSE_UNKNOWN
            ? tell_causes (explain, outlet->line, still->cause)
            : g_strdup ("The plan found holds it static; it is not known whether it has to be.");
}

/* ---- reversals ---- */

/* Lines of the circuit at the node, and those of them that run in without a reversal. */
static guint
count_legs (const Explain *explain, const TdPlanCircuit *circuit, guint node, gboolean plain_only)
{
  const TdPlanProblem *problem = explain->problem;
  guint n = 0;
  for (guint i = 0; i < circuit->n_legs; i++)
    {
      int line = td_site_find_line (explain->site, circuit->legs[i].line);
      g_return_val_if_fail (line >= 0, 0);
      const TdPlanLine *is = &problem->lines[line];
      guint at = node < problem->n_towers ? is->tower : problem->n_towers + is->cooler;
      n += at == node && (!plain_only || is->kind == TD_PLAN_PLAIN) ? 1 : 0;
    }
  return n;
}

static void
explain_reversal (Explain *explain, const TdPlanCircuit *circuit, TdPlanLeg *leg)
{
  int line = td_site_find_line (explain->site, leg->line);
  g_return_if_fail (line >= 0);
  guint nodes[2] = { explain->site->lines[line].tower,
                     explain->problem->n_towers + explain->site->lines[line].cooler };
  for (guint i = 0; i < 2; i++)
    {
      guint all = count_legs (explain, circuit, nodes[i], FALSE);
      guint plain = count_legs (explain, circuit, nodes[i], TRUE);
      if (plain >= all / 2)
        continue;
      g_autofree char *can = plain == 0 ? g_strdup ("none") : g_strdup_printf ("only %u", plain);
      leg->why = g_strdup_printf (
          "%s has %u lines in this circuit, of which %u must run in, and %s can without a lever being "
          "set; could this one, there would be one reversal fewer.",
          get_name (explain->site, nodes[i]), all, all / 2, can);
      return;
    }
  leg->why = g_strdup (
      "As many lines must run in as out at every tower and cooler of the circuit, and the "
      "lines without levers do not suffice for that; could this one run in as it is, there "
      "would be one reversal fewer.");
}

void
td_plan_explain (TdPlan *plan,
                 const TdSite *site,
                 const TdPlanProblem *problem,
                 gboolean statics_known)
{
  g_return_if_fail (plan != NULL && site != NULL && problem != NULL);
  g_autoptr (GHashTable) asked = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  Explain explain = { plan, site, problem, 0, EXPLAIN_BUDGET, asked };

  for (guint i = 0; i < plan->n_statics; i++)
    {
      int line = td_site_find_line (site, plan->statics[i].line);
      explain.statics += line >= 0 && problem->lines[line].status == TD_PLAN_FREE ? 1 : 0;
    }
  for (guint i = 0; i < plan->n_statics; i++)
    explain_static (&explain, &plan->statics[i], statics_known);
  for (guint c = 0; c < plan->n_circuits; c++)
    for (guint i = 0; i < plan->circuits[c].n_legs; i++)
      if (plan->circuits[c].legs[i].reversal)
        explain_reversal (&explain, &plan->circuits[c], &plan->circuits[c].legs[i]);
}
