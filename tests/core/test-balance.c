#include "core-balance.h"

#include <string.h>

#include "core-carbonation.h"
#include "core-error.h"

#include "deviation.h"

#define FT 0.3048
#define IN 25.4
#define FL_OZ 29.5735295625

/* clang-format off */
/* Chart of the American Society of Brewing Chemists at 2.5 volumes, sea level: F, psig; as quoted in a
 * published carbonation chart (secondary). */
static const double asbc[][2] = {
  { 32, 8.4 }, { 33, 8.8 }, { 34, 9.1 }, { 35, 9.7 }, { 36, 10.2 }, { 37, 10.8 },
  { 38, 11.3 }, { 39, 11.9 }, { 40, 12.4 }, { 41, 12.8 }, { 42, 13.3 },
};

/* "Force carbonation tables" of the home-brew digest, number 2788: F; psig at 2.0, 2.1 ... 3.0 volumes. */
static const struct
{
  double f, psig[11];
} digest[] = {
  { 32, { 3.5, 4.4, 5.4, 6.3, 7.3, 8.2, 9.2, 10.1, 11.0, 12.0, 12.9 } },
  { 34, { 4.3, 5.3, 6.3, 7.3, 8.2, 9.2, 10.2, 11.2, 12.1, 13.1, 14.1 } },
  { 36, { 5.1, 6.2, 7.2, 8.2, 9.2, 10.2, 11.2, 12.3, 13.3, 14.3, 15.3 } },
  { 38, { 6.0, 7.0, 8.1, 9.1, 10.2, 11.2, 12.3, 13.3, 14.4, 15.4, 16.5 } },
  { 40, { 6.8, 7.9, 9.0, 10.1, 11.2, 12.3, 13.4, 14.4, 15.5, 16.6, 17.7 } },
  { 42, { 7.7, 8.8, 10.0, 11.1, 12.2, 13.3, 14.4, 15.5, 16.7, 17.8, 18.9 } },
  { 44, { 8.6, 9.7, 10.9, 12.1, 13.2, 14.4, 15.5, 16.7, 17.8, 19.0, 20.1 } },
  { 46, { 9.5, 10.7, 11.8, 13.0, 14.2, 15.4, 16.6, 17.8, 19.0, 20.2, 21.3 } },
  { 48, { 10.4, 11.6, 12.8, 14.0, 15.3, 16.5, 17.7, 18.9, 20.1, 21.4, 22.6 } },
  { 50, { 11.3, 12.5, 13.8, 15.0, 16.3, 17.6, 18.8, 20.1, 21.3, 22.6, 23.8 } },
  { 60, { 15.9, 17.3, 18.8, 20.2, 21.6, 23.1, 24.5, 25.9, 27.4, 28.8, 30.2 } },
};

