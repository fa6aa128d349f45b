/* Reading the ledger, and the uses of visits beside it. */
#include "store-stock-private.h"

#include "core-masters.h"
#include "store-words.h"

#include <string.h>

void
td_movement_row_free (TdMovementRow *row)
{
  g_return_if_fail (row != NULL);
  g_free (row->place);
  g_free (row->place_name);
  g_free (row->to);
  g_free (row->to_name);
  g_free (row->product);
  g_free (row->product_name);
  g_free (row->lot);
  g_free (row->lot_code);
  g_free (row->currency);
  g_free (row->reason);
  g_free (row->person);
  g_free (row);
}

/* Texts are told from each other by their lengths. */
static void
add_text (GString *text, const char *part)
{
  if (part == NULL)
    g_string_append (text, "-\n");
  else
    g_string_append_printf (text, "%" G_GSIZE_FORMAT ":%s\n", strlen (part), part);
}

char *
td_movement_make_digest (const TdMovementRow *row)
{
  char id[TD_UUID_TEXT_LENGTH + 1];
  g_autoptr (GString) text = g_string_new ("tundish-movement/1\n");
  g_return_val_if_fail (row != NULL, NULL);
  td_uuid_format (&row->id, id);
  add_text (text, id);
  add_text (text, td_move_kind_to_text (row->kind));
  add_text (text, row->place);
  add_text (text, row->to);
  add_text (text, row->product);
  add_text (text, row->lot);
  add_text (text, row->cost_minor >= 0 ? row->currency : NULL);
  add_text (text, row->reason);
  add_text (text, row->person);
  g_string_append_printf (text, "%" G_GINT64_FORMAT " %" G_GINT64_FORMAT " %" G_GINT64_FORMAT " %" G_GINT64_FORMAT
                          " %" G_GINT64_FORMAT " %d %" G_GINT64_FORMAT "\n", row->amount_ml, row->adjusted_ml,
                          row->container_ml, row->cost_minor, row->happened.utc_ms, row->happened.offset_min,
                          row->recorded_ms);
  return g_compute_checksum_for_string (G_CHECKSUM_SHA256, text->str, -1);
}

static TdMovementRow *
read_movement (TdStatement *row)
{
  TdMovementRow *move = g_new0 (TdMovementRow, 1);
  gboolean known = td_move_kind_from_text (td_statement_get_text (row, 1), &move->kind);
  move->id = td_statement_get_uuid (row, 0);
  move->place = td_statement_dup_text_or_null (row, 2);
  move->to = td_statement_dup_text_or_null (row, 3);
  move->product = td_statement_dup_text_or_null (row, 4);
  move->lot = td_statement_dup_text_or_null (row, 5);
  move->amount_ml = td_statement_get_integer (row, 6);
  move->adjusted_ml = td_statement_get_integer (row, 7);
  move->container_ml = td_statement_get_integer (row, 8);
  move->cost_minor = td_statement_is_null (row, 9) ? -1 : td_statement_get_integer (row, 9);
  move->currency = td_statement_dup_text_or_null (row, 10);
  move->reason = td_statement_dup_text_or_null (row, 11);
  move->happened.utc_ms = td_statement_get_integer (row, 12);
  move->happened.offset_min = td_statement_get_integer (row, 13);
  move->date = td_statement_get_integer (row, 14);
  move->person = td_statement_dup_text_or_null (row, 15);
  move->recorded_ms = td_statement_get_integer (row, 16);
  move->place_name = td_statement_dup_text_or_null (row, 18);
  move->to_name = td_statement_dup_text_or_null (row, 19);
  move->product_name = td_statement_dup_text_or_null (row, 20);
  move->lot_code = td_statement_dup_text_or_null (row, 21);
  move->into_van = g_strcmp0 (td_statement_get_text (row, move->to != NULL ? 23 : 22), "van") == 0 &&
                   (move->kind == TD_MOVE_RECEIPT || move->kind == TD_MOVE_TRANSFER);
  move->corrosive = td_words_find_product_kind (td_statement_get_text (row, 24)) != TD_PRODUCT_OTHER;
  g_autofree char *digest = td_statement_get_hash (row, 17);
  g_autofree char *now = td_movement_make_digest (move);
  move->holds = known && g_strcmp0 (digest, now) == 0 && td_moment_get_date (&move->happened) == move->date &&
                td_statement_get_integer (row, 25) == 0;
  return move;
}

GPtrArray *
td_movements_read (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_movement_row_free);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_MOVEMENTS, error);
  if (row == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    g_ptr_array_add (rows, read_movement (row));
  return step == TD_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}

gboolean
td_movements_add (const GPtrArray *movements, TdStock *stock, GError **error)
{
  g_assert (movements != NULL && stock != NULL);
  for (guint i = 0; i < movements->len; i++)
    {
      const TdMovementRow *row = g_ptr_array_index (movements, i);
      TdMove move = { row->kind, row->date, row->place, row->to, row->product, row->lot,
                      row->amount_ml, row->adjusted_ml, -1, row->happened.utc_ms };
      if (!td_stock_add (stock, &move, error))
        return FALSE;
    }
  return TRUE;
}

/* One day's use of a cell, or one moment's where that day has movements, too: what has an expectation, and what has none. */
static gboolean
add_use (TdStock *stock, TdStatement *row, GError **error)
{
  gint64 all = td_statement_get_integer (row, 4);
  gint64 compared = td_statement_get_integer (row, 6);
  g_autofree char *place = td_statement_dup_text_or_null (row, 0);
  g_autofree char *lot = td_statement_dup_text_or_null (row, 2);
  TdMove move = { TD_MOVE_USE, td_statement_get_integer (row, 3), place != NULL ? place : TD_STORE_ID, NULL,
                  td_statement_get_text (row, 1), lot, compared, 0,
                  td_statement_get_integer (row, 5), td_statement_get_integer (row, 7) };
  if (!td_statement_is_null (row, 5) && !td_stock_add (stock, &move, error))
    return FALSE;
  move.amount_ml = all - compared;
  move.expected_ml = -1;
  return move.amount_ml == 0 || td_stock_add (stock, &move, error);
}

gboolean
td_uses_add (TdBook *book, TdStock *stock, TdDate to, GError **error)
{
  td_book_assert_owner (book);
  g_assert (stock != NULL);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_USE_DAYS, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":to", to);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    if (!add_use (stock, row, error))
      return FALSE;
  return step == TD_STEP_DONE;
}

GPtrArray *
td_book_list_movements (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  if (!td_book_begin_read (book, error))
    return NULL;
  GPtrArray *rows = td_movements_read (book, error);
  td_book_end_read (book);
  return rows;
}

static TdStock *
read_stock (TdBook *book, TdDate to, GError **error)
{
  g_autoptr (TdStock) stock = td_stock_new ();
  g_autoptr (GPtrArray) movements = td_movements_read (book, error);
  if (movements == NULL || !td_movements_add (movements, stock, error) || !td_uses_add (book, stock, to, error))
    return NULL;
  return g_steal_pointer (&stock);
}

TdStock *
td_book_get_stock (TdBook *book, TdDate to, GError **error)
{
  td_book_assert_owner (book);
  if (!td_book_begin_read (book, error))
    return NULL;
  TdStock *stock = read_stock (book, to, error);
  td_book_end_read (book);
  return stock;
}
