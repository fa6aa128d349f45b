/* desk-chart-view.h: bars on the screen; a click on one tells which. */
#pragma once

#include "draw-chart.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_CHART_VIEW (td_chart_view_get_type ())
/* Signal "group-activated" (uint): index of the group that was clicked. What the chart shows stands in a table
 * beside it as well, which is the way there by keyboard. */
G_DECLARE_FINAL_TYPE (TdChartView, td_chart_view, TD, CHART_VIEW, GtkWidget)

GtkWidget *td_chart_view_new (void);
/* @groups: (transfer full) (element-type TdChartGroup): NULL or empty hides the chart. @label: what it shows. */
void td_chart_view_set_groups (TdChartView *self, TdChartShape shape, GPtrArray *groups, const char *label);

/* The chart as high as it asks for, at most @max_height px, scrolled beyond. @self: (transfer floating).
 * Returns: (transfer floating). */
GtkWidget *td_chart_view_in_scroller (TdChartView *self, int max_height);

G_END_DECLS
