/* desk-form-view.h: a form from top to bottom: what can be filled in at once, the figures that follow, the
 * fields. */
#pragma once

#include "core-settings.h"
#include "model-form.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_FORM_VIEW (td_form_view_get_type ())
/* Signal "open" (TdForm): a row of one of its lists is wanted. */
G_DECLARE_FINAL_TYPE (TdFormView, td_form_view, TD, FORM_VIEW, GtkWidget)

/* @settings: (nullable): the company's, for figures. */
GtkWidget *td_form_view_new (TdForm *form, TdSettings *settings);
TdForm *td_form_view_get_form (TdFormView *self);
/* Puts the focus on a field; -1: on the first that can be typed into. */
void td_form_view_focus (TdFormView *self, int field);

G_END_DECLS
