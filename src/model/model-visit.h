/* model-visit.h: one visit in a list, and its row. */
#pragma once

#include "core-time.h"
#include "core-uuid.h"
#include "model-row.h"

G_BEGIN_DECLS

/* What a list shows of a visit.  Immutable after td_visit_brief_new(); reference counted, any thread. */
typedef struct
{
  gint64 key;
  TdUuid id;
  char *number; /* report number, NULL while open */
  char *account;
  char *site;
  char *person; /* who arrived */
  TdDate date;  /* of the arrival, at the site */
  gboolean closed;
  gboolean amended; /* a newer visit stands for it */
  gboolean amends;  /* it stands for an older one */
  guint entries;
  guint stops, reasons, advice; /* findings by severity */
} TdVisitBrief;

/* Takes copies of the strings of @template. */
TdVisitBrief *td_visit_brief_new (const TdVisitBrief *template_);
TdVisitBrief *td_visit_brief_ref (TdVisitBrief *brief);
void td_visit_brief_unref (TdVisitBrief *brief);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdVisitBrief, td_visit_brief_unref)

#define TD_TYPE_VISIT_ITEM (td_visit_item_get_type ())
/* Properties: "id", "number", "account", "site", "person" (strings), "date" (int, a TdDate), "closed",
 * "amended", "amends" (boolean), "entries", "stops", "reasons", "advice" (uint). */
G_DECLARE_FINAL_TYPE (TdVisitItem, td_visit_item, TD, VISIT_ITEM, TdRow)

G_END_DECLS
