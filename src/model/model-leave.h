/* model-leave.h: before one walks away from a bar: does every tag hang, is every faucet shut, do the clocks run. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

typedef struct
{
  guint tower;
  gboolean tagged;  /* a tag hangs on every static faucet there that holds chemical, and none is lifted */
  gboolean shut;    /* each of them was said to be shut */
  gboolean running; /* the contact of each is counted, or has ended */
} TdLeave;

/* Returns: (transfer full): TdLeave: of each tower where chemical stands behind a static faucet, or where a tag is
 * lifted, in the site's order. */
GArray *td_visit_get_leaves (const TdVisit *visit);
gboolean td_leave_is_safe (const TdLeave *leave);
/* "Tower B: ✓ tagged  ✓ shut  ✗ clock runs". (transfer full) */
char *td_leave_to_words (const TdLeave *leave, const TdVisit *visit);

G_END_DECLS
