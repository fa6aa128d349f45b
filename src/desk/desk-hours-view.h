/* desk-hours-view.h: the hours of a plan as bars, to be looked at. */
#pragma once

#include "core-plan-outlook.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_HOURS_VIEW (td_hours_view_get_type ())
/* As high as its rows ask for at the width it is given.  The palette follows the window. */
G_DECLARE_FINAL_TYPE (TdHoursView, td_hours_view, TD, HOURS_VIEW, GtkWidget)

/* Shows @outlook of a plan of @site; both are only read now.  @outlook: (nullable): NULL shows nothing.
 * @words: what the bars say to those who do not see them. */
void td_hours_view_set_outlook (TdHoursView *self, TdSite *site, const TdPlanOutlook *outlook, const char *words);

G_END_DECLS
