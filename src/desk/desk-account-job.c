#include "desk-account-job.h"

#include <string.h>

void
td_account_loaded_free (gpointer data)
{
  TdAccountLoaded *loaded = data;

  g_clear_pointer (&loaded->account, td_account_row_free);
  g_clear_pointer (&loaded->agreements, g_ptr_array_unref);
  g_clear_pointer (&loaded->balances, g_ptr_array_unref);
  g_clear_pointer (&loaded->invoices, g_array_unref);
  g_free (loaded);
}

void
td_account_asked_free (gpointer data)
{
  TdAccountAsked *asked = data;

  g_free (asked->account_id);
  g_free (asked);
}

/* Taken out of the list of all: accounts are few, and the list is the one way to their rows. */
static TdAccountRow *
find_account (TdBook *book, const char *id, GError **error)
{
  g_autoptr (GPtrArray) rows = td_book_list_accounts (book, error);

  for (guint i = 0; rows != NULL && i < rows->len; i++)
    if (strcmp (((TdAccountRow *) g_ptr_array_index (rows, i))->id, id) == 0)
      return g_ptr_array_steal_index (rows, i);
  if (rows != NULL)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book has no account “%s”; look at the list of accounts",
                 id);
  return NULL;
}

gboolean
td_account_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdAccountAsked *asked = data;
  const TdInvoicesFilter filter = { .account_id = asked->account_id, .today = asked->today };
  TdAccountLoaded *loaded = g_new0 (TdAccountLoaded, 1);

  loaded->account = find_account (book, asked->account_id, error);
  if (loaded->account != NULL)
    loaded->agreements = td_book_list_agreements (book, asked->account_id, error);
  if (loaded->agreements != NULL)
    loaded->balances = td_book_list_account_balances (book, asked->account_id, asked->today, error);
  if (loaded->balances != NULL)
    loaded->invoices = td_book_list_invoice_keys (book, &filter, error);
  if (loaded->invoices == NULL)
    {
      td_account_loaded_free (loaded);
      return FALSE;
    }
  *result_out = loaded;
  return TRUE;
}
