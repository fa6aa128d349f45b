#include "core-stock.h"

#include <string.h>

#include "core-error.h"

typedef struct
{
  TdMove move; /* texts in the stock's chunk */
  guint order; /* as added */
} Kept;

struct _TdStock
{
  GArray *kept; /* Kept */
  GStringChunk *texts;
};

static const char *const kinds[TD_N_MOVES] = { "receipt", "transfer", "use", "disposal", "count" };

const char *
td_move_kind_to_text (TdMoveKind kind)
{
  g_return_val_if_fail ((guint) kind < TD_N_MOVES, NULL);
  return kinds[kind];
}

gboolean
td_move_kind_from_text (const char *text, TdMoveKind *kind_out)
{
  g_return_val_if_fail (kind_out != NULL, FALSE);
  for (guint i = 0; text != NULL && i < TD_N_MOVES; i++)
    if (strcmp (kinds[i], text) == 0)
      {
        *kind_out = (TdMoveKind) i;
        return TRUE;
      }
  return FALSE;
}

TdStock *
td_stock_new (void)
{
  TdStock *stock = g_new0 (TdStock, 1);

  stock->kept = g_array_new (FALSE, FALSE, sizeof (Kept));
  stock->texts = g_string_chunk_new (4096);
  return stock;
}

void
td_stock_free (TdStock *stock)
{
  g_return_if_fail (stock != NULL);
  g_array_unref (stock->kept);
  g_string_chunk_free (stock->texts);
  g_free (stock);
}

guint
td_stock_get_length (const TdStock *stock)
{
  g_return_val_if_fail (stock != NULL, 0);
  return stock->kept->len;
}

static gboolean
check_amounts (const TdMove *move, GError **error)
{
  const char *kind = td_move_kind_to_text (move->kind);

  if (move->amount_ml < 0 || move->amount_ml > TD_STOCK_MOST_ML)
    g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                 "A %s of %" G_GINT64_FORMAT " mL is none: give 0 to %" G_GINT64_FORMAT " mL", kind,
                 move->amount_ml, TD_STOCK_MOST_ML);
  else if (ABS (move->adjusted_ml) > TD_STOCK_MOST_ML)
    g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "An adjustment by %" G_GINT64_FORMAT " mL is none",
                 move->adjusted_ml);
  else if (move->adjusted_ml != 0 && move->kind != TD_MOVE_COUNT)
    g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "A %s adjusts nothing: count what is there", kind);
  else
    return TRUE;
  return FALSE;
}

static gboolean
check_places (const TdMove *move, GError **error)
{
  if ((move->kind == TD_MOVE_TRANSFER) != (move->to != NULL))
    g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                 move->to == NULL ? "A transfer of %s needs a place to go to"
                                  : "Only a transfer of %s goes to another place",
                 move->product);
  else if (move->to != NULL && strcmp (move->to, move->place) == 0)
    g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                 "A transfer from %s to itself moves nothing: name another place", move->place);
  else
    return TRUE;
  return FALSE;
}

static const char *
keep_text (TdStock *stock, const char *text)
{
  return text != NULL ? g_string_chunk_insert_const (stock->texts, text) : NULL;
}

gboolean
td_stock_add (TdStock *stock, const TdMove *move, GError **error)
{
  Kept kept;

  g_return_val_if_fail (stock != NULL && move != NULL, FALSE);
  g_return_val_if_fail (move->place != NULL && move->product != NULL, FALSE);
  g_return_val_if_fail ((guint) move->kind < TD_N_MOVES && move->date != TD_DATE_NONE, FALSE);
  if (!check_amounts (move, error) || !check_places (move, error))
    return FALSE;
  kept.move = *move;
  kept.move.place = keep_text (stock, move->place);
  kept.move.to = keep_text (stock, move->to);
  kept.move.product = keep_text (stock, move->product);
  kept.move.lot = keep_text (stock, move->lot);
  if (move->kind != TD_MOVE_USE)
    kept.move.expected_ml = -1;
  kept.order = stock->kept->len;
  g_array_append_val (stock->kept, kept);
  return TRUE;
}

/* ---- cells ---- */

/* A movement as it touches one cell. */
typedef struct
{
  const char *place;
  const char *product;
  const char *lot;
  TdDate date;
  guint order;
  const TdMove *move;
  gint64 change_ml;
} Touch;

static gint64
get_change (const TdMove *move, gboolean at_destination)
{
  switch (move->kind)
    {
    case TD_MOVE_RECEIPT:
      return move->amount_ml;
    case TD_MOVE_TRANSFER:
      return at_destination ? move->amount_ml : -move->amount_ml;
    case TD_MOVE_USE:
    case TD_MOVE_DISPOSAL:
      return -move->amount_ml;
    case TD_MOVE_COUNT:
      return move->adjusted_ml;
    case TD_N_MOVES:
    default:
      g_assert_not_reached ();
    }
}

/* NULL before any text. Texts of one stock are the same pointer where they are equal. */
static int
compare_texts (const char *a, const char *b)
{
  if (a == b)
    return 0;
  if (a == NULL || b == NULL)
    return a == NULL ? -1 : 1;
  return strcmp (a, b);
}

