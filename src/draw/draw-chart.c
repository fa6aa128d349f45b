#include "draw-chart.h"

#include "draw-text.h"

/* All in mm. */
#define TEXT 2.6
#define TEXT_LINE 3.4
#define ROW 8.2
#define ROW_BAR 2.9
#define LABEL_SHARE 0.42 /* of the width, for the labels of rows */
#define FIGURE 17.0      /* room for a figure at the end of a row */
#define MOST_COLUMN 30.0 /* one group is never wider */
#define LEAST_BAR 0.4    /* so that little can be told from nothing */
#define GAP 0.6

static void
clear_text (gpointer data)
{
  g_free (((TdChartText *) data)->text);
}

TdChartGroup *
td_chart_group_new (const char *label, double first, char *first_figure, double second, char *second_figure)
{
  TdChartGroup *group = g_new0 (TdChartGroup, 1);

  group->label = g_strdup (label);
  group->values[0] = first;
  group->values[1] = second;
  group->figures[0] = first_figure;
  group->figures[1] = second_figure;
  return group;
}

void
td_chart_group_free (TdChartGroup *group)
{
  g_return_if_fail (group != NULL);
  g_free (group->label);
  for (guint s = 0; s < TD_CHART_SERIES; s++)
    g_free (group->figures[s]);
  g_free (group);
}

static double
find_most (const GPtrArray *groups)
{
  double most = 0;

  for (guint i = 0; i < groups->len; i++)
    {
      const TdChartGroup *group = g_ptr_array_index (groups, i);

      for (guint s = 0; s < TD_CHART_SERIES; s++)
        if (group->figures[s] != NULL)
          most = MAX (most, group->values[s]);
    }
  return most > 0 ? most : 1;
}

static guint
count_series (const TdChartGroup *group)
{
  return (group->figures[0] != NULL) + (group->figures[1] != NULL);
}

static void
add_text (TdChart *chart, TdBox box, const char *text, TdAlign align)
{
  TdChartText item = { box, g_strdup (text), align };

  g_array_append_val (chart->texts, item);
}

static void
add_bar (TdChart *chart, TdBox box, guint group, guint series)
{
  TdChartBar bar = { box, (int) group, (int) series };

  g_array_append_val (chart->bars, bar);
}

static void
add_column_group (TdChart *chart, const TdChartGroup *group, guint index, double pitch, double scale)
{
  const double foot = chart->height - TEXT_LINE;
  const guint n = MAX (count_series (group), 1);
  const double width = (pitch * 0.86 - GAP * (n - 1)) / n;
  double x = index * pitch + pitch * 0.07;

  for (guint s = 0; s < TD_CHART_SERIES; s++)
    {
      double height = MAX (group->values[s] * scale, LEAST_BAR);

      if (group->figures[s] == NULL)
        continue;
      add_bar (chart, (TdBox){ x, foot - height, width, height }, index, s);
      add_text (chart, (TdBox){ x - GAP, foot - height - TEXT_LINE, width + 2 * GAP, TEXT_LINE }, group->figures[s],
                TD_ALIGN_CENTRE);
      x += width + GAP;
    }
  add_text (chart, (TdBox){ index * pitch, foot, pitch, TEXT_LINE }, group->label, TD_ALIGN_CENTRE);
}

static void
add_row_group (TdChart *chart, const TdChartGroup *group, guint index, double scale)
{
  const double left = chart->width * LABEL_SHARE;
  const guint n = MAX (count_series (group), 1);
  double y = index * ROW + (ROW - n * ROW_BAR - (n - 1) * GAP) / 2;

  add_text (chart, (TdBox){ 0, index * ROW, left - 2, ROW }, group->label, TD_ALIGN_RIGHT);
  for (guint s = 0; s < TD_CHART_SERIES; s++)
    {
      double width = MAX (group->values[s] * scale, LEAST_BAR);

      if (group->figures[s] == NULL)
        continue;
      add_bar (chart, (TdBox){ left, y, width, ROW_BAR }, index, s);
      add_text (chart, (TdBox){ left + width + 1, y - 0.4, FIGURE - 1, ROW_BAR + 0.8 }, group->figures[s],
                TD_ALIGN_LEFT);
      y += ROW_BAR + GAP;
    }
}

