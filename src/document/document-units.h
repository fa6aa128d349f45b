/* document-units.h: figures as people of one system of units write them.
 *
 * Nothing is ever stored in them.  All functions return (transfer full) texts; a figure that is
 * TD_NONE gives "–".  Numbers carry a decimal point whatever the locale: a report is a record, and
 * its figures have to read the same everywhere. */
#pragma once

#include "core-units.h"

G_BEGIN_DECLS

/* A moment or a figure that is not known. */
#define TD_NONE G_MININT64

typedef TdUnitSystem TdUnits;

/* "metric", "us". */
gboolean td_units_from_text (const char *text, TdUnits *units_out);

/* 536 -> "536 mL", "18.1 fl oz (536 mL)"; from 1,000 mL on "20.0 L", "5.28 gal (20.0 L)". The
 * gallon is 3785.411784 mL, the fluid ounce a 128th of it (NIST Handbook 44, appendix C). */
char *td_units_volume (TdUnits units, gint64 ml);
/* 40000 (0.001 C) -> "40.0 °C", "104.0 °F". */
char *td_units_temperature (TdUnits units, gint64 c_milli);
/* 96500 (Pa, gauge) -> "0.97 bar", "14.0 psi". 1 psi = 6894.757 Pa (NIST Handbook 44, appendix C).
 */
char *td_units_pressure (TdUnits units, gint64 pa);
/* 3785 (mL/min) -> "3.8 L/min", "1.00 gal/min". */
char *td_units_flow (TdUnits units, gint64 ml_min);
/* 850 (mm/s) -> "0.85 m/s", "2.79 ft/s". */
char *td_units_velocity (TdUnits units, gint64 mm_s);
/* 3549 (mL/min) -> "59 mL/s", "2.00 fl oz/s". */
char *td_units_pour_rate (TdUnits units, gint64 ml_min);

/* 7420 (0.001 pH) -> "7.42"; whole and half units, as strips give them, "7.0" and "7.5". */
char *td_figure_ph (gint64 ph_milli);
/* 2000 (0.001 %) -> "2.00 %". */
char *td_figure_percent (gint64 percent_milli);
/* Seconds, rounded down before: 1265 -> "21:05"; 3662 -> "61:02". */
char *td_figure_minutes (gint64 seconds);

G_END_DECLS
