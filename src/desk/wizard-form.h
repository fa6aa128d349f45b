/* wizard-form.h: the form of one entry, of whatever kind: a new act, a late truth, or the correction of an
 * older one. */
#pragma once

#include "desk-session.h"
#include "model-act.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_FORM (td_wizard_form_get_type ())
/* Actions: "form.commit", "form.leave". Signals: "leave"; "done" (string: what was recorded, uint: how
 * many entries, string: key of the act or ""): it is on disk. */
G_DECLARE_FINAL_TYPE (TdWizardForm, td_wizard_form, TD, WIZARD_FORM, GtkWidget)

GtkWidget *td_wizard_form_new (void);
/* A form for an act of a list; of one that is made of several entries only lines and time are asked for.
 * @late: it has happened already: the time is asked for, and what the guard
 * misses is told but holds nothing back. @all: every field is shown, also those that the act knows. */
void td_wizard_form_show_act (TdWizardForm *self, TdSession *session, TdAct *act, gboolean late, gboolean all);
/* A form for a kind of entry with nothing known but @fields (nullable). */
void td_wizard_form_show_kind (TdWizardForm *self, TdSession *session, TdKind kind, const TdJson *fields);
/* A form that corrects the entry @seq. Returns FALSE where it is gone. */
gboolean td_wizard_form_show_correction (TdWizardForm *self, TdSession *session, guint seq);
/* Key of the act that is asked for, "" for a form of a kind alone. */
const char *td_wizard_form_get_key (TdWizardForm *self);
/* The kind shown, and the field of that key or NULL. */
TdKind td_wizard_form_get_kind (TdWizardForm *self);
GtkWidget *td_wizard_form_get_field (TdWizardForm *self, const char *key);

G_END_DECLS
