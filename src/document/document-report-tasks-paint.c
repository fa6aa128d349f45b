#include "document-report-paint.h"

#include "document-i18n.h"
#include "document-report-groups.h"
#include "document-time.h"
#include "document-words.h"

/* Page 1 is read standing at the bar. */
static const TdStyle page_style = { .size = 9.4 };

static char *
describe_task (const TdReportTask *task, const char *where)
{
  g_autofree char *text = td_report_shorten (task->text, 180);

  if (g_str_equal (task->code, "read-incident"))
    return g_strdup (_ ("Read the incident above and tell everybody who works at the bar."));
  if (g_str_equal (task->code, "draw-clear"))
    return g_strdup_printf (_ ("%s: serve nothing from it before clear beer has been drawn."),
                            where);
  if (g_str_equal (task->code, "keep-shut"))
    return g_strdup_printf (
        _ ("%s: keep it shut, leave any tag where it is, tell every shift, until we release it. %s"),
        where, text);
  if (g_str_equal (task->code, "decide-quote"))
    return g_strdup_printf (_ ("%s: say whether you want the repair; you asked for a price. %s"),
                            where, text);
  if (g_str_equal (task->code, "expect-us"))
    return g_strdup_printf (_ ("%s: we come back for this. %s"), where, text);
  return g_strdup_printf (_ ("%s: have this mended. %s"), where, text);
}

static gboolean
is_same (const TdReportTask *a, const TdReportTask *b)
{
  return g_str_equal (a->code, b->code) && g_strcmp0 (a->text, b->text) == 0;
}

/* The same thing to do at several lines is one thing to do. */
static char *
name_places (const TdReport *report, guint first, guint end)
{
  g_autoptr (GPtrArray) lines = g_ptr_array_new ();

  for (guint i = first; i < end; i++)
    {
      const TdReportTask *task = &g_array_index (report->tasks, TdReportTask, i);
      const TdReportLine *line
          = task->line != NULL ? td_report_find_line (report, task->line) : NULL;

      if (line == NULL)
        return g_strdup (task->title != NULL ? task->title : _ ("The site"));
      g_ptr_array_add (lines, (gpointer)line);
    }
  return td_report_titles (lines);
}

static void
add_tasks (TdFlow *flow, const TdReport *report)
{
  guint number = 0, end;

  for (guint first = 0; first < report->tasks->len; first = end)
    {
      const TdReportTask *task = &g_array_index (report->tasks, TdReportTask, first);
      g_autofree char *sign = NULL, *where = NULL, *text = NULL;

      for (end = first + 1; end < report->tasks->len && task->line != NULL; end++)
        if (!is_same (task, &g_array_index (report->tasks, TdReportTask, end)))
          break;
      sign = g_strdup_printf ("%u.", ++number);
      where = name_places (report, first, end);
      text = describe_task (task, where);
      td_flow_add_item (flow, sign, g_strchomp (text), &page_style);
    }
}

static void
add_due (TdFlow *flow, const TdReport *report)
{
  const double width = td_flow_get_width (flow);
  const TdStyle label = { .size = 6.8, .grey = 0.3 }, value = { .size = 11.0, .bold = TRUE };
  TdCanvas *canvas = td_canvas_new (flow);
  double x = 0, bottom = 0;

  for (int clean = 0; clean < TD_N_CLEANS; clean++)
    {
      g_autofree char *date = td_date_to_words (report->due[clean]);
      double y = 0;

      if (report->due[clean] == TD_DATE_NONE && clean != TD_CLEAN_CAUSTIC)
        continue;
      y += td_canvas_text (canvas, x, y, width / 2 - 8,
                           clean == TD_CLEAN_CAUSTIC ? _ ("Next clean (caustic) due")
                                                     : _ ("Next acid clean due"),
                           &label);
      y += td_canvas_text (canvas, x, y, width / 2 - 8,
                           report->due[clean] != TD_DATE_NONE ? date
                           : report->draft                    ? _ ("known when the visit is closed")
                                           : _ ("no line was cleaned: as before"),
                           &value);
      bottom = MAX (bottom, y);
      x += width / 2;
    }
  td_flow_add_canvas (flow, canvas, bottom);
  td_flow_add_space (flow, 8);
}

