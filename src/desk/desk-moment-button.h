/* desk-moment-button.h: when something happened: "Now", or a day and a time set by hand. */
#pragma once

#include "core-time.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_MOMENT_BUTTON (td_moment_button_get_type ())
/* Property "utc-ms" (int64): 0 is now, when it is asked. Property "prefix" (string, nullable): words before
 * the time: "Happened". */
G_DECLARE_FINAL_TYPE (TdMomentButton, td_moment_button, TD, MOMENT_BUTTON, GtkWidget)

/* @zone: (nullable): whose clocks the person reads; NULL is UTC. @now_ms: where the calendar opens. */
void td_moment_button_set_clock (TdMomentButton *self, TdZone *zone, gint64 now_ms);
gint64 td_moment_button_get_utc_ms (TdMomentButton *self);
void td_moment_button_set_utc_ms (TdMomentButton *self, gint64 utc_ms);

/* The moment at which clocks in @zone (nullable: UTC) show that civil time; of a time that is skipped or
 * shown twice, one that is at most an hour off. Any thread. */
gint64 td_zone_make_utc_ms (TdZone *zone, TdDate date, int hour, int minute);

G_END_DECLS
