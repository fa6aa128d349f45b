/* core-json-write.h: numbers and texts as JSON writes them, free of locale. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Appends the shortest decimal text that reads back as the same double: plain digits where
 * 1e-6 <= |value| < 1e16, otherwise with an exponent.  A whole number has no decimal point; -0.0 is
 * "-0.0".  @value: finite. */
void td_json_append_real (GString *text, double value);

/* The double nearest to @value written with @decimals (0..15) digits after the point, where printf's
 * rounding of the exact binary value decides (a tie goes to the even digit).  @value: finite. */
double td_json_round (double value, int decimals);

/* Appends @value in quotes, escaping what RFC 8259 requires and nothing else.  @value: UTF-8. */
void td_json_append_string (GString *text, const char *value);

G_END_DECLS
