/* Stock and account: any legal movements balance, a month worked by hand, and what is refused. */
#include "core-error.h"
#include "core-stock.h"

#include <string.h>

#define MOVES 10000
#define FIRST_DAY 20000 /* 2024-10-04 */

static const char *const places[] = { "store", "van-1", "van-2" };
static const char *const products[] = { "lye", "sour" };
static const char *const lots[] = { "A", "B", NULL };
#define N_CELLS (3 * 2 * 3)

/* The same sums, kept by another road: one number a cell, and one a day. */
typedef struct
{
  gint64 now[N_CELLS];
  gint64 received[2], used[2], disposed[2], adjusted[2], expected[2], unexpected[2];
} Shadow;

static void
shadow_take (Shadow *shadow, const TdMove *move, guint product, guint cell, guint to_cell)
{
  switch (move->kind)
    {
    case TD_MOVE_RECEIPT:
      shadow->now[cell] += move->amount_ml;
      shadow->received[product] += move->amount_ml;
      break;
    case TD_MOVE_TRANSFER:
      shadow->now[cell] -= move->amount_ml;
      shadow->now[to_cell] += move->amount_ml;
      break;
    case TD_MOVE_USE:
      shadow->now[cell] -= move->amount_ml;
      shadow->used[product] += move->amount_ml;
      *(move->expected_ml < 0 ? &shadow->unexpected[product] : &shadow->expected[product])
          += move->expected_ml < 0 ? move->amount_ml : move->expected_ml;
      break;
    case TD_MOVE_DISPOSAL:
      shadow->now[cell] -= move->amount_ml;
      shadow->disposed[product] += move->amount_ml;
      break;
    case TD_MOVE_COUNT:
      shadow->now[cell] = move->amount_ml;
      shadow->adjusted[product] += move->adjusted_ml;
      break;
    case TD_N_MOVES:
    default:
      g_assert_not_reached ();
    }
}

/* A random movement; a count is of what the shadow says, give or take. */
static void
add_random (GRand *chance, TdStock *stock, Shadow *shadow, TdDate date)
{
  g_autoptr (GError) error = NULL;
  guint place = (guint) g_rand_int_range (chance, 0, 3);
  guint to = (place + (guint) g_rand_int_range (chance, 1, 3)) % 3;
  guint product = (guint) g_rand_int_range (chance, 0, 2);
  guint lot = (guint) g_rand_int_range (chance, 0, 3);
  guint cell = (place * 2 + product) * 3 + lot;
  TdMove move = { .kind = (TdMoveKind) g_rand_int_range (chance, 0, TD_N_MOVES),
                  .date = date,
                  .place = places[place],
                  .product = products[product],
                  .lot = lots[lot],
                  .amount_ml = g_rand_int_range (chance, 0, 50000),
                  .expected_ml = -1 };

  if (move.kind == TD_MOVE_TRANSFER)
    move.to = places[to];
  if (move.kind == TD_MOVE_USE && g_rand_boolean (chance))
    move.expected_ml = g_rand_int_range (chance, 0, 50000);
  if (move.kind == TD_MOVE_COUNT)
    move.adjusted_ml = move.amount_ml - shadow->now[cell];
  g_assert_true (td_stock_add (stock, &move, &error));
  g_assert_no_error (error);
  shadow_take (shadow, &move, product, cell, (to * 2 + product) * 3 + lot);
}

static const TdStockAccount *
find_row (const GArray *rows, const char *product)
{
  for (guint i = 0; i < rows->len; i++)
    if (strcmp (g_array_index (rows, TdStockAccount, i).product, product) == 0)
      return &g_array_index (rows, TdStockAccount, i);
  return NULL;
}

