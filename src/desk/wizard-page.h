/* wizard-page.h: a visit in nine steps, as it is being done. */
#pragma once

#include "desk-session.h"
#include "model-steps.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD (td_wizard_get_type ())
/* Shows the session's state and nothing of its own: what is open, in which step, what holds an act back
 * follows from the folded visit.
 * Property "step" (int, a TdStep): the step on show.
 * Actions: "wizard.step" (i), "wizard.next", "wizard.act" (sas), "wizard.form" (sbb), "wizard.kind" (s),
 * "wizard.stand" (s), "wizard.remedy" (sii), "wizard.reason" (si: code, outlet), "wizard.correct" (u),
 * "wizard.undo", "wizard.show" (s: "list", "stops", "record", "opening"), "wizard.person" (s),
 * "wizard.leave". */
G_DECLARE_FINAL_TYPE (TdWizard, td_wizard, TD, WIZARD, GtkWidget)

GtkWidget *td_wizard_new (void);
/* @session: (nullable). */
void td_wizard_set_session (TdWizard *self, TdSession *session);
TdStep td_wizard_get_step (TdWizard *self);
/* Puts the focus on what is to be done next. */
void td_wizard_focus (TdWizard *self);
/* Shows the form for the correction of an entry. */
void td_wizard_correct (TdWizard *self, guint seq);

G_END_DECLS
