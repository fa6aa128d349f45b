/* model-master.h: a row of master data in a list. */
#pragma once

#include "core-time.h"
#include "model-form-type.h"

#include <gio/gio.h>

G_BEGIN_DECLS

#define TD_TYPE_MASTER_ITEM (td_master_item_get_type ())
/* Read-only properties: "title", "summary" (string); "retired" (boolean); "warning" (string): that a
 * certificate, a calibration or a lot has run out or soon will, NULL where nothing presses; "late" (boolean):
 * it has run out. */
G_DECLARE_FINAL_TYPE (TdMasterItem, td_master_item, TD, MASTER_ITEM, GObject)

/* How long before it runs out a thing is pointed at, days. Common practice, no source. */
#define TD_MASTER_WARN_DAYS 30

/* @json: of the row. @today: where the reader is. */
TdMasterItem *td_master_item_new (const TdFormType *type,
                                  const char *id,
                                  guint rev,
                                  gboolean retired,
                                  TdJson *json,
                                  TdDate today,
                                  const TdUnitStyle *style);
const char *td_master_item_get_id (TdMasterItem *self);
guint td_master_item_get_rev (TdMasterItem *self);
gboolean td_master_item_get_retired (TdMasterItem *self);
TdJson *td_master_item_get_json (TdMasterItem *self);
/* TRUE where every word of @search is found in title, summary or id, whatever the case. */
gboolean td_master_item_matches (TdMasterItem *self, const char *search);

G_END_DECLS
