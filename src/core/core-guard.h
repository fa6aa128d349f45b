/* core-guard.h: what is missing before an act, told before it is done.
 *
 * The wizard asks the guard and holds the act back; the journal never does: what happened is always
 * recordable. */
#pragma once

#include "core-rule.h"
#include "core-visit.h"

G_BEGIN_DECLS

/* An act that somebody is about to do. */
typedef struct
{
  TdKind kind;
  int circuit;          /* whole circuit, or 0 */
  const guint *outlets; /* single lines, where circuit is 0; may be NULL */
  gsize n_outlets;
  const char *tag;    /* of tag-lifted and tag-removed; NULL: every tag that hangs on the lines */
  const char *person; /* who would do it; NULL where not known */
  gint64 now_ms;      /* UTC ms on the screen's clock, for what still runs */
} TdGuardQuestion;

typedef struct
{
  char *text;   /* what is missing, with its place: "Tag on Tower B 6 is not hung" */
  TdKind remedy; /* the act that would mend it; the very act that was asked for: wait */
  int outlet;   /* whose, or -1 */
  int circuit;  /* or 0 */
  gboolean advice; /* worth knowing; does not hold the act back */
} TdMissing;

void td_missing_free (TdMissing *missing);
/* What stands in the way of the act. Kinds without a guard give an empty list; so does an act without
 * lines that asks nothing of the visit as a whole.
 * Returns: (transfer full) (element-type TdMissing): with free func. */
GPtrArray *td_guard_ask (const TdVisit *visit, const TdGuardQuestion *question);

/* The act that mends a stop of that rule; a correction where only one of the past would. */
TdKind td_guard_find_remedy (TdRuleId rule);

G_END_DECLS
