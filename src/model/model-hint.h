/* model-hint.h: what the tool says at once to figures that are being typed: band, verdict, caution. */
#pragma once

#include "core-units.h"
#include "core-visit.h"

G_BEGIN_DECLS

typedef enum
{
  TD_HINT_PLAIN, /* worth knowing */
  TD_HINT_GOOD,
  TD_HINT_OFF /* out of band or not plausible: it is recorded all the same, and a reason asked for */
} TdHintTone;

typedef struct
{
  TdHintTone tone;
  char *text; /* a sentence or two */
} TdHint;

void td_hint_free (TdHint *hint);
/* @body: object of what is filled in so far, in whatever state. @style: units to say figures in.
 * Returns: (transfer full) (element-type TdHint): with free func. */
GPtrArray *td_hints_new (const TdVisit *visit, TdKind kind, const TdJson *body, const TdUnitStyle *style);

G_END_DECLS