static void
check_periods (const TdStock *stock, GRand *chance, TdDate last)
{
  for (guint i = 0; i < 20; i++)
    {
      TdDate from = g_rand_int_range (chance, FIRST_DAY - 3, last);
      TdDate to = g_rand_int_range (chance, from, last + 3);

      for (guint by = TD_ACCOUNT_BY_PRODUCT; by <= TD_ACCOUNT_BY_PLACE; by++)
        {
          g_autoptr (GArray) rows = td_stock_make_account (stock, from, to, by);
          g_autoptr (GArray) before = td_stock_list_balances (stock, from - 1);
          g_autoptr (GArray) after = td_stock_list_balances (stock, to);
          gint64 opening = 0, closing = 0, moved = 0;

          for (guint r = 0; r < rows->len; r++)
            {
              const TdStockAccount *row = &g_array_index (rows, TdStockAccount, r);

              g_assert_true (td_stock_account_holds (row));
              opening += row->opening_ml;
              closing += row->closing_ml;
              moved += row->moved_ml;
            }
          for (guint c = 0; c < before->len; c++)
            opening -= g_array_index (before, TdStockCell, c).ml;
          for (guint c = 0; c < after->len; c++)
            closing -= g_array_index (after, TdStockCell, c).ml;
          g_assert_cmpint (opening, ==, 0);
          g_assert_cmpint (closing, ==, 0);
          /* What leaves one place comes to another. */
          g_assert_cmpint (moved, ==, 0);
        }
    }
}

static void
test_any_movements (void)
{
  for (guint32 seed = 1; seed <= 5; seed++)
    {
      GRand *chance = g_rand_new_with_seed (seed);
      g_autoptr (TdStock) stock = td_stock_new ();
      g_autoptr (GArray) rows = NULL;
      Shadow shadow = { 0 };
      TdDate date = FIRST_DAY;

      for (guint i = 0; i < MOVES; i++)
        {
          date += g_rand_int_range (chance, 0, 10) == 0;
          add_random (chance, stock, &shadow, date);
        }
      g_assert_cmpuint (td_stock_get_length (stock), ==, MOVES);
      for (guint cell = 0; cell < N_CELLS; cell++)
        g_assert_cmpint (td_stock_get_balance (stock, places[cell / 6], products[cell / 3 % 2], lots[cell % 3],
                                               TD_DATE_NONE),
                         ==, shadow.now[cell]);
      rows = td_stock_make_account (stock, FIRST_DAY, date, TD_ACCOUNT_BY_PRODUCT);
      for (guint p = 0; p < 2; p++)
        {
          const TdStockAccount *row = find_row (rows, products[p]);

          g_assert_cmpint (row->opening_ml, ==, 0);
          g_assert_cmpint (row->received_ml, ==, shadow.received[p]);
          g_assert_cmpint (row->used_ml, ==, shadow.used[p]);
          g_assert_cmpint (row->disposed_ml, ==, shadow.disposed[p]);
          g_assert_cmpint (row->adjusted_ml, ==, shadow.adjusted[p]);
          g_assert_cmpint (row->expected_ml, ==, shadow.expected[p]);
          g_assert_cmpint (row->unexpected_ml, ==, shadow.unexpected[p]);
        }
      check_periods (stock, chance, date);
      g_rand_free (chance);
    }
}

typedef struct
{
  int day; /* of March 2026 */
  TdMove move;
} Dated;

#define RECEIPT(day, place, lot, ml) { day, { TD_MOVE_RECEIPT, 0, place, NULL, "lye", lot, ml, 0, -1 } }
#define TRANSFER(day, from, to, lot, ml) { day, { TD_MOVE_TRANSFER, 0, from, to, "lye", lot, ml, 0, -1 } }
#define USE(day, place, lot, ml, expected) { day, { TD_MOVE_USE, 0, place, NULL, "lye", lot, ml, 0, expected } }
#define DISPOSAL(day, place, lot, ml) { day, { TD_MOVE_DISPOSAL, 0, place, NULL, "lye", lot, ml, 0, -1 } }
#define COUNT(day, place, lot, ml, adjusted) { day, { TD_MOVE_COUNT, 0, place, NULL, "lye", lot, ml, adjusted, -1 } }

/* A month worked by hand.  Before it: 40,000 received, 10,000 of it into the van, 1,000 used: 39,000 open.
 *   received 20,000; used 900 + 1,100 + 700 = 2,700; disposed 500;
 *   van A before its count of the 20th: 10,000 - 1,000 - 900 - 1,100 = 7,000, counted 6,900: -100;
 *   store B before its count of the 31st: 20,000 - 500 = 19,500, counted 19,550: +50;
 *   closing 39,000 + 20,000 - 2,700 - 500 - 50 = 55,750. */
