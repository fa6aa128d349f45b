#include "core-fluid.h"

#include "core-error.h"

#include "deviation.h"

typedef struct
{
  double c, density, viscosity; /* C, kg/m3, mPa s */
} Water;

/* IAPWS R6-95 density and R12-08 viscosity at 0.101325 MPa as the open-source library iapws 1.5.3
 * computes them. */
static const Water iapws[] = {
  { 5, 999.967, 1.51817 },  { 8, 999.851, 1.38472 },  { 10, 999.702, 1.30590 },
  { 12, 999.500, 1.23404 }, { 15, 999.103, 1.13757 }, { 18, 998.599, 1.05267 },
  { 20, 998.207, 1.00160 }, { 22, 997.773, 0.95440 }, { 25, 997.048, 0.89002 },
  { 30, 995.649, 0.79722 }, { 35, 994.033, 0.71913 }, { 40, 992.216, 0.65273 },
  { 45, 990.213, 0.59577 }, { 50, 988.035, 0.54652 }, { 55, 985.693, 0.50362 },
  { 60, 983.196, 0.46604 },
};

/* London South Bank University, water data: published to these digits. */
static const Water spot_checks[] = {
  { 10, 999.7, 1.307 }, { 20, 998.2, 1.002 }, { 40, 992.2, 0.653 },
  { 50, 988.0, 0.547 }, { 60, 983.2, 0.467 },
};

typedef struct
{
  const char *substance;
  double percent, c, density, viscosity; /* %, C, g/cm3, mPa s (NAN: not in the source) */
} Solution;

/* clang-format off */
/* CRC Handbook of Chemistry and Physics, 102nd ed. (2021), concentrative properties of aqueous
 * solutions, 20 C (secondary). */
