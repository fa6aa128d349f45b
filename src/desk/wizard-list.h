/* wizard-list.h: the acts of a step, place by place. */
#pragma once

#include "model-steps.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_LIST (td_wizard_list_get_type ())
/* Beside the actions of a row it activates "wizard.stand" (s: key of a stand, confirmed as a whole) and
 * "wizard.kind" (s: code of a kind, its form). */
G_DECLARE_FINAL_TYPE (TdWizardList, td_wizard_list, TD, WIZARD_LIST, GtkWidget)

GtkWidget *td_wizard_list_new (void);
/* Shows a step as it stands. The focus stays on the same act, or goes to the next open one. */
void td_wizard_list_show (TdWizardList *self, const TdStepView *view, TdStep step);
/* The row of the act with that key, or NULL. */
GtkWidget *td_wizard_list_find (TdWizardList *self, const char *key);
/* Puts the focus on that act (nullable: the first open one) and brings it into sight. */
gboolean td_wizard_list_focus (TdWizardList *self, const char *key);

G_END_DECLS