TdChart *
td_chart_new (TdChartShape shape, const GPtrArray *groups, double width_mm, double height_mm)
{
  TdChart *chart = g_new0 (TdChart, 1);
  double most;

  g_assert (groups != NULL && width_mm > 0);
  most = find_most (groups);
  chart->bars = g_array_new (FALSE, FALSE, sizeof (TdChartBar));
  chart->texts = g_array_new (FALSE, FALSE, sizeof (TdChartText));
  g_array_set_clear_func (chart->texts, clear_text);
  chart->width = width_mm;
  chart->height = shape == TD_CHART_ROWS ? groups->len * ROW : height_mm;
  for (guint i = 0; i < groups->len; i++)
    if (shape == TD_CHART_ROWS)
      add_row_group (chart, g_ptr_array_index (groups, i), i, (width_mm * (1 - LABEL_SHARE) - FIGURE) / most);
    else
      add_column_group (chart, g_ptr_array_index (groups, i), i, MIN (width_mm / groups->len, MOST_COLUMN),
                        (height_mm - 2 * TEXT_LINE) / most);
  if (shape == TD_CHART_ROWS)
    chart->base = (TdBox){ width_mm * LABEL_SHARE, 0, 0, chart->height };
  else
    chart->base = (TdBox){ 0, height_mm - TEXT_LINE, width_mm, 0 };
  return chart;
}

void
td_chart_free (TdChart *chart)
{
  g_return_if_fail (chart != NULL);
  g_array_unref (chart->bars);
  g_array_unref (chart->texts);
  g_free (chart);
}

/* The whole strip of a group counts, from edge to edge. */
int
td_chart_hit (const TdChart *chart, double x, double y)
{
  g_assert (chart != NULL);
  for (guint i = 0; i < chart->bars->len; i++)
    {
      const TdChartBar *bar = &g_array_index (chart->bars, TdChartBar, i);
      gboolean upright = chart->base.height == 0;

      if (upright ? x >= bar->box.x && x < bar->box.x + bar->box.width && y >= 0 && y < chart->height
                  : y >= bar->box.y - GAP && y < bar->box.y + bar->box.height + GAP && x >= 0 && x < chart->width)
        return bar->group;
    }
  return -1;
}

static void
paint_bar (const TdChartBar *bar, cairo_t *cr, const TdPalette *palette)
{
  const TdBox *box = &bar->box;
  const double line = 0.35;

  if (bar->series == 0)
    {
      cairo_rectangle (cr, box->x, box->y, box->width, box->height);
      td_colour_set (&palette->out, cr);
      cairo_fill (cr);
      return;
    }
  cairo_rectangle (cr, box->x + line / 2, box->y + line / 2, MAX (box->width - line, 0.05),
                   MAX (box->height - line, 0.05));
  td_colour_set (&palette->ink, cr);
  cairo_set_line_width (cr, line);
  cairo_stroke (cr);
}

void
td_chart_paint (const TdChart *chart, cairo_t *cr, const TdPaintOptions *options)
{
  const TdPaintOptions usual = TD_PAINT_OPTIONS_INIT;
  const TdPalette *palette;
  g_autoptr (TdTextPen) pen = NULL;

  g_assert (chart != NULL && cr != NULL);
  if (options == NULL)
    options = &usual;
  palette = td_palette_get (options->palette);
  pen = td_text_pen_new (cr, options->font_map, options->family);
  if (options->ground)
    {
      td_colour_set (&palette->ground, cr);
      cairo_paint (cr);
    }
  for (guint i = 0; i < chart->bars->len; i++)
    paint_bar (&g_array_index (chart->bars, TdChartBar, i), cr, palette);
  td_colour_set (&palette->ink, cr);
  cairo_set_line_width (cr, 0.25);
  cairo_move_to (cr, chart->base.x, chart->base.y);
  cairo_rel_line_to (cr, chart->base.width, chart->base.height);
  cairo_stroke (cr);
  for (guint i = 0; i < chart->texts->len; i++)
    {
      const TdChartText *text = &g_array_index (chart->texts, TdChartText, i);

      td_colour_set (&palette->ink, cr);
      td_text_pen_write (pen, text->text, &text->box, TEXT, text->align, FALSE, FALSE);
    }
}
