/* core-units.h: quantities, the units that people enter and read them in, and exact conversion.
 *
 * A quantity is computed in one unit (td_quantity: mL, m, mm, ...) and stored in the journal as an
 * integer of a smaller one; the units of entry and display are a choice and never stored.  No locale: the
 * decimal mark is an argument.
 *
 * Conversion factors are exact by definition: NIST SP 811 (2008), appendix B: inch 25.4 mm, foot 12 in,
 * US gallon 231 in3, US fluid ounce 1/128 gal, pound 453.59237 g, standard gravity 9.80665 m/s2, from
 * which the pound-force per square inch; imperial gallon 4.54609 L; degree Fahrenheit (t - 32)/1.8 C. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* What is measured: the unit it is computed in; the unit of its stored integer. */
typedef enum
{
  TD_QUANTITY_VOLUME,      /* mL; 1 mL */
  TD_QUANTITY_LENGTH,      /* m; 1 mm */
  TD_QUANTITY_BORE,        /* mm; 1 um */
  TD_QUANTITY_FLOW,        /* L/min; 1 mL/min */
  TD_QUANTITY_POUR_RATE,   /* L/min; 1 mL/min; shown per second, as beer is poured */
  TD_QUANTITY_PRESSURE,    /* kPa gauge; 1 kPa */
  TD_QUANTITY_TEMPERATURE, /* C; 0.001 C */
  TD_QUANTITY_TEMPERATURE_DIFFERENCE, /* C; 0.001 C */
  TD_QUANTITY_PERCENT,     /* %; 0.001 % */
  TD_QUANTITY_MASS,        /* g; 1 g */
  TD_N_QUANTITIES
} TdQuantity;

typedef enum
{
  TD_UNITS_METRIC,
  TD_UNITS_US /* US customary */
} TdUnitSystem;

/* How a person enters and reads figures. */
typedef struct
{
  TdUnitSystem system;
  char decimal; /* '.' or ',' */
} TdUnitStyle;

typedef enum
{
  TD_UNIT_ML,
  TD_UNIT_L,
  TD_UNIT_FL_OZ,
  TD_UNIT_PINT,
  TD_UNIT_QUART,
  TD_UNIT_GAL,
  TD_UNIT_IMPERIAL_FL_OZ,
  TD_UNIT_IMPERIAL_PINT,
  TD_UNIT_IMPERIAL_GAL,
  TD_UNIT_M,
  TD_UNIT_CM,
  TD_UNIT_MM,
  TD_UNIT_FT,
  TD_UNIT_IN,
  TD_UNIT_BORE_MM,
  TD_UNIT_BORE_IN,
  TD_UNIT_L_MIN,
  TD_UNIT_ML_MIN,
  TD_UNIT_GAL_MIN,
  TD_UNIT_POUR_ML_S,
  TD_UNIT_POUR_L_MIN,
  TD_UNIT_POUR_FL_OZ_S,
  TD_UNIT_POUR_GAL_MIN,
  TD_UNIT_KPA,
  TD_UNIT_BAR,
  TD_UNIT_PSI,
  TD_UNIT_C,
  TD_UNIT_F,
  TD_UNIT_DIFFERENCE_C,
  TD_UNIT_DIFFERENCE_F,
  TD_UNIT_PERCENT,
  TD_UNIT_G,
  TD_UNIT_KG,
  TD_UNIT_OZ,
  TD_UNIT_LB,
  TD_N_UNITS
} TdUnit;

TdQuantity td_unit_get_quantity (TdUnit unit);
/* As printed behind a figure: "L/min", "fl oz", "°C". */
const char *td_unit_get_symbol (TdUnit unit);
/* From the unit to the one that its quantity is computed in, and back. */
double td_unit_to_base (TdUnit unit, double value);
double td_unit_from_base (TdUnit unit, double value);

/* The unit of a bare number and of an axis: VOLUME L or gal, LENGTH m or ft, BORE mm or in, FLOW L/min or
 * gal/min, POUR_RATE mL/s or fl oz/s, PRESSURE kPa or psi, TEMPERATURE and its difference C or F, PERCENT
 * %, MASS kg or lb. */
TdUnit td_quantity_get_unit (TdQuantity quantity, TdUnitSystem system);

/* To the integer that is stored, rounded half away from zero, and back.  @value: finite and within the
 * integers' range. */
gint64 td_quantity_to_stored (TdQuantity quantity, double value);
double td_quantity_from_stored (TdQuantity quantity, gint64 stored);

/* Reads "3.8 L/min", "1 gal/min", "60 psi", "38 F", "7 fl oz", "5/16 in", "1 1/2 gal", "-2 °C" into the
 * unit that the quantity is computed in.  The unit may be any of the quantity, of either system; letters'
 * case does not matter.  A bare number is in td_quantity_get_unit() of the style's system, but a volume
 * or a mass must name its unit: a drop and a bucket are both usual.  No thousands separators, no
 * exponents.  Returns: FALSE with TD_ERROR_PARSE that quotes the text and says what would do, or
 * TD_ERROR_RANGE for less than nothing (temperatures: below absolute zero; bores: outside 1..200 mm). */
gboolean td_quantity_parse (TdQuantity quantity,
                            const char *text,
                            const TdUnitStyle *style,
                            double *value_out,
                            GError **error);

/* Returns: (transfer full): the figure with a non-breaking space and the symbol: "350 mL", "4.35 L",
 * "3.8 L/min", "5/16 in", "−2 °C"; at most the decimals that the field reads, trailing zeros dropped;
 * "—" where the value is not finite.  td_quantity_parse() reads it back. */
char *td_quantity_format (TdQuantity quantity, double value, const TdUnitStyle *style);

/* Returns: (transfer full): the figure alone, with @decimals (0..9) digits after the mark, trailing zeros
 * dropped, a true minus sign; "—" where it is not finite. */
char *td_number_format (double value, int decimals, char decimal);

/* The nearest integer, halves away from zero.  @value: finite, |value| < 2^63. */
gint64 td_round_half_away (double value);

G_END_DECLS
