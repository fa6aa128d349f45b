#include "core-pipe.h"

#include "core-error.h"

#include "deviation.h"

static TdPipe
make_pipe (double bore_mm,
           double length_m,
           double roughness_mm,
           double k,
           double density,
           double viscosity)
{
  TdPipeShape tube = { bore_mm, length_m, roughness_mm, k };
  TdFluid fluid = { density, viscosity };
  g_autoptr (GError) error = NULL;
  TdPipe pipe;
  gboolean fits = td_pipe_init (&pipe, &tube, &fluid, &error);

  g_assert_no_error (error);
  g_assert_true (fits);

  return pipe;
}

/* College Physics (Freedman et al.), example 11-17: water at 20 C, r = 0.500 mm, L = 2.00
 * m, 6.28e-7 m3/s; 5.13e4 Pa. */
static void
test_hagen_poiseuille (void)
{
  Deviation deviation = { .source = "College Physics, example 11-17" };
  TdPipe pipe = make_pipe (1.0, 2.0, 0.0, 0.0, 998.2, 1.002e-3);
  double loss = td_pipe_get_loss_m (&pipe, 6.28e-7 * TD_L_MIN_PER_M3_S, NULL);

  deviation_check (&deviation, "pressure drop", loss * 998.2 * TD_GRAVITY, 5.13e4, 0.5);
  deviation_tell (&deviation, "%");
}

/* F. M. White, Fluid Mechanics (7th ed.), examples 6.17 and 6.18: three pipes, nu = 1.02e-6 m2/s,
 * under 20.3 m in series and in parallel; m3/h. */
static void
test_white (void)
{
  Deviation deviation = { .source = "White, Fluid Mechanics, examples 6.17 and 6.18" };
  const double metre = 1e3;
  TdPipe pipes[] = {
    make_pipe (0.08 * metre, 100, 0.24, 0, 1000, 1.02e-3),
    make_pipe (0.06 * metre, 150, 0.12, 0, 1000, 1.02e-3),
    make_pipe (0.04 * metre, 80, 0.20, 0, 1000, 1.02e-3),
  };
  const double published[] = { 62.5, 25.9, 11.4 };
  double low = 0, high = 1000, total = 0;

  for (guint i = 0; i < 3; i++)
    {
      double flow = td_pipe_get_flow_l_min (&pipes[i], 20.3) * 0.06;

      deviation_check (&deviation, "parallel branch", flow, published[i], 1.0);
      total += flow;
    }
  deviation_check (&deviation, "parallel total", total, 99.8, 1.0);

  for (int i = 0; i < 60; i++)
    {
      double flow = 0.5 * (low + high), loss = 0;

      for (guint p = 0; p < 3; p++)
        loss += td_pipe_get_loss_m (&pipes[p], flow, NULL);
      *(loss > 20.3 ? &high : &low) = flow;
    }
  deviation_check (&deviation, "series", low * 0.06, 10.2, 1.0);
  deviation_tell (&deviation, "%");
}

/* Crane TP-410M, example 7-1, smooth plastic pipe, as quoted by the documentation of the library
 * fluids 1.0.22: water at 30 C (995.65 kg/m3, 0.797e-3 Pa s), 200 L/min, 52.5 mm. */
static void
test_crane (void)
{
  Deviation deviation = { .source = "Crane TP-410M, example 7-1" };
  TdPipe pipe = make_pipe (52.5, 30, 0.0015, 0, 995.65, 0.7972e-3);
  double reynolds = td_pipe_get_reynolds (&pipe, 200);

  deviation_check (&deviation, "Reynolds number", reynolds, 100600, 1.0);
  deviation_check (&deviation, "friction factor",
                   td_pipe_get_friction (reynolds, 0.0015 / 52.5, NULL), 0.0179, 1.5);
  deviation_tell (&deviation, "%");
}

/* Cengel and Cimbala, Fluid Mechanics, ch. 8: water at 999.1 kg/m3, 1.138e-3 Pa s, 4 cm, 8 L/s, 30
 * m, stainless 0.002 mm; 239 kPa (length and answer from memory). */
static void
test_cengel (void)
{
  Deviation deviation = { .source = "Cengel and Cimbala, ch. 8" };
  TdPipe pipe = make_pipe (40, 30, 0.002, 0, 999.1, 1.138e-3);
  double loss = td_pipe_get_loss_m (&pipe, 480, NULL);

  deviation_check (&deviation, "pressure drop", loss * 999.1 * TD_GRAVITY / 1e3, 239, 0.5);
  deviation_tell (&deviation, "%");
}

