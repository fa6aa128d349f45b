#include "document-report-json.h"

#include "core-safety.h"

static void
write_codes (TdJsonBuilder *b, const char *key, char *const *codes)
{
  td_json_builder_key (b, key);
  td_json_builder_begin_array (b);
  for (guint i = 0; codes != NULL && codes[i] != NULL; i++)
    td_json_builder_string (b, codes[i]);
  td_json_builder_end (b);
}

static void
write_chemical (TdJsonBuilder *b, const TdReport *report, const TdReportChemical *chemical)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "batch", chemical->batch);
  td_json_builder_member_string (b, "product", chemical->product);
  td_json_builder_member_string (b, "product_id", chemical->product_id);
  td_json_builder_member_string (b, "kind", chemical->kind);
  td_json_builder_member_string (b, "caution", chemical->caution);
  for (guint part = 0; part < TD_N_SAFETY; part++)
    write_codes (b, td_safety_part_to_text (part), chemical->safety[part]);
  td_json_builder_member_string (b, "solution_class", chemical->solution_class);
  td_report_json_date (b, "sds_revised", chemical->sds_revised);
  td_json_builder_member_string (b, "lot", chemical->lot);
  td_report_json_date (b, "lot_expiry", chemical->lot_expiry);
  td_json_builder_member_boolean (b, "lot_recalled", chemical->lot_recalled);
  td_report_json_integer (b, "concentrate_ml", chemical->concentrate_ml);
  td_report_json_integer (b, "water_ml", chemical->water_ml);
  td_report_json_figure (b, "percent", chemical->percent_milli, 1000);
  td_json_builder_member_string (b, "basis", chemical->basis);
  td_json_builder_member_string (b, "known", chemical->known);
  td_report_json_time (b, report, "mixed_at", chemical->mixed_ms);
  td_json_builder_member_string (b, "mixed_by", chemical->person);
  td_report_json_reading (b, report, "measured_percent", &chemical->strength, 1000);
  td_json_builder_member_string (b, "measured_basis", chemical->strength_basis);
  td_json_builder_member_string (b, "measured_method", chemical->strength_method);
  td_report_json_reading (b, report, "temperature_c", &chemical->temperature, 1000);
  td_json_builder_member_integer (b, "disposed_ml", chemical->disposed_ml);
  td_json_builder_end (b);
}

static void
write_lockout (TdJsonBuilder *b, const TdReport *report, const TdReportLockout *lockout)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "tag", lockout->tag);
  td_json_builder_member_string (b, "kind", lockout->kind);
  td_json_builder_member_string (b, "holds", lockout->holds);
  td_json_builder_member_string (b, "place", lockout->place);
  td_json_builder_member_string (b, "line", lockout->line);
  td_json_builder_member_string (b, "legend", lockout->legend);
  td_json_builder_member_string (b, "hung_by", lockout->hung_by);
  td_report_json_time (b, report, "hung_at", lockout->hung_ms);
  td_json_builder_member_string (b, "owner", lockout->owner);
  td_json_builder_key (b, "lifted");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < lockout->lifts->len; i++)
    {
      const TdReportLift *lift = &g_array_index (lockout->lifts, TdReportLift, i);

      td_json_builder_begin_object (b);
      td_report_json_time (b, report, "at", lift->at_ms);
      td_report_json_time (b, report, "again_at", lift->again_ms);
      td_json_builder_member_string (b, "by", lift->by);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_json_builder_member_string (b, "removed_by", lockout->removed_by);
  td_report_json_time (b, report, "removed_at", lockout->removed_ms);
  td_json_builder_member_boolean (b, "employer_procedure", lockout->employer_procedure);
  td_json_builder_end (b);
}