/* D. Miller, Brewing Techniques 2(1), table I, the widely reprinted chart: F, psig, volumes. */
static const double miller[][3] = {
  { 32, 1, 1.75 }, { 32, 2, 1.85 }, { 32, 3, 1.95 }, { 32, 4, 2.05 }, { 32, 5, 2.15 },
  { 32, 6, 2.27 }, { 32, 7, 2.38 }, { 32, 8, 2.48 }, { 32, 9, 2.59 }, { 32, 10, 2.70 },
  { 32, 11, 2.80 }, { 32, 12, 2.90 }, { 32, 13, 3.00 }, { 32, 14, 3.11 }, { 32, 15, 3.21 },
  { 34, 2, 1.78 }, { 34, 3, 1.86 }, { 34, 4, 1.97 }, { 34, 5, 2.06 }, { 34, 6, 2.18 },
  { 34, 7, 2.28 }, { 34, 8, 2.38 }, { 34, 9, 2.48 }, { 34, 10, 2.58 }, { 34, 11, 2.69 },
  { 34, 12, 2.79 }, { 34, 13, 2.90 }, { 34, 14, 3.00 }, { 34, 15, 3.09 }, { 34, 16, 3.19 },
  { 36, 3, 1.79 }, { 36, 4, 1.88 }, { 36, 5, 1.98 }, { 36, 6, 2.09 }, { 36, 7, 2.19 },
  { 36, 8, 2.29 }, { 36, 9, 2.38 }, { 36, 10, 2.47 }, { 36, 11, 2.57 }, { 36, 12, 2.67 },
  { 36, 13, 2.77 }, { 36, 14, 2.86 }, { 36, 15, 2.96 }, { 36, 16, 3.05 }, { 36, 17, 3.15 },
  { 36, 18, 3.24 }, { 38, 4, 1.80 }, { 38, 5, 1.90 }, { 38, 6, 2.00 }, { 38, 7, 2.10 },
  { 38, 8, 2.20 }, { 38, 9, 2.29 }, { 38, 10, 2.38 }, { 38, 11, 2.48 }, { 38, 12, 2.57 },
  { 38, 13, 2.66 }, { 38, 14, 2.75 }, { 38, 15, 2.85 }, { 38, 16, 2.94 }, { 38, 17, 3.03 },
  { 38, 18, 3.12 }, { 38, 19, 3.21 }, { 40, 5, 1.83 }, { 40, 6, 1.92 }, { 40, 7, 2.01 },
  { 40, 8, 2.10 }, { 40, 9, 2.20 }, { 40, 10, 2.30 }, { 40, 11, 2.39 }, { 40, 12, 2.47 },
  { 40, 13, 2.56 }, { 40, 14, 2.65 }, { 40, 15, 2.75 }, { 40, 16, 2.84 }, { 40, 17, 2.93 },
  { 40, 18, 3.01 }, { 40, 19, 3.10 }, { 40, 20, 3.19 }, { 40, 21, 3.28 }, { 42, 5, 1.75 },
  { 42, 6, 1.85 }, { 42, 7, 1.94 }, { 42, 8, 2.02 }, { 42, 9, 2.12 }, { 42, 10, 2.21 },
  { 42, 11, 2.30 }, { 42, 12, 2.39 }, { 42, 13, 2.48 }, { 42, 14, 2.56 }, { 42, 15, 2.65 },
  { 42, 16, 2.74 }, { 42, 17, 2.83 }, { 42, 18, 2.91 }, { 42, 19, 3.00 }, { 42, 20, 3.09 },
  { 42, 21, 3.18 }, { 42, 22, 3.26 }, { 44, 5, 1.69 }, { 44, 6, 1.78 }, { 44, 7, 1.87 },
  { 44, 8, 1.95 }, { 44, 9, 2.04 }, { 44, 10, 2.13 }, { 44, 11, 2.22 }, { 44, 12, 2.30 },
  { 44, 13, 2.39 }, { 44, 14, 2.47 }, { 44, 15, 2.56 }, { 44, 16, 2.64 }, { 44, 17, 2.73 },
  { 44, 18, 2.81 }, { 44, 19, 2.90 }, { 44, 20, 2.99 }, { 44, 21, 3.07 }, { 44, 22, 3.16 },
  { 44, 23, 3.24 }, { 46, 5, 1.62 }, { 46, 6, 1.71 }, { 46, 7, 1.80 }, { 46, 8, 1.88 },
  { 46, 9, 1.96 }, { 46, 10, 2.04 }, { 46, 11, 2.13 }, { 46, 12, 2.22 }, { 46, 13, 2.30 },
  { 46, 14, 2.38 }, { 46, 15, 2.47 }, { 46, 16, 2.55 }, { 46, 17, 2.64 }, { 46, 18, 2.72 },
  { 46, 19, 2.81 }, { 46, 20, 2.89 }, { 46, 21, 2.98 }, { 46, 22, 3.06 }, { 46, 23, 3.15 },
  { 46, 24, 3.23 },
};
/* clang-format on */

static double
get_psig (double f, double volumes)
{
  g_autoptr (GError) error = NULL;
  double kpa;

  td_carbonation_get_pressure ((f - 32) / 1.8, volumes, 0, &kpa, &error);
  g_assert_no_error (error);

  return kpa / TD_KPA_PER_PSI;
}

