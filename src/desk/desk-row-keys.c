#include "desk-row-keys.h"

struct _TdRowKeys
{
  GHashTable *by_id; /* id -> gint64 */
  gint64 last;
};

TdRowKeys *
td_row_keys_new (void)
{
  TdRowKeys *keys = g_atomic_rc_box_new0 (TdRowKeys);

  keys->by_id = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  return keys;
}

TdRowKeys *
td_row_keys_ref (TdRowKeys *keys)
{
  return g_atomic_rc_box_acquire (keys);
}

static void
clear (gpointer data)
{
  g_hash_table_unref (((TdRowKeys *) data)->by_id);
}

void
td_row_keys_unref (gpointer keys)
{
  g_atomic_rc_box_release_full (keys, clear);
}

gint64
td_row_keys_get (TdRowKeys *keys, const char *id)
{
  gint64 *key = g_hash_table_lookup (keys->by_id, id);

  if (key == NULL)
    {
      key = g_new (gint64, 1);
      *key = ++keys->last;
      g_hash_table_insert (keys->by_id, g_strdup (id), key);
    }
  return *key;
}
