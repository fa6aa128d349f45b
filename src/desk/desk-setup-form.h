/* desk-setup-form.h: an empty book: the company is named, and its sites are taken in. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_SETUP_FORM (td_setup_form_get_type ())
/* Action "setup.keep" writes the company and the technician into the book. */
G_DECLARE_FINAL_TYPE (TdSetupForm, td_setup_form, TD, SETUP_FORM, GtkWidget)

/* Reads what the book has already. */
void td_setup_form_set_context (TdSetupForm *self, TdContext *context);

G_END_DECLS
