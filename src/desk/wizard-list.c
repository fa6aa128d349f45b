#include "wizard-list.h"

#include "desk-i18n.h"
#include "wizard-row.h"

#include <string.h>

struct _TdWizardList
{
  GtkWidget parent;
  GtkWidget *box;
  GPtrArray *rows;    /* TdWizardRow (transfer none), in order */
  guint shown_seq; /* the visit's last entry when the rows were made */
  GPtrArray *bulk;    /* GtkWidget (transfer none): buttons that confirm a whole list */
  TdStep step;
};

G_DEFINE_FINAL_TYPE (TdWizardList, td_wizard_list, GTK_TYPE_WIDGET)

static void
add_bulk (TdWizardList *self, GtkWidget *card, const TdStand *stand, const TdStepView *view)
{
  g_autoptr (GPtrArray) acts = td_stand_get_confirmable (stand, view);
  g_autofree char *label = NULL;
  g_autofree char *name = NULL;
  GtkWidget *button;

  if (stand->manner != TD_STAND_READ_DO || acts->len < 2)
    return;
  label = g_strdup_printf (_ ("All %u done"), acts->len);
  name = g_strdup_printf (_ ("All %u done: %s"), acts->len, stand->title);
  button = gtk_button_new_with_label (label);
  gtk_widget_set_name (button, stand->key);
  gtk_widget_add_css_class (button, "act");
  gtk_widget_add_css_class (button, "tall");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", stand->key);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "wizard.stand");
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_box_append (GTK_BOX (card), button);
  g_ptr_array_add (self->bulk, button);
}

/* Cautions are read before the acts below them. */
static void
add_note (GtkWidget *card, const char *text)
{
  GtkWidget *note = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (note), 0);
  gtk_label_set_wrap (GTK_LABEL (note), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (note), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_selectable (GTK_LABEL (note), FALSE);
  gtk_widget_add_css_class (note, "hint");
  gtk_widget_add_css_class (note, "hint-off");
  gtk_box_append (GTK_BOX (card), note);
}

static void
add_stand (TdWizardList *self, const TdStand *stand, const TdStepView *view)
{
  GtkWidget *card = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkWidget *title = gtk_label_new (stand->title);

  gtk_widget_add_css_class (card, "card");
  gtk_widget_add_css_class (card, "stand");
  gtk_label_set_xalign (GTK_LABEL (title), 0);
  gtk_widget_add_css_class (title, "stand-title");
  gtk_box_append (GTK_BOX (card), title);
  if (stand->note != NULL)
    add_note (card, stand->note);
  for (guint i = 0; i < stand->acts->len; i++)
    {
      GtkWidget *row = td_wizard_row_new (g_ptr_array_index (stand->acts, i), view);

      gtk_box_append (GTK_BOX (card), row);
      g_ptr_array_add (self->rows, row);
    }
  add_bulk (self, card, stand, view);
  gtk_box_append (GTK_BOX (self->box), card);
}

static void
else_toggled_cb (GtkToggleButton *button, GtkWidget *flow)
{
  gtk_widget_set_visible (flow, gtk_toggle_button_get_active (button));
  gtk_accessible_update_state (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_STATE_EXPANDED,
                               gtk_toggle_button_get_active (button), -1);
}

