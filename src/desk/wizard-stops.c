#include "wizard-stops.h"

#include "desk-i18n.h"
#include "model-stops.h"

struct _TdWizardStops
{
  GtkWidget parent;
  GtkBox *box;
};

G_DEFINE_FINAL_TYPE (TdWizardStops, td_wizard_stops, GTK_TYPE_WIDGET)

static void
add_row (TdWizardStops *self, const char *icon, const char *tone, const char *text, const char *action_label,
         const char *action, GVariant *target)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10);
  GtkWidget *sign = gtk_image_new_from_icon_name (icon);
  GtkWidget *label = gtk_label_new (text);

  gtk_widget_add_css_class (row, "stop-row");
  gtk_widget_add_css_class (sign, "severity");
  gtk_widget_add_css_class (sign, tone);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (row), sign);
  gtk_box_append (GTK_BOX (row), label);
  if (action != NULL)
    {
      GtkWidget *button = gtk_button_new_with_label (action_label);
      g_autofree char *name = g_strdup_printf ("%s: %s", action_label, text);

      gtk_actionable_set_action_target_value (GTK_ACTIONABLE (button), target);
      gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
      gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
      gtk_box_append (GTK_BOX (row), button);
    }
  gtk_box_append (self->box, row);
}

static void
add_title (TdWizardStops *self, const char *text)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "stand-title");
  gtk_box_append (self->box, label);
}

/* "12 × A FOB was flooded and not rinsed. Tower A 1, 2" (transfer full) */
static char *
say_group (const TdStopGroup *group)
{
  GString *text = g_string_new (NULL);

  if (group->n > 1)
    g_string_append_printf (text, "%u × ", group->n);
  g_string_append (text, group->text);
  if (group->lines != NULL)
    g_string_append_printf (text, " %s", group->lines);
  return g_string_free (text, FALSE);
}

static guint
add_stops (TdWizardStops *self, TdSession *session)
{
  g_autoptr (GPtrArray) groups
    = td_stop_groups_new (td_session_get_visit (session), td_session_get_findings (session), TD_SEVERITY_STOP);

  if (groups->len > 0)
    add_title (self, _ ("These keep the visit open"));
  for (guint i = 0; i < groups->len; i++)
    {
      const TdStopGroup *group = g_ptr_array_index (groups, i);
      gboolean past = group->remedy == TD_KIND_CORRECTION;
      g_autofree char *text = say_group (group);

      add_row (self, "td-stop-symbolic", "stop", text, past ? _ ("Correct…") : td_kind_get_text (group->remedy),
               past ? "wizard.show" : "wizard.remedy",
               past ? g_variant_new_string ("record")
                    : g_variant_new ("(sii)", td_kind_get_code (group->remedy), group->outlet, group->circuit));
    }
  return groups->len;
}

/* One reason for all of a rule: it stands for the whole visit then. */
static guint
add_reasons (TdWizardStops *self, TdSession *session)
{
  g_autoptr (GPtrArray) groups
    = td_stop_groups_new (td_session_get_visit (session), td_session_get_findings (session), TD_SEVERITY_REASON);

  if (groups->len > 0)
    add_title (self, _ ("The record asks why"));
  for (guint i = 0; i < groups->len; i++)
    {
      const TdStopGroup *group = g_ptr_array_index (groups, i);
      g_autofree char *text = say_group (group);

      add_row (self, "td-reason-symbolic", "reason", text, _ ("Give a reason…"), "wizard.reason",
               g_variant_new ("(si)", td_rule_get_info (group->rule)->code, group->n > 1 ? -1 : group->outlet));
    }
  return groups->len;
}

void
td_wizard_stops_show (TdWizardStops *self, TdSession *session)
{
  GtkWidget *child;

  g_return_if_fail (TD_IS_WIZARD_STOPS (self) && TD_IS_SESSION (session));
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->box))) != NULL)
    gtk_box_remove (self->box, child);
  if (add_stops (self, session) + add_reasons (self, session) == 0)
    add_row (self, "td-done-symbolic", "advice", _ ("Nothing stands open."), NULL, NULL, NULL);
}

static void
td_wizard_stops_dispose (GObject *object)
{
  GtkWidget *box = GTK_WIDGET (TD_WIZARD_STOPS (object)->box);

  TD_WIZARD_STOPS (object)->box = NULL;
  g_clear_pointer (&box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_wizard_stops_parent_class)->dispose (object);
}

static void
td_wizard_stops_class_init (TdWizardStopsClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = td_wizard_stops_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
td_wizard_stops_init (TdWizardStops *self)
{
  self->box = GTK_BOX (gtk_box_new (GTK_ORIENTATION_VERTICAL, 6));
  gtk_widget_add_css_class (GTK_WIDGET (self->box), "card");
  gtk_widget_add_css_class (GTK_WIDGET (self->box), "stand");
  gtk_widget_set_parent (GTK_WIDGET (self->box), GTK_WIDGET (self));
}
