#include "core-rinse-end.h"

#include <math.h>

#define PK1 6.35
#define PK2 10.33
#define PKW 14.0

static double
power_of_ten (double exponent)
{
  return exp (exponent * G_LN10);
}

/* Charge of the carbonate species per mole of total carbonate. */
static double
get_carbonate_charge (double ph)
{
  double first = power_of_ten (PK1 - ph);  /* CO2 over HCO3- */
  double second = power_of_ten (ph - PK2); /* CO3-- over HCO3- */

  return (1.0 + 2.0 * second) / (first + 1.0 + second);
}

/* Hydroxide less hydrogen ions, mol/L. */
static double
get_water_charge (double ph)
{
  return power_of_ten (ph - PKW) - power_of_ten (-ph);
}

double
td_rinse_end_get_dose (double tap_ph, double alkalinity_mg_l, double band_ph)
{
  double end_ph = tap_ph + band_ph, alkalinity, total;

  if (!(tap_ph >= 4.5 && tap_ph <= 10.0 && end_ph >= 2.0 && end_ph <= 12.0 && alkalinity_mg_l >= 0.0
        && isfinite (alkalinity_mg_l)))
    return NAN;

  /* Alkalinity counts both charges of CaCO3. */
  alkalinity = 2.0 * alkalinity_mg_l / 1e3 / TD_MOLAR_CACO3;
  total = MAX (0.0, alkalinity - get_water_charge (tap_ph)) / get_carbonate_charge (tap_ph);

  return fabs (total * (get_carbonate_charge (end_ph) - get_carbonate_charge (tap_ph))
               + get_water_charge (end_ph) - get_water_charge (tap_ph));
}

double
td_rinse_end_get_share (double solution_mol_l,
                        double tap_ph,
                        double alkalinity_mg_l,
                        double band_ph)
{
  if (!(solution_mol_l > 0.0))
    return NAN;

  return td_rinse_end_get_dose (tap_ph, alkalinity_mg_l, band_ph) / solution_mol_l;
}
