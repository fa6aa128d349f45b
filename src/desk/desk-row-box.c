#include "desk-row-box.h"

struct _TdRowBox
{
  GtkWidget parent;
  GtkWidget *child;
  char *label;
};

G_DEFINE_FINAL_TYPE (TdRowBox, td_row_box, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_CHILD,
  PROP_LABEL,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

/* The row itself is GTK's own widget around us. */
static void
open_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  GtkWidget *row = gtk_widget_get_parent (widget);

  if (row != NULL)
    gtk_widget_activate (row);
}

static void
set_child (TdRowBox *self, GtkWidget *child)
{
  g_clear_pointer (&self->child, gtk_widget_unparent);
  self->child = child;
  if (child != NULL)
    gtk_widget_set_parent (child, GTK_WIDGET (self));
}

static void
set_label (TdRowBox *self, const char *label)
{
  if (g_strcmp0 (self->label, label) == 0)
    return;
  g_free (self->label);
  self->label = g_strdup (label);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, label != NULL ? label : "", -1);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LABEL]);
}

static void
td_row_box_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdRowBox *self = TD_ROW_BOX (object);

  if (id == PROP_CHILD)
    g_value_set_object (value, self->child);
  else if (id == PROP_LABEL)
    g_value_set_string (value, self->label);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_row_box_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdRowBox *self = TD_ROW_BOX (object);

  if (id == PROP_CHILD)
    set_child (self, g_value_get_object (value));
  else if (id == PROP_LABEL)
    set_label (self, g_value_get_string (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_row_box_dispose (GObject *object)
{
  set_child (TD_ROW_BOX (object), NULL);
  G_OBJECT_CLASS (td_row_box_parent_class)->dispose (object);
}

static void
td_row_box_finalize (GObject *object)
{
  g_free (TD_ROW_BOX (object)->label);
  G_OBJECT_CLASS (td_row_box_parent_class)->finalize (object);
}

static void
td_row_box_class_init (TdRowBoxClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_row_box_get_property;
  object_class->set_property = td_row_box_set_property;
  object_class->dispose = td_row_box_dispose;
  object_class->finalize = td_row_box_finalize;
  properties[PROP_CHILD] = g_param_spec_object ("child", NULL, NULL, GTK_TYPE_WIDGET,
                                                G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  properties[PROP_LABEL] = g_param_spec_string ("label", NULL, NULL, NULL,
                                                G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_BUTTON);
  gtk_widget_class_install_action (widget_class, "row.open", NULL, open_action);
}

static void
td_row_box_init (TdRowBox *self)
{
}

GtkWidget *
td_row_box_new (void)
{
  return g_object_new (TD_TYPE_ROW_BOX, NULL);
}
