#include "core-plan-figures.h"

#include <math.h>

#include "core-pipe.h"

/* What is to be said of several circuits at once. */
typedef enum
{
  SAY_UNKNOWN,
  SAY_DRIVEN,
  SAY_UNCERTAIN,
  SAY_SHUT_OFF,
  N_SAYINGS
} Saying;

typedef struct
{
  TdPlan *plan;
  const TdSite *site;
  const TdLegModel *model;
  GStrvBuilder *warnings;
  GArray *numbers[N_SAYINGS]; /* guint, of the circuits, rising */
  double shut_off_kpa;         /* the greatest */
  double contact_s;
} Figures;

static void
say (Figures *figures, Saying saying, const TdPlanCircuit *circuit)
{
  g_array_append_val (figures->numbers[saying], circuit->number);
}

char *
td_plan_write_ranges (const guint *numbers, guint n)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < n; i++)
    {
      guint last = i;
      while (last + 1 < n && numbers[last + 1] == numbers[last] + 1)
        last++;
      g_string_append_printf (text, "%s%u", i > 0 ? ", " : "", numbers[i]);
      /* Two neighbours read better apart. */
      if (last > i + 1)
        {
          g_string_append_printf (text, "\xe2\x80\x93%u", numbers[last]);
          i = last;
        }
    }
  return g_string_free (text, FALSE);
}

static double
get_height (const TdSite *site, guint line, gboolean tower)
{
  return tower ? site->towers[site->lines[line].tower].height_m
               : site->coolers[site->lines[line].cooler].height_m;
}

static const char *
get_name (const TdSite *site, guint line, gboolean tower)
{
  return tower ? site->towers[site->lines[line].tower].name
               : site->coolers[site->lines[line].cooler].name;
}

/* ---- warnings ---- */

static void
warn_of_lines (Figures *figures, const TdPlanCircuit *circuit, const guint *lines)
{
  gboolean known = TRUE, driven = FALSE, uncertain = FALSE;
  for (guint i = 0; i < circuit->n_legs; i++)
    {
      known &= td_leg_model_is_known (figures->model, lines[i]);
      driven |= figures->site->lines[lines[i]].beer_pump != TD_BEER_PUMP_NONE;
      uncertain
          |= circuit->legs[i].reynolds > TD_REYNOLDS_LAMINAR
             && circuit->legs[i].reynolds < TD_REYNOLDS_TURBULENT;
    }
  if (!known)
    say (figures, SAY_UNKNOWN, circuit);
  if (driven && known)
    say (figures, SAY_DRIVEN, circuit);
  if (uncertain)
    say (figures, SAY_UNCERTAIN, circuit);
}

/* Gauge pressure at the joints between legs, from the bucket round. */
static void
warn_of_heights (Figures *figures, const TdPlanCircuit *circuit, const guint *lines)
{
  double bucket_m = get_height (figures->site, lines[0], !circuit->at_cooler);
  double head_m = bucket_m + circuit->pump_head_m;
  for (guint i = 0; i + 1 < circuit->n_legs; i++)
    {
      gboolean tower = !circuit->legs[i].runs_in;
      head_m -= td_leg_model_get_loss_m (figures->model, lines[i], circuit->flow_l_min);
      if (head_m >= get_height (figures->site, lines[i], tower))
        continue;
      g_autofree char *text = g_strdup_printf (
          "Circuit %u: at %s, after line %s, the pressure falls below the atmosphere's; joints there "
          "draw air.",
          circuit->number, get_name (figures->site, lines[i], tower), circuit->legs[i].line);
      g_strv_builder_add (figures->warnings, text);
      return;
    }
}

static void
warn_of_pressure (Figures *figures, const TdPlanCircuit *circuit, double bucket_m, double lowest_m)
{
  double shut_off_kpa = td_leg_model_get_shut_off_kpa (figures->model, bucket_m, lowest_m);
  if (shut_off_kpa <= figures->site->max_pressure_kpa)
    return;
  say (figures, SAY_SHUT_OFF, circuit);
  figures->shut_off_kpa = fmax (figures->shut_off_kpa, shut_off_kpa);
}

/* A sheet without a pump is planned with one that stands in; people are told which. */
static void
warn_of_pump (Figures *figures)
{
  const TdPump *pump = td_leg_model_get_pump (figures->model);
  if (figures->site->n_curve > 0)
    return;
  g_autofree char *text = g_strdup_printf (
      "The sheet has no cleaning pump: a small circulation pump is reckoned with, %.0f m shut off, "
      "%.0f m at 6 L/min, %.0f m at 10 L/min. Give the curve of yours, for it decides how many lines "
      "a circuit takes.",
      td_pump_get_shut_off_m (pump), td_pump_get_head_m (pump, 6.0), td_pump_get_head_m (pump, 10.0));
  g_strv_builder_add (figures->warnings, text);
}

