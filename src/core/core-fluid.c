#include "core-fluid.h"

#include "core-error.h"
#include "core-fluid-tables.h"

#include <math.h>
#include <string.h>

/* Up to this strength a solution's expansion and thinning beyond the temperatures of its own table
 * follow water's: the tests hold the result against the correlations. */
#define WORKING_PERCENT 5.0

#define REFERENCE_C 20.0

/* G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, kg/m3 at 101.325 kPa, 0 to 100 C on the older
 * temperature scale; within 0.004 kg/m3 of IAPWS R6-95 from 5 to 60 C. */
static double
get_water_density (double c)
{
  double sum = -280.54253e-12;

  sum = sum * c + 105.56302e-9;
  sum = sum * c - 46.170461e-6;
  sum = sum * c - 7.9870401e-3;
  sum = sum * c + 16.945176;
  sum = sum * c + 999.83952;

  return sum / (1.0 + 16.879850e-3 * c);
}

/* IAPWS SR6-08(2011), liquid water at 0.1 MPa, 253.15 K to 383.15 K, Pa s. */
static double
get_water_viscosity (double c)
{
  double t = (c + 273.15) / 300.0;

  return 1e-6
         * (280.68 * pow (t, -1.9) + 511.45 * pow (t, -7.7) + 61.131 * pow (t, -19.6)
            + 0.45903 * pow (t, -40.0));
}

/* Laliberte and Cooper 2004, kg/m3; @w: mass share of the solute. */
static double
get_correlated_density (const TdLaliberte *lal, double w, double c)
{
  const double *k = lal->density;
  double apparent
      = (k[0] * w + k[1]) * exp (1e-6 * (c + k[4]) * (c + k[4])) / (w + k[2] + k[3] * c);

  return 1.0 / ((1.0 - w) / get_water_density (c) + w / apparent);
}

/* Laliberte 2007, Pa s, with IAPWS water in place of the paper's own fit (they differ by 0.1 %). */
static double
get_correlated_viscosity (const TdLaliberte *lal, double w, double c)
{
  const double *v = lal->viscosity;
  double solute
      = exp ((v[0] * pow (w, v[1]) + v[2]) / (v[3] * c + 1.0)) / (v[4] * pow (w, v[5]) + 1.0);

  return 1e-3 * pow (1e3 * get_water_viscosity (c), 1.0 - w) * pow (solute, w);
}

/* Density at 20 C: the correlation gives the shape between the measured points, the points the
 * figures, so that every point comes out as printed. */
static double
get_density_at_20 (const TdSolutionTable *table, double percent)
{
  double w0 = 0.0, ratio0 = 1.0;

  for (guint i = 0; i < table->n_points; i++)
    {
      double w1 = table->points[i].percent_w_w;
      double ratio1 = 1e3 * table->points[i].density_g_cm3
                      / get_correlated_density (&table->laliberte, w1 / 100.0, REFERENCE_C);

      if (percent <= w1)
        return get_correlated_density (&table->laliberte, percent / 100.0, REFERENCE_C)
               * (ratio0 + (ratio1 - ratio0) * (percent - w0) / (w1 - w0));
      w0 = w1;
      ratio0 = ratio1;
    }
  g_return_val_if_reached (NAN);
}

/* Viscosity at 20 C, straight between the points, water's own at 0 %. */
static double
get_viscosity_at_20 (const TdSolutionTable *table, double percent)
{
  double w0 = 0.0, v0 = 1e3 * get_water_viscosity (REFERENCE_C);

  for (guint i = 0; i < table->n_points; i++)
    {
      const TdSolutionPoint *point = &table->points[i];

      if (percent <= point->percent_w_w)
        return 1e-3
               * (v0 + (point->viscosity_mpa_s - v0) * (percent - w0) / (point->percent_w_w - w0));
      w0 = point->percent_w_w;
      v0 = point->viscosity_mpa_s;
    }
  g_return_val_if_reached (NAN);
}

/* Density of one row over water's at the same temperature, straight between the row's temperatures.
 */
static double
get_row_ratio (const TdDensityRow *row, double c)
{
  const double *t = row->temperatures_c;
  guint i = 0;
  double low, high;

  while (i < 2 && c > t[i + 1])
    i++;
  low = row->density_g_cm3[i] / get_water_density (t[i]);
  high = row->density_g_cm3[i + 1] / get_water_density (t[i + 1]);

  return low + (high - low) * (c - t[i]) / (t[i + 1] - t[i]);
}

/* How a row's density at @c stands to that at 20 C, both over water's. */
static double
get_row_growth (const TdDensityRow *row, double c)
{
  return get_row_ratio (row, c) / get_row_ratio (row, REFERENCE_C);
}

/* The density at a temperature over that at 20 C as the measured rows have it, straight between
 * their strengths.  @c_inout: the temperature wanted; comes back as the nearest that the rows on
 * both sides cover, 20 C where there are none. */
static double
get_measured_growth (const TdSolutionTable *table, double percent, double *c_inout)
{
  const TdDensityRow *above = table->rows, *below = NULL;
  double w0 = 0.0, g0 = 1.0, g1, c;

  if (above == NULL)
    {
      *c_inout = REFERENCE_C;
      return 1.0;
    }
  for (guint i = 0; i + 1 < table->n_rows && percent > above->percent_w_w; i++)
    below = above++;

  c = CLAMP (*c_inout, above->temperatures_c[0], above->temperatures_c[3]);
  if (below != NULL)
    {
      c = CLAMP (c, below->temperatures_c[0], below->temperatures_c[3]);
      w0 = below->percent_w_w;
      g0 = get_row_growth (below, c);
    }
  g1 = get_row_growth (above, c);
  *c_inout = c;

  return (g0 + (g1 - g0) * (percent - w0) / (above->percent_w_w - w0)) * get_water_density (c)
         / get_water_density (REFERENCE_C);
}

