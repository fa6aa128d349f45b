#include "store-stock.h"

#include "store-stock-private.h"

#include "core-error.h"
#include "store-put.h"

static const char *const lot_keys[] = { ":slug", NULL };
static const char *const lot_names[] = { ":product", ":code", ":received", ":expiry", ":recalled", NULL };
static const TdTable lot_table = { TD_SQL_FIND_LOT, TD_SQL_INSERT_LOT, TD_SQL_UPDATE_LOT, TRUE, lot_keys, lot_names };

/* TRUE with the outcome in @found_out; FALSE where it could not be asked. */
static gboolean
has_slug (TdBook *book, TdSql find, const char *slug, gboolean *found_out, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, find, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":slug", slug);
  TdStep step = td_statement_ask (row, error);
  *found_out = step == TD_STEP_ROW;
  return step != TD_STEP_FAILED;
}

static gboolean
check_place (TdBook *book, const char *id, GError **error)
{
  gboolean found = FALSE;
  if (g_strcmp0 (id, TD_STORE_ID) != 0)
    return td_slug_check (book, TD_SQL_FIND_PLACE, "place", id, error);
  if (!has_slug (book, TD_SQL_FIND_PLACE, id, &found, error))
    return FALSE;
  return found || td_place_put (book, TD_STORE_ID, "Store", FALSE, error);
}

static gboolean
find_product (TdBook *book, const char *product, gint64 *key_out, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_FIND_PRODUCT, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":slug", product);
  TdStep step = td_statement_ask (row, error);
  *key_out = step == TD_STEP_ROW ? td_statement_get_integer (row, 0) : 0;
  return step == TD_STEP_ROW;
}

/* A receipt may bring a lot that is new; one that is there stays as it is. */
static gboolean
make_lot (TdBook *book, const TdStockDraft *draft, GError **error)
{
  gboolean found = FALSE;
  gint64 product = 0;
  TdPut put;
  if (draft->kind != TD_MOVE_RECEIPT || draft->lot_code == NULL)
    return TRUE;
  if (!has_slug (book, TD_SQL_FIND_LOT, draft->lot, &found, error) || found)
    return found;
  if (!find_product (book, draft->product, &product, error))
    return FALSE;
  g_autoptr (TdRow) keys = td_row_new ();
  g_autoptr (TdRow) values = td_row_new ();
  td_row_add_text (keys, draft->lot);
  td_row_add_integer (values, product);
  td_row_add_text (values, draft->lot_code);
  td_row_add_integer (values, td_moment_get_date (&draft->happened));
  td_row_add_integer_or_null (values, draft->lot_expiry != 0 ? draft->lot_expiry : TD_DATE_NONE, TD_DATE_NONE);
  td_row_add_integer (values, 0);
  return td_put_row (book, &lot_table, keys, values, FALSE, &put, error);
}

/* The lot is known and of that product. */
static gboolean
check_lot (TdBook *book, const TdStockDraft *draft, GError **error)
{
  gint64 product = 0;
  if (draft->lot == NULL)
    return TRUE;
  g_autoptr (TdStatement) lot = td_statement_get (book, TD_SQL_FIND_LOT, error);
  if (lot == NULL || !find_product (book, draft->product, &product, error))
    return FALSE;
  td_statement_bind_text (lot, ":slug", draft->lot);
  TdStep step = td_statement_ask (lot, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                 "The book knows no lot “%s”; nothing was kept; enter it first", draft->lot);
  else if (step == TD_STEP_ROW && td_statement_get_integer (lot, 3) != product)
    g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE, "Lot “%s” is not of “%s”; nothing was kept", draft->lot,
                 draft->product);
  else
    return step == TD_STEP_ROW;
  return FALSE;
}

