/* store-site-import.h: site sheets into the book, within a write. */
#pragma once

#include "store-master.h"

G_BEGIN_DECLS

/* What a sheet must say to be kept: account, site, a zone that the machine knows. */
gboolean td_site_check (const TdSite *site, GError **error);
/* Keeps the sheet as a new version of the site of that slug, or where @slug is NULL of the account's site of
 * that name, a new one where there is none.  The account is made where it is new. @import: filled, to be
 * cleared. */
gboolean td_site_put (TdBook *book, const char *slug, const TdSite *site, gboolean retired, TdSiteImport *import,
                      GError **error);

G_END_DECLS
