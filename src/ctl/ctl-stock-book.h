/* ctl-stock-book.h: what the words of `stock` share. */
#pragma once

#include "ctl-book.h"

G_BEGIN_DECLS

typedef struct
{
  TdCtlBookOptions book;
  char *place, *to, *product, *lot, *code, *expiry, *reason, *person, *at, *cost, *currency, *name, *van, *site, *line,
      *file, *revised;
  gint64 amount_ml, container_ml;
  gboolean json, off;
} TdCtlStockOptions;

/* Each runs one word of the command in an open book. */
TdCtlStatus td_ctl_stock_list (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options);
TdCtlStatus td_ctl_stock_trace (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options);
TdCtlStatus td_ctl_stock_moment (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options);

/* The moment of --at, or the book's now in UTC. */
gboolean td_ctl_stock_get_moment (TdBook *book, const TdCtlStockOptions *options, TdMoment *moment_out, GError **error);

G_END_DECLS