/* The only cell that a place has of a product; an error where it has several. */
static gboolean
find_only_lot (TdBook *book, const TdStockDraft *draft, char **lot_out, GError **error)
{
  guint n = 0;
  g_autoptr (GString) lots = g_string_new (NULL);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_STOCKED_LOTS, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":product", draft->product);
  td_statement_bind_text (row, ":place", draft->place);
  TdStep step;
  for (; (step = td_statement_step (row, error)) == TD_STEP_ROW; n++)
    {
      g_free (*lot_out);
      *lot_out = td_statement_dup_text_or_null (row, 0);
      g_string_append_printf (lots, "%s%s", n > 0 ? ", " : "", *lot_out != NULL ? *lot_out : "-");
    }
  if (step == TD_STEP_FAILED || n <= 1)
    return step == TD_STEP_DONE;
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
               "“%s” has several lots of “%s” (%s); nothing was kept; count one lot at a time", draft->place,
               draft->product, lots->str);
  return FALSE;
}

static gboolean
get_balance (TdBook *book, const TdStockDraft *draft, gint64 *balance_out, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_BALANCE, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":place", draft->place);
  td_statement_bind_text (row, ":product", draft->product);
  td_statement_bind_text (row, ":lot", draft->lot);
  td_statement_bind_integer (row, ":at_ms", draft->happened.utc_ms);
  TdStep step = td_statement_ask (row, error);
  g_assert (step != TD_STEP_DONE);
  *balance_out = step == TD_STEP_ROW ? td_statement_get_integer (row, 0) : 0;
  return step == TD_STEP_ROW;
}

static gboolean
check_shape (const TdStockDraft *draft, GError **error)
{
  const char *wrong = NULL;
  if (draft->kind == TD_MOVE_USE)
    wrong = "Uses come from the mixes of visits; record the mix there";
  else if (draft->lot == NULL && draft->kind != TD_MOVE_COUNT)
    wrong = "A lot is missing: name the one on the container";
  else if (draft->kind == TD_MOVE_DISPOSAL && draft->reason == NULL)
    wrong = "A disposal needs a reason";
  else if (draft->cost_minor >= 0 && (draft->kind != TD_MOVE_RECEIPT || draft->currency == NULL))
    wrong = "Only a receipt costs, and its cost needs a currency";
  else if (draft->container_ml < 0 || draft->container_ml > TD_STOCK_MOST_ML)
    wrong = "The size of a package is above 0 mL";
  if (wrong != NULL)
    g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "%s; nothing was kept", wrong);
  return wrong == NULL;
}

/* What core refuses of any movement. */
static gboolean
check_move (const TdStockDraft *draft, gint64 adjusted_ml, GError **error)
{
  g_autoptr (TdStock) stock = td_stock_new ();
  TdMove move = { draft->kind, td_moment_get_date (&draft->happened), draft->place, draft->to, draft->product,
                  draft->lot, draft->amount_ml, adjusted_ml, -1 };
  return td_stock_add (stock, &move, error);
}

/* A pinned clock draws the same identifiers again each time that a program is started at the same moment:
 * the next that is free is taken. */
static gboolean
find_free_id (TdBook *book, TdUuid *id_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_MOVEMENT, error);
  TdStep step = find != NULL ? TD_STEP_ROW : TD_STEP_FAILED;
  while (step == TD_STEP_ROW)
    {
      *id_out = td_clock_make_uuid (book->clock);
      td_statement_rewind (find);
      td_statement_bind_uuid (find, ":uuid", id_out);
      step = td_statement_ask (find, error);
    }
  return step == TD_STEP_DONE;
}

