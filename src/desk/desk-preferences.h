/* desk-preferences.h: the window of preferences: units, paper, light or dark. */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_PREFERENCES (td_preferences_get_type ())
/* Actions "preferences.units", "preferences.paper", "preferences.appearance": string states, the nicks of the
 * schema. */
G_DECLARE_FINAL_TYPE (TdPreferences, td_preferences, TD, PREFERENCES, GtkWindow)

GtkWidget *td_preferences_new (GSettings *settings);

G_END_DECLS
