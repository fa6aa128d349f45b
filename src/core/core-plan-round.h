/* core-plan-round.h: plans made of the circuits that fractions favour. */
#pragma once

#include "core-plan-columns.h"

G_BEGIN_DECLS

/* Takes the circuits that are used most, so far as lines are left for them, and searches for the rest;
 * then again with more left to the search.
 * @question: limits and weights as for td_plan_search(); @budget: steps that may be taken, takes what is
 * left.  Returns: (transfer full) (nullable): a plan within the limits, or NULL where none was found. */
TdPlanPacking *td_plan_round (const TdPlanPart *part,
                              const TdPlanFractions *fractions,
                              const TdPlanQuestion *question,
                              gint64 *budget);

G_END_DECLS
