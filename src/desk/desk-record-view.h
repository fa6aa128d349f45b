/* desk-record-view.h: the record of a visit: what the rules find beside what was done, act by act. */
#pragma once

#include "desk-session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_RECORD_VIEW (td_record_view_get_type ())
/* Signal "entry-chosen" (uint seq): an act of the timeline was activated. */
G_DECLARE_FINAL_TYPE (TdRecordView, td_record_view, TD, RECORD_VIEW, GtkWidget)

GtkWidget *td_record_view_new (void);
/* Shows the visit and follows its changes. @session: (nullable). */
void td_record_view_set_session (TdRecordView *self, TdSession *session);

G_END_DECLS
