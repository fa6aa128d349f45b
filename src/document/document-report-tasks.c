#include "document-report-private.h"

static void
add_task (TdReportFiller *filler,
          const char *code,
          const char *line,
          const char *title,
          const char *text)
{
  TdReportTask task = { code, line, title, text };

  g_array_append_val (filler->report->tasks, task);
}

static gboolean
is_grave (const TdReportFault *fault)
{
  return g_strcmp0 (fault->severity, "safety") == 0
         || g_strcmp0 (fault->severity, "stops-service") == 0;
}

/* What the people of the site have to do, gravest first. */
void
td_report_fill_tasks (TdReportFiller *filler)
{
  TdReport *report = filler->report;

  if (report->incidents->len > 0)
    add_task (filler, "read-incident", NULL, NULL, NULL);
  for (guint i = 0; i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (line->pour != TD_POUR_NOT)
        continue;
      if (line->why == TD_POUR_WHY_NO_BEER)
        add_task (filler, "draw-clear", line->id, line->title, NULL);
      else
        add_task (filler, "keep-shut", line->id, line->title, line->service_reason);
    }
  for (guint round = 0; round < 2; round++)
    for (guint i = 0; i < report->faults->len; i++)
      {
        const TdReportFault *fault = &g_array_index (report->faults, TdReportFault, i);

        if (is_grave (fault) != (round == 0))
          continue;
        if (fault->quote_wanted)
          add_task (filler, "decide-quote", fault->line, fault->place, fault->text);
        else if (fault->follow_up)
          add_task (filler, "expect-us", fault->line, fault->place, fault->text);
        else if (is_grave (fault) && fault->action == NULL)
          add_task (filler, "call-fault", fault->line, fault->place, fault->text);
      }
}
