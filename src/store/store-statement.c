#include "store-statement.h"

#include "store-private.h"

#include <string.h>

struct _TdStatement
{
  TdBook *book;
  sqlite3_stmt *stmt;
  TdSql sql;
  gboolean in_use;
  GPtrArray *mended; /* texts of the present row that were not UTF-8 */
};

static const TdSqlInfo infos[] = {
#define TD_SQL(symbol, plan, text) { #symbol, TD_PLAN_##plan, text },
#include "store-sql.def"
#undef TD_SQL
};

const TdSqlInfo *
td_sql_get_info (TdSql sql)
{
  g_return_val_if_fail ((guint) sql < TD_N_SQL, NULL);
  return &infos[sql];
}

TdStatement *
td_statement_get (TdBook *book, TdSql sql, GError **error)
{
  td_book_assert_owner (book);
  g_assert ((guint) sql < TD_N_SQL);
  TdStatement *statement = book->statements[sql];
  if (statement == NULL)
    {
      sqlite3_stmt *stmt = NULL;
      int rc = sqlite3_prepare_v3 (book->db, infos[sql].text, -1, SQLITE_PREPARE_PERSISTENT, &stmt, NULL);
      if (rc != SQLITE_OK)
        {
          td_error_set_sqlite (error, book->db, rc, book->path);
          return NULL;
        }
      statement = g_new0 (TdStatement, 1);
      statement->book = book;
      statement->stmt = stmt;
      statement->sql = sql;
      statement->mended = g_ptr_array_new_with_free_func (g_free);
      book->statements[sql] = statement;
    }
  if (statement->in_use)
    g_error ("statement %s is in use already", infos[sql].name);
  statement->in_use = TRUE;
  return statement;
}

void
td_statement_done (TdStatement *statement)
{
  g_return_if_fail (statement != NULL);
  g_assert (statement->in_use);
  sqlite3_reset (statement->stmt);
  sqlite3_clear_bindings (statement->stmt);
  statement->in_use = FALSE;
}

static int
find_parameter (TdStatement *statement, const char *name)
{
  g_assert (statement->in_use);
  int index = sqlite3_bind_parameter_index (statement->stmt, name);
  if (index == 0)
    g_error ("statement %s has no parameter %s", infos[statement->sql].name, name);
  return index;
}

/* Binding fails only for want of memory, for a bad index or within a running statement. */
static void
check_bound (TdStatement *statement, const char *name, int rc)
{
  if (rc != SQLITE_OK)
    g_error ("statement %s takes no value for %s: %s", infos[statement->sql].name, name,
             sqlite3_errstr (rc));
}

void
td_statement_bind_integer (TdStatement *statement, const char *name, gint64 value)
{
  int index = find_parameter (statement, name);
  check_bound (statement, name, sqlite3_bind_int64 (statement->stmt, index, value));
}

void
td_statement_bind_text (TdStatement *statement, const char *name, const char *text)
{
  int index = find_parameter (statement, name);
  check_bound (statement, name, sqlite3_bind_text (statement->stmt, index, text, -1, SQLITE_TRANSIENT));
}

void
td_statement_bind_blob (TdStatement *statement, const char *name, const void *bytes, gsize n_bytes)
{
  int index = find_parameter (statement, name);
  check_bound (statement, name,
               sqlite3_bind_blob64 (statement->stmt, index, bytes, n_bytes, SQLITE_TRANSIENT));
}

void
td_statement_bind_uuid (TdStatement *statement, const char *name, const TdUuid *uuid)
{
  g_assert (uuid != NULL);
  td_statement_bind_blob (statement, name, uuid->bytes, sizeof uuid->bytes);
}

void
td_statement_bind_hash (TdStatement *statement, const char *name, const char *hex)
{
  guint8 bytes[32];
  if (hex == NULL)
    {
      td_statement_bind_null (statement, name);
      return;
    }
  g_assert (strlen (hex) == 64);
  for (gsize i = 0; i < sizeof bytes; i++)
    bytes[i] = g_ascii_xdigit_value (hex[2 * i]) << 4 | g_ascii_xdigit_value (hex[2 * i + 1]);
  td_statement_bind_blob (statement, name, bytes, sizeof bytes);
}

void
td_statement_bind_null (TdStatement *statement, const char *name)
{
  int index = find_parameter (statement, name);
  check_bound (statement, name, sqlite3_bind_null (statement->stmt, index));
}

TdStep
td_statement_step (TdStatement *statement, GError **error)
{
  g_assert (statement != NULL && statement->in_use);
  g_ptr_array_set_size (statement->mended, 0);
  int rc = sqlite3_step (statement->stmt);
  if (rc == SQLITE_ROW)
    return TD_STEP_ROW;
  if (rc == SQLITE_DONE)
    return TD_STEP_DONE;
  td_error_set_sqlite (error, statement->book->db, rc, statement->book->path);
  return TD_STEP_FAILED;
}

gboolean
td_statement_run (TdStatement *statement, GError **error)
{
  TdStep step = td_statement_step (statement, error);
  g_assert (step != TD_STEP_ROW);
  sqlite3_reset (statement->stmt);
  return step == TD_STEP_DONE;
}

void
td_statement_rewind (TdStatement *statement)
{
  g_assert (statement != NULL && statement->in_use);
  sqlite3_reset (statement->stmt);
}

TdStep
td_statement_ask (TdStatement *statement, GError **error)
{
  td_statement_rewind (statement);
  return td_statement_step (statement, error);
}

