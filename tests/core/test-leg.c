#include "core-leg.h"

#include "core-error.h"
#include "core-pipe.h"

#include "deviation.h"

#define SITE_START                                                                                 \
  "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C1\",\"height_m\":-1}],"                  \
  "\"towers\":[{\"id\":\"T1\",\"height_m\":3}],\"lines\":["
#define LONG_LINE                                                                                         \
  "{\"id\":\"long\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":30," \
  "\"k\":2},{\"bore_mm\":4.7625,\"length_m\":1.5,\"k\":4}]}"
#define MEASURED_LINE                                                                              \
  "{\"id\":\"measured\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":12.5,\"volume_ml\":2140}"
#define PUMP ",\"cleaning_pump\":{\"curve\":[[0,45],[4,38],[8,15]]}"

static TdSite *
read_site (const char *lines, const char *rest)
{
  g_autofree char *text = g_strconcat (SITE_START, lines, "]", rest, "}", NULL);
  g_autoptr (GError) error = NULL;
  TdSite *site = td_site_parse (text, -1, &error);

  g_assert_no_error (error);

  return site;
}

static TdLegModel *
read_model (const TdSite *site, const TdSettings *settings)
{
  g_autoptr (GError) error = NULL;
  TdLegModel *model = td_leg_model_new (site, settings, &error);

  g_assert_no_error (error);

  return model;
}

/* Darcy and Weisbach by hand at 3.785 L/min of 2 % NaOH at 40 C. */
static double
get_loss_by_hand (const TdFluid *fluid, double bore_mm, double length_m, double k)
{
  double v = 3.785 / 60000 / (G_PI / 4 * bore_mm * bore_mm * 1e-6);
  double reynolds = v * bore_mm / 1e3 * fluid->density_kg_m3 / fluid->viscosity_pa_s, f = 0.02;

  for (int i = 0; i < 100; i++)
    f = pow (-2 * log10 (0.0015 / bore_mm / 3.7 + 2.51 / (reynolds * sqrt (f))), -2);

  return (f * length_m * 1e3 / bore_mm + k) * v * v / (2 * 9.80665);
}

static void
test_known (void)
{
  g_autoptr (TdSite) site = read_site (LONG_LINE, PUMP);
  g_autoptr (TdLegModel) model = read_model (site, NULL);
  const TdFluid *fluid = td_leg_model_get_fluid (model);
  double tubes = get_loss_by_hand (fluid, 9.525, 30, 2) + get_loss_by_hand (fluid, 4.7625, 1.5, 4);
  double jumper = get_loss_by_hand (fluid, 9.525, 1, 2); /* the defaults of the settings */

  /* 2 % NaOH: 1.0207 g/cm3 and 1.112 mPa s at 20 C (CRC), thinner and lighter at 40 C. */
  g_assert_cmpfloat_with_epsilon (fluid->density_kg_m3, 1013.4, 0.6);
  g_assert_cmpfloat_with_epsilon (fluid->viscosity_pa_s, 1.112e-3 * 0.6527 / 1.0016, 5e-6);
  g_assert_true (td_leg_model_is_known (model, 0));
  g_assert_cmpint (td_leg_model_get_loss_um (model, 0), ==, llround (1e6 * (tubes + jumper)));
  g_assert_cmpfloat_with_epsilon (td_leg_model_get_loss_m (model, 0, 3.785), tubes + jumper, 1e-9);
  g_assert_cmpfloat (td_leg_model_get_loss_m (model, 0, 0), ==, 0);
  g_assert_cmpfloat_with_epsilon (td_leg_model_get_volume_ml (model, 0),
                                  G_PI / 4 * (9.525 * 9.525 * 30 + 4.7625 * 4.7625 * 1.5), 1e-6);
  g_assert_cmpfloat (td_leg_model_get_jumper (model)->length_m, ==, 1);
  g_assert_cmpfloat (td_leg_model_get_min_flow_l_min (model), ==, 3.785);
}

static void
test_measured (void)
{
  g_autoptr (TdSite) site = read_site (MEASURED_LINE, PUMP);
  g_autoptr (TdLegModel) model = read_model (site, NULL);

  g_assert_false (td_leg_model_is_known (model, 0));
  /* The jumper's share is in the figure already. */
  g_assert_cmpint (td_leg_model_get_loss_um (model, 0), ==, 12500000);
  g_assert_cmpfloat (td_leg_model_get_loss_m (model, 0, 3.785), ==, 12.5);
  g_assert_true (isnan (td_leg_model_get_loss_m (model, 0, 4)));
  g_assert_cmpfloat (td_leg_model_get_volume_ml (model, 0), ==, 2140);
}

