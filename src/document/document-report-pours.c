#include "document-report-paint.h"

#include "document-i18n.h"
#include "document-report-groups.h"

#define NAME_WIDTH 100.0
/* From this many pouring lines on, their chips are drawn smaller. */
#define MANY_LINES 30

/* A chip bears a faucet's number, and the time under it. */
typedef struct
{
  double width, height, step, time_y;
  TdStyle number, time;
} Chip;

static const Chip big_chip = { 38,
                               32,
                               43,
                               19.5,
                               { .size = 14.0, .bold = TRUE, .align = PANGO_ALIGN_CENTER },
                               { .size = 8.2, .align = PANGO_ALIGN_CENTER } };
static const Chip small_chip = { 30,
                                 24,
                                 33,
                                 14.2,
                                 { .size = 10.5, .bold = TRUE, .align = PANGO_ALIGN_CENTER },
                                 { .size = 6.8, .align = PANGO_ALIGN_CENTER } };

static const TdStyle head_style = { .size = 11.5, .bold = TRUE };
/* Page 1 is read standing at the bar. */
static const TdStyle page_style = { .size = 9.4 };
static const TdStyle strong_style = { .size = 9.8, .bold = TRUE };

static guint
count (const TdReport *report, TdPour pour)
{
  guint n = 0;

  for (guint i = 0; i < report->lines->len; i++)
    n += g_array_index (report->lines, TdReportLine, i).pour == pour;
  return n;
}

/* A band over the width: black for what is forbidden, outlined for the rest. */
static void
add_band (TdFlow *flow, const char *text, gboolean black)
{
  const double width = td_flow_get_width (flow);
  TdCanvas *canvas = td_canvas_new (flow), *measure = td_canvas_new (flow);
  double height = td_canvas_text (measure, 0, 0, width - 16, text, &head_style) + 8;

  td_canvas_free (measure);
  if (black)
    {
      td_canvas_fill (canvas, 0, 0, width, height, 0);
      td_canvas_white_text (canvas, 8, 4, width - 16, text, &head_style);
    }
  else
    {
      td_canvas_frame (canvas, 0.5, 0.5, width - 1, height - 1, 1.0);
      td_canvas_text (canvas, 8, 4, width - 16, text, &head_style);
    }
  td_flow_add_canvas (flow, canvas, height)->keep = TRUE;
  td_flow_add_space (flow, 4);
}

static char *
number_text (const TdReportLine *line)
{
  return line->number > 0 ? g_strdup_printf ("%d", line->number) : g_strdup (line->id);
}

static const char *
explain (const TdReportLine *line)
{
  switch (line->why)
    {
    case TD_POUR_WHY_OUT_OF_SERVICE:
      return g_strcmp0 (line->service_condition, "holding") == 0 ? _ (
                 "Out of service. THE LINE STILL HOLDS CLEANING CHEMICAL: drawing from it burns skin, eyes, mouth.")
                                                                 : _ ("Out of service.");
    case TD_POUR_WHY_CHEMICAL:
      return _ (
          "Cleaning chemical was sent in and no reading shows that it is out: drawing from it can burn skin, "
          "eyes, mouth.");
    case TD_POUR_WHY_RINSE:
      return _ (
          "The rinse water was not yet like tap water: it may still carry cleaning chemical.");
    case TD_POUR_WHY_NO_BEER:
      return _ ("Rinsed, but clear beer has not been drawn: it gives rinse water.");
    case TD_POUR_WHY_TAG:
      return _ ("A lockout tag hangs on it.");
    case TD_POUR_WHY_NONE:
    default:
      return "";
    }
}

static char *
describe_service (const TdReportLine *line)
{
  GString *text = g_string_new (NULL);
  g_autofree char *reason = td_report_shorten (line->service_reason, 220);

  if (line->service_reason != NULL)
    g_string_append_printf (text, _ ("Because: %s"), reason);
  if (line->service_handed_to != NULL)
    {
      if (text->len > 0)
        g_string_append_c (text, '\n');
      g_string_append_printf (text, _ ("Handed to %s, who keeps it shut."),
                              line->service_handed_to);
    }
  if (line->service_tag != NULL)
    {
      g_string_append_c (text, ' ');
      g_string_append_printf (text, _ ("Tag %s stays on it."), line->service_tag);
    }
  return g_string_free (text, FALSE);
}

static void
add_forbidden_line (TdFlow *flow, const TdReport *report, const TdReportLine *line)
{
  const double width = td_flow_get_width (flow), x = 56;
  g_autofree char *number = number_text (line), *service = describe_service (line);
  g_autofree char *clock = td_report_clock (report, line->since_ms);
  g_autofree char *title = NULL;
  TdCanvas *canvas = td_canvas_new (flow);
  double y = 1;

  title = line->since_ms == TD_NONE
              ? g_strdup_printf ("%s \xc2\xb7 %s", line->title,
                                 line->product != NULL ? line->product : "\xe2\x80\x93")
              : g_strdup_printf (_ ("%s \xc2\xb7 %s \xc2\xb7 since %s"), line->title,
                                 line->product != NULL ? line->product : "\xe2\x80\x93", clock);
  td_canvas_fill (canvas, 8, 1, 38, 25, 0);
  td_canvas_white_text (canvas, 8, 4.5, 38, number, &big_chip.number);
  y += td_canvas_text (canvas, x, y, width - x - 8, title, &strong_style) + 1;
  y += td_canvas_text (canvas, x, y, width - x - 8, explain (line), &page_style);
  y += td_canvas_text (canvas, x, y, width - x - 8, service, &page_style);
  td_flow_add_canvas (flow, canvas, MAX (y, 27));
  td_flow_add_space (flow, 6);
}