static const Dated month[] = {
  RECEIPT (-5, "store", "A", 40000),
  TRANSFER (-4, "store", "van", "A", 10000),
  USE (-2, "van", "A", 1000, 950),
  RECEIPT (2, "store", "B", 20000),
  USE (3, "van", "A", 900, 880),
  USE (10, "van", "A", 1100, -1),
  DISPOSAL (12, "store", "B", 500),
  COUNT (20, "van", "A", 6900, -100),
  USE (25, "van", "A", 700, 720),
  COUNT (31, "store", "B", 19550, 50),
  USE (32, "van", "A", 5000, 5000), /* April */
};

static TdStock *
make_month (gboolean backwards)
{
  g_autoptr (GError) error = NULL;
  TdStock *stock = td_stock_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (month); i++)
    {
      TdMove move = month[backwards ? G_N_ELEMENTS (month) - 1 - i : i].move;

      move.date = td_date_make (2026, 2, 28) + month[backwards ? G_N_ELEMENTS (month) - 1 - i : i].day;
      g_assert_true (td_stock_add (stock, &move, &error));
      g_assert_no_error (error);
    }
  return stock;
}

static void
test_month (void)
{
  TdDate from = td_date_make (2026, 3, 1), to = td_date_make (2026, 3, 31);

  for (int backwards = 0; backwards < 2; backwards++)
    {
      g_autoptr (TdStock) stock = make_month (backwards);
      g_autoptr (GArray) rows = td_stock_make_account (stock, from, to, TD_ACCOUNT_BY_PRODUCT);
      g_autoptr (GArray) places_rows = td_stock_make_account (stock, from, to, TD_ACCOUNT_BY_PLACE);
      g_autoptr (GArray) lot_rows = td_stock_make_account (stock, from, to, TD_ACCOUNT_BY_LOT);
      const TdStockAccount *row = &g_array_index (rows, TdStockAccount, 0);

      g_assert_cmpuint (rows->len, ==, 1);
      g_assert_cmpint (row->opening_ml, ==, 39000);
      g_assert_cmpint (row->received_ml, ==, 20000);
      g_assert_cmpint (row->used_ml, ==, 2700);
      g_assert_cmpint (row->disposed_ml, ==, 500);
      g_assert_cmpint (row->adjusted_ml, ==, -50);
      g_assert_cmpint (row->closing_ml, ==, 55750);
      /* 6,900 in the van and 19,550 in the store; lot A in the store was not counted. */
      g_assert_cmpint (row->counted_ml, ==, 26450);
      g_assert_cmpint (row->expected_ml, ==, 1600);
      g_assert_cmpint (row->unexpected_ml, ==, 1100);
      /* store: A 30,000 and B 19,550; van: 6,900 - 700 */
      g_assert_cmpuint (places_rows->len, ==, 2);
      g_assert_cmpstr (g_array_index (places_rows, TdStockAccount, 0).place, ==, "store");
      g_assert_cmpint (g_array_index (places_rows, TdStockAccount, 0).closing_ml, ==, 49550);
      g_assert_cmpint (g_array_index (places_rows, TdStockAccount, 1).closing_ml, ==, 6200);
      g_assert_cmpint (g_array_index (lot_rows, TdStockAccount, 0).closing_ml, ==, 36200);
      g_assert_cmpint (g_array_index (lot_rows, TdStockAccount, 1).counted_ml, ==, 19550);
    }
}

static void
test_shortfalls (void)
{
  static const Dated moves[] = {
    RECEIPT (1, "van", "A", 1000), USE (3, "van", "A", 1500, -1), /* -500 from the 3rd */
    USE (5, "van", "A", 200, -1),                                  /* -700 from the 5th */
    RECEIPT (7, "van", "A", 2000),                                 /* 1,300 */
    USE (9, "store", "B", 300, -1), RECEIPT (9, "store", "B", 300) /* made good on the same day */
  };
  static const struct
  {
    int from, to;
    int day;    /* 0: no shortfall */
    gint64 ml;
  } cases[] = { { 1, 31, 3, -700 }, { 1, 2, 0, 0 },     { 1, 4, 3, -500 }, { 4, 4, 4, -500 },
                { 6, 6, 6, -700 },  { 7, 31, 0, 0 },    { 6, 31, 6, -700 } };
  TdDate before = td_date_make (2026, 2, 28);
  g_autoptr (TdStock) stock = td_stock_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (moves); i++)
    {
      TdMove move = moves[i].move;

      move.date = before + moves[i].day;
      g_assert_true (td_stock_add (stock, &move, NULL));
    }
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GArray) cells = td_stock_list_shortfalls (stock, before + cases[i].from, before + cases[i].to);

      g_assert_cmpuint (cells->len, ==, cases[i].day != 0);
      if (cells->len == 0)
        continue;
      g_assert_cmpstr (g_array_index (cells, TdStockCell, 0).place, ==, "van");
      g_assert_cmpint (g_array_index (cells, TdStockCell, 0).date, ==, before + cases[i].day);
      g_assert_cmpint (g_array_index (cells, TdStockCell, 0).ml, ==, cases[i].ml);
    }
}

