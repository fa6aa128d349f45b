/* core-plan-solve.h: the best plan of a part, with what is proven about it. */
#pragma once

#include "core-plan-search.h"

G_BEGIN_DECLS

/* How a bound was shown; each can be checked again by other means. */
typedef enum
{
  TD_PLAN_PROOF_BALANCE,  /* balance at towers and coolers alone asks for it */
  TD_PLAN_PROOF_MATCHING, /* greatest matchings of pairs, less the lines that rings over several towers and
                             coolers can hold */
  TD_PLAN_PROOF_LOSS,     /* the lines together lose so many times what the pump gives */
  TD_PLAN_PROOF_WEIGHTS,  /* weights of lines of which no circuit holds more than so much */
  TD_PLAN_PROOF_SEARCH    /* everything less was searched in vain */
} TdPlanProof;

typedef struct
{
  TdPlanPacking *packing;
  guint bounds[3];       /* static lines; circuits with no more static lines; reversals with no more of both */
  TdPlanProof proofs[3]; /* of the bounds */
  GPtrArray *weights;    /* TdPlanWeights that were used for bounds, the one that proves first */
  guint tier;            /* the circuits use at most so many tenths of the pump's head */
} TdPlanSolution;

/* Steps of search for a whole site. */
#define TD_PLAN_BUDGET 24000000

/* @budget: steps that may be taken; takes what is left.
 * Returns: (transfer full): the best plan found; the same for the same part. */
TdPlanSolution *td_plan_solve (const TdPlanPart *part, gint64 *budget);
/* The fewest static lines alone.  @known_out: whether the number is certain. */
guint td_plan_solve_statics (const TdPlanPart *part, gint64 *budget, gboolean *known_out);
void td_plan_solution_free (TdPlanSolution *solution);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanSolution, td_plan_solution_free)

G_END_DECLS
