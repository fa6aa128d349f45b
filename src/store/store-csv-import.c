/* Comma-separated rows into the book. */
#include "store-account.h"
#include "store-company.h"
#include "store-csv.h"
#include "store-edit-private.h"
#include "store-private.h"

#include "core-error.h"

/* What the book has, by the key that a row is found by: text -> TdMaster of @masters. */
static GHashTable *
index_masters (GPtrArray *masters, TdMasterKind kind)
{
  GHashTable *known = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < masters->len; i++)
    {
      TdMaster *master = g_ptr_array_index (masters, i);
      const TdJson *key = td_json_get_member (master->json, td_csv_masters_get_key (kind));
      g_hash_table_insert (known, (char *) td_json_get_string (key), master);
    }
  return known;
}

static gboolean
put (TdBook *book, const TdMasterDraft *draft, TdImportCount *count, GError **error)
{
  if (draft->account == NULL)
    return td_company_put (book, draft->masters, count, error);
  const TdAccount *account = draft->account;
  TdAccountText text = { account->name, account->address, account->contact,
                         account->email, account->phone, account->note };
  TdPut done;
  if (!td_account_put (book, &text, &done, error))
    return FALSE;
  td_import_count (count, done.outcome);
  return TRUE;
}

static gboolean
put_row (TdBook *book, const TdCsvMasters *masters, const TdCsvRow *row, GHashTable *known, TdImportCount *count,
         GError **error)
{
  g_auto (TdMasterDraft) draft = { NULL };
  g_autoptr (GError) why = NULL;
  if (row->error != NULL)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE, row->error);
      return FALSE;
    }
  const TdJson *key = td_json_get_member (row->json, td_csv_masters_get_key (masters->kind));
  const TdMaster *master = g_hash_table_lookup (known, td_json_get_string (key));
  g_autoptr (TdJson) merged = td_csv_masters_merge (masters, row, master != NULL ? master->json : NULL);
  if (td_master_draft_read (masters->kind, merged, &draft, &why) && put (book, &draft, count, &why))
    return TRUE;
  if (why->domain != TD_ERROR)
    {
      g_propagate_error (error, g_steal_pointer (&why));
      return FALSE;
    }
  g_autofree char *placed = td_csv_masters_place_error (masters, row, why);
  g_set_error_literal (error, TD_ERROR, why->code, placed);
  return FALSE;
}

gboolean
td_book_import_csv (TdBook *book, const char *text, gssize length, TdImportCount *count_out, GError **error)
{
  TdImportCount count = { 0 };
  td_book_assert_owner (book);
  g_return_val_if_fail (text != NULL, FALSE);
  g_autoptr (TdCsvMasters) masters = td_csv_masters_read (text, length, error);
  g_autoptr (GPtrArray) rows = masters != NULL ? td_book_list_masters (book, masters->kind, error) : NULL;
  g_autoptr (GHashTable) known = rows != NULL ? index_masters (rows, masters->kind) : NULL;
  if (known == NULL || !td_book_begin (book, error))
    return FALSE;
  for (guint i = 0; i < masters->rows->len; i++)
    if (!put_row (book, masters, g_ptr_array_index (masters->rows, i), known, &count, error))
      {
        td_book_rollback (book);
        return FALSE;
      }
  if (!td_book_commit (book, error))
    return FALSE;
  if (count_out != NULL)
    *count_out = count;
  return TRUE;
}