static const Solution crc[] = {
  { "naoh", 0.5, 20, 1.0039, 1.027 }, { "naoh", 1, 20, 1.0095, 1.054 },
  { "naoh", 2, 20, 1.0207, 1.112 }, { "naoh", 3, 20, 1.0318, 1.176 },
  { "naoh", 4, 20, 1.0428, 1.248 }, { "naoh", 5, 20, 1.0538, 1.329 },
  { "naoh", 6, 20, 1.0648, 1.416 }, { "naoh", 7, 20, 1.0758, 1.51 },
  { "naoh", 8, 20, 1.0869, 1.616 }, { "naoh", 9, 20, 1.0979, 1.737 },
  { "naoh", 10, 20, 1.1089, 1.882 }, { "naoh", 11, 20, 1.1199, 2.039 },
  { "naoh", 12, 20, 1.1309, 2.201 }, { "naoh", 13, 20, 1.1419, 2.376 },
  { "naoh", 14, 20, 1.153, 2.568 }, { "naoh", 15, 20, 1.164, 2.789 },
  { "naoh", 16, 20, 1.1751, 3.043 }, { "naoh", 17, 20, 1.1861, 3.344 },
  { "naoh", 18, 20, 1.1971, 3.698 }, { "naoh", 19, 20, 1.2082, 4.119 },
  { "naoh", 20, 20, 1.2192, 4.619 }, { "naoh", 22, 20, 1.2412, 5.765 },
  { "naoh", 24, 20, 1.2631, 7.1 }, { "naoh", 26, 20, 1.2848, 8.744 },
  { "naoh", 28, 20, 1.3064, 10.832 }, { "naoh", 30, 20, 1.3277, 13.517 },
  { "naoh", 32, 20, 1.3488, 16.844 }, { "naoh", 34, 20, 1.3697, 20.751 },
  { "naoh", 36, 20, 1.3901, 25.29 }, { "naoh", 38, 20, 1.4102, 30.461 },
  { "naoh", 40, 20, 1.4299, 36.312 }, { "koh", 0.5, 20, 1.0025, 1.01 },
  { "koh", 1, 20, 1.0068, 1.019 }, { "koh", 2, 20, 1.0155, 1.038 },
  { "koh", 3, 20, 1.0242, 1.058 }, { "koh", 4, 20, 1.033, 1.079 },
  { "koh", 5, 20, 1.0419, 1.102 }, { "koh", 6, 20, 1.0509, 1.126 },
  { "koh", 7, 20, 1.0599, 1.151 }, { "koh", 8, 20, 1.069, 1.177 },
  { "koh", 9, 20, 1.0781, 1.205 }, { "koh", 10, 20, 1.0873, 1.233 },
  { "koh", 11, 20, 1.0966, 1.264 }, { "koh", 12, 20, 1.1059, 1.294 },
  { "koh", 13, 20, 1.1153, 1.327 }, { "koh", 14, 20, 1.1246, 1.361 },
  { "koh", 15, 20, 1.1341, 1.397 }, { "koh", 16, 20, 1.1435, 1.436 },
  { "koh", 17, 20, 1.1531, 1.477 }, { "koh", 18, 20, 1.1626, 1.521 },
  { "koh", 19, 20, 1.1722, 1.568 }, { "koh", 20, 20, 1.1818, 1.619 },
  { "koh", 22, 20, 1.2014, 1.732 }, { "koh", 24, 20, 1.221, 1.861 },
  { "koh", 26, 20, 1.2408, 2.006 }, { "koh", 28, 20, 1.2609, 2.17 },
  { "koh", 30, 20, 1.2813, 2.357 }, { "koh", 32, 20, 1.302, 2.57 },
  { "koh", 34, 20, 1.323, 2.82 }, { "koh", 36, 20, 1.3444, 3.111 },
  { "koh", 38, 20, 1.3661, 3.46 }, { "koh", 40, 20, 1.3881, 3.879 },
  { "koh", 42, 20, 1.4104, 4.389 }, { "koh", 44, 20, 1.4331, 5.013 },
  { "koh", 46, 20, 1.456, 5.781 }, { "koh", 48, 20, 1.4791, 6.726 },
  { "koh", 50, 20, 1.5024, 7.892 }, { "h3po4", 0.5, 20, 1.001, 1.01 },
  { "h3po4", 1, 20, 1.0038, 1.02 }, { "h3po4", 2, 20, 1.0092, 1.05 },
  { "h3po4", 3, 20, 1.0146, 1.079 }, { "h3po4", 4, 20, 1.02, 1.108 },
  { "h3po4", 5, 20, 1.0254, 1.138 }, { "h3po4", 6, 20, 1.0309, 1.169 },
  { "h3po4", 7, 20, 1.0363, 1.2 }, { "h3po4", 8, 20, 1.0418, 1.232 },
  { "h3po4", 9, 20, 1.0474, 1.267 }, { "h3po4", 10, 20, 1.0531, 1.303 },
  { "h3po4", 11, 20, 1.0589, 1.341 }, { "h3po4", 12, 20, 1.0647, 1.382 },
  { "h3po4", 13, 20, 1.0705, 1.424 }, { "h3po4", 14, 20, 1.0765, 1.469 },
  { "h3po4", 15, 20, 1.0825, 1.516 }, { "h3po4", 16, 20, 1.0885, 1.565 },
  { "h3po4", 17, 20, 1.0947, 1.616 }, { "h3po4", 18, 20, 1.1009, 1.671 },
  { "h3po4", 19, 20, 1.1071, 1.727 }, { "h3po4", 20, 20, 1.1135, 1.788 },
  { "h3po4", 22, 20, 1.1263, 1.914 }, { "h3po4", 24, 20, 1.1395, 2.049 },
  { "h3po4", 26, 20, 1.1528, 2.198 }, { "h3po4", 28, 20, 1.1665, 2.365 },
  { "h3po4", 30, 20, 1.1804, 2.553 }, { "h3po4", 32, 20, 1.1945, 2.766 },
  { "h3po4", 34, 20, 1.2089, 3.001 }, { "h3po4", 36, 20, 1.2236, 3.26 },
  { "h3po4", 38, 20, 1.2385, 3.544 }, { "h3po4", 40, 20, 1.2536, 3.856 },
};

/* Estimated density of NaOH consistent with IAPWS-95 water, published by molality (secondary), and
 * Perry's Chemical Engineers' Handbook, sodium hydroxide (secondary). */
