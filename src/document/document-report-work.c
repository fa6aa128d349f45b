#include "document-report-private.h"

#include "core-safety.h"

static void
add_safety (TdReportChemical *chemical, const TdBatch *from)
{
  for (guint part = 0; part < TD_N_SAFETY; part++)
    chemical->safety[part] = g_strdupv (from->product->safety[part]);
  chemical->danger = td_product_is_danger (from->product);
  chemical->sds_revised = from->product->sds_revised;
  if (from->basis == TD_BASIS_W_W && from->percent_milli > 0)
    chemical->solution_class = td_safety_get_solution_class (from->product->substance, from->percent_milli);
}

static void
add_chemical (TdReportFiller *filler, const TdBatch *from)
{
  TdReport *report = filler->report;
  TdReportChemical chemical = {
    .batch = td_report_keep (report, from->id),
    .lot_expiry = TD_DATE_NONE,
    .sds_revised = TD_DATE_NONE,
    .concentrate_ml = from->concentrate_ml >= 0 ? from->concentrate_ml : TD_NONE,
    .water_ml = from->water_ml >= 0 ? from->water_ml : TD_NONE,
    .percent_milli = from->percent_milli >= 0 ? from->percent_milli : TD_NONE,
    .basis = td_basis_to_text (from->basis),
    .known = td_known_to_text (from->known),
    .person = td_report_person (filler, from->person),
    .mixed_ms = td_report_time (from->mixed),
    .strength = td_report_reading (filler, &from->strength),
    .temperature = td_report_reading (filler, &from->temperature),
    .disposed_ml = from->disposed_ml,
  };

  if (from->product != NULL)
    {
      chemical.product = td_report_keep (report, from->product->name);
      chemical.product_id = td_report_keep (report, from->product->id);
      chemical.kind = td_product_kind_to_text (from->product->kind);
      chemical.caution = td_report_keep (report, from->product->caution);
      add_safety (&chemical, from);
    }
  if (from->lot != NULL)
    {
      chemical.lot = td_report_keep (report, from->lot->code);
      chemical.lot_expiry = from->lot->expiry;
      chemical.lot_recalled = from->lot->recalled;
    }
  if (from->strength.stamp.seq != 0)
    {
      chemical.strength_basis = td_basis_to_text (from->strength_basis);
      chemical.strength_method = td_report_keep (report, from->strength_method);
    }
  g_array_append_val (report->chemicals, chemical);
}

static void
add_lockout (TdReportFiller *filler, const TdTag *from)
{
  TdReport *report = filler->report;
  TdReportLockout lockout = {
    .tag = td_report_keep (report, from->id),
    .kind = td_report_keep (report, from->kind),
    .holds = td_report_keep (report, from->at),
    .legend = td_report_keep (report, from->legend),
    .line = td_report_outlet_id (filler, from->outlet),
    .hung_by = td_report_person (filler, from->hung_by),
    .owner = td_report_person (filler, from->owner),
    .removed_by = from->removed.seq != 0 ? td_report_person (filler, from->removed_by) : NULL,
    .hung_ms = td_report_time (from->hung),
    .removed_ms = td_report_time (from->removed),
    .employer_procedure = from->employer_procedure,
    .lifts = g_array_new (FALSE, TRUE, sizeof (TdReportLift)),
  };

  lockout.place = from->outlet >= 0 ? td_report_outlet_title (filler, from->outlet)
                                    : td_report_keep (report, from->place);
  for (guint i = 0; i < from->lifts->len; i++)
    {
      const TdTagLift *lift = &g_array_index (from->lifts, TdTagLift, i);
      TdReportLift copy = { td_report_time (lift->lifted), td_report_time (lift->again),
                            td_report_person (filler, lift->lifted_by) };

      g_array_append_val (lockout.lifts, copy);
    }
  g_array_append_val (report->lockouts, lockout);
}

static void
add_circuit (TdReportFiller *filler, const TdVisitCircuit *from)
{
  TdReportCircuit circuit = {
    .number = from->number,
    .station = td_report_place_name (filler, from->station),
    .legs = g_array_new (FALSE, TRUE, sizeof (TdReportLeg)),
    .pump = g_array_new (FALSE, TRUE, sizeof (TdReportSwitch)),
    .return_ms = td_report_time (from->return_in_bucket),
    .flow_ml_min = from->flow.stamp.seq != 0 ? from->flow.value : TD_NONE,
    .predicted_ml_min = from->predicted_flow_ml_min > 0 ? from->predicted_flow_ml_min : TD_NONE,
  };

  td_visit_compare (filler->visit, from, &circuit.compared);

  for (guint i = 0; i < from->legs->len; i++)
    {
      const TdLeg *leg = &g_array_index (from->legs, TdLeg, i);
      TdReportLeg copy = { td_report_outlet_id (filler, (int)leg->outlet),
                           td_report_outlet_title (filler, (int)leg->outlet),
                           td_direction_to_text (leg->direction), leg->reversal };

      g_array_append_val (circuit.legs, copy);
    }
  for (guint i = 0; i < from->pump->len; i++)
    {
      const TdSwitch *turn = &g_array_index (from->pump, TdSwitch, i);
      TdReportSwitch copy = { td_report_time (turn->stamp), turn->on };

      g_array_append_val (circuit.pump, copy);
    }
  g_array_append_val (filler->report->circuits, circuit);
}

static void
add_static (TdReportFiller *filler, const TdVisitStatic *from)
{
  TdReportStatic copy
      = { td_report_outlet_id (filler, (int)from->outlet),
          td_report_outlet_title (filler, (int)from->outlet),
          td_report_keep (filler->report, filler->visit->site->coolers[from->cooler].name),
          from->fed_by };

  g_array_append_val (filler->report->statics, copy);
}

static void
add_disposal (TdReportFiller *filler, const TdDisposal *from)
{
  const TdVisit *visit = filler->visit;
  TdReportDisposal disposal = { NULL, td_report_time (from->stamp), from->volume_ml,
                                from->ph_milli >= 0 ? from->ph_milli : TD_NONE,
                                td_report_keep (filler->report, from->drain) };

  if (from->batch >= 0 && from->batch < (int)visit->batches->len)
    disposal.batch
        = td_report_keep (filler->report, g_array_index (visit->batches, TdBatch, from->batch).id);
  g_array_append_val (filler->report->disposals, disposal);
}

void
td_report_fill_work (TdReportFiller *filler)
{
  const TdVisit *visit = filler->visit;

  for (guint i = 0; i < visit->batches->len; i++)
    add_chemical (filler, &g_array_index (visit->batches, TdBatch, i));
  for (guint i = 0; i < visit->tags->len; i++)
    add_lockout (filler, &g_array_index (visit->tags, TdTag, i));
  for (guint i = 0; i < visit->circuits->len; i++)
    add_circuit (filler, &g_array_index (visit->circuits, TdVisitCircuit, i));
  filler->report->flow_words = td_report_keep_taken (filler->report, td_visit_diagnose (visit));
  for (guint i = 0; i < visit->statics->len; i++)
    add_static (filler, &g_array_index (visit->statics, TdVisitStatic, i));
  for (guint i = 0; i < visit->disposals->len; i++)
    add_disposal (filler, &g_array_index (visit->disposals, TdDisposal, i));
}
