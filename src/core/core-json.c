#include "core-json.h"

#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-json-private.h"

TdJson *
td_json_new (TdJsonType kind, guint line, guint column)
{
  TdJson *json = g_new0 (TdJson, 1);

  g_atomic_ref_count_init (&json->ref_count);
  json->kind = kind;
  json->line = line;
  json->column = column;
  return json;
}

static void
clear_key (gpointer data)
{
  TdJsonKey *key = data;

  g_clear_pointer (&key->text, g_free);
}

GArray *
td_json_keys_new (void)
{
  GArray *keys = g_array_new (FALSE, FALSE, sizeof (TdJsonKey));

  g_array_set_clear_func (keys, clear_key);
  return keys;
}

static int
compare_keys (gconstpointer a, gconstpointer b, gpointer data)
{
  const guint *left = a;
  const guint *right = b;
  const TdJsonKey *keys = data;
  int difference = strcmp (keys[*left].text, keys[*right].text);

  if (difference != 0)
    return difference;
  return *left < *right ? -1 : *left > *right;
}

/* Sorting rather than hashing: no choice of keys makes a sheet from a stranger slow to read. */
static guint *
sort_keys (GArray *keys, guint *doubled_out)
{
  const TdJsonKey *data = (const TdJsonKey *) (gpointer) keys->data;
  g_autofree guint *order = g_new (guint, keys->len);
  guint doubled = G_MAXUINT;

  for (guint i = 0; i < keys->len; i++)
    order[i] = i;
  if (keys->len > 1)
    g_qsort_with_data (order, (int) keys->len, sizeof (guint), compare_keys, keys->data);
  for (guint i = 1; i < keys->len; i++)
    if (strcmp (data[order[i - 1]].text, data[order[i]].text) == 0)
      doubled = MIN (doubled, order[i]);
  if (doubled != G_MAXUINT)
    {
      *doubled_out = doubled;
      return NULL;
    }
  return g_steal_pointer (&order);
}

TdJson *
td_json_new_items (GPtrArray *elements, GArray *keys, guint line, guint column, guint *doubled_out)
{
  g_autofree guint *order = NULL;
  TdJson *json;
  gsize length;

  g_assert (keys == NULL || keys->len == elements->len);
  if (keys != NULL && keys->len > 0)
    {
      order = sort_keys (keys, doubled_out);
      if (order == NULL)
        return NULL;
    }

  json = td_json_new (keys != NULL ? TD_JSON_OBJECT : TD_JSON_ARRAY, line, column);
  for (guint i = 0; i < elements->len; i++)
    {
      const TdJson *element = g_ptr_array_index (elements, i);

      json->depth = MAX (json->depth, element->depth);
    }
  json->depth++;
  g_assert (json->depth <= TD_JSON_MAX_DEPTH);
  json->length = elements->len;
  json->u.items.elements = (TdJson **) g_ptr_array_steal (elements, &length);
  json->u.items.order = g_steal_pointer (&order);
  if (keys != NULL)
    json->u.items.keys = (TdJsonKey *) g_array_steal (keys, &length);
  return json;
}

TdJson *
td_json_ref (TdJson *json)
{
  g_return_val_if_fail (json != NULL, NULL);
  g_atomic_ref_count_inc (&json->ref_count);
  return json;
}

static void
free_items (TdJson *json)
{
  for (guint i = 0; i < json->length; i++)
    {
      td_json_unref (json->u.items.elements[i]);
      if (json->u.items.keys != NULL)
        g_free (json->u.items.keys[i].text);
    }
  g_free (json->u.items.elements);
  g_free (json->u.items.keys);
  g_free (json->u.items.order);
}

void
td_json_unref (TdJson *json)
{
  g_return_if_fail (json != NULL);
  if (!g_atomic_ref_count_dec (&json->ref_count))
    return;
  if (json->kind == TD_JSON_STRING)
    g_free (json->u.string);
  else if (json->kind == TD_JSON_ARRAY || json->kind == TD_JSON_OBJECT)
    free_items (json);
  g_free (json);
}

TdJsonType
td_json_get_kind (const TdJson *json)
{
  g_assert (json != NULL);
  return json->kind;
}

guint
td_json_get_line (const TdJson *json)
{
  g_assert (json != NULL);
  return json->line;
}

guint
td_json_get_column (const TdJson *json)
{
  g_assert (json != NULL);
  return json->column;
}

gboolean
td_json_get_boolean (const TdJson *json)
{
  g_assert (json != NULL && json->kind == TD_JSON_BOOLEAN);
  return json->u.boolean;
}

gint64
td_json_get_integer (const TdJson *json)
{
  g_assert (json != NULL && json->kind == TD_JSON_INTEGER);
  return json->u.integer;
}

