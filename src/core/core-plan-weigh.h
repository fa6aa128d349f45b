/* core-plan-weigh.h: lower bounds on the number of circuits from weights of lines. */
#pragma once

#include "core-plan-search.h"

G_BEGIN_DECLS

/* However the lines but @statics of them are shared out among circuits, there are at least
 * ceil (the least weight that stays / the most that a circuit weighs) of them. */
guint td_plan_weigh_bound (const TdPlanPart *part, guint statics, const TdPlanWeights *weights);

/* The same before it is rounded up. */
double td_plan_weigh_ratio (const TdPlanPart *part, guint statics, const gint64 *weights, gint64 most);

/* The bound with the loss as weight and the capacity as the most: no program needed. */
guint td_plan_loss_bound (const TdPlanPart *part, guint statics);

/* Tries weights that step with the loss: every line counts as many whole parts of the capacity as its
 * loss holds, for parts of a half, a third, ... and every line one.  Such steps tell when circuits
 * cannot be filled to the brim.  Sets the most of each by td_plan_find_heaviest().
 * Returns: (transfer full): TdPlanWeights, the best bound first, at most @n of them. */
GPtrArray *td_plan_weigh_steps (const TdPlanPart *part, guint statics, guint n);

G_END_DECLS
