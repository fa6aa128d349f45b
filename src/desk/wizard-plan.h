/* wizard-plan.h: the plan as it is proposed, drawn, pinned line by line, and adopted. */
#pragma once

#include "desk-session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_PLAN (td_wizard_plan_get_type ())
/* Actions: "plan.adopt", "plan.again", "plan.pin" (s: "none", "static", "leave-out", "no-reversal"),
 * "plan.circuit": the marked lines as one circuit made by hand. */
G_DECLARE_FINAL_TYPE (TdWizardPlan, td_wizard_plan, TD, WIZARD_PLAN, GtkWidget)

/* @session: (nullable). */
void td_wizard_plan_set_session (TdWizardPlan *self, TdSession *session);
/* Puts the focus on adopting. */
void td_wizard_plan_focus (TdWizardPlan *self);

G_END_DECLS
