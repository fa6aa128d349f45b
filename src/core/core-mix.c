#include "core-mix.h"

#include "core-error.h"
#include "core-fluid.h"
#include "core-json-build.h"

#include <math.h>

/* What the question comes down to, all by mass. */
typedef struct
{
  double water_density;       /* kg/m3 */
  double concentrate_density; /* kg/m3 */
  double strong;              /* concentrate, share of active mass */
  double weak;                /* target, likewise */
} Masses;

static gboolean refuse (GError **error, const char *format, ...) G_GNUC_PRINTF (2, 3);

static gboolean
refuse (GError **error, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list args;

  va_start (args, format);
  message = g_strdup_vprintf (format, args);
  va_end (args);
  g_set_error_literal (error, TD_ERROR, TD_ERROR_RANGE, message);

  return FALSE;
}

static gboolean
check_question (const TdMixQuestion *question, GError **error)
{
  const char *basis = td_basis_to_text (question->basis);
  double water;

  /* Knows the substance and the temperature, or says what is wrong with them. */
  if (!td_fluid_get_density (question->substance != NULL ? question->substance : "water", 0.0,
                             question->temperature_c, &water, error))
    return FALSE;
  if (!(question->concentrate_percent > 0.0 && isfinite (question->concentrate_percent)))
    return refuse (error, "A concentrate of %g %% is not possible", question->concentrate_percent);
  if (question->basis != TD_BASIS_W_V && question->concentrate_percent > 100.0)
    return refuse (error, "A concentrate of %g %% %s is not possible: 100 is all of it",
                   question->concentrate_percent, basis);
  if (!(question->target_percent > 0.0))
    return refuse (error, "A target of %g %% is not possible", question->target_percent);
  if (question->target_percent >= question->concentrate_percent)
    return refuse (error, "A target of %g %% is not weaker than the concentrate of %g %% %s",
                   question->target_percent, question->concentrate_percent, basis);
  if (!isnan (question->density_kg_m3)
      && !(question->density_kg_m3 >= TD_MIX_MIN_DENSITY
           && question->density_kg_m3 <= TD_MIX_MAX_DENSITY))
    return refuse (error, "A density of %g g/mL is not possible: water has 1, strong caustic 1.5",
                   question->density_kg_m3 / 1e3);
  if (isnan (question->density_kg_m3) && question->substance == NULL
      && question->basis != TD_BASIS_V_V)
    return refuse (error,
                   "There is no table for this product: give the density of its concentrate");

  return TRUE;
}

static gboolean
check_litres (double litres, GError **error)
{
  if (litres >= TD_MIX_MIN_L && litres <= TD_MIX_MAX_L)
    return TRUE;

  return refuse (error,
                 "An amount of %g L is not possible: a mix is from %g to %g L; make more in several",
                 litres, TD_MIX_MIN_L, TD_MIX_MAX_L);
}

static gboolean
check_amount (const TdMixQuestion *question, GError **error)
{
  double amount = isnan (question->water_l) ? question->total_l : question->water_l;

  if (isnan (question->water_l) == isnan (question->total_l))
    return refuse (error, "Give the litres of water or the litres in all, one of the two");

  return check_litres (amount, error);
}

/* Density of a solution of @share by mass: by table, or by adding volumes where there is none. */
static gboolean
find_density (const TdMixQuestion *question,
              const Masses *masses,
              double share,
              double *density_out,
              GError **error)
{
  if (question->substance != NULL)
    return td_fluid_get_density (question->substance, 100.0 * share, question->temperature_c,
                                 density_out, error);
  *density_out = 1.0
                 / (share / masses->strong / masses->concentrate_density
                    + (1.0 - share / masses->strong) / masses->water_density);

  return TRUE;
}

/* The share by mass at which share times density is @grams_per_l: rises all the way, so by halving.
 */
static gboolean
find_share (const TdMixQuestion *question,
            const Masses *masses,
            double high,
            double grams_per_l,
            double *share_out,
            GError **error)
{
  double low = 0.0, density;

  for (int i = 0; i < 60; i++)
    {
      double share = 0.5 * (low + high);

      if (!find_density (question, masses, share, &density, error))
        return FALSE;
      *(share * density < grams_per_l ? &low : &high) = share;
    }
  *share_out = 0.5 * (low + high);

  return TRUE;
}

