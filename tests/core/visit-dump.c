#include "visit-dump.h"

/* Minutes of the day with thousandths, or "-". */
static void
put_stamp (GString *out, const char *name, TdStamp stamp)
{
  if (stamp.seq != 0)
    g_string_append_printf (out, " %s=%" G_GINT64_FORMAT, name, stamp.at_ms);
}

static void
put_text (GString *out, const char *name, const char *text)
{
  if (text != NULL)
    g_string_append_printf (out, " %s='%s'", name, text);
}

static void
put_reading (GString *out, const char *name, const TdReading *reading)
{
  put_stamp (out, name, reading->stamp);
  if (reading->stamp.seq != 0)
    g_string_append_printf (out, ":%" G_GINT64_FORMAT ":%s:%s", reading->value,
                            td_known_to_text (reading->known),
                            reading->instrument != NULL ? reading->instrument->id : "-");
}

static void
put_switches (GString *out, const char *name, const GArray *switches)
{
  for (guint i = 0; i < switches->len; i++)
    {
      const TdSwitch *act = &g_array_index (switches, TdSwitch, i);

      put_stamp (out, name, act->stamp);
      g_string_append (out, act->on ? ":on" : ":off");
    }
}

static void
put_pass (GString *out, const TdPass *pass)
{
  g_string_append_printf (
      out,
      "\n  pass %s batch=%d %s circuit=%d contact=%" G_GINT64_FORMAT " of %" G_GINT64_FORMAT
      " band=%" G_GINT64_FORMAT " passed=%d shut=%d disorder=%d",
      td_clean_to_text (pass->clean), (int)pass->batch, td_method_to_text (pass->method),
      pass->circuit, pass->contact_ms, pass->required_ms, pass->rinse_band, pass->rinse_passed,
      pass->shut, pass->disorder);
  put_stamp (out, "in", pass->chemical_in);
  put_stamp (out, "seen", pass->chemical_seen);
  put_stamp (out, "return", pass->return_seen);
  put_stamp (out, "start", pass->clock_start);
  put_stamp (out, "end", pass->contact_end);
  put_stamp (out, "rinse", pass->rinse_start);
  put_stamp (out, "circulated", pass->rinse_circulated);
  put_reading (out, "ph", &pass->rinse_ph);
  put_reading (out, "tap", &pass->tap_ph);
  put_text (out, "debris", pass->debris);
}

static void
put_line_acts (GString *out, const TdVisitLine *line)
{
  const struct
  {
    const char *name;
    TdStamp stamp;
  } acts[] = {
    { "proved", line->proved },
    { "uncoupled", line->keg_uncoupled },
    { "coupled", line->keg_coupled },
    { "adapter", line->adapter_fitted },
    { "adapter-off", line->adapter_removed },
    { "ball-out", line->ball_out },
    { "ball-in", line->ball_in },
    { "joined-keg", line->joined_keg },
    { "parted-keg", line->parted_keg },
    { "joined-faucet", line->joined_faucet },
    { "parted-faucet", line->parted_faucet },
    { "fob-opened", line->fob_opened },
    { "fob-flooded", line->fob_flooded },
    { "fob-rinsed", line->fob_rinsed },
    { "fob-vented", line->fob_vented },
    { "lever", line->lever_set },
    { "lever-back", line->lever_back },
    { "flow-in", line->flow_in_seen },
    { "flow-out", line->flow_out_seen },
    { "run", line->run_seen },
    { "stripped", line->faucet_stripped },
    { "rebuilt", line->faucet_rebuilt },
    { "brushed", line->coupler_brushed },
    { "fob-stripped", line->fob_stripped },
    { "coupler-stripped", line->coupler_stripped },
    { "dried", line->well_dried },
    { "clear-first", line->beer_clear_first },
    { "clear-last", line->beer_clear_last },
    { "leak-checked", line->leak_checked },
    { "found", line->found },
    { "left-out", line->left_out },
    { "out-of-service", line->out_of_service },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (acts); i++)
    put_stamp (out, acts[i].name, acts[i].stamp);
}

static void
put_line (GString *out, const TdVisit *visit, const TdVisitLine *line)
{
  g_string_append_printf (
      out, "line %s scope=%d%d %s circuit=%d %s reversal=%d run=%s clear=%u off=%d%d leaking=%d",
      visit->site->outlets[line->outlet].id, line->in_scope[0], line->in_scope[1],
      td_method_to_text (line->method), line->circuit, td_direction_to_text (line->direction),
      line->reversal, td_direction_to_text (td_visit_line_get_direction (line)),
      line->beer_clear_count, line->gas_off_now[0], line->gas_off_now[1], line->leaking);
  put_line_acts (out, line);
  put_switches (out, "pump-gas", line->gas[0]);
  put_switches (out, "keg-gas", line->gas[1]);
  put_reading (out, "beer", &line->beer_temperature);
  put_reading (out, "keg-pressure", &line->keg_pressure);
  put_reading (out, "pump-pressure", &line->pump_pressure);
  put_reading (out, "pour", &line->pour_rate);
  put_reading (out, "found-pressure", &line->found_pressure);
  put_reading (out, "found-temperature", &line->found_temperature);
  put_text (out, "found-lever", line->found_lever);
  put_text (out, "found-keg", line->found_keg);
  put_text (out, "found-gas", line->found_gas);
  put_text (out, "product", line->product_now);
  put_text (out, "left-out-reason", line->left_out_reason);
  put_text (out, "condition", line->service_condition);
  put_text (out, "handed-to", line->service_handed_to);
  put_text (out, "tag", line->service_tag);
  for (guint i = 0; i < line->passes->len; i++)
    put_pass (out, &g_array_index (line->passes, TdPass, i));
  g_string_append_c (out, '\n');
}

