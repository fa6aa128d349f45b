/* desk-period.h: the choice of a period: this month, last year, or any two days. */
#pragma once

#include "core-time.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_PERIOD (td_period_get_type ())
/* Signal "changed". Property "choice" (uint): place in the list of periods. */
G_DECLARE_FINAL_TYPE (TdPeriod, td_period, TD, PERIOD, GtkWidget)

GtkWidget *td_period_new (void);
/* Must be said before anything is asked. */
void td_period_set_today (TdPeriod *self, TdDate today);
TdDate td_period_get_from (TdPeriod *self);
TdDate td_period_get_to (TdPeriod *self);

G_END_DECLS
