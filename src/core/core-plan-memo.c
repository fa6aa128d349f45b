#include "core-plan-memo.h"

#include <string.h>

#define FIRST_SLOTS 1024

/* Open addressing with linear probing; keys lie one after the other in @keys. */
struct _TdPlanMemo
{
  guint key_size;
  guint max_entries;
  guint n_entries;
  guint n_slots; /* a power of two, at least twice the entries */
  guint *slots;  /* entry + 1, or 0 where free */
  guint8 *keys;
  int *values;
  guint n_allocated;
};

TdPlanMemo *
td_plan_memo_new (guint key_size, guint max_entries)
{
  g_return_val_if_fail (key_size > 0 && max_entries > 0, NULL);
  TdPlanMemo *memo = g_new0 (TdPlanMemo, 1);
  memo->key_size = key_size;
  memo->max_entries = max_entries;
  memo->n_slots = FIRST_SLOTS;
  memo->slots = g_new0 (guint, memo->n_slots);
  return memo;
}

void
td_plan_memo_free (TdPlanMemo *memo)
{
  g_return_if_fail (memo != NULL);
  g_free (memo->slots);
  g_free (memo->keys);
  g_free (memo->values);
  g_free (memo);
}

/* FNV-1a over 64 bits, folded. */
static guint
hash_key (const guint8 *key, guint size)
{
  guint64 hash = G_GUINT64_CONSTANT (14695981039346656037);
  for (guint i = 0; i < size; i++)
    hash = (hash ^ key[i]) * G_GUINT64_CONSTANT (1099511628211);
  return (guint)(hash ^ (hash >> 32));
}

/* The slot of the key, or the free one where it belongs. */
static guint
find_slot (const TdPlanMemo *memo, const guint8 *key)
{
  guint at = hash_key (key, memo->key_size) & (memo->n_slots - 1);
  while (memo->slots[at] != 0
         && memcmp (memo->keys + (gsize)(memo->slots[at] - 1) * memo->key_size, key, memo->key_size)
                != 0)
    at = (at + 1) & (memo->n_slots - 1);
  return at;
}

static void
grow_slots (TdPlanMemo *memo)
{
  memo->n_slots *= 2;
  memo->slots = g_renew (guint, memo->slots, memo->n_slots);
  memset (memo->slots, 0, memo->n_slots * sizeof (guint));
  for (guint i = 0; i < memo->n_entries; i++)
    memo->slots[find_slot (memo, memo->keys + (gsize)i * memo->key_size)] = i + 1;
}

int
td_plan_memo_get (const TdPlanMemo *memo, gconstpointer key)
{
  g_return_val_if_fail (memo != NULL && key != NULL, -1);
  guint entry = memo->slots[find_slot (memo, key)];
  return entry == 0 ? -1 : memo->values[entry - 1];
}

void
td_plan_memo_put (TdPlanMemo *memo, gconstpointer key, int value)
{
  g_return_if_fail (memo != NULL && key != NULL && value >= 0);
  guint at = find_slot (memo, key);
  if (memo->slots[at] != 0)
    {
      int *old = &memo->values[memo->slots[at] - 1];
      *old = MAX (*old, value);
      return;
    }
  if (memo->n_entries >= memo->max_entries)
    return;
  if (memo->n_entries == memo->n_allocated)
    {
      memo->n_allocated = MAX (FIRST_SLOTS / 2, 2 * memo->n_allocated);
      memo->keys = g_realloc (memo->keys, (gsize)memo->n_allocated * memo->key_size);
      memo->values = g_renew (int, memo->values, memo->n_allocated);
    }
  memcpy (memo->keys + (gsize)memo->n_entries * memo->key_size, key, memo->key_size);
  memo->values[memo->n_entries++] = value;
  memo->slots[at] = memo->n_entries;
  if (2 * memo->n_entries > memo->n_slots)
    grow_slots (memo);
}
