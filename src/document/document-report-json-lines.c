#include "document-report-json.h"

static void
write_passes (TdJsonBuilder *b, const TdReport *report, const TdReportLine *line)
{
  td_json_builder_key (b, "passes");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < line->passes->len; i++)
    {
      const TdReportPass *pass = &g_array_index (line->passes, TdReportPass, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "clean", pass->clean);
      td_json_builder_member_string (b, "method", pass->method);
      td_report_json_integer (b, "circuit", pass->circuit > 0 ? pass->circuit : TD_NONE);
      td_json_builder_member_string (b, "batch", pass->batch);
      td_json_builder_member_string (b, "product", pass->product);
      td_report_json_time (b, report, "chemical_in", pass->chemical_in_ms);
      td_report_json_time (b, report, "chemical_seen", pass->chemical_seen_ms);
      td_report_json_time (b, report, "clock_start", pass->clock_start_ms);
      td_report_json_time (b, report, "contact_end", pass->contact_end_ms);
      td_report_json_integer (b, "contact_s", pass->contact_s);
      td_report_json_integer (b, "required_s", pass->required_s);
      td_report_json_time (b, report, "rinse_start", pass->rinse_start_ms);
      td_report_json_time (b, report, "rinse_circulated", pass->rinse_circulated_ms);
      td_report_json_reading (b, report, "rinse_ph", &pass->rinse_ph, 1000);
      td_report_json_reading (b, report, "tap_ph", &pass->tap_ph, 1000);
      td_report_json_figure (b, "rinse_band_ph", pass->band, 1000);
      td_json_builder_member_boolean (b, "rinse_passed", pass->rinse_passed);
      td_json_builder_member_string (b, "debris", pass->debris);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

static void
write_clean (TdJsonBuilder *b, const TdReport *report, const TdReportLine *line)
{
  td_json_builder_member_string (b, "method", line->method);
  td_json_builder_member_string (b, "direction", line->direction);
  td_report_json_integer (b, "circuit", line->circuit > 0 ? line->circuit : TD_NONE);
  td_json_builder_member_boolean (b, "reversed", line->reversed);
  td_report_json_time (b, report, "reversed_at", line->reversed_ms);
  if (line->reversed || line->restored_ms != TD_NONE)
    td_json_builder_member_boolean (b, "restored", line->restored_ms != TD_NONE);
  else
    td_json_builder_member_null (b, "restored");
  td_report_json_time (b, report, "restored_at", line->restored_ms);
  td_report_json_time (b, report, "outward_flow_at", line->proved_out_ms);
  td_report_json_time (b, report, "proved_at", line->proved_ms);
  td_report_json_integer (b, "contact_s", line->contact_s);
  td_report_json_integer (b, "required_s", line->required_s);
  td_report_json_reading (b, report, "rinse_ph", &line->rinse_ph, 1000);
  td_report_json_reading (b, report, "tap_ph", &line->tap_ph, 1000);
  write_passes (b, report, line);
}

static void
write_fittings (TdJsonBuilder *b, const TdReport *report, const TdReportLine *line)
{
  td_json_builder_key (b, "faucet");
  td_json_builder_begin_object (b);
  td_report_json_time (b, report, "stripped", line->faucet_stripped_ms);
  td_report_json_time (b, report, "rebuilt", line->faucet_rebuilt_ms);
  td_json_builder_end (b);
  td_json_builder_key (b, "coupler");
  td_json_builder_begin_object (b);
  td_report_json_time (b, report, "brushed", line->coupler_brushed_ms);
  td_report_json_time (b, report, "stripped", line->coupler_stripped_ms);
  td_report_json_time (b, report, "check_ball_out", line->ball_out_ms);
  td_report_json_time (b, report, "check_ball_in", line->ball_in_ms);
  td_report_json_time (b, report, "valve_well_dried", line->well_dried_ms);
  td_json_builder_end (b);
  td_json_builder_key (b, "fob");
  if (line->has_fob)
    {
      td_json_builder_begin_object (b);
      td_report_json_time (b, report, "opened", line->fob_opened_ms);
      td_report_json_time (b, report, "flooded", line->fob_flooded_ms);
      td_report_json_time (b, report, "rinsed", line->fob_rinsed_ms);
      td_report_json_time (b, report, "vented", line->fob_vented_ms);
      td_report_json_time (b, report, "stripped", line->fob_stripped_ms);
      td_json_builder_end (b);
    }
  else
    td_json_builder_null (b);
  td_report_json_time (b, report, "keg_uncoupled", line->keg_uncoupled_ms);
  td_report_json_time (b, report, "keg_coupled", line->keg_coupled_ms);
  td_report_json_time (b, report, "beer_pump_gas_off", line->gas_off_ms[0]);
  td_report_json_time (b, report, "beer_pump_gas_on", line->gas_on_ms[0]);
  td_report_json_time (b, report, "keg_gas_off", line->gas_off_ms[1]);
  td_report_json_time (b, report, "keg_gas_on", line->gas_on_ms[1]);
  td_json_builder_member_integer (b, "beer_clear_count", line->beer_clear_count);
  td_report_json_time (b, report, "beer_clear_first", line->beer_clear_first_ms);
  td_report_json_time (b, report, "beer_clear", line->beer_clear_ms);
  td_report_json_time (b, report, "leak_checked", line->leak_checked_ms);
  if (line->leak_checked_ms != TD_NONE)
    td_json_builder_member_boolean (b, "leaking", line->leaking);
  else
    td_json_builder_member_null (b, "leaking");
}

static void
write_readings (TdJsonBuilder *b, const TdReport *report, const TdReportLine *line)
{
  td_json_builder_key (b, "as_found");
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "lever", line->found_lever);
  td_json_builder_member_string (b, "keg", line->found_keg);
  td_json_builder_member_string (b, "gas", line->found_gas);
  td_report_json_figure (b, "pressure_kpa", line->found_pressure.value, 1000);
  td_report_json_figure (b, "temperature_c", line->found_temperature.value, 1000);
  td_json_builder_end (b);
  td_json_builder_key (b, "as_left");
  td_json_builder_begin_object (b);
  td_report_json_reading (b, report, "beer_temperature_c", &line->beer_temperature, 1000);
  td_report_json_reading (b, report, "keg_pressure_kpa", &line->keg_pressure, 1000);
  td_report_json_reading (b, report, "beer_pump_pressure_kpa", &line->pump_pressure, 1000);
  td_report_json_reading (b, report, "pour_rate_l_min", &line->pour_rate, 1000);
  td_json_builder_end (b);
}

