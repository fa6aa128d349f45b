#include "document-report-private.h"

/* Whole seconds that have passed: a contact of 14:59.9 is not one of 15:00. */
static gint64
seconds (gint64 ms)
{
  return ms / 1000;
}

static void
add_pass (TdReportFiller *filler, TdReportLine *line, const TdPass *from)
{
  const TdVisit *visit = filler->visit;
  TdReportPass pass = {
    .clean = td_clean_to_text (from->clean),
    .method = td_method_to_text (from->method),
    .circuit = from->circuit,
    .chemical_in_ms = td_report_time (from->chemical_in),
    .chemical_seen_ms = td_report_time (from->chemical_seen),
    .clock_start_ms = td_report_time (from->clock_start),
    .contact_end_ms = td_report_time (from->contact_end),
    .contact_s = TD_NONE,
    .required_s = from->required_ms > 0 ? (from->required_ms + 999) / 1000 : TD_NONE,
    .rinse_start_ms = td_report_time (from->rinse_start),
    .rinse_circulated_ms = td_report_time (from->rinse_circulated),
    .rinse_ph = td_report_reading (filler, &from->rinse_ph),
    .tap_ph = td_report_reading (filler, &from->tap_ph),
    .band = from->rinse_ph.stamp.seq != 0 ? from->rinse_band : TD_NONE,
    .rinse_passed = from->rinse_passed,
    .debris = td_report_keep (filler->report, from->debris),
  };

  if (from->clock_start.seq != 0)
    pass.contact_s = seconds (td_pass_get_contact_ms (visit, from, filler->now_ms));
  if (from->batch < visit->batches->len)
    {
      const TdBatch *batch = &g_array_index (visit->batches, TdBatch, from->batch);

      pass.batch = td_report_keep (filler->report, batch->id);
      pass.product
          = batch->product != NULL ? td_report_keep (filler->report, batch->product->name) : NULL;
    }
  g_array_append_val (line->passes, pass);
}

/* The line's own figures are those of its last pass: what ran through it last is what counts. */
static void
fill_clean (TdReportFiller *filler, TdReportLine *line, const TdVisitLine *from)
{
  const TdReportPass *last;

  line->passes = g_array_new (FALSE, TRUE, sizeof (TdReportPass));
  for (guint i = 0; i < from->passes->len; i++)
    add_pass (filler, line, &g_array_index (from->passes, TdPass, i));
  line->method = td_method_to_text (TD_METHOD_NONE);
  line->circuit = from->circuit;
  line->direction = td_direction_to_text (td_visit_line_get_direction (from));
  line->contact_s = line->required_s = TD_NONE;
  line->rinse_ph = line->tap_ph = (TdReportReading){ TD_NONE, TD_NONE, NULL, NULL };
  if (line->passes->len == 0)
    return;
  last = &g_array_index (line->passes, TdReportPass, line->passes->len - 1);
  line->method = last->method;
  line->circuit = last->circuit;
  line->contact_s = last->contact_s;
  line->required_s = last->required_s;
  line->rinse_ph = last->rinse_ph;
  line->tap_ph = last->tap_ph;
}

static void
fill_gas (TdReportLine *line, const TdVisitLine *from)
{
  for (guint which = 0; which < 2; which++)
    {
      line->gas_off_ms[which] = line->gas_on_ms[which] = TD_NONE;
      for (guint i = 0; i < from->gas[which]->len; i++)
        {
          const TdSwitch *turn = &g_array_index (from->gas[which], TdSwitch, i);
          gint64 *time = turn->on ? &line->gas_on_ms[which] : &line->gas_off_ms[which];

          *time = turn->stamp.at_ms;
        }
    }
}

