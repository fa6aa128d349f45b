#include "store-audit.h"

#include "store-audit-private.h"

#include "core-money.h"
#include "store-cache.h"
#include "store-due.h"
#include "store-setting.h"

static void
name_rows (TdAudit *audit, GArray *rows, const TdMasters *masters, const GPtrArray *places)
{
  for (guint i = 0; i < rows->len; i++)
    {
      TdAuditRow *row = &g_array_index (rows, TdAuditRow, i);
      const TdProduct *product = td_masters_find_product (masters, row->account.product);
      const TdLot *lot = td_masters_find_lot (masters, row->account.lot);
      if (product != NULL)
        row->name = g_string_chunk_insert_const (audit->texts, product->name);
      if (lot != NULL)
        row->detail = g_string_chunk_insert_const (audit->texts, lot->code);
      for (guint p = 0; row->account.place != NULL && p < places->len; p++)
        {
          const TdStockPlace *place = g_ptr_array_index (places, p);
          if (g_strcmp0 (place->id, row->account.place) == 0)
            row->detail = g_string_chunk_insert_const (audit->texts, place->name);
        }
    }
}

/* What was used of a lot costs its share of what the lot cost, rounded once. */
static void
cost_lot (TdAudit *audit, TdAuditRow *row, const GPtrArray *movements)
{
  gint64 cost = 0, received = 0;
  const char *currency = NULL;
  for (guint i = 0; i < movements->len; i++)
    {
      const TdMovementRow *move = g_ptr_array_index (movements, i);
      if (move->kind != TD_MOVE_RECEIPT || g_strcmp0 (move->lot, row->account.lot) != 0 || move->lot == NULL)
        continue;
      if (move->cost_minor < 0 || (currency != NULL && g_strcmp0 (currency, move->currency) != 0))
        return;
      currency = move->currency;
      cost += move->cost_minor;
      received += move->amount_ml;
    }
  gint64 share = 0;
  if (received == 0 || !td_money_scale (cost, row->account.used_ml, received, &share, NULL))
    return;
  row->cost_minor = share;
  row->currency = g_string_chunk_insert_const (audit->texts, currency);
}

/* A product's uses cost what those of its lots do, where all of them are known, in one currency. */
static void
cost_product (const TdAudit *audit, TdAuditRow *row)
{
  gint64 sum = 0;
  const char *currency = NULL;
  for (guint i = 0; i < audit->lots->len; i++)
    {
      const TdAuditRow *lot = &g_array_index (audit->lots, TdAuditRow, i);
      if (g_strcmp0 (lot->account.product, row->account.product) != 0 || lot->account.used_ml == 0)
        continue;
      if (lot->cost_minor < 0 || (currency != NULL && g_strcmp0 (currency, lot->currency) != 0))
        return;
      currency = lot->currency;
      sum += lot->cost_minor;
    }
  if (currency == NULL)
    return;
  row->cost_minor = sum;
  row->currency = currency;
}

static gboolean
read_accounts (TdBook *book, TdAudit *audit, const TdStock *stock, const GPtrArray *movements, GError **error)
{
  TdMasters *masters = td_cache_get_masters (book, error);
  g_autoptr (GPtrArray) places = masters != NULL ? td_book_list_places (book, error) : NULL;
  if (places == NULL)
    return FALSE;
  audit->company = g_strdup (masters->company);
  g_autoptr (GArray) lots = td_stock_make_account (stock, audit->from, audit->to, TD_ACCOUNT_BY_LOT);
  g_autoptr (GArray) by_place = td_stock_make_account (stock, audit->from, audit->to, TD_ACCOUNT_BY_PLACE);
  td_audit_add_rows (audit, audit->lots, lots);
  td_audit_add_rows (audit, audit->places, by_place);
  name_rows (audit, audit->products, masters, places);
  name_rows (audit, audit->lots, masters, places);
  name_rows (audit, audit->places, masters, places);
  for (guint i = 0; i < audit->lots->len; i++)
    cost_lot (audit, &g_array_index (audit->lots, TdAuditRow, i), movements);
  for (guint i = 0; i < audit->products->len; i++)
    cost_product (audit, &g_array_index (audit->products, TdAuditRow, i));
  return TRUE;
}

/* Within a read. */
static gboolean
read_audit (TdBook *book, TdAudit *audit, const GPtrArray *due, GError **error)
{
  g_autoptr (TdStock) stock = td_stock_new ();
  g_autoptr (GPtrArray) movements = td_cache_refresh (book, error) ? td_movements_read (book, error) : NULL;
  g_autoptr (TdSettings) settings = movements != NULL ? td_settings_read (book, 0, NULL, error) : NULL;
  if (settings == NULL)
    return FALSE;
  audit->band_percent = td_settings_get (settings, TD_SETTING_USE_BAND);
  return td_movements_add (movements, stock, error) && td_uses_add (book, stock, audit->to, error) &&
         td_audit_read_products (book, audit, movements, error) &&
         read_accounts (book, audit, stock, movements, error) && td_audit_read_groups (book, audit, error) &&
         td_audit_read_exceptions (book, audit, stock, movements, due, error);
}

TdAudit *
td_book_get_audit (TdBook *book, TdDate from, TdDate to, gint64 now_ms, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (from <= to, NULL);
  g_autoptr (TdAudit) audit = td_audit_new (from, to);
  g_autoptr (GPtrArray) due = td_book_list_due (book, now_ms, error);
  if (due == NULL || !td_book_begin_read (book, error))
    return NULL;
  gboolean ok = read_audit (book, audit, due, error);
  td_book_end_read (book);
  return ok ? g_steal_pointer (&audit) : NULL;
}

TdAudit *
td_book_get_account (TdBook *book, TdDate from, TdDate to, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (from <= to, NULL);
  g_autoptr (TdAudit) audit = td_audit_new (from, to);
  if (!td_book_begin_read (book, error))
    return NULL;
  g_autoptr (GPtrArray) movements = td_movements_read (book, error);
  gboolean ok = movements != NULL && td_audit_read_products (book, audit, movements, error);
  td_book_end_read (book);
  return ok ? g_steal_pointer (&audit) : NULL;
}

/* Within a write. */
static gboolean
insert_acknowledgement (TdBook *book, const char *key, const char *person, const char *reason, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_ACKNOWLEDGEMENT, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_text (insert, ":exception", key);
  td_statement_bind_text (insert, ":person", person);
  td_statement_bind_text (insert, ":reason", reason);
  td_statement_bind_integer (insert, ":recorded_ms", td_clock_get_now_ms (book->clock));
  return td_statement_run (insert, error);
}

gboolean
td_book_acknowledge (TdBook *book, const TdAudit *audit, const char *key, const char *person, const char *reason,
                     GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (audit != NULL && key != NULL && person != NULL && reason != NULL, FALSE);
  gboolean found = FALSE;
  for (guint i = 0; i < audit->exceptions->len; i++)
    found |= g_strcmp0 (((const TdAuditException *) g_ptr_array_index (audit->exceptions, i))->key, key) == 0;
  if (!found)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                   "The period has no exception “%s”; nothing was kept; the audit lists their keys", key);
      return FALSE;
    }
  if (!td_book_begin (book, error))
    return FALSE;
  if (!insert_acknowledgement (book, key, person, reason, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}
