#include "core-mix.h"

#include "core-error.h"
#include "core-fluid.h"
#include "core-titration.h"

#include "deviation.h"

static TdMixQuestion
ask (const char *substance,
     TdBasis basis,
     double concentrate,
     double target,
     double density_g_ml,
     double water_l,
     double total_l)
{
  return (TdMixQuestion){ substance,          basis,   concentrate, target,
                          density_g_ml * 1e3, water_l, total_l,     20 };
}

static TdMix
solve (TdMixQuestion question)
{
  g_autoptr (GError) error = NULL;
  TdMix mix;
  gboolean fits = td_mix_solve (&question, &mix, &error);

  g_assert_no_error (error);
  g_assert_true (fits);

  return mix;
}

/* A calculation found in a home-brewing forum (secondary): 85 % (1.689 g/mL) to 500 mL of 10 %
 * (1.053): 36.67 mL, 61.94 g. And arithmetic on CRC and Perry densities: 20.000 L of 2 % at 20 C
 * from 50 % (1.5253): 535.3 mL, 19597.4 g of water, 19.632 L of it; C1 V1 = C2 V2 says 800 mL. */
static void
test_worked (void)
{
  Deviation deviation = { .source = "worked dilutions by mass" };
  TdMix acid = solve (ask ("h3po4", TD_BASIS_W_W, 85, 10, 1.689, NAN, 0.5));
  TdMix caustic = solve (ask ("naoh", TD_BASIS_W_W, 50, 2, NAN, NAN, 20));

  deviation_check (&deviation, "acid mL", acid.concentrate_ml, 36.67, 0.1);
  deviation_check (&deviation, "acid g", acid.concentrate_g, 61.94, 0.1);
  deviation_check (&deviation, "caustic mL", caustic.concentrate_ml, 535.3, 0.1);
  deviation_check (&deviation, "water g", caustic.water_g, 19597.4, 0.1);
  deviation_check (&deviation, "water L", caustic.water_l, 19.632, 0.1);
  deviation_check (&deviation, "sum before contraction",
                   caustic.water_l + caustic.concentrate_ml / 1e3, 20.168, 0.1);
  deviation_check (&deviation, "volume rule", caustic.volume_rule_ml, 800, 1e-9);
  deviation_tell (&deviation, "%");
}

/* A label's doses, 7 US fl oz a gallon for 2 % and 11 for 3 %, fit 30 % w/w caustic soda: 2.03 and
 * 3.08 % (derived). */
static void
test_label (void)
{
  Deviation deviation = { .source = "label dose of 30 % caustic soda" };
  const double fl_oz_ml = 29.5735295625, gallon_l = 3.785411784;
  const double doses[][2] = { { 7, 2.03 }, { 11, 3.08 } };

  for (guint i = 0; i < 2; i++)
    {
      double low = 0.1, high = 10;

      for (int n = 0; n < 50; n++)
        {
          double target = 0.5 * (low + high);
          TdMix mix = solve (ask ("naoh", TD_BASIS_W_W, 30, target, NAN, gallon_l, NAN));

          *(mix.concentrate_ml < doses[i][0] * fl_oz_ml ? &low : &high) = target;
        }
      deviation_check (&deviation, "per cent", low, doses[i][1], 0.3);
    }
  deviation_tell (&deviation, "%");
}

/* Whatever is asked: mass is kept, the strength comes out, water and total are two views of one
 * mix. */
