#include "document-report-paint.h"

#include "document-i18n.h"
#include "document-time.h"
#include "document-words.h"

static const TdStyle company_style = { .size = 11.0, .bold = TRUE };
static const TdStyle label_style = { .size = 6.8, .grey = 0.3 };
static const TdStyle value_style = { .size = 8.6 };
static const TdStyle strong_style = { .size = 9.6, .bold = TRUE };

static double
paint_company (TdCanvas *canvas, const TdReport *report, double width)
{
  g_autofree char *phone = NULL;
  double y = 0;

  y += td_canvas_text (canvas, 0, y, width,
                       report->company != NULL ? report->company
                                               : _ ("(the company has not been named)"),
                       &company_style);
  y += td_canvas_text (canvas, 0, y + 1, width, report->company_address, &label_style);
  if (report->company_phone != NULL)
    phone = g_strdup_printf (_ ("Telephone %s"), report->company_phone);
  y += td_canvas_text (canvas, 0, y + 1, width, phone, &label_style);
  return y + 2;
}

static double
paint_number (TdCanvas *canvas, const TdReport *report, double x, double width)
{
  TdStyle small = { .size = 8.6, .grey = 0.2, .align = PANGO_ALIGN_RIGHT };
  TdStyle big = { .size = 17.0, .bold = TRUE, .align = PANGO_ALIGN_RIGHT };
  const char *number = report->number != NULL ? report->number
                       : report->draft        ? _ ("DRAFT")
                                              : _ ("(no number)");
  double y = 0;

  y += td_canvas_text (canvas, x, y, width, _ ("Service report: beer lines"), &small);
  y += td_canvas_text (canvas, x, y, width, number, &big);
  if (report->draft)
    y += td_canvas_text (canvas, x, y, width,
                         _ ("The visit is not closed; anything here may still change."), &small);
  return y;
}

static double
paint_site (TdCanvas *canvas, const TdReport *report, double x, double y, double width)
{
  y += td_canvas_text (canvas, x, y, width, _ ("Site"), &label_style) + 1;
  y += td_canvas_text (canvas, x, y, width, report->site, &strong_style) + 1;
  y += td_canvas_text (canvas, x, y, width, report->site_address, &value_style);
  y += td_canvas_text (canvas, x, y, width, report->account, &value_style);
  return y;
}

static double
paint_visit (TdCanvas *canvas, const TdReport *report, double x, double y, double width)
{
  const TdMoment arrived = { report->arrived_ms, report->offset_min };
  g_autofree char *date = td_date_to_words (td_moment_get_date (&arrived));
  g_autofree char *from = td_report_clock (report, report->arrived_ms);
  g_autofree char *to = td_report_clock (report, report->closed_ms);
  g_autofree char *offset = td_offset_to_text (report->offset_min);
  g_autofree char *times = NULL, *work = td_word_capital (report->work);
  g_autofree char *amends = NULL, *amended = NULL;

  if (report->closed_ms != TD_NONE)
    times = g_strdup_printf (_ ("%s to %s (%s)"), from, to, offset);
  else
    times = g_strdup_printf (_ ("from %s (%s), not closed"), from, offset);
  if (report->amends != NULL)
    amends
        = g_strdup_printf (_ ("Amends and supersedes report %s"),
                           report->amends_number != NULL ? report->amends_number : report->amends);
  if (report->amended_by != NULL)
    amended = g_strdup_printf (_ ("SUPERSEDED by report %s"), report->amended_by);
  y += td_canvas_text (canvas, x, y, width, _ ("Visit"), &label_style) + 1;
  y += td_canvas_text (canvas, x, y, width, date, &strong_style) + 1;
  y += td_canvas_text (canvas, x, y, width, times, &value_style);
  y += td_canvas_text (canvas, x, y, width, work, &value_style);
  y += td_canvas_text (canvas, x, y, width, amends, &td_style_strong);
  y += td_canvas_text (canvas, x, y, width, amended, &td_style_strong);
  return y;
}

static double
paint_people (TdCanvas *canvas, const TdReport *report, double x, double y, double width)
{
  y += td_canvas_text (canvas, x, y, width, _ ("Cleaned by"), &label_style) + 1;
  for (guint i = 0; i < report->persons->len; i++)
    {
      const TdReportPerson *person = &g_array_index (report->persons, TdReportPerson, i);
      g_autofree char *certificate = NULL;

      if (person->certificate != NULL)
        certificate = g_strdup_printf (_ ("certificate %s"), person->certificate);
      y += td_canvas_text (canvas, x, y, width, person->name, i == 0 ? &strong_style : &value_style)
           + 0.5;
      y += td_canvas_text (canvas, x, y, width, certificate, &label_style) + 0.5;
    }
  if (report->emergency_phone == NULL)
    return y;
  y += td_canvas_text (canvas, x, y + 1, width, _ ("In an emergency"), &label_style) + 2;
  y += td_canvas_text (canvas, x, y, width, report->emergency_phone, &strong_style);
  return y;
}

void
td_report_paint_title (TdFlow *flow, const TdReport *report)
{
  const double width = td_flow_get_width (flow), column = width / 3.0;
  TdCanvas *canvas = td_canvas_new (flow);
  double left = paint_company (canvas, report, width * 0.55);
  double right = paint_number (canvas, report, width * 0.45, width * 0.55);
  double y = MAX (left, right) + 4, bottom = y;

  td_canvas_rule (canvas, 0, y, width, y, 1.4, 0);
  y += 6;
  /* MAX() would paint each of them twice. */
  for (guint i = 0; i < 3; i++)
    {
      double end = i == 0   ? paint_site (canvas, report, 0, y, column - 10)
                   : i == 1 ? paint_visit (canvas, report, column, y, column - 10)
                            : paint_people (canvas, report, 2 * column, y, column);

      bottom = MAX (bottom, end);
    }
  td_flow_add_canvas (flow, canvas, bottom);
  td_flow_add_space (flow, 10);
}

/* In white on black before anything else: whoever opens the report has to see it. */
void
td_report_paint_incidents (TdFlow *flow, const TdReport *report)
{
  const double width = td_flow_get_width (flow);
  const TdStyle head = { .size = 11.0, .bold = TRUE };

  for (guint i = 0; i < report->incidents->len; i++)
    {
      const TdReportRemark *incident = &g_array_index (report->incidents, TdReportRemark, i);
      g_autofree char *clock = td_report_clock (report, incident->at_ms);
      g_autofree char *title
          = g_strdup_printf (_ ("INCIDENT at %s: %s"), clock, td_word (incident->what));
      g_autofree char *action = NULL;
      TdCanvas *canvas = td_canvas_new (flow);
      TdCanvas *measure = td_canvas_new (flow);
      double band = td_canvas_text (measure, 0, 0, width - 16, title, &head) + 8, y = band + 5;

      td_canvas_free (measure);
      if (incident->action != NULL)
        action = g_strdup_printf (_ ("Done at once: %s"), incident->action);
      td_canvas_fill (canvas, 0, 0, width, band, 0);
      td_canvas_white_text (canvas, 8, 4, width - 16, title, &head);
      y += td_canvas_text (canvas, 8, y, width - 16, incident->text, &td_style_strong) + 3;
      y += td_canvas_text (canvas, 8, y, width - 16, action, &td_style_text) + 3;
      td_canvas_frame (canvas, 0.7, 0.7, width - 1.4, y + 1.4, 1.4);
      td_flow_add_canvas (flow, canvas, y + 3);
      td_flow_add_space (flow, 8);
    }
}
