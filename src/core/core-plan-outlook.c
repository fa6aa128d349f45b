#include "core-plan-outlook.h"

#include <math.h>

#include "core-leg.h"
#include "core-rinse-end.h"
#include "core-transport.h"

/* g/mol, IUPAC 2021. */
#define MOLAR_H3PO4 97.994

typedef struct
{
  const TdSite *site;
  const TdPlan *plan;
  const TdSettings *settings;
  TdPlanOutlook *outlook;
  TdLegModel *model;
  TdFluid water; /* from the tap */
  TdFluid cold;  /* water at the beer's temperature: beer behind it mixes alike */
} Maker;

static double
get (const Maker *maker, TdSettingId id, double scale)
{
  return (double)td_settings_get (maker->settings, id) * scale;
}

/* Moles of base or acid in a litre of the solution.  Phosphoric acid gives up one proton and, around
 * neutral, part of the second (pK2 7.2): two are counted, which asks for the more water. */
static double
get_solution_mol_l (const Maker *maker)
{
  double grams
      = td_leg_model_get_fluid (maker->model)->density_kg_m3 * maker->site->percent / 100.0;
  if (g_str_equal (maker->site->substance, "koh"))
    return grams / TD_MOLAR_KOH;
  if (g_str_equal (maker->site->substance, "h3po4"))
    return 2.0 * grams / MOLAR_H3PO4;
  return grams / TD_MOLAR_NAOH;
}

static double
get_end_share (const Maker *maker)
{
  double band = get (maker, TD_SETTING_RINSE_BAND_METER, 1e-3);
  double share = td_rinse_end_get_share (
      get_solution_mol_l (maker), get (maker, TD_SETTING_TAP_PH, 1e-3),
      get (maker, TD_SETTING_TAP_ALKALINITY, 1.0),
      g_str_equal (maker->site->substance, "h3po4") ? -band : band);
  /* Water without any buffer is at the band's edge with next to nothing; half is no rinse. */
  return share > 1e-9 && share < 0.4 ? share : TD_RINSE_SHARE_SOFT;
}

/* ---- one way ---- */

/* By the setting, where nothing better is known. */
static void
reckon (const Maker *maker, double flow_l_min, TdOutlookRinse *rinse)
{
  rinse->reckoned = TRUE;
  rinse->volumes = get (maker, TD_SETTING_RINSE_VOLUMES, 0.01);
  rinse->water_l = rinse->volumes * rinse->volume_ml * 1e-3;
  rinse->seconds = rinse->water_l / flow_l_min * 60.0;
}

static gboolean
rinse_way (const Maker *maker,
           const GArray *segments,
           const GArray *pockets,
           double flow_l_min,
           TdOutlookRinse *rinse,
           GError **error)
{
  TdRinseQuestion question = { (const TdSegment *)segments->data, segments->len,
                               (const double *)pockets->data,     pockets->len,
                               flow_l_min,                        maker->water,
                               maker->outlook->end_share };
  TdRinse answer;

  if (!td_transport_rinse (&question, &answer, error))
    return FALSE;
  rinse->water_l = answer.rinse_l;
  rinse->seconds = answer.rinse_s;
  rinse->volumes = answer.rinse_l * 1e3 / answer.volume_ml;
  rinse->laminar = answer.laminar;
  rinse->uncertain = answer.uncertain;
  return TRUE;
}

/* What stands in a tube, and on refilling the mixed zone. */
static double
get_beer_lost_ml (const Maker *maker, double volume_ml, const TdSegment *segments, guint n)
{
  TdRinseQuestion question = { .segments = segments,
                               .n_segments = n,
                               .flow_l_min = get (maker, TD_SETTING_POUR_RATE, 1e-3),
                               .fluid = maker->cold,
                               .eps = 0.01 };
  TdRinse answer = { .spread = NAN };
  if (isnan (volume_ml))
    return NAN;
  if (n > 0 && !td_transport_rinse (&question, &answer, NULL))
    answer.spread = NAN;
  return td_transport_get_beer_lost_ml (volume_ml, answer.spread);
}

/* ---- circuits ---- */

