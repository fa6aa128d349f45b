/* desk-site-page.h: one site: its lines beside the drawing of its towers, its visits, the way into one. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_SITE_PAGE (td_site_page_get_type ())
/* Properties: "title", "subtitle" (string) for the window's header; "chosen" (int): the outlet chosen in
 * the line list and the drawing, -1 for none; "loaded" (boolean); "asking" (boolean): a
 * question is shown, FALSE closes it.
 * Actions: "site.begin" shows the form that begins a visit; "site.continue" goes on with the open one;
 * "site.show" (s: "lines", "visits", "extract"); "site.account" shows its account; "site.miss", "site.move" ask about a
 * planned visit that did not come about. A visit is shown through "win.show-visit" with its id. */
G_DECLARE_FINAL_TYPE (TdSitePage, td_site_page, TD, SITE_PAGE, GtkWidget)

GtkWidget *td_site_page_new (TdContext *context, const char *site_id);
const char *td_site_page_get_site_id (TdSitePage *self);

/* Writes the site's sheet to @path; says on the page how it went. */
gboolean td_site_page_export (TdSitePage *self, const char *path);

G_END_DECLS
