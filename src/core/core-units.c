#include "core-units.h"

#include <math.h>

#include "core-units-private.h"

/* NIST SP 811 (2008), appendix B.8; all exact. */
#define MM_PER_IN 25.4
#define M_PER_FT 0.3048
#define ML_PER_GAL 3785.411784 /* 231 in3 */
#define ML_PER_FL_OZ (ML_PER_GAL / 128)
#define ML_PER_IMPERIAL_GAL 4546.09
#define G_PER_LB 453.59237
#define STANDARD_GRAVITY_M_S2 9.80665
/* lb x g / in2: 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)2 in kPa: 6.894757... */
#define KPA_PER_PSI (G_PER_LB * STANDARD_GRAVITY_M_S2 / (MM_PER_IN * MM_PER_IN))

static const TdUnitInfo units[TD_N_UNITS] = {
  [TD_UNIT_ML] = { TD_QUANTITY_VOLUME, "mL", "millilitre|millilitres|milliliter|milliliters|cc", 1, 0 },
  [TD_UNIT_L] = { TD_QUANTITY_VOLUME, "L", "litre|litres|liter|liters", 1000, 0 },
  [TD_UNIT_FL_OZ] = { TD_QUANTITY_VOLUME, "fl oz", "floz|oz|fl. oz.|us fl oz", ML_PER_FL_OZ, 0 },
  [TD_UNIT_PINT] = { TD_QUANTITY_VOLUME, "pt", "pint|pints|us pt", ML_PER_GAL / 8, 0 },
  [TD_UNIT_QUART] = { TD_QUANTITY_VOLUME, "qt", "quart|quarts|us qt", ML_PER_GAL / 4, 0 },
  [TD_UNIT_GAL] = { TD_QUANTITY_VOLUME, "gal", "gallon|gallons|us gal", ML_PER_GAL, 0 },
  [TD_UNIT_IMPERIAL_FL_OZ] = { TD_QUANTITY_VOLUME, "imp fl oz", "imp. fl oz|imperial fl oz",
                               ML_PER_IMPERIAL_GAL / 160, 0 },
  [TD_UNIT_IMPERIAL_PINT] = { TD_QUANTITY_VOLUME, "imp pt", "imp. pt|imp pint|imp pints|imperial pint|"
                                                            "imperial pints",
                              ML_PER_IMPERIAL_GAL / 8, 0 },
  [TD_UNIT_IMPERIAL_GAL] = { TD_QUANTITY_VOLUME, "imp gal", "imp. gal|imp gallon|imp gallons|imperial "
                                                            "gallon|imperial gallons",
                             ML_PER_IMPERIAL_GAL, 0 },
  [TD_UNIT_M] = { TD_QUANTITY_LENGTH, "m", "metre|metres|meter|meters", 1, 0 },
  [TD_UNIT_CM] = { TD_QUANTITY_LENGTH, "cm", "", 0.01, 0 },
  [TD_UNIT_MM] = { TD_QUANTITY_LENGTH, "mm", "", 0.001, 0 },
  [TD_UNIT_FT] = { TD_QUANTITY_LENGTH, "ft", "foot|feet|'|\xE2\x80\xB2", M_PER_FT, 0 },
  [TD_UNIT_IN] = { TD_QUANTITY_LENGTH, "in", "inch|inches|\"|\xE2\x80\xB3", MM_PER_IN / 1000, 0 },
  [TD_UNIT_BORE_MM] = { TD_QUANTITY_BORE, "mm", "", 1, 0 },
  [TD_UNIT_BORE_IN] = { TD_QUANTITY_BORE, "in", "inch|inches|\"|\xE2\x80\xB3", MM_PER_IN, 0 },
  [TD_UNIT_L_MIN] = { TD_QUANTITY_FLOW, "L/min", "lpm", 1, 0 },
  [TD_UNIT_ML_MIN] = { TD_QUANTITY_FLOW, "mL/min", "", 0.001, 0 },
  [TD_UNIT_GAL_MIN] = { TD_QUANTITY_FLOW, "gal/min", "gpm", ML_PER_GAL / 1000, 0 },
  [TD_UNIT_POUR_ML_S] = { TD_QUANTITY_POUR_RATE, "mL/s", "ml/sec", 0.06, 0 },
  [TD_UNIT_POUR_L_MIN] = { TD_QUANTITY_POUR_RATE, "L/min", "lpm", 1, 0 },
  [TD_UNIT_POUR_FL_OZ_S] = { TD_QUANTITY_POUR_RATE, "fl oz/s", "oz/s|fl oz/sec|oz/sec",
                             ML_PER_FL_OZ * 0.06, 0 },
  [TD_UNIT_POUR_GAL_MIN] = { TD_QUANTITY_POUR_RATE, "gal/min", "gpm", ML_PER_GAL / 1000, 0 },
  [TD_UNIT_KPA] = { TD_QUANTITY_PRESSURE, "kPa", "", 1, 0 },
  [TD_UNIT_BAR] = { TD_QUANTITY_PRESSURE, "bar", "", 100, 0 },
  [TD_UNIT_PSI] = { TD_QUANTITY_PRESSURE, "psi", "psig|lb|lbs", KPA_PER_PSI, 0 },
  [TD_UNIT_C] = { TD_QUANTITY_TEMPERATURE, "\xC2\xB0" "C", "c|deg c|celsius", 1, 0 },
  [TD_UNIT_F] = { TD_QUANTITY_TEMPERATURE, "\xC2\xB0" "F", "f|deg f|fahrenheit", 1 / 1.8, 32 },
  [TD_UNIT_DIFFERENCE_C] = { TD_QUANTITY_TEMPERATURE_DIFFERENCE, "\xC2\xB0" "C", "c|k|deg c", 1, 0 },
  [TD_UNIT_DIFFERENCE_F] = { TD_QUANTITY_TEMPERATURE_DIFFERENCE, "\xC2\xB0" "F", "f|deg f", 1 / 1.8, 0 },
  [TD_UNIT_PERCENT] = { TD_QUANTITY_PERCENT, "%", "percent|per cent", 1, 0 },
  [TD_UNIT_G] = { TD_QUANTITY_MASS, "g", "gram|grams", 1, 0 },
  [TD_UNIT_KG] = { TD_QUANTITY_MASS, "kg", "kilo|kilos", 1000, 0 },
  [TD_UNIT_OZ] = { TD_QUANTITY_MASS, "oz", "ounce|ounces", G_PER_LB / 16, 0 },
  [TD_UNIT_LB] = { TD_QUANTITY_MASS, "lb", "lbs|pound|pounds", G_PER_LB, 0 },
};

