#include "wizard-toggles.h"

#define PER_LINE 8

struct _TdWizardToggles
{
  GtkWidget parent;
  GtkFlowBox *box;
  GPtrArray *ids;
  char *name;
  gboolean several;
  gboolean setting; /* the choice is being set from outside */
};

G_DEFINE_FINAL_TYPE (TdWizardToggles, td_wizard_toggles, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_CHANGED,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

static GtkToggleButton *
get_button (TdWizardToggles *self, guint index)
{
  GtkFlowBoxChild *child = gtk_flow_box_get_child_at_index (self->box, (int) index);

  return GTK_TOGGLE_BUTTON (gtk_flow_box_child_get_child (child));
}

static void
toggled_cb (GtkToggleButton *button, TdWizardToggles *self)
{
  if (self->setting)
    return;
  self->setting = TRUE;
  for (guint i = 0; !self->several && gtk_toggle_button_get_active (button) && i < self->ids->len; i++)
    if (get_button (self, i) != button)
      gtk_toggle_button_set_active (get_button (self, i), FALSE);
  self->setting = FALSE;
  g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
}

static void
td_wizard_toggles_dispose (GObject *object)
{
  TdWizardToggles *self = TD_WIZARD_TOGGLES (object);
  GtkWidget *box = GTK_WIDGET (self->box);

  self->box = NULL;
  g_clear_pointer (&box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_wizard_toggles_parent_class)->dispose (object);
}

static void
td_wizard_toggles_finalize (GObject *object)
{
  g_ptr_array_unref (TD_WIZARD_TOGGLES (object)->ids);
  g_free (TD_WIZARD_TOGGLES (object)->name);
  G_OBJECT_CLASS (td_wizard_toggles_parent_class)->finalize (object);
}

static gboolean
td_wizard_toggles_grab_focus (GtkWidget *widget)
{
  TdWizardToggles *self = TD_WIZARD_TOGGLES (widget);

  return self->ids->len > 0 && gtk_widget_grab_focus (GTK_WIDGET (get_button (self, 0)));
}

static void
td_wizard_toggles_class_init (TdWizardTogglesClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = td_wizard_toggles_dispose;
  G_OBJECT_CLASS (klass)->finalize = td_wizard_toggles_finalize;
  GTK_WIDGET_CLASS (klass)->grab_focus = td_wizard_toggles_grab_focus;
  signals[SIGNAL_CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                          NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (klass), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
td_wizard_toggles_init (TdWizardToggles *self)
{
  self->ids = g_ptr_array_new_with_free_func (g_free);
  self->box = GTK_FLOW_BOX (gtk_flow_box_new ());
  gtk_flow_box_set_selection_mode (self->box, GTK_SELECTION_NONE);
  gtk_flow_box_set_max_children_per_line (self->box, PER_LINE);
  gtk_flow_box_set_column_spacing (self->box, 6);
  gtk_flow_box_set_row_spacing (self->box, 6);
  gtk_widget_set_parent (GTK_WIDGET (self->box), GTK_WIDGET (self));
}

GtkWidget *
td_wizard_toggles_new (gboolean several, const char *name)
{
  TdWizardToggles *self = g_object_new (TD_TYPE_WIZARD_TOGGLES, NULL);

  self->several = several;
  self->name = g_strdup (name);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  return GTK_WIDGET (self);
}

void
td_wizard_toggles_add (TdWizardToggles *self, const char *id, const char *label)
{
  GtkWidget *button = gtk_toggle_button_new_with_label (label);
  g_autofree char *name = g_strdup_printf ("%s: %s", self->name, label);
  GtkWidget *cell;

  g_return_if_fail (TD_IS_WIZARD_TOGGLES (self) && id != NULL && label != NULL);
  gtk_widget_set_name (button, id);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  g_signal_connect_object (button, "toggled", G_CALLBACK (toggled_cb), self, 0);
  g_ptr_array_add (self->ids, g_strdup (id));
  gtk_flow_box_append (self->box, button);
  cell = gtk_widget_get_parent (button);
  /* The button is what is reached and pressed; its cell would be a stop of its own for the Tab key. */
  gtk_widget_set_focusable (cell, FALSE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (cell), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
}

void
td_wizard_toggles_clear (TdWizardToggles *self)
{
  GtkFlowBoxChild *child;

  g_return_if_fail (TD_IS_WIZARD_TOGGLES (self));
  while ((child = gtk_flow_box_get_child_at_index (self->box, 0)) != NULL)
    gtk_flow_box_remove (self->box, GTK_WIDGET (child));
  g_ptr_array_set_size (self->ids, 0);
}

guint
td_wizard_toggles_get_length (TdWizardToggles *self)
{
  g_return_val_if_fail (TD_IS_WIZARD_TOGGLES (self), 0);
  return self->ids->len;
}

char **
td_wizard_toggles_get_chosen (TdWizardToggles *self)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();

  g_return_val_if_fail (TD_IS_WIZARD_TOGGLES (self), NULL);
  for (guint i = 0; i < self->ids->len; i++)
    if (gtk_toggle_button_get_active (get_button (self, i)))
      g_strv_builder_add (builder, g_ptr_array_index (self->ids, i));
  return g_strv_builder_end (builder);
}

void
td_wizard_toggles_set_chosen (TdWizardToggles *self, const char *const *ids)
{
  g_return_if_fail (TD_IS_WIZARD_TOGGLES (self) && ids != NULL);
  self->setting = TRUE;
  for (guint i = 0; i < self->ids->len; i++)
    gtk_toggle_button_set_active (get_button (self, i), g_strv_contains (ids, g_ptr_array_index (self->ids, i)));
  self->setting = FALSE;
  g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
}
