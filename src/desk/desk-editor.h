/* desk-editor.h: one row of master data being edited: its form, the forms within it one behind the other, and
 * the ways out: keep, retire, leave. */
#pragma once

#include "desk-context.h"
#include "desk-master-job.h"
#include "model-form.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_EDITOR (td_editor_get_type ())
/* Actions: "editor.keep", "editor.retire" (takes a row out of use, or back into it), "editor.back" (out of the
 * form within; out of the editor, where what is not kept is asked about once), "editor.again" (lets go of what
 * was typed and shows what the book has).
 * Signals: "kept" (string id): it is in the book; "left": the person is done here; "again": the row is wanted
 * as the book has it now. */
G_DECLARE_FINAL_TYPE (TdEditor, td_editor, TD, EDITOR, GtkWidget)

GtkWidget *td_editor_new (TdContext *context);
/* Shows a row. @id: (nullable): NULL for a new one. @json: (nullable). @list: choices of references are copied
 * from it. @settings: (nullable): the company's. */
void td_editor_show (TdEditor *self,
                     TdRecords records,
                     const char *id,
                     guint rev,
                     gboolean retired,
                     const TdJson *json,
                     const TdMasterList *list,
                     TdSettings *settings);
/* The form on show, NULL before the first. (transfer none) */
TdForm *td_editor_get_form (TdEditor *self);
/* Id of the row on show; NULL for a new one. (transfer none) */
const char *td_editor_get_id (TdEditor *self);
/* TRUE where something has been typed that is not kept. */
gboolean td_editor_is_changed (TdEditor *self);
/* Out of a form within. TRUE where that was done or something typed is not kept, which is then said once;
 * FALSE where nothing holds the person here. */
gboolean td_editor_go_back (TdEditor *self);
/* FALSE, once, where something typed is not kept, which is said. */
gboolean td_editor_may_leave (TdEditor *self);
/* The form type of those records. */
const TdFormType *td_records_get_form_type (TdRecords records);

G_END_DECLS
