/* core-carbonation.h: carbon dioxide in beer and the gauge pressure that holds it there. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* kPa in one pound-force per square inch: NIST SP 811. */
#define TD_KPA_PER_PSI 6.894757293168361

/* The atmosphere at sea level as the trade reckons with it, psi. */
#define TD_ATMOSPHERE_PSI 14.7

/* Range of the fit: the charts that it was held against. */
#define TD_CARBONATION_MIN_C (-0.6)
#define TD_CARBONATION_MAX_C 16.0
#define TD_CARBONATION_MIN_VOLUMES 1.5
#define TD_CARBONATION_MAX_VOLUMES 3.5
/* Highest place reckoned with, m. */
#define TD_CARBONATION_MAX_ALTITUDE_M 4000.0

/* The gauge pressure in kPa at which beer of @temperature_c keeps @volumes (litres of CO2 gas at 0 C and
 * one atmosphere in a litre of beer), under CO2 alone:
 * P = -16.6999 - 0.0101059 T + 0.00116512 T^2 + 0.173354 T V + 4.24267 V - 0.0684226 V^2, psig and F, a
 * published fit to the chart of the American Society of Brewing Chemists, within 0.3 psi of it; a gauge
 * reads 0.5 psi more for every 1,000 ft of @altitude_m.
 * Returns: FALSE with TD_ERROR_RANGE outside -0.6 to 16 C, 1.5 to 3.5 volumes, 0 to 4000 m. */
gboolean td_carbonation_get_pressure (double temperature_c,
                                      double volumes,
                                      double altitude_m,
                                      double *kpa_out,
                                      GError **error);

/* The volumes that beer takes up in time under @kpa gauge of CO2: the inverse.
 * Returns: FALSE with TD_ERROR_RANGE, also where the answer is outside 1.5 to 3.5 volumes. */
gboolean td_carbonation_get_volumes (double temperature_c,
                                     double kpa,
                                     double altitude_m,
                                     double *volumes_out,
                                     GError **error);

/* The share of CO2, 0 to 1, in a blend with nitrogen that holds the same carbonation at @applied_kpa as
 * pure CO2 at @equilibrium_kpa, both gauge: (b + 14.7) / (a + 14.7) psi, the atmosphere less 0.5 psi per
 * 1,000 ft of @altitude_m.  Above 1 no blend does it: the pressure is too low.
 * Returns: NAN where there is vacuum. */
double td_carbonation_get_blend_share (double equilibrium_kpa, double applied_kpa, double altitude_m);

G_END_DECLS
