/* desk-page.h: what every page tells the window that shows it. */
#pragma once

#include <glib-object.h>

G_BEGIN_DECLS

/* Fills in what is read of a page by the window's header: "title" and "subtitle" (strings). */
void td_page_make_title_properties (GParamSpec **title_out, GParamSpec **subtitle_out);
/* "loaded": what it shows was read. */
GParamSpec *td_page_make_loaded_property (void);

G_END_DECLS
