#include "wizard-opening.h"

#include "desk-i18n.h"
#include "model-act.h"
#include "model-opening.h"
#include "model-steps.h"

struct _TdWizardOpening
{
  GtkWidget parent;
  GtkBox *box;
};

G_DEFINE_FINAL_TYPE (TdWizardOpening, td_wizard_opening, GTK_TYPE_WIDGET)

static GtkWidget *
add_text (TdWizardOpening *self, const char *text, const char *style)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, style);
  gtk_box_append (self->box, label);
  return label;
}

static void
add_button (TdWizardOpening *self, const char *text, const char *action, GVariant *target)
{
  GtkWidget *button = gtk_button_new_with_label (text);

  gtk_actionable_set_action_target_value (GTK_ACTIONABLE (button), target);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_widget_set_halign (button, GTK_ALIGN_START);
  gtk_box_append (self->box, button);
}

void
td_wizard_opening_show (TdWizardOpening *self, TdSession *session)
{
  TdVisit *visit;
  g_autoptr (GPtrArray) order = NULL;
  g_autoptr (GArray) shut = NULL;
  GtkWidget *child;

  g_return_if_fail (TD_IS_WIZARD_OPENING (self) && TD_IS_SESSION (session));
  visit = td_session_get_visit (session);
  order = td_visit_get_flush_order (visit);
  shut = td_visit_get_not_pouring (visit);
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->box))) != NULL)
    gtk_box_remove (self->box, child);
  add_text (self, _ ("The bar must open now"), "large");
  add_text (self, order->len > 0 ? _ ("These lines hold chemical. Flush them in this order; only pH against tap water opens a line.")
                                 : _ ("No line holds chemical."), "strong");
  for (guint i = 0; i < order->len; i++)
    {
      const TdFlush *flush = g_ptr_array_index (order, i);
      g_autofree char *title = g_strdup_printf ("%u. %s", i + 1, flush->title);

      add_text (self, title, "flush-title");
      add_text (self, flush->why, "faint");
    }
  if (order->len > 0)
    add_button (self, _ ("Go to the rinse"), "wizard.step", g_variant_new_int32 (TD_STEP_RINSE));
  if (shut->len > 0)
    {
      g_autofree char *lines = td_outlets_to_title (visit->site, shut);
      g_autofree char *text = g_strdup_printf (_ ("Hold no chemical, but do not pour yet: %s"), lines);

      add_text (self, text, "strong");
      add_button (self, _ ("Go to putting back"), "wizard.step", g_variant_new_int32 (TD_STEP_BACK));
    }
  add_text (self, _ ("What cannot be finished stays out of service: tagged, its state written down, handed to a named person."), "strong");
  add_button (self, _ ("Leave lines out of service…"), "wizard.kind", g_variant_new_string ("out-of-service"));
  add_button (self, _ ("Hang a tag…"), "wizard.kind", g_variant_new_string ("tag-hung"));
}

static void
td_wizard_opening_dispose (GObject *object)
{
  GtkWidget *box = GTK_WIDGET (TD_WIZARD_OPENING (object)->box);

  TD_WIZARD_OPENING (object)->box = NULL;
  g_clear_pointer (&box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_wizard_opening_parent_class)->dispose (object);
}

static void
td_wizard_opening_class_init (TdWizardOpeningClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = td_wizard_opening_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
td_wizard_opening_init (TdWizardOpening *self)
{
  self->box = GTK_BOX (gtk_box_new (GTK_ORIENTATION_VERTICAL, 8));
  gtk_widget_add_css_class (GTK_WIDGET (self->box), "opening");
  gtk_widget_set_parent (GTK_WIDGET (self->box), GTK_WIDGET (self));
}
