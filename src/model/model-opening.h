/* model-opening.h: the bar must open now: what holds chemical, and in which order it is flushed most
 * safely. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

/* Lines that are flushed together: static faucets of a tower, or a circuit. */
typedef struct
{
  int circuit;     /* 0: static lines */
  GArray *outlets; /* guint */
  char *title;     /* "Tower B 6", "Circuit 1: Tower A 2, 4" */
  char *why;       /* why it stands where it stands, one sentence */
} TdFlush;

void td_flush_free (TdFlush *flush);

/* Static lines first, those whose outlet has no hanging tag before the others: their faucets are what
 * staff could open; then circuits, whose pH must be read after the static lines were flushed through the
 * joint anyway [common practice, no source].
 * Returns: (transfer full) (element-type TdFlush): empty where no line holds chemical. */
GPtrArray *td_visit_get_flush_order (const TdVisit *visit);
/* Lines that cannot pour yet though they hold no chemical: rinsed or still apart. (transfer full): guint. */
GArray *td_visit_get_not_pouring (const TdVisit *visit);

G_END_DECLS
