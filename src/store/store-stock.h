/* store-stock.h: places where chemicals are kept, and the ledger of what came, went and was counted.
 *
 * The ledger is appended, never changed.  Uses do not stand in it: they follow from the mixes of visits
 * (of a chain of amendments from the newest, of open visits as they stand) and are taken from the place of
 * the technician who mixed, or from the first store where that person has none. */
#pragma once

#include "core-stock.h"
#include "store-book.h"

G_BEGIN_DECLS

/* The store that is made by itself where a book has none. */
#define TD_STORE_ID "store"

typedef struct
{
  char *id;
  char *name;
  gboolean van;
} TdStockPlace;

void td_stock_place_free (TdStockPlace *place);
/* Returns: (transfer full) (element-type TdStockPlace): in the order in which they were made. */
GPtrArray *td_book_list_places (TdBook *book, GError **error);
/* Makes a place or changes it, by id: letters, digits, '-', at most 64 (TD_ERROR_SHAPE). */
gboolean td_book_put_place (TdBook *book, const char *id, const char *name, gboolean van, GError **error);
/* From @since on, what @technician uses is taken from @place. TD_BOOK_ERROR_MISSING, or _REFUSED where that
 * day has another place already. */
gboolean td_book_assign_place (TdBook *book, const char *technician, const char *place, TdDate since,
                               GError **error);

/* A movement to be written.  TD_MOVE_USE is refused: uses come from visits. */
typedef struct
{
  TdMoveKind kind;
  const char *place;      /* id; TD_STORE_ID is made where the book does not have it */
  const char *to;         /* id, of a transfer */
  const char *product;    /* id */
  const char *lot;        /* id; required but for a count where the place has one cell of the product */
  const char *lot_code;   /* of a receipt: makes the lot where the book does not have it; NULL otherwise */
  TdDate lot_expiry;      /* of that lot; 0 or TD_DATE_NONE where not said */
  gint64 amount_ml;       /* of a count: what was counted */
  gint64 container_ml;    /* size of one package, 0 where not said */
  gint64 cost_minor;      /* of a receipt, -1 where not said */
  const char *currency;   /* of the cost */
  const char *reason;     /* required of a disposal and of a count that differs */
  const char *person;
  TdMoment happened;
} TdStockDraft;

/* Writes it in a transaction of its own. @adjusted_out: (optional): of a count what it posts: counted less
 * what the book knew of that cell at that moment.  Going below zero is not refused, it shows in the
 * account.  Errors: TD_ERROR_SHAPE, _RANGE, _IMPOSSIBLE, TD_BOOK_ERROR_MISSING, each naming the remedy. */
gboolean td_book_add_movement (TdBook *book, const TdStockDraft *draft, gint64 *adjusted_out, GError **error);

/* One as it stands in the ledger. */
typedef struct
{
  TdUuid id;
  TdMoveKind kind;
  char *place, *place_name;
  char *to, *to_name;     /* NULL but of a transfer */
  char *product, *product_name;
  char *lot, *lot_code;   /* NULL where none */
  gint64 amount_ml;
  gint64 adjusted_ml;
  gint64 container_ml;    /* 0 where not said */
  gint64 cost_minor;      /* -1 where not said */
  char *currency;
  char *reason;
  char *person;
  TdMoment happened;
  TdDate date;
  gint64 recorded_ms;
  gboolean into_van;      /* a receipt or transfer that ends in a van */
  gboolean corrosive;     /* the product's kind is one of the caustic or acid ones */
  gboolean holds;         /* digest, date and lot are as they were written */
} TdMovementRow;

void td_movement_row_free (TdMovementRow *row);
/* Returns: (transfer full) (element-type TdMovementRow): in the order of writing. */
GPtrArray *td_book_list_movements (TdBook *book, GError **error);

/* Movements and uses up to @to together, uses summed up by day. Returns: (transfer full), or NULL. */
TdStock *td_book_get_stock (TdBook *book, TdDate to, GError **error);

G_END_DECLS