static gboolean
insert_movement (TdBook *book, const TdStockDraft *draft, gint64 adjusted_ml, GError **error)
{
  TdMovementRow row = { .kind = draft->kind, .place = (char *) draft->place,
                        .to = (char *) draft->to, .product = (char *) draft->product, .lot = (char *) draft->lot,
                        .amount_ml = draft->amount_ml, .adjusted_ml = adjusted_ml,
                        .container_ml = draft->container_ml, .cost_minor = draft->cost_minor,
                        .currency = (char *) draft->currency, .reason = (char *) draft->reason,
                        .person = (char *) draft->person, .happened = draft->happened,
                        .date = td_moment_get_date (&draft->happened),
                        .recorded_ms = td_clock_get_now_ms (book->clock) };
  if (!find_free_id (book, &row.id, error))
    return FALSE;
  g_autofree char *digest = td_movement_make_digest (&row);
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_MOVEMENT, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_uuid (insert, ":uuid", &row.id);
  td_statement_bind_text (insert, ":kind", td_move_kind_to_text (row.kind));
  td_statement_bind_text (insert, ":place", row.place);
  td_statement_bind_text (insert, ":to", row.to);
  td_statement_bind_text (insert, ":product", row.product);
  td_statement_bind_text (insert, ":lot", row.lot);
  td_statement_bind_integer (insert, ":amount_ml", row.amount_ml);
  td_statement_bind_integer (insert, ":adjusted_ml", row.adjusted_ml);
  if (row.container_ml > 0)
    td_statement_bind_integer (insert, ":container_ml", row.container_ml);
  if (row.cost_minor >= 0)
    td_statement_bind_integer (insert, ":cost_minor", row.cost_minor);
  td_statement_bind_text (insert, ":currency", row.cost_minor >= 0 ? row.currency : NULL);
  td_statement_bind_text (insert, ":reason", row.reason);
  td_statement_bind_integer (insert, ":happened_ms", row.happened.utc_ms);
  td_statement_bind_integer (insert, ":offset_min", row.happened.offset_min);
  td_statement_bind_integer (insert, ":date", row.date);
  td_statement_bind_text (insert, ":person", row.person);
  td_statement_bind_integer (insert, ":recorded_ms", row.recorded_ms);
  td_statement_bind_integer (insert, ":device", book->device_key);
  td_statement_bind_hash (insert, ":digest", digest);
  return td_statement_run (insert, error);
}

/* What a count posts. @draft: its lot is found where it names none. */
static gboolean
settle_count (TdBook *book, TdStockDraft *draft, char **lot_out, gint64 *adjusted_out, GError **error)
{
  gint64 balance = 0;
  if (draft->lot == NULL && !find_only_lot (book, draft, lot_out, error))
    return FALSE;
  if (draft->lot == NULL)
    draft->lot = *lot_out;
  if (!get_balance (book, draft, &balance, error))
    return FALSE;
  *adjusted_out = draft->amount_ml - balance;
  if (*adjusted_out == 0 || draft->reason != NULL)
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
               "The book knows of %" G_GINT64_FORMAT " mL there, %" G_GINT64_FORMAT " mL were counted; nothing was "
               "kept; give the reason of the difference", balance, draft->amount_ml);
  return FALSE;
}

static gboolean
add_movement (TdBook *book, const TdStockDraft *given, gint64 *adjusted_out, GError **error)
{
  TdStockDraft draft = *given;
  g_autofree char *lot = NULL;
  *adjusted_out = 0;
  if (!check_place (book, draft.place, error) || (draft.to != NULL && !check_place (book, draft.to, error)) ||
      !td_slug_check (book, TD_SQL_FIND_PRODUCT, "product", draft.product, error) ||
      !make_lot (book, &draft, error) || !check_lot (book, &draft, error))
    return FALSE;
  if (draft.kind == TD_MOVE_COUNT && !settle_count (book, &draft, &lot, adjusted_out, error))
    return FALSE;
  return check_move (&draft, *adjusted_out, error) && insert_movement (book, &draft, *adjusted_out, error);
}

gboolean
td_book_add_movement (TdBook *book, const TdStockDraft *draft, gint64 *adjusted_out, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (draft != NULL && draft->place != NULL && draft->product != NULL, FALSE);
  g_return_val_if_fail (draft->person != NULL, FALSE);
  gint64 adjusted = 0;
  if (!check_shape (draft, error) || !td_book_begin (book, error))
    return FALSE;
  if (!add_movement (book, draft, &adjusted, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  if (adjusted_out != NULL)
    *adjusted_out = adjusted;
  return td_book_commit (book, error);
}
