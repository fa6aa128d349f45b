/* core-units-format.c: figures as people read them. */
#include "core-units.h"

#include <math.h>
#include <string.h>

#include "core-units-private.h"

#define NO_BREAK_SPACE "\xC2\xA0"
#define MINUS "\xE2\x88\x92"
#define UNKNOWN "\xE2\x80\x94"

/* A unit of display and what the field reads of it: gauges, jugs and thermometers of the trade. */
typedef struct
{
  TdUnit unit;
  int decimals;
  double below; /* used while the rounded figure is below this; the last of a list has no limit */
} Display;

static const Display displays[TD_N_QUANTITIES][2][2] = {
  [TD_QUANTITY_VOLUME] = { { { TD_UNIT_ML, 0, 1000 }, { TD_UNIT_L, 2, INFINITY } },
                           { { TD_UNIT_FL_OZ, 1, 128 }, { TD_UNIT_GAL, 2, INFINITY } } },
  [TD_QUANTITY_LENGTH] = { { { TD_UNIT_M, 2, INFINITY } }, { { TD_UNIT_FT, 1, INFINITY } } },
  [TD_QUANTITY_BORE] = { { { TD_UNIT_BORE_MM, 3, INFINITY } }, { { TD_UNIT_BORE_IN, 3, INFINITY } } },
  [TD_QUANTITY_FLOW] = { { { TD_UNIT_L_MIN, 1, INFINITY } }, { { TD_UNIT_GAL_MIN, 2, INFINITY } } },
  [TD_QUANTITY_POUR_RATE] = { { { TD_UNIT_POUR_ML_S, 0, INFINITY } },
                              { { TD_UNIT_POUR_FL_OZ_S, 1, INFINITY } } },
  [TD_QUANTITY_PRESSURE] = { { { TD_UNIT_KPA, 0, INFINITY } }, { { TD_UNIT_PSI, 1, INFINITY } } },
  [TD_QUANTITY_TEMPERATURE] = { { { TD_UNIT_C, 1, INFINITY } }, { { TD_UNIT_F, 1, INFINITY } } },
  [TD_QUANTITY_TEMPERATURE_DIFFERENCE] = { { { TD_UNIT_DIFFERENCE_C, 1, INFINITY } },
                                           { { TD_UNIT_DIFFERENCE_F, 1, INFINITY } } },
  [TD_QUANTITY_PERCENT] = { { { TD_UNIT_PERCENT, 2, INFINITY } }, { { TD_UNIT_PERCENT, 2, INFINITY } } },
  [TD_QUANTITY_MASS] = { { { TD_UNIT_G, 0, 1000 }, { TD_UNIT_KG, 2, INFINITY } },
                         { { TD_UNIT_OZ, 1, 16 }, { TD_UNIT_LB, 2, INFINITY } } },
};

/* Tubes are made in sixteenths and thirty-seconds of an inch. */
#define BORE_PARTS 32
/* Nearer than this to such a size it is that size: half of 0.1 mm, the last digit of metric lists. */
#define BORE_TOLERANCE_IN 0.002

/* The decimal text with '.', trailing zeros dropped; never "-0". */
static char *
format_plain (double value, int decimals)
{
  char format[] = "%.0f";
  char digits[400]; /* DBL_MAX has 309 digits before the point */
  char *end;

  g_assert (decimals >= 0 && decimals <= 9);
  format[2] = (char) ('0' + decimals);
  g_ascii_formatd (digits, sizeof digits, format, value);
  if (decimals > 0)
    {
      end = digits + strlen (digits);
      while (end[-1] == '0')
        *--end = '\0';
      if (end[-1] == '.')
        *--end = '\0';
    }
  return g_strdup (strcmp (digits, "-0") == 0 ? "0" : digits);
}

char *
td_number_format (double value, int decimals, char decimal)
{
  g_autofree char *plain = NULL;
  GString *text;

  g_return_val_if_fail (decimal == '.' || decimal == ',', NULL);
  if (!isfinite (value))
    return g_strdup (UNKNOWN);
  plain = format_plain (value, decimals);
  text = g_string_new (NULL);
  for (const char *at = plain; *at != '\0'; at++)
    {
      if (*at == '-')
        g_string_append (text, MINUS);
      else
        g_string_append_c (text, *at == '.' ? decimal : *at);
    }
  return g_string_free (text, FALSE);
}

/* "5/16", "1/2", "1 1/4" for a size that tubes come in; NULL for any other. */
static char *
format_fraction (double bore_in)
{
  /* Judged as it would be shown otherwise, so that a figure read back is shown alike. */
  double inches = round (bore_in * 1000) / 1000;
  double parts = round (inches * BORE_PARTS);
  int whole;
  int numerator;
  int denominator = BORE_PARTS;

  if (fabs (parts / BORE_PARTS - inches) > BORE_TOLERANCE_IN || parts < 1 || parts > 10 * BORE_PARTS)
    return NULL;
  whole = (int) parts / BORE_PARTS;
  numerator = (int) parts % BORE_PARTS;
  if (numerator == 0)
    return g_strdup_printf ("%d", whole);
  while (numerator % 2 == 0)
    {
      numerator /= 2;
      denominator /= 2;
    }
  if (whole > 0)
    return g_strdup_printf ("%d" NO_BREAK_SPACE "%d/%d", whole, numerator, denominator);
  return g_strdup_printf ("%d/%d", numerator, denominator);
}

/* The unit whose rounded figure stays below its limit. */
static const Display *
choose_display (TdQuantity quantity, TdUnitSystem system, double value)
{
  const Display *display = displays[quantity][system];
  double shown = fabs (td_unit_from_base (display->unit, value));
  double half = 0.5 / pow (10, display->decimals);

  return shown + half >= display->below ? display + 1 : display;
}

char *
td_quantity_format (TdQuantity quantity, double value, const TdUnitStyle *style)
{
  const Display *display;
  g_autofree char *figure = NULL;
  double shown;

  g_return_val_if_fail ((guint) quantity < TD_N_QUANTITIES && style != NULL, NULL);
  g_return_val_if_fail (style->system == TD_UNITS_METRIC || style->system == TD_UNITS_US, NULL);
  if (!isfinite (value))
    return g_strdup (UNKNOWN);
  display = choose_display (quantity, style->system, value);
  shown = td_unit_from_base (display->unit, value);
  if (display->unit == TD_UNIT_BORE_IN)
    figure = format_fraction (shown);
  if (figure == NULL)
    figure = td_number_format (shown, display->decimals, style->decimal);
  return g_strconcat (figure, NO_BREAK_SPACE, td_unit_get_symbol (display->unit), NULL);
}
