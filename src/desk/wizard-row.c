#include "wizard-row.h"

#include "desk-i18n.h"
#include "wizard-toggles.h"

#include <string.h>

/* More than so many lines of what is missing are counted, not shown. */
#define MISSING_SHOWN 3

struct _TdWizardRow
{
  GtkWidget parent;
  TdAct *act;
  TdVisit *visit;

  GtkWidget *root;
  GtkWidget *button;
  GtkImage *icon;
  GtkLabel *title;
  GtkLabel *detail;
  GtkLabel *confirm;
  GtkWidget *expand;
  GtkWidget *more;
  GtkBox *exceptions;
  GtkBox *missing;
  GtkWidget *toggles; /* made when it is wanted */
};

G_DEFINE_FINAL_TYPE (TdWizardRow, td_wizard_row, GTK_TYPE_WIDGET)

static void
aim (TdWizardRow *self, const char *const *lines)
{
  if (self->act->confirm == NULL)
    {
      gtk_actionable_set_action_target (GTK_ACTIONABLE (self->button), "(sbb)", self->act->key, FALSE, FALSE);
      gtk_actionable_set_action_name (GTK_ACTIONABLE (self->button), "wizard.form");
      return;
    }
  gtk_actionable_set_action_target_value (GTK_ACTIONABLE (self->button),
                                          g_variant_new ("(s@as)", self->act->key, g_variant_new_strv (lines, -1)));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->button), "wizard.act");
}

/* A button with an action is as sensitive as the action is enabled: without one it can be held back. */
static void
hold_back (TdWizardRow *self)
{
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->button), NULL);
  gtk_widget_set_sensitive (self->button, FALSE);
}

static void
chosen_cb (TdWizardRow *self)
{
  g_auto (GStrv) chosen = td_wizard_toggles_get_chosen (TD_WIZARD_TOGGLES (self->toggles));
  guint n = g_strv_length (chosen), all = td_wizard_toggles_get_length (TD_WIZARD_TOGGLES (self->toggles));
  g_autofree char *text = NULL;
  static const char *const none[] = { NULL };

  aim (self, n == all ? none : (const char *const *) chosen);
  if (n == 0)
    hold_back (self);
  text = n == all ? g_strdup (self->act->detail) : g_strdup_printf (_ ("%u of %u lines"), n, all);
  gtk_label_set_label (self->detail, text);
}

static void
make_toggles (TdWizardRow *self)
{
  g_autoptr (GArray) outlets = td_act_get_outlets (self->act);
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) all = NULL;

  self->toggles = td_wizard_toggles_new (TRUE, _ ("Done to"));
  gtk_widget_set_hexpand (self->toggles, TRUE);
  for (guint i = 0; i < outlets->len; i++)
    {
      guint outlet = g_array_index (outlets, guint, i);
      g_autofree char *title = td_outlet_get_title (self->visit->site, outlet);
      const char *id = self->visit->site->outlets[outlet].id;

      td_wizard_toggles_add (TD_WIZARD_TOGGLES (self->toggles), id, title);
      g_strv_builder_add (builder, id);
    }
  all = g_strv_builder_end (builder);
  td_wizard_toggles_set_chosen (TD_WIZARD_TOGGLES (self->toggles), (const char *const *) all);
  g_signal_connect_object (self->toggles, "changed", G_CALLBACK (chosen_cb), self, G_CONNECT_SWAPPED);
  gtk_box_append (self->exceptions, self->toggles);
}

static void
expand_toggled_cb (GtkToggleButton *expand, TdWizardRow *self)
{
  if (self->toggles == NULL)
    make_toggles (self);
  gtk_widget_set_visible (GTK_WIDGET (self->exceptions), gtk_toggle_button_get_active (expand));
}

static const char *
name_remedy (const TdMissing *missing, TdKind asked)
{
  return missing->remedy == asked ? NULL : td_kind_get_text (missing->remedy);
}

static void
add_missing (TdWizardRow *self, const TdMissing *missing)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *label = gtk_label_new (missing->text);
  const char *remedy = name_remedy (missing, td_act_get_kind (self->act));

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (label, missing->advice ? "advice-text" : "missing-text");
  gtk_box_append (GTK_BOX (row), label);
  if (remedy != NULL && !missing->advice)
    {
      GtkWidget *button = gtk_button_new_with_label (remedy);
      g_autofree char *name = g_strdup_printf ("%s: %s", remedy, missing->text);

      gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "(sii)", td_kind_get_code (missing->remedy),
                                        missing->outlet, missing->circuit);
      gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "wizard.remedy");
      gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
      gtk_box_append (GTK_BOX (row), button);
    }
  gtk_box_append (self->missing, row);
}

static void
add_late_way (TdWizardRow *self, guint more)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  g_autofree char *text = more > 0 ? g_strdup_printf (_ ("and %u more"), more) : g_strdup ("");
  GtkWidget *label = gtk_label_new (text);
  GtkWidget *button = gtk_button_new_with_label (_ ("It has happened already…"));

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "(sbb)", self->act->key, TRUE, TRUE);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "wizard.form");
  gtk_widget_add_css_class (button, "flat");
  gtk_box_append (GTK_BOX (row), label);
  gtk_box_append (GTK_BOX (row), button);
  gtk_box_append (self->missing, row);
}