/* Roots found by another solver (Brent's), and the residual of the equation itself. */
static void
test_colebrook (void)
{
  const struct
  {
    double reynolds, roughness, f;
  } roots[] = {
    { 5000, 0.000314961, 0.037744 }, { 10000, 0.00023622, 0.031246 },
    { 20000, 0.00023622, 0.026394 }, { 38450, 0.00023622, 0.022886 },
    { 100000, 0.0001, 0.018514 },
  };
  Deviation deviation = { .source = "Colebrook-White, independent root" };
  double worst = 0;

  for (guint i = 0; i < G_N_ELEMENTS (roots); i++)
    {
      g_autofree char *what = g_strdup_printf ("Re %g", roots[i].reynolds);

      deviation_check (&deviation, what,
                       td_pipe_get_friction (roots[i].reynolds, roots[i].roughness, NULL),
                       roots[i].f, 0.01);
    }
  deviation_tell (&deviation, "%");

  for (double reynolds = 4000; reynolds < 1e8; reynolds *= 1.1)
    for (double roughness = 0; roughness <= 0.05; roughness += 0.0005)
      {
        double f = td_pipe_get_friction (reynolds, roughness, NULL);
        double x = -2 * log10 (roughness / 3.7 + 2.51 / (reynolds * sqrt (f)));

        worst = MAX (worst, fabs (x * sqrt (f) - 1));
      }
  g_test_message ("largest residual of Colebrook-White: %.2g relative", worst);
  g_assert_cmpfloat (worst, <, 1e-13);
}

/* Blasius' law of smooth pipes, 0.3164 Re^-0.25, an experiment of its own (1913), good to some per
 * cent from 4000 to 100,000. */
static void
test_blasius (void)
{
  Deviation deviation = { .source = "Blasius, smooth pipes, Re 4000-100000" };

  for (double reynolds = 4000; reynolds <= 1e5; reynolds *= 1.2)
    deviation_check (&deviation, "friction factor", td_pipe_get_friction (reynolds, 0, NULL),
                     0.3164 * pow (reynolds, -0.25), 3.5);
  deviation_tell (&deviation, "%");
}

/* The loss rises everywhere, without steps in value or slope, and the slopes told are the slopes.
 */
static void
test_smooth (void)
{
  const double roughness[] = { 0, 0.0015, 0.01, 0.1, 0.3 };

  for (guint i = 0; i < G_N_ELEMENTS (roughness); i++)
    {
      TdPipe pipe = make_pipe (6.35, 30, roughness[i], 2, 992.2, 0.653e-3);
      double per_reynolds = 1 / td_pipe_get_reynolds (&pipe, 1), before = 0;

      for (double reynolds = 50; reynolds < 40000; reynolds += 25)
        {
          double flow = reynolds * per_reynolds, step = 1e-5 * flow, slope;
          double loss = td_pipe_get_loss_m (&pipe, flow, &slope);
          double numeric = (td_pipe_get_loss_m (&pipe, flow + step, NULL)
                            - td_pipe_get_loss_m (&pipe, flow - step, NULL))
                           / (2 * step);

          g_assert_cmpfloat (loss, >, before);
          g_assert_cmpfloat (slope, >, 0);
          g_assert_cmpfloat (fabs (numeric / slope - 1), <, 1e-4);
          before = loss;
        }
    }
}

/* Thirty thousand pipes: the inverse gives back the flow. */
static void
test_inverse (void)
{
  for (int i = 0; i < 30000; i++)
    {
      double bore = exp (g_test_rand_double_range (log (0.5), log (60)));
      TdPipe pipe = make_pipe (bore, exp (g_test_rand_double_range (log (0.01), log (500))),
                               bore * g_test_rand_double_range (0, 0.049),
                               g_test_rand_int_range (0, 3) * 2.5, 990, 0.7e-3);
      double flow = exp (g_test_rand_double_range (log (1e-6), log (300)));
      double back = td_pipe_get_flow_l_min (&pipe, td_pipe_get_loss_m (&pipe, flow, NULL));

      g_assert_cmpfloat (fabs (back / flow - 1), <, 1e-11);
    }
  for (int i = 0; i < 3; i++)
    {
      TdPipe pipe = make_pipe (6.35, 30, 0.0015, i, 992.2, 0.653e-3);

      g_assert_cmpfloat (td_pipe_get_loss_m (&pipe, 0, NULL), ==, 0);
      g_assert_cmpfloat (td_pipe_get_flow_l_min (&pipe, 0), ==, 0);
    }
}

