/* Places, and who takes chemicals from where. */
#include "store-stock-private.h"

#include "core-error.h"
#include "store-put.h"

#define MOST_ID 64

static const char *const place_keys[] = { ":slug", NULL };
static const char *const place_names[] = { ":name", ":kind", NULL };
static const TdTable place_table = { TD_SQL_FIND_PLACE, TD_SQL_INSERT_PLACE, TD_SQL_UPDATE_PLACE, TRUE,
                                     place_keys, place_names };

void
td_stock_place_free (TdStockPlace *place)
{
  g_return_if_fail (place != NULL);
  g_free (place->id);
  g_free (place->name);
  g_free (place);
}

GPtrArray *
td_book_list_places (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (GPtrArray) places = g_ptr_array_new_with_free_func ((GDestroyNotify) td_stock_place_free);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_PLACES, error);
  if (row == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdStockPlace *place = g_new0 (TdStockPlace, 1);
      place->id = td_statement_dup_text_or_null (row, 0);
      place->name = td_statement_dup_text_or_null (row, 1);
      place->van = g_strcmp0 (td_statement_get_text (row, 2), "van") == 0;
      g_ptr_array_add (places, place);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&places) : NULL;
}

static gboolean
check_id (const char *id, GError **error)
{
  gsize n = 0;
  while (g_ascii_isalnum (id[n]) || id[n] == '-')
    n++;
  if (n > 0 && n <= MOST_ID && id[n] == '\0')
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
               "“%s” names no place: take 1 to %d letters, digits and '-'", id, MOST_ID);
  return FALSE;
}

gboolean
td_place_put (TdBook *book, const char *id, const char *name, gboolean van, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  g_autoptr (TdRow) keys = td_row_new ();
  g_autoptr (TdRow) values = td_row_new ();
  TdPut put;
  td_row_add_text (keys, id);
  td_row_add_text (values, name);
  td_row_add_text (values, van ? "van" : "store");
  return td_put_row (book, &place_table, keys, values, FALSE, &put, error);
}

gboolean
td_book_put_place (TdBook *book, const char *id, const char *name, gboolean van, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (id != NULL && name != NULL, FALSE);
  if (!check_id (id, error) || !td_book_begin (book, error))
    return FALSE;
  if (!td_place_put (book, id, name, van, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}

gboolean
td_slug_check (TdBook *book, TdSql find, const char *what, const char *slug, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (TdStatement) row = td_statement_get (book, find, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":slug", slug);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                 "The book knows no %s “%s”; nothing was kept; enter it first", what, slug);
  return step == TD_STEP_ROW;
}

static gboolean
assign (TdBook *book, const char *technician, const char *place, TdDate since, GError **error)
{
  if (!td_slug_check (book, TD_SQL_FIND_TECHNICIAN, "technician", technician, error) ||
      !td_slug_check (book, TD_SQL_FIND_PLACE, "place", place, error))
    return FALSE;
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_PLACE_HOLDER, error);
  g_autoptr (TdStatement) insert = find != NULL ? td_statement_get (book, TD_SQL_INSERT_PLACE_HOLDER, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_text (find, ":technician", technician);
  td_statement_bind_integer (find, ":since", since);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_FAILED)
    return FALSE;
  if (step == TD_STEP_ROW)
    {
      if (g_strcmp0 (td_statement_get_text (find, 0), place) == 0)
        return TRUE;
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED,
                   "“%s” takes from “%s” from that day on already; nothing was kept; name another day", technician,
                   td_statement_get_text (find, 0));
      return FALSE;
    }
  td_statement_bind_text (insert, ":technician", technician);
  td_statement_bind_integer (insert, ":since", since);
  td_statement_bind_text (insert, ":place", place);
  return td_statement_run (insert, error);
}

gboolean
td_book_assign_place (TdBook *book, const char *technician, const char *place, TdDate since, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (technician != NULL && place != NULL && since != TD_DATE_NONE, FALSE);
  if (!td_book_begin (book, error))
    return FALSE;
  if (!assign (book, technician, place, since, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}
