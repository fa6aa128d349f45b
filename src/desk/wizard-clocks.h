/* wizard-clocks.h: the contact clocks, large, counting up towards what is required. */
#pragma once

#include "desk-session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_CLOCKS (td_wizard_clocks_get_type ())
G_DECLARE_FINAL_TYPE (TdWizardClocks, td_wizard_clocks, TD, WIZARD_CLOCKS, GtkWidget)

/* Follows the session's ticks and changes. That a contact is up is told by the application.
 * @session: (nullable). */
void td_wizard_clocks_set_session (TdWizardClocks *self, TdSession *session);

G_END_DECLS
