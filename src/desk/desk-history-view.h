/* desk-history-view.h: how a line of a site did from visit to visit: four small charts, their figures in a
 * table beside them, and what was to be followed up. */
#pragma once

#include "core-site.h"
#include "model-history.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_HISTORY_VIEW (td_history_view_get_type ())
/* Activates "win.show-visit" where a visit is chosen. */
G_DECLARE_FINAL_TYPE (TdHistoryView, td_history_view, TD, HISTORY_VIEW, GtkWidget)

GtkWidget *td_history_view_new (void);
/* @history: (transfer full). The line that was looked at stays, where the site still has it. */
void td_history_view_set_history (TdHistoryView *self, TdSite *site, TdHistory *history);
/* Shows a line by its place among the outlets. */
void td_history_view_choose (TdHistoryView *self, guint outlet);

G_END_DECLS
