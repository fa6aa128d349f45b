/* core-plan-columns.h: the fewest circuits when they may be had in fractions, and what follows.
 *
 * The linear program over all circuits of a part, each column found when it is needed by
 * td_plan_find_heaviest().  Its prices make the best weights for a bound; its fractions show which
 * circuits a good plan holds. */
#pragma once

#include "core-plan-search.h"

G_BEGIN_DECLS

typedef struct
{
  GPtrArray *weights;   /* TdPlanWeights from the prices, in whole numbers of several fineness */
  TdPlanCount *circuits; /* counts by type, circuit after circuit */
  double *amounts;       /* by circuit: how often it is used, > 0 */
  guint n_circuits;
} TdPlanFractions;

/* @statics: so many lines are static at most; @packing: (nullable): a plan to begin with.
 * @work: steps of the programs that may be taken; takes what is left.
 * Returns: (transfer full) (nullable): NULL where the work is too much. */
TdPlanFractions *td_plan_find_fractions (const TdPlanPart *part,
                                         guint statics,
                                         const TdPlanPacking *packing,
                                         gint64 *work);
void td_plan_fractions_free (TdPlanFractions *fractions);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanFractions, td_plan_fractions_free)

G_END_DECLS