static int
compare_cells (const Touch *a, const Touch *b)
{
  int order = compare_texts (a->place, b->place);

  if (order == 0)
    order = compare_texts (a->product, b->product);
  return order != 0 ? order : compare_texts (a->lot, b->lot);
}

static int
compare_touches (gconstpointer a, gconstpointer b)
{
  const Touch *first = a;
  const Touch *second = b;
  int order = compare_cells (first, second);

  if (order != 0)
    return order;
  if (first->date != second->date)
    return first->date < second->date ? -1 : 1;
  if (first->move->at_ms != second->move->at_ms)
    return first->move->at_ms < second->move->at_ms ? -1 : 1;
  return first->order < second->order ? -1 : first->order > second->order;
}

static void
add_touch (GArray *touches, const Kept *kept, gboolean at_destination)
{
  const TdMove *move = &kept->move;
  Touch touch = { at_destination ? move->to : move->place, move->product, move->lot, move->date, kept->order, move,
                  get_change (move, at_destination) };

  g_array_append_val (touches, touch);
}

/* Every movement by cell, then date, then as added; a transfer touches two cells. */
static GArray *
make_touches (const TdStock *stock)
{
  GArray *touches = g_array_sized_new (FALSE, FALSE, sizeof (Touch), stock->kept->len);

  for (guint i = 0; i < stock->kept->len; i++)
    {
      const Kept *kept = &g_array_index (stock->kept, Kept, i);

      add_touch (touches, kept, FALSE);
      if (kept->move.kind == TD_MOVE_TRANSFER)
        add_touch (touches, kept, TRUE);
    }
  g_array_sort (touches, compare_touches);
  return touches;
}

/* The end of the cell that begins at @first. */
static guint
find_cell_end (const GArray *touches, guint first)
{
  guint end = first + 1;

  while (end < touches->len
         && compare_cells (&g_array_index (touches, Touch, first), &g_array_index (touches, Touch, end)) == 0)
    end++;
  return end;
}

gint64
td_stock_get_balance (const TdStock *stock, const char *place, const char *product, const char *lot, TdDate date)
{
  gint64 sum = 0;

  g_return_val_if_fail (stock != NULL && place != NULL && product != NULL, 0);
  for (guint i = 0; i < stock->kept->len; i++)
    {
      const TdMove *move = &g_array_index (stock->kept, Kept, i).move;

      if ((date != TD_DATE_NONE && move->date > date) || strcmp (move->product, product) != 0
          || g_strcmp0 (move->lot, lot) != 0)
        continue;
      if (strcmp (move->place, place) == 0)
        sum += get_change (move, FALSE);
      if (g_strcmp0 (move->to, place) == 0)
        sum += get_change (move, TRUE);
    }
  return sum;
}

GArray *
td_stock_list_balances (const TdStock *stock, TdDate date)
{
  GArray *cells = g_array_new (FALSE, FALSE, sizeof (TdStockCell));
  g_autoptr (GArray) touches = NULL;

  g_return_val_if_fail (stock != NULL, cells);
  touches = make_touches (stock);
  for (guint first = 0, end; first < touches->len; first = end)
    {
      const Touch *cell = &g_array_index (touches, Touch, first);
      TdStockCell row = { cell->place, cell->product, cell->lot, date, 0 };

      end = find_cell_end (touches, first);
      if (date != TD_DATE_NONE && cell->date > date)
        continue;
      for (guint i = first; i < end; i++)
        if (date == TD_DATE_NONE || g_array_index (touches, Touch, i).date <= date)
          row.ml += g_array_index (touches, Touch, i).change_ml;
      g_array_append_val (cells, row);
    }
  return cells;
}

/* TRUE where @next follows at the same moment as @touch, as far as moments are known. */
static gboolean
is_together (const Touch *touch, const Touch *next)
{
  return touch->date == next->date && touch->move->at_ms == next->move->at_ms;
}

/* TRUE where the next movement comes before anything of the period. */
static gboolean
is_over_before (const Touch *next, TdDate from)
{
  return next->date < from || (next->date == from && next->move->at_ms == 0);
}

/* A balance counts where it is the last one before the period, too: what stood below zero then stood so on
 * the period's first day. */
GArray *
td_stock_list_shortfalls (const TdStock *stock, TdDate from, TdDate to)
{
  GArray *cells = g_array_new (FALSE, FALSE, sizeof (TdStockCell));
  g_autoptr (GArray) touches = NULL;

  g_return_val_if_fail (stock != NULL, cells);
  touches = make_touches (stock);
  for (guint first = 0, end; first < touches->len; first = end)
    {
      const Touch *cell = &g_array_index (touches, Touch, first);
      TdStockCell row = { cell->place, cell->product, cell->lot, TD_DATE_NONE, 0 };
      gint64 sum = 0;

      end = find_cell_end (touches, first);
      for (guint i = first; i < end && g_array_index (touches, Touch, i).date <= to; i++)
        {
          const Touch *touch = &g_array_index (touches, Touch, i);
          const Touch *next = i + 1 < end ? &g_array_index (touches, Touch, i + 1) : NULL;

          sum += touch->change_ml;
          /* The moment is over, and the balance stands into the period. */
          if (sum >= 0 || (next != NULL && is_together (touch, next))
              || (touch->date < from && next != NULL && is_over_before (next, from)))
            continue;
          if (row.date == TD_DATE_NONE)
            row.date = MAX (touch->date, from);
          row.ml = MIN (row.ml, sum);
        }
      if (row.ml < 0)
        g_array_append_val (cells, row);
    }
  return cells;
}

