#include "store-attachment.h"

#include "store-private.h"

#include <string.h>

static gboolean
is_hash (const char *text)
{
  return strlen (text) == 64 && strspn (text, "0123456789abcdef") == 64;
}

GBytes *
td_book_get_attachment (TdBook *book, const char *sha256, char **media_out, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (sha256 != NULL, NULL);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_ATTACHMENT, error);
  if (row == NULL)
    return NULL;
  TdStep step = TD_STEP_DONE;
  if (is_hash (sha256))
    {
      td_statement_bind_hash (row, ":sha256", sha256);
      step = td_statement_ask (row, error);
    }
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book holds no attachment %s; look at the hash",
                 sha256);
  if (step != TD_STEP_ROW)
    return NULL;
  gsize n_bytes = 0;
  const void *bytes = td_statement_get_blob (row, 1, &n_bytes);
  if (media_out != NULL)
    *media_out = td_statement_dup_text (row, 0);
  return g_bytes_new (bytes, n_bytes);
}