/* What is missing, each with its remedy; the way to say that it was done in spite of it. */
static void
show_guard (TdWizardRow *self, const GPtrArray *missing)
{
  gboolean held = td_missing_holds (missing);

  for (guint i = 0; i < MIN (missing->len, MISSING_SHOWN); i++)
    add_missing (self, g_ptr_array_index (missing, i));
  if (held)
    add_late_way (self, missing->len > MISSING_SHOWN ? missing->len - MISSING_SHOWN : 0);
  gtk_widget_set_visible (GTK_WIDGET (self->missing), missing->len > 0);
  if (held)
    {
      hold_back (self);
      gtk_widget_add_css_class (self->root, "held");
      gtk_widget_set_visible (self->expand, FALSE);
      gtk_widget_set_visible (self->more, FALSE);
    }
}

static void
show_done (TdWizardRow *self)
{
  gtk_widget_add_css_class (self->root, "done");
  gtk_image_set_from_icon_name (self->icon, "td-done-symbolic");
  hold_back (self);
  gtk_widget_set_visible (self->expand, FALSE);
  gtk_widget_set_visible (self->more, FALSE);
  gtk_label_set_label (self->confirm, _ ("done"));
}

static void
td_wizard_row_dispose (GObject *object)
{
  TdWizardRow *self = TD_WIZARD_ROW (object);

  g_clear_pointer (&self->root, gtk_widget_unparent);
  G_OBJECT_CLASS (td_wizard_row_parent_class)->dispose (object);
}

static void
td_wizard_row_finalize (GObject *object)
{
  TdWizardRow *self = TD_WIZARD_ROW (object);

  g_clear_pointer (&self->act, td_act_unref);
  g_clear_pointer (&self->visit, td_visit_unref);
  G_OBJECT_CLASS (td_wizard_row_parent_class)->finalize (object);
}

static void
td_wizard_row_class_init (TdWizardRowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_wizard_row_dispose;
  G_OBJECT_CLASS (klass)->finalize = td_wizard_row_finalize;
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/wizard-row.ui");
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, root);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, button);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, icon);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, title);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, detail);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, confirm);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, expand);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, more);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, exceptions);
  gtk_widget_class_bind_template_child (widget_class, TdWizardRow, missing);
  gtk_widget_class_bind_template_callback (widget_class, expand_toggled_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static void
td_wizard_row_init (TdWizardRow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_wizard_row_new (TdAct *act, const TdStepView *view)
{
  TdWizardRow *self = g_object_new (TD_TYPE_WIZARD_ROW, NULL);
  static const char *const none[] = { NULL };
  g_autofree char *name = g_strdup_printf ("%s. %s", act->title, act->detail != NULL ? act->detail : "");
  g_autofree char *more = g_strdup_printf (_ ("More about: %s"), act->title);
  g_autofree char *lines = g_strdup_printf (_ ("Lines of: %s"), act->title);

  self->act = td_act_ref (act);
  self->visit = td_visit_ref ((TdVisit *) view->visit);
  gtk_widget_set_name (GTK_WIDGET (self), act->key);
  gtk_label_set_label (self->title, act->title);
  gtk_label_set_label (self->detail, act->detail != NULL ? act->detail : "");
  gtk_widget_set_visible (GTK_WIDGET (self->detail), act->detail != NULL);
  gtk_label_set_label (self->confirm, act->confirm != NULL ? act->confirm : _ ("Fill in…"));
  gtk_image_set_from_icon_name (self->icon, act->wanted ? "td-later-symbolic" : "td-soon-symbolic");
  gtk_widget_set_visible (self->expand, td_act_has_exceptions (act) && act->confirm != NULL);
  gtk_widget_set_visible (self->more, act->confirm != NULL && td_act_get_kind (act) != TD_KIND_CLOSING);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->more), GTK_ACCESSIBLE_PROPERTY_LABEL, more, -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->expand), GTK_ACCESSIBLE_PROPERTY_LABEL, lines, -1);
  if (!act->wanted)
    gtk_widget_add_css_class (self->root, "offered");
  aim (self, none);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (self->more), "(sbb)", act->key, FALSE, TRUE);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->more), "wizard.form");
  if (act->done)
    show_done (self);
  else
    {
      g_autoptr (GPtrArray) missing = td_act_ask_guard (act, view->visit, NULL, view->person, view->now_ms);

      show_guard (self, missing);
    }
  return GTK_WIDGET (self);
}

GtkWidget *
td_wizard_row_get_button (TdWizardRow *self)
{
  g_return_val_if_fail (TD_IS_WIZARD_ROW (self), NULL);
  return self->button;
}

char **
td_wizard_row_get_exceptions (TdWizardRow *self)
{
  g_auto (GStrv) chosen = NULL;

  g_return_val_if_fail (TD_IS_WIZARD_ROW (self), NULL);
  if (self->toggles == NULL)
    return NULL;
  chosen = td_wizard_toggles_get_chosen (TD_WIZARD_TOGGLES (self->toggles));
  return g_strv_length (chosen) < td_wizard_toggles_get_length (TD_WIZARD_TOGGLES (self->toggles))
           ? g_steal_pointer (&chosen) : NULL;
}

void
td_wizard_row_set_exceptions (TdWizardRow *self, const char *const *chosen)
{
  g_return_if_fail (TD_IS_WIZARD_ROW (self) && chosen != NULL);
  if (!gtk_widget_get_visible (self->expand))
    return;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->expand), TRUE);
  td_wizard_toggles_set_chosen (TD_WIZARD_TOGGLES (self->toggles), chosen);
}

gboolean
td_wizard_row_is_wanted (TdWizardRow *self)
{
  g_return_val_if_fail (TD_IS_WIZARD_ROW (self), FALSE);
  return self->act->wanted;
}