/* Similarity: two pipes of one shape at one Reynolds number have one friction factor, so head times
 * bore^2 over viscosity^2 is the same. */
static void
test_scaling (void)
{
  for (double scale = 0.1; scale < 12; scale *= 1.7)
    for (double reynolds = 200; reynolds < 1e5; reynolds *= 1.9)
      {
        TdPipe a = make_pipe (8, 20, 0.002, 3, 1000, 1e-3);
        TdPipe b = make_pipe (8 * scale, 20 * scale, 0.002 * scale, 3, 1000, 1e-3 / 3);
        double loss_a = td_pipe_get_loss_m (&a, reynolds / td_pipe_get_reynolds (&a, 1), NULL);
        double loss_b = td_pipe_get_loss_m (&b, reynolds / td_pipe_get_reynolds (&b, 1), NULL);

        g_assert_cmpfloat (fabs (loss_b * scale * scale * 9 / loss_a - 1), <, 1e-12);
      }
}

static void
test_regimes (void)
{
  TdPipe pipe = make_pipe (6.35, 30, 0.0015, 0, 992.2, 0.653e-3);
  double per_reynolds = 1 / td_pipe_get_reynolds (&pipe, 1);

  g_assert_cmpstr (td_regime_to_text (td_pipe_get_regime (&pipe, 0)), ==, "still");
  g_assert_cmpstr (td_regime_to_text (td_pipe_get_regime (&pipe, 1999 * per_reynolds)), ==,
                   "laminar");
  g_assert_cmpstr (td_regime_to_text (td_pipe_get_regime (&pipe, 2001 * per_reynolds)), ==,
                   "transitional");
  g_assert_cmpstr (td_regime_to_text (td_pipe_get_regime (&pipe, 4001 * per_reynolds)), ==,
                   "turbulent");
}

static void
test_refused (void)
{
  const struct
  {
    TdPipeShape tube;
    TdFluid fluid;
    const char *says;
  } cases[] = {
    { { 0, 1, 0, 0 }, { 1000, 1e-3 }, "A bore*" },
    { { -6, 1, 0, 0 }, { 1000, 1e-3 }, "A bore*" },
    { { NAN, 1, 0, 0 }, { 1000, 1e-3 }, "A bore*" },
    { { 6, 0, 0, 0 }, { 1000, 1e-3 }, "A length*" },
    { { 6, INFINITY, 0, 0 }, { 1000, 1e-3 }, "A length*" },
    { { 6, 1, -0.1, 0 }, { 1000, 1e-3 }, "A roughness*" },
    { { 6, 1, 0.31, 0 }, { 1000, 1e-3 }, "A roughness*twentieth*" },
    { { 6, 1, 0, -1 }, { 1000, 1e-3 }, "A k*" },
    { { 6, 1, 0, 0 }, { 0, 1e-3 }, "A density*" },
    { { 6, 1, 0, 0 }, { 1000, 0 }, "A viscosity*" },
    { { 6, 1, 0, 0 }, { 1000, NAN }, "A viscosity*" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      TdPipe pipe;

      g_assert_false (td_pipe_init (&pipe, &cases[i].tube, &cases[i].fluid, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      g_assert_true (g_pattern_match_simple (cases[i].says, error->message));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/pipe/hagen-poiseuille", test_hagen_poiseuille);
  g_test_add_func ("/pipe/white", test_white);
  g_test_add_func ("/pipe/crane", test_crane);
  g_test_add_func ("/pipe/cengel", test_cengel);
  g_test_add_func ("/pipe/colebrook", test_colebrook);
  g_test_add_func ("/pipe/blasius", test_blasius);
  g_test_add_func ("/pipe/smooth", test_smooth);
  g_test_add_func ("/pipe/inverse", test_inverse);
  g_test_add_func ("/pipe/scaling", test_scaling);
  g_test_add_func ("/pipe/regimes", test_regimes);
  g_test_add_func ("/pipe/refused", test_refused);

  return g_test_run ();
}
