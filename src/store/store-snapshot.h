/* store-snapshot.h: what a closing keeps of the book, so that the visit reads the same for ever. */
#pragma once

#include "store-state.h"

G_BEGIN_DECLS

#define TD_SNAPSHOT_FORMAT "tundish-snapshot/1"

/* @state: folded, closing entry included. @findings: TdFinding, what stands at closing.
 * Returns: (transfer full): an object of integers and strings: number, account, site, sheet hash,
 * company, every product, lot, person and instrument that an entry names, all settings, the rules'
 * version and what they found. */
TdJson *td_snapshot_build (const TdVisitState *state, const char *number, const GPtrArray *findings);

/* The masters and settings that a snapshot holds. FALSE with TD_BOOK_ERROR_DAMAGED where it does not
 * have the shape that td_snapshot_build() gives it. */
gboolean td_snapshot_read (const TdJson *snapshot, TdMasters **masters_out, TdSettings **settings_out,
                           GError **error);
/* What the lines had had before, by which what is due was found. Returns: (transfer full): one for each outlet of
 * @site; NULL for a snapshot of before it was kept. */
TdLineHistory *td_snapshot_read_history (const TdJson *snapshot, const TdSite *site);
/* Returns: (transfer full) (element-type TdFinding): as they stood; a rule that this program no longer
 * has is left out. */
GPtrArray *td_snapshot_get_findings (const TdJson *snapshot, const TdSite *site);
/* The report number, or NULL where the snapshot has none. */
const char *td_snapshot_get_number (const TdJson *snapshot);
/* The version of the rules that it was judged by, 0 where it has none. */
gint64 td_snapshot_get_rules_version (const TdJson *snapshot);
/* The hash of the sheet, or NULL. */
const char *td_snapshot_get_sheet (const TdJson *snapshot);

G_END_DECLS
