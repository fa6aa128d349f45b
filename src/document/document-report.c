#include "document-report.h"

#include "document-report-private.h"

#include "core-interval.h"

const char *
td_pour_to_text (TdPour pour)
{
  static const char *const words[] = { "pours", "must-not-pour", "untouched" };

  g_assert ((guint)pour < G_N_ELEMENTS (words));
  return words[pour];
}

const char *
td_pour_why_to_text (TdPourWhy why)
{
  static const char *const words[]
      = { NULL, "out-of-service", "chemical", "rinse", "no-clear-beer", "tag" };

  g_assert ((guint)why < G_N_ELEMENTS (words));
  return words[why];
}

const char *
td_report_keep (TdReport *report, const char *text)
{
  return text != NULL ? g_string_chunk_insert_const (report->texts, text) : NULL;
}

const char *
td_report_keep_taken (TdReport *report, char *text)
{
  g_autofree char *taken = text;

  return td_report_keep (report, taken);
}

gint64
td_report_time (TdStamp stamp)
{
  return stamp.seq != 0 ? stamp.at_ms : TD_NONE;
}

const char *
td_report_outlet_id (const TdReportFiller *filler, int outlet)
{
  if (outlet < 0)
    return NULL;
  return td_report_keep (filler->report, filler->visit->site->outlets[outlet].id);
}

const char *
td_report_outlet_title (const TdReportFiller *filler, int outlet)
{
  if (outlet < 0)
    return NULL;
  return td_report_keep_taken (filler->report,
                               td_outlet_get_title (filler->visit->site, (guint)outlet));
}

const char *
td_report_place_name (const TdReportFiller *filler, const char *id)
{
  const TdSite *site = filler->visit->site;
  int tower, cooler;

  if (id == NULL)
    return NULL;
  tower = td_site_find_tower (site, id);
  cooler = td_site_find_cooler (site, id);
  if (tower >= 0)
    return td_report_keep (filler->report, site->towers[tower].name);
  if (cooler >= 0)
    return td_report_keep (filler->report, site->coolers[cooler].name);
  return td_report_keep (filler->report, id);
}

const char *
td_report_person (const TdReportFiller *filler, const char *person)
{
  if (person == NULL)
    return NULL;
  return td_report_keep (filler->report, td_visit_get_person_name (filler->visit, person));
}

TdReportReading
td_report_reading (const TdReportFiller *filler, const TdReading *reading)
{
  TdReportReading copy = { TD_NONE, TD_NONE, NULL, NULL };

  if (reading->stamp.seq == 0)
    return copy;
  copy.value = reading->value;
  copy.at_ms = reading->stamp.at_ms;
  copy.known = td_known_to_text (reading->known);
  if (reading->instrument != NULL)
    copy.instrument = td_report_keep (filler->report, reading->instrument->name);
  return copy;
}

static void
line_clear (gpointer data)
{
  g_array_unref (((TdReportLine *)data)->passes);
}

static void
lockout_clear (gpointer data)
{
  g_array_unref (((TdReportLockout *)data)->lifts);
}

static void
circuit_clear (gpointer data)
{
  g_array_unref (((TdReportCircuit *)data)->legs);
  g_array_unref (((TdReportCircuit *)data)->pump);
}

static void
clear_chemical (gpointer data)
{
  TdReportChemical *chemical = data;

  for (guint part = 0; part < TD_N_SAFETY; part++)
    g_strfreev (chemical->safety[part]);
}