static char *
write_warning (const Figures *figures, Saying saying)
{
  const GArray *list = figures->numbers[saying];
  g_autofree char *numbers = td_plan_write_ranges ((const guint *)list->data, list->len);
  const char *many = list->len > 1 ? "s" : "";
  switch (saying)
    {
    case SAY_UNKNOWN:
      return g_strdup_printf (
          "Circuit%s %s: not every tube is known, so flow and pressure cannot be predicted; watch the "
          "gauge and measure the flow with bucket and watch.",
          many, numbers);
    case SAY_DRIVEN:
      return g_strdup_printf (
          "Circuit%s %s: the lift of beer pumps is not counted; with their gas on the flow is greater.",
          many, numbers);
    case SAY_UNCERTAIN:
      return g_strdup_printf (
          "Circuit%s %s: in some tubes the flow is neither laminar nor turbulent; "
          "the predicted flow is uncertain by a tenth or more.",
          many, numbers);
    default:
      return g_strdup_printf (
          "Circuit%s %s: should the flow be shut off while the pump runs, the pressure rises to %.0f "
          "kPa, above the limit of %.0f kPa; never close a circuit against the running pump.",
          many, numbers, figures->shut_off_kpa, figures->site->max_pressure_kpa);
    }
}

/* ---- circuits ---- */

static void
fill_circuit (Figures *figures, TdPlanCircuit *circuit)
{
  const TdSite *site = figures->site;
  g_autofree guint *lines = g_new (guint, circuit->n_legs + 1);
  double jumper_ml = td_segment_get_volume_ml (td_leg_model_get_jumper (figures->model));
  double lowest_m = INFINITY, volume_ml = 0.0;

  for (guint i = 0; i < circuit->n_legs; i++)
    {
      int line = td_site_find_line (site, circuit->legs[i].line);
      g_return_if_fail (line >= 0);
      lines[i] = (guint)line;
      volume_ml += td_leg_model_get_volume_ml (figures->model, lines[i]) + jumper_ml;
      lowest_m = fmin (
          lowest_m, fmin (get_height (site, lines[i], TRUE), get_height (site, lines[i], FALSE)));
    }
  double bucket_m = get_height (site, lines[0], !circuit->at_cooler);
  double flow = td_leg_model_get_flow_l_min (figures->model, lines, circuit->n_legs, 0.0);
  circuit->flow_l_min = flow;
  circuit->volume_l = volume_ml * 1e-3;
  circuit->pump_head_m
      = isnan (flow) ? NAN : td_pump_get_head_m (td_leg_model_get_pump (figures->model), flow);
  circuit->max_pressure_kpa = td_leg_model_get_fluid (figures->model)->density_kg_m3 * TD_GRAVITY
                              * (circuit->pump_head_m + bucket_m - lowest_m) * 1e-3;
  circuit->fill_s = circuit->volume_l / flow * 60.0;
  circuit->turnovers = figures->contact_s / circuit->fill_s;
  for (guint i = 0; i < circuit->n_legs; i++)
    td_leg_model_get_slowest (figures->model, lines[i], flow, &circuit->legs[i].velocity_m_s,
                              &circuit->legs[i].reynolds);
  warn_of_lines (figures, circuit, lines);
  if (!isnan (flow))
    warn_of_heights (figures, circuit, lines);
  warn_of_pressure (figures, circuit, bucket_m, lowest_m);
}

/* Every circuit is filled with fresh solution, every static line once, and the bucket keeps what
 * the pump needs over its inlet. */
static double
count_solution_l (const Figures *figures, double bucket_ml)
{
  double sum_l = figures->plan->n_circuits + figures->plan->n_statics > 0 ? bucket_ml * 1e-3 : 0.0;
  for (guint i = 0; i < figures->plan->n_circuits; i++)
    sum_l += figures->plan->circuits[i].volume_l;
  for (guint i = 0; i < figures->plan->n_statics; i++)
    {
      int outlet = td_site_find_outlet (figures->site, figures->plan->statics[i].line);
      g_return_val_if_fail (outlet >= 0, NAN);
      double volume_ml = td_outlet_get_volume_ml (figures->site, (guint)outlet);
      sum_l += isnan (volume_ml) ? 0.0 : volume_ml * 1e-3;
    }
  return sum_l;
}

void
td_plan_fill_figures (TdPlan *plan,
                      const TdSite *site,
                      const TdLegModel *model,
                      const TdSettings *settings)
{
  g_return_if_fail (plan != NULL && site != NULL && model != NULL);
  g_autoptr (TdSettings) standard = settings == NULL ? td_settings_new () : NULL;
  g_autoptr (GStrvBuilder) warnings = g_strv_builder_new ();
  const TdSettings *use = settings != NULL ? settings : standard;
  Figures figures = { plan,
                      site,
                      model,
                      warnings,
                      { NULL },
                      0.0,
                      (double)td_settings_get (use, TD_SETTING_CONTACT_CIRCULATING) };

  warn_of_pump (&figures);
  for (Saying saying = 0; saying < N_SAYINGS; saying++)
    figures.numbers[saying] = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < plan->n_circuits; i++)
    fill_circuit (&figures, &plan->circuits[i]);
  plan->solution_l = count_solution_l (&figures, (double)td_settings_get (use, TD_SETTING_BUCKET));
  for (Saying saying = 0; saying < N_SAYINGS; saying++)
    {
      if (figures.numbers[saying]->len > 0)
        {
          g_autofree char *text = write_warning (&figures, saying);
          g_strv_builder_add (warnings, text);
        }
      g_array_unref (figures.numbers[saying]);
    }
  g_strv_builder_addv (warnings, (const char **)plan->warnings);
  g_strfreev (plan->warnings);
  plan->warnings = g_strv_builder_end (warnings);
}
