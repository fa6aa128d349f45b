/* desk-look.h: the style sheets of the window, and whether it is light or dark. */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

typedef struct _TdLook TdLook;

/* Puts our style on @display and follows the desktop and the preference "appearance". */
TdLook *td_look_new (GdkDisplay *display, GSettings *settings);
void td_look_free (TdLook *look);
/* Whether windows on the display of @widget are dark now. */
gboolean td_look_is_dark (GtkWidget *widget);

G_END_DECLS
