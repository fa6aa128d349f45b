/* store-setting.h: the settings that hold for a site, within a transaction. */
#pragma once

#include "core-settings.h"
#include "core-site.h"
#include "store-book.h"

G_BEGIN_DECLS

/* @site_key: 0 for the company alone. @site: (nullable): whose sheet may give the interval itself.
 * Returns: (transfer full): the settings, or NULL with a TD_BOOK_ERROR. */
TdSettings *td_settings_read (TdBook *book, gint64 site_key, const TdSite *site, GError **error);

G_END_DECLS
