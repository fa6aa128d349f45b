/* core-plan-memo.h: a table of states that were searched in vain. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Keys of one fixed size, each with the greatest number put with it.  When the table is full it keeps
 * what it has and takes nothing more: it only saves work, so that answers do not depend on its size. */
typedef struct _TdPlanMemo TdPlanMemo;

/* @key_size: bytes; @max_entries: when it is full. */
TdPlanMemo *td_plan_memo_new (guint key_size, guint max_entries);
void td_plan_memo_free (TdPlanMemo *memo);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanMemo, td_plan_memo_free)

/* Returns the number put with @key, or -1. */
int td_plan_memo_get (const TdPlanMemo *memo, gconstpointer key);
/* @value >= 0; a smaller one than is there already changes nothing. */
void td_plan_memo_put (TdPlanMemo *memo, gconstpointer key, int value);

G_END_DECLS
