/* desk-records-page.h: everything that the book knows beside visits, to be looked at and changed: company,
 * accounts, sites, people, instruments, products, lots, intervals and limits, codes of the ledger. */
#pragma once

#include "desk-context.h"
#include "desk-master-job.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_RECORDS_PAGE (td_records_page_get_type ())
/* Properties: "title", "subtitle" (string), "loaded" (boolean): the list has been read.
 * Actions: "records.show" (s: "accounts"), "records.new", "records.open" (s: an id). */
G_DECLARE_FINAL_TYPE (TdRecordsPage, td_records_page, TD, RECORDS_PAGE, GtkWidget)

/* @where: "sites", or "sites:ID" to open that row, "sites:" to begin a new one. */
GtkWidget *td_records_page_new (TdContext *context, const char *where);
/* Out of a form, out of a row. TRUE where that was done, or where something typed is not kept, which is said
 * once; FALSE where the page itself is to be left. */
gboolean td_records_page_go_back (TdRecordsPage *self);
/* FALSE, once, where something typed is not kept, which is said. */
gboolean td_records_page_may_leave (TdRecordsPage *self);
void td_records_page_focus_search (TdRecordsPage *self);

G_END_DECLS
