#include "document-report-pages.h"

#include "document-i18n.h"
#include "document-report-paint.h"
#include "document-time.h"
#include "document-words.h"

char *
td_report_clock (const TdReport *report, gint64 ms)
{
  return td_time_clock (ms, report->offset_min, report->arrived_ms);
}

const char *
td_report_line_title (const TdReport *report, const char *id)
{
  const TdReportLine *line;

  if (id == NULL)
    return "\xe2\x80\x93";
  line = td_report_find_line (report, id);
  return line != NULL ? line->title : id;
}

static void
paint_sections (TdFlow *flow, const TdReport *report)
{
  td_report_paint_title (flow, report);
  td_report_paint_incidents (flow, report);
  td_report_paint_pours (flow, report);
  td_report_paint_tasks (flow, report);
  td_report_paint_signatures (flow, report);
  td_flow_break_page (flow);
  td_report_paint_drawing (flow, report);
  td_report_paint_lines (flow, report);
  td_report_paint_chemicals (flow, report);
  td_report_paint_lockouts (flow, report);
  td_report_paint_faults (flow, report);
  td_report_paint_findings (flow, report);
  td_report_paint_cautions (flow, report);
  td_report_paint_annex (flow, report);
}

TdPages *
td_report_to_pages (const TdReport *report, TdPaperKind kind, GError **error)
{
  const TdMoment arrived = { report->arrived_ms, report->offset_min };
  const TdPaper paper = td_paper_get (kind);
  g_autoptr (TdFonts) fonts = td_fonts_new (td_document_language (), error);
  g_autofree char *date = td_date_to_text (td_moment_get_date (&arrived));
  g_autofree char *head = NULL, *foot = NULL;
  TdFurniture furniture = { 0 };
  TdFlow *flow;

  if (fonts == NULL)
    return NULL;
  flow = td_flow_new (&paper, fonts);
  paint_sections (flow, report);
  head = g_strdup_printf ("%s \xc2\xb7 %s", report->site, date);
  if (report->seal != NULL)
    foot = g_strdup_printf (_ ("Report %s \xc2\xb7 seal %.12s"),
                            report->number != NULL ? report->number : "\xe2\x80\x93", report->seal);
  else
    foot = g_strdup (report->draft ? _ ("Draft, not closed, not sealed") : _ ("Not sealed"));
  furniture.head_left = head;
  furniture.head_right = report->company;
  furniture.foot_left = foot;
  /* TRANSLATORS: printed large across every page of an open visit's report. */
  furniture.stamp = report->draft ? _ ("DRAFT") : NULL;
  return td_pages_new (flow, &furniture, error);
}

static gint64
last_recorded (const TdReport *report)
{
  gint64 last = report->arrived_ms;

  for (guint i = 0; i < report->timeline->len; i++)
    last = MAX (last, g_array_index (report->timeline, TdReportAct, i).recorded_ms);
  return last;
}

TdPdfInfo
td_report_make_info (const TdReport *report, char **title_out)
{
  *title_out = report->number == NULL ? g_strdup_printf (_ ("Service report (draft), %s"), report->site)
                                      : g_strdup_printf (_ ("Service report %s, %s"), report->number, report->site);
  return (TdPdfInfo){
    .title = *title_out,
    .author = report->company,
    .subject = report->site,
    .language = td_document_language (),
    .utc_ms = report->closed_ms != TD_NONE ? report->closed_ms : last_recorded (report),
  };
}

gboolean
td_report_write_pdf (const TdReport *report, const char *path, TdPaperKind paper, GError **error)
{
  g_autoptr (TdPages) pages = td_report_to_pages (report, paper, error);
  g_autofree char *title = NULL;
  const TdPdfInfo info = td_report_make_info (report, &title);

  return pages != NULL && td_pdf_write (pages, path, &info, error);
}

GBytes *
td_report_to_pdf (const TdReport *report, TdPaperKind paper, GError **error)
{
  g_autoptr (TdPages) pages = td_report_to_pages (report, paper, error);
  g_autofree char *title = NULL;
  const TdPdfInfo info = td_report_make_info (report, &title);

  return pages != NULL ? td_pdf_make (pages, &info, error) : NULL;
}