/* {"planned": {"flow_ml_min", "fill_s", ...}, "run": {...}}; null where not known. */
static void
write_compared (TdJsonBuilder *b, const char *key, const gint64 *figures)
{
  td_json_builder_key (b, key);
  td_json_builder_begin_object (b);
  for (guint i = 0; i < TD_N_COMPARED; i++)
    td_report_json_integer (b, td_compared_get_key (i),
                            figures[i] != TD_COMPARED_UNKNOWN ? figures[i] : TD_NONE);
  td_json_builder_end (b);
}

static void
write_circuit (TdJsonBuilder *b, const TdReport *report, const TdReportCircuit *circuit)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_integer (b, "number", circuit->number);
  td_json_builder_member_string (b, "station", circuit->station);
  td_json_builder_key (b, "legs");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < circuit->legs->len; i++)
    {
      const TdReportLeg *leg = &g_array_index (circuit->legs, TdReportLeg, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "line", leg->line);
      td_json_builder_member_string (b, "direction", leg->direction);
      td_json_builder_member_boolean (b, "reversal", leg->reversal);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_json_builder_key (b, "pump");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < circuit->pump->len; i++)
    {
      const TdReportSwitch *turn = &g_array_index (circuit->pump, TdReportSwitch, i);

      td_json_builder_begin_object (b);
      td_report_json_time (b, report, "at", turn->at_ms);
      td_json_builder_member_boolean (b, "on", turn->on);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_report_json_time (b, report, "return_in_bucket", circuit->return_ms);
  td_report_json_figure (b, "flow_l_min", circuit->flow_ml_min, 1000);
  td_report_json_figure (b, "predicted_flow_l_min", circuit->predicted_ml_min, 1000);
  write_compared (b, "planned", circuit->compared.planned);
  write_compared (b, "run", circuit->compared.run);
  td_json_builder_end (b);
}

static void
write_statics_and_disposals (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_key (b, "static");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->statics->len; i++)
    {
      const TdReportStatic *line = &g_array_index (report->statics, TdReportStatic, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "line", line->line);
      td_json_builder_member_string (b, "cooler", line->cooler);
      td_report_json_integer (b, "fed_by", line->fed_by > 0 ? line->fed_by : TD_NONE);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_json_builder_key (b, "disposals");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->disposals->len; i++)
    {
      const TdReportDisposal *disposal = &g_array_index (report->disposals, TdReportDisposal, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "batch", disposal->batch);
      td_report_json_time (b, report, "at", disposal->at_ms);
      td_json_builder_member_integer (b, "volume_ml", disposal->volume_ml);
      td_report_json_figure (b, "ph", disposal->ph_milli, 1000);
      td_json_builder_member_string (b, "drain", disposal->drain);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

void
td_report_json_work (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_key (b, "chemicals");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->chemicals->len; i++)
    write_chemical (b, report, &g_array_index (report->chemicals, TdReportChemical, i));
  td_json_builder_end (b);
  td_json_builder_key (b, "lockouts");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->lockouts->len; i++)
    write_lockout (b, report, &g_array_index (report->lockouts, TdReportLockout, i));
  td_json_builder_end (b);
  td_json_builder_key (b, "circuits");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->circuits->len; i++)
    write_circuit (b, report, &g_array_index (report->circuits, TdReportCircuit, i));
  td_json_builder_end (b);
  write_statics_and_disposals (b, report);
  td_json_builder_key (b, "tap_readings");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->taps->len; i++)
    {
      td_json_builder_begin_object (b);
      td_report_json_reading (b, report, "ph", &g_array_index (report->taps, TdReportReading, i),
                              1000);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_report_json_integer (b, "planned_minutes", report->planned_minutes);
  td_report_json_integer (b, "run_minutes", report->run_minutes);
  td_json_builder_member_string (b, "flow_words", report->flow_words);
  td_json_builder_member_integer (b, "beer_lost_ml", report->beer_lost_ml);
  td_json_builder_member_integer (b, "rinse_water_ml", report->rinse_water_ml);
  td_report_json_time (b, report, "left_tidy", report->left_tidy_ms);
}
