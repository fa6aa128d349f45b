#include "store-account.h"

#include "store-private.h"
#include "store-slug.h"

static const char *const account_keys[] = { ":slug", NULL };
static const char *const account_names[] = { ":name", ":address", ":contact", ":email", ":phone", ":note", NULL };
static const TdTable account_table = { TD_SQL_FIND_ACCOUNT, TD_SQL_INSERT_ACCOUNT, TD_SQL_UPDATE_ACCOUNT, TRUE, account_keys, account_names };

/* The slug of the account of that name, a new one where there is none. @key_out: 0 then. */
static char *
find_slug (TdBook *book, const char *name, gint64 *key_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_ACCOUNT_BY_NAME, error);
  if (find == NULL)
    return NULL;
  td_statement_bind_text (find, ":name", name);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_FAILED)
    return NULL;
  *key_out = step == TD_STEP_ROW ? td_statement_get_integer (find, 0) : 0;
  return step == TD_STEP_ROW ? td_statement_dup_text (find, 1)
                             : td_slug_find_free (book, TD_SQL_FIND_ACCOUNT, name, error);
}

gboolean
td_account_put_as (TdBook *book, const char *slug, const TdAccountText *account, gboolean retired, TdPut *put_out,
                   GError **error)
{
  td_book_assert_owner (book);
  g_assert (slug != NULL && account != NULL && account->name != NULL);
  g_autoptr (TdRow) keys = td_row_new ();
  g_autoptr (TdRow) values = td_row_new ();
  td_row_add_text (keys, slug);
  td_row_add_text (values, account->name);
  td_row_add_text (values, account->address);
  td_row_add_text (values, account->contact);
  td_row_add_text (values, account->email);
  td_row_add_text (values, account->phone);
  td_row_add_text (values, account->note);
  return td_put_row (book, &account_table, keys, values, retired, put_out, error);
}

gboolean
td_account_put (TdBook *book, const TdAccountText *account, TdPut *put_out, GError **error)
{
  td_book_assert_owner (book);
  g_assert (account != NULL && account->name != NULL);
  gint64 key = 0;
  g_autofree char *slug = find_slug (book, account->name, &key, error);
  return slug != NULL && td_account_put_as (book, slug, account, FALSE, put_out, error);
}

gboolean
td_account_ensure (TdBook *book, const char *name, gint64 *key_out, GError **error)
{
  td_book_assert_owner (book);
  TdAccountText account = { .name = name };
  TdPut put;
  g_autofree char *slug = find_slug (book, name, key_out, error);
  if (slug == NULL || *key_out != 0)
    return slug != NULL;
  if (!td_account_put (book, &account, &put, error))
    return FALSE;
  *key_out = put.id;
  return TRUE;
}
