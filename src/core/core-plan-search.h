/* core-plan-search.h: is there a plan of a part with so many static lines, circuits and reversals?
 *
 * An exhaustive search that always places the free line of the greatest loss: into a circuit, or, last
 * of all, static.  Circuits come in a fixed order (the next line by rank in before out), so that the
 * plan found is the first of a total order on plans, however far the search was cut short by bounds:
 * bounds cut only where no plan is. */
#pragma once

#include "core-plan-part.h"

G_BEGIN_DECLS

/* Weights of lines, by type, and the most that any circuit weighs. */
typedef struct
{
  gint64 *weights; /* by type, >= 0 */
  gint64 most;
} TdPlanWeights;

TdPlanWeights *td_plan_weights_new (guint n_types);
void td_plan_weights_free (TdPlanWeights *weights);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanWeights, td_plan_weights_free)

typedef struct
{
  guint statics;      /* at most so many */
  guint circuits;
  guint reversals;
  gint64 capacity_um; /* at most the part's own */
  gboolean elementary; /* only circuits that touch every place once */
  const GPtrArray *weights; /* TdPlanWeights to cut by */
  const TdPlanCount *free;  /* lines to be placed, by type; NULL for all of the part's */
} TdPlanQuestion;

typedef enum
{
  TD_PLAN_FOUND,
  TD_PLAN_NONE,   /* there is no such plan */
  TD_PLAN_UNKNOWN /* the budget ran out */
} TdPlanAnswer;

/* @budget: steps that may be taken; takes what is left.  @packing_out: takes the plan where there is one.
 */
TdPlanAnswer td_plan_search (const TdPlanPart *part,
                             const TdPlanQuestion *question,
                             gint64 *budget,
                             TdPlanPacking **packing_out);

G_END_DECLS
