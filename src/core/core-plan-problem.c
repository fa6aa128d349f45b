#include "core-plan-problem.h"

#include <math.h>
#include <string.h>

#include "core-error.h"

/* Two heads or sums that differ by less than this part of themselves count as equal. */
#define TOLERANCE 1e-9

void
td_plan_problem_free (TdPlanProblem *problem)
{
  g_return_if_fail (problem != NULL);
  for (guint i = 0; i < problem->n_lines; i++)
    g_free (problem->lines[i].loss_um);
  for (guint i = 0; i < problem->n_fixed; i++)
    g_free (problem->fixed[i]);
  g_free (problem->lines);
  g_free (problem->order);
  g_free (problem->node_order);
  g_free (problem->flow_l_min);
  g_free (problem->capacity_um);
  g_free (problem->levels);
  g_free (problem->lowest);
  g_free (problem->fixed_pins);
  g_free (problem->fixed);
  g_free (problem->fixed_n);
  g_free (problem->left_out);
  g_free (problem);
}

gint64
td_plan_get_capacity_um (const TdLegModel *model, double flow_l_min)
{
  g_return_val_if_fail (model != NULL && flow_l_min >= 0.0, -1);
  double head_m = td_pump_get_head_m (td_leg_model_get_pump (model), flow_l_min);
  return head_m < 0.0 ? -1 : (gint64)floor (head_m * (1.0 + TOLERANCE) * 1e6);
}

/* ---- orders ---- */

static int
compare_ids (gconstpointer a, gconstpointer b, gpointer data)
{
  const char *const *ids = data;
  return strcmp (ids[*(const guint *)a], ids[*(const guint *)b]);
}

static guint *
sort_ids (const char **ids, guint n)
{
  guint *order = g_new (guint, n + 1);
  for (guint i = 0; i < n; i++)
    order[i] = i;
  g_qsort_with_data (order, (int)n, sizeof (guint), compare_ids, ids);
  return order;
}

static int
compare_heights (gconstpointer a, gconstpointer b, gpointer data)
{
  const double *heights = data;
  guint i = *(const guint *)a, j = *(const guint *)b;
  if (heights[i] != heights[j])
    return heights[i] < heights[j] ? -1 : 1;
  return i < j ? -1 : 1;
}

static void
set_orders (TdPlanProblem *problem, const TdSite *site, const double *heights)
{
  guint n_nodes = site->n_towers + site->n_coolers;
  g_autofree const char **ids = g_new (const char *, MAX (n_nodes, site->n_lines) + 1);

  for (guint i = 0; i < site->n_lines; i++)
    ids[i] = site->lines[i].id;
  problem->order = sort_ids (ids, site->n_lines);
  for (guint i = 0; i < n_nodes; i++)
    ids[i] = i < site->n_towers ? site->towers[i].id : site->coolers[i - site->n_towers].id;
  problem->node_order = sort_ids (ids, n_nodes);
  problem->lowest = g_new (guint, n_nodes + 1);
  for (guint i = 0; i < n_nodes; i++)
    problem->lowest[i] = i;
  g_qsort_with_data (problem->lowest, (int)n_nodes, sizeof (guint), compare_heights,
                     (gpointer)heights);
}

/* ---- levels ---- */

static gboolean
has_known_line (const TdSite *site, const TdLegModel *model)
{
  for (guint i = 0; i < site->n_lines; i++)
    if (td_leg_model_is_known (model, i))
      return TRUE;
  return FALSE;
}

