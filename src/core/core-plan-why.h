/* core-plan-why.h: why a line is static, and why a lever has to be set.
 *
 * A cause is what has to be otherwise for the plan to be better; it is found by planning again with the
 * cause taken away, so that a sentence is never a guess. */
#pragma once

#include "core-plan-problem.h"
#include "core-plan.h"

G_BEGIN_DECLS

/* Returns: (transfer full): the problem with the causes taken away from a line: it runs both ways, loses
 * next to nothing, has a line of the same kind beside it (the last one of the problem), the pump is free
 * to stand anywhere, the pressure is not limited. */
TdPlanProblem *td_plan_problem_without (const TdPlanProblem *problem, guint line, TdPlanCause causes);

/* Fills in cause and why of the static lines and of the legs with a reversal.  @site and @problem: as the
 * plan was made; @statics_known: no plan has fewer static lines. */
void td_plan_explain (TdPlan *plan,
                      const TdSite *site,
                      const TdPlanProblem *problem,
                      gboolean statics_known);

G_END_DECLS
