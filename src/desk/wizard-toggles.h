/* wizard-toggles.h: a choice among a few words, each a big button: one of them, or several. */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_TOGGLES (td_wizard_toggles_get_type ())
/* Signal "changed": another choice stands. */
G_DECLARE_FINAL_TYPE (TdWizardToggles, td_wizard_toggles, TD, WIZARD_TOGGLES, GtkWidget)

/* @several: more than one may be chosen. @name: said before the words to whoever cannot see them. */
GtkWidget *td_wizard_toggles_new (gboolean several, const char *name);
/* @id: what is stored; @label: what is read. */
void td_wizard_toggles_add (TdWizardToggles *self, const char *id, const char *label);
void td_wizard_toggles_clear (TdWizardToggles *self);
guint td_wizard_toggles_get_length (TdWizardToggles *self);
/* Returns: (transfer full): ids chosen, in the order added. */
char **td_wizard_toggles_get_chosen (TdWizardToggles *self);
/* @ids: NULL-terminated; unknown ones are let go. */
void td_wizard_toggles_set_chosen (TdWizardToggles *self, const char *const *ids);

G_END_DECLS
