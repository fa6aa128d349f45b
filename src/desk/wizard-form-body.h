/* wizard-form-body.h: what the fields of a form say as the body of an entry. */
#pragma once

#include "desk-session.h"
#include "model-act.h"

G_BEGIN_DECLS

/* @fields: (element-type TdWizardField). @preset: what stands where no field is shown.
 * Returns: (transfer full): an object, or NULL with TD_ERROR where a field makes no sense or, where @error
 * is asked for, something needed is empty; the first such field has the focus then. */
TdJson *td_form_body_make (const GPtrArray *fields, const TdJson *preset, GError **error);
/* The circuit in place of its lines, where @act (nullable) is of a whole circuit and all its lines are
 * still chosen. (transfer full) */
TdJson *td_form_body_fold_circuit (const TdAct *act, const TdVisit *visit, TdKind kind, const TdJson *body);
/* The fields of @body that differ from the entry @of as it stands, and when it happened where that differs.
 * Returns: (transfer full): the object, or NULL with TD_ERROR where nothing differs or a field that stands
 * was emptied (a correction replaces, it cannot take away). */
TdJson *td_form_body_diff (TdSession *session, guint of, const TdJson *body, gint64 happened_ms, GError **error);
/* A field that an act's list has settled, so that its form need not ask. */
gboolean td_form_body_is_settled (const TdField *field);
/* A field that does not belong into a form of this act. */
gboolean td_form_body_is_hidden (TdKind kind, const TdField *field, const TdAct *act);
/* TRUE where the field does not go with what is said so far: nobody who was not there signs. @body:
 * (nullable). */
gboolean td_form_body_is_idle (TdKind kind, const TdField *field, const TdJson *body);

G_END_DECLS
