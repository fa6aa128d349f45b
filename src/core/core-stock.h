/* core-stock.h: movements of chemicals and what is left of them, place by place.
 *
 * A movement is a value; a TdStock collects them and sums them up.  Stock is kept by cells: a place (the
 * store, a van), a product, a lot.  Everything is whole millilitres of concentrate as delivered.  A use is
 * what visits mixed; nobody writes it down twice, it is handed in from the visits.
 *
 * A balance is a plain sum:
 *   received + moved in - moved out - used - disposed + adjusted
 * where a count posts counted - balance as its adjustment when it is made, and that figure stays: a use
 * that is written down later moves the balance away from what was counted, and the next count tells. */
#pragma once

#include "core-time.h"

G_BEGIN_DECLS

/* Most of one movement: 10^6 m3, so that 9 million of them cannot overflow a sum. */
#define TD_STOCK_MOST_ML G_GINT64_CONSTANT (1000000000000)

typedef enum
{
  TD_MOVE_RECEIPT,
  TD_MOVE_TRANSFER, /* from place to place */
  TD_MOVE_USE,
  TD_MOVE_DISPOSAL,
  TD_MOVE_COUNT,
  TD_N_MOVES
} TdMoveKind;

typedef struct
{
  TdMoveKind kind;
  TdDate date;           /* civil */
  const char *place;     /* id */
  const char *to;        /* id, of a transfer; NULL otherwise */
  const char *product;   /* id */
  const char *lot;       /* id, NULL where none was named */
  gint64 amount_ml;      /* moved; of a count: what was counted */
  gint64 adjusted_ml;    /* of a count: counted less the balance when it was made; 0 otherwise */
  gint64 expected_ml;    /* of a use: what it should have taken, -1 where that is not known */
  gint64 at_ms;          /* UTC ms; 0 where only the day matters: it then comes first on that day */
} TdMove;

typedef struct _TdStock TdStock;

TdStock *td_stock_new (void);
void td_stock_free (TdStock *stock);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdStock, td_stock_free)

/* Adds a movement, copied; in any order of dates.  Of several counts of a cell at one moment, or on a
 * day without moments, the one added last is the last.
 * FALSE with TD_ERROR_RANGE (an amount below 0 or above the most, an adjustment of what is no count) or
 * TD_ERROR_IMPOSSIBLE (a transfer without another place to go to); nothing is added then.  A balance below
 * zero is never refused: td_stock_list_shortfalls() tells. */
gboolean td_stock_add (TdStock *stock, const TdMove *move, GError **error);
guint td_stock_get_length (const TdStock *stock);

/* What a cell holds after the last day up to @date (TD_DATE_NONE: after everything), mL.
 * @lot: (nullable): NULL is the cell of what bears no lot. */
gint64 td_stock_get_balance (const TdStock *stock, const char *place, const char *product, const char *lot,
                             TdDate date);

typedef struct
{
  const char *place;
  const char *product;
  const char *lot; /* NULL where none */
  TdDate date;     /* of a shortfall: the first day on which it stood below zero */
  gint64 ml;       /* of a shortfall: the lowest, negative */
} TdStockCell;

/* Every cell that ever had a movement up to @date (TD_DATE_NONE: ever), by place, product and lot.
 * Returns: (transfer full) (element-type TdStockCell): texts belong to @stock. */
GArray *td_stock_list_balances (const TdStock *stock, TdDate date);
/* The cells that stood below zero at a moment of a day from @from to @to.  Movements of one moment count
 * together, and those of a day whose moments are not known (at_ms 0). */
GArray *td_stock_list_shortfalls (const TdStock *stock, TdDate from, TdDate to);

typedef enum
{
  TD_ACCOUNT_BY_PRODUCT,
  TD_ACCOUNT_BY_LOT,
  TD_ACCOUNT_BY_PLACE /* and product */
} TdAccountBy;

/* The account of one product, lot or place over a period, mL:
 *   closing = opening + received - used - disposed + adjusted + moved. */
typedef struct
{
  const char *product;
  const char *lot;    /* NULL unless by lot, or where none was named */
  const char *place;  /* NULL unless by place */
  gint64 opening_ml;  /* at the end of the day before the period */
  gint64 received_ml;
  gint64 used_ml;
  gint64 disposed_ml;
  gint64 adjusted_ml; /* by counts */
  gint64 moved_ml;    /* in less out; 0 unless by place */
  gint64 closing_ml;
  gint64 counted_ml;  /* sum of the last count of each cell within the period; -1 where none was counted */
  gint64 expected_ml; /* of the uses for which it is known; -1 where it is known of none */
  gint64 unexpected_ml; /* used where the expectation is not known */
} TdStockAccount;

/* Returns: (transfer full) (element-type TdStockAccount): by product, then lot or place; rows that have
 * nothing but zeros are left out. Texts belong to @stock. */
GArray *td_stock_make_account (const TdStock *stock, TdDate from, TdDate to, TdAccountBy by);
/* TRUE where closing is what the other figures come to. */
gboolean td_stock_account_holds (const TdStockAccount *row);

const char *td_move_kind_to_text (TdMoveKind kind); /* "receipt", "transfer", "use", "disposal", "count" */
gboolean td_move_kind_from_text (const char *text, TdMoveKind *kind_out);

G_END_DECLS
