#include "core-compare.h"

#include <math.h>

#include "core-diagnose.h"

const char *
td_compared_get_key (TdCompared compared)
{
  static const char *const keys[]
      = { "flow_ml_min", "fill_s", "volume_ml", "velocity_mm_s", "contact_s", "rinse_s", "rinse_ml" };
  G_STATIC_ASSERT (G_N_ELEMENTS (keys) == TD_N_COMPARED);

  g_return_val_if_fail ((guint)compared < TD_N_COMPARED, NULL);
  return keys[compared];
}

static gint64
get_span_s (TdStamp from, TdStamp to)
{
  return from.seq != 0 && to.seq != 0 && to.at_ms >= from.at_ms
             ? (to.at_ms - from.at_ms) / 1000
             : TD_COMPARED_UNKNOWN;
}

/* The last clean of a line in that circuit, or NULL. */
static const TdPass *
find_pass (const TdVisit *visit, guint outlet, int circuit)
{
  const GArray *passes = visit->lines[outlet].passes;

  for (guint i = passes->len; i > 0; i--)
    {
      const TdPass *pass = &g_array_index (passes, TdPass, i - 1);
      if (pass->circuit == circuit)
        return pass;
    }
  return NULL;
}

static gint64
get_most (gint64 a, gint64 b)
{
  return MAX (a, b);
}

static gint64
get_least (gint64 a, gint64 b)
{
  return a == TD_COMPARED_UNKNOWN ? b : MIN (a, b);
}

static void
take_pass (const TdVisit *visit, const TdPass *pass, TdComparison *out)
{
  gint64 *run = out->run;

  run[TD_COMPARED_FILL]
      = get_most (run[TD_COMPARED_FILL], get_span_s (pass->chemical_in, pass->clock_start));
  if (pass->rinse_passed)
    run[TD_COMPARED_RINSE] = get_most (run[TD_COMPARED_RINSE],
                                       get_span_s (pass->rinse_start, pass->rinse_ph.stamp));
  out->planned[TD_COMPARED_CONTACT]
      = get_most (out->planned[TD_COMPARED_CONTACT], pass->required_ms / 1000);
  if (pass->clock_start.seq != 0 && pass->contact_end.seq != 0)
    run[TD_COMPARED_CONTACT] = get_least (run[TD_COMPARED_CONTACT], pass->contact_ms / 1000);
}

/* Bore in mm of the widest tube of the circuit's lines; 0 where none is known. */
static double
get_widest_mm (const TdVisit *visit, const TdVisitCircuit *circuit)
{
  double widest = 0.0;

  for (guint i = 0; i < circuit->legs->len; i++)
    {
      guint outlet = g_array_index (circuit->legs, TdLeg, i).outlet;
      const TdLine *line = &visit->site->lines[visit->site->outlets[outlet].line];

      for (guint k = 0; k < line->n_segments; k++)
        widest = fmax (widest, line->segments[k].bore_mm);
    }
  return widest;
}

/* What follows from the flow that was measured. */
static void
add_from_flow (const TdVisit *visit, const TdVisitCircuit *circuit, gint64 *run)
{
  double bore_mm = get_widest_mm (visit, circuit);
  gint64 flow = run[TD_COMPARED_FLOW];

  if (flow <= 0)
    return;
  if (run[TD_COMPARED_FILL] != TD_COMPARED_UNKNOWN)
    run[TD_COMPARED_VOLUME] = llround ((double)flow * (double)run[TD_COMPARED_FILL] / 60.0);
  /* mL/min over mm2 in mm/s: 1000 mm3 in a mL, 60 s in a minute. */
  if (bore_mm > 0.0)
    run[TD_COMPARED_VELOCITY]
        = llround ((double)flow * 1000.0 / 60.0 / (G_PI / 4.0 * bore_mm * bore_mm));
}

void
td_visit_compare (const TdVisit *visit, const TdVisitCircuit *circuit, TdComparison *comparison_out)
{
  g_return_if_fail (visit != NULL && circuit != NULL && comparison_out != NULL);

  for (guint i = 0; i < TD_N_COMPARED; i++)
    comparison_out->planned[i] = comparison_out->run[i] = TD_COMPARED_UNKNOWN;
  if (circuit->predicted_flow_ml_min > 0)
    comparison_out->planned[TD_COMPARED_FLOW] = circuit->predicted_flow_ml_min;
  comparison_out->planned[TD_COMPARED_FILL] = circuit->predicted_fill_s;
  comparison_out->planned[TD_COMPARED_VOLUME] = circuit->predicted_volume_ml;
  comparison_out->planned[TD_COMPARED_VELOCITY] = circuit->predicted_velocity_mm_s;
  comparison_out->planned[TD_COMPARED_RINSE] = circuit->predicted_rinse_s;
  comparison_out->planned[TD_COMPARED_WATER] = circuit->predicted_rinse_ml;
  if (circuit->flow.stamp.seq != 0)
    comparison_out->run[TD_COMPARED_FLOW] = circuit->flow.value;
  if (circuit->rinse_water_ml > 0)
    comparison_out->run[TD_COMPARED_WATER] = circuit->rinse_water_ml;
  for (guint i = 0; i < circuit->legs->len; i++)
    {
      const TdPass *pass
          = find_pass (visit, g_array_index (circuit->legs, TdLeg, i).outlet, circuit->number);
      if (pass != NULL)
        take_pass (visit, pass, comparison_out);
    }
  add_from_flow (visit, circuit, comparison_out->run);
}

/* ---- which leg explains it ---- */

char *
td_visit_diagnose (const TdVisit *visit)
{
  g_return_val_if_fail (visit != NULL, NULL);
  double share = (double)td_settings_get (visit->settings, TD_SETTING_FLOW_ERROR) / 100.0;
  g_autoptr (GArray) readings = g_array_new (FALSE, FALSE, sizeof (TdFlowReading));
  g_autoptr (GPtrArray) lists = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < visit->circuits->len; i++)
    {
      const TdVisitCircuit *circuit = &g_array_index (visit->circuits, TdVisitCircuit, i);
      TdFlowReading reading = { .n_lines = circuit->legs->len,
                                .flow_error = share,
                                .pump_kpa = NAN };
      if (circuit->flow.stamp.seq == 0 || circuit->flow.value <= 0 || circuit->legs->len == 0)
        continue;
      guint *lines = g_new (guint, circuit->legs->len);
      for (guint k = 0; k < circuit->legs->len; k++)
        lines[k] = visit->site->outlets[g_array_index (circuit->legs, TdLeg, k).outlet].line;
      g_ptr_array_add (lists, lines);
      reading.lines = lines;
      reading.flow_l_min = (double)circuit->flow.value / 1000.0;
      g_array_append_val (readings, reading);
    }
  if (readings->len == 0)
    return NULL;
  if (visit->site->n_curve == 0)
    return g_strdup ("Cannot tell what the flows measured mean: the site's sheet has no curve of the "
                     "cleaning pump.");
  g_autoptr (TdLegModel) model = td_leg_model_new (visit->site, visit->settings, &error);
  g_autoptr (TdDiagnosis) diagnosis
      = model != NULL
            ? td_diagnose (model, (const TdFlowReading *)readings->data, readings->len, &error)
            : NULL;
  return diagnosis != NULL ? td_diagnosis_explain (diagnosis, visit->site)
                           : g_strdup (error->message);
}