static void
fill_fittings (TdReportFiller *filler, TdReportLine *line, const TdVisitLine *from)
{
  line->proved_ms = td_report_time (from->proved);
  line->reversed = from->lever_set.seq != 0;
  line->reversed_ms = td_report_time (from->lever_set);
  line->restored_ms = td_report_time (from->lever_back);
  line->proved_out_ms = TD_NONE;
  if (from->lever_back.seq != 0 && from->flow_out_seen.seq != 0
      && td_stamp_compare (from->lever_back, from->flow_out_seen) < 0)
    line->proved_out_ms = from->flow_out_seen.at_ms;
  line->faucet_stripped_ms = td_report_time (from->faucet_stripped);
  line->faucet_rebuilt_ms = td_report_time (from->faucet_rebuilt);
  line->coupler_brushed_ms = td_report_time (from->coupler_brushed);
  line->coupler_stripped_ms = td_report_time (from->coupler_stripped);
  line->well_dried_ms = td_report_time (from->well_dried);
  line->fob_opened_ms = td_report_time (from->fob_opened);
  line->fob_flooded_ms = td_report_time (from->fob_flooded);
  line->fob_rinsed_ms = td_report_time (from->fob_rinsed);
  line->fob_vented_ms = td_report_time (from->fob_vented);
  line->fob_stripped_ms = td_report_time (from->fob_stripped);
  line->keg_uncoupled_ms = td_report_time (from->keg_uncoupled);
  line->keg_coupled_ms = td_report_time (from->keg_coupled);
  line->ball_out_ms = td_report_time (from->ball_out);
  line->ball_in_ms = td_report_time (from->ball_in);
  line->leak_checked_ms = td_report_time (from->leak_checked);
  line->leaking = from->leaking;
  line->beer_clear_count = from->beer_clear_count;
  line->beer_clear_first_ms = td_report_time (from->beer_clear_first);
  line->beer_clear_ms = td_report_time (from->beer_clear_last);
  fill_gas (line, from);
}

static void
fill_readings (TdReportFiller *filler, TdReportLine *line, const TdVisitLine *from)
{
  line->found_lever = td_report_keep (filler->report, from->found_lever);
  line->found_keg = td_report_keep (filler->report, from->found_keg);
  line->found_gas = td_report_keep (filler->report, from->found_gas);
  line->found_pressure = td_report_reading (filler, &from->found_pressure);
  line->found_temperature = td_report_reading (filler, &from->found_temperature);
  line->beer_temperature = td_report_reading (filler, &from->beer_temperature);
  line->keg_pressure = td_report_reading (filler, &from->keg_pressure);
  line->pump_pressure = td_report_reading (filler, &from->pump_pressure);
  line->pour_rate = td_report_reading (filler, &from->pour_rate);
}

static void
fill_unfinished (TdReportFiller *filler, TdReportLine *line, const TdVisitLine *from)
{
  line->left_out_ms = td_report_time (from->left_out);
  line->left_out_reason = td_report_keep (filler->report, from->left_out_reason);
  line->out_of_service_ms = td_report_time (from->out_of_service);
  line->service_condition = td_report_keep (filler->report, from->service_condition);
  line->service_reason = td_report_keep (filler->report, from->service_reason);
  line->service_handed_to = td_report_keep (filler->report, from->service_handed_to);
  line->service_tag = td_report_keep (filler->report, from->service_tag);
}

/* A tag that still hangs on the outlet, or NULL. */
static const TdTag *
find_tag (const TdVisit *visit, guint outlet)
{
  for (guint i = 0; i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);

      if (tag->outlet == (int)outlet && tag->removed.seq == 0)
        return tag;
    }
  return NULL;
}

static void
must_not (TdReportLine *line, TdPourWhy why, TdStamp since)
{
  line->pour = TD_POUR_NOT;
  line->why = why;
  line->since_ms = td_report_time (since);
}

