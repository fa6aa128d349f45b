/* Figures as they are printed. Factors: NIST Handbook 44, appendix C: 1 US gal = 3.785411784 L, 1
 * US fl oz = 29.57353 mL, 1 psi = 6.894757 kPa. */
#include "document-time.h"
#include "document-units.h"

#define DASH "\xe2\x80\x93"
#define DEGREE "\xc2\xb0"

typedef char *(*Format) (TdUnits units, gint64 value);

static const struct
{
  Format format;
  TdUnits units;
  gint64 value;
  const char *text;
} figures[] = {
  { td_units_volume, TD_UNITS_METRIC, 536, "536 mL" },
  { td_units_volume, TD_UNITS_METRIC, 999, "999 mL" },
  { td_units_volume, TD_UNITS_METRIC, 1000, "1.00 L" },
  { td_units_volume, TD_UNITS_METRIC, 20000, "20.00 L" },
  { td_units_volume, TD_UNITS_METRIC, 0, "0 mL" },
  { td_units_volume, TD_UNITS_METRIC, TD_NONE, DASH },
  /* 536 / 29.57353 = 18.124 */
  { td_units_volume, TD_UNITS_US, 536, "18.1 fl oz (536 mL)" },
  /* 20000 / 3785.411784 = 5.2834 */
  { td_units_volume, TD_UNITS_US, 20000, "5.28 gal (20.00 L)" },
  { td_units_temperature, TD_UNITS_METRIC, 40000, "40.0 " DEGREE "C" },
  { td_units_temperature, TD_UNITS_METRIC, -1500, "-1.5 " DEGREE "C" },
  { td_units_temperature, TD_UNITS_US, 40000, "104.0 " DEGREE "F" },
  { td_units_temperature, TD_UNITS_US, 3333, "38.0 " DEGREE "F" },
  { td_units_temperature, TD_UNITS_US, TD_NONE, DASH },
  { td_units_pressure, TD_UNITS_METRIC, 96526, "0.97 bar" },
  /* 14 psi = 96526.6 Pa */
  { td_units_pressure, TD_UNITS_US, 96527, "14.0 psi" },
  { td_units_pressure, TD_UNITS_METRIC, TD_NONE, DASH },
  { td_units_flow, TD_UNITS_METRIC, 3785, "3.8 L/min" },
  { td_units_flow, TD_UNITS_US, 3785, "1.00 gal/min" },
  { td_units_flow, TD_UNITS_US, TD_NONE, DASH },
  /* 2 fl oz/s = 3548.8 mL/min */
  { td_units_pour_rate, TD_UNITS_US, 3549, "2.00 fl oz/s" },
  { td_units_pour_rate, TD_UNITS_METRIC, 3549, "59 mL/s" },
  { td_units_pour_rate, TD_UNITS_METRIC, TD_NONE, DASH },
};

static void
test_figures (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (figures); i++)
    {
      g_autofree char *text = figures[i].format (figures[i].units, figures[i].value);

      g_assert_cmpstr (text, ==, figures[i].text);
    }
}

static void
test_plain (void)
{
  static const struct
  {
    char *(*format) (gint64 value);
    gint64 value;
    const char *text;
  } cases[] = {
    { td_figure_ph, 7420, "7.42" },         { td_figure_ph, 7400, "7.40" },
    { td_figure_ph, 7000, "7.0" },          { td_figure_ph, 7500, "7.5" },
    { td_figure_ph, 7431, "7.431" },        { td_figure_ph, 0, "0.0" },
    { td_figure_ph, TD_NONE, DASH },        { td_figure_percent, 2000, "2.00 %" },
    { td_figure_percent, 2213, "2.213 %" }, { td_figure_percent, TD_NONE, DASH },
    { td_figure_minutes, 0, "0:00" },       { td_figure_minutes, 59, "0:59" },
    { td_figure_minutes, 899, "14:59" },    { td_figure_minutes, 3599, "59:59" },
    { td_figure_minutes, 3600, "60:00" }, { td_figure_minutes, 90061, "1501:01" },
    { td_figure_minutes, TD_NONE, DASH },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = cases[i].format (cases[i].value);

      g_assert_cmpstr (text, ==, cases[i].text);
    }
}

/* 2026-06-16 is a Tuesday (ISO 8601 week 25); +05:45 is Nepal's offset, the oddest in use. */
static void
test_times (void)
{
  const gint64 base = 1781586240000; /* 2026-06-16T05:04:00Z */
  g_autofree char *same = td_time_clock (base, 60, base);
  g_autofree char *seconds = td_time_clock_seconds (base + 7000, 60, base);
  g_autofree char *next_day = td_time_clock (base + 86400000, 60, base);
  g_autofree char *nepal = td_time_clock (base, 345, base);
  g_autofree char *none = td_time_clock (TD_NONE, 60, base);
  g_autofree char *date = td_date_to_words (td_date_make (2026, 6, 16));
  g_autofree char *no_date = td_date_to_words (TD_DATE_NONE);
  g_autofree char *east = td_offset_to_text (345), *west = td_offset_to_text (-210),
                  *zero = td_offset_to_text (0);

  g_assert_cmpstr (same, ==, "06:04");
  g_assert_cmpstr (seconds, ==, "06:04:07");
  g_assert_cmpstr (next_day, ==, "2026-06-17 06:04");
  g_assert_cmpstr (nepal, ==, "10:49");
  g_assert_cmpstr (none, ==, DASH);
  g_assert_cmpstr (date, ==, "Tuesday 16 June 2026");
  g_assert_cmpstr (no_date, ==, DASH);
  g_assert_cmpstr (east, ==, "UTC+05:45");
  g_assert_cmpstr (west, ==,
                   "UTC\xe2\x88\x92"
                   "03:30");
  g_assert_cmpstr (zero, ==, "UTC+00:00");
}

static void
test_names (void)
{
  TdUnits units;

  g_assert_true (td_units_from_text ("us", &units));
  g_assert_cmpint (units, ==, TD_UNITS_US);
  g_assert_true (td_units_from_text ("Metric", &units));
  g_assert_cmpint (units, ==, TD_UNITS_METRIC);
  g_assert_false (td_units_from_text ("imperial", &units));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/units/figures", test_figures);
  g_test_add_func ("/units/plain", test_plain);
  g_test_add_func ("/units/times", test_times);
  g_test_add_func ("/units/names", test_names);
  return g_test_run ();
}
