/* core-rinse-end.h: how little cleaner moves the pH of tap water by the band of an instrument.
 *
 * Tap water is taken as a carbonate solution of known pH and alkalinity at 25 C: pK1 6.35, pK2 10.33, pKw
 * 14.00 (W. Stumm, J. J. Morgan, Aquatic Chemistry, from memory).  Strong base or acid changes its
 * alkalinity while the total carbonate stays. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Grams in a mole. */
#define TD_MOLAR_NAOH 39.997
#define TD_MOLAR_KOH 56.106
#define TD_MOLAR_CACO3 100.087

/* The strong base, mol/L, that takes water of @tap_ph and @alkalinity_mg_l (as CaCO3) to @tap_ph +
 * @band_ph; with a negative band the strong acid, positive too.  @tap_ph 4.5 to 10, both ends within 2 to
 * 12.  Returns: NAN outside. */
double td_rinse_end_get_dose (double tap_ph, double alkalinity_mg_l, double band_ph);

/* The share of a cleaning solution of @solution_mol_l (2 % NaOH: 0.51) in the rinse water that does so:
 * the eps of core-transport.h.  Returns: NAN where td_rinse_end_get_dose() does or the solution has no
 * strength. */
double td_rinse_end_get_share (double solution_mol_l,
                               double tap_ph,
                               double alkalinity_mg_l,
                               double band_ph);

G_END_DECLS
