#include "core-transport.h"

#include "core-error.h"
#include "core-rinse-end.h"

#include "deviation.h"

/* Tables of the error function (Abramowitz and Stegun, table 7.1): erf 0.5, 1, 1.5, 2. */
static void
test_erfc_inverse (void)
{
  const double table[][2]
      = { { 0.5, 0.5204998778 }, { 1, 0.8427007929 }, { 1.5, 0.9661051465 }, { 2, 0.9953222650 } };

  for (guint i = 0; i < G_N_ELEMENTS (table); i++)
    g_assert_cmpfloat_with_epsilon (td_erfc_inverse (1 - table[i][1]), table[i][0], 1e-8);
  for (double y = 1; y > 1e-200; y *= 0.83)
    g_assert_cmpfloat (fabs (erfc (td_erfc_inverse (y)) / y - 1), <, 1e-11);
}

static TdRinse
rinse (const TdRinseQuestion *question)
{
  g_autoptr (GError) error = NULL;
  TdRinse answer;
  gboolean fits = td_transport_rinse (question, &answer, &error);

  g_assert_no_error (error);
  g_assert_true (fits);

  return answer;
}

/* A worked example: 1/4 in x 30 m at 10 C and 3 L/min: 0.95 L, front 19.0 s, Re 7676, 1.06 volumes;
 * with one pocket of 60 mL 1.62 volumes (derived by hand). */
static void
test_example (void)
{
  Deviation deviation = { .source = "worked rinse of 30 m of 1/4 in" };
  const TdSegment segment = { NULL, 6.35, 30, 0.0015, 0 };
  const double pocket = 60;
  TdRinseQuestion question
      = { .segments = &segment, .n_segments = 1, .flow_l_min = 3, .eps = TD_RINSE_SHARE_HARD };
  TdRinse answer;

  g_assert_true (td_fluid_get ("water", 0, 10, &question.fluid, NULL));
  answer = rinse (&question);
  deviation_check (&deviation, "volume", answer.volume_ml, 950, 0.1);
  deviation_check (&deviation, "front", answer.front_s, 19.0, 0.1);
  deviation_check (&deviation, "Re", answer.reynolds, 7676, 0.1);
  deviation_check (&deviation, "volumes", answer.volumes, 1.06, 0.5);
  question.pockets_ml = &pocket;
  question.n_pockets = 1;
  answer = rinse (&question);
  deviation_check (&deviation, "volumes with a pocket", answer.volumes, 1.62, 0.5);
  g_assert_cmpfloat_with_epsilon (answer.rinse_l, answer.volumes * answer.volume_ml / 1e3, 1e-12);
  g_assert_cmpfloat_with_epsilon (answer.rinse_s, answer.rinse_l * 20, 1e-9);
  deviation_tell (&deviation, "%");
}

/* dC/dt = -dC/dx + spread d2C/dx2 from a step at x = 0, line from 0 to 1, by finite volumes with
 * Crank and Nicolson's rule: knows nothing of error functions.  A stirred pocket of @pocket line
 * volumes follows the line's end.  Returns the time at which what leaves falls to @eps. */
static double
simulate (double spread, double pocket, double eps)
{
  const double from = -0.6, to = 2.2, step = MIN (1e-3, spread), dt = step;
  const int n = (int)((to - from) / step), exit = (int)((1 - from) / step);
  const double advection = dt / (4 * step), diffusion = spread * dt / (2 * step * step);
  double lower = -advection - diffusion, upper = advection - diffusion, middle = 1 + 2 * diffusion;
  g_autofree double *c = g_new (double, n), *right = g_new (double, n), *factor = g_new (double, n);
  double out = 1, before = 1;

  for (int i = 0; i < n; i++)
    c[i] = from + (i + 0.5) * step < 0 ? 0 : 1;
  for (double time = dt; time < 20; time += dt)
    {
      double at_exit, inflow;

      /* Thomas' rule; 0 far upstream, 1 far downstream. */
      for (int i = 0; i < n; i++)
        {
          double left = i > 0 ? c[i - 1] : 0, next = i + 1 < n ? c[i + 1] : 1, pivot;

          right[i] = c[i] - advection * (next - left) + diffusion * (next - 2 * c[i] + left);
          if (i + 1 == n)
            right[i] -= upper;
          pivot = middle - (i > 0 ? lower * factor[i - 1] : 0);
          factor[i] = upper / pivot;
          right[i] = (right[i] - (i > 0 ? lower * right[i - 1] : 0)) / pivot;
        }
      inflow = 0.5 * (c[exit - 1] + c[exit]);
      for (int i = n - 1; i >= 0; i--)
        c[i] = right[i] - (i + 1 < n ? factor[i] * c[i + 1] : 0);
      at_exit = 0.5 * (c[exit - 1] + c[exit]);
      if (pocket > 0)
        {
          double mean = 0.5 * (inflow + at_exit);

          out = mean + (out - mean) * exp (-dt / pocket);
        }
      else
        out = at_exit;
      if (out < eps)
        return time - dt * (log (eps) - log (out)) / (log (before) - log (out));
      before = out;
    }
  g_assert_not_reached ();
}

