/* desk-start-page.h: what is shown while no book is open: the ways to one. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_START_PAGE (td_start_page_get_type ())
G_DECLARE_FINAL_TYPE (TdStartPage, td_start_page, TD, START_PAGE, GtkWidget)

GtkWidget *td_start_page_new (TdContext *context);

G_END_DECLS
