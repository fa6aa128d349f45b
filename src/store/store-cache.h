/* store-cache.h: what a book remembers between calls, so that an entry need not read the whole visit.
 *
 * All of it can be forgotten at any time.  It is trusted only while no other connection has written and
 * this one has changed no master data since. */
#pragma once

#include "core-masters.h"
#include "store-state.h"

G_BEGIN_DECLS

typedef struct _TdBookCache
{
  guint data_version; /* of the connection when it was filled; 0: nothing is remembered */
  TdMasters *masters;
  TdVisitState *state; /* the visit that was last written to or read, folded */
  GHashTable *zones;   /* name to TdZone; never outdated while the program runs */
} TdBookCache;

TdBookCache *td_cache_new (void);
void td_cache_free (TdBookCache *cache);
/* Forgets all but the zones. */
void td_cache_clear (TdBookCache *cache);
/* Forgets what another connection may have overtaken; to be called first within a transaction. */
gboolean td_cache_refresh (TdBook *book, GError **error);

/* Returns: (transfer none): the masters, read where they are not remembered; NULL with an error. */
TdMasters *td_cache_get_masters (TdBook *book, GError **error);
/* Returns: (transfer none): the zone's rules; NULL with an error. */
TdZone *td_cache_get_zone (TdBook *book, const char *name, GError **error);

G_END_DECLS
