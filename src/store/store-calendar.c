#include "store-calendar.h"

#include "store-private.h"

void
td_calendar_row_free (TdCalendarRow *row)
{
  g_return_if_fail (row != NULL);
  g_free (row->uid);
  g_free (row->summary);
  g_free (row->location);
  g_free (row->description);
  g_free (row);
}

static GPtrArray *
list_told (TdBook *book, GError **error)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_calendar_row_free);
  g_autoptr (TdStatement) list = td_statement_get (book, TD_SQL_LIST_CALENDAR, error);
  if (list == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (list, error)) == TD_STEP_ROW)
    {
      TdCalendarRow *row = g_new0 (TdCalendarRow, 1);
      row->uid = td_statement_dup_text (list, 0);
      row->sequence = td_statement_get_integer (list, 1);
      row->cancelled = td_statement_get_integer (list, 2) != 0;
      row->changed_ms = td_statement_get_integer (list, 3);
      row->date = td_statement_get_integer (list, 4);
      row->summary = td_statement_dup_text (list, 5);
      row->location = td_statement_dup_text (list, 6);
      row->description = td_statement_dup_text (list, 7);
      g_ptr_array_add (rows, row);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}

static gboolean
put (TdBook *book, const TdCalendarRow *row, guint sequence, gboolean cancelled, GError **error)
{
  g_autoptr (TdStatement) put = td_statement_get (book, TD_SQL_PUT_CALENDAR, error);
  if (put == NULL)
    return FALSE;
  td_statement_bind_text (put, ":uid", row->uid);
  td_statement_bind_integer (put, ":sequence", sequence);
  td_statement_bind_integer (put, ":cancelled", cancelled);
  td_statement_bind_integer (put, ":changed_ms", td_clock_get_now_ms (book->clock));
  td_statement_bind_integer (put, ":date", row->date);
  td_statement_bind_text (put, ":summary", row->summary);
  td_statement_bind_text (put, ":location", row->location);
  td_statement_bind_text (put, ":description", row->description);
  return td_statement_run (put, error);
}

static gboolean
is_same (const TdCalendarRow *a, const TdCalendarRow *b)
{
  return a->date == b->date && g_strcmp0 (a->summary, b->summary) == 0 && g_strcmp0 (a->location, b->location) == 0 &&
         g_strcmp0 (a->description, b->description) == 0;
}

/* @write: FALSE only looks whether there is a difference. */
static gboolean
compare (TdBook *book, const GPtrArray *wanted, const GPtrArray *told, gboolean write, gboolean *differs_out, GError **error)
{
  g_autoptr (GHashTable) by_uid = g_hash_table_new (g_str_hash, g_str_equal);
  *differs_out = FALSE;
  for (guint i = 0; i < told->len; i++)
    {
      TdCalendarRow *row = g_ptr_array_index (told, i);
      g_hash_table_insert (by_uid, row->uid, row);
    }
  for (guint i = 0; i < wanted->len; i++)
    {
      const TdCalendarRow *row = g_ptr_array_index (wanted, i);
      const TdCalendarRow *before = g_hash_table_lookup (by_uid, row->uid);
      gboolean same = before != NULL && !before->cancelled && is_same (row, before);
      *differs_out |= !same;
      if (write && !same && !put (book, row, before != NULL ? before->sequence + 1 : 0, FALSE, error))
        return FALSE;
      g_hash_table_remove (by_uid, row->uid);
    }
  GHashTableIter iter;
  gpointer value;
  g_hash_table_iter_init (&iter, by_uid);
  while (g_hash_table_iter_next (&iter, NULL, &value))
    {
      const TdCalendarRow *gone = value;
      *differs_out |= !gone->cancelled;
      if (write && !gone->cancelled && !put (book, gone, gone->sequence + 1, TRUE, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
write_difference (TdBook *book, const GPtrArray *wanted, GError **error)
{
  gboolean differs;
  if (!td_book_begin (book, error))
    return FALSE;
  /* Once more under the lock: another program may have told the calendar meanwhile. */
  g_autoptr (GPtrArray) told = list_told (book, error);
  if (told != NULL && compare (book, wanted, told, TRUE, &differs, error))
    return td_book_commit (book, error);
  td_book_rollback (book);
  return FALSE;
}

GPtrArray *
td_book_update_calendar (TdBook *book, const GPtrArray *wanted, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (wanted != NULL, NULL);
  gboolean differs = FALSE;
  g_autoptr (GPtrArray) told = list_told (book, error);
  if (told == NULL || !compare (book, wanted, told, FALSE, &differs, error))
    return NULL;
  if (!differs)
    return g_steal_pointer (&told);
  return write_difference (book, wanted, error) ? list_told (book, error) : NULL;
}