static void
make_arrays (TdReport *report)
{
  report->persons = g_array_new (FALSE, TRUE, sizeof (TdReportPerson));
  report->lines = g_array_new (FALSE, TRUE, sizeof (TdReportLine));
  report->chemicals = g_array_new (FALSE, TRUE, sizeof (TdReportChemical));
  g_array_set_clear_func (report->chemicals, clear_chemical);
  report->disposals = g_array_new (FALSE, TRUE, sizeof (TdReportDisposal));
  report->lockouts = g_array_new (FALSE, TRUE, sizeof (TdReportLockout));
  report->faults = g_array_new (FALSE, TRUE, sizeof (TdReportFault));
  report->parts = g_array_new (FALSE, TRUE, sizeof (TdReportPart));
  report->findings = g_array_new (FALSE, TRUE, sizeof (TdReportFinding));
  report->incidents = g_array_new (FALSE, TRUE, sizeof (TdReportRemark));
  report->notes = g_array_new (FALSE, TRUE, sizeof (TdReportRemark));
  report->photos = g_array_new (FALSE, TRUE, sizeof (TdReportRemark));
  report->staff = g_array_new (FALSE, TRUE, sizeof (TdReportRemark));
  report->rooms = g_array_new (FALSE, TRUE, sizeof (TdReportRemark));
  report->protection = g_array_new (FALSE, TRUE, sizeof (TdReportRemark));
  report->cooling = g_array_new (FALSE, TRUE, sizeof (TdReportRemark));
  report->taps = g_array_new (FALSE, TRUE, sizeof (TdReportReading));
  report->circuits = g_array_new (FALSE, TRUE, sizeof (TdReportCircuit));
  report->statics = g_array_new (FALSE, TRUE, sizeof (TdReportStatic));
  report->timeline = g_array_new (FALSE, TRUE, sizeof (TdReportAct));
  report->tasks = g_array_new (FALSE, TRUE, sizeof (TdReportTask));
  g_array_set_clear_func (report->lines, line_clear);
  g_array_set_clear_func (report->lockouts, lockout_clear);
  g_array_set_clear_func (report->circuits, circuit_clear);
}

static void
fill_head (TdReportFiller *filler)
{
  TdReport *report = filler->report;
  const TdVisit *visit = filler->visit;
  const TdReportContext *context = filler->context;

  report->draft = !visit->closed;
  report->visit_id = td_report_keep_taken (report, td_uuid_to_text (&visit->id));
  report->number = visit->closed ? td_report_keep (report, context->number) : NULL;
  report->seal = visit->closed ? td_report_keep (report, context->seal) : NULL;
  report->previous_seal = visit->closed ? td_report_keep (report, context->previous_seal) : NULL;
  if (visit->amends_other)
    report->amends = td_report_keep_taken (report, td_uuid_to_text (&visit->amends));
  report->amends_number = td_report_keep (report, context->amends_number);
  report->amended_by = td_report_keep (report, context->amended_by);
  report->work = td_report_keep (report, visit->work);
  report->out_of_hours = td_report_keep (report, visit->out_of_hours);
  report->sds_at_hand = td_report_keep (report, visit->sds_at_hand);
  report->company = td_report_keep (report, visit->masters->company);
  report->company_address = td_report_keep (report, visit->masters->company_address);
  report->company_phone = td_report_keep (report, visit->masters->company_phone);
  report->emergency_phone = td_report_keep (report, visit->masters->emergency_phone);
  report->account = td_report_keep (report, visit->site->account_name);
  report->site = td_report_keep (report, visit->site->name);
  report->site_address = td_report_keep (report, visit->site->address);
  report->zone = td_report_keep (report, visit->site->zone);
  /* One offset for the whole report, the site's when the work began: a night in which the clocks
   * change must not fold two hours onto each other. */
  report->offset_min = visit->arrived.offset_min;
  report->arrived_ms = visit->arrived.utc_ms;
  report->closed_ms = visit->closed ? visit->closed_at.utc_ms : TD_NONE;
  report->rules_version = TD_RULES_VERSION;
  report->beer_lost_ml = visit->beer_lost_ml;
  report->rinse_water_ml = visit->rinse_water_ml;
  report->planned_minutes = visit->planned_minutes > 0 ? visit->planned_minutes : TD_NONE;
  report->run_minutes = visit->closed && visit->closed_at.utc_ms >= visit->arrived.utc_ms
                            ? (visit->closed_at.utc_ms - visit->arrived.utc_ms) / 60000
                            : TD_NONE;
  report->left_tidy_ms = td_report_time (visit->left_tidy);
}

static void
fill_persons (TdReportFiller *filler)
{
  for (guint i = 0; i < filler->visit->persons->len; i++)
    {
      const char *id = g_ptr_array_index (filler->visit->persons, i);
      const TdTechnician *technician = td_masters_find_technician (filler->visit->masters, id);
      TdReportPerson person
          = { td_report_keep (filler->report, id), td_report_person (filler, id), NULL };

      if (technician != NULL)
        person.certificate = td_report_keep (filler->report, technician->certificate);
      g_array_append_val (filler->report->persons, person);
    }
}

