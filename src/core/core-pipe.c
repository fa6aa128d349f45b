#include "core-pipe.h"

#include "core-error.h"

#include <math.h>

/* Darcy's 64 / Re at the upper end of laminar flow. */
#define LAMINAR_END (64.0 / TD_REYNOLDS_LAMINAR)

static gboolean
refuse (GError **error, const char *what, double value, const char *remedy)
{
  g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "%s of %g is not possible: %s", what, value,
               remedy);

  return FALSE;
}

gboolean
td_pipe_init (TdPipe *pipe, const TdPipeShape *shape, const TdFluid *fluid, GError **error)
{
  double bore_m = shape->bore_mm / 1e3;

  g_return_val_if_fail (pipe != NULL, FALSE);

  if (!(shape->bore_mm > 0.0 && isfinite (shape->bore_mm)))
    return refuse (error, "A bore in mm", shape->bore_mm, "give the inside diameter");
  if (!(shape->length_m > 0.0 && isfinite (shape->length_m)))
    return refuse (error, "A length in m", shape->length_m, "give the tube's length");
  if (!(shape->roughness_mm >= 0.0 && shape->roughness_mm < 0.05 * shape->bore_mm))
    return refuse (error, "A roughness in mm", shape->roughness_mm,
                   "it must be below a twentieth of the bore; drawn plastic has 0.0015");
  if (!(shape->k >= 0.0 && isfinite (shape->k)))
    return refuse (error, "A k", shape->k, "give the sum of the fittings' loss coefficients");
  if (!(fluid->density_kg_m3 > 0.0 && isfinite (fluid->density_kg_m3)))
    return refuse (error, "A density in kg/m3", fluid->density_kg_m3, "give the liquid's density");
  if (!(fluid->viscosity_pa_s > 0.0 && isfinite (fluid->viscosity_pa_s)))
    return refuse (error, "A viscosity in Pa s", fluid->viscosity_pa_s,
                   "give the liquid's dynamic viscosity");

  pipe->area_m2 = G_PI / 4.0 * bore_m * bore_m;
  pipe->velocity_per_flow = 1.0 / (TD_L_MIN_PER_M3_S * pipe->area_m2);
  pipe->reynolds_per_flow
      = pipe->velocity_per_flow * bore_m * fluid->density_kg_m3 / fluid->viscosity_pa_s;
  pipe->relative_roughness = shape->roughness_mm / shape->bore_mm;
  pipe->slenderness = shape->length_m / bore_m;
  pipe->k = shape->k;

  return TRUE;
}

/* The root of Colebrook and White.  With X = ln 10 / (2 sqrt f), the equation is X + ln (X + b) = l with
 * b = ln 10 / 2 / 3.7 / 2.51 Re e and l = ln (ln 10 / 2 / 2.51 Re): all but straight, so that Halley's
 * rule from X = l - ln (l + b), off by 0.3 at most, leaves 1e-5 after one step and nothing but rounding
 * after two. */
static double
get_turbulent (double reynolds, double roughness, double *slope_out)
{
  const double half = G_LN10 / 2.0;
  double b = half / (3.7 * 2.51) * reynolds * roughness;
  double l = log (half / 2.51 * reynolds);
  double x = l - log (l + b), f;

  for (int i = 0; i < 2; i++)
    {
      double inverse = 1.0 / (x + b), slope = 1.0 + inverse;
      double newton = (x + log (x + b) - l) / slope;

      x -= newton / (1.0 + 0.5 * newton * inverse * inverse / slope);
    }
  f = half * half / (x * x);
  if (slope_out != NULL)
    *slope_out = -2.0 * f / (reynolds * (1.0 + x + b));

  return f;
}

/* The cubic through (2000, 64/Re with its slope) and (4000, turbulent with its slope), in
 * s = (Re - 2000) / 2000. */
static double
get_transitional (double reynolds, double roughness, double *slope_out)
{
  const double width = TD_REYNOLDS_TURBULENT - TD_REYNOLDS_LAMINAR;
  double s = (reynolds - TD_REYNOLDS_LAMINAR) / width;
  double f0 = LAMINAR_END, d0 = -LAMINAR_END / TD_REYNOLDS_LAMINAR * width;
  double d1, f1 = get_turbulent (TD_REYNOLDS_TURBULENT, roughness, &d1);
  double c2, c3;

  d1 *= width;
  c2 = 3.0 * (f1 - f0) - 2.0 * d0 - d1;
  c3 = 2.0 * (f0 - f1) + d0 + d1;
  if (slope_out != NULL)
    *slope_out = (d0 + s * (2.0 * c2 + s * 3.0 * c3)) / width;

  return f0 + s * (d0 + s * (c2 + s * c3));
}

