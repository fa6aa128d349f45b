/* desk-bills-page.h: the Invoices place: what can be invoiced, drafts, what is held, what is issued, accounts. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_BILLS_PAGE (td_bills_page_get_type ())
/* Properties: "list" (string: "visits", "drafts", "held", "issued", "accounts"), "loaded" (boolean): the list on
 * show has been read; "asking" (boolean): a question is open, FALSE closes it.
 * Actions: "bills.list", "bills.open", "bills.issue" (what is chosen), "bills.issue-all", "bills.hold",
 * "bills.release", "bills.export" (b: with reports), "bills.print". */
G_DECLARE_FINAL_TYPE (TdBillsPage, td_bills_page, TD, BILLS_PAGE, GtkWidget)

GtkWidget *td_bills_page_new (TdContext *context);
void td_bills_page_focus_search (TdBillsPage *self);
/* Writes the chosen invoices as one PDF; says on the page how it went. */
void td_bills_page_export (TdBillsPage *self, const char *path, gboolean with_reports);

G_END_DECLS
