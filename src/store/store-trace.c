#include "store-trace.h"

#include "store-stock-private.h"

void
td_trace_row_free (TdTraceRow *row)
{
  g_return_if_fail (row != NULL);
  g_free (row->kind);
  g_free (row->lot);
  g_free (row->lot_code);
  g_free (row->product);
  g_free (row->place);
  g_free (row->to);
  g_free (row->number);
  g_free (row->site_id);
  g_free (row->site);
  g_free (row->line);
  g_free (row);
}

void
td_moment_row_free (TdMomentRow *row)
{
  g_return_if_fail (row != NULL);
  g_free (row->number);
  g_free (row->clean);
  g_free (row->method);
  g_free (row->product);
  g_free (row->lot);
  g_free (row->batch);
  g_free (row->basis);
  g_free (row->tag);
  g_free (row->tag_kind);
  g_free (row->person);
  g_free (row);
}

static TdTraceRow *
read_trace (TdStatement *statement)
{
  TdTraceRow *row = g_new0 (TdTraceRow, 1);
  row->kind = td_statement_dup_text_or_null (statement, 0);
  row->lot = td_statement_dup_text_or_null (statement, 1);
  row->lot_code = td_statement_dup_text_or_null (statement, 2);
  row->product = td_statement_dup_text_or_null (statement, 3);
  row->at_ms = td_statement_get_integer (statement, 4);
  row->place = td_statement_dup_text_or_null (statement, 5);
  row->to = td_statement_dup_text_or_null (statement, 6);
  row->amount_ml = td_statement_get_integer (statement, 7);
  row->has_visit = !td_statement_is_null (statement, 8);
  row->visit = td_statement_get_uuid (statement, 8);
  row->number = td_statement_dup_text_or_null (statement, 9);
  row->site_id = td_statement_dup_text_or_null (statement, 10);
  row->site = td_statement_dup_text_or_null (statement, 11);
  row->line = td_statement_dup_text_or_null (statement, 12);
  return row;
}

/* Within a read. */
static GPtrArray *
list_trace (TdBook *book, const char *lot, const char *site_id, const char *line, GError **error)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_trace_row_free);
  if ((lot != NULL && !td_slug_check (book, TD_SQL_FIND_LOT, "lot", lot, error)) ||
      (site_id != NULL && !td_slug_check (book, TD_SQL_FIND_SITE, "site", site_id, error)))
    return NULL;
  g_autoptr (TdStatement) statement = td_statement_get (book, TD_SQL_LIST_TRACE, error);
  if (statement == NULL)
    return NULL;
  td_statement_bind_text (statement, ":lot", lot);
  td_statement_bind_text (statement, ":site", site_id);
  td_statement_bind_text (statement, ":line", line);
  TdStep step;
  while ((step = td_statement_step (statement, error)) == TD_STEP_ROW)
    g_ptr_array_add (rows, read_trace (statement));
  return step == TD_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}

GPtrArray *
td_book_trace (TdBook *book, const char *lot, const char *site_id, const char *line, GError **error)
{
  td_book_assert_owner (book);
  if (!td_book_begin_read (book, error))
    return NULL;
  GPtrArray *rows = list_trace (book, lot, site_id, line, error);
  td_book_end_read (book);
  return rows;
}

static void
read_moment (TdStatement *row, TdMomentRow *moment)
{
  moment->has_visit = TRUE;
  moment->visit = td_statement_get_uuid (row, 0);
  moment->number = td_statement_dup_text_or_null (row, 1);
  moment->held = !td_statement_is_null (row, 5);
  moment->clean = td_statement_dup_text_or_null (row, 2);
  moment->method = td_statement_dup_text_or_null (row, 3);
  moment->circuit = (int) td_statement_get_integer (row, 4);
  moment->in_ms = td_statement_get_integer (row, 5);
  moment->out_ms = td_statement_get_integer (row, 6);
  moment->product = td_statement_dup_text_or_null (row, 7);
  moment->lot = td_statement_dup_text_or_null (row, 8);
  moment->batch = td_statement_dup_text_or_null (row, 9);
  moment->percent_milli = td_statement_is_null (row, 10) ? -1 : td_statement_get_integer (row, 10);
  moment->basis = td_statement_dup_text_or_null (row, 11);
  moment->tagged = !td_statement_is_null (row, 12);
  moment->tag = td_statement_dup_text_or_null (row, 12);
  moment->tag_kind = td_statement_dup_text_or_null (row, 13);
  moment->person = td_statement_dup_text_or_null (row, 14);
  moment->lifted = td_statement_get_integer (row, 15) != 0;
  moment->from_ms = td_statement_get_integer (row, 16);
  moment->until_ms = td_statement_get_integer (row, 17);
}

TdMomentRow *
td_book_find_moment (TdBook *book, const char *site_id, const char *line, gint64 at_ms, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (site_id != NULL && line != NULL, NULL);
  g_autoptr (TdMomentRow) moment = g_new0 (TdMomentRow, 1);
  if (!td_slug_check (book, TD_SQL_FIND_SITE, "site", site_id, error))
    return NULL;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_MOMENT, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_text (row, ":site", site_id);
  td_statement_bind_text (row, ":line", line);
  td_statement_bind_integer (row, ":at_ms", at_ms);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_ROW)
    read_moment (row, moment);
  return step != TD_STEP_FAILED ? g_steal_pointer (&moment) : NULL;
}
