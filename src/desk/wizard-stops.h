/* wizard-stops.h: everything that stands in the way of closing, each with the way to its remedy; reasons
 * that are still to be given. */
#pragma once

#include "desk-session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_STOPS (td_wizard_stops_get_type ())
/* Activates "wizard.remedy" and "wizard.reason". */
G_DECLARE_FINAL_TYPE (TdWizardStops, td_wizard_stops, TD, WIZARD_STOPS, GtkWidget)

void td_wizard_stops_show (TdWizardStops *self, TdSession *session);

G_END_DECLS
