/* draw-chart.h: bars for figures, as plain boxes and texts in millimetres, and their painting.
 *
 * A first series is filled, a second one hollow: they differ without colour.  Every bar bears its figure, so
 * that no axis has to be read.  What a pointer points at is asked of the same boxes. */
#pragma once

#include "draw-paint.h"
#include "draw-scene.h"

G_BEGIN_DECLS

#define TD_CHART_SERIES 2

typedef struct
{
  char *label;                       /* of the group of bars */
  double values[TD_CHART_SERIES];    /* never negative */
  char *figures[TD_CHART_SERIES];    /* as printed at the bar; NULL where the series has no value here */
} TdChartGroup;

typedef enum
{
  TD_CHART_COLUMNS, /* bars upwards, labels beneath: for the months of a year */
  TD_CHART_ROWS     /* bars to the right, labels to their left: for long labels */
} TdChartShape;

typedef struct
{
  TdBox box;
  int group;
  int series;
} TdChartBar;

typedef struct
{
  TdBox box;
  char *text;
  TdAlign align;
} TdChartText;

typedef struct _TdChart
{
  double width, height; /* mm */
  GArray *bars;         /* TdChartBar */
  GArray *texts;        /* TdChartText, owned */
  TdBox base;           /* the line that bars stand on, one of its sides 0 */
} TdChart;

/* @groups: (element-type TdChartGroup): left to right or from above. @width_mm: what there is. @height_mm: of
 * columns; rows take what they need. Returns: (transfer full). */
TdChart *td_chart_new (TdChartShape shape, const GPtrArray *groups, double width_mm, double height_mm);
void td_chart_free (TdChart *chart);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdChart, td_chart_free)

/* @label: copied. @figures: (transfer full) (nullable) each. */
TdChartGroup *td_chart_group_new (const char *label, double first, char *first_figure, double second,
                                  char *second_figure);
void td_chart_group_free (TdChartGroup *group);

/* Index of the group whose bar or strip stands at a point; -1 where none does. */
int td_chart_hit (const TdChart *chart, double x, double y);

/* Paints it with its upper left corner at the origin; one unit of @cr is a millimetre. @options: (nullable). */
void td_chart_paint (const TdChart *chart, cairo_t *cr, const TdPaintOptions *options);

G_END_DECLS
