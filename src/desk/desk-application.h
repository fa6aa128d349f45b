/* desk-application.h: the program: one instance, one window, one book at a time. */
#pragma once

#include "desk-window.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_APPLICATION (td_application_get_type ())
/* Command line: `--book FILE`, or FILE. Without one the book used last, else the standard one if there is
 * one, else the start page.
 * Actions: "app.preferences", "app.about", "app.quit", "app.show-visit" (s: its id). */
G_DECLARE_FINAL_TYPE (TdApplication, td_application, TD, APPLICATION, GtkApplication)

/* @flags: G_APPLICATION_NON_UNIQUE for tests. */
TdApplication *td_application_new (GApplicationFlags flags);
/* For tests, before it is started: the state file (NULL: the user's) and the moment at which all clocks
 * stand (0: they run). */
void td_application_set_test (TdApplication *self, const char *state_path, gint64 pinned_ms);
/* The window, made where there is none. (transfer none) */
TdWindow *td_application_get_window (TdApplication *self);

G_END_DECLS