static void
test_balance (void)
{
  const char *substances[] = { "naoh", "koh", "h3po4", NULL };
  const TdBasis bases[] = { TD_BASIS_W_W, TD_BASIS_W_V };

  for (int i = 0; i < 4000; i++)
    {
      const char *substance = substances[i % 4];
      TdBasis basis = bases[i / 4 % 2];
      double strong = g_test_rand_double_range (18, 50);
      double density = substance == NULL || i % 3 == 0 ? g_test_rand_double_range (1.05, 1.5) : NAN;
      double target = g_test_rand_double_range (0.1, 9);
      TdMix mix = solve (ask (substance, basis, strong, target, density, 10, NAN));
      TdMix same = solve (ask (substance, basis, strong, target, density, NAN, mix.total_l));
      TdMix twice = solve (ask (substance, basis, strong, target, density, 20, NAN));
      double active = basis == TD_BASIS_W_W ? mix.concentrate_g * strong / 100
                                            : mix.concentrate_ml * strong / 100;

      g_assert_cmpfloat_with_epsilon (mix.water_l, 10, 1e-9);
      g_assert_cmpfloat (fabs (mix.total_g / (mix.water_g + mix.concentrate_g) - 1), <, 1e-12);
      g_assert_cmpfloat (fabs (mix.total_g / mix.total_l / mix.solution_density_kg_m3 - 1), <,
                         1e-12);
      g_assert_cmpfloat (fabs (active / mix.total_g * 100 / mix.percent_w_w - 1), <, 1e-9);
      g_assert_cmpfloat (fabs (active / mix.total_l / 10 / mix.percent_w_v - 1), <, 1e-9);
      g_assert_cmpfloat (
          fabs ((basis == TD_BASIS_W_W ? mix.percent_w_w : mix.percent_w_v) / target - 1), <, 1e-9);
      g_assert_cmpfloat (fabs (same.concentrate_ml / mix.concentrate_ml - 1), <, 1e-9);
      g_assert_cmpfloat (fabs (same.water_l / 10 - 1), <, 1e-9);
      g_assert_cmpfloat (fabs (twice.concentrate_ml / mix.concentrate_ml / 2 - 1), <, 1e-9);
      g_assert_true (mix.estimated == (substance == NULL));
    }
}

/* By volume: 2 % of a product in 20 L is 400 mL and the rest water. */
static void
test_by_volume (void)
{
  TdMix mix = solve (ask (NULL, TD_BASIS_V_V, 100, 2, 1.2, NAN, 20));
  TdMix water = solve (ask (NULL, TD_BASIS_V_V, 100, 2, 1.2, 19.6, NAN));
  TdMix bare = solve (ask ("naoh", TD_BASIS_V_V, 100, 2, NAN, NAN, 20));
  TdMix half = solve (ask (NULL, TD_BASIS_V_V, 50, 2, 1.2, NAN, 20));

  g_assert_cmpfloat_with_epsilon (mix.concentrate_ml, 400, 1e-9);
  g_assert_cmpfloat_with_epsilon (mix.concentrate_g, 480, 1e-9);
  g_assert_cmpfloat_with_epsilon (mix.water_l, 19.6, 1e-9);
  g_assert_cmpfloat_with_epsilon (water.concentrate_ml, 400, 1e-9);
  g_assert_cmpfloat_with_epsilon (mix.percent_w_w, 100 * 480 / (480 + 19.6 * 998.204), 1e-5);
  g_assert_cmpfloat_with_epsilon (half.concentrate_ml, 800, 1e-9);
  g_assert_true (isnan (half.percent_w_w));
  g_assert_cmpfloat_with_epsilon (bare.concentrate_ml, 400, 1e-9);
  g_assert_cmpfloat_with_epsilon (bare.water_l, 19.6, 1e-9);
  g_assert_true (isnan (bare.concentrate_g) && isnan (bare.percent_w_w) && isnan (bare.total_g));
  g_assert_true (mix.estimated);
}