static gboolean
look_at_circuit (Maker *maker, const TdPlanCircuit *circuit, TdOutlookCircuit *out, GError **error)
{
  g_autoptr (GArray) segments = g_array_new (FALSE, FALSE, sizeof (TdSegment));
  g_autoptr (GArray) pockets = g_array_new (FALSE, FALSE, sizeof (double));
  g_autofree double *volumes = g_new0 (double, circuit->n_legs + 1);
  const TdSegment *jumper = td_leg_model_get_jumper (maker->model);
  double flow = isnan (circuit->flow_l_min) ? maker->site->min_flow_l_min : circuit->flow_l_min;
  double pocket_ml = TD_FOB_POCKET_ML;
  gboolean known = !isnan (circuit->flow_l_min);

  out->circuit = circuit;
  out->fronts_s = g_new0 (double, circuit->n_legs + 1);
  for (guint i = 0; i < circuit->n_legs; i++)
    {
      int at = td_site_find_line (maker->site, circuit->legs[i].line);
      g_return_val_if_fail (at >= 0, FALSE);
      const TdLine *line = &maker->site->lines[at];
      double line_ml = td_line_get_volume_ml (line);

      volumes[i] = line_ml + td_segment_get_volume_ml (jumper);
      out->rinse.volume_ml += volumes[i];
      out->beer_lost_ml += get_beer_lost_ml (maker, line_ml, line->segments, line->n_segments);
      g_array_append_vals (segments, line->segments, line->n_segments);
      g_array_append_vals (segments, jumper, 1);
      if (line->fob)
        g_array_append_val (pockets, pocket_ml);
      known &= line->n_segments > 0;
    }
  out->rinse.pockets_ml = pocket_ml * pockets->len;
  td_transport_get_fronts (volumes, circuit->n_legs, flow, out->fronts_s);
  if (known)
    return rinse_way (maker, segments, pockets, flow, &out->rinse, error);
  reckon (maker, flow, &out->rinse);
  return TRUE;
}

/* ---- static lines ---- */

static gboolean
look_at_static (Maker *maker, const TdPlanStatic *still, TdOutlookStatic *out, GError **error)
{
  int at = td_site_find_outlet (maker->site, still->line);
  g_return_val_if_fail (at >= 0, FALSE);
  const TdOutlet *outlet = &maker->site->outlets[at];
  const TdLine *line = &maker->site->lines[outlet->line];
  const TdSideFaucet *side = outlet->side >= 0 ? &line->side_faucets[outlet->side] : NULL;
  g_autoptr (GArray) segments = g_array_new (FALSE, FALSE, sizeof (TdSegment));
  g_autoptr (GArray) pockets = g_array_new (FALSE, FALSE, sizeof (double));
  double flow = maker->site->min_flow_l_min, pocket_ml = TD_FOB_POCKET_ML;

  out->still = still;
  out->rinse.volume_ml = td_outlet_get_volume_ml (maker->site, (guint)at);
  g_array_append_vals (segments, side != NULL ? side->segments : line->segments,
                       side != NULL ? side->n_segments : line->n_segments);
  if (side == NULL && line->fob)
    g_array_append_val (pockets, pocket_ml);
  out->rinse.pockets_ml = pocket_ml * pockets->len;
  out->beer_lost_ml = get_beer_lost_ml (maker, out->rinse.volume_ml,
                                        (const TdSegment *)segments->data, segments->len);
  out->front_s = out->rinse.volume_ml / flow * 0.06;
  if (segments->len > 0)
    return rinse_way (maker, segments, pockets, flow, &out->rinse, error);
  reckon (maker, flow, &out->rinse);
  return TRUE;
}

/* ---- the whole ---- */

/* What is not known is left out of a sum, never guessed. */
static double
known (double value)
{
  return isnan (value) ? 0.0 : value;
}

