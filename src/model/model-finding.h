/* model-finding.h: what the rules find in a visit, as rows. */
#pragma once

#include "core-rule.h"

#include <gio/gio.h>

G_BEGIN_DECLS

#define TD_TYPE_FINDING_ITEM (td_finding_item_get_type ())
/* Properties: "severity" (int, a TdSeverity), "text", "place", "code", "reason" (strings; "place" is NULL
 * for the whole visit, "reason" where none is given), "outlet" (int, -1: none), "circuit" (int, 0: none). */
G_DECLARE_FINAL_TYPE (TdFindingItem, td_finding_item, TD, FINDING_ITEM, GObject)

TdFindingItem *td_finding_item_new (const TdVisit *visit, const TdFinding *finding);
/* The finding's code and outlet, for the entry that gives a reason. */
const char *td_finding_item_get_code (TdFindingItem *self);
int td_finding_item_get_outlet (TdFindingItem *self);
TdSeverity td_finding_item_get_severity (TdFindingItem *self);
gboolean td_finding_item_has_reason (TdFindingItem *self);

/* Returns: (transfer full) (element-type TdFindingItem): in the order of @findings (element-type
 * TdFinding). */
GListStore *td_finding_list_new (const TdVisit *visit, const GPtrArray *findings);

G_END_DECLS