/* Where the label gives g in 100 mL and no density: the strength in the table that has it. */
static gboolean
find_strong_w_v (const TdMixQuestion *question, Masses *masses, GError **error)
{
  double grams_per_l = 10.0 * question->concentrate_percent, high = 0.85, density = NAN;

  while (high > 0.01
         && !td_fluid_get_density (question->substance, 100.0 * high, question->temperature_c,
                                   &density, NULL))
    high -= 0.01;
  if (isnan (density))
    return td_fluid_get_density (question->substance, 1.0, question->temperature_c, &density,
                                 error);
  if (high * density < grams_per_l)
    return refuse (
        error, "A concentrate of %g %% w/v is outside the table of %s at %g C: give its density",
        question->concentrate_percent, question->substance, question->temperature_c);

  return find_share (question, masses, high, grams_per_l, &masses->strong, error)
         && find_density (question, masses, masses->strong, &masses->concentrate_density, error);
}

/* Turns both strengths into shares by mass and finds the concentrate's density. */
static gboolean
find_masses (const TdMixQuestion *question, Masses *masses, GError **error)
{
  double strong = question->concentrate_percent, weak = question->target_percent;

  if (!td_fluid_get_density ("water", 0.0, question->temperature_c, &masses->water_density, error))
    return FALSE;
  masses->concentrate_density = question->density_kg_m3;
  if (question->basis == TD_BASIS_W_W)
    {
      masses->strong = strong / 100.0;
      masses->weak = weak / 100.0;
      if (!isnan (masses->concentrate_density))
        return TRUE;
      if (find_density (question, masses, masses->strong, &masses->concentrate_density, error))
        return TRUE;
      g_prefix_error (error, "The density of the concentrate has to be given: ");
      return FALSE;
    }
  if (isnan (masses->concentrate_density))
    {
      if (!find_strong_w_v (question, masses, error))
        return FALSE;
    }
  else
    masses->strong = 10.0 * strong / masses->concentrate_density;
  if (masses->strong > 1.0)
    return refuse (error, "A concentrate of %g %% w/v cannot weigh %g g/mL", strong,
                   masses->concentrate_density / 1e3);

  if (!find_share (question, masses, masses->strong, 10.0 * weak, &masses->weak, error))
    return FALSE;
  if (masses->weak > masses->strong * (1.0 - 1e-6))
    return refuse (
        error,
        "A concentrate of %g %% w/v that weighs %g g/mL cannot make %g %% w/v: check its "
        "density",
        strong, masses->concentrate_density / 1e3, weak);

  return TRUE;
}

static void
finish (TdMix *mix, const TdMixQuestion *question, double weak)
{
  mix->question = *question;
  mix->total_g = mix->concentrate_g + mix->water_g;
  mix->percent_w_w = 100.0 * weak;
  mix->percent_w_v = weak * mix->solution_density_kg_m3 / 10.0;
  mix->volume_rule_ml
      = 1e3 * mix->total_l * question->target_percent / question->concentrate_percent;
  mix->estimated = question->substance == NULL;
}

/* v/v is about volumes of the product as delivered. Volumes are taken to add, which holds to 1 % at
 * working strength; the active mass is known only where the product counts as 100 %.  Without a
 * density all grams stay unknown. */
static gboolean
solve_by_volume (const TdMixQuestion *question, TdMix *mix, GError **error)
{
  double share = question->target_percent / question->concentrate_percent, water;
  double density = question->density_kg_m3;

  if (!td_fluid_get_density ("water", 0.0, question->temperature_c, &water, error))
    return FALSE;
  mix->total_l = isnan (question->total_l) ? question->water_l / (1.0 - share) : question->total_l;
  mix->water_l = mix->total_l * (1.0 - share);
  mix->concentrate_ml = 1e3 * mix->total_l * share;
  mix->concentrate_g = mix->concentrate_ml * density / 1e3;
  mix->water_g = mix->water_l * water;
  mix->concentrate_density_kg_m3 = density;
  mix->solution_density_kg_m3 = share * density + (1.0 - share) * water;
  finish (mix, question, mix->concentrate_g / (mix->concentrate_g + mix->water_g));
  mix->estimated = TRUE;
  if (question->concentrate_percent != 100.0)
    mix->percent_w_w = mix->percent_w_v = NAN;

  return TRUE;
}

gboolean
td_mix_solve (const TdMixQuestion *question, TdMix *mix_out, GError **error)
{
  Masses masses;
  double ratio, density;

  g_return_val_if_fail (question != NULL && mix_out != NULL, FALSE);

  if (!check_question (question, error) || !check_amount (question, error))
    return FALSE;
  if (question->basis == TD_BASIS_V_V)
    return solve_by_volume (question, mix_out, error);
  if (!find_masses (question, &masses, error)
      || !find_density (question, &masses, masses.weak, &density, error))
    return FALSE;

  ratio = masses.weak / masses.strong; /* g of concentrate in a g of solution */
  if (isnan (question->total_l))
    mix_out->total_l = question->water_l * masses.water_density / (1.0 - ratio) / density;
  else
    mix_out->total_l = question->total_l;
  mix_out->solution_density_kg_m3 = density;
  mix_out->concentrate_g = mix_out->total_l * density * ratio;
  mix_out->concentrate_density_kg_m3 = masses.concentrate_density;
  mix_out->concentrate_ml = 1e3 * mix_out->concentrate_g / masses.concentrate_density;
  mix_out->water_g = mix_out->total_l * density * (1.0 - ratio);
  mix_out->water_l = mix_out->water_g / masses.water_density;
  finish (mix_out, question, masses.weak);

  return TRUE;
}

