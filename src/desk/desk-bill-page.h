/* desk-bill-page.h: one invoice, credit note or draft: as it comes out of the printer, and what can be done with it. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_BILL_PAGE (td_bill_page_get_type ())
/* Properties: "title", "subtitle" (strings), "loaded" (boolean); "asking" (boolean): a question is open, FALSE closes
 * it; "with-reports" (boolean): the reports of its visits are bound behind it.
 * Actions: "bill.issue" of a draft; "bill.pay", "bill.credit" of an invoice; "bill.account", "bill.with-reports". */
G_DECLARE_FINAL_TYPE (TdBillPage, td_bill_page, TD, BILL_PAGE, GtkWidget)

/* Exactly one of @number (issued) and @draft (its key) is not NULL. */
GtkWidget *td_bill_page_new (TdContext *context, const char *number, const char *draft);

G_END_DECLS
