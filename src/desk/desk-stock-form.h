/* desk-stock-form.h: what came, went to another place, was disposed of or counted, written down. */
#pragma once

#include "desk-chem-job.h"
#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_STOCK_FORM (td_stock_form_get_type ())
/* Signal "finished": written or given up. Actions "stock-form.save", "stock-form.give-up". */
G_DECLARE_FINAL_TYPE (TdStockForm, td_stock_form, TD, STOCK_FORM, GtkWidget)

GtkWidget *td_stock_form_new (void);
void td_stock_form_set_context (TdStockForm *self, TdContext *context);
/* Opens it empty. @loaded: borrowed for the call alone. @kind: not TD_MOVE_USE. @place, @product, @lot:
 * (nullable): chosen before. */
void td_stock_form_start (TdStockForm *self, const TdChemLoaded *loaded, TdMoveKind kind, const char *place,
                          const char *product, const char *lot);

G_END_DECLS
