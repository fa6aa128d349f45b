/* wizard-field.h: one field of a journal entry with the means to fill it in. */
#pragma once

#include "core-kind.h"
#include "core-visit.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_FIELD (td_wizard_field_get_type ())
/* Signals: "changed"; "activate": Enter in an entry. */
G_DECLARE_FINAL_TYPE (TdWizardField, td_wizard_field, TD, WIZARD_FIELD, GtkWidget)

/* @outlets: (nullable): guint: lines to choose from; NULL is every line of the site. @masters: what the
 * book knows now.  Returns: the field; NULL for a field that nobody fills in by hand. */
GtkWidget *td_wizard_field_new (TdKind kind, const TdField *field, TdVisit *visit, TdMasters *masters, const GArray *outlets);

const TdField *td_wizard_field_get_field (TdWizardField *self);
/* A field that takes a whole row. */
gboolean td_wizard_field_is_wide (TdWizardField *self);
/* @value_out: (transfer full) (nullable): NULL where nothing is filled in. Returns FALSE with TD_ERROR
 * where what is typed makes no sense; the field then says so itself. */
gboolean td_wizard_field_get_value (TdWizardField *self, TdJson **value_out, GError **error);
/* @value: (nullable): NULL empties it. */
void td_wizard_field_set_value (TdWizardField *self, const TdJson *value);
/* Says under the field what is wrong with it; NULL: nothing. */
void td_wizard_field_set_error (TdWizardField *self, const char *text);
/* Words that one tap puts into a text, below it; nothing where the field is no text. */
void td_wizard_field_suggest (TdWizardField *self, const char *const *words);
gboolean td_wizard_field_is_empty (TdWizardField *self);
/* For a lot: those of that product (nullable: all). */
void td_wizard_field_set_product (TdWizardField *self, const char *product);

G_END_DECLS
