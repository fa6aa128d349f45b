/* core-fluid.h: density and viscosity of water and of the cleaning solutions. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Temperatures for which any of the tables is asked, degrees Celsius. */
#define TD_FLUID_MIN_C 0.0
#define TD_FLUID_MAX_C 60.0

typedef struct
{
  double density_kg_m3;
  double viscosity_pa_s; /* dynamic; NAN from td_fluid_get_density() */
} TdFluid;

/* The properties of "water", "naoh", "koh" or "h3po4" at @percent_w_w (g of the substance in 100 g of
 * solution; 0 is water) and @temperature_c at atmospheric pressure.
 * Returns: FALSE with TD_ERROR_RANGE where substance, strength or temperature stand outside the tables;
 * nothing is ever extrapolated. */
gboolean td_fluid_get (const char *substance,
                       double percent_w_w,
                       double temperature_c,
                       TdFluid *fluid_out,
                       GError **error);

/* Density alone, kg/m3: reaches to stronger concentrates than the viscosity does. */
gboolean td_fluid_get_density (const char *substance,
                               double percent_w_w,
                               double temperature_c,
                               double *density_kg_m3_out,
                               GError **error);

G_END_DECLS