/* Returns: (transfer full): double, the flow in L/min of each level; sets the table of levels. */
static GArray *
find_levels (TdPlanProblem *problem,
             const TdSite *site,
             const TdLegModel *model,
             const double *heights)
{
  guint n_nodes = problem->n_towers + problem->n_coolers;
  double least = td_leg_model_get_min_flow_l_min (model);
  GArray *flows = g_array_new (FALSE, FALSE, sizeof (double));
  gboolean known = has_known_line (site, model);

  g_array_append_val (flows, least);
  problem->levels = g_new0 (guint, n_nodes * n_nodes + 1);
  for (guint bucket = 0; known && bucket < n_nodes; bucket++)
    for (guint low = 0; low < n_nodes; low++)
      {
        guint *level = &problem->levels[bucket * n_nodes + low];
        if (heights[low] > heights[bucket])
          continue;
        double flow = td_leg_model_get_pressure_flow_l_min (model, heights[bucket], heights[low]);
        if (!isfinite (flow))
          *level = TD_PLAN_NO_LEVEL;
        else if (flow > least)
          {
            while (*level < flows->len && g_array_index (flows, double, *level) != flow)
              (*level)++;
            if (*level == flows->len)
              g_array_append_val (flows, flow);
          }
      }
  return flows;
}

static void
set_losses (TdPlanProblem *problem, const TdLegModel *model, const GArray *flows)
{
  problem->n_levels = flows->len;
  problem->flow_l_min = g_memdup2 (flows->data, flows->len * sizeof (double));
  problem->capacity_um = g_new (gint64, flows->len);
  for (guint k = 0; k < flows->len; k++)
    problem->capacity_um[k] = td_plan_get_capacity_um (model, g_array_index (flows, double, k));
  for (guint i = 0; i < problem->n_lines; i++)
    {
      TdPlanLine *line = &problem->lines[i];
      line->loss_um = g_new0 (gint64, flows->len);
      line->loss_um[0] = td_leg_model_get_loss_um (model, i);
      for (guint k = 1; line->known && k < flows->len; k++)
        line->loss_um[k]
            = llround (1e6 * td_leg_model_get_loss_m (model, i, g_array_index (flows, double, k)));
    }
}

static void
set_limits (TdPlanProblem *problem, const TdSite *site, const TdLegModel *model)
{
  guint n_nodes = site->n_towers + site->n_coolers;
  g_autofree double *heights = g_new (double, n_nodes + 1);
  for (guint i = 0; i < n_nodes; i++)
    heights[i] = i < site->n_towers ? site->towers[i].height_m
                                    : site->coolers[i - site->n_towers].height_m;
  set_orders (problem, site, heights);
  g_autoptr (GArray) flows = find_levels (problem, site, model, heights);
  set_losses (problem, model, flows);
}

/* ---- pins ---- */

static gboolean
refuse (const TdPin *pin, int code, GError **error, const char *reason)
{
  g_set_error (error, TD_ERROR, code, "pin %s cannot be kept: %s", pin->text, reason);
  return FALSE;
}

/* Gives a line its status; each line takes one at most. */
static gboolean
set_status (TdPlanProblem *problem,
            const TdPin *pin,
            guint line,
            TdPlanStatus status,
            GError **error)
{
  static const char *const taken[]
      = { "", "another pin holds the line static", "another pin puts the line into a circuit",
          "another pin leaves the line out" };
  TdPlanStatus before = problem->lines[line].status;
  if (before != TD_PLAN_FREE && (before != status || status == TD_PLAN_FIXED))
    return refuse (pin, TD_ERROR_INFEASIBLE, error, taken[before]);
  problem->lines[line].status = status;
  return TRUE;
}

static gboolean
apply_circuit (TdPlanProblem *problem, const TdSite *site, const TdPin *pin, GError **error)
{
  guint n = g_strv_length (pin->ids), at = problem->n_fixed;
  problem->fixed_pins = g_renew (const TdPin *, problem->fixed_pins, at + 1);
  problem->fixed = g_renew (guint *, problem->fixed, at + 1);
  problem->fixed_n = g_renew (guint, problem->fixed_n, at + 1);
  problem->fixed_pins[at] = pin;
  problem->fixed[at] = g_new (guint, n);
  problem->fixed_n[at] = n;
  problem->n_fixed++;
  for (guint i = 0; i < n; i++)
    {
      int line = td_site_find_line (site, pin->ids[i]);
      if (line < 0)
        return refuse (pin, TD_ERROR_REFERENCE, error, "the site has no line of that id");
      if (!set_status (problem, pin, (guint)line, TD_PLAN_FIXED, error))
        return FALSE;
      problem->fixed[at][i] = (guint)line;
    }
  return TRUE;
}

