#include "store-cache.h"

#include "store-master-read.h"
#include "store-private.h"

static void
unref_zone (gpointer data)
{
  td_zone_unref (data);
}

TdBookCache *
td_cache_new (void)
{
  TdBookCache *cache = g_new0 (TdBookCache, 1);
  cache->zones = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, unref_zone);
  return cache;
}

void
td_cache_clear (TdBookCache *cache)
{
  g_return_if_fail (cache != NULL);
  cache->data_version = 0;
  g_clear_pointer (&cache->masters, td_masters_unref);
  g_clear_pointer (&cache->state, td_visit_state_free);
}

void
td_cache_free (TdBookCache *cache)
{
  g_return_if_fail (cache != NULL);
  td_cache_clear (cache);
  g_hash_table_unref (cache->zones);
  g_free (cache);
}

gboolean
td_cache_refresh (TdBook *book, GError **error)
{
  guint version = 0;
  if (!td_book_get_data_version (book, &version, error))
    return FALSE;
  if (version != book->cache->data_version)
    td_cache_clear (book->cache);
  book->cache->data_version = version;
  return TRUE;
}

TdMasters *
td_cache_get_masters (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  if (book->cache->masters == NULL)
    book->cache->masters = td_masters_read (book, error);
  return book->cache->masters;
}

TdZone *
td_cache_get_zone (TdBook *book, const char *name, GError **error)
{
  td_book_assert_owner (book);
  TdZone *zone = g_hash_table_lookup (book->cache->zones, name);
  if (zone == NULL)
    {
      zone = td_zone_load (name, error);
      if (zone != NULL)
        g_hash_table_insert (book->cache->zones, g_strdup (name), zone);
    }
  return zone;
}
