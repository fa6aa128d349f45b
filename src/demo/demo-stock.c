#include "demo-stock.h"

#include "store-master.h"
#include "store-stock.h"

#include <string.h>

#define DAY_MS G_GINT64_CONSTANT (86400000)
/* Cans as such cleaners are sold in, mL; the van may carry them. */
#define CAN_ML 5000
#define CAN_PRICE_MINOR 2350
#define CURRENCY "EUR"
/* What the count finds missing, mL. */
#define MISSING_ML 120
#define N_VANS 2

static const char *const vans[N_VANS][2] = { { "van-1", "Van 1" }, { "van-2", "Van 2" } };

/* Nine in the morning, UTC, of a day. */
static TdMoment
find_morning (TdDate date)
{
  return (TdMoment) { (gint64) date * DAY_MS + 9 * 3600000, 0 };
}

static gboolean
make_places (TdBook *book, const TdMasters *masters, TdDate since, GError **error)
{
  if (!td_book_put_place (book, TD_STORE_ID, "Store", FALSE, error))
    return FALSE;
  for (guint i = 0; i < N_VANS && i < masters->n_technicians; i++)
    if (!td_book_put_place (book, vans[i][0], vans[i][1], TRUE, error)
        || !td_book_assign_place (book, masters->technicians[i].id, vans[i][0], since, error))
      return FALSE;
  return TRUE;
}

/* A whole number of cans that leaves something over. */
static gint64
round_up (gint64 used_ml)
{
  return (used_ml / CAN_ML + 2) * CAN_ML;
}

/* The day before @date, or the day on which the lot came where that is earlier. */
static TdDate
find_day (const TdMasters *masters, const char *lot, TdDate date)
{
  const TdLot *found = td_masters_find_lot (masters, lot);

  return found != NULL && found->received != TD_DATE_NONE && found->received < date ? found->received : date - 1;
}

static gboolean
add (TdBook *book, const TdMasters *masters, const TdStockCell *cell, TdMoveKind kind, const char *to, gint64 ml,
     TdDate date, GError **error)
{
  TdStockDraft draft = { .kind = kind,
                         .place = TD_STORE_ID,
                         .to = to,
                         .product = cell->product,
                         .lot = cell->lot,
                         .amount_ml = ml,
                         .cost_minor = -1,
                         .person = masters->technicians[0].id,
                         .happened = find_morning (date) };

  if (kind == TD_MOVE_RECEIPT)
    {
      draft.container_ml = CAN_ML;
      draft.cost_minor = ml / CAN_ML * CAN_PRICE_MINOR;
      draft.currency = CURRENCY;
    }
  return td_book_add_movement (book, &draft, NULL, error);
}

/* @first: day of the first use of any chemical. What a cell used was received before, and loaded where it was
 * used from a van. */
static gboolean
stock_cell (TdBook *book, const TdMasters *masters, const TdStockCell *cell, TdDate first, GError **error)
{
  gint64 ml = round_up (-cell->ml);
  TdDate received = find_day (masters, cell->lot, first);

  if (cell->ml >= 0 || cell->lot == NULL)
    return TRUE;
  if (!add (book, masters, cell, TD_MOVE_RECEIPT, NULL, ml, received, error))
    return FALSE;
  return strcmp (cell->place, TD_STORE_ID) == 0
         || add (book, masters, cell, TD_MOVE_TRANSFER, cell->place, ml, received, error);
}

/* One van's caustic is counted, and a little is missing. */
static gboolean
count_van (TdBook *book, const TdMasters *masters, TdDate date, GError **error)
{
  g_autoptr (TdStock) stock = td_book_get_stock (book, date, error);
  g_autoptr (GArray) cells = stock != NULL ? td_stock_list_balances (stock, date) : NULL;

  for (guint i = 0; cells != NULL && i < cells->len; i++)
    {
      const TdStockCell *cell = &g_array_index (cells, TdStockCell, i);
      TdStockDraft draft = { .kind = TD_MOVE_COUNT,
                             .place = cell->place,
                             .product = cell->product,
                             .lot = cell->lot,
                             .amount_ml = cell->ml - MISSING_ML,
                             .cost_minor = -1,
                             .reason = "Left-over of a can that leaked in the rack",
                             .person = masters->technicians[0].id,
                             .happened = { (gint64) date * DAY_MS + DAY_MS - 3600000, 0 } };

      if (strcmp (cell->place, TD_STORE_ID) != 0 && cell->ml > MISSING_ML
          && td_masters_find_product (masters, cell->product)->kind == TD_PRODUCT_CAUSTIC)
        return td_book_add_movement (book, &draft, NULL, error);
    }
  return cells != NULL;
}

/* The day of the first use; TD_DATE_NONE where there is none. */
static TdDate
find_first (const TdStock *stock, TdDate today)
{
  TdDate low = 0, high = today;
  g_autoptr (GArray) all = td_stock_list_balances (stock, today);

  if (all->len == 0)
    return TD_DATE_NONE;
  /* The cells are none before it and some from it on. */
  while (low < high)
    {
      TdDate middle = low + (high - low) / 2;
      g_autoptr (GArray) some = td_stock_list_balances (stock, middle);

      if (some->len > 0)
        high = middle;
      else
        low = middle + 1;
    }
  return high;
}

static gboolean
stock_cells (TdBook *book, const TdMasters *masters, TdDate today, GError **error)
{
  g_autoptr (TdStock) stock = td_book_get_stock (book, today, error);
  g_autoptr (GArray) cells = NULL;
  TdDate first;

  if (stock == NULL)
    return FALSE;
  first = find_first (stock, today);
  if (first == TD_DATE_NONE)
    return TRUE;
  cells = td_stock_list_balances (stock, today);
  for (guint i = 0; i < cells->len; i++)
    if (!stock_cell (book, masters, &g_array_index (cells, TdStockCell, i), first, error))
      return FALSE;
  return TRUE;
}

gboolean
td_demo_stock_fill (TdBook *book, gint64 now_ms, GError **error)
{
  g_autoptr (TdMasters) masters = td_book_get_masters (book, error);
  TdDate today = (TdDate) (now_ms / DAY_MS);

  if (masters == NULL || masters->n_technicians == 0)
    return masters != NULL;
  return make_places (book, masters, 0, error) && stock_cells (book, masters, today + 1, error)
         && count_van (book, masters, today - 1, error);
}
