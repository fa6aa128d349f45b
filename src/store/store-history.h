/* store-history.h: when the lines of a site last had what is done in long intervals. */
#pragma once

#include "core-visit.h"
#include "store-book.h"

G_BEGIN_DECLS

/* Tasks of visit_task besides those of the round. */
#define TD_HISTORY_FOB "fob"
#define TD_HISTORY_COUPLER "coupler"

/* What other visits did at the site, for a visit of it; one that it amends is no other.
 * @visit_key, @amends_key: 0 for none. Within a transaction.
 * Returns: (transfer full): one for each outlet of @site, or NULL with a TD_BOOK_ERROR. */
TdLineHistory *td_history_read (TdBook *book, gint64 site_key, const TdSite *site, gint64 visit_key, gint64 amends_key,
                                GError **error);

G_END_DECLS
