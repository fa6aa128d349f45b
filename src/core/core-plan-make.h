/* core-plan-make.h: the best plan for a site.
 *
 * Fewest static lines first (static is the weaker clean), then fewest circuits, then fewest reversals.
 * Among plans equal in all three the order is fixed, so that a site has one plan however its sheet is
 * ordered: in each part of the site that hangs together first the plan whose fullest circuit stays within
 * the fewest tenths of the pump's head; then, lines ranked from the greatest loss to the least (equal ones
 * by tower, cooler, kind and id), the plan that puts the first line in rank into the circuit that takes
 * the lines next in rank first, and so on with the first line not yet placed, a circuit before static.
 * Where a part is too large to be searched to the end within a fixed number of steps, the plan is the
 * best that a fixed procedure finds, the bound says how far from the best it can be, and it is the same
 * for a shuffled sheet, too.  There is no clock in any of it. */
#pragma once

#include "core-plan-pins.h"
#include "core-plan.h"
#include "core-settings.h"
#include "core-site.h"

G_BEGIN_DECLS

/* Plans a site with the default settings.  @pins: (nullable).
 * Returns: (transfer full): the plan, or NULL with TD_ERROR_RANGE (a figure of the sheet outside what can
 * be computed), TD_ERROR_REFERENCE or TD_ERROR_INFEASIBLE (a pin that cannot be kept, named). */
TdPlan *td_plan_make (const TdSite *site, const TdPlanPins *pins, GError **error);

/* The same with settings of the company or the site.  @settings: (nullable): NULL for the defaults. */
TdPlan *td_plan_make_with (const TdSite *site,
                           const TdSettings *settings,
                           const TdPlanPins *pins,
                           GError **error);

G_END_DECLS
