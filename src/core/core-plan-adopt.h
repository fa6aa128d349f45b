/* core-plan-adopt.h: a plan as the journal's entry "plan adopted". */
#pragma once

#include "core-plan-outlook.h"

G_BEGIN_DECLS

/* Longest certificate that an entry carries, bytes; one of 24 lines has a tenth of it. */
#define TD_ADOPTION_MAX_CERTIFICATE 65536

/* The body of plan-adopted: the plan, what is expected of its circuits, its minutes and, where the planner
 * made it, its certificate with the hash of the certificate's canonical bytes (the hash alone where it is
 * longer than TD_ADOPTION_MAX_CERTIFICATE).
 * @outlook: (nullable): of the same plan; @by_hand: circuits were made by hand.  Returns: (transfer full). */
TdJson *td_plan_to_adoption (const TdPlan *plan, const TdPlanOutlook *outlook, gboolean by_hand);

G_END_DECLS
