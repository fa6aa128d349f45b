#include "core-pump.h"

#include "core-error.h"

#include <math.h>

struct _TdPump
{
  gatomicrefcount refs;
  gboolean power; /* H = shut_off - b Q^c; else piecewise linear */
  double shut_off_m, b, c;
  guint n_points;
  TdCurvePoint points[]; /* the piecewise curve; first flow may be above zero */
};

static gboolean
check_points (const TdCurvePoint *points, guint n_points, GError **error)
{
  if (n_points < 2)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "A pump curve of %u points is not a curve: give at least two", n_points);
      return FALSE;
    }
  for (guint i = 0; i < n_points; i++)
    {
      double flow = points[i].flow_l_min, head = points[i].head_m;

      if (!(flow >= 0.0 && isfinite (flow) && head >= 0.0 && isfinite (head)))
        {
          g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                       "Point %u of the pump curve, [%g, %g], has a flow or a head below zero",
                       i + 1, flow, head);
          return FALSE;
        }
      if (i > 0 && !(flow > points[i - 1].flow_l_min && head <= points[i - 1].head_m))
        {
          g_set_error (
              error, TD_ERROR, TD_ERROR_RANGE,
              "Point %u of the pump curve, [%g, %g]: flows must rise from point to point and "
              "heads must not",
              i + 1, flow, head);
          return FALSE;
        }
    }
  if (!(points[0].head_m > 0.0))
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_RANGE,
                           "The first point of the pump curve has no head");
      return FALSE;
    }

  return TRUE;
}

/* Fits H = A - B Q^C through three points of which the first is at zero flow. */
static gboolean
fit_power (TdPump *pump, const TdCurvePoint *points, GError **error)
{
  double drop1 = points[0].head_m - points[1].head_m;
  double drop2 = points[0].head_m - points[2].head_m;

  if (!(drop1 > 0.0 && drop2 > drop1))
    {
      g_set_error_literal (
          error, TD_ERROR, TD_ERROR_RANGE,
          "No curve H = A - B Q^C goes through the three points of the pump: heads "
          "must fall from each to the next; for a level stretch give four points");
      return FALSE;
    }
  pump->power = TRUE;
  pump->c = log (drop2 / drop1) / log (points[2].flow_l_min / points[1].flow_l_min);
  pump->b = drop1 / pow (points[1].flow_l_min, pump->c);

  return TRUE;
}

TdPump *
td_pump_new (const TdCurvePoint *points, guint n_points, GError **error)
{
  g_autoptr (TdPump) pump = NULL;

  g_return_val_if_fail (points != NULL || n_points == 0, NULL);

  if (!check_points (points, n_points, error))
    return NULL;

  pump = g_malloc0 (sizeof *pump + n_points * sizeof *points);
  g_atomic_ref_count_init (&pump->refs);
  pump->shut_off_m = points[0].head_m;
  pump->n_points = n_points;
  for (guint i = 0; i < n_points; i++)
    pump->points[i] = points[i];
  if (n_points == 3 && points[0].flow_l_min == 0.0 && !fit_power (pump, points, error))
    return NULL;

  return g_steal_pointer (&pump);
}

TdPump *
td_pump_new_default (void)
{
  const TdCurvePoint points[] = { { 0, 40 }, { 6, 30 }, { 10, 10 } };
  TdPump *pump = td_pump_new (points, G_N_ELEMENTS (points), NULL);

  g_assert (pump != NULL);

  return pump;
}

TdPump *
td_pump_ref (TdPump *pump)
{
  g_return_val_if_fail (pump != NULL, NULL);
  g_atomic_ref_count_inc (&pump->refs);

  return pump;
}

void
td_pump_unref (TdPump *pump)
{
  g_return_if_fail (pump != NULL);
  if (g_atomic_ref_count_dec (&pump->refs))
    g_free (pump);
}

/* The stretch of the piecewise curve that holds @flow: the last one also beyond its end. */
static guint
find_stretch (const TdPump *pump, double flow)
{
  guint i = 0;

  while (i + 2 < pump->n_points && flow >= pump->points[i + 1].flow_l_min)
    i++;

  return i;
}

static double
get_stretch_slope (const TdPump *pump, guint i)
{
  return (pump->points[i + 1].head_m - pump->points[i].head_m)
         / (pump->points[i + 1].flow_l_min - pump->points[i].flow_l_min);
}

double
td_pump_get_head_m (const TdPump *pump, double flow_l_min)
{
  guint i;

  g_return_val_if_fail (flow_l_min >= 0.0, NAN);

  if (pump->power)
    return pump->shut_off_m - pump->b * pow (flow_l_min, pump->c);
  if (flow_l_min <= pump->points[0].flow_l_min)
    return pump->shut_off_m;
  i = find_stretch (pump, flow_l_min);

  return pump->points[i].head_m
         + get_stretch_slope (pump, i) * (flow_l_min - pump->points[i].flow_l_min);
}

double
td_pump_get_slope (const TdPump *pump, double flow_l_min)
{
  g_return_val_if_fail (flow_l_min >= 0.0, NAN);

  if (pump->power)
    return -pump->b * pump->c * pow (flow_l_min, pump->c - 1.0);
  if (flow_l_min < pump->points[0].flow_l_min)
    return 0.0;

  return get_stretch_slope (pump, find_stretch (pump, flow_l_min));
}

double
td_pump_get_flow_l_min (const TdPump *pump, double head_m)
{
  const TdCurvePoint *points = pump->points;

  if (head_m > pump->shut_off_m)
    return 0.0;
  if (pump->power)
    return pow ((pump->shut_off_m - head_m) / pump->b, 1.0 / pump->c);
  /* From the far end, so that a level stretch gives its greatest flow. */
  for (guint i = pump->n_points - 1; i-- > 0;)
    if (head_m <= points[i].head_m)
      {
        double slope = get_stretch_slope (pump, i);

        /* A level end goes on for ever. */
        return slope == 0.0 ? INFINITY : points[i].flow_l_min + (head_m - points[i].head_m) / slope;
      }
  g_return_val_if_reached (NAN);
}

double
td_pump_get_shut_off_m (const TdPump *pump)
{
  return pump->shut_off_m;
}

double
td_pump_get_max_flow_l_min (const TdPump *pump)
{
  return td_pump_get_flow_l_min (pump, 0.0);
}