/* Added to a weak solution, and mixed fresh: the same liquid. */
static void
test_strengthen (void)
{
  TdMixQuestion question = ask ("naoh", TD_BASIS_W_W, 30, 3, NAN, NAN, NAN);
  TdMix weak = solve (ask ("naoh", TD_BASIS_W_W, 30, 1.2, NAN, 10, NAN));
  TdMix fresh = solve (ask ("naoh", TD_BASIS_W_W, 30, 3, NAN, 10, NAN));
  g_autoptr (GError) error = NULL;
  TdMix more;

  g_assert_true (td_mix_strengthen (&question, weak.total_l, 1.2, &more, NULL));
  g_assert_cmpfloat_with_epsilon (weak.concentrate_g + more.concentrate_g, fresh.concentrate_g,
                                  1e-6);
  g_assert_cmpfloat_with_epsilon (more.total_l, fresh.total_l, 1e-9);
  g_assert_false (td_mix_strengthen (&question, 10, 3, &more, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
}

static void
test_blend (void)
{
  double cold, hot, wet;
  g_autoptr (GError) error = NULL;

  g_assert_true (td_mix_blend_water (20, 40, 10, 60, &cold, &hot, NULL));
  /* Three fifths of the mass is hot. */
  g_assert_cmpfloat (fabs (hot * 983.196 / (hot * 983.196 + cold * 999.702) - 0.6), <, 1e-5);
  g_assert_cmpfloat (fabs (hot * 983.196 + cold * 999.702 - 20 * 992.216), <, 0.05);
  g_assert_true (td_mix_blend_water (20, 10, 10, 60, &cold, &wet, NULL));
  g_assert_cmpfloat (wet, ==, 0);
  g_assert_cmpfloat_with_epsilon (cold, 20, 1e-9);
  g_assert_false (td_mix_blend_water (20, 61, 10, 60, &cold, &hot, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
  g_clear_error (&error);
  g_assert_false (td_mix_blend_water (20, 50, 10, 80, &cold, &hot, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
}

/* 50 mL of sample and 0.5 N acid: NaOH % = (2P - M) x 0.04, Na2CO3 % = (M - P) x 0.106. */
static void
test_titration (void)
{
  const double readings[][4] = { /* P, M, NaOH, Na2CO3 */
                                 { 50, 50, 2.0, 0 },
                                 { 52, 56, 1.92, 0.424 },
                                 { 80, 85, 3.0, 0.53 },
                                 { 0, 0, 0, 0 }
  };
  g_autoptr (GError) error = NULL;
  TdTitration titration;

  for (guint i = 0; i < G_N_ELEMENTS (readings); i++)
    {
      g_assert_true (td_titration_read (readings[i][0], readings[i][1], 50, 0.5, &titration, NULL));
      g_assert_cmpfloat_with_epsilon (titration.naoh_percent, readings[i][2], 1e-9);
      g_assert_cmpfloat_with_epsilon (titration.na2co3_percent, readings[i][3], 1e-9);
      g_assert_false (titration.spent);
    }
  /* Half of the sample with acid of half the strength reads the same. */
  g_assert_true (td_titration_read (52, 56, 25, 0.25, &titration, NULL));
  g_assert_cmpfloat_with_epsilon (titration.naoh_percent, 1.92, 1e-9);
  g_assert_true (td_titration_read (10, 30, 50, 0.5, &titration, NULL));
  g_assert_true (titration.spent);
  g_assert_cmpfloat (titration.naoh_percent, ==, 0);
  g_assert_cmpfloat_with_epsilon (titration.na2co3_percent, 1.06, 1e-9);
  g_assert_false (td_titration_read (30, 20, 50, 0.5, &titration, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
  g_clear_error (&error);
  g_assert_false (td_titration_read (20, 30, 0, 0.5, &titration, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);

  g_assert_cmpfloat_with_epsilon (td_titration_count_drops (9, 0.25), 2.25, 1e-12);
  g_assert_true (isnan (td_titration_count_drops (0, 0.25)));
}

/* A solution titrated right after mixing reads what was mixed: w/v by way of the table's density.
 */
static void
test_titration_of_mix (void)
{
  TdMix mix = solve (ask ("naoh", TD_BASIS_W_W, 50, 2, NAN, 10, NAN));
  double grams_in_sample = 50 * mix.percent_w_v / 100;
  double acid_ml = grams_in_sample / 40.00 / 0.5 * 1e3;
  TdTitration titration;

  g_assert_true (td_titration_read (acid_ml, acid_ml, 50, 0.5, &titration, NULL));
  g_assert_cmpfloat_with_epsilon (titration.naoh_percent, 2 * 1.0207, 1e-3);
}

static void
test_json (void)
{
  TdMix mix = solve (ask ("naoh", TD_BASIS_W_W, 50, 2, NAN, NAN, 20));
  TdMix unknown = solve (ask (NULL, TD_BASIS_V_V, 50, 2, 1.2, NAN, 20));
  g_autoptr (TdJson) json = td_mix_to_json (&mix);
  g_autoptr (TdJson) other = td_mix_to_json (&unknown);

  g_assert_cmpfloat_with_epsilon (td_json_get_number (td_json_get_member (json, "concentrate_ml")),
                                  535.34, 0.01);
  g_assert_cmpfloat (td_json_get_number (td_json_get_member (json, "percent")), ==, 2);
  g_assert_cmpstr (td_json_get_string (td_json_get_member (json, "basis")), ==, "w/w");
  g_assert_true (td_json_get_kind (td_json_get_member (other, "percent_w_w")) == TD_JSON_NULL);
  g_assert_true (td_json_get_kind (td_json_get_member (other, "substance")) == TD_JSON_NULL);
}

static void
test_refused (void)
{
  const struct
  {
    TdMixQuestion question;
    const char *says;
  } cases[] = {
    { ask ("naoh", TD_BASIS_W_W, 0, 2, NAN, 10, NAN), "A concentrate of 0*" },
    { ask ("naoh", TD_BASIS_W_W, 101, 2, NAN, 10, NAN), "*100 is all of it" },
    { ask ("naoh", TD_BASIS_W_W, 30, 0, NAN, 10, NAN), "A target of 0*" },
    { ask ("naoh", TD_BASIS_W_W, 30, 30, NAN, 10, NAN), "*not weaker*" },
    { ask ("naoh", TD_BASIS_W_W, 30, 2, 1530, 10, NAN), "A density of 1530 g/mL*" },
    { ask (NULL, TD_BASIS_W_W, 30, 2, NAN, 10, NAN), "*give the density*" },
    { ask ("naoh", TD_BASIS_W_W, 30, 2, NAN, NAN, NAN), "*one of the two" },
    { ask ("naoh", TD_BASIS_W_W, 30, 2, NAN, 10, 10), "*one of the two" },
    { ask ("naoh", TD_BASIS_W_W, 30, 2, NAN, -1, NAN), "An amount of -1*" },
    { ask ("naoh", TD_BASIS_W_W, 60, 2, NAN, 10, NAN),
      "The density of the concentrate has to be given*" },
    { ask ("peracetic", TD_BASIS_W_W, 15, 2, 1.1, 10, NAN), "There is no table*" },
    { ask ("peracetic", TD_BASIS_W_W, 15, 2, NAN, 10, NAN), "There is no table*" },
    { ask ("peracetic", TD_BASIS_V_V, 100, 2, 1.1, 10, NAN), "There is no table*" },
    { ask ("naoh", TD_BASIS_W_V, 90, 2, NAN, 10, NAN),
      "*outside the table of naoh*give its density" },
    { ask ("naoh", TD_BASIS_W_V, 130, 2, 1.2, 10, NAN), "*cannot weigh*" },
    { ask ("naoh", TD_BASIS_W_V, 10, 9, 1.4, 10, NAN), "*check its density" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      TdMix mix;

      g_assert_false (td_mix_solve (&cases[i].question, &mix, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      if (!g_pattern_match_simple (cases[i].says, error->message))
        g_error ("case %u says: %s", i, error->message);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/mix/worked", test_worked);
  g_test_add_func ("/mix/label", test_label);
  g_test_add_func ("/mix/balance", test_balance);
  g_test_add_func ("/mix/by-volume", test_by_volume);
  g_test_add_func ("/mix/strengthen", test_strengthen);
  g_test_add_func ("/mix/blend", test_blend);
  g_test_add_func ("/mix/titration", test_titration);
  g_test_add_func ("/mix/titration-of-mix", test_titration_of_mix);
  g_test_add_func ("/mix/json", test_json);
  g_test_add_func ("/mix/refused", test_refused);

  return g_test_run ();
}
