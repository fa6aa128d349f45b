/* Transactions of a book: a write takes its lock at the beginning, so that what it read cannot have been
 * overtaken when it writes. */
#include "store-private.h"

#include "store-cache.h"

gboolean
td_book_begin (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_assert (!book->writing);
  if (book->reading)
    return td_error_set_sqlite (error, NULL, SQLITE_READONLY, book->path);
  g_autoptr (TdStatement) begin = td_statement_get (book, TD_SQL_BEGIN, error);
  if (begin == NULL || !td_statement_run (begin, error))
    return FALSE;
  book->writing = TRUE;
  return TRUE;
}

gboolean
td_book_commit (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  g_autoptr (TdStatement) commit = td_statement_get (book, TD_SQL_COMMIT, error);
  if (commit == NULL || !td_statement_run (commit, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  book->writing = FALSE;
  return TRUE;
}

void
td_book_rollback (TdBook *book)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  book->writing = FALSE;
  /* What was remembered may hold what is now taken back. */
  td_cache_clear (book->cache);
  /* SQLite has rolled back by itself after some errors. */
  if (sqlite3_get_autocommit (book->db))
    return;
  g_autoptr (GError) error = NULL;
  g_autoptr (TdStatement) rollback = td_statement_get (book, TD_SQL_ROLLBACK, &error);
  if (rollback == NULL || !td_statement_run (rollback, &error))
    /* The connection still ends the transaction when it is closed; nothing of it was committed. */
    g_debug ("rollback: %s", error->message);
}

gboolean
td_book_begin_read (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_assert (!book->writing && sqlite3_get_autocommit (book->db));
  g_autoptr (TdStatement) begin = td_statement_get (book, TD_SQL_BEGIN_READ, error);
  return begin != NULL && td_statement_run (begin, error);
}

void
td_book_end_read (TdBook *book)
{
  td_book_assert_owner (book);
  g_assert (!book->writing);
  if (sqlite3_get_autocommit (book->db))
    return;
  g_autoptr (TdStatement) rollback = td_statement_get (book, TD_SQL_ROLLBACK, NULL);
  if (rollback != NULL)
    td_statement_run (rollback, NULL);
}
