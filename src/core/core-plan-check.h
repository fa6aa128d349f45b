/* core-plan-check.h: is a plan possible at its site? */
#pragma once

#include "core-plan-problem.h"
#include "core-plan.h"

G_BEGIN_DECLS

typedef enum
{
  TD_PLAN_FAULT_UNKNOWN,   /* an id that the site does not have */
  TD_PLAN_FAULT_TWICE,     /* a line that stands in two places of the plan */
  TD_PLAN_FAULT_MISSING,   /* a faucet of the site that the plan forgets */
  TD_PLAN_FAULT_SIDE,      /* a side faucet as a leg: it can only be held static */
  TD_PLAN_FAULT_ONE_WAY,   /* a line run in through a one-way part */
  TD_PLAN_FAULT_REVERSAL,  /* a lever to be set where none is, or not set where it must be */
  TD_PLAN_FAULT_TOWER,     /* not as many legs in as out at a tower */
  TD_PLAN_FAULT_COOLER,    /* the same at a cooler */
  TD_PLAN_FAULT_APART,     /* legs that do not hang together */
  TD_PLAN_FAULT_ORDER,     /* legs that hang together, but not in the order given */
  TD_PLAN_FAULT_STATION,   /* a pump that stands where the circuit neither begins nor ends */
  TD_PLAN_FAULT_FLOW,      /* less than the least flow */
  TD_PLAN_FAULT_PRESSURE,  /* more than the greatest pressure */
  TD_PLAN_FAULT_FEED       /* a static line fed by a circuit that does not touch its cooler */
} TdPlanFaultCode;

/* What is wrong with a plan. */
typedef struct
{
  TdPlanFaultCode code;
  guint circuit;    /* number, 0 where it concerns none */
  const char *line; /* id of the outlet it concerns, NULL where it concerns none; interned */
  char *text;       /* a sentence that names the place and the remedy */
} TdPlanFault;

void td_plan_fault_free (TdPlanFault *fault);

/* Checks a whole plan, also one made by hand.  @model: of the same site.
 * Returns: (transfer full): TdPlanFault in the order of the plan; empty where the plan is possible. */
GPtrArray *td_plan_check (const TdSite *site, const TdLegModel *model, const TdPlan *plan);

/* Checks a set of lines as one circuit while it is being put together; their order does not matter, nor
 * how they run.  @lines: indices into the site's lines.
 * Returns: (transfer full): TdPlanFault; empty where the lines can be run as one circuit. */
GPtrArray *td_plan_check_lines (const TdSite *site,
                                const TdLegModel *model,
                                const guint *lines,
                                guint n_lines);

/* The same for a problem with its pins: a reversible line that may not be reversed counts as one-way, a
 * pinned station has to be touched. */
GPtrArray *td_plan_problem_check_lines (const TdPlanProblem *problem,
                                        const TdSite *site,
                                        const guint *lines,
                                        guint n_lines);

G_END_DECLS