static void
test_closed_formula (void)
{
  Deviation deviation = { .source = "1-D advection-dispersion by finite volumes" };
  Deviation excess = { .source = "1-D advection-dispersion, volumes beyond the first" };
  const double spreads[] = { 3e-4, 1e-3, 4e-3 };
  const double shares[] = { 0.2, 1e-2, 1e-3, TD_RINSE_SHARE_HARD };

  for (guint s = 0; s < G_N_ELEMENTS (spreads); s++)
    for (guint e = 0; e < G_N_ELEMENTS (shares); e++)
      {
        g_autofree char *what = g_strdup_printf ("spread %g share %g", spreads[s], shares[e]);
        double theta = td_transport_get_theta (spreads[s], shares[e]);
        double solved = simulate (spreads[s], 0, shares[e]);

        deviation_check (&deviation, what, theta, solved, 0.3);
        deviation_check (&excess, what, theta - 1, solved - 1, 3);
      }
  deviation_tell (&deviation, "%");
  deviation_tell (&excess, "%");
}

/* A pocket empties as V ln (1 / eps) after the front: never less than the truth, and not by much.
 */
static void
test_pocket (void)
{
  Deviation deviation = { .source = "stirred pocket behind a line, simulated" };
  const double pockets[] = { 0.02, 0.06, 0.2 };

  for (guint i = 0; i < G_N_ELEMENTS (pockets); i++)
    {
      g_autofree char *what = g_strdup_printf ("pocket of %g volumes", pockets[i]);
      double solved = simulate (1e-3, pockets[i], 1e-3);
      double told = td_transport_get_theta (1e-3, 1e-3) + pockets[i] * log (1e3);

      deviation_check (&deviation, what, told, solved, 12);
      g_assert_cmpfloat (told, >=, solved * 0.999);
    }
  deviation_tell (&deviation, "%");
}

static void
test_tubes_in_turn (void)
{
  const TdSegment whole = { NULL, 6.35, 30, 0.0015, 0 };
  const TdSegment halves[] = { { NULL, 6.35, 12, 0.0015, 0 }, { NULL, 6.35, 18, 0.0015, 0 } };
  const TdSegment mixed[] = { { NULL, 6.35, 30, 0.0015, 0 }, { NULL, 12.7, 3, 0.0015, 0 } };
  TdRinseQuestion question = { .segments = &whole, .n_segments = 1, .flow_l_min = 3, .eps = 1e-4 };
  TdRinse one, two, slow;

  g_assert_true (td_fluid_get ("water", 0, 10, &question.fluid, NULL));
  one = rinse (&question);
  question.segments = halves;
  question.n_segments = 2;
  two = rinse (&question);
  /* Cut in two it is the same line. */
  g_assert_cmpfloat (fabs (two.spread / one.spread - 1), <, 1e-12);
  g_assert_cmpfloat (fabs (two.volumes / one.volumes - 1), <, 1e-12);

  /* A wide tube behind flows slowly: uncertain, then laminar, and no figure but the greatest is
   * told. */
  question.segments = mixed;
  two = rinse (&question);
  g_assert_true (two.uncertain && !two.laminar);
  question.flow_l_min = 1.2;
  slow = rinse (&question);
  g_assert_true (slow.laminar && !slow.uncertain);
  g_assert_true (isnan (slow.theta) && isnan (slow.spread) && isnan (slow.volumes));
  g_assert_cmpfloat_with_epsilon (slow.rinse_l, 8 * slow.volume_ml / 1e3, 1e-12);
  g_assert_true (isnan (td_transport_get_dispersion (2000)));
}