/* Within one day the moments decide, where they are known. */
static void
test_within_day (void)
{
  static const struct
  {
    gint64 received_ms, used_ms; /* both on one day */
    gint64 ml;                   /* the lowest, 0: no shortfall */
  } cases[] = { { 1000, 2000, 0 }, { 2000, 1000, -300 }, { 1000, 1000, 0 }, { 0, 1000, 0 }, { 1000, 0, -300 } };
  TdDate day = td_date_make (2026, 3, 9);

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (TdStock) stock = td_stock_new ();
      g_autoptr (GArray) cells = NULL;
      const TdMove use = { TD_MOVE_USE, day, "van", NULL, "lye", "A", 300, 0, -1, cases[i].used_ms };
      const TdMove receipt = { TD_MOVE_RECEIPT, day, "van", NULL, "lye", "A", 300, 0, -1, cases[i].received_ms };

      g_assert_true (td_stock_add (stock, &use, NULL));
      g_assert_true (td_stock_add (stock, &receipt, NULL));
      cells = td_stock_list_shortfalls (stock, day, day);
      g_assert_cmpuint (cells->len, ==, cases[i].ml != 0);
      if (cells->len > 0)
        g_assert_cmpint (g_array_index (cells, TdStockCell, 0).ml, ==, cases[i].ml);
      g_assert_cmpint (td_stock_get_balance (stock, "van", "lye", "A", day), ==, 0);
    }
}

static void
test_refused (void)
{
  static const struct
  {
    TdMove move;
    int code;
  } cases[] = {
    { { TD_MOVE_RECEIPT, 1, "store", NULL, "lye", NULL, -1, 0, -1 }, TD_ERROR_RANGE },
    { { TD_MOVE_RECEIPT, 1, "store", NULL, "lye", NULL, TD_STOCK_MOST_ML + 1, 0, -1 }, TD_ERROR_RANGE },
    { { TD_MOVE_USE, 1, "store", NULL, "lye", NULL, 5, 5, -1 }, TD_ERROR_RANGE },
    { { TD_MOVE_TRANSFER, 1, "store", NULL, "lye", NULL, 5, 0, -1 }, TD_ERROR_IMPOSSIBLE },
    { { TD_MOVE_TRANSFER, 1, "store", "store", "lye", NULL, 5, 0, -1 }, TD_ERROR_IMPOSSIBLE },
    { { TD_MOVE_DISPOSAL, 1, "store", "van", "lye", NULL, 5, 0, -1 }, TD_ERROR_IMPOSSIBLE },
  };
  g_autoptr (TdStock) stock = td_stock_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      g_assert_false (td_stock_add (stock, &cases[i].move, &error));
      g_assert_error (error, TD_ERROR, cases[i].code);
    }
  g_assert_cmpuint (td_stock_get_length (stock), ==, 0);
}

static void
test_kinds (void)
{
  for (guint i = 0; i < TD_N_MOVES; i++)
    {
      TdMoveKind kind;

      g_assert_true (td_move_kind_from_text (td_move_kind_to_text (i), &kind));
      g_assert_cmpuint (kind, ==, i);
    }
  g_assert_false (td_move_kind_from_text ("gift", &(TdMoveKind) { 0 }));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/stock/any-movements", test_any_movements);
  g_test_add_func ("/stock/month", test_month);
  g_test_add_func ("/stock/shortfalls", test_shortfalls);
  g_test_add_func ("/stock/within-day", test_within_day);
  g_test_add_func ("/stock/refused", test_refused);
  g_test_add_func ("/stock/kinds", test_kinds);
  return g_test_run ();
}
