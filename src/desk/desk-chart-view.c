#include "desk-chart-view.h"

#include "desk-look.h"

/* Pixels to a millimetre: letters of 2.6 mm become 13 px. */
#define SCALE 5.0
#define COLUMNS_PX 170
#define LEAST_PX 320

struct _TdChartView
{
  GtkWidget parent;
  GPtrArray *groups; /* TdChartGroup */
  TdChartShape shape;
  TdChart *chart; /* as wide as the widget was when it was laid out last */
};

G_DEFINE_FINAL_TYPE (TdChartView, td_chart_view, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_GROUP_ACTIVATED,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

static TdChart *
get_chart (TdChartView *self)
{
  double width = gtk_widget_get_width (GTK_WIDGET (self)) / SCALE;

  if (self->chart != NULL && self->chart->width != width)
    g_clear_pointer (&self->chart, td_chart_free);
  if (self->chart == NULL && self->groups != NULL && width > 0)
    self->chart = td_chart_new (self->shape, self->groups, width, COLUMNS_PX / SCALE);
  return self->chart;
}

static void
td_chart_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TdChart *chart = get_chart (TD_CHART_VIEW (widget));
  TdPaintOptions options = TD_PAINT_OPTIONS_INIT;
  graphene_rect_t bounds;
  cairo_t *cr;

  if (chart == NULL)
    return;
  options.palette = td_look_is_dark (widget) ? TD_PALETTE_DARK : TD_PALETTE_LIGHT;
  options.ground = FALSE;
  graphene_rect_init (&bounds, 0, 0, (float) gtk_widget_get_width (widget), (float) gtk_widget_get_height (widget));
  cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  cairo_scale (cr, SCALE, SCALE);
  td_chart_paint (chart, cr, &options);
  cairo_destroy (cr);
}

/* Rows take their own height, whatever the width. */
static void
td_chart_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  TdChartView *self = TD_CHART_VIEW (widget);
  g_autoptr (TdChart) chart = NULL;

  if (orientation == GTK_ORIENTATION_HORIZONTAL || self->groups == NULL)
    {
      *minimum = *natural = LEAST_PX;
      return;
    }
  chart = td_chart_new (self->shape, self->groups, LEAST_PX / SCALE, COLUMNS_PX / SCALE);
  *minimum = *natural = (int) (chart->height * SCALE + 0.5);
}

static void
released_cb (GtkGestureClick *click, int n, double x, double y, TdChartView *self)
{
  int group = self->chart != NULL ? td_chart_hit (self->chart, x / SCALE, y / SCALE) : -1;

  if (group >= 0)
    g_signal_emit (self, signals[SIGNAL_GROUP_ACTIVATED], 0, (guint) group);
}

static void
td_chart_view_finalize (GObject *object)
{
  TdChartView *self = TD_CHART_VIEW (object);

  g_clear_pointer (&self->groups, g_ptr_array_unref);
  g_clear_pointer (&self->chart, td_chart_free);
  G_OBJECT_CLASS (td_chart_view_parent_class)->finalize (object);
}

static void
td_chart_view_class_init (TdChartViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = td_chart_view_finalize;
  widget_class->snapshot = td_chart_view_snapshot;
  widget_class->measure = td_chart_view_measure;
  signals[SIGNAL_GROUP_ACTIVATED] = g_signal_new ("group-activated", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                                                  NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
td_chart_view_init (TdChartView *self)
{
  GtkGesture *click = gtk_gesture_click_new ();

  g_signal_connect_object (click, "released", G_CALLBACK (released_cb), self, 0);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
}

GtkWidget *
td_chart_view_new (void)
{
  return g_object_new (TD_TYPE_CHART_VIEW, NULL);
}

void
td_chart_view_set_groups (TdChartView *self, TdChartShape shape, GPtrArray *groups, const char *label)
{
  g_return_if_fail (TD_IS_CHART_VIEW (self) && label != NULL);
  g_clear_pointer (&self->groups, g_ptr_array_unref);
  g_clear_pointer (&self->chart, td_chart_free);
  self->groups = groups;
  self->shape = shape;
  gtk_widget_set_visible (GTK_WIDGET (self), groups != NULL && groups->len > 0);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

GtkWidget *
td_chart_view_in_scroller (TdChartView *self, int max_height)
{
  GtkWidget *scroller = gtk_scrolled_window_new ();

  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_propagate_natural_height (GTK_SCROLLED_WINDOW (scroller), TRUE);
  gtk_scrolled_window_set_max_content_height (GTK_SCROLLED_WINDOW (scroller), max_height);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), GTK_WIDGET (self));
  gtk_widget_set_margin_start (scroller, 12);
  gtk_widget_set_margin_end (scroller, 12);
  gtk_widget_set_margin_bottom (scroller, 8);
  return scroller;
}
