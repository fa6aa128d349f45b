/* draw-order.h: in which order places stand side by side so that few lines cross. */
#pragma once

#include "core-site.h"

G_BEGIN_DECLS

/* Outlets of a tower as they stand on it: by number, those without a number last, else as in the
 * sheet. Returns: (transfer full): outlet indices, *n_out of them. */
guint *td_order_outlets (const TdSite *site, guint tower, guint *n_out);

/* Orders towers and coolers from left to right. Starts from the sheet's order and swaps two towers
 * or two coolers as long as that takes crossings away, so that the sheet's order stands where
 * nothing is gained.
 * @towers, @coolers: arrays of the site's n_towers and n_coolers. */
void td_order_places (const TdSite *site, guint *towers, guint *coolers);

/* Pairs of lines that cross with places in this order, kegs of a cooler standing as their faucets
 * do. */
guint td_order_count_crossings (const TdSite *site, const guint *towers, const guint *coolers);

G_END_DECLS