/* The safe side: a line pours only if its last rinse passed and beer was drawn clear after it. */
static void
judge_pour (TdReportFiller *filler, TdReportLine *line, const TdVisitLine *from)
{
  const TdPass *pass = td_visit_line_get_pass (from);
  const TdTag *tag = find_tag (filler->visit, from->outlet);

  line->since_ms = TD_NONE;
  line->pour = TD_POUR_UNTOUCHED;
  if (from->out_of_service.seq != 0)
    must_not (line, TD_POUR_WHY_OUT_OF_SERVICE, from->out_of_service);
  else if (td_visit_is_out_of_service (filler->visit, from->outlet))
    /* A side faucet of a line that is out of service. */
    must_not (line, TD_POUR_WHY_OUT_OF_SERVICE, (TdStamp){ 0 });
  else if (pass != NULL && !pass->rinse_passed)
    must_not (line, pass->rinse_ph.stamp.seq != 0 ? TD_POUR_WHY_RINSE : TD_POUR_WHY_CHEMICAL,
              pass->chemical_in.seq != 0 ? pass->chemical_in : pass->chemical_seen);
  else if (tag != NULL)
    must_not (line, TD_POUR_WHY_TAG, tag->hung);
  else if (pass != NULL
           && (from->beer_clear_last.seq == 0
               || td_stamp_compare (from->beer_clear_last, pass->rinse_ph.stamp) < 0))
    must_not (line, TD_POUR_WHY_NO_BEER,
              pass->chemical_in.seq != 0 ? pass->chemical_in : pass->chemical_seen);
  else if (pass != NULL)
    {
      line->pour = TD_POUR_READY;
      line->since_ms = from->beer_clear_last.at_ms;
    }
}

static const char *
pump_text (TdBeerPump pump)
{
  static const char *const words[] = { "none", "one-way", "reversible" };

  return words[pump];
}

static void
add_line (TdReportFiller *filler, const TdVisitLine *from)
{
  const TdSite *site = filler->visit->site;
  const TdOutlet *outlet = &site->outlets[from->outlet];
  const TdLine *at_site = &site->lines[outlet->line];
  TdReportLine line = { 0 };

  line.id = td_report_outlet_id (filler, (int)from->outlet);
  line.number = outlet->number;
  line.title = td_report_outlet_title (filler, (int)from->outlet);
  line.tower = td_report_keep (filler->report, site->towers[outlet->tower].name);
  line.cooler = td_report_keep (filler->report, site->coolers[outlet->cooler].name);
  line.product = td_report_keep (filler->report,
                                 from->product_now != NULL ? from->product_now : at_site->product);
  line.beer_pump = pump_text (at_site->beer_pump);
  line.has_fob = at_site->fob && outlet->side < 0;
  line.side_faucet = outlet->side >= 0;
  for (int clean = 0; clean < TD_N_CLEANS; clean++)
    line.in_scope[clean] = from->in_scope[clean];
  fill_clean (filler, &line, from);
  fill_fittings (filler, &line, from);
  fill_readings (filler, &line, from);
  fill_unfinished (filler, &line, from);
  judge_pour (filler, &line, from);
  g_array_append_val (filler->report->lines, line);
}

static int
compare_lines (gconstpointer a, gconstpointer b, gpointer data)
{
  const TdSite *site = data;
  const TdReportLine *left = a, *right = b;
  int left_outlet = td_site_find_outlet (site, left->id),
      right_outlet = td_site_find_outlet (site, right->id);
  guint left_tower = site->outlets[left_outlet].tower,
        right_tower = site->outlets[right_outlet].tower;

  if (left_tower != right_tower)
    return left_tower < right_tower ? -1 : 1;
  if (left->number != right->number)
    return left->number == 0 ? 1 : right->number == 0 ? -1 : left->number - right->number;
  return left_outlet - right_outlet;
}

/* By tower, then by number, as one walks along the bar. */
void
td_report_fill_lines (TdReportFiller *filler)
{
  for (guint i = 0; i < filler->visit->n_lines; i++)
    add_line (filler, &filler->visit->lines[i]);
  g_array_sort_with_data (filler->report->lines, compare_lines, filler->visit->site);
}
