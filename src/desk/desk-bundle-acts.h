/* desk-bundle-acts.h: bundles in the window: "win.write-bundle", "win.read-bundle", "win.exchange" (reads what lies in
 * the folder that carries bundles and writes the book's own into it), "win.choose-bundle-folder"; and
 * "win.day-sheets", the sheets of today for every technician. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

void td_bundle_acts_install (GtkWidgetClass *klass);
void td_bundle_acts_update (GtkWidget *window, TdContext *context);

/* The second halves. @window: a TdWindow, which says how it went. */
void td_bundle_acts_write (GtkWidget *window, const char *path);
void td_bundle_acts_read (GtkWidget *window, const char *path);
void td_bundle_acts_day_sheets (GtkWidget *window, const char *path);

/* Watches the folder of the setting "bundle-folder" while a book is open, and takes in what comes; says so where it
 * is news. Ends with the window. */
void td_bundle_acts_watch (GtkWidget *window);

G_END_DECLS
