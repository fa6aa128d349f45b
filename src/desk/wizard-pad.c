#include "wizard-pad.h"

#include "core-json-build.h"
#include "desk-i18n.h"

#include <math.h>

/* A pixel of the toolkit is 1/96 in. */
#define HUNDREDTHS_PER_PX (2540.0 / 96.0)
#define POINTS_MAX 50000
#define INK_PX 2.6

typedef struct
{
  float x, y; /* px */
  guint32 time_ms;
} Point;

struct _TdWizardPad
{
  GtkWidget parent;
  GPtrArray *strokes; /* GArray of Point */
  GArray *stroke;     /* the one that is being drawn */
  guint points;
};

G_DEFINE_FINAL_TYPE (TdWizardPad, td_wizard_pad, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_CHANGED,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

static void
add_point (TdWizardPad *self, double x, double y, guint32 time_ms)
{
  Point point = { (float) CLAMP (x, 0, gtk_widget_get_width (GTK_WIDGET (self))),
                  (float) CLAMP (y, 0, gtk_widget_get_height (GTK_WIDGET (self))), time_ms };

  if (self->stroke == NULL || self->points >= POINTS_MAX)
    return;
  /* Times must not run backwards, whatever the device says. */
  if (self->stroke->len > 0)
    point.time_ms = MAX (point.time_ms, g_array_index (self->stroke, Point, self->stroke->len - 1).time_ms);
  g_array_append_val (self->stroke, point);
  self->points++;
}

/* The toolkit compresses motion: what lies between two events is in their history, in the surface's
 * coordinates. */
static void
add_history (TdWizardPad *self, GdkEvent *event)
{
  GtkNative *native = gtk_widget_get_native (GTK_WIDGET (self));
  g_autofree GdkTimeCoord *history = NULL;
  double offset_x = 0, offset_y = 0;
  guint n = 0;

  if (event == NULL || gdk_event_get_event_type (event) != GDK_MOTION_NOTIFY)
    return;
  history = gdk_event_get_history (event, &n);
  gtk_native_get_surface_transform (native, &offset_x, &offset_y);
  for (guint i = 0; i < n; i++)
    {
      double x = 0, y = 0;

      gtk_widget_translate_coordinates (GTK_WIDGET (native), GTK_WIDGET (self),
                                        history[i].axes[GDK_AXIS_X] - offset_x,
                                        history[i].axes[GDK_AXIS_Y] - offset_y, &x, &y);
      add_point (self, x, y, history[i].time);
    }
}

static void
drag_begin_cb (GtkGestureDrag *gesture, double x, double y, TdWizardPad *self)
{
  gtk_widget_grab_focus (GTK_WIDGET (self));
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  self->stroke = g_array_new (FALSE, FALSE, sizeof (Point));
  g_ptr_array_add (self->strokes, self->stroke);
  add_point (self, x, y, gtk_event_controller_get_current_event_time (GTK_EVENT_CONTROLLER (gesture)));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
drag_update_cb (GtkGestureDrag *gesture, double dx, double dy, TdWizardPad *self)
{
  double x = 0, y = 0;

  gtk_gesture_drag_get_start_point (gesture, &x, &y);
  add_history (self, gtk_event_controller_get_current_event (GTK_EVENT_CONTROLLER (gesture)));
  add_point (self, x + dx, y + dy, gtk_event_controller_get_current_event_time (GTK_EVENT_CONTROLLER (gesture)));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
drag_end_cb (GtkGestureDrag *gesture, double dx, double dy, TdWizardPad *self)
{
  self->stroke = NULL;
  g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
}

static void
td_wizard_pad_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TdWizardPad *self = TD_WIZARD_PAD (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  graphene_rect_t bounds = GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  GdkRGBA ink;

  gtk_style_context_get_color (gtk_widget_get_style_context (widget), &ink);
  cairo_set_source_rgba (cr, ink.red, ink.green, ink.blue, 0.45);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, 16, height * 0.78);
  cairo_line_to (cr, width - 16, height * 0.78);
  cairo_stroke (cr);
  gdk_cairo_set_source_rgba (cr, &ink);
  cairo_set_line_width (cr, INK_PX);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (guint i = 0; i < self->strokes->len; i++)
    {
      const GArray *stroke = g_ptr_array_index (self->strokes, i);

      for (guint j = 0; j < stroke->len; j++)
        {
          const Point *point = &g_array_index (stroke, Point, j);

          if (j == 0)
            cairo_move_to (cr, point->x, point->y);
          cairo_line_to (cr, point->x, point->y);
        }
      cairo_stroke (cr);
    }
  cairo_destroy (cr);
}

static void
td_wizard_pad_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 240 : 120;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 560 : 150;
}

static void
td_wizard_pad_finalize (GObject *object)
{
  g_ptr_array_unref (TD_WIZARD_PAD (object)->strokes);
  G_OBJECT_CLASS (td_wizard_pad_parent_class)->finalize (object);
}

static void
td_wizard_pad_class_init (TdWizardPadClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = td_wizard_pad_finalize;
  widget_class->snapshot = td_wizard_pad_snapshot;
  widget_class->measure = td_wizard_pad_measure;
  signals[SIGNAL_CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                          NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_css_name (widget_class, "signpad");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
td_wizard_pad_init (TdWizardPad *self)
{
  GtkGesture *drag = gtk_gesture_drag_new ();

  self->strokes = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  gtk_event_controller_set_propagation_phase (GTK_EVENT_CONTROLLER (drag), GTK_PHASE_CAPTURE);
  g_signal_connect (drag, "drag-begin", G_CALLBACK (drag_begin_cb), self);
  g_signal_connect (drag, "drag-update", G_CALLBACK (drag_update_cb), self);
  g_signal_connect (drag, "drag-end", G_CALLBACK (drag_end_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Pad to sign on; a typed name suffices"), -1);
  gtk_widget_set_cursor_from_name (GTK_WIDGET (self), "crosshair");
}

GtkWidget *
td_wizard_pad_new (void)
{
  return g_object_new (TD_TYPE_WIZARD_PAD, NULL);
}

void
td_wizard_pad_clear (TdWizardPad *self)
{
  g_return_if_fail (TD_IS_WIZARD_PAD (self));
  self->stroke = NULL;
  self->points = 0;
  g_ptr_array_set_size (self->strokes, 0);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
}

TdJson *
td_wizard_pad_get_strokes (TdWizardPad *self)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  guint32 first;

  g_return_val_if_fail (TD_IS_WIZARD_PAD (self), NULL);
  if (self->strokes->len == 0)
    return NULL;
  first = g_array_index ((GArray *) g_ptr_array_index (self->strokes, 0), Point, 0).time_ms;
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < self->strokes->len; i++)
    {
      const GArray *stroke = g_ptr_array_index (self->strokes, i);

      if (stroke->len == 0)
        continue;
      td_json_builder_begin_array (builder);
      for (guint j = 0; j < stroke->len; j++)
        {
          const Point *point = &g_array_index (stroke, Point, j);

          td_json_builder_integer (builder, (gint64) lround (point->x * HUNDREDTHS_PER_PX));
          td_json_builder_integer (builder, (gint64) lround (point->y * HUNDREDTHS_PER_PX));
          td_json_builder_integer (builder, (gint64) (guint32) (point->time_ms - first));
        }
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}
