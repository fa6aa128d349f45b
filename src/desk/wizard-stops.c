#include "wizard-stops.h"

#include "desk-i18n.h"

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

static guint
add_stops (TdWizardStops *self, TdSession *session)
{
  TdGuardQuestion question = { .kind = TD_KIND_CLOSING, .person = td_session_get_person (session),
                               .now_ms = td_session_get_now_ms (session) };
  g_autoptr (GPtrArray) missing = td_guard_ask (td_session_get_visit (session), &question);

  if (missing->len > 0)
    add_title (self, _ ("These keep the visit open"));
  for (guint i = 0; i < missing->len; i++)
    {
      const TdMissing *one = g_ptr_array_index (missing, i);

      /* The end of the list itself: the signatures stand below. */
      add_row (self, "td-stop-symbolic", "stop", one->text,
               one->remedy == TD_KIND_CORRECTION ? _ ("Correct…") : td_kind_get_text (one->remedy),
               one->remedy == TD_KIND_CORRECTION ? "wizard.show" : "wizard.remedy",
               one->remedy == TD_KIND_CORRECTION
                 ? g_variant_new_string ("record")
                 : g_variant_new ("(sii)", td_kind_get_code (one->remedy), one->outlet, one->circuit));
    }
  return missing->len;
}

static guint
add_reasons (TdWizardStops *self, TdSession *session)
{
  GPtrArray *findings = td_session_get_findings (session);
  guint n = 0;

  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);
      const TdRuleInfo *rule = td_rule_get_info (finding->rule);

      if (rule->severity != TD_SEVERITY_REASON || finding->reason != NULL)
        continue;
      if (n++ == 0)
        add_title (self, _ ("The record asks why"));
      add_row (self, "td-reason-symbolic", "reason", finding->text, _ ("Give a reason…"), "wizard.reason",
               g_variant_new ("(si)", rule->code, finding->outlet));
    }
  return n;
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
