/* store-zone.h: zone rules as data for core, out of the machine's zone files. */
#pragma once

#include "core-time.h"
#include "store-error.h"

G_BEGIN_DECLS

/* The rules of an IANA zone ("Europe/Dublin") from 1990 on, as far into the future as the machine's zone
 * files tell them.
 * Returns: (transfer full): the zone, or NULL with TD_BOOK_ERROR_MISSING where the machine does not
 * know that name. */
TdZone *td_zone_load (const char *name, GError **error);

G_END_DECLS