static void
test_charts (void)
{
  Deviation first = { .source = "CO2 chart at 2.5 volumes (ASBC)" };
  Deviation second = { .source = "CO2 tables of the home-brew digest" };
  Deviation third = { .source = "CO2 chart of Brewing Techniques" };
  Deviation inverse = { .source = "CO2 chart of Brewing Techniques, volumes" };

  for (guint i = 0; i < G_N_ELEMENTS (asbc); i++)
    deviation_check_absolute (&first, "psi", get_psig (asbc[i][0], 2.5), asbc[i][1], 0.3);
  deviation_check_absolute (&first, "38 F 2.4", get_psig (38, 2.4), 10.3, 0.3);
  deviation_check_absolute (&first, "38 F 2.8", get_psig (38, 2.8), 14.5, 0.3);
  for (guint i = 0; i < G_N_ELEMENTS (digest); i++)
    for (guint v = 0; v < 11; v++)
      deviation_check_absolute (&second, "psi", get_psig (digest[i].f, 2.0 + 0.1 * v),
                                digest[i].psig[v], 0.051);
  for (guint i = 0; i < G_N_ELEMENTS (miller); i++)
    {
      g_autofree char *what = g_strdup_printf ("%g F %g psi", miller[i][0], miller[i][1]);
      double volumes;

      deviation_check_absolute (&third, what, get_psig (miller[i][0], miller[i][2]), miller[i][1],
                                0.35);
      g_assert_true (td_carbonation_get_volumes ((miller[i][0] - 32) / 1.8,
                                                 miller[i][1] * TD_KPA_PER_PSI, 0, &volumes, NULL));
      deviation_check_absolute (&inverse, what, volumes, miller[i][2], 0.035);
    }
  deviation_tell (&first, "psi");
  deviation_tell (&second, "psi");
  deviation_tell (&third, "psi");
  deviation_tell (&inverse, "volumes");
}

/* +0.5 psi for every 1,000 ft, so that the same carbonation is held; and there and back. */
static void
test_altitude (void)
{
  double low, high, volumes;

  g_assert_true (td_carbonation_get_pressure (3.3, 2.5, 0, &low, NULL));
  g_assert_true (td_carbonation_get_pressure (3.3, 2.5, 5280 * FT, &high, NULL));
  g_assert_cmpfloat_with_epsilon ((high - low) / TD_KPA_PER_PSI, 0.5 * 5.28, 1e-9);
  g_assert_true (td_carbonation_get_volumes (3.3, high, 5280 * FT, &volumes, NULL));
  g_assert_cmpfloat_with_epsilon (volumes, 2.5, 1e-9);
}