static void
test_sums (void)
{
  const double lines[] = { 1000, 500, 2000 }, circuits[] = { 4300, 3100 }, statics[] = { 800 };
  double fronts[3];

  td_transport_get_fronts (lines, 3, 6, fronts);
  g_assert_cmpfloat_with_epsilon (fronts[0], 10, 1e-12);
  g_assert_cmpfloat_with_epsilon (fronts[1], 15, 1e-12);
  g_assert_cmpfloat_with_epsilon (fronts[2], 35, 1e-12);

  g_assert_cmpfloat_with_epsilon (td_transport_get_solution_l (circuits, 2, statics, 1, 4000, TRUE),
                                  9.1, 1e-12);
  g_assert_cmpfloat_with_epsilon (
      td_transport_get_solution_l (circuits, 2, statics, 1, 4000, FALSE), 16.2, 1e-12);
  g_assert_cmpfloat_with_epsilon (td_transport_get_solution_l (NULL, 0, statics, 1, 4000, TRUE),
                                  4.8, 1e-12);

  g_assert_cmpfloat (td_transport_get_beer_lost_ml (1000, 1e-4), >, 1000);
  g_assert_cmpfloat (td_transport_get_beer_lost_ml (1000, 1e-4), <, 1060);
  g_assert_cmpfloat (td_transport_get_beer_lost_ml (1000, NAN), ==, 2000);
  /* 2.345 L at 5.00 a litre: 11.725, rounded away from zero. */
  g_assert_cmpint (td_transport_get_beer_price_minor (2345, 500), ==, 1173);
}

/* The shares that the trade's figures rest on, by the carbonate system: 1.6e-4 at 100 mg/L, 5e-5 in
 * soft water, both for +0.3 pH from 2 % NaOH (derived, for tap water between pH 7.2 and 7.6). */
static void
test_end_point (void)
{
  const double solution = 2 * 10.207 / TD_MOLAR_NAOH;

  g_assert_cmpfloat_with_epsilon (solution, 0.51, 0.001);
  g_assert_cmpfloat (td_rinse_end_get_share (solution, 7.2, 100, 0.3), >, TD_RINSE_SHARE_HARD);
  g_assert_cmpfloat (td_rinse_end_get_share (solution, 7.6, 100, 0.3), <, TD_RINSE_SHARE_HARD);
  g_assert_cmpfloat (td_rinse_end_get_share (solution, 7.2, 30, 0.3), >, TD_RINSE_SHARE_SOFT);
  g_assert_cmpfloat (td_rinse_end_get_share (solution, 7.6, 30, 0.3), <, TD_RINSE_SHARE_SOFT);
  /* Harder water hides more, a wider band too; acid works the other way. */
  g_assert_cmpfloat (td_rinse_end_get_dose (7.5, 200, 0.3), >,
                     td_rinse_end_get_dose (7.5, 100, 0.3));
  g_assert_cmpfloat (td_rinse_end_get_dose (7.5, 100, 1.0), >,
                     td_rinse_end_get_dose (7.5, 100, 0.3));
  g_assert_cmpfloat (td_rinse_end_get_dose (7.5, 100, -0.3), >, 0);
  /* Pure water: the dose is the hydroxide itself. */
  g_assert_cmpfloat_with_epsilon (td_rinse_end_get_dose (7, 0, 3), 1e-4, 1e-6);
  g_assert_true (isnan (td_rinse_end_get_dose (12, 100, 0.3)));
  g_assert_true (isnan (td_rinse_end_get_share (0, 7, 100, 0.3)));
}

static void
test_refused (void)
{
  const TdSegment segment = { NULL, 6.35, 30, 0.0015, 0 }, thin = { NULL, 0, 30, 0.0015, 0 };
  const struct
  {
    TdRinseQuestion question;
    const char *says;
  } cases[] = {
    { { &segment, 1, NULL, 0, 0, { 1000, 1e-3 }, 1e-4 }, "A flow of 0*" },
    { { &segment, 1, NULL, 0, NAN, { 1000, 1e-3 }, 1e-4 }, "A flow*" },
    { { &segment, 1, NULL, 0, 3, { 1000, 1e-3 }, 0 }, "A share of 0*" },
    { { &segment, 1, NULL, 0, 3, { 1000, 1e-3 }, 0.5 }, "A share of 0.5*" },
    { { &thin, 1, NULL, 0, 3, { 1000, 1e-3 }, 1e-4 }, "Segment 1: A bore*" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      TdRinse answer;

      g_assert_false (td_transport_rinse (&cases[i].question, &answer, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      g_assert_true (g_pattern_match_simple (cases[i].says, error->message));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/transport/erfc-inverse", test_erfc_inverse);
  g_test_add_func ("/transport/example", test_example);
  g_test_add_func ("/transport/closed-formula", test_closed_formula);
  g_test_add_func ("/transport/pocket", test_pocket);
  g_test_add_func ("/transport/tubes-in-turn", test_tubes_in_turn);
  g_test_add_func ("/transport/sums", test_sums);
  g_test_add_func ("/transport/end-point", test_end_point);
  g_test_add_func ("/transport/refused", test_refused);

  return g_test_run ();
}