double
td_pipe_get_friction (double reynolds, double relative_roughness, double *slope_out)
{
  g_return_val_if_fail (reynolds > 0.0, NAN);
  g_return_val_if_fail (relative_roughness >= 0.0 && relative_roughness <= 0.05, NAN);

  if (reynolds >= TD_REYNOLDS_TURBULENT)
    return get_turbulent (reynolds, relative_roughness, slope_out);
  if (reynolds > TD_REYNOLDS_LAMINAR)
    return get_transitional (reynolds, relative_roughness, slope_out);
  if (slope_out != NULL)
    *slope_out = -64.0 / (reynolds * reynolds);

  return 64.0 / reynolds;
}

double
td_pipe_get_loss_m (const TdPipe *pipe, double flow_l_min, double *slope_out)
{
  double velocity = pipe->velocity_per_flow * flow_l_min;
  double reynolds = pipe->reynolds_per_flow * flow_l_min;
  double head = velocity * velocity / (2.0 * TD_GRAVITY);
  double friction, df, loss;

  g_return_val_if_fail (flow_l_min >= 0.0, NAN);

  if (reynolds <= TD_REYNOLDS_LAMINAR)
    {
      /* 64 / Re written out, so that it holds at zero flow too. */
      double linear = 32.0 * pipe->slenderness * pipe->velocity_per_flow * pipe->velocity_per_flow
                      / (TD_GRAVITY * pipe->reynolds_per_flow);

      if (slope_out != NULL)
        *slope_out = linear + pipe->k * velocity * pipe->velocity_per_flow / TD_GRAVITY;
      return linear * flow_l_min + pipe->k * head;
    }
  friction = td_pipe_get_friction (reynolds, pipe->relative_roughness, &df);
  loss = (friction * pipe->slenderness + pipe->k) * head;
  if (slope_out != NULL)
    *slope_out = 2.0 * loss / flow_l_min + df * pipe->reynolds_per_flow * pipe->slenderness * head;

  return loss;
}

/* Newton held inside a bracket: the loss rises with the flow everywhere, but neither convex nor
 * concave across the transition, where Newton alone may run in circles. */
double
td_pipe_get_flow_l_min (const TdPipe *pipe, double loss_m)
{
  double low = 0.0, high = 1.0, flow;

  g_return_val_if_fail (loss_m >= 0.0 && isfinite (loss_m), NAN);

  if (loss_m == 0.0)
    return 0.0;
  while (td_pipe_get_loss_m (pipe, high, NULL) < loss_m)
    {
      low = high;
      high *= 2.0;
    }
  flow = 0.5 * (low + high);
  for (int i = 0; i < 200 && high - low > 1e-13 * high; i++)
    {
      double slope, miss = td_pipe_get_loss_m (pipe, flow, &slope) - loss_m, next;

      if (miss == 0.0)
        return flow;
      if (miss > 0.0)
        high = flow;
      else
        low = flow;
      next = flow - miss / slope;
      if (!(next > low && next < high))
        next = 0.5 * (low + high);
      if (fabs (next - flow) <= 1e-14 * flow)
        return next;
      flow = next;
    }

  return flow;
}

double
td_pipe_get_velocity_m_s (const TdPipe *pipe, double flow_l_min)
{
  return pipe->velocity_per_flow * flow_l_min;
}

double
td_pipe_get_reynolds (const TdPipe *pipe, double flow_l_min)
{
  return pipe->reynolds_per_flow * flow_l_min;
}

TdRegime
td_pipe_get_regime (const TdPipe *pipe, double flow_l_min)
{
  double reynolds = td_pipe_get_reynolds (pipe, flow_l_min);

  if (flow_l_min <= 0.0)
    return TD_REGIME_STILL;
  if (reynolds <= TD_REYNOLDS_LAMINAR)
    return TD_REGIME_LAMINAR;
  if (reynolds < TD_REYNOLDS_TURBULENT)
    return TD_REGIME_TRANSITIONAL;

  return TD_REGIME_TURBULENT;
}

const char *
td_regime_to_text (TdRegime regime)
{
  static const char *const texts[] = { "still", "laminar", "transitional", "turbulent" };

  g_return_val_if_fail ((guint)regime < G_N_ELEMENTS (texts), NULL);

  return texts[regime];
}
