#include "desk-hours-view.h"

#include "desk-i18n.h"
#include "desk-look.h"
#include "draw-hours.h"

#include <math.h>

/* Pixels to a millimetre: a row's text is as large as the window's. */
#define PX_PER_MM 4.4
#define MIN_WIDTH_PX 360

struct _TdHoursView
{
  GtkWidget parent;
  TdHours *hours; /* NULL where there is nothing to show */
};

G_DEFINE_FINAL_TYPE (TdHoursView, td_hours_view, GTK_TYPE_WIDGET)

/* The bars are laid out once for a picture of this width and scaled to the widget's. */
#define LAYOUT_MM 200.0

static double
get_scale (TdHoursView *self, int width)
{
  return self->hours != NULL ? MIN (width / self->hours->width, PX_PER_MM) : PX_PER_MM;
}

static void
td_hours_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TdHoursView *self = TD_HOURS_VIEW (widget);
  TdPaintOptions options = TD_PAINT_OPTIONS_INIT;
  int width = gtk_widget_get_width (widget);
  graphene_rect_t bounds;
  cairo_t *cr;

  if (self->hours == NULL || width <= 0)
    return;
  options.palette = td_look_is_dark (widget) ? TD_PALETTE_DARK : TD_PALETTE_LIGHT;
  options.ground = FALSE;
  graphene_rect_init (&bounds, 0, 0, (float) width, (float) gtk_widget_get_height (widget));
  cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  cairo_scale (cr, get_scale (self, width), get_scale (self, width));
  td_hours_paint (self->hours, cr, &options);
  cairo_destroy (cr);
}

static GtkSizeRequestMode
td_hours_view_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
td_hours_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  TdHoursView *self = TD_HOURS_VIEW (widget);

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = *natural = MIN_WIDTH_PX;
      return;
    }
  if (for_size < MIN_WIDTH_PX)
    for_size = MAX (gtk_widget_get_width (widget), MIN_WIDTH_PX);
  *minimum = *natural = self->hours != NULL ? (int) ceil (self->hours->height * get_scale (self, for_size)) : 0;
}

void
td_hours_view_set_outlook (TdHoursView *self, TdSite *site, const TdPlanOutlook *outlook, const char *words)
{
  g_return_if_fail (TD_IS_HOURS_VIEW (self));
  g_clear_pointer (&self->hours, td_hours_free);
  if (outlook != NULL)
    self->hours = td_hours_new (site, outlook, LAYOUT_MM);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("The hours of the plan"),
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, words != NULL ? words : "", -1);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

static void
td_hours_view_finalize (GObject *object)
{
  TdHoursView *self = TD_HOURS_VIEW (object);

  g_clear_pointer (&self->hours, td_hours_free);
  G_OBJECT_CLASS (td_hours_view_parent_class)->finalize (object);
}

static void
td_hours_view_class_init (TdHoursViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = td_hours_view_finalize;
  widget_class->snapshot = td_hours_view_snapshot;
  widget_class->get_request_mode = td_hours_view_get_request_mode;
  widget_class->measure = td_hours_view_measure;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
td_hours_view_init (TdHoursView *self)
{
}