/* Whatever else may be written down in this step. */
static void
add_kinds (TdWizardList *self, TdStep step)
{
  g_autoptr (GArray) kinds = td_step_get_kinds (step);
  /* No GtkExpander: the Tab key does not get out of one. */
  GtkWidget *button = gtk_toggle_button_new_with_label (_ ("Something else to write down"));
  GtkWidget *flow = gtk_flow_box_new ();

  gtk_flow_box_set_selection_mode (GTK_FLOW_BOX (flow), GTK_SELECTION_NONE);
  gtk_flow_box_set_max_children_per_line (GTK_FLOW_BOX (flow), 6);
  gtk_flow_box_set_column_spacing (GTK_FLOW_BOX (flow), 6);
  gtk_flow_box_set_row_spacing (GTK_FLOW_BOX (flow), 6);
  for (guint i = 0; i < kinds->len; i++)
    {
      TdKind kind = g_array_index (kinds, TdKind, i);
      GtkWidget *way = gtk_button_new_with_label (td_kind_get_text (kind));
      GtkWidget *cell;

      gtk_widget_set_name (way, td_kind_get_code (kind));
      gtk_actionable_set_action_target (GTK_ACTIONABLE (way), "s", td_kind_get_code (kind));
      gtk_actionable_set_action_name (GTK_ACTIONABLE (way), "wizard.kind");
      gtk_flow_box_append (GTK_FLOW_BOX (flow), way);
      cell = gtk_widget_get_parent (way);
      gtk_widget_set_focusable (cell, FALSE);
      gtk_accessible_update_property (GTK_ACCESSIBLE (cell), GTK_ACCESSIBLE_PROPERTY_LABEL, td_kind_get_text (kind), -1);
    }
  gtk_widget_set_name (button, "else");
  gtk_widget_add_css_class (button, "else");
  gtk_widget_set_halign (button, GTK_ALIGN_START);
  gtk_widget_set_visible (flow, FALSE);
  g_signal_connect_object (button, "toggled", G_CALLBACK (else_toggled_cb), flow, 0);
  gtk_box_append (GTK_BOX (self->box), button);
  gtk_box_append (GTK_BOX (self->box), flow);
}

static void
add_nothing (TdWizardList *self, const TdStepView *view)
{
  GtkWidget *label = gtk_label_new (view->visit->closed ? _ ("The visit is closed.")
                                                        : _ ("Nothing to do here yet: an earlier step comes first."));

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_add_css_class (label, "faint");
  gtk_widget_set_margin_top (label, 24);
  gtk_widget_set_margin_bottom (label, 24);
  gtk_box_append (GTK_BOX (self->box), label);
}

/* Where the focus is: index of the row, or G_MAXUINT. @key_out: (transfer full). */
static guint
find_focus (TdWizardList *self, char **key_out)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  if (focus == NULL || !gtk_widget_is_ancestor (focus, GTK_WIDGET (self)))
    return G_MAXUINT;
  for (guint i = 0; i < self->rows->len; i++)
    {
      GtkWidget *row = g_ptr_array_index (self->rows, i);

      if (!gtk_widget_is_ancestor (focus, row))
        continue;
      *key_out = g_strdup (gtk_widget_get_name (row));
      return i;
    }
  return 0;
}

static gboolean
focus_row (GtkWidget *row)
{
  GtkWidget *button = td_wizard_row_get_button (TD_WIZARD_ROW (row));

  return gtk_widget_is_sensitive (button) && gtk_widget_grab_focus (button);
}

/* The first row that can be done, from @index on, then from the top. Never one that is only offered: a key
 * pressed once too often must not do it. */
static gboolean
focus_from (TdWizardList *self, guint index)
{
  for (guint i = 0; i < self->rows->len; i++)
    {
      GtkWidget *row = g_ptr_array_index (self->rows, (index + i) % self->rows->len);

      if (td_wizard_row_is_wanted (TD_WIZARD_ROW (row)) && focus_row (row))
        return TRUE;
    }
  return FALSE;
}

/* The same act, else the next open one; else it is the page's to find a place for the focus. */
static void
restore_focus (TdWizardList *self, guint index, const char *key)
{
  GtkWidget *same = key != NULL ? td_wizard_list_find (self, key) : NULL;

  if (same == NULL || !focus_row (same))
    focus_from (self, index);
}

/* Lines that somebody has taken out of an act, by the act's key: a clock that runs out must not put them in
 * again under the finger. (transfer full) */
