/* The account by product: the ledger's own rows, and the uses summed up where they stand. */
#include "store-audit-private.h"

static const char *const ways[] = { "measured", "accepted", "estimated" };

/* As the statements of sums give them, from a column on. */
typedef struct
{
  gint64 uses;
  gint64 used_ml;
  gint64 expected_ml;
  gint64 unexpected_ml;
  gint64 water_ml;
} Sums;

static Sums
read_sums (TdStatement *row, int first)
{
  Sums sums = { td_statement_get_integer (row, first), td_statement_get_integer (row, first + 1),
                td_statement_get_integer (row, first + 2), td_statement_get_integer (row, first + 3),
                td_statement_get_integer (row, first + 4) };
  return sums;
}

static TdAuditRow *
find_row (TdAudit *audit, const char *product)
{
  for (guint i = 0; i < audit->products->len; i++)
    {
      TdAuditRow *row = &g_array_index (audit->products, TdAuditRow, i);
      if (g_strcmp0 (row->account.product, product) == 0)
        return row;
    }
  TdAuditRow row = { .cost_minor = -1 };
  row.account.product = g_string_chunk_insert_const (audit->texts, product);
  row.account.counted_ml = -1;
  row.account.expected_ml = -1;
  row.name = row.account.product;
  g_array_append_val (audit->products, row);
  return &g_array_index (audit->products, TdAuditRow, audit->products->len - 1);
}

/* @sign: 1 adds, -1 takes what a newer visit has superseded. */
static void
post (TdAuditRow *row, const Sums *sums, guint way, gint64 sign)
{
  row->uses += sign * sums->uses;
  row->account.used_ml += sign * sums->used_ml;
  row->account.expected_ml += sign * sums->expected_ml;
  row->account.unexpected_ml += sign * sums->unexpected_ml;
  row->water_ml += sign * sums->water_ml;
  row->known_ml[way] += sign * sums->used_ml;
}

static gboolean
sum_product (TdBook *book, TdAudit *audit, const char *product, GError **error)
{
  TdAuditRow *row = find_row (audit, product);
  g_autoptr (TdStatement) sum = td_statement_get (book, TD_SQL_SUM_USES, error);
  g_autoptr (TdStatement) old = sum != NULL ? td_statement_get (book, TD_SQL_SUM_OLD_USES, error) : NULL;
  if (old == NULL)
    return FALSE;
  row->account.expected_ml = 0;
  for (guint way = 0; way < G_N_ELEMENTS (ways); way++)
    {
      td_statement_rewind (sum);
      td_statement_bind_text (sum, ":product", product);
      td_statement_bind_text (sum, ":known", ways[way]);
      td_statement_bind_integer (sum, ":from", audit->from);
      td_statement_bind_integer (sum, ":to", audit->to);
      td_statement_rewind (old);
      td_statement_bind_text (old, ":product", product);
      td_statement_bind_text (old, ":known", ways[way]);
      td_statement_bind_integer (old, ":from", audit->from);
      if (td_statement_ask (sum, error) != TD_STEP_ROW || td_statement_ask (old, error) != TD_STEP_ROW)
        return FALSE;
      Sums sums = read_sums (sum, 0);
      post (row, &sums, way, 1);
      row->account.opening_ml -= td_statement_get_integer (old, 0);
    }
  return TRUE;
}

/* Every product that a visit ever used, from the index's beginning, one seek each. */
static gboolean
sum_products (TdBook *book, TdAudit *audit, GError **error)
{
  g_autofree char *product = g_strdup ("");
  while (product != NULL)
    {
      g_autoptr (TdStatement) next = td_statement_get (book, TD_SQL_SELECT_NEXT_USED_PRODUCT, error);
      if (next == NULL)
        return FALSE;
      td_statement_bind_text (next, ":product", product);
      if (td_statement_ask (next, error) != TD_STEP_ROW)
        return FALSE;
      g_free (product);
      product = td_statement_dup_text_or_null (next, 0);
      if (product != NULL && !sum_product (book, audit, product, error))
        return FALSE;
    }
  return TRUE;
}

static guint
find_way (const char *known)
{
  for (guint way = 0; way < G_N_ELEMENTS (ways); way++)
    if (g_strcmp0 (ways[way], known) == 0)
      return way;
  return 0;
}

/* What newer visits have superseded was summed up with the rest, and is taken out again: it is little. */
static gboolean
take_superseded (TdBook *book, TdAudit *audit, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SUM_SUPERSEDED_USES, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":from", audit->from);
  td_statement_bind_integer (row, ":to", audit->to);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      if (td_statement_is_null (row, 0))
        continue;
      TdAuditRow *product = find_row (audit, td_statement_get_text (row, 0));
      Sums sums = read_sums (row, 3);
      if (td_statement_get_integer (row, 2) != 0)
        product->account.opening_ml += sums.used_ml;
      else
        post (product, &sums, find_way (td_statement_get_text (row, 1)), -1);
    }
  return step == TD_STEP_DONE;
}

static int
compare_products (gconstpointer a, gconstpointer b)
{
  return g_strcmp0 (((const TdAuditRow *) a)->account.product, ((const TdAuditRow *) b)->account.product);
}

static void
close_rows (TdAudit *audit)
{
  for (guint i = audit->products->len; i > 0; i--)
    {
      TdStockAccount *row = &g_array_index (audit->products, TdAuditRow, i - 1).account;
      row->closing_ml = row->opening_ml + row->received_ml - row->used_ml - row->disposed_ml + row->adjusted_ml;
      if (row->expected_ml == 0 && row->unexpected_ml == row->used_ml)
        row->expected_ml = -1;
      if (row->opening_ml == 0 && row->received_ml == 0 && row->used_ml == 0 && row->disposed_ml == 0 &&
          row->adjusted_ml == 0 && row->counted_ml < 0 && row->expected_ml <= 0)
        g_array_remove_index (audit->products, i - 1);
    }
  g_array_sort (audit->products, compare_products);
}

gboolean
td_audit_read_products (TdBook *book, TdAudit *audit, const GPtrArray *movements, GError **error)
{
  td_book_assert_owner (book);
  g_assert (audit != NULL && movements != NULL);
  g_autoptr (TdStock) stock = td_stock_new ();
  if (!td_movements_add (movements, stock, error))
    return FALSE;
  g_autoptr (GArray) rows = td_stock_make_account (stock, audit->from, audit->to, TD_ACCOUNT_BY_PRODUCT);
  td_audit_add_rows (audit, audit->products, rows);
  if (!sum_products (book, audit, error) || !take_superseded (book, audit, error))
    return FALSE;
  close_rows (audit);
  return TRUE;
}
