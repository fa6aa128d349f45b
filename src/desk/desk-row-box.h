/* desk-row-box.h: what a row of a list holds, for those too who do not see it: a name, and a way to open it.
 *
 * A row of GtkListView has neither of its own on the accessibility bus (GTK 4.8). */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_ROW_BOX (td_row_box_get_type ())
/* Properties: "child" (GtkWidget), "label" (string): the row in a few words.
 * Action "row.open": what a click on the row does. */
G_DECLARE_FINAL_TYPE (TdRowBox, td_row_box, TD, ROW_BOX, GtkWidget)

GtkWidget *td_row_box_new (void);

G_END_DECLS