/* c = (b + 14.7) / (a + 14.7): (11, 22) gives 70 %, (12, 25) gives 67 %. */
static void
test_blend (void)
{
  Deviation deviation = { .source = "handbook blends" };
  const double cases[][3] = { { 11, 22, 70 }, { 12, 25, 67 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    deviation_check_absolute (&deviation, "per cent CO2",
                              100
                                  * td_carbonation_get_blend_share (cases[i][0] * TD_KPA_PER_PSI,
                                                                    cases[i][1] * TD_KPA_PER_PSI,
                                                                    0),
                              cases[i][2], 0.5);
  deviation_tell (&deviation, "points");
  g_assert_cmpfloat (td_carbonation_get_blend_share (80, 80, 0), ==, 1);
  g_assert_true (isnan (td_carbonation_get_blend_share (-200, 80, 0)));
  /* Thinner air, the same gauge pressures: less CO2 is enough. */
  g_assert_cmpfloat (td_carbonation_get_blend_share (80, 160, 1600), <,
                     td_carbonation_get_blend_share (80, 160, 0));
}

static TdBalance
solve (TdBalanceQuestion question)
{
  g_autoptr (GError) error = NULL;
  TdBalance balance;
  gboolean fits = td_balance_solve (&question, NULL, &balance, &error);

  g_assert_no_error (error);
  g_assert_true (fits);

  return balance;
}

/* Printed balances of the Draught Beer Quality Manual: restriction and 0.5 psi a foot of rise. */
static void
test_handbook (void)
{
  Deviation deviation = { .source = "handbook balances" };
  const struct
  {
    TdBalanceSegment segments[3];
    guint n;
    double rise_ft, psi;
  } printed[] = {
    { { { "vinyl", IN * 3 / 16, 3 * FT } }, 1, 4, 11 },
    { { { "vinyl", IN / 4, 10 * FT } }, 1, 8, 12.5 },
    { { { "barrier", IN / 4, 30 * FT } }, 1, 6, 12 },
    { { { "vinyl", IN * 3 / 8, 5 * FT },
        { "barrier", IN / 4, 63.3 * FT },
        { "stainless", 6.5, 6.67 * FT } },
      3,
      0,
      22 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (printed); i++)
    {
      TdBalance balance = solve ((TdBalanceQuestion){
          3.3, 2.5, 0, printed[i].rise_ft * FT, printed[i].segments, printed[i].n, NAN, NAN });

      deviation_check_absolute (&deviation, "psi",
                                (balance.restriction_kpa + balance.rise_kpa) / TD_KPA_PER_PSI,
                                printed[i].psi, 0.02);
      g_assert_cmpfloat_with_epsilon (
          balance.excess_kpa, balance.equilibrium_kpa - balance.restriction_kpa - balance.rise_kpa,
          1e-9);
    }
  deviation_tell (&deviation, "psi");
}

/* Poured at the rate told, the losses and the rise take up the pressure applied; by the laws of
 * core-pipe.h, written out again. */
static void
test_pour (void)
{
  const TdBalanceSegment segments[] = { { "barrier", 7.9375, 10 }, { "vinyl", 4.7625, 1.5 } };
  TdBalanceQuestion question = { 3.3, 2.5, 0, 3, segments, 2, 250, NAN };
  TdBalance balance = solve (question);
  double head = 0, flow = balance.pour_l_min / 60000, weight = 1010 * 9.80665 / 1e3;
  double viscosity = 1.6167e-3 * 1.5; /* water at 3.3 C by IAPWS, times the setting */

  for (guint i = 0; i < 2; i++)
    {
      double bore = segments[i].bore_mm / 1e3, v = flow / (G_PI / 4 * bore * bore), f = 0.02;
      double reynolds = v * bore * 1010 / viscosity;

      g_assert_cmpfloat (reynolds, >, 4000);
      for (int n = 0; n < 60; n++)
        f = pow (-2 * log10 (0.0015e-3 / bore / 3.7 + 2.51 / (reynolds * sqrt (f))), -2);
      head += (f * segments[i].length_m / bore + (i == 1 ? 6 : 0)) * v * v / (2 * 9.80665);
    }
  g_assert_cmpfloat (fabs ((head + 3) * weight / 250 - 1), <, 2e-3);
  g_assert_cmpfloat_with_epsilon (balance.volume_ml,
                                  G_PI / 4 * (7.9375 * 7.9375 * 10 + 4.7625 * 4.7625 * 1.5), 1e-9);

  /* More pressure, less rise, a wider tube: never a slower pour. */
  question.applied_kpa = 270;
  g_assert_cmpfloat (solve (question).pour_l_min, >, balance.pour_l_min);
  question.applied_kpa = 250;
  question.rise_m = 2;
  g_assert_cmpfloat (solve (question).pour_l_min, >, balance.pour_l_min);
  question.rise_m = 30;
  g_assert_cmpfloat (solve (question).pour_l_min, ==, 0);
}

static gboolean
says (const TdBalance *balance, TdVerdict verdict)
{
  for (guint i = 0; i < balance->n_verdicts; i++)
    if (balance->verdicts[i] == verdict)
      return TRUE;

  return FALSE;
}

static void
test_verdicts (void)
{
  const TdBalanceSegment choker[] = { { "barrier", 9.525, 8 }, { "vinyl", 4.7625, 1.2 } };
  TdBalanceQuestion good = { 3.3, 2.5, 0, 1, choker, 2, NAN, NAN };
  TdBalance balance;
  TdBalanceSegment tuned[2];
  double low = 0.01, high = 20;

  /* The choker that pours at the rate aimed for. */
  memcpy (tuned, choker, sizeof tuned);
  good.segments = tuned;
  for (int i = 0; i < 40; i++)
    {
      tuned[1].length_m = 0.5 * (low + high);
      *(solve (good).pour_l_min > 3.549 ? &low : &high) = tuned[1].length_m;
    }
  g_assert_cmpfloat (low, >, 0.1);
  balance = solve (good);
  g_assert_cmpuint (balance.n_verdicts, ==, 1);
  g_assert_true (says (&balance, TD_VERDICT_GOOD));

  {
    const struct
    {
      double temperature, applied, pour;
      gboolean foaming;
      TdVerdict first;
    } cases[] = {
      { 7, NAN, NAN, TRUE, TD_VERDICT_WARM },
      { 0.5, NAN, NAN, FALSE, TD_VERDICT_COLD },
      { 3.3, balance.equilibrium_kpa - 20, NAN, TRUE, TD_VERDICT_PRESSURE_LOW },
      { 3.3, balance.equilibrium_kpa + 20, NAN, TRUE, TD_VERDICT_PRESSURE_HIGH },
      { 3.3, NAN, 1.5, FALSE, TD_VERDICT_OBSTRUCTED },
      { 3.3, NAN, 5, TRUE, TD_VERDICT_TOO_FAST },
      { 3.3, NAN, 3.5, TRUE, TD_VERDICT_EQUIPMENT },
      { 3.3, NAN, 3.5, FALSE, TD_VERDICT_GOOD },
      { 7, balance.equilibrium_kpa, 5, TRUE, TD_VERDICT_WARM },
    };

    for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
      {
        TdBalanceQuestion question = good;
        g_autofree char *text = NULL;

        question.temperature_c = cases[i].temperature;
        question.applied_kpa = cases[i].applied;
        question.pour_l_min = cases[i].pour;
        question.foaming = cases[i].foaming;
        balance = solve (question);
        text = td_balance_explain (&question, &balance, balance.verdicts[0]);
        if (balance.verdicts[0] != cases[i].first)
          g_error ("case %u says %s: %s", i, td_verdict_to_text (balance.verdicts[0]), text);
        g_assert_cmpuint (strlen (text), >, 20);
      }
  }
  /* Warm beer at a pressure that was right: both are told, temperature first. */
  good.temperature_c = 7;
  good.applied_kpa = 75;
  balance = solve (good);
  g_assert_true (says (&balance, TD_VERDICT_PRESSURE_LOW));
  /* A line too long for its pressure. */
  good.temperature_c = 3.3;
  good.applied_kpa = NAN;
  tuned[1].length_m *= 10;
  balance = solve (good);
  g_assert_true (says (&balance, TD_VERDICT_TOO_SLOW));
}

static void
test_json (void)
{
  const TdBalanceSegment segments[] = { { "barrier", 6.35, 30 * FT } };
  const TdBalanceSegment unknown[] = { { "copper", 5.5, 3 } };
  TdBalanceQuestion question = { 3.3333, 2.5, 0, 6 * FT, segments, 1, NAN, NAN };
  TdBalance balance = solve (question);
  g_autoptr (TdJson) json = td_balance_to_json (&question, &balance);
  g_autoptr (TdJson) other = NULL;

  g_assert_cmpfloat_with_epsilon (td_json_get_number (td_json_get_member (json, "equilibrium_psi")),
                                  11.2, 0.05);
  g_assert_cmpfloat_with_epsilon (td_json_get_number (td_json_get_member (json, "restriction_psi")),
                                  9, 1e-9);
  g_assert_cmpfloat_with_epsilon (td_json_get_number (td_json_get_member (json, "needed_psi")), 12,
                                  1e-9);
  question.segments = unknown;
  balance = solve (question);
  other = td_balance_to_json (&question, &balance);
  g_assert_true (td_json_get_kind (td_json_get_member (other, "restriction_kpa")) == TD_JSON_NULL);
  g_assert_cmpfloat (td_json_get_number (td_json_get_member (other, "pour_rate_l_min")), >, 0);
}

static void
test_refused (void)
{
  const TdBalanceSegment segment = { "vinyl", 6.35, 3 }, thin = { "vinyl", 0, 3 };
  const struct
  {
    TdBalanceQuestion question;
    const char *says;
  } cases[] = {
    { { 20, 2.5, 0, 1, &segment, 1, NAN, NAN }, "*temperature of 20 C*" },
    { { 3, 4, 0, 1, &segment, 1, NAN, NAN }, "*carbonation of 4 volumes*" },
    { { 3, 2.5, -5, 1, &segment, 1, NAN, NAN }, "*altitude of -5 m*" },
    { { 3, 2.5, 0, 1, NULL, 0, NAN, NAN }, "*at least one segment*" },
    { { 3, 2.5, 0, 1, &thin, 1, NAN, NAN }, "Segment 1: A bore*" },
    { { 3, 2.5, 0, NAN, &segment, 1, NAN, NAN }, "A rise*" },
    { { 3, 2.5, 0, 1, &segment, 1, -5, NAN }, "A gas pressure*" },
    { { 3, 2.5, 0, 1, &segment, 1, NAN, -1 }, "A pour rate*" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      TdBalance balance;

      g_assert_false (td_balance_solve (&cases[i].question, NULL, &balance, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      if (!g_pattern_match_simple (cases[i].says, error->message))
        g_error ("case %u says: %s", i, error->message);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/balance/charts", test_charts);
  g_test_add_func ("/balance/altitude", test_altitude);
  g_test_add_func ("/balance/blend", test_blend);
  g_test_add_func ("/balance/handbook", test_handbook);
  g_test_add_func ("/balance/pour", test_pour);
  g_test_add_func ("/balance/verdicts", test_verdicts);
  g_test_add_func ("/balance/json", test_json);
  g_test_add_func ("/balance/refused", test_refused);

  return g_test_run ();
}
