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

static void
print_table (const TdMix *mix)
{
  printf ("Water first, %.2f L; then the chemical into it: %.1f mL", mix->water_l, mix->concentrate_ml);
  if (!isnan (mix->concentrate_g))
    printf (" (%.1f g)", mix->concentrate_g);
  printf ("\nmakes %.2f L of %.2f %% %s", mix->total_l, mix->question.target_percent,
          td_basis_to_text (mix->question.basis));
  if (!isnan (mix->percent_w_w) && mix->question.basis != TD_BASIS_W_W)
    printf (" (%.2f %% w/w)", mix->percent_w_w);
  puts ("\nThe label and the SDS decide. Eye protection and gloves on before you open the container.");
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
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.json, "Print JSON", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdJson) value = NULL;
  g_autofree char *out = NULL;
  TdMixQuestion question;
  TdMix mix;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 0, &words, &status))
    return status;
  if (!read_question (&options, &question, &error))
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "%s", owned->message);
    }
  if (!td_mix_solve (&question, &mix, &error))
    return td_ctl_refuse (info, error);
  if (!options.json)
    {
      print_table (&mix);
      return TD_CTL_DONE;
    }
  value = td_mix_to_json (&mix);
  out = td_json_to_text (value, TRUE);
  return td_ctl_print (out, strlen (out), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}