/* Whoever reads only this page must know that something was found wanting. */
static void
add_pointer (TdFlow *flow, const TdReport *report)
{
  g_autofree char *text = NULL;
  guint n = 0;

  /* While the work goes on, much still stands open that is no shortfall yet. */
  for (guint i = 0; i < report->findings->len && !report->draft; i++)
    n += g_strcmp0 (g_array_index (report->findings, TdReportFinding, i).severity, "advice") != 0;
  if (n == 0)
    return;
  text = g_strdup_printf (
      ngettext ("%u point of this visit departs from the rules of good work; it stands, with the "
                "reason given, under \xe2\x80\x9cHeld against the rules\xe2\x80\x9d.",
                "%u points of this visit depart from the rules of good work; they stand, with the "
                "reasons given, under \xe2\x80\x9cHeld against the rules\xe2\x80\x9d.",
                n),
      n);
  td_flow_add_paragraph (flow, text, &page_style);
}

void
td_report_paint_tasks (TdFlow *flow, const TdReport *report)
{
  td_flow_add_heading (flow, 2, _ ("What you have to do"));
  if (report->tasks->len == 0)
    td_flow_add_paragraph (flow, _ ("Nothing beyond normal care."), &page_style);
  add_tasks (flow, report);
  add_pointer (flow, report);
  td_flow_add_paragraph (flow, _ ("Keep this report at the site: local rules may ask for it."),
                         &td_style_small);
  td_flow_add_space (flow, 4);
  add_due (flow, report);
}

static void
paint_signature (TdCanvas *canvas,
                 const TdReport *report,
                 const TdReportSignature *signature,
                 const char *title,
                 double x,
                 double width,
                 double height)
{
  const TdStyle label = { .size = 6.8, .grey = 0.3 };
  g_autofree char *clock = td_report_clock (report, signature->at_ms);
  g_autofree char *line = NULL, *meaning = NULL;
  gboolean given = signature->at_ms != TD_NONE;
  const char *place = NULL;

  td_canvas_frame (canvas, x + 0.4, 0.4, width - 0.8, height - 0.8, 0.8);
  td_canvas_text (canvas, x + 6, 3, width - 12, title, &label);
  if (!given)
    place = _ ("not signed");
  else if (g_strcmp0 (signature->meaning, "nobody-present") == 0)
    place = _ ("NOBODY PRESENT");
  else if (g_strcmp0 (signature->meaning, "refused") == 0)
    place = _ ("REFUSED");
  else if (signature->strokes == NULL)
    place = _ ("given by name, not drawn");
  if (place != NULL)
    td_canvas_text (canvas, x + 6, 20, width - 12, place, &td_style_strong);
  else
    td_canvas_strokes (canvas, x + 6, 14, width - 12, height - 44, signature->strokes);
  td_canvas_rule (canvas, x + 6, height - 27, x + width - 6, height - 27, 0.4, 0.5);
  if (!given)
    return;
  if (signature->name != NULL)
    line = g_strdup_printf ("%s, %s", signature->name, clock);
  meaning = td_word_capital (signature->meaning);
  if (signature->reason != NULL)
    {
      g_autofree char *bare = g_steal_pointer (&meaning);
      meaning = g_strdup_printf ("%s: %s", bare, signature->reason);
    }
  td_canvas_text (canvas, x + 6, height - 25, width - 12, line != NULL ? line : clock,
                  &td_style_strong);
  td_canvas_text (canvas, x + 6, height - 14, width - 12, meaning, &td_style_small);
}

void
td_report_paint_signatures (TdFlow *flow, const TdReport *report)
{
  const double width = (td_flow_get_width (flow) - 10) / 2, height = 78;
  TdCanvas *canvas = td_canvas_new (flow);

  paint_signature (canvas, report, &report->signature,
                   _ ("For the service company: the work was done"), 0, width, height);
  paint_signature (canvas, report, &report->countersignature,
                   _ ("For the site: received, and told of what stands here"), width + 10, width,
                   height);
  td_flow_add_canvas (flow, canvas, height)->sink = TRUE;
  td_flow_add_space (flow, 6);
}