/* Density at any temperature: from 20 C by the measured rows as far as they reach, on by the
 * correlation as far as that is valid, and the last step, for working strengths only, as water. */
static gboolean
find_density (const TdSolutionTable *table, double percent, double c, double *out, GError **error)
{
  const TdLaliberte *lal = &table->laliberte;
  double w = percent / 100.0;
  double measured_c = c, correlated_c, density;

  density = get_density_at_20 (table, percent) * get_measured_growth (table, percent, &measured_c);
  correlated_c = CLAMP (c, lal->density_min_c, lal->density_max_c);
  if (correlated_c != c && percent > WORKING_PERCENT)
    {
      g_set_error (
          error, TD_ERROR, TD_ERROR_RANGE,
          "The density of %s stronger than %g %% is tabulated from %g to %g C only, not at %g C",
          table->substance, WORKING_PERCENT, lal->density_min_c,
          MIN (lal->density_max_c, TD_FLUID_MAX_C), c);
      return FALSE;
    }
  density *= get_correlated_density (lal, w, correlated_c)
             / get_correlated_density (lal, w, measured_c);
  *out = density * get_water_density (c) / get_water_density (correlated_c);

  return TRUE;
}

/* Viscosity at any temperature: from 20 C by the correlation as far as that is valid, and the last
 * step, for working strengths only, as water. */
static gboolean
find_viscosity (const TdSolutionTable *table, double percent, double c, double *out, GError **error)
{
  const TdLaliberte *lal = &table->laliberte;
  double w = percent / 100.0;
  double correlated_c = CLAMP (c, lal->viscosity_min_c, lal->viscosity_max_c);
  double viscosity = get_viscosity_at_20 (table, percent);

  if (isnan (viscosity))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "No viscosity of %s is tabulated at %g %%; give a weaker solution",
                   table->substance, percent);
      return FALSE;
    }
  if (correlated_c != c && percent > WORKING_PERCENT)
    {
      g_set_error (
          error, TD_ERROR, TD_ERROR_RANGE,
          "The viscosity of %s stronger than %g %% is tabulated from %g to %g C only, not at "
          "%g C",
          table->substance, WORKING_PERCENT, MAX (lal->viscosity_min_c, TD_FLUID_MIN_C),
          MIN (lal->viscosity_max_c, TD_FLUID_MAX_C), c);
      return FALSE;
    }
  viscosity *= get_correlated_viscosity (lal, w, correlated_c)
               / get_correlated_viscosity (lal, w, REFERENCE_C);
  *out = viscosity * get_water_viscosity (c) / get_water_viscosity (correlated_c);

  return TRUE;
}

/* Checks what all tables have in common.  *table_out is NULL for water. */
static gboolean
find_table (const char *substance,
            double percent,
            double c,
            const TdSolutionTable **table_out,
            GError **error)
{
  const TdSolutionTable *table = td_solution_table_find (substance);

  if (table == NULL && strcmp (substance, "water") != 0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "There is no table for \"%s\"; known are water, naoh, koh, h3po4", substance);
      return FALSE;
    }
  if (!(c >= TD_FLUID_MIN_C && c <= TD_FLUID_MAX_C))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "A temperature of %g C is outside the tables, which hold from %g to %g C", c,
                   TD_FLUID_MIN_C, TD_FLUID_MAX_C);
      return FALSE;
    }
  if (!(percent >= 0.0))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "A strength of %g %% is not possible", percent);
      return FALSE;
    }
  if (table == NULL ? percent > 0.0 : percent > table->points[table->n_points - 1].percent_w_w)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "A strength of %g %% w/w is outside the table of %s, which ends at %g %%",
                   percent, substance,
                   table == NULL ? 0.0 : table->points[table->n_points - 1].percent_w_w);
      return FALSE;
    }
  *table_out = percent > 0.0 ? table : NULL;

  return TRUE;
}

gboolean
td_fluid_get_density (const char *substance,
                      double percent_w_w,
                      double temperature_c,
                      double *density_kg_m3_out,
                      GError **error)
{
  const TdSolutionTable *table;

  g_return_val_if_fail (substance != NULL && density_kg_m3_out != NULL, FALSE);

  if (!find_table (substance, percent_w_w, temperature_c, &table, error))
    return FALSE;
  if (table == NULL)
    {
      *density_kg_m3_out = get_water_density (temperature_c);
      return TRUE;
    }

  return find_density (table, percent_w_w, temperature_c, density_kg_m3_out, error);
}

gboolean
td_fluid_get (const char *substance,
              double percent_w_w,
              double temperature_c,
              TdFluid *fluid_out,
              GError **error)
{
  const TdSolutionTable *table;

  g_return_val_if_fail (substance != NULL && fluid_out != NULL, FALSE);

  if (!find_table (substance, percent_w_w, temperature_c, &table, error))
    return FALSE;
  if (table == NULL)
    {
      fluid_out->density_kg_m3 = get_water_density (temperature_c);
      fluid_out->viscosity_pa_s = get_water_viscosity (temperature_c);
      return TRUE;
    }

  return find_density (table, percent_w_w, temperature_c, &fluid_out->density_kg_m3, error)
         && find_viscosity (table, percent_w_w, temperature_c, &fluid_out->viscosity_pa_s, error);
}
