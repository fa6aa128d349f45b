#include "core-carbonation.h"

#include "core-error.h"

#include <math.h>

#define PSI_PER_1000_FT 0.5
#define M_PER_1000_FT 304.8

static double
get_altitude_psi (double altitude_m)
{
  return PSI_PER_1000_FT * altitude_m / M_PER_1000_FT;
}

static double
get_psig (double f, double volumes)
{
  return -16.6999 - 0.0101059 * f + 0.00116512 * f * f + 0.173354 * f * volumes + 4.24267 * volumes
         - 0.0684226 * volumes * volumes;
}

static gboolean
check_range (const char *what,
             double value,
             double low,
             double high,
             const char *unit,
             GError **error)
{
  if (value >= low && value <= high)
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
               "%s of %g %s is outside the chart, which holds from %g to %g %s", what, value, unit,
               low, high, unit);

  return FALSE;
}

static gboolean
check_place (double temperature_c, double altitude_m, GError **error)
{
  return check_range ("A beer temperature", temperature_c, TD_CARBONATION_MIN_C,
                      TD_CARBONATION_MAX_C, "C", error)
         && check_range ("An altitude", altitude_m, 0.0, TD_CARBONATION_MAX_ALTITUDE_M, "m", error);
}

gboolean
td_carbonation_get_pressure (double temperature_c,
                             double volumes,
                             double altitude_m,
                             double *kpa_out,
                             GError **error)
{
  g_return_val_if_fail (kpa_out != NULL, FALSE);

  if (!check_place (temperature_c, altitude_m, error)
      || !check_range ("A carbonation", volumes, TD_CARBONATION_MIN_VOLUMES,
                       TD_CARBONATION_MAX_VOLUMES, "volumes", error))
    return FALSE;
  *kpa_out = TD_KPA_PER_PSI
             * (get_psig (temperature_c * 1.8 + 32.0, volumes) + get_altitude_psi (altitude_m));

  return TRUE;
}

gboolean
td_carbonation_get_volumes (double temperature_c,
                            double kpa,
                            double altitude_m,
                            double *volumes_out,
                            GError **error)
{
  double f = temperature_c * 1.8 + 32.0, psi, low, high;

  g_return_val_if_fail (volumes_out != NULL, FALSE);

  if (!check_place (temperature_c, altitude_m, error))
    return FALSE;
  psi = kpa / TD_KPA_PER_PSI - get_altitude_psi (altitude_m);
  if (!check_range ("A pressure", psi * TD_KPA_PER_PSI,
                    get_psig (f, TD_CARBONATION_MIN_VOLUMES) * TD_KPA_PER_PSI,
                    get_psig (f, TD_CARBONATION_MAX_VOLUMES) * TD_KPA_PER_PSI, "kPa", error))
    return FALSE;

  /* Rises with the volumes all the way. */
  low = TD_CARBONATION_MIN_VOLUMES;
  high = TD_CARBONATION_MAX_VOLUMES;
  for (int i = 0; i < 50; i++)
    {
      double volumes = 0.5 * (low + high);

      *(get_psig (f, volumes) < psi ? &low : &high) = volumes;
    }
  *volumes_out = 0.5 * (low + high);

  return TRUE;
}

double
td_carbonation_get_blend_share (double equilibrium_kpa, double applied_kpa, double altitude_m)
{
  double atmosphere = (TD_ATMOSPHERE_PSI - get_altitude_psi (altitude_m)) * TD_KPA_PER_PSI;

  if (!(equilibrium_kpa + atmosphere > 0.0 && applied_kpa + atmosphere > 0.0))
    return NAN;

  return (equilibrium_kpa + atmosphere) / (applied_kpa + atmosphere);
}
