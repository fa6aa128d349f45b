#include "desk-history-job.h"

#include "document-report.h"
#include "store-query.h"

/* What flowed in the circuit of that number; not known where it was not measured. */
static gint64
find_flow (const TdReport *report, int circuit)
{
  for (guint i = 0; circuit != 0 && i < report->circuits->len; i++)
    {
      const TdReportCircuit *row = &g_array_index (report->circuits, TdReportCircuit, i);

      if (row->number == circuit)
        return row->flow_ml_min;
    }
  return TD_NONE;
}

G_STATIC_ASSERT (TD_NONE == TD_HISTORY_NONE);

static void
add_line (TdHistoryVisit *visit, const TdReport *report, const TdReportLine *line)
{
  gint64 beer = line->beer_temperature.value != TD_NONE ? line->beer_temperature.value : line->found_temperature.value;
  TdHistoryPoint *point;

  if (line->contact_s == TD_NONE && line->rinse_ph.value == TD_NONE && beer == TD_NONE)
    return;
  point = td_history_visit_add (visit, line->id);
  point->contact_s = line->contact_s;
  point->required_s = line->required_s;
  point->rinse_ph_milli = line->rinse_ph.value;
  point->tap_ph_milli = line->tap_ph.value;
  point->flow_ml_min = find_flow (report, line->circuit);
  point->beer_c_milli = beer;
}

static const char *
find_place (const TdReport *report, const TdReportFault *fault)
{
  for (guint i = 0; fault->line != NULL && i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (g_strcmp0 (line->id, fault->line) == 0)
        return line->title;
    }
  return fault->place;
}

static void
add_visit (TdHistory *history, const TdVisitRecord *record, const TdReport *report)
{
  g_autofree char *id = td_uuid_to_text (&record->row->id);
  TdHistoryVisit *visit = td_history_add_visit (history, id, record->row->number, record->row->date);

  for (guint i = 0; i < report->lines->len; i++)
    add_line (visit, report, &g_array_index (report->lines, TdReportLine, i));
  for (guint i = 0; i < report->faults->len; i++)
    {
      const TdReportFault *fault = &g_array_index (report->faults, TdReportFault, i);

      if (fault->follow_up || fault->quote_wanted)
        td_history_add_follow_up (history, id, record->row->date, find_place (report, fault), fault->text,
                                  fault->quote_wanted);
    }
}

gboolean
td_history_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdVisitsFilter filter
    = { .state = TD_VISITS_CLOSED, .site_id = data, .newest_only = TRUE, .limit = TD_HISTORY_VISITS };
  g_autoptr (GPtrArray) rows = td_book_list_visits (book, &filter, error);
  g_autoptr (TdHistory) history = td_history_new ();

  for (guint i = rows != NULL ? rows->len : 0; i > 0; i--)
    {
      const TdVisitRow *row = g_ptr_array_index (rows, i - 1);
      g_autoptr (TdVisitRecord) record = td_book_load_visit (book, &row->id, error);
      TdReportContext context = TD_REPORT_CONTEXT_INIT;
      g_autoptr (TdReport) report = NULL;

      if (record == NULL)
        return FALSE;
      context.number = record->row->number;
      context.seal = record->seal;
      report = td_report_new (record->visit, record->findings, &context, TD_UNITS_METRIC);
      add_visit (history, record, report);
    }
  if (rows == NULL)
    return FALSE;
  *result_out = g_steal_pointer (&history);
  return TRUE;
}
