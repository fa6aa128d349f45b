/* core-plan-build.h: a good plan of a part by a fixed procedure, however large the part. */
#pragma once

#include "core-plan-part.h"

G_BEGIN_DECLS

/* Decides first which lines are static and which run in (as few static ones as balance and, with one
 * cooler, pairs within the capacity allow, and the fewest reversals for that), so that whatever is taken
 * away in balance leaves the rest in balance.  Then makes, time and again, the fullest circuit that
 * holds the free line of the greatest loss.
 * Returns: (transfer full): the plan; nothing is proven about it. */
TdPlanPacking *td_plan_build (const TdPlanPart *part);

G_END_DECLS
