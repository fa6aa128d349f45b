/* desk-account-page.h: an account: what was agreed, what it owes, what was invoiced, its statement. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_ACCOUNT_PAGE (td_account_page_get_type ())
/* Properties: "title", "subtitle" (strings), "loaded" (boolean).
 * Actions: "account.show" (s: "agreement", "invoices", "statement"), "account.make-statement". */
G_DECLARE_FINAL_TYPE (TdAccountPage, td_account_page, TD, ACCOUNT_PAGE, GtkWidget)

GtkWidget *td_account_page_new (TdContext *context, const char *account_id);

G_END_DECLS