static void
fill_findings (TdReportFiller *filler, const GPtrArray *findings)
{
  for (guint i = 0; findings != NULL && i < findings->len; i++)
    {
      const TdFinding *from = g_ptr_array_index (findings, i);
      const TdRuleInfo *info = td_rule_get_info (from->rule);
      TdReportFinding finding = { 0 };

      finding.code = td_report_keep (filler->report, info->code);
      finding.severity = td_severity_to_text (info->severity);
      finding.line = td_report_outlet_id (filler, from->outlet);
      finding.text = td_report_keep (filler->report, from->text != NULL ? from->text : info->text);
      finding.reason = td_report_keep (filler->report, from->reason);
      finding.source = td_report_keep (filler->report, info->source);
      finding.circuit = from->circuit;
      finding.seq = from->seq;
      g_array_append_val (filler->report->findings, finding);
    }
}

/* The interval of the site where its sheet gives one, else the company's setting. */
static void
fill_due (TdReportFiller *filler)
{
  TdReport *report = filler->report;
  const TdVisit *visit = filler->visit;
  TdInterval intervals[TD_N_CLEANS];

  intervals[TD_CLEAN_CAUSTIC]
      = td_interval_from_setting (visit->settings, TD_SETTING_CAUSTIC_INTERVAL);
  if (visit->site->interval_days > 0)
    intervals[TD_CLEAN_CAUSTIC] = (TdInterval){ visit->site->interval_days, TD_INTERVAL_DAYS };
  intervals[TD_CLEAN_ACID] = td_interval_from_setting (visit->settings, TD_SETTING_ACID_INTERVAL);
  for (int clean = 0; clean < TD_N_CLEANS; clean++)
    {
      gboolean done = FALSE;

      report->due[clean] = filler->context->due[clean];
      for (guint i = 0; i < visit->n_lines; i++)
        for (guint j = 0; j < visit->lines[i].passes->len; j++)
          {
            const TdPass *pass = &g_array_index (visit->lines[i].passes, TdPass, j);
            done |= pass->clean == (TdClean)clean && pass->rinse_passed;
          }
      if (report->due[clean] == TD_DATE_NONE && done)
        report->due[clean]
            = td_interval_get_due (intervals[clean], td_moment_get_date (&visit->arrived));
    }
}

TdReport *
td_report_new (const TdVisit *visit,
               const GPtrArray *findings,
               const TdReportContext *context,
               TdUnits units)
{
  TdReport *report = g_new0 (TdReport, 1);
  TdReportFiller filler = { report, visit, context, context->now_ms };

  g_assert (visit != NULL && context != NULL);
  report->visit = td_visit_ref ((TdVisit *)visit);
  report->texts = g_string_chunk_new (4096);
  report->units = units;
  if (visit->closed)
    filler.now_ms = visit->closed_at.utc_ms;
  make_arrays (report);
  fill_head (&filler);
  fill_persons (&filler);
  td_report_fill_lines (&filler);
  td_report_fill_work (&filler);
  td_report_fill_remarks (&filler);
  fill_findings (&filler, findings);
  td_report_fill_timeline (&filler);
  td_report_fill_tasks (&filler);
  fill_due (&filler);
  return report;
}

void
td_report_free (TdReport *report)
{
  GArray **arrays[]
      = { &report->persons,   &report->lines,      &report->chemicals, &report->disposals,
          &report->lockouts,  &report->faults,     &report->parts,     &report->findings,
          &report->incidents, &report->notes,      &report->photos,    &report->staff,
          &report->rooms,     &report->protection, &report->cooling,   &report->taps,
          &report->circuits,  &report->statics,    &report->timeline,  &report->tasks };

  for (guint i = 0; i < G_N_ELEMENTS (arrays); i++)
    g_array_unref (*arrays[i]);
  g_string_chunk_free (report->texts);
  td_visit_unref (report->visit);
  g_free (report);
}

const TdReportLine *
td_report_find_line (const TdReport *report, const char *id)
{
  for (guint i = 0; i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (g_strcmp0 (line->id, id) == 0)
        return line;
    }
  return NULL;
}
