#include "store-value.h"

static void
clear_value (gpointer data)
{
  TdValue *value = data;
  g_clear_pointer (&value->text, g_free);
}

TdRow *
td_row_new (void)
{
  GArray *row = g_array_new (FALSE, TRUE, sizeof (TdValue));
  g_array_set_clear_func (row, clear_value);
  return row;
}

void
td_row_unref (TdRow *row)
{
  g_return_if_fail (row != NULL);
  g_array_unref (row);
}

void
td_row_add_integer (TdRow *row, gint64 integer)
{
  TdValue value = { TD_VALUE_INTEGER, integer, NULL };
  g_array_append_val (row, value);
}

void
td_row_add_integer_or_null (TdRow *row, gint64 integer, gint64 null)
{
  if (integer == null)
    td_row_add_text (row, NULL);
  else
    td_row_add_integer (row, integer);
}

void
td_row_add_text (TdRow *row, const char *text)
{
  TdValue value = { text != NULL ? TD_VALUE_TEXT : TD_VALUE_NULL, 0, g_strdup (text) };
  g_array_append_val (row, value);
}

void
td_row_add_hash (TdRow *row, const char *hex)
{
  TdValue value = { TD_VALUE_HASH, 0, g_strdup (hex) };
  g_assert (hex != NULL);
  g_array_append_val (row, value);
}

void
td_row_bind (const TdRow *row, TdStatement *statement, const char *const *names)
{
  g_assert (row->len == g_strv_length ((char **) names));
  for (guint i = 0; i < row->len; i++)
    {
      const TdValue *value = &g_array_index (row, TdValue, i);
      switch (value->type)
        {
        case TD_VALUE_NULL:
          td_statement_bind_null (statement, names[i]);
          break;
        case TD_VALUE_INTEGER:
          td_statement_bind_integer (statement, names[i], value->integer);
          break;
        case TD_VALUE_TEXT:
          td_statement_bind_text (statement, names[i], value->text);
          break;
        case TD_VALUE_HASH:
          td_statement_bind_hash (statement, names[i], value->text);
          break;
        default:
          g_assert_not_reached ();
        }
    }
}

static gboolean
equals (const TdValue *value, TdStatement *statement, int column)
{
  g_autofree char *hex = NULL;
  if (value->type == TD_VALUE_NULL || td_statement_is_null (statement, column))
    return value->type == TD_VALUE_NULL && td_statement_is_null (statement, column);
  switch (value->type)
    {
    case TD_VALUE_INTEGER:
      return td_statement_get_integer (statement, column) == value->integer;
    case TD_VALUE_TEXT:
      return g_strcmp0 (td_statement_get_text (statement, column), value->text) == 0;
    case TD_VALUE_HASH:
      hex = td_statement_get_hash (statement, column);
      return g_strcmp0 (hex, value->text) == 0;
    case TD_VALUE_NULL:
    default:
      g_assert_not_reached ();
    }
}

int
td_row_compare (const TdRow *row, TdStatement *statement, int first)
{
  g_assert (row != NULL && first >= 0);
  for (guint i = 0; i < row->len; i++)
    if (!equals (&g_array_index (row, TdValue, i), statement, first + (int) i))
      return i;
  return -1;
}