gboolean
td_mix_strengthen (const TdMixQuestion *question,
                   double have_l,
                   double have_percent,
                   TdMix *mix_out,
                   GError **error)
{
  Masses masses;
  double have_density, density, have_g;

  g_return_val_if_fail (question != NULL && mix_out != NULL, FALSE);
  g_return_val_if_fail (question->basis == TD_BASIS_W_W, FALSE);

  if (!check_question (question, error))
    return FALSE;
  if (!check_litres (have_l, error))
    return FALSE;
  if (!(have_percent >= 0.0 && have_percent < question->target_percent))
    return refuse (error,
                   "A solution of %g %% is not below the target of %g %%: nothing is to be added",
                   have_percent, question->target_percent);
  if (!find_masses (question, &masses, error)
      || !find_density (question, &masses, have_percent / 100.0, &have_density, error)
      || !find_density (question, &masses, masses.weak, &density, error))
    return FALSE;

  have_g = have_l * have_density;
  mix_out->concentrate_g
      = have_g * (masses.weak - have_percent / 100.0) / (masses.strong - masses.weak);
  mix_out->concentrate_density_kg_m3 = masses.concentrate_density;
  mix_out->concentrate_ml = 1e3 * mix_out->concentrate_g / masses.concentrate_density;
  mix_out->solution_density_kg_m3 = density;
  mix_out->total_l = (have_g + mix_out->concentrate_g) / density;
  mix_out->water_l = mix_out->water_g = 0.0;
  finish (mix_out, question, masses.weak);
  mix_out->total_g = have_g + mix_out->concentrate_g;
  mix_out->volume_rule_ml = NAN;

  return TRUE;
}

TdJson *
td_mix_to_json (const TdMix *mix)
{
  const TdMixQuestion *question = &mix->question;
  const struct
  {
    const char *key;
    double value;
  } figures[] = {
    { "temperature_c", question->temperature_c },
    { "concentrate_percent", question->concentrate_percent },
    { "target_percent", question->target_percent },
    { "concentrate_ml", mix->concentrate_ml },
    { "concentrate_g", mix->concentrate_g },
    { "water_l", mix->water_l },
    { "water_g", mix->water_g },
    { "total_l", mix->total_l },
    { "total_g", mix->total_g },
    { "percent", question->target_percent },
    { "percent_w_w", mix->percent_w_w },
    { "percent_w_v", mix->percent_w_v },
    { "concentrate_density_g_ml", mix->concentrate_density_kg_m3 / 1e3 },
    { "solution_density_g_ml", mix->solution_density_kg_m3 / 1e3 },
    { "volume_rule_ml", mix->volume_rule_ml },
  };
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "substance", question->substance);
  td_json_builder_member_string (builder, "basis", td_basis_to_text (question->basis));
  for (guint i = 0; i < G_N_ELEMENTS (figures); i++)
    td_json_builder_member_real (builder, figures[i].key, figures[i].value, -1);
  td_json_builder_member_boolean (builder, "estimated", mix->estimated);
  td_json_builder_end (builder);

  return td_json_builder_finish (builder);
}

gboolean
td_mix_blend_water (double litres,
                    double wanted_c,
                    double cold_c,
                    double hot_c,
                    double *cold_l_out,
                    double *hot_l_out,
                    GError **error)
{
  double cold, hot, wanted, share;

  g_return_val_if_fail (cold_l_out != NULL && hot_l_out != NULL, FALSE);

  if (!check_litres (litres, error))
    return FALSE;
  if (!(cold_c < hot_c && wanted_c >= cold_c && wanted_c <= hot_c))
    return refuse (error, "Water of %g C cannot be blended from %g C and %g C", wanted_c, cold_c,
                   hot_c);
  if (!td_fluid_get_density ("water", 0.0, cold_c, &cold, error)
      || !td_fluid_get_density ("water", 0.0, hot_c, &hot, error)
      || !td_fluid_get_density ("water", 0.0, wanted_c, &wanted, error))
    return FALSE;

  share = (wanted_c - cold_c) / (hot_c - cold_c);
  *hot_l_out = litres * wanted * share / hot;
  *cold_l_out = litres * wanted * (1.0 - share) / cold;

  return TRUE;
}
