#include "core-transport.h"

#include "core-error.h"
#include "core-pipe.h"

#include <math.h>

/* Newton on ln erfc x = ln y: that is concave and falling, so it comes down from above without
 * overshoot, for a start below the root after one step at most. */
double
td_erfc_inverse (double y)
{
  double x;

  g_return_val_if_fail (y > 0.0 && y <= 1.0, NAN);

  if (y == 1.0)
    return 0.0;
  /* erfc x <= exp (-x^2) */
  x = sqrt (-log (y));
  for (int i = 0; i < 60; i++)
    {
      double tail = erfc (x);
      double step = (log (tail) - log (y)) * tail * sqrt (G_PI) / 2.0 * exp (x * x);

      x += step;
      if (fabs (step) <= 1e-15 * fabs (x))
        break;
    }

  return x;
}

double
td_transport_get_dispersion (double reynolds)
{
  if (!(reynolds > TD_REYNOLDS_LAMINAR))
    return NAN;

  return 3.0e7 * pow (reynolds, -2.1) + 1.35 * pow (reynolds, -0.125);
}

double
td_transport_get_theta (double spread, double eps)
{
  double a, root;

  g_return_val_if_fail (eps > 0.0 && eps <= 0.5, NAN);

  a = sqrt (spread) * td_erfc_inverse (2.0 * eps);
  root = a + sqrt (1.0 + a * a);

  return root * root;
}

/* Adds up volume and spread of the tubes: times add, and so do their variances 2 (D / uL) t^2. */
static gboolean
add_tubes (const TdRinseQuestion *question, TdRinse *rinse, GError **error)
{
  double variance = 0.0;

  rinse->volume_ml = 0.0;
  rinse->reynolds = INFINITY;
  for (guint i = 0; i < question->n_segments; i++)
    {
      const TdSegment *segment = &question->segments[i];
      TdPipeShape shape
          = { segment->bore_mm, segment->length_m, segment->roughness_mm, segment->k };
      double volume = td_segment_get_volume_ml (segment), reynolds;
      TdPipe pipe;

      if (!td_pipe_init (&pipe, &shape, &question->fluid, error))
        {
          g_prefix_error (error, "Segment %u: ", i + 1);
          return FALSE;
        }
      reynolds = td_pipe_get_reynolds (&pipe, question->flow_l_min);
      rinse->reynolds = MIN (rinse->reynolds, reynolds);
      rinse->volume_ml += volume;
      variance += td_transport_get_dispersion (reynolds) * segment->bore_mm / 1e3
                  / segment->length_m * volume * volume;
    }
  rinse->spread = variance / (rinse->volume_ml * rinse->volume_ml);
  rinse->laminar = rinse->reynolds <= TD_REYNOLDS_LAMINAR;
  rinse->uncertain = !rinse->laminar && rinse->reynolds < TD_REYNOLDS_TURBULENT;

  return TRUE;
}

gboolean
td_transport_rinse (const TdRinseQuestion *question, TdRinse *rinse_out, GError **error)
{
  double pockets = 0.0;

  g_return_val_if_fail (question != NULL && rinse_out != NULL, FALSE);
  g_return_val_if_fail (question->n_segments > 0, FALSE);

  if (!(question->flow_l_min > 0.0 && isfinite (question->flow_l_min)))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "A flow of %g L/min is not possible",
                   question->flow_l_min);
      return FALSE;
    }
  if (!(question->eps > 0.0 && question->eps < 0.5))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "A share of %g is not possible: it lies between 0 and a half", question->eps);
      return FALSE;
    }
  if (!add_tubes (question, rinse_out, error))
    return FALSE;

  for (guint i = 0; i < question->n_pockets; i++)
    pockets += question->pockets_ml[i];
  rinse_out->front_s = (rinse_out->volume_ml + pockets) / question->flow_l_min * 0.06;
  rinse_out->theta
      = rinse_out->laminar ? NAN : td_transport_get_theta (rinse_out->spread, question->eps);
  rinse_out->volumes
      = rinse_out->theta + pockets / rinse_out->volume_ml * log (1.0 / question->eps);
  if (rinse_out->laminar)
    rinse_out->rinse_l
        = (TD_LAMINAR_MAX_VOLUMES * rinse_out->volume_ml + pockets * log (1.0 / question->eps))
          / 1e3;
  else
    rinse_out->rinse_l = rinse_out->volumes * rinse_out->volume_ml / 1e3;
  rinse_out->rinse_s = rinse_out->rinse_l / question->flow_l_min * 60.0;

  return TRUE;
}

void
td_transport_get_fronts (const double *volumes_ml, guint n, double flow_l_min, double *fronts_s_out)
{
  double sum = 0.0;

  g_return_if_fail (flow_l_min > 0.0);

  for (guint i = 0; i < n; i++)
    {
      sum += volumes_ml[i];
      fronts_s_out[i] = sum / flow_l_min * 0.06;
    }
}

double
td_transport_get_solution_l (const double *circuits_ml,
                             guint n_circuits,
                             const double *statics_ml,
                             guint n_statics,
                             double bucket_ml,
                             gboolean reused)
{
  double sum = 0.0;

  for (guint i = 0; i < n_circuits; i++)
    sum = reused ? MAX (sum, circuits_ml[i] + bucket_ml) : sum + circuits_ml[i] + bucket_ml;
  /* Without any circuit the pump still draws from a bucket. */
  if (n_circuits == 0 && n_statics > 0)
    sum = bucket_ml;
  for (guint i = 0; i < n_statics; i++)
    sum += statics_ml[i];

  return sum / 1e3;
}

double
td_transport_get_beer_lost_ml (double volume_ml, double spread)
{
  g_return_val_if_fail (volume_ml >= 0.0, NAN);

  if (isnan (spread))
    return 2.0 * volume_ml;

  return volume_ml * td_transport_get_theta (spread, 0.01);
}

gint64
td_transport_get_beer_price_minor (double lost_ml, gint64 minor_per_litre)
{
  g_return_val_if_fail (lost_ml >= 0.0, 0);

  return llround (lost_ml * minor_per_litre / 1e3);
}
