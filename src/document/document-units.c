#include "document-units.h"

#define ML_PER_GALLON 3785.411784
#define ML_PER_FL_OZ (ML_PER_GALLON / 128.0)
#define PA_PER_PSI 6894.757
#define NOTHING "\xe2\x80\x93"

gboolean
td_units_from_text (const char *text, TdUnits *units_out)
{
  if (g_ascii_strcasecmp (text, "metric") == 0)
    *units_out = TD_UNITS_METRIC;
  else if (g_ascii_strcasecmp (text, "us") == 0)
    *units_out = TD_UNITS_US;
  else
    return FALSE;
  return TRUE;
}

/* @format: of one double, as "%.1f". */
static char *
format (const char *pattern, double value, const char *unit)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (buffer, sizeof buffer, pattern, value);
  return g_strdup_printf ("%s %s", buffer, unit);
}

char *
td_units_volume (TdUnits units, gint64 ml)
{
  g_autofree char *metric = NULL, *us = NULL;

  if (ml == TD_NONE)
    return g_strdup (NOTHING);
  metric = ml < 1000 ? format ("%.0f", (double)ml, "mL") : format ("%.2f", ml / 1000.0, "L");
  if (units == TD_UNITS_METRIC)
    return g_steal_pointer (&metric);
  us = ml < 1000 ? format ("%.1f", ml / ML_PER_FL_OZ, "fl oz")
                 : format ("%.2f", ml / ML_PER_GALLON, "gal");
  return g_strdup_printf ("%s (%s)", us, metric);
}

char *
td_units_temperature (TdUnits units, gint64 c_milli)
{
  if (c_milli == TD_NONE)
    return g_strdup (NOTHING);
  if (units == TD_UNITS_METRIC)
    return format ("%.1f", c_milli / 1000.0,
                   "\xc2\xb0"
                   "C");
  return format ("%.1f", c_milli / 1000.0 * 1.8 + 32.0,
                 "\xc2\xb0"
                 "F");
}

char *
td_units_pressure (TdUnits units, gint64 pa)
{
  if (pa == TD_NONE)
    return g_strdup (NOTHING);
  return units == TD_UNITS_METRIC ? format ("%.2f", pa / 100000.0, "bar")
                                  : format ("%.1f", pa / PA_PER_PSI, "psi");
}

char *
td_units_flow (TdUnits units, gint64 ml_min)
{
  if (ml_min == TD_NONE)
    return g_strdup (NOTHING);
  return units == TD_UNITS_METRIC ? format ("%.1f", ml_min / 1000.0, "L/min")
                                  : format ("%.2f", ml_min / ML_PER_GALLON, "gal/min");
}

char *
td_units_velocity (TdUnits units, gint64 mm_s)
{
  if (mm_s == TD_NONE)
    return g_strdup (NOTHING);
  return units == TD_UNITS_METRIC ? format ("%.2f", mm_s / 1000.0, "m/s")
                                  : format ("%.2f", mm_s / 304.8, "ft/s");
}

char *
td_units_pour_rate (TdUnits units, gint64 ml_min)
{
  if (ml_min == TD_NONE)
    return g_strdup (NOTHING);
  return units == TD_UNITS_METRIC ? format ("%.0f", ml_min / 60.0, "mL/s")
                                  : format ("%.2f", ml_min / 60.0 / ML_PER_FL_OZ, "fl oz/s");
}

char *
td_figure_ph (gint64 ph_milli)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];
  /* Strips are read to half a unit, meters to hundredths. */
  gboolean tenth = ph_milli % 500 == 0;

  if (ph_milli == TD_NONE)
    return g_strdup (NOTHING);
  g_ascii_formatd (buffer, sizeof buffer,
                   tenth                ? "%.1f"
                   : ph_milli % 10 == 0 ? "%.2f"
                                        : "%.3f",
                   ph_milli / 1000.0);
  return g_strdup (buffer);
}

char *
td_figure_percent (gint64 percent_milli)
{
  if (percent_milli == TD_NONE)
    return g_strdup (NOTHING);
  return format (percent_milli % 10 == 0 ? "%.2f" : "%.3f", percent_milli / 1000.0, "%");
}

char *
td_figure_minutes (gint64 seconds)
{
  if (seconds == TD_NONE)
    return g_strdup (NOTHING);
  /* Minutes run on past the hour: limits and labels are given in minutes, and 61:02 can be held
   * against 15:00 at a glance. */
  return g_strdup_printf ("%" G_GINT64_FORMAT ":%02d", seconds / 60, (int)(seconds % 60));
}