static void
add_up (Maker *maker)
{
  TdPlanOutlook *outlook = maker->outlook;
  g_autofree double *circuits_ml = g_new0 (double, outlook->n_circuits + 1);
  g_autofree double *statics_ml = g_new0 (double, outlook->n_statics + 1);
  double bucket_ml = get (maker, TD_SETTING_BUCKET, 1.0);
  gint64 price = td_settings_get (maker->settings, TD_SETTING_BEER_PRICE);

  for (guint i = 0; i < outlook->n_circuits; i++)
    {
      circuits_ml[i] = known (outlook->circuits[i].rinse.volume_ml);
      outlook->rinse_l += known (outlook->circuits[i].rinse.water_l);
      outlook->beer_lost_ml += known (outlook->circuits[i].beer_lost_ml);
    }
  for (guint i = 0; i < outlook->n_statics; i++)
    {
      statics_ml[i] = known (outlook->statics[i].rinse.volume_ml);
      outlook->rinse_l += known (outlook->statics[i].rinse.water_l);
      outlook->beer_lost_ml += known (outlook->statics[i].beer_lost_ml);
    }
  outlook->reused_l = td_transport_get_solution_l (circuits_ml, outlook->n_circuits, statics_ml,
                                                   outlook->n_statics, bucket_ml, TRUE);
  outlook->fresh_l = td_transport_get_solution_l (circuits_ml, outlook->n_circuits, statics_ml,
                                                  outlook->n_statics, bucket_ml, FALSE);
  outlook->beer_minor
      = price > 0 ? td_transport_get_beer_price_minor (outlook->beer_lost_ml, price) : -1;
}

static gboolean
look_ahead (Maker *maker, GError **error)
{
  const TdPlan *plan = maker->plan;
  TdPlanOutlook *outlook = maker->outlook;

  if (!td_fluid_get ("water", 0.0, get (maker, TD_SETTING_TAP_TEMPERATURE, 1e-3), &maker->water,
                     error)
      || !td_fluid_get ("water", 0.0,
                        fmax (TD_FLUID_MIN_C, get (maker, TD_SETTING_BEER_TEMPERATURE, 1e-3)),
                        &maker->cold, error))
    return FALSE;
  outlook->end_share = get_end_share (maker);
  outlook->circuits = g_new0 (TdOutlookCircuit, plan->n_circuits + 1);
  outlook->statics = g_new0 (TdOutlookStatic, plan->n_statics + 1);
  for (guint i = 0; i < plan->n_circuits; i++, outlook->n_circuits++)
    if (!look_at_circuit (maker, &plan->circuits[i], &outlook->circuits[i], error))
      return FALSE;
  for (guint i = 0; i < plan->n_statics; i++, outlook->n_statics++)
    if (!look_at_static (maker, &plan->statics[i], &outlook->statics[i], error))
      return FALSE;
  add_up (maker);
  return TRUE;
}

TdPlanOutlook *
td_plan_outlook_new (const TdSite *site,
                     const TdPlan *plan,
                     const TdSettings *settings,
                     guint technicians,
                     GError **error)
{
  g_return_val_if_fail (site != NULL && plan != NULL, NULL);
  g_return_val_if_fail (technicians >= 1 && technicians <= 2, NULL);
  g_autoptr (TdSettings) standard = settings == NULL ? td_settings_new () : NULL;
  g_autoptr (TdPlanOutlook) outlook = g_new0 (TdPlanOutlook, 1);
  g_autoptr (TdLegModel) model = td_leg_model_new (site, settings, error);
  Maker maker = {
    .site = site,
    .plan = plan,
    .settings = settings != NULL ? settings : standard,
    .outlook = outlook,
    .model = model,
  };

  if (model == NULL || !look_ahead (&maker, error))
    return NULL;
  outlook->technicians = technicians;
  outlook->time = td_plan_time_new (site, plan, maker.settings, technicians);
  return g_steal_pointer (&outlook);
}

void
td_plan_outlook_free (TdPlanOutlook *outlook)
{
  g_return_if_fail (outlook != NULL);
  /* Also the one that failed half-way. */
  for (guint i = 0; outlook->circuits != NULL && i <= outlook->n_circuits; i++)
    g_free (outlook->circuits[i].fronts_s);
  g_free (outlook->circuits);
  g_free (outlook->statics);
  g_clear_pointer (&outlook->time, td_plan_time_free);
  g_free (outlook);
}
