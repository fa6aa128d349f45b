/* core-plan-figures.h: flow, pressure, volume and time of a plan's circuits. */
#pragma once

#include "core-leg.h"
#include "core-plan.h"

G_BEGIN_DECLS

/* The flow in L/min at which the pump's head is what the lines lose in series, elevations cancelling
 * because the return ends in the bucket; NAN where a line's loss is not known at every flow.
 * @lines: of the site. */
double td_plan_get_flow_l_min (const TdLegModel *model, const guint *lines, guint n_lines);

/* Fills in the figures of a plan whose circuits and static lines are set, and its warnings.  The plan must
 * be possible at the site.  Volumes are always known; what depends on flow is NAN for a circuit with a
 * line whose sheet gives only head_loss_m.  @settings: (nullable): NULL for the defaults. */
void td_plan_fill_figures (TdPlan *plan,
                           const TdSite *site,
                           const TdLegModel *model,
                           const TdSettings *settings);

G_END_DECLS
