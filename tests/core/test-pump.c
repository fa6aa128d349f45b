#include "core-pump.h"

#include "core-error.h"

#include "deviation.h"

/* A pump through three points of a given law, and the flow at which it meets a quadratic system. */
static double
find_operating_point (const TdPump *pump, double lift, double factor)
{
  double low = 0, high = td_pump_get_max_flow_l_min (pump);

  for (int i = 0; i < 100; i++)
    {
      double flow = 0.5 * (low + high);

      *(td_pump_get_head_m (pump, flow) > lift + factor * flow * flow ? &low : &high) = flow;
    }

  return low;
}

static TdPump *
make_quadratic (double shut_off, double factor)
{
  double end = sqrt (shut_off / factor);
  TdCurvePoint points[] = { { 0, shut_off },
                            { 0.4 * end, shut_off * (1 - 0.16) },
                            { 0.9 * end, shut_off * (1 - 0.81) } };
  TdPump *pump = td_pump_new (points, 3, NULL);

  g_assert_nonnull (pump);

  return pump;
}

/* Cengel and Cimbala, Fluid Mechanics, ch. 14: H = 7.46 - 0.0453 V^2 meets 3.52 + 0.0261 V^2
 * (answers from memory, and by arithmetic). */
static void
test_cengel (void)
{
  Deviation deviation = { .source = "Cengel and Cimbala, ch. 14, operating point" };
  g_autoptr (TdPump) pump = make_quadratic (7.46, 0.0453);
  double flow = find_operating_point (pump, 3.52, 0.0261);

  deviation_check (&deviation, "V L/min", flow, 7.43, 0.1);
  deviation_check (&deviation, "H m", td_pump_get_head_m (pump, flow), 4.96, 0.2);
  deviation_tell (&deviation, "%");
}

/* Daugherty, Franzini and Finnemore, sample pump problem: 90 ft of 10 in with f = 0.022 and 4900 ft
 * of 8 in with f = 0.028, lift 290 ft, h = 365 - 20 Q^2 ft and cfs (value by arithmetic). */
static void
test_daugherty (void)
{
  Deviation deviation = { .source = "Daugherty, Franzini and Finnemore, pump problem" };
  g_autoptr (TdPump) pump = make_quadratic (365, 20);
  double a10 = G_PI / 4 * pow (10.0 / 12, 2), a8 = G_PI / 4 * pow (8.0 / 12, 2), g = 32.174;
  double factor = 0.022 * 90 / (10.0 / 12) / (2 * g * a10 * a10)
                  + 0.028 * 4900 / (8.0 / 12) / (2 * g * a8 * a8);

  deviation_check (&deviation, "Q cfs", find_operating_point (pump, 290, factor), 1.27, 0.5);
  deviation_tell (&deviation, "%");
}

static void
test_three_points (void)
{
  const TdCurvePoint curves[][3] = {
    { { 0, 45 }, { 4, 38 }, { 8, 15 } },      { { 0, 55 }, { 8, 42 }, { 14, 12 } },
    { { 0, 1 }, { 0.6, 0.8 }, { 1.5, 0.1 } }, { { 0, 481.2 }, { 3.8, 401 }, { 7.6, 160.4 } },
    { { 0, 45 }, { 4, 30 }, { 8, 25 } },
  };

  for (guint c = 0; c < G_N_ELEMENTS (curves); c++)
    {
      g_autoptr (TdPump) pump = td_pump_new (curves[c], 3, NULL);
      double before = INFINITY;

      g_assert_nonnull (pump);
      for (guint i = 0; i < 3; i++)
        {
          double head = td_pump_get_head_m (pump, curves[c][i].flow_l_min);

          g_assert_cmpfloat (fabs (head / curves[c][i].head_m - 1), <, 1e-12);
          /* Exact after rounding to micrometres: the planner compares such integers. */
          g_assert_cmpint (llround (head * 1e6), ==, llround (curves[c][i].head_m * 1e6));
        }
      for (double flow = 0.05; flow < curves[c][2].flow_l_min * 1.2; flow += 0.05)
        {
          double head = td_pump_get_head_m (pump, flow), step = 1e-6 * flow;
          double slope
              = (td_pump_get_head_m (pump, flow + step) - td_pump_get_head_m (pump, flow - step))
                / (2 * step);

          g_assert_cmpfloat (head, <, before);
          g_assert_cmpfloat (fabs (td_pump_get_flow_l_min (pump, head) / flow - 1), <, 1e-9);
          g_assert_cmpfloat (fabs (td_pump_get_slope (pump, flow) / slope - 1), <, 1e-4);
          before = head;
        }
      g_assert_cmpfloat (td_pump_get_shut_off_m (pump), ==, curves[c][0].head_m);
      g_assert_cmpfloat (fabs (td_pump_get_head_m (pump, td_pump_get_max_flow_l_min (pump))), <,
                         1e-9);
      g_assert_cmpfloat (td_pump_get_flow_l_min (pump, curves[c][0].head_m + 1), ==, 0);
    }
}

