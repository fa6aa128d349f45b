/* store-project.h: the projections: tables that lists, the round and the accounts read, and that follow
 * from the journal and the sheets alone. */
#pragma once

#include "store-state.h"

G_BEGIN_DECLS

/* Raised whenever a projection's columns or meaning change: a book with another version makes them all
 * again when it is opened. */
#define TD_PROJECTIONS_VERSION 3

/* All of these stand within a write. */

/* Writes what follows from a visit in place of what stood there. */
gboolean td_project_visit (TdBook *book, const TdVisitState *state, GError **error);
/* The same. @tasks_out: TRUE where it now tells otherwise of what was done on the lines, which other visits of the
 * site look at. */
gboolean td_project_visit_noting (TdBook *book, const TdVisitState *state, gboolean *tasks_out, GError **error);
/* Only the visit's row of the list. */
gboolean td_project_visit_row (TdBook *book, const TdVisitState *state, GError **error);
/* Writes the faucets of a site as its newest sheet has them. */
gboolean td_project_site (TdBook *book, gint64 site_key, GError **error);
/* Findings of open visits rest on master data and settings: to be called when those change. */
gboolean td_project_open_visits (TdBook *book, GError **error);

/* What earlier visits did is part of what the rules find in open ones: to be called for the site of a visit
 * after that visit was written; @state: which is left out. */
gboolean td_project_other_visits (TdBook *book, const TdVisitState *state, GError **error);

/* Makes all projections again, in a write of its own. */
gboolean td_project_rebuild (TdBook *book, GError **error);

/* Compares what stands in the tables with what follows from the visit. @difference_out: (transfer full):
 * NULL where all is the same, else a sentence that names table, row and column. FALSE only where it
 * cannot be read. Within a transaction. */
gboolean td_project_compare_visit (TdBook *book, const TdVisitState *state, char **difference_out,
                                   GError **error);
gboolean td_project_compare_site (TdBook *book, gint64 site_key, char **difference_out, GError **error);

G_END_DECLS
