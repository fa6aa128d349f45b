/* model-entry.h: the journal of a visit as rows: what was done, when, by whom. */
#pragma once

#include "core-visit.h"

#include <gio/gio.h>

G_BEGIN_DECLS

#define TD_TYPE_ENTRY_ITEM (td_entry_item_get_type ())
/* Properties: "seq" (uint), "kind" (string, its code), "title" (string, the kind in words), "person"
 * (string, name), "clock" (string, "06:10" as the person's clock showed), "date" (int, TdDate at the
 * person's clock), "late-s" (int64, seconds from happened to recorded, 0 where it was written down in
 * time), "corrected", "voided" (boolean: what stands here is as it was corrected, or does not count any
 * more). */
G_DECLARE_FINAL_TYPE (TdEntryItem, td_entry_item, TD, ENTRY_ITEM, GObject)

guint td_entry_item_get_seq (TdEntryItem *self);
/* As it stands corrected; as written where it was voided. (transfer none) */
const TdEntry *td_entry_item_get_entry (TdEntryItem *self);
const TdVisit *td_entry_item_get_visit (TdEntryItem *self);

/* Returns: (transfer full) (element-type TdEntryItem): a row for every entry, the newest first, each as it
 * stands corrected. Corrections have rows of their own. */
GListStore *td_entry_list_new (TdVisit *visit);

G_END_DECLS
