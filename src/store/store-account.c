#include "store-account.h"

#include "store-private.h"
#include "store-slug.h"

#include "core-csv.h"
#include "core-error.h"

#include <string.h>

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

typedef enum
{
  COLUMN_NAME,
  COLUMN_ADDRESS,
  COLUMN_CONTACT,
  COLUMN_EMAIL,
  COLUMN_PHONE,
  COLUMN_NOTE,
  N_COLUMNS
} Column;

static const char *const column_names[] = { "name", "address", "contact", "email", "phone", "note", NULL };

/* Where each known column stands in the file, -1 where it does not. */
static gboolean
read_header (const TdCsv *csv, int columns[N_COLUMNS], GError **error)
{
  for (guint i = 0; i < N_COLUMNS; i++)
    columns[i] = -1;
  for (guint i = 0; i < td_csv_get_n_fields (csv, 0); i++)
    {
      guint c = 0;
      while (column_names[c] != NULL && g_strcmp0 (column_names[c], td_csv_get_field (csv, 0, i)) != 0)
        c++;
      if (column_names[c] == NULL)
        return td_csv_set_error (csv, 0, i, TD_ERROR_SHAPE, error,
                                 "no column “%s” is known; the columns are name, address, contact, email, "
                                 "phone, note%s", td_csv_get_field (csv, 0, i),
                                 strchr (td_csv_get_field (csv, 0, i), ';') != NULL
                                   ? "; commas part them, not semicolons" : "");
      if (columns[c] >= 0)
        return td_csv_set_error (csv, 0, i, TD_ERROR_SHAPE, error, "the column “%s” stands twice", column_names[c]);
      columns[c] = i;
    }
  if (columns[COLUMN_NAME] < 0)
    return td_csv_set_error (csv, 0, 0, TD_ERROR_SHAPE, error,
                             "the first line must name the columns, and one of them must be “name”");
  return TRUE;
}

/* NULL where the file has no such column or nothing stands in it. */
static const char *
get_text (const TdCsv *csv, guint row, const int columns[N_COLUMNS], Column column)
{
  if (columns[column] < 0)
    return NULL;
  const char *text = td_csv_get_field (csv, row, columns[column]);
  return *text != '\0' ? text : NULL;
}

/* @seen: names of the lines before, to which this one's is added. */
static gboolean
put_line (TdBook *book, const TdCsv *csv, guint row, const int columns[N_COLUMNS], GHashTable *seen,
          TdImportCount *count, GError **error)
{
  TdAccountText account = { get_text (csv, row, columns, COLUMN_NAME),
                            get_text (csv, row, columns, COLUMN_ADDRESS),
                            get_text (csv, row, columns, COLUMN_CONTACT),
                            get_text (csv, row, columns, COLUMN_EMAIL),
                            get_text (csv, row, columns, COLUMN_PHONE),
                            get_text (csv, row, columns, COLUMN_NOTE) };
  TdPut put;
  if (account.name == NULL)
    return td_csv_set_error (csv, row, columns[COLUMN_NAME], TD_ERROR_SHAPE, error, "an account needs a name");
  if (!g_hash_table_add (seen, (char *) account.name))
    return td_csv_set_error (csv, row, columns[COLUMN_NAME], TD_ERROR_SHAPE, error,
                             "the account “%s” stands twice in the file", account.name);
  if (!td_account_put (book, &account, &put, error))
    return FALSE;
  td_import_count (count, put.outcome);
  return TRUE;
}

gboolean
td_book_import_accounts (TdBook *book, const char *text, gssize length, TdImportCount *count_out, GError **error)
{
  td_book_assert_owner (book);
  TdImportCount count = { 0 };
  int columns[N_COLUMNS];
  g_autoptr (TdCsv) csv = td_csv_parse (text, length, error);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  if (csv == NULL || !read_header (csv, columns, error) || !td_book_begin (book, error))
    return FALSE;
  for (guint row = 1; row < td_csv_get_n_rows (csv); row++)
    if (!put_line (book, csv, row, columns, seen, &count, error))
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
