/* wizard-row.h: one act of a list: one big target, its lines to take exceptions from, and what stands in
 * its way with the act that mends it. */
#pragma once

#include "model-steps.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_ROW (td_wizard_row_get_type ())
/* The row's name (gtk_widget_get_name) is the act's key.  It activates, with the wizard's actions:
 * "wizard.act" (sas: key, ids of the lines, none for all), "wizard.form" (sbb: key, late, every field),
 * "wizard.remedy" (sii: kind, outlet, circuit). */
G_DECLARE_FINAL_TYPE (TdWizardRow, td_wizard_row, TD, WIZARD_ROW, GtkWidget)

GtkWidget *td_wizard_row_new (TdAct *act, const TdStepView *view);
/* The button that does the act; insensitive while it is held back. */
GtkWidget *td_wizard_row_get_button (TdWizardRow *self);
/* The ids of the lines that it is about to be done to where somebody took some out; NULL: all of them.
 * (transfer full) (nullable) */
char **td_wizard_row_get_exceptions (TdWizardRow *self);
/* Shows the lines with those chosen; what is not a line of the act any more is passed over. */
void td_wizard_row_set_exceptions (TdWizardRow *self, const char *const *chosen);
/* FALSE where the act is only offered. */
gboolean td_wizard_row_is_wanted (TdWizardRow *self);

G_END_DECLS