static gboolean
apply_station (TdPlanProblem *problem, const TdSite *site, const TdPin *pin, GError **error)
{
  int tower = td_site_find_tower (site, pin->ids[0]);
  int cooler = td_site_find_cooler (site, pin->ids[0]);
  int node = tower >= 0 ? tower : cooler >= 0 ? (int)site->n_towers + cooler : -1;
  if (node < 0)
    return refuse (pin, TD_ERROR_REFERENCE, error, "the site has no tower or cooler of that id");
  if (problem->station >= 0 && problem->station != node)
    return refuse (pin, TD_ERROR_INFEASIBLE, error, "another pin puts the pump elsewhere");
  problem->station = node;
  return TRUE;
}

/* A pin on one line or side faucet. */
static gboolean
apply_outlet (TdPlanProblem *problem, const TdSite *site, const TdPin *pin, GError **error)
{
  int outlet = td_site_find_outlet (site, pin->ids[0]);
  if (outlet < 0)
    return refuse (pin, TD_ERROR_REFERENCE, error, "the site has no line of that id");
  guint line = site->outlets[outlet].line;
  gboolean own = site->outlets[outlet].side < 0;

  if (pin->kind == TD_PIN_NO_REVERSAL)
    {
      if (own && problem->lines[line].kind == TD_PLAN_REVERSIBLE)
        problem->lines[line].kind = TD_PLAN_OUT_ONLY;
      return TRUE;
    }
  if (pin->kind == TD_PIN_STATIC)
    {
      if (problem->left_out[outlet])
        return refuse (pin, TD_ERROR_INFEASIBLE, error, "another pin leaves the line out");
      /* A side faucet is held static anyway. */
      return !own || set_status (problem, pin, line, TD_PLAN_STATIC, error);
    }
  if (own && !set_status (problem, pin, line, TD_PLAN_LEFT_OUT, error))
    return FALSE;
  /* Side faucets are filled through their line, so they fall out with it. */
  for (guint i = 0; i < site->n_outlets; i++)
    if (i == (guint)outlet || (own && site->outlets[i].line == line))
      problem->left_out[i] = TRUE;
  return TRUE;
}

static gboolean
apply_pins (TdPlanProblem *problem, const TdSite *site, const TdPlanPins *pins, GError **error)
{
  guint n = pins != NULL ? td_plan_pins_get_length (pins) : 0;
  for (guint i = 0; i < n; i++)
    {
      const TdPin *pin = td_plan_pins_get (pins, i);
      gboolean kept = pin->kind == TD_PIN_CIRCUIT   ? apply_circuit (problem, site, pin, error)
                      : pin->kind == TD_PIN_STATION ? apply_station (problem, site, pin, error)
                                                    : apply_outlet (problem, site, pin, error);
      if (!kept)
        return FALSE;
    }
  return TRUE;
}

TdPlanProblem *
td_plan_problem_new (const TdSite *site,
                     const TdLegModel *model,
                     const TdPlanPins *pins,
                     GError **error)
{
  g_return_val_if_fail (site != NULL && model != NULL, NULL);

  g_autoptr (TdPlanProblem) problem = g_new0 (TdPlanProblem, 1);
  problem->n_towers = site->n_towers;
  problem->n_coolers = site->n_coolers;
  problem->n_lines = site->n_lines;
  problem->n_outlets = site->n_outlets;
  problem->station = -1;
  problem->left_out = g_new0 (gboolean, site->n_outlets + 1);
  problem->lines = g_new0 (TdPlanLine, site->n_lines + 1);
  for (guint i = 0; i < site->n_lines; i++)
    {
      TdPlanLine *line = &problem->lines[i];
      line->tower = site->lines[i].tower;
      line->cooler = site->lines[i].cooler;
      line->known = td_leg_model_is_known (model, i);
      line->volume_ml = td_leg_model_get_volume_ml (model, i);
      line->kind = !td_line_may_run_in (&site->lines[i])                 ? TD_PLAN_OUT_ONLY
                   : site->lines[i].beer_pump == TD_BEER_PUMP_REVERSIBLE ? TD_PLAN_REVERSIBLE
                                                                         : TD_PLAN_PLAIN;
    }
  set_limits (problem, site, model);
  if (!apply_pins (problem, site, pins, error))
    return NULL;
  return g_steal_pointer (&problem);
}

