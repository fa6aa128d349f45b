/* core-time-private.h: reading the parts that dates and moments share. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Each moves *@at behind what it read and returns TRUE, or returns FALSE with *@at anywhere. */
/* Exactly @count decimal digits. */
gboolean td_time_read_digits (const char **at, int count, int *value_out);
gboolean td_time_read_char (const char **at, char character);
/* "2026-03-02"; whether there is such a day is not looked at. */
gboolean td_time_read_date (const char **at, int *year_out, int *month_out, int *day_out);

G_END_DECLS
