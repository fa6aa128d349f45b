/* wizard-opening.h: the bar must open now: what holds chemical, what to flush first, what stays shut. */
#pragma once

#include "desk-session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_OPENING (td_wizard_opening_get_type ())
/* Activates "wizard.step" and "wizard.kind". */
G_DECLARE_FINAL_TYPE (TdWizardOpening, td_wizard_opening, TD, WIZARD_OPENING, GtkWidget)

void td_wizard_opening_show (TdWizardOpening *self, TdSession *session);

G_END_DECLS