static void
add_forbidden (TdFlow *flow, const TdReport *report)
{
  guint n = count (report, TD_POUR_NOT);
  g_autofree char *title = NULL;

  if (n == 0)
    {
      add_band (flow, _ ("No line has to be kept shut."), FALSE);
      return;
    }
  title = g_strdup_printf (
      ngettext ("MUST NOT BE POURED: %u line", "MUST NOT BE POURED: %u lines", n), n);
  add_band (flow, title, TRUE);
  for (guint i = 0; i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (line->pour == TD_POUR_NOT)
        add_forbidden_line (flow, report, line);
    }
  td_flow_add_space (flow, 4);
}

static void
add_chip (TdCanvas *canvas,
          const TdReport *report,
          const TdReportLine *line,
          const Chip *chip,
          double x)
{
  g_autofree char *number = number_text (line), *clock = td_report_clock (report, line->since_ms);

  td_canvas_frame (canvas, x + 0.4, 0.4, chip->width - 0.8, chip->height - 0.8, 0.8);
  td_canvas_text (canvas, x, 1.6, chip->width, number, &chip->number);
  td_canvas_text (canvas, x, chip->time_y, chip->width, clock, &chip->time);
}

/* The chips of one tower, in as many rows as they need. */
static void
add_chips (TdFlow *flow, const TdReport *report, const char *tower, const Chip *chip)
{
  const double width = td_flow_get_width (flow);
  const guint per_row = MAX (1, (guint)((width - NAME_WIDTH) / chip->step));
  TdCanvas *canvas = NULL;
  double name_height = 0;
  guint n = 0;

  for (guint i = 0; i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (line->pour != TD_POUR_READY || g_strcmp0 (line->tower, tower) != 0)
        continue;
      if (canvas != NULL && n % per_row == 0)
        {
          td_flow_add_canvas (flow, canvas, MAX (chip->height + 3, name_height + 6));
          canvas = NULL;
          name_height = 0;
        }
      if (canvas == NULL)
        {
          canvas = td_canvas_new (flow);
          if (n == 0)
            name_height = td_canvas_text (canvas, 8, 3, NAME_WIDTH - 14, tower, &strong_style);
        }
      add_chip (canvas, report, line, chip, NAME_WIDTH + (n % per_row) * chip->step);
      n++;
    }
  if (canvas != NULL)
    td_flow_add_canvas (flow, canvas, MAX (chip->height + 3, name_height + 6));
}

static void
add_pouring (TdFlow *flow, const TdReport *report)
{
  guint n = count (report, TD_POUR_READY);
  g_autofree char *title = NULL;
  const char *tower = NULL;

  if (n == 0)
    return;
  title = g_strdup_printf (ngettext ("Cleaned and pouring: %u line, clear beer since",
                                     "Cleaned and pouring: %u lines, clear beer since", n),
                           n);
  add_band (flow, title, FALSE);
  for (guint i = 0; i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (g_strcmp0 (line->tower, tower) == 0)
        continue;
      tower = line->tower;
      add_chips (flow, report, tower, n > MANY_LINES ? &small_chip : &big_chip);
    }
  td_flow_add_space (flow, 6);
}

static gboolean
is_untouched (const TdReportLine *line)
{
  return line->pour == TD_POUR_UNTOUCHED;
}

static const char *
left_out_reason (const TdReportLine *line)
{
  return line->left_out_reason;
}

static void
add_untouched (TdFlow *flow, const TdReport *report)
{
  g_autoptr (GPtrArray) groups = td_report_group (report, is_untouched, left_out_reason);

  if (groups->len == 0)
    return;
  td_flow_add_heading (flow, 2, _ ("Not cleaned in this visit: as it was before"));
  for (guint i = 0; i < groups->len; i++)
    {
      const GPtrArray *group = g_ptr_array_index (groups, i);
      const char *given = left_out_reason (g_ptr_array_index (group, 0));
      g_autofree char *reason
          = td_report_shorten (given != NULL ? given : _ ("not agreed for today."), 220);
      g_autofree char *titles = td_report_titles (group);
      g_autofree char *text = g_strdup_printf (_ ("%s: %s"), titles, reason);

      td_flow_add_item (flow, "\xe2\x80\xa2", text, &page_style);
    }
}

void
td_report_paint_pours (TdFlow *flow, const TdReport *report)
{
  add_forbidden (flow, report);
  add_pouring (flow, report);
  add_untouched (flow, report);
}
