/* desk-bill-row.h: a row of the Invoices place: a mark to choose it, what it is, its sum and where it stands. */
#pragma once

#include "model-bill.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_BILL_ROW (td_bill_row_get_type ())
/* Properties: "item" (TdBillItem), "position" (uint) of it in the list, "selected" (boolean),
 * "plain" (boolean): without a mark. The mark chooses
 * and lets go through the list's own "list.select-item". Action "row.open". */
G_DECLARE_FINAL_TYPE (TdBillRow, td_bill_row, TD, BILL_ROW, GtkWidget)

GtkWidget *td_bill_row_new (void);

/* What the chip says: "Held 3 days", "Overdue 9 days", "Paid". (transfer full) */
char *td_bill_format_state (const TdBill *bill);
/* What it is, and the rest under it. (transfer full) */
char *td_bill_format_title (const TdBill *bill);
char *td_bill_format_detail (const TdBill *bill);

G_END_DECLS
