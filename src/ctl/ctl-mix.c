/* mix: amounts of a cleaning solution. */
#include "ctl-commands.h"

#include "core-json-build.h"
#include "core-mix.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct
{
  char *concentrate, *density, *target, *water, *total, *basis, *substance, *temperature;
  char *cold, *hot, *warm;
  gboolean json;
} Options;

static void
clear (Options *options)
{
  g_free (options->concentrate);
  g_free (options->density);
  g_free (options->target);
  g_free (options->water);
  g_free (options->total);
  g_free (options->basis);
  g_free (options->substance);
  g_free (options->temperature);
  g_free (options->cold);
  g_free (options->hot);
  g_free (options->warm);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

/* Reads one option's number; @standard where it was not given (NAN: it must be). */
static gboolean
take (const char *name, const char *text, double standard, double *value_out, GError **error)
{
  *value_out = standard;
  if (text == NULL && !isnan (standard))
    return TRUE;
  if (text != NULL && td_ctl_read_number (text, value_out))
    return TRUE;
  if (text == NULL)
    g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "%s is missing", name);
  else
    g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "%s: '%s' is not a number with a decimal point",
                 name, text);
  return FALSE;
}

static gboolean
take_optional (const char *name, const char *text, double *value_out, GError **error)
{
  *value_out = NAN;
  return text == NULL || take (name, text, NAN, value_out, error);
}

static gboolean
read_question (const Options *options, TdMixQuestion *question, GError **error)
{
  double density;

  *question = (TdMixQuestion){ .substance = options->substance != NULL ? options->substance : "naoh" };
  if (options->basis != NULL && !td_basis_from_text (options->basis, &question->basis))
    {
      g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "--basis is w/w, w/v or v/v, not '%s'",
                   options->basis);
      return FALSE;
    }
  if ((options->water != NULL) == (options->total != NULL))
    {
      g_set_error_literal (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "give either --water or --total, in litres");
      return FALSE;
    }
  if (!take ("--concentrate", options->concentrate, NAN, &question->concentrate_percent, error) ||
      !take ("--target", options->target, NAN, &question->target_percent, error) ||
      !take ("--temperature-c", options->temperature, 20, &question->temperature_c, error) ||
      !take_optional ("--density", options->density, &density, error) ||
      !take_optional ("--water", options->water, &question->water_l, error) ||
      !take_optional ("--total", options->total, &question->total_l, error))
    return FALSE;
  question->density_kg_m3 = density * 1000; /* g/mL to kg/m3 */
  return TRUE;
}

/* Water from two taps; litres NAN where it was not asked for. */
typedef struct
{
  double cold_l, hot_l;
} Blend;

static gboolean
blend_water (const Options *options, const TdMix *mix, Blend *blend, GError **error)
{
  double cold, hot, warm;

  blend->cold_l = blend->hot_l = NAN;
  if (options->cold == NULL && options->hot == NULL && options->warm == NULL)
    return TRUE;
  return take ("--cold-c", options->cold, NAN, &cold, error) && take ("--hot-c", options->hot, NAN, &hot, error)
         && take ("--warm-c", options->warm, NAN, &warm, error)
         && td_mix_blend_water (mix->water_l, warm, cold, hot, &blend->cold_l, &blend->hot_l, error);
}

/* In fluid ounces and gallons for people; JSON holds SI alone. */
static void
print_us (const TdMix *mix)
{
  printf ("In US units: %.2f gal of water, %.1f fl oz of the chemical\n", mix->water_l / 3.785411784,
          mix->concentrate_ml / 29.5735295625);
}

static void
print_table (const TdMix *mix, const Blend *blend)
{
  printf ("Water first, %.2f L; then the chemical into it: %.1f mL", mix->water_l, mix->concentrate_ml);
  if (!isnan (mix->concentrate_g))
    printf (" (%.1f g)", mix->concentrate_g);
  printf ("\nmakes %.2f L of %.2f %% %s", mix->total_l, mix->question.target_percent,
          td_basis_to_text (mix->question.basis));
  if (!isnan (mix->percent_w_w) && mix->question.basis != TD_BASIS_W_W)
    printf (" (%.2f %% w/w)", mix->percent_w_w);
  puts ("");
  print_us (mix);
  if (!isnan (blend->cold_l))
    printf ("Water from the taps: %.2f L cold and %.2f L hot; take its temperature before the chemical goes in\n", blend->cold_l,
            blend->hot_l);
  puts ("The label and the SDS decide. Eye protection and gloves on before you open the container.");
}

/* (transfer full) */
static TdJson *
join (const TdMix *mix, const Blend *blend)
{
  g_autoptr (TdJson) own = td_mix_to_json (mix);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (own); i++)
    td_json_builder_member_value (builder, td_json_get_key (own, i), td_json_get_element (own, i));
  if (!isnan (blend->cold_l))
    {
      td_json_builder_member_real (builder, "cold_water_l", blend->cold_l, -1);
      td_json_builder_member_real (builder, "hot_water_l", blend->hot_l, -1);
    }
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

TdCtlStatus
td_ctl_mix (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (Options) options = { NULL };
  const GOptionEntry entries[] = {
    { "concentrate", 0, 0, G_OPTION_ARG_STRING, &options.concentrate, "Strength of the concentrate", "PERCENT" },
    { "density", 0, 0, G_OPTION_ARG_STRING, &options.density, "Its density at 20 C (default: from the tables)", "G_ML" },
    { "target", 0, 0, G_OPTION_ARG_STRING, &options.target, "Strength wanted", "PERCENT" },
    { "water", 0, 0, G_OPTION_ARG_STRING, &options.water, "Water at hand", "L" },
    { "total", 0, 0, G_OPTION_ARG_STRING, &options.total, "Solution wanted", "L" },
    { "basis", 0, 0, G_OPTION_ARG_STRING, &options.basis, "Of both percentages (default w/w)", "w/w|w/v|v/v" },
    { "substance", 0, 0, G_OPTION_ARG_STRING, &options.substance, "Default naoh", "naoh|koh|h3po4" },
    { "temperature-c", 0, 0, G_OPTION_ARG_STRING, &options.temperature, "Of water and concentrate (default 20)", "C" },
    { "cold-c", 0, 0, G_OPTION_ARG_STRING, &options.cold, "Cold tap: blend the water to --warm-c", "C" },
    { "hot-c", 0, 0, G_OPTION_ARG_STRING, &options.hot, "Hot tap", "C" },
    { "warm-c", 0, 0, G_OPTION_ARG_STRING, &options.warm, "Water wanted", "C" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.json, "Print JSON", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdJson) value = NULL;
  g_autofree char *out = NULL;
  TdMixQuestion question;
  TdMix mix;
  Blend blend;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 0, &words, &status))
    return status;
  if (!read_question (&options, &question, &error))
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "%s", owned->message);
    }
  if (!td_mix_solve (&question, &mix, &error) || !blend_water (&options, &mix, &blend, &error))
    return td_ctl_refuse (info, error);
  if (!options.json)
    {
      print_table (&mix, &blend);
      return TD_CTL_DONE;
    }
  value = join (&mix, &blend);
  out = td_json_to_text (value, TRUE);
  return td_ctl_print (out, strlen (out), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}