static void
write_line (TdJsonBuilder *b, const TdReport *report, const TdReportLine *line)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "id", line->id);
  td_report_json_integer (b, "number", line->number > 0 ? line->number : TD_NONE);
  td_json_builder_member_string (b, "tower", line->tower);
  td_json_builder_member_string (b, "cooler", line->cooler);
  td_json_builder_member_string (b, "product", line->product);
  td_json_builder_member_string (b, "beer_pump", line->beer_pump);
  td_json_builder_member_boolean (b, "side_faucet", line->side_faucet);
  td_json_builder_key (b, "scope");
  td_json_builder_begin_array (b);
  for (int clean = 0; clean < TD_N_CLEANS; clean++)
    if (line->in_scope[clean])
      td_json_builder_string (b, td_clean_to_text ((TdClean)clean));
  td_json_builder_end (b);
  td_json_builder_member_string (b, "pour", td_pour_to_text (line->pour));
  td_json_builder_member_string (b, "pour_why", td_pour_why_to_text (line->why));
  td_report_json_time (b, report, "pour_since", line->since_ms);
  write_clean (b, report, line);
  write_fittings (b, report, line);
  write_readings (b, report, line);
  td_report_json_time (b, report, "left_out_at", line->left_out_ms);
  td_json_builder_member_string (b, "left_out_reason", line->left_out_reason);
  td_json_builder_key (b, "out_of_service");
  if (line->out_of_service_ms != TD_NONE)
    {
      td_json_builder_begin_object (b);
      td_report_json_time (b, report, "at", line->out_of_service_ms);
      td_json_builder_member_string (b, "condition", line->service_condition);
      td_json_builder_member_string (b, "reason", line->service_reason);
      td_json_builder_member_string (b, "handed_to", line->service_handed_to);
      td_json_builder_member_string (b, "tag", line->service_tag);
      td_json_builder_end (b);
    }
  else
    td_json_builder_null (b);
  td_json_builder_end (b);
}

void
td_report_json_lines (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_key (b, "lines");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->lines->len; i++)
    write_line (b, report, &g_array_index (report->lines, TdReportLine, i));
  td_json_builder_end (b);
}
