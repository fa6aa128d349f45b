/* The tables, indexes and triggers of the book are those that this program's migrations make: a freeze
 * that somebody took away is found, and so is a name that a bad bit has changed. */
#include "store-check-private.h"

#include "store-migrate.h"

/* name to SQL, as the migrations make it in a database of their own. */
static GHashTable *
make_expected (GError **error)
{
  static const char path[] = "memory";
  g_autoptr (GHashTable) expected = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  g_auto (GStrv) scripts = td_migrate_get_all ();
  sqlite3 *db = NULL;
  sqlite3_stmt *row = NULL;
  int rc = sqlite3_open_v2 (":memory:", &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, NULL);
  gboolean ok = (rc == SQLITE_OK || td_error_set_sqlite (error, db, rc, path)) &&
                td_migrate_run (db, path, (const char *const *) scripts, error);
  if (ok)
    {
      rc = sqlite3_prepare_v2 (db, td_sql_get_info (TD_SQL_LIST_SCHEMA)->text, -1, &row, NULL);
      while (rc == SQLITE_OK && sqlite3_step (row) == SQLITE_ROW)
        g_hash_table_insert (expected, g_strdup ((const char *) sqlite3_column_text (row, 0)),
                             g_strdup ((const char *) sqlite3_column_text (row, 1)));
      sqlite3_finalize (row);
    }
  sqlite3_close (db);
  g_assert (!ok || g_hash_table_size (expected) > 0);
  return ok ? g_steal_pointer (&expected) : NULL;
}

gboolean
td_check_schema (TdBook *book, TdChecking *checking, GError **error)
{
  g_autoptr (GHashTable) expected = make_expected (error);
  g_autoptr (TdStatement) row = expected ? td_statement_get (book, TD_SQL_LIST_SCHEMA, error) : NULL;
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      const char *name = td_statement_get_text (row, 0);
      const char *sql = g_hash_table_lookup (expected, name);
      /* SQLite's own tables, of its statistics for one, come and go. */
      if (sql == NULL && g_str_has_prefix (name, "sqlite_"))
        continue;
      checking->count++;
      if (g_strcmp0 (sql, td_statement_get_text (row, 1)) != 0)
        td_checking_fail (checking, "%s is not as this program makes it", name);
      g_hash_table_remove (expected, name);
    }
  GHashTableIter iter;
  gpointer name;
  g_hash_table_iter_init (&iter, expected);
  if (step == TD_STEP_DONE && g_hash_table_iter_next (&iter, &name, NULL))
    td_checking_fail (checking, "%s is missing", (const char *) name);
  return step == TD_STEP_DONE;
}
