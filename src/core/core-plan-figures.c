#include "core-plan-figures.h"

#include <math.h>
#include <string.h>

#define GRAVITY_M_S2 9.80665 /* standard, ISO 80000-3 */
/* Reynolds numbers between which neither law of friction holds. */
#define RE_LAMINAR 2000.0
#define RE_TURBULENT 4000.0

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
  GString *numbers[N_SAYINGS]; /* of the circuits, "1, 2" */
  double shut_off_kpa;         /* the greatest */
  double contact_s;
} Figures;

static void
say (Figures *figures, Saying saying, const TdPlanCircuit *circuit)
{
  GString *numbers = figures->numbers[saying];
  g_string_append_printf (numbers, "%s%u", numbers->len > 0 ? ", " : "", circuit->number);
}

static double
get_surplus_m (const TdLegModel *model, const guint *lines, guint n_lines, double flow_l_min)
{
  double head_m = td_pump_get_head_m (td_leg_model_get_pump (model), flow_l_min);
  for (guint i = 0; i < n_lines; i++)
    head_m -= td_leg_model_get_loss_m (model, lines[i], flow_l_min);
  return head_m;
}

double
td_plan_get_flow_l_min (const TdLegModel *model, const guint *lines, guint n_lines)
{
  g_return_val_if_fail (model != NULL && lines != NULL && n_lines > 0, NAN);
  double low = 0.0, high = 1.0;
  for (guint i = 0; i < n_lines; i++)
    if (!td_leg_model_is_known (model, lines[i]))
      return NAN;
  while (get_surplus_m (model, lines, n_lines, high) > 0.0)
    {
      low = high;
      high *= 2.0;
      g_return_val_if_fail (high < 1e9, NAN);
    }
  /* The surplus falls with the flow; 60 halvings leave nothing of a double's digits. */
  for (guint i = 0; i < 60 && high - low > 1e-12 * high; i++)
    {
      double middle = 0.5 * (low + high);
      if (get_surplus_m (model, lines, n_lines, middle) > 0.0)
        low = middle;
      else
        high = middle;
    }
  return 0.5 * (low + high);
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

/* In the widest tube, where the liquid is slowest and cleans least. */
static void
fill_leg (Figures *figures, TdPlanLeg *leg, guint line, double flow_l_min)
{
  const TdLine *is = &figures->site->lines[line];
  const TdFluid *fluid = td_leg_model_get_fluid (figures->model);
  double bore_m = 0.0;
  leg->velocity_m_s = leg->reynolds = NAN;
  for (guint i = 0; i < is->n_segments; i++)
    bore_m = MAX (bore_m, is->segments[i].bore_mm * 1e-3);
  if (bore_m <= 0.0 || isnan (flow_l_min))
    return;
  leg->velocity_m_s = flow_l_min / 60000.0 / (G_PI / 4.0 * bore_m * bore_m);
  leg->reynolds = fluid->density_kg_m3 * leg->velocity_m_s * bore_m / fluid->viscosity_pa_s;
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
          |= circuit->legs[i].reynolds > RE_LAMINAR && circuit->legs[i].reynolds < RE_TURBULENT;
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

static char *
write_warning (const Figures *figures, Saying saying)
{
  const char *numbers = figures->numbers[saying]->str;
  const char *many = strchr (numbers, ',') != NULL ? "s" : "";
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
  double flow = td_plan_get_flow_l_min (figures->model, lines, circuit->n_legs);
  circuit->flow_l_min = flow;
  circuit->volume_l = volume_ml * 1e-3;
  circuit->pump_head_m
      = isnan (flow) ? NAN : td_pump_get_head_m (td_leg_model_get_pump (figures->model), flow);
  circuit->max_pressure_kpa = td_leg_model_get_fluid (figures->model)->density_kg_m3 * GRAVITY_M_S2
                              * (circuit->pump_head_m + bucket_m - lowest_m) * 1e-3;
  circuit->fill_s = circuit->volume_l / flow * 60.0;
  circuit->turnovers = figures->contact_s / circuit->fill_s;
  for (guint i = 0; i < circuit->n_legs; i++)
    fill_leg (figures, &circuit->legs[i], lines[i], flow);
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

  for (Saying saying = 0; saying < N_SAYINGS; saying++)
    figures.numbers[saying] = g_string_new (NULL);
  for (guint i = 0; i < plan->n_circuits; i++)
    fill_circuit (&figures, &plan->circuits[i]);
  plan->solution_l = count_solution_l (&figures, (double)td_settings_get (use, TD_SETTING_BUCKET));
  for (Saying saying = 0; saying < N_SAYINGS; saying++)
    {
      g_autofree char *text = write_warning (&figures, saying);
      if (figures.numbers[saying]->len > 0)
        g_strv_builder_add (warnings, text);
      g_string_free (figures.numbers[saying], TRUE);
    }
  g_strv_builder_addv (warnings, (const char **)plan->warnings);
  g_strfreev (plan->warnings);
  plan->warnings = g_strv_builder_end (warnings);
}
