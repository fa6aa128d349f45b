/* desk-clamp.h: keeps what it holds to a width at which the eye still finds from the left end of a line to
 * the right one. */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_CLAMP (td_clamp_get_type ())
/* Properties: "child" (GtkWidget), "most" (int): the greatest width that the child gets, pixels; it stands
 * in the middle of what there is. */
G_DECLARE_FINAL_TYPE (TdClamp, td_clamp, TD, CLAMP, GtkWidget)

GtkWidget *td_clamp_new (GtkWidget *child, int most);

G_END_DECLS