static void
test_piecewise (void)
{
  const TdCurvePoint points[] = { { 1, 45 }, { 4, 45 }, { 6, 25 }, { 8, 15 } };
  g_autoptr (TdPump) pump = td_pump_new (points, 4, NULL);
  g_autoptr (TdPump) three = td_pump_new (points, 3, NULL);
  g_autoptr (TdPump) level = td_pump_new (points, 2, NULL);

  g_assert_cmpfloat (td_pump_get_head_m (pump, 0), ==, 45);
  g_assert_cmpfloat (td_pump_get_head_m (pump, 3), ==, 45);
  g_assert_cmpfloat (td_pump_get_head_m (pump, 5), ==, 35);
  g_assert_cmpfloat (td_pump_get_head_m (pump, 7), ==, 20);
  g_assert_cmpfloat (td_pump_get_head_m (pump, 12), ==, -5);
  g_assert_cmpfloat (td_pump_get_slope (pump, 0.5), ==, 0);
  g_assert_cmpfloat (td_pump_get_slope (pump, 4), ==, -10);
  g_assert_cmpfloat (td_pump_get_slope (pump, 100), ==, -5);
  g_assert_cmpfloat (td_pump_get_flow_l_min (pump, 46), ==, 0);
  g_assert_cmpfloat (td_pump_get_flow_l_min (pump, 45), ==, 4);
  g_assert_cmpfloat (td_pump_get_flow_l_min (pump, 35), ==, 5);
  g_assert_cmpfloat (td_pump_get_flow_l_min (pump, 20), ==, 7);
  g_assert_cmpfloat (td_pump_get_max_flow_l_min (pump), ==, 11);
  /* Three points that do not start at zero flow are no power law. */
  g_assert_cmpfloat (td_pump_get_head_m (three, 5), ==, 35);
  g_assert_true (isinf (td_pump_get_max_flow_l_min (level)));
}

static void
test_default (void)
{
  g_autoptr (TdPump) pump = td_pump_new_default ();

  g_assert_cmpfloat (td_pump_get_shut_off_m (pump), ==, 40);
  g_assert_cmpfloat_with_epsilon (td_pump_get_head_m (pump, 6), 30, 1e-9);
  g_assert_cmpfloat_with_epsilon (td_pump_get_head_m (pump, 10), 10, 1e-9);
}

static void
test_refused (void)
{
  const struct
  {
    TdCurvePoint points[4];
    guint n;
    const char *says;
  } cases[] = {
    { { { 0, 45 } }, 0, "*of 0 points*" },
    { { { 0, 45 } }, 1, "*of 1 points*" },
    { { { 0, 45 }, { 4, 46 } }, 2, "Point 2*must not*" },
    { { { 0, 45 }, { 0, 40 } }, 2, "Point 2*" },
    { { { 0, 45 }, { 4, 40 }, { 3, 30 }, { 5, 20 } }, 4, "Point 3*" },
    { { { -1, 45 }, { 4, 40 } }, 2, "Point 1*below zero" },
    { { { 0, 45 }, { 4, -1 } }, 2, "Point 2*below zero" },
    { { { 0, NAN }, { 4, 40 } }, 2, "Point 1*" },
    { { { 0, 0 }, { 4, 0 } }, 2, "*no head" },
    { { { 0, 45 }, { 4, 45 }, { 8, 15 } }, 3, "*four points" },
    { { { 0, 45 }, { 4, 40 }, { 8, 40 } }, 3, "*four points" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      g_assert_null (td_pump_new (cases[i].points, cases[i].n, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      if (!g_pattern_match_simple (cases[i].says, error->message))
        g_error ("case %u says: %s", i, error->message);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/pump/cengel", test_cengel);
  g_test_add_func ("/pump/daugherty", test_daugherty);
  g_test_add_func ("/pump/three-points", test_three_points);
  g_test_add_func ("/pump/piecewise", test_piecewise);
  g_test_add_func ("/pump/default", test_default);
  g_test_add_func ("/pump/refused", test_refused);

  return g_test_run ();
}
