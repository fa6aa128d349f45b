/* demo-stock.h: the stock of the invented company, made to fit what its visits used. */
#pragma once

#include "store-book.h"

G_BEGIN_DECLS

/* Gives the two first technicians a van each, receives every lot before its first use, loads the vans, and
 * counts one van the day before @now_ms with a small difference. Deterministic. */
gboolean td_demo_stock_fill (TdBook *book, gint64 now_ms, GError **error);

G_END_DECLS