static void
test_settings (void)
{
  g_autoptr (TdSite) site = read_site (LONG_LINE "," MEASURED_LINE, "");
  g_autoptr (TdSettings) standard = td_settings_new ();
  g_autoptr (TdSettings) longer = td_settings_with (standard, TD_SETTING_JUMPER_LENGTH, 3000, NULL);
  g_autoptr (TdLegModel) model = read_model (site, standard);
  g_autoptr (TdLegModel) other = read_model (site, longer);
  const TdFluid *fluid = td_leg_model_get_fluid (model);
  double more = get_loss_by_hand (fluid, 9.525, 3, 2) - get_loss_by_hand (fluid, 9.525, 1, 2);

  g_assert_cmpfloat_with_epsilon (
      (td_leg_model_get_loss_um (other, 0) - td_leg_model_get_loss_um (model, 0)) / 1e6, more,
      1e-6);
  g_assert_cmpint (td_leg_model_get_loss_um (other, 1), ==, td_leg_model_get_loss_um (model, 1));
}

static void
test_pump (void)
{
  g_autoptr (TdSite) given = read_site (LONG_LINE, PUMP ",\"limits\":{\"min_flow_l_min\":4}");
  g_autoptr (TdSite) none = read_site (LONG_LINE, "");
  g_autoptr (TdSite) much = read_site (LONG_LINE, PUMP ",\"limits\":{\"min_flow_l_min\":60}");
  g_autoptr (TdLegModel) a = read_model (given, NULL);
  g_autoptr (TdLegModel) b = read_model (none, NULL);
  g_autoptr (TdLegModel) c = read_model (much, NULL);

  g_assert_cmpint (td_leg_model_get_pump_head_um (a), ==, 38000000);
  g_assert_cmpint (td_leg_model_get_pump_head_um_at (a, 8), ==, 15000000);
  g_assert_cmpfloat (td_pump_get_shut_off_m (td_leg_model_get_pump (b)), ==, 40);
  g_assert_cmpint (td_leg_model_get_pump_head_um (c), ==, 0);
  g_assert_cmpint (td_leg_model_get_pump_head_um_at (c, INFINITY), ==, 0);
}

/* planning.md's rule: the pump's head must not exceed p_max / (rho g) - (bucket - lowest). */
static void
test_pressure (void)
{
  g_autoptr (TdSite) site = read_site (LONG_LINE, PUMP ",\"limits\":{\"max_pressure_kpa\":300}");
  g_autoptr (TdLegModel) model = read_model (site, NULL);
  double weight = td_leg_model_get_fluid (model)->density_kg_m3 * 9.80665 / 1e3;
  double flow = td_leg_model_get_pressure_flow_l_min (model, 0, -1);
  double head = td_pump_get_head_m (td_leg_model_get_pump (model), flow);

  g_assert_cmpfloat_with_epsilon (weight * (head + 1), 300, 1e-9);
  g_assert_cmpfloat_with_epsilon (td_leg_model_get_shut_off_kpa (model, 0, -1), weight * 46, 1e-9);
  /* The lower the circuit hangs, the more must flow. */
  g_assert_cmpfloat (td_leg_model_get_pressure_flow_l_min (model, 0, -2), >, flow);
  g_assert_cmpfloat (td_leg_model_get_pressure_flow_l_min (model, 0, 20), ==, 0);
  g_assert_true (isinf (td_leg_model_get_pressure_flow_l_min (model, 0, -40)));
}

static void
test_refused (void)
{
  const struct
  {
    const char *lines, *rest, *says;
  } cases[] = {
    { LONG_LINE, ",\"solution\":{\"substance\":\"naoh\",\"percent\":2,\"temperature_c\":80}",
      "*80*0 to 60*" },
    { LONG_LINE, ",\"solution\":{\"substance\":\"naoh\",\"percent\":45,\"temperature_c\":20}",
      "*viscosity*45*" },
    { "{\"id\":\"rough\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":6,\"length_m\":3},"
      "{\"bore_mm\":6,\"length_m\":3,\"roughness_mm\":0.5}]}",
      "", "Line rough, segment 2:*roughness*" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text
          = g_strconcat (SITE_START, cases[i].lines, "]", cases[i].rest, "}", NULL);
      g_autoptr (GError) error = NULL;
      g_autoptr (TdSite) site = td_site_parse (text, -1, &error);

      /* The sheet's own reader may know the limit already. */
      if (site == NULL)
        {
          g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
          continue;
        }
      g_assert_null (td_leg_model_new (site, NULL, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      if (!g_pattern_match_simple (cases[i].says, error->message))
        g_error ("case %u says: %s", i, error->message);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/leg/known", test_known);
  g_test_add_func ("/leg/measured", test_measured);
  g_test_add_func ("/leg/settings", test_settings);
  g_test_add_func ("/leg/pump", test_pump);
  g_test_add_func ("/leg/pressure", test_pressure);
  g_test_add_func ("/leg/refused", test_refused);

  return g_test_run ();
}
