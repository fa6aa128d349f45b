/* Rows of master data out of the book, each as the object that a file has for it. */
#include "store-edit.h"

#include "core-account.h"
#include "core-masters.h"
#include "core-site.h"
#include "store-master-read.h"
#include "store-private.h"

void
td_master_free (TdMaster *master)
{
  g_return_if_fail (master != NULL);
  g_free (master->id);
  g_clear_pointer (&master->json, td_json_unref);
  g_free (master);
}

static TdMaster *
add (GPtrArray *masters, TdMasterKind kind, const char *id, guint rev, gboolean retired, TdJson *json)
{
  TdMaster *master = g_new0 (TdMaster, 1);
  g_assert (json != NULL);
  master->kind = kind;
  master->id = g_strdup (id);
  master->rev = rev;
  master->retired = retired;
  master->json = json;
  g_ptr_array_add (masters, master);
  return master;
}

static gboolean
list_accounts (TdBook *book, const char *id, GPtrArray *masters, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_ACCOUNT_RECORDS, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":slug", id);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_autoptr (TdAccount) account = g_new0 (TdAccount, 1);
      account->name = td_statement_dup_text (row, 3);
      account->address = td_statement_dup_text_or_null (row, 4);
      account->contact = td_statement_dup_text_or_null (row, 5);
      account->email = td_statement_dup_text_or_null (row, 6);
      account->phone = td_statement_dup_text_or_null (row, 7);
      account->note = td_statement_dup_text_or_null (row, 8);
      add (masters, TD_MASTER_ACCOUNT, td_statement_get_text (row, 0), td_statement_get_integer (row, 1),
           td_statement_get_integer (row, 2) != 0, td_account_to_json (account));
    }
  return step == TD_STEP_DONE;
}

static gboolean
list_sites (TdBook *book, const char *id, GPtrArray *masters, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_SITE_RECORDS, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":slug", id);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdJson *json = td_json_parse (td_statement_get_text (row, 3), -1, error);
      if (json == NULL)
        return FALSE;
      add (masters, TD_MASTER_SITE, td_statement_get_text (row, 0), td_statement_get_integer (row, 1),
           td_statement_get_integer (row, 2) != 0, json);
    }
  return step == TD_STEP_DONE;
}

static gboolean
find_state (TdBook *book, TdSql sql, const char *id, guint *rev_out, gboolean *retired_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, sql, error);
  if (find == NULL)
    return FALSE;
  if (id != NULL)
    td_statement_bind_text (find, ":slug", id);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_FAILED)
    return FALSE;
  *rev_out = step == TD_STEP_ROW ? td_statement_get_integer (find, 1) : 0;
  *retired_out = step == TD_STEP_ROW && td_statement_get_integer (find, 2) != 0;
  return TRUE;
}

static TdSql
get_find (TdMasterKind kind)
{
  switch (kind)
    {
    case TD_MASTER_TECHNICIAN:
      return TD_SQL_FIND_TECHNICIAN;
    case TD_MASTER_INSTRUMENT:
      return TD_SQL_FIND_INSTRUMENT;
    case TD_MASTER_PRODUCT:
      return TD_SQL_FIND_PRODUCT;
    case TD_MASTER_LOT:
      return TD_SQL_FIND_LOT;
    default:
      return TD_SQL_SELECT_COMPANY;
    }
}

/* The company, or the rows of one array of the company file. */
static gboolean
list_rows (TdBook *book, TdMasterKind kind, const char *id, GPtrArray *list, GError **error)
{
  g_autoptr (TdMasters) masters = td_masters_read (book, error);
  g_autoptr (TdJson) file = masters != NULL ? td_masters_to_json (masters) : NULL;
  const char *key = td_master_kind_get_key (kind);
  TdJson *array = file != NULL ? td_json_get_member (file, key != NULL ? key : "company") : NULL;
  guint rev = 0;
  gboolean retired = FALSE;
  if (masters == NULL)
    return FALSE;
  if (kind == TD_MASTER_COMPANY)
    {
      if (!find_state (book, TD_SQL_SELECT_COMPANY, NULL, &rev, &retired, error))
        return FALSE;
      add (list, kind, "", rev, FALSE, array != NULL ? td_json_ref (array) : td_json_parse ("{}", -1, NULL));
      return TRUE;
    }
  for (guint i = 0; array != NULL && i < td_json_get_length (array); i++)
    {
      TdJson *row = td_json_get_element (array, i);
      const char *row_id = td_json_get_string (td_json_get_member (row, "id"));
      if (id != NULL && g_strcmp0 (id, row_id) != 0)
        continue;
      if (!find_state (book, get_find (kind), row_id, &rev, &retired, error))
        return FALSE;
      add (list, kind, row_id, rev, retired, td_json_ref (row));
    }
  return TRUE;
}

static gboolean
list (TdBook *book, TdMasterKind kind, const char *id, GPtrArray *masters, GError **error)
{
  if (kind == TD_MASTER_ACCOUNT)
    return list_accounts (book, id, masters, error);
  if (kind == TD_MASTER_SITE)
    return list_sites (book, id, masters, error);
  return list_rows (book, kind, id, masters, error);
}

static GPtrArray *
read_list (TdBook *book, TdMasterKind kind, const char *id, GError **error)
{
  g_autoptr (GPtrArray) masters = g_ptr_array_new_with_free_func ((GDestroyNotify) td_master_free);
  td_book_assert_owner (book);
  if (!td_book_begin_read (book, error))
    return NULL;
  gboolean ok = list (book, kind, id, masters, error);
  td_book_end_read (book);
  return ok ? g_steal_pointer (&masters) : NULL;
}

GPtrArray *
td_book_list_masters (TdBook *book, TdMasterKind kind, GError **error)
{
  g_return_val_if_fail (kind < TD_N_MASTERS, NULL);
  return read_list (book, kind, NULL, error);
}

TdMaster *
td_book_get_master (TdBook *book, TdMasterKind kind, const char *id, GError **error)
{
  g_return_val_if_fail (kind < TD_N_MASTERS && id != NULL, NULL);
  g_autoptr (GPtrArray) masters = read_list (book, kind, kind == TD_MASTER_COMPANY ? NULL : id, error);
  if (masters == NULL)
    return NULL;
  if (masters->len > 0)
    return g_ptr_array_steal_index (masters, 0);
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
               "The book has no “%s” of that kind; nothing was changed; look at the list again", id);
  return NULL;
}
