/* core-mix.h: how much concentrate and water make a working solution, by mass.
 *
 * Volumes do not add and percentages of mass are not percentages of volume, so everything is worked out
 * in grams: g concentrate = w m / s for m g of solution of w % from a concentrate of s %.  The rule
 * C1 V1 = C2 V2 would give half as much again for 50 % caustic soda.  Heat of dilution is left out: the
 * temperature is the one at which volumes are measured.  Water goes in first, the chemical into it. */
#pragma once

#include "core-json.h"
#include "core-masters.h"

G_BEGIN_DECLS

/* Concentrate densities beyond these are in another unit, kg/m3. */
#define TD_MIX_MIN_DENSITY 600.0
#define TD_MIX_MAX_DENSITY 2500.0

/* Litres of one mix: what a bucket or a barrel holds and what a journal entry takes. */
#define TD_MIX_MIN_L 0.01
#define TD_MIX_MAX_L 2000.0

typedef struct
{
  /* "naoh", "koh", "h3po4" have tables.  NULL for any other product: then density is required and the
   * solution's own density is estimated by adding volumes. */
  const char *substance;
  TdBasis basis;              /* of both percentages */
  double concentrate_percent; /* of v/v: 100 for the product as delivered */
  double target_percent;
  double density_kg_m3; /* of the concentrate; NAN: from the table, of v/v unknown */
  double water_l;       /* exactly one of these two, the other NAN */
  double total_l;
  double temperature_c; /* of water, concentrate and solution when measured */
} TdMixQuestion;

typedef struct
{
  TdMixQuestion question;
  double concentrate_ml;
  double concentrate_g; /* this and all that follows from it NAN for v/v without a density */
  double water_l;
  double water_g;
  double total_l; /* of the finished solution: less than the volumes' sum */
  double total_g;
  double percent_w_w; /* g of active substance in 100 g; NAN where a v/v strength does not tell it */
  double percent_w_v; /* g of active substance in 100 mL; NAN likewise */
  double concentrate_density_kg_m3;
  double solution_density_kg_m3;
  double volume_rule_ml; /* what C1 V1 = C2 V2 would say, for comparison */
  gboolean estimated;    /* the solution's density is not from a table */
} TdMix;

/* Returns: FALSE with TD_ERROR_RANGE and the remedy where there is no answer: a target not below the
 * concentrate, an amount outside TD_MIX_MIN_L to TD_MIX_MAX_L, both or neither amount, a strength outside the tables with no
 * density given. */
gboolean td_mix_solve (const TdMixQuestion *question, TdMix *mix_out, GError **error);

/* What to add to a solution found too weak.  @have_l litres at @have_percent w/w of the mix's substance
 * are brought to its target; water_l of the answer is 0 and total_l the new volume.  @question: as for
 * td_mix_solve(), basis w/w, amounts ignored. Returns: FALSE with TD_ERROR_RANGE where it is strong
 * enough already. */
gboolean td_mix_strengthen (const TdMixQuestion *question,
                            double have_l,
                            double have_percent,
                            TdMix *mix_out,
                            GError **error);

/* {"substance", "basis", "temperature_c", "concentrate_percent", "target_percent", "concentrate_ml",
 * "concentrate_g", "water_l", "water_g", "total_l", "total_g", "percent" (in the basis), "percent_w_w",
 * "percent_w_v", "concentrate_density_g_ml", "solution_density_g_ml", "volume_rule_ml", "estimated"};
 * what is not known is null.  Returns: (transfer full). */
TdJson *td_mix_to_json (const TdMix *mix);

/* Hot and cold water for @litres at @wanted_c; heat capacity taken as constant (it varies by 1 %
 * between 0 and 60 C).  Returns: FALSE with TD_ERROR_RANGE where the wanted temperature does not lie
 * between the two or one of them outside 0 to 60 C. */
gboolean td_mix_blend_water (double litres,
                             double wanted_c,
                             double cold_c,
                             double hot_c,
                             double *cold_l_out,
                             double *hot_l_out,
                             GError **error);

G_END_DECLS
