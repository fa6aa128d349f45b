/* Units: exact conversion, and figures as people write and read them. */
#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-units.h"

#define NB "\xC2\xA0"
#define DEG "\xC2\xB0"
#define MINUS "\xE2\x88\x92"

static const TdUnitStyle metric = { TD_UNITS_METRIC, '.' };
static const TdUnitStyle metric_comma = { TD_UNITS_METRIC, ',' };
static const TdUnitStyle us = { TD_UNITS_US, '.' };

static void
test_factors (void)
{
  /* NIST SP 811 (2008), appendix B.8, with the digits printed there; bold (exact) ones to the last. */
  static const struct
  {
    TdUnit unit;
    double in_base;
    double tolerance; /* relative */
  } cases[] = {
    { TD_UNIT_IN, 0.0254, 1e-15 },
    { TD_UNIT_BORE_IN, 25.4, 1e-15 },
    { TD_UNIT_FT, 0.3048, 1e-15 },
    { TD_UNIT_GAL, 3785.412, 1e-6 },
    { TD_UNIT_QUART, 946.3529, 1e-6 },
    { TD_UNIT_PINT, 473.1765, 1e-6 },
    { TD_UNIT_FL_OZ, 29.57353, 1e-6 },
    { TD_UNIT_IMPERIAL_GAL, 4546.09, 1e-15 },
    { TD_UNIT_IMPERIAL_FL_OZ, 28.41306, 1e-6 },
    { TD_UNIT_LB, 453.59237, 1e-15 },
    { TD_UNIT_OZ, 28.34952, 1e-6 },
    { TD_UNIT_PSI, 6.894757, 1e-6 },
    { TD_UNIT_BAR, 100, 0 },
    { TD_UNIT_GAL_MIN, 60 * 6.309020e-2, 1e-6 }, /* 6.309020 E-02 L/s */
    { TD_UNIT_POUR_FL_OZ_S, 0.02957353 * 60, 1e-6 },
    { TD_UNIT_POUR_ML_S, 0.06, 1e-15 },
    { TD_UNIT_DIFFERENCE_F, 0.5555556, 1e-6 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_assert_cmpfloat_with_epsilon (td_unit_to_base (cases[i].unit, 1), cases[i].in_base,
                                    cases[i].tolerance * cases[i].in_base + 1e-300);
  g_assert_cmpfloat (td_unit_to_base (TD_UNIT_F, 32), ==, 0);
  g_assert_cmpfloat_with_epsilon (td_unit_to_base (TD_UNIT_F, 212), 100, 1e-12);
  g_assert_cmpfloat_with_epsilon (td_unit_to_base (TD_UNIT_F, -40), -40, 1e-12);
  g_assert_cmpfloat_with_epsilon (td_unit_from_base (TD_UNIT_F, 37), 98.6, 1e-12);
}

static void
test_inverse (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (811);

  for (int i = 0; i < 20000; i++)
    {
      TdUnit unit = (TdUnit) g_rand_int_range (random, 0, TD_N_UNITS);
      double value = g_rand_double_range (random, -1000, 1000);
      double again = td_unit_from_base (unit, td_unit_to_base (unit, value));

      g_assert_cmpfloat_with_epsilon (again, value, 1e-12 * (fabs (value) + 100));
    }
}

static void
test_table (void)
{
  for (int i = 0; i < TD_N_QUANTITIES; i++)
    for (int j = TD_UNITS_METRIC; j <= TD_UNITS_US; j++)
      {
        TdUnit unit = td_quantity_get_unit ((TdQuantity) i, (TdUnitSystem) j);

        g_assert_cmpint (td_unit_get_quantity (unit), ==, i);
        g_assert_cmpuint (strlen (td_unit_get_symbol (unit)), >, 0);
      }
  g_assert_cmpstr (td_unit_get_symbol (TD_UNIT_F), ==, DEG "F");
  g_assert_cmpstr (td_unit_get_symbol (TD_UNIT_POUR_FL_OZ_S), ==, "fl oz/s");
}

static const struct
{
  TdQuantity quantity;
  const char *text;
  const TdUnitStyle *style;
  double value;
} readings[] = {
  { TD_QUANTITY_FLOW, "3.8 L/min", &metric, 3.8 },
  { TD_QUANTITY_FLOW, "3,8 l/min", &metric_comma, 3.8 },
  { TD_QUANTITY_FLOW, "3.8", &metric, 3.8 },
  { TD_QUANTITY_FLOW, "1", &us, 3.785411784 },
  { TD_QUANTITY_FLOW, "1 gal/min", &metric, 3.785411784 },
  { TD_QUANTITY_FLOW, "1 gal / min", &metric, 3.785411784 },
  { TD_QUANTITY_FLOW, "2GPM", &us, 7.570823568 },
  { TD_QUANTITY_FLOW, "500 mL/min", &us, 0.5 },
  { TD_QUANTITY_PRESSURE, "60 psi", &metric, 413.6854375901 }, /* 60 x 6.894757293 */
  { TD_QUANTITY_PRESSURE, "14 PSIG", &us, 96.5266021 },
  { TD_QUANTITY_PRESSURE, "1.1 bar", &us, 110 },
  { TD_QUANTITY_PRESSURE, "414", &metric, 414 },
  { TD_QUANTITY_TEMPERATURE, "38 F", &metric, 10.0 / 3 },
  { TD_QUANTITY_TEMPERATURE, "38", &us, 10.0 / 3 },
  { TD_QUANTITY_TEMPERATURE, "38" DEG "F", &us, 10.0 / 3 },
  { TD_QUANTITY_TEMPERATURE, "-2 " DEG "C", &us, -2 },
  { TD_QUANTITY_TEMPERATURE, MINUS "2" NB DEG "c", &us, -2 },
  { TD_QUANTITY_TEMPERATURE, "40 deg C", &us, 40 },
  { TD_QUANTITY_TEMPERATURE_DIFFERENCE, "1 F", &metric, 5.0 / 9 },
  { TD_QUANTITY_TEMPERATURE_DIFFERENCE, "-1 K", &metric, -1 },
  { TD_QUANTITY_VOLUME, "7 fl oz", &metric, 207.0147069375 },
  { TD_QUANTITY_VOLUME, "7 oz", &metric, 207.0147069375 },
  { TD_QUANTITY_VOLUME, "7  FL  OZ ", &us, 207.0147069375 },
  { TD_QUANTITY_VOLUME, "350ml", &metric, 350 },
  { TD_QUANTITY_VOLUME, "20 L", &metric, 20000 },
  { TD_QUANTITY_VOLUME, "1 1/2 gal", &us, 5678.117676 },
  { TD_QUANTITY_VOLUME, "2\xC2\xBD gal", &us, 9463.52946 },
  { TD_QUANTITY_VOLUME, "1 imp pint", &metric, 568.26125 },
  { TD_QUANTITY_VOLUME, ".5 L", &metric, 500 },
  { TD_QUANTITY_LENGTH, "20 m", &us, 20 },
  { TD_QUANTITY_LENGTH, "15 ft", &metric, 4.572 },
  { TD_QUANTITY_LENGTH, "15", &us, 4.572 },
  { TD_QUANTITY_LENGTH, "15'", &metric, 4.572 },
  { TD_QUANTITY_LENGTH, "36 in", &metric, 0.9144 },
  { TD_QUANTITY_LENGTH, "250 cm", &us, 2.5 },
  { TD_QUANTITY_BORE, "1/4 in", &metric, 6.35 },
  { TD_QUANTITY_BORE, "5/16 in", &metric, 7.9375 },
  { TD_QUANTITY_BORE, "3/8", &us, 9.525 },
  { TD_QUANTITY_BORE, "\xE2\x85\x9C\"", &metric, 9.525 },
  { TD_QUANTITY_BORE, "9.5 mm", &us, 9.5 },
  { TD_QUANTITY_PERCENT, "2", &us, 2 },
  { TD_QUANTITY_PERCENT, "2.5 %", &metric, 2.5 },
  { TD_QUANTITY_MASS, "1 lb", &metric, 453.59237 },
  { TD_QUANTITY_MASS, "8 oz", &us, 226.796185 },
  { TD_QUANTITY_MASS, "1.5 kg", &us, 1500 },
  { TD_QUANTITY_POUR_RATE, "2 fl oz/s", &metric, 3.5488235475 }, /* 2 x 29.5735295625 x 60 / 1000 */
  { TD_QUANTITY_POUR_RATE, "2", &us, 3.5488235475 },
  { TD_QUANTITY_POUR_RATE, "60 mL/s", &us, 3.6 },
  { TD_QUANTITY_POUR_RATE, "1 gpm", &us, 3.785411784 },
};

static void
test_parse (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (readings); i++)
    {
      g_autoptr (GError) error = NULL;
      double value = NAN;

      g_assert_true (td_quantity_parse (readings[i].quantity, readings[i].text, readings[i].style, &value,
                                        &error));
      g_assert_no_error (error);
      g_assert_cmpfloat_with_epsilon (value, readings[i].value, 1e-9 * (fabs (readings[i].value) + 1e-3));
    }
}

static const struct
{
  TdQuantity quantity;
  const char *text;
  const TdUnitStyle *style;
  int code;
  const char *message;
} refusals[] = {
  { TD_QUANTITY_FLOW, "", &metric, TD_ERROR_PARSE, "does not start with a number; write it like 12.5" },
  { TD_QUANTITY_FLOW, "12,5 L/min", &metric, TD_ERROR_PARSE, "\"12,5 L/min\" does not start" },
  { TD_QUANTITY_FLOW, "12.5 L/min", &metric_comma, TD_ERROR_PARSE, "write it like 12,5" },
  { TD_QUANTITY_FLOW, "1,234.5 L/min", &metric, TD_ERROR_PARSE, "without separators of thousands" },
  { TD_QUANTITY_FLOW, "1.234.5 L/min", &metric, TD_ERROR_PARSE, "without separators" },
  { TD_QUANTITY_FLOW, "12. L/min", &metric, TD_ERROR_PARSE, "does not start with a number" },
  { TD_QUANTITY_FLOW, "1e3 L/min", &metric, TD_ERROR_PARSE, "is not a flow" },
  { TD_QUANTITY_FLOW, "+1 L/min", &metric, TD_ERROR_PARSE, "does not start with a number" },
  { TD_QUANTITY_FLOW, "L/min", &metric, TD_ERROR_PARSE, "does not start with a number" },
  { TD_QUANTITY_FLOW, "nan", &metric, TD_ERROR_PARSE, "does not start with a number" },
  { TD_QUANTITY_FLOW, "1/0 L/min", &metric, TD_ERROR_PARSE, "does not start with a number" },
  { TD_QUANTITY_FLOW, "1/2/3 L/min", &metric, TD_ERROR_PARSE, "does not start with a number" },
  { TD_QUANTITY_FLOW, "1234567890123 L/min", &metric, TD_ERROR_PARSE, "does not start with a number" },
  { TD_QUANTITY_FLOW, "\xFF", &metric, TD_ERROR_PARSE, "does not start with a number" },
  { TD_QUANTITY_FLOW, "3 psi", &metric, TD_ERROR_PARSE,
    "\"3 psi\" is not a flow; put one of these units behind the number: L/min, mL/min, gal/min" },
  { TD_QUANTITY_FLOW, "3 L/min x", &metric, TD_ERROR_PARSE, "is not a flow" },
  { TD_QUANTITY_FLOW, "-1 L/min", &metric, TD_ERROR_RANGE, "a flow cannot be less than nothing" },
  { TD_QUANTITY_VOLUME, "5", &metric, TD_ERROR_PARSE, "is not a volume; put one of these units" },
  { TD_QUANTITY_MASS, "5", &us, TD_ERROR_PARSE, "is not a mass; put one of these units" },
  { TD_QUANTITY_LENGTH, "20 s", &us, TD_ERROR_PARSE, "m, cm, mm, ft, in" },
  { TD_QUANTITY_TEMPERATURE, "-300 C", &us, TD_ERROR_RANGE, "cannot be below absolute zero" },
  { TD_QUANTITY_TEMPERATURE, "38 K", &us, TD_ERROR_PARSE, "is not a temperature" },
  { TD_QUANTITY_BORE, "3/8", &metric, TD_ERROR_RANGE, "name the unit, as in 9.5 mm or 3/8 in" },
  { TD_QUANTITY_BORE, "10 in", &us, TD_ERROR_RANGE, "must be from 1 to 200 mm" },
};

static void
test_parse_refuses (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (refusals); i++)
    {
      g_autoptr (GError) error = NULL;
      double value = 77;

      g_assert_false (td_quantity_parse (refusals[i].quantity, refusals[i].text, refusals[i].style, &value,
                                         &error));
      g_assert_error (error, TD_ERROR, refusals[i].code);
      if (strstr (error->message, refusals[i].message) == NULL)
        g_error ("\"%s\" lacks \"%s\"", error->message, refusals[i].message);
      g_assert_cmpfloat (value, ==, 77);
    }
}