static const Solution naoh_warm[] = {
  { "naoh", 0.3984, 10, 1.00437, NAN }, { "naoh", 0.3984, 25, 1.00149, NAN },
  { "naoh", 0.3984, 40, 0.99654, NAN }, { "naoh", 0.3984, 55, 0.98996, NAN },
  { "naoh", 0.7936, 10, 1.00893, NAN }, { "naoh", 0.7936, 25, 1.00584, NAN },
  { "naoh", 0.7936, 40, 1.00078, NAN }, { "naoh", 0.7936, 55, 0.99414, NAN },
  { "naoh", 1.1857, 10, 1.01342, NAN }, { "naoh", 1.1857, 25, 1.01014, NAN },
  { "naoh", 1.1857, 40, 1.00498, NAN }, { "naoh", 1.1857, 55, 0.99827, NAN },
  { "naoh", 1.5747, 10, 1.01784, NAN }, { "naoh", 1.5747, 25, 1.01440, NAN },
  { "naoh", 1.5747, 40, 1.00912, NAN }, { "naoh", 1.5747, 55, 1.00235, NAN },
  { "naoh", 1.9606, 10, 1.02222, NAN }, { "naoh", 1.9606, 25, 1.01860, NAN },
  { "naoh", 1.9606, 40, 1.01322, NAN }, { "naoh", 1.9606, 55, 1.00639, NAN },
  { "naoh", 2.3436, 10, 1.02654, NAN }, { "naoh", 2.3436, 25, 1.02277, NAN },
  { "naoh", 2.3436, 40, 1.01729, NAN }, { "naoh", 2.3436, 55, 1.01038, NAN },
  { "naoh", 2.7235, 10, 1.03082, NAN }, { "naoh", 2.7235, 25, 1.02691, NAN },
  { "naoh", 2.7235, 40, 1.02132, NAN }, { "naoh", 2.7235, 55, 1.01437, NAN },
  { "naoh", 3.1005, 10, 1.03505, NAN }, { "naoh", 3.1005, 25, 1.03101, NAN },
  { "naoh", 3.1005, 40, 1.02532, NAN }, { "naoh", 3.1005, 55, 1.01831, NAN },
  { "naoh", 3.4747, 10, 1.03925, NAN }, { "naoh", 3.4747, 25, 1.03507, NAN },
  { "naoh", 3.4747, 40, 1.02929, NAN }, { "naoh", 3.4747, 55, 1.02222, NAN },
  { "naoh", 3.8459, 10, 1.04340, NAN }, { "naoh", 3.8459, 25, 1.03911, NAN },
  { "naoh", 3.8459, 40, 1.03323, NAN }, { "naoh", 3.8459, 55, 1.02610, NAN },
  { "naoh", 4.5798, 10, 1.05161, NAN }, { "naoh", 4.5798, 25, 1.04711, NAN },
  { "naoh", 4.5798, 40, 1.04103, NAN }, { "naoh", 4.5798, 55, 1.03377, NAN },
  { "naoh", 24, 20, 1.2629, NAN }, { "naoh", 24, 30, 1.2570, NAN },
  { "naoh", 24, 40, 1.2512, NAN }, { "naoh", 24, 60, 1.2388, NAN },
  { "naoh", 28, 20, 1.3064, NAN }, { "naoh", 28, 30, 1.3003, NAN },
  { "naoh", 28, 40, 1.2942, NAN }, { "naoh", 28, 60, 1.2814, NAN },
  { "naoh", 32, 20, 1.3490, NAN }, { "naoh", 32, 30, 1.3426, NAN },
  { "naoh", 32, 40, 1.3362, NAN }, { "naoh", 32, 60, 1.3232, NAN },
  { "naoh", 36, 20, 1.3900, NAN }, { "naoh", 36, 30, 1.3834, NAN },
  { "naoh", 36, 40, 1.3768, NAN }, { "naoh", 36, 60, 1.3634, NAN },
  { "naoh", 40, 20, 1.4300, NAN }, { "naoh", 40, 30, 1.4232, NAN },
  { "naoh", 40, 40, 1.4164, NAN }, { "naoh", 40, 60, 1.4027, NAN },
  { "naoh", 44, 20, 1.4685, NAN }, { "naoh", 44, 30, 1.4615, NAN },
  { "naoh", 44, 40, 1.4545, NAN }, { "naoh", 44, 60, 1.4405, NAN },
  { "naoh", 48, 20, 1.5065, NAN }, { "naoh", 48, 30, 1.4993, NAN },
  { "naoh", 48, 40, 1.4922, NAN }, { "naoh", 48, 60, 1.4781, NAN },
  { "naoh", 50, 20, 1.5253, NAN }, { "naoh", 50, 30, 1.5181, NAN },
  { "naoh", 50, 40, 1.5109, NAN }, { "naoh", 50, 60, 1.4967, NAN },
};
/* clang-format on */

