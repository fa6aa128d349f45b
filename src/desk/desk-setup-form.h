/* desk-setup-form.h: an empty book: the company is named, and its sites are taken in. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_SETUP_FORM (td_setup_form_get_type ())
/* Action "setup.keep" writes the company and the technician into the book. */
G_DECLARE_FINAL_TYPE (TdSetupForm, td_setup_form, TD, SETUP_FORM, GtkWidget)

/* Shows what the book has already. A book must be open. */
GtkWidget *td_setup_form_new (TdContext *context);

G_END_DECLS
