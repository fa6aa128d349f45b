/* desk-chem-page.h: the place of chemicals: the account of a period, the stock, exceptions and traces. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_CHEM_PAGE (td_chem_page_get_type ())
/* Properties: "title" (string), "loaded" (boolean): the book has been read once.
 * Action "chem.show" (s): "sums", "pages", "stock", "exceptions" or "trace". */
G_DECLARE_FINAL_TYPE (TdChemPage, td_chem_page, TD, CHEM_PAGE, GtkWidget)

GtkWidget *td_chem_page_new (TdContext *context);

G_END_DECLS