gboolean
td_statement_is_null (TdStatement *statement, int column)
{
  g_assert (column < sqlite3_column_count (statement->stmt));
  return sqlite3_column_type (statement->stmt, column) == SQLITE_NULL;
}

gint64
td_statement_get_integer (TdStatement *statement, int column)
{
  g_assert (column < sqlite3_column_count (statement->stmt));
  return sqlite3_column_int64 (statement->stmt, column);
}

const char *
td_statement_get_text (TdStatement *statement, int column)
{
  g_assert (column < sqlite3_column_count (statement->stmt));
  const char *text = (const char *) sqlite3_column_text (statement->stmt, column);
  if (text == NULL || g_utf8_validate (text, -1, NULL))
    return text != NULL ? text : "";
  /* SQLite takes any bytes for text.  In a damaged book they must do no more harm than to differ from
   * what their hash is made over. */
  g_ptr_array_add (statement->mended, g_utf8_make_valid (text, -1));
  return g_ptr_array_index (statement->mended, statement->mended->len - 1);
}

char *
td_statement_dup_text (TdStatement *statement, int column)
{
  return g_strdup (td_statement_get_text (statement, column));
}

char *
td_statement_dup_text_or_null (TdStatement *statement, int column)
{
  return td_statement_is_null (statement, column) ? NULL : td_statement_dup_text (statement, column);
}

const void *
td_statement_get_blob (TdStatement *statement, int column, gsize *n_bytes_out)
{
  g_assert (column < sqlite3_column_count (statement->stmt));
  const void *bytes = sqlite3_column_blob (statement->stmt, column);
  *n_bytes_out = sqlite3_column_bytes (statement->stmt, column);
  return bytes;
}

TdUuid
td_statement_get_uuid (TdStatement *statement, int column)
{
  TdUuid uuid = { { 0 } };
  gsize n_bytes = 0;
  const void *bytes = td_statement_get_blob (statement, column, &n_bytes);
  if (n_bytes == sizeof uuid.bytes)
    memcpy (uuid.bytes, bytes, n_bytes);
  return uuid;
}

char *
td_statement_get_hash (TdStatement *statement, int column)
{
  static const char digits[] = "0123456789abcdef";
  gsize n_bytes = 0;
  const guint8 *bytes = td_statement_get_blob (statement, column, &n_bytes);
  if (n_bytes != 32)
    return NULL;
  char *hex = g_malloc (65);
  for (gsize i = 0; i < 32; i++)
    {
      hex[2 * i] = digits[bytes[i] >> 4];
      hex[2 * i + 1] = digits[bytes[i] & 15];
    }
  hex[64] = '\0';
  return hex;
}

void
td_statement_take_row (TdStatement *to, TdStatement *from, int first)
{
  g_assert (to != NULL && to->in_use && from != NULL && from->in_use && first >= 0);
  int n = sqlite3_bind_parameter_count (to->stmt);
  g_assert (n == sqlite3_column_count (from->stmt) - first);
  for (int i = 0; i < n; i++)
    check_bound (to, "a column", sqlite3_bind_value (to->stmt, i + 1, sqlite3_column_value (from->stmt, first + i)));
}

static void
feed_number (GChecksum *checksum, char type, gint64 number)
{
  guint64 big = GUINT64_TO_BE ((guint64) number);
  g_checksum_update (checksum, (const guchar *) &type, 1);
  g_checksum_update (checksum, (const guchar *) &big, sizeof big);
}

void
td_statement_feed (TdStatement *statement, GChecksum *checksum)
{
  g_assert (statement != NULL && statement->in_use && checksum != NULL);
  for (int i = 0; i < sqlite3_column_count (statement->stmt); i++)
    {
      int type = sqlite3_column_type (statement->stmt, i);
      if (type == SQLITE_INTEGER)
        {
          feed_number (checksum, 'i', sqlite3_column_int64 (statement->stmt, i));
          continue;
        }
      const void *bytes = sqlite3_column_blob (statement->stmt, i);
      int n = sqlite3_column_bytes (statement->stmt, i);
      feed_number (checksum, type == SQLITE_NULL ? 'n' : type == SQLITE_TEXT ? 't' : 'b', n);
      if (n > 0)
        g_checksum_update (checksum, bytes, n);
    }
}

gboolean
td_statement_has_sound_texts (TdStatement *statement)
{
  g_assert (statement != NULL && statement->in_use);
  for (int i = 0; i < sqlite3_column_count (statement->stmt); i++)
    {
      if (sqlite3_column_type (statement->stmt, i) != SQLITE_TEXT)
        continue;
      const char *text = (const char *) sqlite3_column_text (statement->stmt, i);
      /* With a length, a NUL is no valid character either. */
      if (text == NULL || !g_utf8_validate_len (text, (gsize) sqlite3_column_bytes (statement->stmt, i), NULL))
        return FALSE;
    }
  return TRUE;
}

void
td_statements_finalize (TdBook *book)
{
  td_book_assert_owner (book);
  for (guint i = 0; i < TD_N_SQL; i++)
    {
      if (book->statements[i] == NULL)
        continue;
      g_assert (!book->statements[i]->in_use);
      sqlite3_finalize (book->statements[i]->stmt);
      g_ptr_array_unref (book->statements[i]->mended);
      g_clear_pointer (&book->statements[i], g_free);
    }
}