/* Phosphoric acid at 25 C, ECHA registration dossier 15531 (ten handbooks); 50 % and 75 % as the
 * middle of the range given. */
static const Solution h3po4_25[] = {
  { "h3po4", 10, 25, 1.0517, NAN },
  { "h3po4", 30, 25, 1.1794, NAN },
  { "h3po4", 50, 25, 1.335, NAN },
  { "h3po4", 75, 25, 1.575, NAN },
};

static void
check_water (const Water *rows,
             guint n,
             const char *source,
             double density_percent,
             double viscosity_percent)
{
  Deviation density = { .source = g_strconcat (source, ", density", NULL) };
  Deviation viscosity = { .source = g_strconcat (source, ", viscosity", NULL) };

  for (guint i = 0; i < n; i++)
    {
      g_autofree char *what = g_strdup_printf ("%g C", rows[i].c);
      g_autoptr (GError) error = NULL;
      TdFluid fluid;

      g_assert_true (td_fluid_get ("water", 0, rows[i].c, &fluid, &error));
      deviation_check (&density, what, fluid.density_kg_m3, rows[i].density, density_percent);
      deviation_check (&viscosity, what, 1e3 * fluid.viscosity_pa_s, rows[i].viscosity,
                       viscosity_percent);
    }
  deviation_tell (&density, "%");
  deviation_tell (&viscosity, "%");
  g_free ((char *)density.source);
  g_free ((char *)viscosity.source);
}

static void
test_water (void)
{
  check_water (iapws, G_N_ELEMENTS (iapws), "IAPWS water 5-60 C", 0.0005, 0.005);
  /* The published digits allow half of the last one. */
  check_water (spot_checks, G_N_ELEMENTS (spot_checks), "London South Bank University water", 0.01,
               0.25);
}

static void
check_solutions (const Solution *rows, guint n, const char *source, double density_percent)
{
  Deviation density = { .source = source };

  for (guint i = 0; i < n; i++)
    {
      g_autofree char *what
          = g_strdup_printf ("%s %g %% %g C", rows[i].substance, rows[i].percent, rows[i].c);
      g_autoptr (GError) error = NULL;
      double got;
      TdFluid fluid;

      g_assert_true (
          td_fluid_get_density (rows[i].substance, rows[i].percent, rows[i].c, &got, &error));
      deviation_check (&density, what, got, 1e3 * rows[i].density, density_percent);
      if (isnan (rows[i].viscosity))
        continue;
      g_assert_true (td_fluid_get (rows[i].substance, rows[i].percent, rows[i].c, &fluid, &error));
      g_assert_cmpfloat_with_epsilon (1e3 * fluid.viscosity_pa_s, rows[i].viscosity, 1e-9);
      g_assert_cmpfloat (fluid.density_kg_m3, ==, got);
    }
  deviation_tell (&density, "%");
}

static void
test_solutions (void)
{
  check_solutions (crc, G_N_ELEMENTS (crc), "CRC density at 20 C", 0.02);
  check_solutions (naoh_warm, G_N_ELEMENTS (naoh_warm), "NaOH density over temperature", 0.06);
  check_solutions (h3po4_25, G_N_ELEMENTS (h3po4_25), "phosphoric acid at 25 C", 0.3);
}

/* A working solution thins with temperature much as water does: the ratio of the two viscosities
 * stays within some per cent of that at 20 C, the assumption by which working strengths reach past
 * their correlation. */
static void
test_relative_viscosity (void)
{
  const char *substances[] = { "naoh", "koh", "h3po4" };
  Deviation deviation = { .source = "relative viscosity of working solutions over temperature" };

  for (guint s = 0; s < G_N_ELEMENTS (substances); s++)
    for (double percent = 0.5; percent <= 5.0; percent += 0.5)
      {
        TdFluid cold, warm, water_cold, water_warm;

        g_assert_true (td_fluid_get (substances[s], percent, 20, &cold, NULL));
        g_assert_true (td_fluid_get ("water", 0, 20, &water_cold, NULL));
        for (double c = 0; c <= 60; c += 2.5)
          {
            g_autofree char *what = g_strdup_printf ("%s %g %% %g C", substances[s], percent, c);

            g_assert_true (td_fluid_get (substances[s], percent, c, &warm, NULL));
            g_assert_true (td_fluid_get ("water", 0, c, &water_warm, NULL));
            deviation_check (&deviation, what, warm.viscosity_pa_s / water_warm.viscosity_pa_s,
                             cold.viscosity_pa_s / water_cold.viscosity_pa_s, 3.0);
          }
      }
  deviation_tell (&deviation, "%");
}

