/* core-plan-certify.h: what an independent checker needs to see that a plan's bounds hold. */
#pragma once

#include "core-plan-pins.h"
#include "core-plan-solve.h"

G_BEGIN_DECLS

#define TD_CERTIFICATE_FORMAT "tundish-certificate/1"

/* Writes down the numbers that were reckoned with and, part by part, every bound with its reason.
 * @alone: guint, lines that are in no circuit whatever the plan; @parts: TdPlanPart; @solutions:
 * TdPlanSolution, one by part; @pins: (nullable).
 * Returns: (transfer full): the certificate. */
TdJson *td_plan_certify (const TdSite *site,
                         const TdLegModel *model,
                         const TdPlanProblem *problem,
                         const TdPlanPins *pins,
                         const GArray *alone,
                         const GPtrArray *parts,
                         const GPtrArray *solutions);

G_END_DECLS
