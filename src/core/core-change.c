#include "core-change.h"

#include "core-json-build.h"

void
td_change_free (TdChange *change)
{
  g_return_if_fail (change != NULL);
  g_free (change->path);
  g_free (change->old_text);
  g_free (change->new_text);
  g_free (change);
}

static char *
make_text (const TdJson *json)
{
  if (json == NULL)
    return NULL;
  return td_json_get_kind (json) == TD_JSON_STRING ? g_strdup (td_json_get_string (json))
                                                   : td_json_to_text (json, FALSE);
}

static void
add (GPtrArray *changes, const char *path, const TdJson *before, const TdJson *after)
{
  TdChange *change = g_new0 (TdChange, 1);

  change->path = g_strdup (path);
  change->old_text = make_text (before);
  change->new_text = make_text (after);
  g_ptr_array_add (changes, change);
}

/* The id of an element, NULL where it has none. */
static const char *
get_id (const TdJson *json)
{
  const TdJson *id = td_json_get_kind (json) == TD_JSON_OBJECT ? td_json_get_member (json, "id") : NULL;

  return id != NULL && td_json_get_kind (id) == TD_JSON_STRING ? td_json_get_string (id) : NULL;
}

static gboolean
has_ids (const TdJson *array)
{
  for (guint i = 0; i < td_json_get_length (array); i++)
    if (get_id (td_json_get_element (array, i)) == NULL)
      return FALSE;
  return TRUE;
}

static const TdJson *
find_element (const TdJson *array, const char *id)
{
  for (guint i = 0; i < td_json_get_length (array); i++)
    {
      const TdJson *element = td_json_get_element (array, i);

      if (g_strcmp0 (get_id (element), id) == 0)
        return element;
    }
  return NULL;
}

static void
compare (GPtrArray *changes, const char *path, const TdJson *before, const TdJson *after);

static void
compare_members (GPtrArray *changes, const char *path, const TdJson *before, const TdJson *after)
{
  const char *dot = *path != '\0' ? "." : "";

  for (guint i = 0; i < td_json_get_length (after); i++)
    {
      const char *key = td_json_get_key (after, i);
      g_autofree char *inner = g_strconcat (path, dot, key, NULL);

      compare (changes, inner, td_json_get_member (before, key), td_json_get_element (after, i));
    }
  for (guint i = 0; i < td_json_get_length (before); i++)
    {
      const char *key = td_json_get_key (before, i);
      g_autofree char *inner = g_strconcat (path, dot, key, NULL);

      if (td_json_get_member (after, key) == NULL)
        add (changes, inner, td_json_get_element (before, i), NULL);
    }
}

static void
compare_by_id (GPtrArray *changes, const char *path, const TdJson *before, const TdJson *after)
{
  for (guint i = 0; i < td_json_get_length (after); i++)
    {
      const TdJson *element = td_json_get_element (after, i);
      g_autofree char *inner = g_strdup_printf ("%s[%s]", path, get_id (element));

      compare (changes, inner, find_element (before, get_id (element)), element);
    }
  for (guint i = 0; i < td_json_get_length (before); i++)
    {
      const TdJson *element = td_json_get_element (before, i);
      g_autofree char *inner = g_strdup_printf ("%s[%s]", path, get_id (element));

      if (find_element (after, get_id (element)) == NULL)
        add (changes, inner, element, NULL);
    }
}

static void
compare_by_place (GPtrArray *changes, const char *path, const TdJson *before, const TdJson *after)
{
  guint n_before = td_json_get_length (before), n_after = td_json_get_length (after);

  for (guint i = 0; i < MAX (n_before, n_after); i++)
    {
      g_autofree char *inner = g_strdup_printf ("%s[%u]", path, i);

      if (i < n_after)
        compare (changes, inner, i < n_before ? td_json_get_element (before, i) : NULL,
                 td_json_get_element (after, i));
      else
        add (changes, inner, td_json_get_element (before, i), NULL);
    }
}

static void
compare (GPtrArray *changes, const char *path, const TdJson *before, const TdJson *after)
{
  guint first = changes->len;

  if (before == NULL)
    add (changes, path, NULL, after);
  else if (td_json_equal (before, after))
    return;
  else if (td_json_get_kind (before) != td_json_get_kind (after))
    add (changes, path, before, after);
  else if (td_json_get_kind (after) == TD_JSON_OBJECT)
    compare_members (changes, path, before, after);
  else if (td_json_get_kind (after) == TD_JSON_ARRAY && has_ids (before) && has_ids (after))
    {
      compare_by_id (changes, path, before, after);
      /* The same elements in another order. */
      if (changes->len == first)
        add (changes, path, before, after);
    }
  else if (td_json_get_kind (after) == TD_JSON_ARRAY)
    compare_by_place (changes, path, before, after);
  else
    add (changes, path, before, after);
}

GPtrArray *
td_json_compare (const TdJson *before, const TdJson *after)
{
  GPtrArray *changes = g_ptr_array_new_with_free_func ((GDestroyNotify) td_change_free);

  g_return_val_if_fail (after != NULL, changes);
  compare (changes, "", before, after);
  return changes;
}