/* ---- account ---- */

gboolean
td_stock_account_holds (const TdStockAccount *row)
{
  g_return_val_if_fail (row != NULL, FALSE);
  return row->closing_ml
         == row->opening_ml + row->received_ml - row->used_ml - row->disposed_ml + row->adjusted_ml + row->moved_ml;
}

static void
post (TdStockAccount *row, const Touch *touch, gboolean by_place)
{
  const TdMove *move = touch->move;

  switch (move->kind)
    {
    case TD_MOVE_RECEIPT:
      row->received_ml += move->amount_ml;
      break;
    case TD_MOVE_TRANSFER:
      row->moved_ml += by_place ? touch->change_ml : 0;
      break;
    case TD_MOVE_USE:
      row->used_ml += move->amount_ml;
      if (move->expected_ml < 0)
        row->unexpected_ml += move->amount_ml;
      else
        row->expected_ml = MAX (row->expected_ml, 0) + move->expected_ml;
      break;
    case TD_MOVE_DISPOSAL:
      row->disposed_ml += move->amount_ml;
      break;
    case TD_MOVE_COUNT:
      row->adjusted_ml += move->adjusted_ml;
      break;
    case TD_N_MOVES:
    default:
      g_assert_not_reached ();
    }
}

/* Adds what the touches of one cell come to within the period. */
static void
post_cell (TdStockAccount *row, const GArray *touches, guint first, guint end, TdDate from, TdDate to,
           gboolean by_place)
{
  gint64 counted = -1;

  for (guint i = first; i < end; i++)
    {
      const Touch *touch = &g_array_index (touches, Touch, i);

      if (touch->date > to)
        break;
      row->closing_ml += touch->change_ml;
      if (touch->date < from)
        {
          row->opening_ml += touch->change_ml;
          continue;
        }
      post (row, touch, by_place);
      if (touch->move->kind == TD_MOVE_COUNT)
        counted = touch->move->amount_ml;
    }
  if (counted >= 0)
    row->counted_ml = MAX (row->counted_ml, 0) + counted;
}

static TdStockAccount *
find_row (GArray *rows, const TdStockAccount *key)
{
  TdStockAccount row = { .product = key->product, .lot = key->lot, .place = key->place, .counted_ml = -1, .expected_ml = -1 };

  for (guint i = 0; i < rows->len; i++)
    {
      TdStockAccount *had = &g_array_index (rows, TdStockAccount, i);

      if (had->product == key->product && had->lot == key->lot && had->place == key->place)
        return had;
    }
  g_array_append_val (rows, row);
  return &g_array_index (rows, TdStockAccount, rows->len - 1);
}

static int
compare_rows (gconstpointer a, gconstpointer b)
{
  const TdStockAccount *first = a;
  const TdStockAccount *second = b;
  int order = compare_texts (first->product, second->product);

  if (order == 0)
    order = compare_texts (first->lot, second->lot);
  return order != 0 ? order : compare_texts (first->place, second->place);
}

static gboolean
is_empty (const TdStockAccount *row)
{
  return row->opening_ml == 0 && row->received_ml == 0 && row->used_ml == 0 && row->disposed_ml == 0
         && row->adjusted_ml == 0 && row->moved_ml == 0 && row->closing_ml == 0 && row->counted_ml < 0
         && row->expected_ml <= 0;
}

GArray *
td_stock_make_account (const TdStock *stock, TdDate from, TdDate to, TdAccountBy by)
{
  GArray *rows = g_array_new (FALSE, FALSE, sizeof (TdStockAccount));
  g_autoptr (GArray) touches = NULL;

  g_return_val_if_fail (stock != NULL && from <= to, rows);
  touches = make_touches (stock);
  for (guint first = 0, end; first < touches->len; first = end)
    {
      const Touch *cell = &g_array_index (touches, Touch, first);
      TdStockAccount key = { .product = cell->product,
                           .lot = by == TD_ACCOUNT_BY_LOT ? cell->lot : NULL,
                           .place = by == TD_ACCOUNT_BY_PLACE ? cell->place : NULL };

      end = find_cell_end (touches, first);
      post_cell (find_row (rows, &key), touches, first, end, from, to, by == TD_ACCOUNT_BY_PLACE);
    }
  for (guint i = rows->len; i > 0; i--)
    if (is_empty (&g_array_index (rows, TdStockAccount, i - 1)))
      g_array_remove_index (rows, i - 1);
  g_array_sort (rows, compare_rows);
  return rows;
}
