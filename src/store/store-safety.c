#include "store-safety.h"

#include "store-cache.h"
#include "store-project.h"
#include "store-stock-private.h"

#include "core-error.h"

#include <string.h>

#define MS_PER_DAY G_GINT64_CONSTANT (86400000)

/* A PDF begins with these bytes (ISO 32000-1, 7.5.2). */
static const char mark[] = "%PDF-";

static gboolean
check_sheet (TdBook *book, GBytes *bytes, TdDate revised, GError **error)
{
  gsize n = 0;
  const char *data = g_bytes_get_data (bytes, &n);
  const char *wrong = NULL;
  int code = TD_ERROR_RANGE;
  /* A day's grace: the sheet may come from a zone where the date is a day on. */
  if (revised > td_clock_get_now_ms (book->clock) / MS_PER_DAY + 1)
    wrong = "The revision of a safety data sheet is not a date to come: take the one printed on it";
  else if (n > TD_SAFETY_SHEET_MAX)
    wrong = "The safety data sheet is larger than 4 MB: save it smaller";
  else if (n < strlen (mark) || memcmp (data, mark, strlen (mark)) != 0)
    {
      wrong = "The safety data sheet is no PDF: save it as one";
      code = TD_ERROR_SHAPE;
    }
  if (wrong != NULL)
    g_set_error (error, TD_ERROR, code, "%s; nothing was kept", wrong);
  return wrong == NULL;
}

/* TRUE where a row stands there already. */
static TdStep
ask_hash (TdBook *book, TdSql sql, const char *sha256, const char *product, TdDate revised, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, sql, error);
  if (find == NULL)
    return TD_STEP_FAILED;
  td_statement_bind_hash (find, ":sha256", sha256);
  if (product != NULL)
    {
      td_statement_bind_text (find, ":product", product);
      td_statement_bind_integer (find, ":revised", revised);
    }
  return td_statement_ask (find, error);
}

static gboolean
insert_file (TdBook *book, const char *sha256, GBytes *bytes, GError **error)
{
  TdStep step = ask_hash (book, TD_SQL_FIND_ATTACHMENT, sha256, NULL, 0, error);
  if (step != TD_STEP_DONE)
    return step == TD_STEP_ROW;
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_ATTACHMENT, error);
  if (insert == NULL)
    return FALSE;
  gsize n = 0;
  const void *data = g_bytes_get_data (bytes, &n);
  td_statement_bind_hash (insert, ":sha256", sha256);
  td_statement_bind_text (insert, ":media", "application/pdf");
  td_statement_bind_blob (insert, ":bytes", data, n);
  return td_statement_run (insert, error);
}

static gboolean
add_sheet (TdBook *book, const char *product, GBytes *bytes, TdDate revised, GError **error)
{
  g_autofree char *sha256 = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, bytes);
  if (!td_slug_check (book, TD_SQL_FIND_PRODUCT, "product", product, error) ||
      !insert_file (book, sha256, bytes, error))
    return FALSE;
  TdStep step = ask_hash (book, TD_SQL_FIND_SAFETY_SHEET, sha256, product, revised, error);
  if (step != TD_STEP_DONE)
    return step == TD_STEP_ROW;
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_SAFETY_SHEET, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_text (insert, ":product", product);
  td_statement_bind_integer (insert, ":revised", revised);
  td_statement_bind_hash (insert, ":sha256", sha256);
  td_statement_bind_integer (insert, ":recorded_ms", td_clock_get_now_ms (book->clock));
  td_cache_clear (book->cache);
  return td_statement_run (insert, error);
}

gboolean
td_book_add_safety_sheet (TdBook *book, const char *product, GBytes *bytes, TdDate revised, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (product != NULL && bytes != NULL && revised != TD_DATE_NONE, FALSE);
  if (!check_sheet (book, bytes, revised, error) || !td_book_begin (book, error))
    return FALSE;
  if (!add_sheet (book, product, bytes, revised, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}

static gboolean
recall (TdBook *book, const char *lot, gboolean recalled, GError **error)
{
  if (!td_slug_check (book, TD_SQL_FIND_LOT, "lot", lot, error))
    return FALSE;
  g_autoptr (TdStatement) update = td_statement_get (book, TD_SQL_RECALL_LOT, error);
  if (update == NULL)
    return FALSE;
  td_statement_bind_text (update, ":slug", lot);
  td_statement_bind_integer (update, ":recalled", recalled != FALSE);
  td_cache_clear (book->cache);
  return td_statement_run (update, error) && td_project_open_visits (book, error);
}

gboolean
td_book_recall_lot (TdBook *book, const char *lot, gboolean recalled, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (lot != NULL, FALSE);
  if (!td_book_begin (book, error))
    return FALSE;
  if (!recall (book, lot, recalled, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}