static void
test_format (void)
{
  static const struct
  {
    TdQuantity quantity;
    double value;
    const TdUnitStyle *style;
    const char *text;
  } cases[] = {
    { TD_QUANTITY_VOLUME, 350, &metric, "350" NB "mL" },
    { TD_QUANTITY_VOLUME, 999.4, &metric, "999" NB "mL" },
    { TD_QUANTITY_VOLUME, 999.6, &metric, "1" NB "L" },
    { TD_QUANTITY_VOLUME, 4351, &metric, "4.35" NB "L" },
    { TD_QUANTITY_VOLUME, 4351, &metric_comma, "4,35" NB "L" },
    { TD_QUANTITY_VOLUME, 207.0147, &us, "7" NB "fl oz" },
    { TD_QUANTITY_VOLUME, 3785.411784, &us, "1" NB "gal" },
    { TD_QUANTITY_VOLUME, 0, &metric, "0" NB "mL" },
    { TD_QUANTITY_LENGTH, 4.572, &us, "15" NB "ft" },
    { TD_QUANTITY_LENGTH, 30, &metric, "30" NB "m" },
    { TD_QUANTITY_BORE, 9.525, &metric, "9.525" NB "mm" },
    { TD_QUANTITY_BORE, 9.525, &us, "3/8" NB "in" },
    { TD_QUANTITY_BORE, 7.94, &us, "5/16" NB "in" },
    { TD_QUANTITY_BORE, 25.4, &us, "1" NB "in" },
    { TD_QUANTITY_BORE, 31.75, &us, "1" NB "1/4" NB "in" },
    { TD_QUANTITY_BORE, 7, &us, "0.276" NB "in" },
    { TD_QUANTITY_FLOW, 3.785, &metric, "3.8" NB "L/min" },
    { TD_QUANTITY_FLOW, 3.785, &us, "1" NB "gal/min" },
    { TD_QUANTITY_POUR_RATE, 3.549, &metric, "59" NB "mL/s" },
    { TD_QUANTITY_POUR_RATE, 3.549, &us, "2" NB "fl oz/s" },
    { TD_QUANTITY_PRESSURE, 413.7, &us, "60" NB "psi" },
    { TD_QUANTITY_PRESSURE, 413.7, &metric, "414" NB "kPa" },
    { TD_QUANTITY_TEMPERATURE, 10.0 / 3, &us, "38" NB DEG "F" },
    { TD_QUANTITY_TEMPERATURE, 10.0 / 3, &metric, "3.3" NB DEG "C" },
    { TD_QUANTITY_TEMPERATURE, -2, &metric, MINUS "2" NB DEG "C" },
    { TD_QUANTITY_TEMPERATURE, -0.04, &metric, "0" NB DEG "C" },
    { TD_QUANTITY_TEMPERATURE_DIFFERENCE, 0.5556, &us, "1" NB DEG "F" },
    { TD_QUANTITY_PERCENT, 2, &us, "2" NB "%" },
    { TD_QUANTITY_PERCENT, 2.034, &metric, "2.03" NB "%" },
    { TD_QUANTITY_PERCENT, 100, &metric, "100" NB "%" },
    { TD_QUANTITY_MASS, 535, &metric, "535" NB "g" },
    { TD_QUANTITY_MASS, 1500, &metric, "1.5" NB "kg" },
    { TD_QUANTITY_MASS, 453.59237, &us, "1" NB "lb" },
    { TD_QUANTITY_MASS, NAN, &us, "\xE2\x80\x94" },
    { TD_QUANTITY_FLOW, INFINITY, &us, "\xE2\x80\x94" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = td_quantity_format (cases[i].quantity, cases[i].value, cases[i].style);

      g_assert_cmpstr (text, ==, cases[i].text);
    }
}

static void
test_number (void)
{
  static const struct
  {
    double value;
    int decimals;
    char decimal;
    const char *text;
  } cases[] = {
    { 1.25, 3, ',', "1,25" },       { 1200, 0, '.', "1200" },  { -0.001, 2, '.', "0" },
    { -12.5, 1, '.', MINUS "12.5" }, { 100, 2, '.', "100" },    { 0.0000012, 7, '.', "0.0000012" },
    { NAN, 2, '.', "\xE2\x80\x94" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = td_number_format (cases[i].value, cases[i].decimals, cases[i].decimal);

      g_assert_cmpstr (text, ==, cases[i].text);
    }
}

/* Half of the last digit shown, in the unit of computing, for values up to 190 of it.  A US bore that is
 * a size of tube stands for that size, 0.0025 in away at most. */
static const double shown_within[TD_N_QUANTITIES][2] = {
  [TD_QUANTITY_VOLUME] = { 0.5, 0.05 * 29.5736 },
  [TD_QUANTITY_LENGTH] = { 0.005, 0.05 * 0.3048 },
  [TD_QUANTITY_BORE] = { 0.0005, 0.0025 * 25.4 },
  [TD_QUANTITY_FLOW] = { 0.05, 0.005 * 3.78542 },
  [TD_QUANTITY_POUR_RATE] = { 0.5 * 0.06, 0.05 * 1.77442 },
  [TD_QUANTITY_PRESSURE] = { 0.5, 0.05 * 6.89476 },
  [TD_QUANTITY_TEMPERATURE] = { 0.05, 0.05 / 1.8 },
  [TD_QUANTITY_TEMPERATURE_DIFFERENCE] = { 0.05, 0.05 / 1.8 },
  [TD_QUANTITY_PERCENT] = { 0.005, 0.005 },
  [TD_QUANTITY_MASS] = { 0.5, 0.05 * 28.3495 },
};

/* What is shown reads back as what was meant, within what is shown, and is shown alike again. */
static void
test_round_trip (void)
{
  static const TdUnitStyle *const styles[] = { &metric, &metric_comma, &us };
  g_autoptr (GRand) random = g_rand_new_with_seed (128);

  for (int i = 0; i < 20000; i++)
    {
      TdQuantity quantity = (TdQuantity) g_rand_int_range (random, 0, TD_N_QUANTITIES);
      const TdUnitStyle *style = styles[i % 3];
      double value = exp (g_rand_double_range (random, log (1.5), log (190)));
      g_autoptr (GError) error = NULL;
      g_autofree char *text = td_quantity_format (quantity, value, style);
      g_autofree char *second = NULL;
      double again;

      g_assert_true (td_quantity_parse (quantity, text, style, &again, &error));
      g_assert_no_error (error);
      g_assert_cmpfloat_with_epsilon (again, value, shown_within[quantity][style->system] * 1.00001);
      second = td_quantity_format (quantity, again, style);
      g_assert_cmpstr (text, ==, second);
    }
}

static void
test_stored (void)
{
  static const struct
  {
    TdQuantity quantity;
    double value;
    gint64 stored;
  } cases[] = {
    { TD_QUANTITY_VOLUME, 535.3, 535 },       { TD_QUANTITY_LENGTH, 4.572, 4572 },
    { TD_QUANTITY_BORE, 9.525, 9525 },        { TD_QUANTITY_FLOW, 3.785411784, 3785 },
    { TD_QUANTITY_POUR_RATE, 3.549, 3549 },   { TD_QUANTITY_PRESSURE, 413.685, 414 },
    { TD_QUANTITY_TEMPERATURE, 10.0 / 3, 3333 }, { TD_QUANTITY_TEMPERATURE, -2.0005, -2001 },
    { TD_QUANTITY_TEMPERATURE_DIFFERENCE, 0.5556, 556 },
    { TD_QUANTITY_PERCENT, 2.034, 2034 },     { TD_QUANTITY_MASS, 1500.5, 1501 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      gint64 stored = td_quantity_to_stored (cases[i].quantity, cases[i].value);

      g_assert_cmpint (stored, ==, cases[i].stored);
      g_assert_cmpint (td_quantity_to_stored (cases[i].quantity,
                                              td_quantity_from_stored (cases[i].quantity, stored)),
                       ==, stored);
    }
}

static void
test_rounding (void)
{
  static const struct
  {
    double value;
    gint64 rounded;
  } cases[] = {
    { 0.5, 1 },   { -0.5, -1 },  { 1.5, 2 },  { 2.5, 3 }, { -2.5, -3 },
    { 0.49999999999999994, 0 },  { 4503599627370495.5, G_GINT64_CONSTANT (4503599627370496) },
    { -0x1p62, -G_GINT64_CONSTANT (4611686018427387904) },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_assert_cmpint (td_round_half_away (cases[i].value), ==, cases[i].rounded);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/units/factors", test_factors);
  g_test_add_func ("/units/inverse", test_inverse);
  g_test_add_func ("/units/table", test_table);
  g_test_add_func ("/units/parse", test_parse);
  g_test_add_func ("/units/parse-refuses", test_parse_refuses);
  g_test_add_func ("/units/format", test_format);
  g_test_add_func ("/units/number", test_number);
  g_test_add_func ("/units/round-trip", test_round_trip);
  g_test_add_func ("/units/stored", test_stored);
  g_test_add_func ("/units/rounding", test_rounding);
  return g_test_run ();
}