static const struct
{
  const char *name;
  double stored_per_unit; /* stored integers in one unit of computing */
  TdUnit main[2];         /* by TdUnitSystem */
} quantities[TD_N_QUANTITIES] = {
  [TD_QUANTITY_VOLUME] = { "a volume", 1, { TD_UNIT_L, TD_UNIT_GAL } },
  [TD_QUANTITY_LENGTH] = { "a length", 1000, { TD_UNIT_M, TD_UNIT_FT } },
  [TD_QUANTITY_BORE] = { "a bore", 1000, { TD_UNIT_BORE_MM, TD_UNIT_BORE_IN } },
  [TD_QUANTITY_FLOW] = { "a flow", 1000, { TD_UNIT_L_MIN, TD_UNIT_GAL_MIN } },
  [TD_QUANTITY_POUR_RATE] = { "a pour rate", 1000, { TD_UNIT_POUR_ML_S, TD_UNIT_POUR_FL_OZ_S } },
  [TD_QUANTITY_PRESSURE] = { "a pressure", 1, { TD_UNIT_KPA, TD_UNIT_PSI } },
  [TD_QUANTITY_TEMPERATURE] = { "a temperature", 1000, { TD_UNIT_C, TD_UNIT_F } },
  [TD_QUANTITY_TEMPERATURE_DIFFERENCE] = { "a temperature difference", 1000,
                                           { TD_UNIT_DIFFERENCE_C, TD_UNIT_DIFFERENCE_F } },
  [TD_QUANTITY_PERCENT] = { "a percentage", 1000, { TD_UNIT_PERCENT, TD_UNIT_PERCENT } },
  [TD_QUANTITY_MASS] = { "a mass", 1, { TD_UNIT_KG, TD_UNIT_LB } },
};

const TdUnitInfo *
td_unit_get_info (TdUnit unit)
{
  g_assert ((guint) unit < TD_N_UNITS);
  return &units[unit];
}

const char *
td_quantity_get_name (TdQuantity quantity)
{
  g_assert ((guint) quantity < TD_N_QUANTITIES);
  return quantities[quantity].name;
}

TdQuantity
td_unit_get_quantity (TdUnit unit)
{
  return td_unit_get_info (unit)->quantity;
}

const char *
td_unit_get_symbol (TdUnit unit)
{
  return td_unit_get_info (unit)->symbol;
}

double
td_unit_to_base (TdUnit unit, double value)
{
  const TdUnitInfo *info = td_unit_get_info (unit);

  return (value - info->zero) * info->factor;
}

double
td_unit_from_base (TdUnit unit, double value)
{
  const TdUnitInfo *info = td_unit_get_info (unit);

  return value / info->factor + info->zero;
}

TdUnit
td_quantity_get_unit (TdQuantity quantity, TdUnitSystem system)
{
  g_assert ((guint) quantity < TD_N_QUANTITIES);
  g_assert (system == TD_UNITS_METRIC || system == TD_UNITS_US);
  return quantities[quantity].main[system];
}

gint64
td_quantity_to_stored (TdQuantity quantity, double value)
{
  g_assert ((guint) quantity < TD_N_QUANTITIES);
  return td_round_half_away (value * quantities[quantity].stored_per_unit);
}

double
td_quantity_from_stored (TdQuantity quantity, gint64 stored)
{
  g_assert ((guint) quantity < TD_N_QUANTITIES);
  return (double) stored / quantities[quantity].stored_per_unit;
}

gint64
td_round_half_away (double value)
{
  g_assert (isfinite (value));
  g_assert (fabs (value) < 0x1p63);
  return llround (value);
}