/* ---- limits ---- */

void
td_plan_problem_count_cells (const TdPlanProblem *problem,
                             const guint *lines,
                             guint n_lines,
                             TdPlanCell *cells_out)
{
  memset (cells_out, 0, problem->n_towers * problem->n_coolers * sizeof (TdPlanCell));
  for (guint i = 0; i < n_lines; i++)
    {
      const TdPlanLine *line = &problem->lines[lines[i]];
      TdPlanCell *cell = &cells_out[line->tower * problem->n_coolers + line->cooler];
      if (line->kind == TD_PLAN_OUT_ONLY)
        cell->out_only++;
      else if (line->kind == TD_PLAN_PLAIN)
        cell->plain++;
      else
        cell->reversible++;
    }
}

static gint64
sum_losses (const TdPlanProblem *problem, const guint *lines, guint n_lines, guint level)
{
  gint64 sum = 0;
  for (guint i = 0; i < n_lines; i++)
    sum += problem->lines[lines[i]].loss_um[level];
  return sum;
}

static gboolean
keeps_pressure (const TdPlanProblem *problem,
                const guint *lines,
                guint n_lines,
                guint node,
                guint low)
{
  guint n_nodes = problem->n_towers + problem->n_coolers;
  guint level = problem->levels[node * n_nodes + low];
  if (level == TD_PLAN_NO_LEVEL)
    return FALSE;
  return sum_losses (problem, lines, n_lines, level) <= problem->capacity_um[level];
}

/* Is @node a better place for the pump than @best? Towers before coolers, then more legs; the
 * caller asks in the order of ids. */
static gboolean
is_better_station (const TdPlanProblem *problem, const guint *legs, guint node, int best)
{
  if (best < 0)
    return TRUE;
  gboolean tower = node < problem->n_towers, best_tower = (guint)best < problem->n_towers;
  return tower != best_tower ? tower : legs[node] > legs[best];
}

void
td_plan_problem_fit (const TdPlanProblem *problem,
                     const guint *lines,
                     guint n_lines,
                     TdPlanFit *fit_out)
{
  g_return_if_fail (problem != NULL && fit_out != NULL);
  guint n_nodes = problem->n_towers + problem->n_coolers;
  g_autofree guint *legs = g_new0 (guint, n_nodes + 1);
  guint low = 0;
  int best = -1, any = -1;

  fit_out->pressure_told = TRUE;
  for (guint i = 0; i < n_lines; i++)
    {
      const TdPlanLine *line = &problem->lines[lines[i]];
      legs[line->tower]++;
      legs[problem->n_towers + line->cooler]++;
      fit_out->pressure_told &= line->known;
    }
  while (low < n_nodes && legs[problem->lowest[low]] == 0)
    low++;
  for (guint i = 0; i < n_nodes; i++)
    {
      guint node = problem->node_order[i];
      if (legs[node] == 0 || (problem->station >= 0 && problem->station != (int)node))
        continue;
      if (is_better_station (problem, legs, node, any))
        any = (int)node;
      if (is_better_station (problem, legs, node, best)
          && (!fit_out->pressure_told
              || keeps_pressure (problem, lines, n_lines, node, problem->lowest[low])))
        best = (int)node;
    }
  fit_out->loss_um = sum_losses (problem, lines, n_lines, 0);
  fit_out->flow_fits = fit_out->loss_um <= problem->capacity_um[0];
  fit_out->pressure_fits = best >= 0 || any < 0;
  fit_out->station = best;
}
