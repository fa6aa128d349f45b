#include "store-put.h"

#include "store-cache.h"
#include "store-private.h"

/* Columns of `find` before those of the table. */
#define FIRST_VALUE 3

/* A pinned clock draws the same identifiers again each time that a program is started at the same moment:
 * the next that is free is taken. */
static gboolean
run_with_uuid (TdBook *book, TdStatement *insert, GError **error)
{
  for (;;)
    {
      g_autoptr (GError) why = NULL;
      TdUuid uuid = td_clock_make_uuid (book->clock);
      td_statement_bind_uuid (insert, ":uuid", &uuid);
      if (td_statement_run (insert, &why))
        return TRUE;
      if (td_clock_is_pinned (book->clock) &&
          sqlite3_extended_errcode (book->db) == SQLITE_CONSTRAINT_UNIQUE &&
          g_str_has_suffix (sqlite3_errmsg (book->db), ".uuid"))
        continue;
      g_propagate_error (error, g_steal_pointer (&why));
      return FALSE;
    }
}

static gboolean
insert_row (TdBook *book, const TdTable *table, const TdRow *keys, const TdRow *values, TdPut *put_out,
            GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (book, table->insert, error);
  if (insert == NULL)
    return FALSE;
  td_row_bind (keys, insert, table->keys);
  td_row_bind (values, insert, table->names);
  if (table->has_uuid ? !run_with_uuid (book, insert, error) : !td_statement_run (insert, error))
    return FALSE;
  put_out->id = sqlite3_last_insert_rowid (book->db);
  put_out->rev = 1;
  put_out->outcome = TD_IMPORT_ADDED;
  return TRUE;
}

static gboolean
update_row (TdBook *book, const TdTable *table, gboolean deleted, const TdRow *values, TdPut *put_out,
            GError **error)
{
  g_autoptr (TdStatement) update = td_statement_get (book, table->update, error);
  if (update == NULL)
    return FALSE;
  td_row_bind (values, update, table->names);
  td_statement_bind_integer (update, ":id", put_out->id);
  td_statement_bind_integer (update, ":deleted", deleted);
  put_out->rev++;
  put_out->outcome = TD_IMPORT_CHANGED;
  return td_statement_run (update, error);
}

gboolean
td_put_row (TdBook *book, const TdTable *table, const TdRow *keys, const TdRow *values,
            gboolean deleted, TdPut *put_out, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  td_cache_clear (book->cache);
  *put_out = (TdPut) { 0, 0, TD_IMPORT_SAME };
  g_autoptr (TdStatement) find = td_statement_get (book, table->find, error);
  if (find == NULL)
    return FALSE;
  td_row_bind (keys, find, table->keys);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_FAILED)
    return FALSE;
  if (step == TD_STEP_DONE && deleted)
    return TRUE;
  if (step == TD_STEP_DONE)
    return insert_row (book, table, keys, values, put_out, error);
  put_out->id = td_statement_get_integer (find, 0);
  put_out->rev = td_statement_get_integer (find, 1);
  gboolean was_deleted = td_statement_get_integer (find, 2) != 0;
  if (deleted == was_deleted && td_row_compare (values, find, FIRST_VALUE) < 0)
    return TRUE;
  return update_row (book, table, deleted, values, put_out, error);
}

void
td_import_count (TdImportCount *count, TdImportOutcome outcome)
{
  if (count == NULL)
    return;
  count->added += outcome == TD_IMPORT_ADDED;
  count->changed += outcome == TD_IMPORT_CHANGED;
  count->same += outcome == TD_IMPORT_SAME;
}

gboolean
td_put_row_counted (TdBook *book, const TdTable *table, const TdRow *keys, const TdRow *values, gboolean deleted,
                    TdImportCount *count, GError **error)
{
  TdPut done;
  if (!td_put_row (book, table, keys, values, deleted, &done, error))
    return FALSE;
  td_import_count (count, done.outcome);
  return TRUE;
}