static void
put_tags (GString *out, const TdVisit *visit)
{
  for (guint i = 0; i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);

      g_string_append_printf (out, "tag %s %s at=%s outlet=%d by=%s owner=%s", tag->id, tag->kind,
                              tag->at, tag->outlet, tag->hung_by, tag->owner);
      put_stamp (out, "hung", tag->hung);
      for (guint k = 0; k < tag->lifts->len; k++)
        {
          const TdTagLift *lift = &g_array_index (tag->lifts, TdTagLift, k);

          put_stamp (out, "lifted", lift->lifted);
          put_stamp (out, "again", lift->again);
          put_text (out, "by", lift->lifted_by);
        }
      put_stamp (out, "removed", tag->removed);
      put_text (out, "removed-by", tag->removed_by);
      g_string_append_printf (out, " procedure=%d\n", tag->employer_procedure);
    }
}

static void
put_batches (GString *out, const TdVisit *visit)
{
  for (guint i = 0; i < visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (visit->batches, TdBatch, i);

      g_string_append_printf (out,
                              "batch %s %s lot=%s %" G_GINT64_FORMAT " mL in %" G_GINT64_FORMAT
                              " mL, %" G_GINT64_FORMAT ", disposed %" G_GINT64_FORMAT,
                              batch->id, batch->product != NULL ? batch->product->id : "-",
                              batch->lot != NULL ? batch->lot->id : "-", batch->concentrate_ml,
                              batch->water_ml, batch->percent_milli, batch->disposed_ml);
      put_stamp (out, "mixed", batch->mixed);
      put_reading (out, "strength", &batch->strength);
      put_reading (out, "temperature", &batch->temperature);
      g_string_append_c (out, '\n');
    }
}

static void
put_circuits (GString *out, const TdVisit *visit)
{
  for (guint i = 0; i < visit->circuits->len; i++)
    {
      const TdVisitCircuit *circuit = &g_array_index (visit->circuits, TdVisitCircuit, i);

      g_string_append_printf (out, "circuit %d station=%s legs=%u", circuit->number,
                              circuit->station, circuit->legs->len);
      put_switches (out, "pump", circuit->pump);
      put_stamp (out, "return", circuit->return_in_bucket);
      put_reading (out, "flow", &circuit->flow);
      g_string_append_c (out, '\n');
    }
}

static void
put_checks (GString *out, const char *name, const GArray *checks)
{
  for (guint i = 0; i < checks->len; i++)
    {
      const TdCheck *check = &g_array_index (checks, TdCheck, i);

      put_stamp (out, name, check->stamp);
      put_text (out, "name", check->name);
      put_text (out, "co2", check->co2);
    }
}

char *
visit_dump (const TdVisit *visit)
{
  GString *out = g_string_new (NULL);

  put_stamp (out, "arrival", visit->arrival);
  put_text (out, "site", visit->site_id);
  put_text (out, "work", visit->work);
  put_stamp (out, "plan", visit->plan_adopted);
  put_stamp (out, "tidy", visit->left_tidy);
  put_checks (out, "told", visit->staff);
  put_checks (out, "room", visit->rooms);
  for (guint i = 0; i < visit->persons->len; i++)
    put_text (out, "person", g_ptr_array_index (visit->persons, i));
  for (guint i = 0; i < visit->cooling->len; i++)
    put_stamp (out, "cooling", g_array_index (visit->cooling, TdCooling, i).stamp);
  for (guint i = 0; i < visit->tap_ph->len; i++)
    put_reading (out, "tap", &g_array_index (visit->tap_ph, TdReading, i));
  g_string_append_printf (
      out, " lost=%" G_GINT64_FORMAT " rinse=%" G_GINT64_FORMAT " closed=%d kept-out=%u",
      visit->beer_lost_ml, visit->rinse_water_ml, visit->closed, visit->kept_out->len);
  g_string_append_printf (out,
                          " statics=%u disposals=%u faults=%u parts=%u protection=%u notes=%u\n",
                          visit->statics->len, visit->disposals->len, visit->faults->len,
                          visit->parts->len, visit->protection->len, visit->notes->len);
  put_text (out, "signed", visit->signature.name);
  put_text (out, "countersigned", visit->countersignature.meaning);
  g_string_append_c (out, '\n');
  put_circuits (out, visit);
  put_tags (out, visit);
  put_batches (out, visit);
  for (guint i = 0; i < visit->n_lines; i++)
    put_line (out, visit, &visit->lines[i]);
  return g_string_free (out, FALSE);
}