static GHashTable *
keep_exceptions (TdWizardList *self)
{
  GHashTable *kept = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_strfreev);

  for (guint i = 0; i < self->rows->len; i++)
    {
      GtkWidget *row = g_ptr_array_index (self->rows, i);
      char **chosen = td_wizard_row_get_exceptions (TD_WIZARD_ROW (row));

      if (chosen != NULL)
        g_hash_table_insert (kept, g_strdup (gtk_widget_get_name (row)), chosen);
    }
  return kept;
}

static void
restore_exceptions (TdWizardList *self, GHashTable *kept, guint seq)
{
  for (guint i = 0; i < self->rows->len; i++)
    {
      GtkWidget *row = g_ptr_array_index (self->rows, i);
      const char *const *chosen = g_hash_table_lookup (kept, gtk_widget_get_name (row));

      if (chosen != NULL && self->shown_seq == seq)
        td_wizard_row_set_exceptions (TD_WIZARD_ROW (row), chosen);
    }
  self->shown_seq = seq;
}

void
td_wizard_list_show (TdWizardList *self, const TdStepView *view, TdStep step)
{
  g_autoptr (TdStepSheet) sheet = NULL;
  g_autoptr (GHashTable) kept = NULL;
  g_autofree char *key = NULL;
  guint index;
  GtkWidget *child;

  g_return_if_fail (TD_IS_WIZARD_LIST (self) && view != NULL && view->visit != NULL);
  index = find_focus (self, &key);
  if (step != self->step)
    {
      g_clear_pointer (&key, g_free);
      index = index != G_MAXUINT ? 0 : index;
    }
  self->step = step;
  kept = keep_exceptions (self);
  g_ptr_array_set_size (self->rows, 0);
  g_ptr_array_set_size (self->bulk, 0);
  while ((child = gtk_widget_get_first_child (self->box)) != NULL)
    gtk_box_remove (GTK_BOX (self->box), child);
  sheet = td_step_sheet_new (step, view);
  for (guint i = 0; i < sheet->stands->len; i++)
    add_stand (self, g_ptr_array_index (sheet->stands, i), view);
  if (sheet->stands->len == 0)
    add_nothing (self, view);
  if (!view->visit->closed)
    add_kinds (self, step);
  restore_exceptions (self, kept, view->visit->last_seq);
  if (index != G_MAXUINT)
    restore_focus (self, index, key);
}

GtkWidget *
td_wizard_list_find (TdWizardList *self, const char *key)
{
  g_return_val_if_fail (TD_IS_WIZARD_LIST (self) && key != NULL, NULL);
  for (guint i = 0; i < self->rows->len; i++)
    if (strcmp (gtk_widget_get_name (g_ptr_array_index (self->rows, i)), key) == 0)
      return g_ptr_array_index (self->rows, i);
  return NULL;
}

gboolean
td_wizard_list_focus (TdWizardList *self, const char *key)
{
  GtkWidget *row;

  g_return_val_if_fail (TD_IS_WIZARD_LIST (self), FALSE);
  row = key != NULL ? td_wizard_list_find (self, key) : NULL;
  if (row != NULL && focus_row (row))
    return TRUE;
  return focus_from (self, 0);
}

static void
td_wizard_list_dispose (GObject *object)
{
  g_clear_pointer (&TD_WIZARD_LIST (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_wizard_list_parent_class)->dispose (object);
}

static void
td_wizard_list_finalize (GObject *object)
{
  g_ptr_array_unref (TD_WIZARD_LIST (object)->rows);
  g_ptr_array_unref (TD_WIZARD_LIST (object)->bulk);
  G_OBJECT_CLASS (td_wizard_list_parent_class)->finalize (object);
}

static void
td_wizard_list_class_init (TdWizardListClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = td_wizard_list_dispose;
  G_OBJECT_CLASS (klass)->finalize = td_wizard_list_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
td_wizard_list_init (TdWizardList *self)
{
  self->rows = g_ptr_array_new ();
  self->bulk = g_ptr_array_new ();
  self->step = TD_N_STEPS;
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 10);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

GtkWidget *
td_wizard_list_new (void)
{
  return g_object_new (TD_TYPE_WIZARD_LIST, NULL);
}
