/* desk-visit-page.h: one visit: the work on it while it is open, its record, its report. */
#pragma once

#include "desk-context.h"
#include "desk-session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_VISIT_PAGE (td_visit_page_get_type ())
/* Properties: "title", "subtitle" (string) for the window's header; "session" (TdSession, NULL until it is
 * loaded). Actions: "visit.show" (s: "work", "record", "report"), "visit.amend". */
G_DECLARE_FINAL_TYPE (TdVisitPage, td_visit_page, TD, VISIT_PAGE, GtkWidget)

/* @visit: id as text. */
GtkWidget *td_visit_page_new (TdContext *context, const char *visit);
/* NULL until the visit is loaded. (transfer none) */
TdSession *td_visit_page_get_session (TdVisitPage *self);
/* The site it is at, NULL until it is loaded. */
const char *td_visit_page_get_site_id (TdVisitPage *self);

G_END_DECLS
