/* Lists of accounts and sites. */
#include "store-query.h"

#include "store-private.h"
#include "store-state.h"

void
td_site_row_free (TdSiteRow *row)
{
  g_return_if_fail (row != NULL);
  g_free (row->id);
  g_free (row->name);
  g_free (row->account);
  g_free (row->account_id);
  g_free (row->address);
  g_free (row->zone);
  g_free (row);
}

GPtrArray *
td_book_list_sites (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_site_row_free);
  g_autoptr (TdStatement) list = td_statement_get (book, TD_SQL_LIST_SITES, error);
  if (list == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (list, error)) == TD_STEP_ROW)
    {
      TdSiteRow *row = g_new0 (TdSiteRow, 1);
      row->id = td_statement_dup_text (list, 0);
      row->name = td_statement_dup_text (list, 1);
      row->account = td_statement_dup_text (list, 2);
      row->account_id = td_statement_dup_text (list, 3);
      row->address = td_statement_dup_text_or_null (list, 4);
      row->zone = td_statement_dup_text (list, 5);
      row->lines = td_statement_get_integer (list, 6);
      row->rev = td_statement_get_integer (list, 7);
      g_ptr_array_add (rows, row);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}

TdSite *
td_book_get_site (TdBook *book, const char *site_id, GError **error)
{
  TdUuid nobody = { { 0 } };
  TdSite *site = NULL;
  td_book_assert_owner (book);
  g_return_val_if_fail (site_id != NULL, NULL);
  if (!td_book_begin_read (book, error))
    return NULL;
  g_autoptr (TdVisitState) state = td_visit_state_begin (book, &nobody, site_id, NULL, error);
  if (state != NULL)
    site = td_site_ref (state->context.site);
  td_book_end_read (book);
  return site;
}

void
td_account_row_free (TdAccountRow *row)
{
  g_return_if_fail (row != NULL);
  g_free (row->id);
  g_free (row->name);
  g_free (row->address);
  g_free (row->contact);
  g_free (row->email);
  g_free (row->phone);
  g_free (row->note);
  g_free (row);
}

GPtrArray *
td_book_list_accounts (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_account_row_free);
  g_autoptr (TdStatement) list = td_statement_get (book, TD_SQL_LIST_ACCOUNTS, error);
  if (list == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (list, error)) == TD_STEP_ROW)
    {
      TdAccountRow *row = g_new0 (TdAccountRow, 1);
      row->id = td_statement_dup_text (list, 0);
      row->name = td_statement_dup_text (list, 1);
      row->address = td_statement_dup_text_or_null (list, 2);
      row->contact = td_statement_dup_text_or_null (list, 3);
      row->email = td_statement_dup_text_or_null (list, 4);
      row->phone = td_statement_dup_text_or_null (list, 5);
      row->note = td_statement_dup_text_or_null (list, 6);
      row->sites = td_statement_get_integer (list, 7);
      g_ptr_array_add (rows, row);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}
