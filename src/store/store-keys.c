#include "store-keys.h"

typedef void (*AddFunc) (GArray *keys, TdStatement *row);

static void
add_uuid (GArray *keys, TdStatement *row)
{
  TdUuid uuid = td_statement_get_uuid (row, 0);
  g_array_append_val (keys, uuid);
}

static void
add_integer (GArray *keys, TdStatement *row)
{
  gint64 value = td_statement_get_integer (row, 0);
  g_array_append_val (keys, value);
}

static GArray *
list_keys (TdBook *book, TdSql sql, gsize size, AddFunc add, GError **error)
{
  g_autoptr (GArray) keys = g_array_new (FALSE, FALSE, size);
  g_autoptr (TdStatement) row = td_statement_get (book, sql, error);
  if (row == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    add (keys, row);
  return step == TD_STEP_DONE ? g_steal_pointer (&keys) : NULL;
}

GArray *
td_keys_list_uuids (TdBook *book, TdSql sql, GError **error)
{
  return list_keys (book, sql, sizeof (TdUuid), add_uuid, error);
}

GArray *
td_keys_list_integers (TdBook *book, TdSql sql, GError **error)
{
  return list_keys (book, sql, sizeof (gint64), add_integer, error);
}
