/* core-plan-figures.h: flow, pressure, volume and time of a plan's circuits. */
#pragma once

#include "core-leg.h"
#include "core-plan.h"

G_BEGIN_DECLS

/* Numbers that rise as people write them: "1, 2", "1–5, 8".  Returns: (transfer full). */
char *td_plan_write_ranges (const guint *numbers, guint n);

/* Fills in the figures of a plan whose circuits and static lines are set, and its warnings.  The plan must
 * be possible at the site.  Volumes are always known; what depends on flow is NAN for a circuit with a
 * line whose sheet gives only head_loss_m.  @settings: (nullable): NULL for the defaults. */
void td_plan_fill_figures (TdPlan *plan,
                           const TdSite *site,
                           const TdLegModel *model,
                           const TdSettings *settings);

G_END_DECLS
