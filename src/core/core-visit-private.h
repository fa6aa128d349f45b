/* core-visit-private.h: making the value that the fold fills. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

/* An empty visit at the site; @n_entries of @entries are taken. (transfer full) */
TdVisit *td_visit_new (const TdVisitContext *context, const GPtrArray *entries, guint n_entries);

G_END_DECLS
