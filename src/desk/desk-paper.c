#include "desk-paper.h"

#include <math.h>

struct _TdPaperWidget
{
  GtkWidget parent;
  TdPaperDraw draw;
  gpointer document;
  guint index;
  double width_pt, height_pt;
  double zoom;
  GdkTexture *texture; /* the page as last painted, for scrolling without painting it again */
  double painted_scale;
  gboolean near_sight;
};

G_DEFINE_FINAL_TYPE (TdPaperWidget, td_paper_widget, GTK_TYPE_WIDGET)

/* Paper is white and ink is black, whatever the window's colours: the preview shows what will be printed. */
static GdkTexture *
paint (TdPaperWidget *self, double scale)
{
  int width = (int) ceil (self->width_pt * scale), height = (int) ceil (self->height_pt * scale);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  cairo_t *cr = cairo_create (surface);
  g_autoptr (GBytes) bytes = NULL;
  GdkTexture *texture = NULL;

  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  cairo_scale (cr, scale, scale);
  self->draw (self->document, self->index, cr);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  if (cairo_surface_status (surface) == CAIRO_STATUS_SUCCESS)
    {
      gsize stride = (gsize) cairo_image_surface_get_stride (surface);
      guchar *data = cairo_image_surface_get_data (surface);

      /* The unused byte of RGB24 is not defined; as alpha it has to be opaque. */
      for (gsize i = 3; i < stride * (gsize) height; i += 4)
        data[i] = G_BYTE_ORDER == G_LITTLE_ENDIAN ? 0xff : data[i];
      bytes = g_bytes_new (data, stride * (gsize) height);
      texture = gdk_memory_texture_new (width, height, GDK_MEMORY_B8G8R8A8_PREMULTIPLIED, bytes, stride);
    }
  cairo_surface_destroy (surface);
  return texture;
}

static void
td_paper_widget_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TdPaperWidget *self = TD_PAPER_WIDGET (widget);
  double scale = self->zoom * gtk_widget_get_scale_factor (widget);
  graphene_rect_t bounds;

  if (self->draw == NULL || !self->near_sight)
    return;
  if (self->texture == NULL || self->painted_scale != scale)
    {
      g_clear_object (&self->texture);
      self->texture = paint (self, scale);
      self->painted_scale = scale;
    }
  if (self->texture == NULL)
    return;
  graphene_rect_init (&bounds, 0, 0, (float) (self->width_pt * self->zoom), (float) (self->height_pt * self->zoom));
  gtk_snapshot_append_texture (snapshot, self->texture, &bounds);
}

static void
td_paper_widget_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                         int *minimum_baseline, int *natural_baseline)
{
  TdPaperWidget *self = TD_PAPER_WIDGET (widget);
  double points = orientation == GTK_ORIENTATION_HORIZONTAL ? self->width_pt : self->height_pt;

  *minimum = *natural = (int) ceil (points * self->zoom);
}

static void
td_paper_widget_dispose (GObject *object)
{
  g_clear_object (&TD_PAPER_WIDGET (object)->texture);
  G_OBJECT_CLASS (td_paper_widget_parent_class)->dispose (object);
}

static void
td_paper_widget_class_init (TdPaperWidgetClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_paper_widget_dispose;
  widget_class->snapshot = td_paper_widget_snapshot;
  widget_class->measure = td_paper_widget_measure;
  gtk_widget_class_set_css_name (widget_class, "paper");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
td_paper_widget_init (TdPaperWidget *self)
{
  self->zoom = 1;
  gtk_widget_set_halign (GTK_WIDGET (self), GTK_ALIGN_CENTER);
}

GtkWidget *
td_paper_widget_new (void)
{
  return g_object_new (TD_TYPE_PAPER_WIDGET, NULL);
}

void
td_paper_widget_set_page (TdPaperWidget *self, TdPaperDraw draw, gpointer document, guint index, double width_pt,
                          double height_pt, const char *title)
{
  g_return_if_fail (TD_IS_PAPER_WIDGET (self));
  self->draw = draw;
  self->document = document;
  self->index = index;
  self->width_pt = width_pt;
  self->height_pt = height_pt;
  g_clear_object (&self->texture);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  title != NULL ? title : "", -1);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

void
td_paper_widget_set_zoom (TdPaperWidget *self, double zoom)
{
  g_return_if_fail (TD_IS_PAPER_WIDGET (self));
  g_return_if_fail (zoom > 0);
  if (self->zoom == zoom)
    return;
  self->zoom = zoom;
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

void
td_paper_widget_set_near (TdPaperWidget *self, gboolean near_sight)
{
  g_return_if_fail (TD_IS_PAPER_WIDGET (self));
  if (self->near_sight == near_sight)
    return;
  self->near_sight = near_sight;
  if (!near_sight)
    g_clear_object (&self->texture);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
