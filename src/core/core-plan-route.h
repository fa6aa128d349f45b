/* core-plan-route.h: the legs of a circuit in order. */
#pragma once

#include "core-plan-problem.h"

G_BEGIN_DECLS

typedef struct
{
  guint line; /* of the problem */
  gboolean runs_in;
  gboolean reversal;
} TdPlanStep;

/* Decides which lines of a circuit run in, with the fewest reversals, and the order of its legs: an Euler
 * circuit from the pump's place and back to it that takes lines as early in @rank as it can.
 * @lines: a set that is balanced and hangs together; @station: a node that it touches (a tower, or the
 * number of towers plus a cooler); @rank: by line of the problem, no two alike.
 * @steps_out: room for @n_lines steps. */
void td_plan_route (const TdPlanProblem *problem,
                    const guint *lines,
                    guint n_lines,
                    guint station,
                    const guint *rank,
                    TdPlanStep *steps_out);

G_END_DECLS
