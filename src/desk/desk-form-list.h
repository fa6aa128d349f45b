/* desk-form-list.h: the rows of a list within a form: each is opened, moved and taken away; new ones added. */
#pragma once

#include "model-form.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_FORM_LIST (td_form_list_get_type ())
/* Signal "open" (TdForm): the row is wanted. */
G_DECLARE_FINAL_TYPE (TdFormList, td_form_list, TD, FORM_LIST, GtkWidget)

GtkWidget *td_form_list_new (TdForm *form, guint field);

G_END_DECLS