/* Neither a step nor a turn where one table hands over to the next. */
static void
test_smooth (void)
{
  const char *substances[] = { "naoh", "koh", "h3po4" };
  const double ends[] = { 50, 50, 85 };

  for (guint s = 0; s < G_N_ELEMENTS (substances); s++)
    for (double c = 20; c <= 60; c += 5)
      {
        double before = 0, now;

        for (double percent = 0; percent <= ends[s]; percent += 0.25)
          {
            g_assert_true (td_fluid_get_density (substances[s], percent, c, &now, NULL));
            if (percent > 0)
              {
                g_assert_cmpfloat (now, >, before);
                g_assert_cmpfloat (now, <, before * 1.0045);
              }
            before = now;
          }
      }
  for (guint s = 0; s < G_N_ELEMENTS (substances); s++)
    {
      TdFluid before, now;

      g_assert_true (td_fluid_get (substances[s], 2, 0, &before, NULL));
      for (double c = 0.25; c <= 60; c += 0.25)
        {
          g_assert_true (td_fluid_get (substances[s], 2, c, &now, NULL));
          g_assert_cmpfloat (now.viscosity_pa_s, <, before.viscosity_pa_s);
          g_assert_cmpfloat (now.viscosity_pa_s, >, before.viscosity_pa_s * 0.988);
          g_assert_cmpfloat (fabs (now.density_kg_m3 / before.density_kg_m3 - 1), <, 2e-4);
          before = now;
        }
    }
}

static void
test_weak_is_water (void)
{
  const char *substances[] = { "naoh", "koh", "h3po4" };
  TdFluid weak, water;

  for (guint s = 0; s < G_N_ELEMENTS (substances); s++)
    for (double c = 0; c <= 60; c += 6)
      {
        g_assert_true (td_fluid_get (substances[s], 1e-7, c, &weak, NULL));
        g_assert_true (td_fluid_get ("water", 0, c, &water, NULL));
        g_assert_cmpfloat (fabs (weak.density_kg_m3 / water.density_kg_m3 - 1), <, 1e-6);
        g_assert_cmpfloat (fabs (weak.viscosity_pa_s / water.viscosity_pa_s - 1), <, 1e-5);
        g_assert_true (td_fluid_get (substances[s], 0, c, &weak, NULL));
        g_assert_cmpfloat (weak.viscosity_pa_s, ==, water.viscosity_pa_s);
      }
}

static void
test_refused (void)
{
  const struct
  {
    const char *substance;
    double percent, c;
    const char *says;
  } cases[] = {
    { "water", 0, -0.1, "*0 to 60*" },
    { "water", 0, 60.1, "*0 to 60*" },
    { "water", 1, 20, "*outside the table of water*" },
    { "water", 0, NAN, "*0 to 60*" },
    { "naoh", -1, 20, "*not possible*" },
    { "naoh", NAN, 20, "*not possible*" },
    { "naoh", 51, 20, "*ends at 50*" },
    { "naoh", 45, 20, "*No viscosity of naoh*" },
    { "naoh", 10, 5, "*12.5 to 60*" },
    { "koh", 30, 50, "*0 to 40*" },
    { "h3po4", 30, 10, "*15.85 to 60*" },
    { "h3po4", 30, 40, "*20 to 25*" },
    { "peracetic", 1, 20, "*no table for \"peracetic\"*naoh*" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      TdFluid fluid;

      g_assert_false (
          td_fluid_get (cases[i].substance, cases[i].percent, cases[i].c, &fluid, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      if (!g_pattern_match_simple (cases[i].says, error->message))
        g_error ("case %u says: %s", i, error->message);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fluid/water", test_water);
  g_test_add_func ("/fluid/solutions", test_solutions);
  g_test_add_func ("/fluid/relative-viscosity", test_relative_viscosity);
  g_test_add_func ("/fluid/smooth", test_smooth);
  g_test_add_func ("/fluid/weak-is-water", test_weak_is_water);
  g_test_add_func ("/fluid/refused", test_refused);

  return g_test_run ();
}
