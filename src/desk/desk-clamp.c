#include "desk-clamp.h"

struct _TdClamp
{
  GtkWidget parent;
  GtkWidget *child;
  int most;
};

G_DEFINE_FINAL_TYPE (TdClamp, td_clamp, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_CHILD,
  PROP_MOST,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
td_clamp_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                  int *minimum_baseline, int *natural_baseline)
{
  TdClamp *self = TD_CLAMP (widget);

  if (self->child == NULL)
    return;
  if (orientation == GTK_ORIENTATION_VERTICAL && for_size > self->most)
    for_size = self->most;
  gtk_widget_measure (self->child, orientation, for_size, minimum, natural, minimum_baseline, natural_baseline);
}

static void
td_clamp_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  TdClamp *self = TD_CLAMP (widget);
  int minimum = 0, given;

  if (self->child == NULL)
    return;
  gtk_widget_measure (self->child, GTK_ORIENTATION_HORIZONTAL, -1, &minimum, NULL, NULL, NULL);
  given = MAX (MIN (width, self->most), minimum);
  gtk_widget_size_allocate (self->child, &(GtkAllocation) { (width - given) / 2, 0, given, height }, baseline);
}

static GtkSizeRequestMode
td_clamp_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
set_child (TdClamp *self, GtkWidget *child)
{
  g_clear_pointer (&self->child, gtk_widget_unparent);
  self->child = child;
  if (child != NULL)
    gtk_widget_set_parent (child, GTK_WIDGET (self));
}

static void
td_clamp_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdClamp *self = TD_CLAMP (object);

  if (id == PROP_CHILD)
    g_value_set_object (value, self->child);
  else if (id == PROP_MOST)
    g_value_set_int (value, self->most);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_clamp_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdClamp *self = TD_CLAMP (object);

  if (id == PROP_CHILD)
    set_child (self, g_value_get_object (value));
  else if (id == PROP_MOST)
    {
      self->most = g_value_get_int (value);
      gtk_widget_queue_resize (GTK_WIDGET (self));
    }
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_clamp_dispose (GObject *object)
{
  set_child (TD_CLAMP (object), NULL);
  G_OBJECT_CLASS (td_clamp_parent_class)->dispose (object);
}

static void
td_clamp_class_init (TdClampClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_clamp_get_property;
  object_class->set_property = td_clamp_set_property;
  object_class->dispose = td_clamp_dispose;
  widget_class->measure = td_clamp_measure;
  widget_class->size_allocate = td_clamp_size_allocate;
  widget_class->get_request_mode = td_clamp_get_request_mode;
  properties[PROP_CHILD] = g_param_spec_object ("child", NULL, NULL, GTK_TYPE_WIDGET,
                                                G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  properties[PROP_MOST] = g_param_spec_int ("most", NULL, NULL, 1, G_MAXINT16, 1200,
                                            G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
td_clamp_init (TdClamp *self)
{
  self->most = 1200;
}

GtkWidget *
td_clamp_new (GtkWidget *child, int most)
{
  return g_object_new (TD_TYPE_CLAMP, "child", child, "most", most, NULL);
}
