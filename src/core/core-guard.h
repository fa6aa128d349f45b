/* core-guard.h: what is missing before an act, told before it is done.
 *
 * The wizard asks the guard and holds the act back; the journal never does: what happened is always
 * recordable. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

typedef struct
{
  char *text;   /* what is missing, with its place: "Tag on Bar B 6 is not hung" */
  TdKind remedy; /* the act that would mend it */
  int outlet;   /* whose, or -1 */
  int circuit;  /* or 0 */
} TdMissing;

void td_missing_free (TdMissing *missing);
/* What stands in the way of @kind for these lines or this circuit (0: none; @outlets may be NULL).
 * Kinds without a guard give an empty list. Returns: (transfer full) (element-type TdMissing). */
GPtrArray *td_guard_ask (const TdVisit *visit, TdKind kind, int circuit, const guint *outlets, gsize n_outlets);

G_END_DECLS
