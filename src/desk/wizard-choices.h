/* wizard-choices.h: what a field of an entry may be chosen from. */
#pragma once

#include "core-kind.h"
#include "core-visit.h"
#include "wizard-toggles.h"

G_BEGIN_DECLS

/* Returns: toggles with what the field may hold; NULL for a field that is typed. @outlets: (nullable):
 * guint. */
GtkWidget *td_wizard_choices_new (TdKind kind, const TdField *field, const TdVisit *visit, const TdMasters *masters,
                                  const GArray *outlets, const char *label);
/* @product: (nullable): NULL is every lot. */
void td_wizard_choices_fill_lots (TdWizardToggles *toggles, const TdMasters *masters, const char *product);

G_END_DECLS
