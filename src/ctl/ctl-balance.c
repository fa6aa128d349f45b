/* balance: pressure and pour rate of a beer line. */
#include "ctl-commands.h"

#include "core-balance.h"
#include "core-json-build.h"

#include <math.h>
#include <string.h>

typedef struct
{
  char *temperature, *volumes, *rise, *altitude, *applied, *pour;
  char **segments;
  gboolean foaming, json;
} Options;

static void
clear (Options *options)
{
  g_free (options->temperature);
  g_free (options->volumes);
  g_free (options->rise);
  g_free (options->altitude);
  g_free (options->applied);
  g_free (options->pour);
  g_strfreev (options->segments);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

static gboolean
take (const char *name, const char *text, gboolean required, double *value, GError **error)
{
  if (text == NULL && !required)
    return TRUE;
  if (text != NULL && td_ctl_read_number (text, value))
    return TRUE;
  g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, text == NULL ? "%s is missing%s" : "%s: '%s' is not a number",
               name, text == NULL ? "" : text);
  return FALSE;
}

/* MATERIAL:BORE_MM:LENGTH_M; @parts keeps the material's text. */
static gboolean
read_segment (const char *text, TdBalanceSegment *segment, char ***parts_out, GError **error)
{
  g_auto (GStrv) parts = g_strsplit (text, ":", -1);

  if (g_strv_length (parts) != 3 || *parts[0] == '\0' || !td_ctl_read_number (parts[1], &segment->bore_mm) ||
      !td_ctl_read_number (parts[2], &segment->length_m))
    {
      g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE,
                   "--segment: '%s' is not MATERIAL:BORE_MM:LENGTH_M, such as barrier:6.35:9.1", text);
      return FALSE;
    }
  segment->material = parts[0];
  *parts_out = g_steal_pointer (&parts);
  return TRUE;
}

static void
free_parts (gpointer parts)
{
  g_strfreev (parts);
}

static TdCtlStatus
answer (const TdCtlInfo *info, const TdBalanceQuestion *question, gboolean json)
{
  g_autoptr (TdJson) value = NULL;
  g_autofree char *out = NULL;
  TdBalance balance;
  GError *error = NULL;

  if (!td_balance_solve (question, NULL, &balance, &error))
    return td_ctl_refuse (info, error);
  if (json)
    {
      value = td_balance_to_json (question, &balance);
      out = td_json_to_text (value, TRUE);
    }
  else
    {
      GString *text = g_string_new (NULL);

      g_string_append_printf (text, "Equilibrium %.1f kPa gauge; applied %.1f kPa; expected pour %.2f L/min\n",
                              balance.equilibrium_kpa, balance.applied_kpa, balance.pour_l_min);
      if (!isnan (balance.restriction_kpa))
        g_string_append_printf (text, "Restriction %.1f kPa and rise %.1f kPa take %.1f kPa together\n",
                                balance.restriction_kpa, balance.rise_kpa,
                                balance.restriction_kpa + balance.rise_kpa);
      else
        g_string_append_printf (text, "Rise %.1f kPa; no restriction is tabled for a tube of this kind\n",
                                balance.rise_kpa);
      for (guint i = 0; i < balance.n_verdicts; i++)
        {
          g_autofree char *words = td_balance_explain (question, &balance, balance.verdicts[i]);

          g_string_append_printf (text, "%s\n", words);
        }
      out = g_string_free (text, FALSE);
    }
  return td_ctl_print (out, strlen (out), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}

TdCtlStatus
td_ctl_balance (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (Options) options = { NULL };
  const GOptionEntry entries[] = {
    { "temperature-c", 0, 0, G_OPTION_ARG_STRING, &options.temperature, "Of the beer", "C" },
    { "volumes", 0, 0, G_OPTION_ARG_STRING, &options.volumes, "Of CO2 in the beer", "V" },
    { "rise-m", 0, 0, G_OPTION_ARG_STRING, &options.rise, "From keg to faucet", "M" },
    { "segment", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.segments, "A length of tube; may be repeated",
      "MATERIAL:BORE_MM:LENGTH_M" },
    { "altitude-m", 0, 0, G_OPTION_ARG_STRING, &options.altitude, "Of the site (default 0)", "M" },
    { "applied-kpa", 0, 0, G_OPTION_ARG_STRING, &options.applied, "As read at the regulator (default: equilibrium)", "KPA" },
    { "pour-l-min", 0, 0, G_OPTION_ARG_STRING, &options.pour, "As measured", "L_MIN" },
    { "foaming", 0, 0, G_OPTION_ARG_NONE, &options.foaming, "The beer foams", NULL },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.json, "Print JSON", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (GArray) segments = g_array_new (FALSE, FALSE, sizeof (TdBalanceSegment));
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (free_parts);
  TdBalanceQuestion question = { .applied_kpa = NAN, .pour_l_min = NAN };
  g_autoptr (GError) error = NULL;
  TdCtlStatus status;
  gboolean good;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 0, &words, &status))
    return status;
  good = take ("--temperature-c", options.temperature, TRUE, &question.temperature_c, &error) &&
         take ("--volumes", options.volumes, TRUE, &question.volumes, &error) &&
         take ("--rise-m", options.rise, TRUE, &question.rise_m, &error) &&
         take ("--altitude-m", options.altitude, FALSE, &question.altitude_m, &error) &&
         take ("--applied-kpa", options.applied, FALSE, &question.applied_kpa, &error) &&
         take ("--pour-l-min", options.pour, FALSE, &question.pour_l_min, &error);
  for (guint i = 0; good && options.segments != NULL && options.segments[i] != NULL; i++)
    {
      TdBalanceSegment segment;
      char **parts = NULL;

      good = read_segment (options.segments[i], &segment, &parts, &error);
      if (!good)
        break;
      g_ptr_array_add (texts, parts);
      g_array_append_val (segments, segment);
    }
  if (!good)
    return td_ctl_misuse (info, "%s", error->message);
  if (segments->len == 0)
    return td_ctl_misuse (info, "--segment is missing: the line needs at least one");
  question.segments = (const TdBalanceSegment *) (gpointer) segments->data;
  question.n_segments = segments->len;
  question.foaming = options.foaming;
  return answer (info, &question, options.json);
}
