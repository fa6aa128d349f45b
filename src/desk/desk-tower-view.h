/* desk-tower-view.h: the drawing of a site: towers above, coolers below, to be looked at and pointed at. */
#pragma once

#include "draw-run-sheet.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_TOWER_VIEW (td_tower_view_get_type ())
/* Property "chosen" (int): the outlet that is marked, -1 for none; a click and the arrow keys change it.
 * The palette follows the window.
 * Signal "hit" (int kind, int index): something was clicked, a TdHitKind and its index; after "chosen". */
G_DECLARE_FINAL_TYPE (TdTowerView, td_tower_view, TD, TOWER_VIEW, GtkWidget)

GtkWidget *td_tower_view_new (void);
/* @sheet: (transfer full) (nullable): what is drawn. */
void td_tower_view_set_sheet (TdTowerView *self, TdRunSheet *sheet);
int td_tower_view_get_chosen (TdTowerView *self);
void td_tower_view_set_chosen (TdTowerView *self, int outlet);
/* Where an outlet's faucet is drawn, in the widget's pixels. Returns FALSE where it is not drawn. */
gboolean td_tower_view_locate (TdTowerView *self, int outlet, graphene_rect_t *rect_out);

G_END_DECLS
