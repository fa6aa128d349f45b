/* desk-export.h: the window's actions that write files for other programs.
 *
 * "win.export" (s: the name of a table of td_export_to_text(), or "sheets") and "win.export-invoice" (s: the
 * number of an issued invoice, written as an electronic one).  Both ask where to; a table with days and its kind of
 * file are asked for in the same question. */
#pragma once

#include "desk-context.h"
#include "desk-export-job.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Adds the actions to the window's class. */
void td_export_acts_install (GtkWidgetClass *klass);
/* Enables them where a book is open. */
void td_export_acts_update (GtkWidget *window, TdContext *context);

/* The half without the asking. @window: a TdWindow, which says how it went. @job: (transfer full). */
void td_export_acts_run (GtkWidget *window, TdExportJob *job);

G_END_DECLS
