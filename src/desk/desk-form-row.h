/* desk-form-row.h: one field of a form: its name, what is typed or chosen, a hint, and what is wrong. */
#pragma once

#include "model-form.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_FORM_ROW (td_form_row_get_type ())
/* Signal "open" (TdForm): a row of the field's list is wanted. */
G_DECLARE_FINAL_TYPE (TdFormRow, td_form_row, TD, FORM_ROW, GtkWidget)

GtkWidget *td_form_row_new (TdForm *form, guint field);
/* Shows text, choices and error as the form has them now. */
void td_form_row_sync (TdFormRow *self);
/* Puts the focus where it is typed. */
void td_form_row_focus (TdFormRow *self);

G_END_DECLS
