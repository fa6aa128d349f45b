/* model-line.h: the lines of a site as rows: every faucet, side faucets too. */
#pragma once

#include "core-site.h"
#include "model-row.h"

G_BEGIN_DECLS

#define TD_TYPE_LINE_ITEM (td_line_item_get_type ())
/* Properties: "outlet" (uint, index into the site's outlets), "number" (int, as painted, 0: none), "title",
 * "product", "tower", "cooler", "material" (strings), "pump" (int, a TdBeerPump), "one-way" (boolean: runs
 * out only), "fob" (boolean), "side" (boolean: fed through a tee), "length-m", "volume-ml" (double, NAN
 * where the sheet does not say). */
G_DECLARE_FINAL_TYPE (TdLineItem, td_line_item, TD, LINE_ITEM, GObject)

TdLineItem *td_line_item_new (TdSite *site, guint outlet);
/* Index into the site's outlets. */
guint td_line_item_get_outlet (TdLineItem *self);

/* Returns: (transfer full) (element-type TdLineItem): every outlet of the site, tower by tower in the
 * order of the sheet, by painted number within. */
GListModel *td_line_list_new (TdSite *site);

G_END_DECLS