double
td_json_get_number (const TdJson *json)
{
  g_assert (json != NULL && (json->kind == TD_JSON_INTEGER || json->kind == TD_JSON_REAL));
  return json->kind == TD_JSON_INTEGER ? (double) json->u.integer : json->u.real;
}

const char *
td_json_get_string (const TdJson *json)
{
  g_assert (json != NULL && json->kind == TD_JSON_STRING);
  return json->u.string;
}

guint
td_json_get_length (const TdJson *json)
{
  g_assert (json != NULL && (json->kind == TD_JSON_ARRAY || json->kind == TD_JSON_OBJECT));
  return json->length;
}

TdJson *
td_json_get_element (const TdJson *json, guint index)
{
  g_assert (json != NULL && (json->kind == TD_JSON_ARRAY || json->kind == TD_JSON_OBJECT));
  g_assert (index < json->length);
  return json->u.items.elements[index];
}

static const TdJsonKey *
key_at (const TdJson *json, guint index)
{
  g_assert (json != NULL && json->kind == TD_JSON_OBJECT);
  g_assert (index < json->length);
  return &json->u.items.keys[index];
}

const char *
td_json_get_key (const TdJson *json, guint index)
{
  return key_at (json, index)->text;
}

guint
td_json_get_key_line (const TdJson *json, guint index)
{
  return key_at (json, index)->line;
}

guint
td_json_get_key_column (const TdJson *json, guint index)
{
  return key_at (json, index)->column;
}

int
td_json_find_key (const TdJson *json, const char *key)
{
  guint low = 0;
  guint high;

  g_assert (json != NULL && json->kind == TD_JSON_OBJECT);
  g_assert (key != NULL);
  high = json->length;
  while (low < high)
    {
      guint middle = low + (high - low) / 2;
      guint index = json->u.items.order[middle];
      int difference = strcmp (key, json->u.items.keys[index].text);

      if (difference == 0)
        return (int) index;
      if (difference < 0)
        high = middle;
      else
        low = middle + 1;
    }
  return -1;
}

TdJson *
td_json_get_member (const TdJson *json, const char *key)
{
  int index = td_json_find_key (json, key);

  return index < 0 ? NULL : json->u.items.elements[index];
}

static gboolean
is_number (const TdJson *json)
{
  return json->kind == TD_JSON_INTEGER || json->kind == TD_JSON_REAL;
}

static gboolean
equal_numbers (const TdJson *a, const TdJson *b)
{
  const TdJson *integer = a->kind == TD_JSON_INTEGER ? a : b;
  double real;

  if (a->kind == b->kind)
    return a->kind == TD_JSON_INTEGER ? a->u.integer == b->u.integer : a->u.real == b->u.real;
  real = a->kind == TD_JSON_REAL ? a->u.real : b->u.real;
  /* As integers, since a double may not hold the integer; 2^63 itself is beyond gint64. */
  return real >= -0x1p63 && real < 0x1p63 && real == floor (real)
         && (gint64) real == integer->u.integer;
}

static gboolean
equal_items (const TdJson *a, const TdJson *b)
{
  if (a->length != b->length)
    return FALSE;
  for (guint i = 0; i < a->length; i++)
    {
      const TdJson *other;

      if (a->kind == TD_JSON_ARRAY)
        other = b->u.items.elements[i];
      else
        other = td_json_get_member (b, a->u.items.keys[i].text);
      if (other == NULL || !td_json_equal (a->u.items.elements[i], other))
        return FALSE;
    }
  return TRUE;
}

gboolean
td_json_equal (const TdJson *a, const TdJson *b)
{
  g_assert (a != NULL && b != NULL);
  if (is_number (a) && is_number (b))
    return equal_numbers (a, b);
  if (a->kind != b->kind)
    return FALSE;
  switch (a->kind)
    {
    case TD_JSON_BOOLEAN:
      return !a->u.boolean == !b->u.boolean;
    case TD_JSON_STRING:
      return strcmp (a->u.string, b->u.string) == 0;
    case TD_JSON_ARRAY:
    case TD_JSON_OBJECT:
      return equal_items (a, b);
    case TD_JSON_NULL:
    case TD_JSON_INTEGER:
    case TD_JSON_REAL:
    default:
      return TRUE;
    }
}

void
td_json_set_error (const TdJson *where, int code, GError **error, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list args;

  g_return_if_fail (where != NULL && format != NULL);
  va_start (args, format);
  message = g_strdup_vprintf (format, args);
  va_end (args);
  if (where->line == 0)
    g_set_error_literal (error, TD_ERROR, code, message);
  else
    g_set_error (error, TD_ERROR, code, "line %u, column %u: %s", where->line, where->column, message);
}
