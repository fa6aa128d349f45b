/* plan: how to clean a site. */
#include "ctl-commands.h"

#include "core-json-build.h"
#include "core-plan-make.h"
#include "core-plan-outlook.h"

#include <gio/gio.h>
#include <math.h>
#include <string.h>

static gboolean
write_certificate (const TdPlan *plan, const char *path, GError **error)
{
  g_autoptr (TdJson) certificate = td_plan_certificate_to_json (plan);
  g_autofree char *text = NULL;

  if (certificate == NULL)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND,
                   "This plan has no certificate; “%s” was not written", path);
      return FALSE;
    }
  text = td_json_to_text (certificate, TRUE);
  return g_file_set_contents (path, text, -1, error);
}

static TdPlanPins *
read_pins (char **words, GError **error)
{
  g_autoptr (TdPlanPins) pins = td_plan_pins_new ();

  for (guint i = 0; words != NULL && words[i] != NULL; i++)
    if (!td_plan_pins_add_text (pins, words[i], error))
      return NULL;
  return g_steal_pointer (&pins);
}

/* Default settings with "KEY=VALUE" put in. */
static TdSettings *
read_settings (char **words, GError **error)
{
  g_autoptr (TdSettings) settings = td_settings_new ();

  for (guint i = 0; words != NULL && words[i] != NULL; i++)
    {
      g_auto (GStrv) pair = g_strsplit (words[i], "=", 2);
      TdSettings *changed;
      TdSettingId id;
      gint64 value;

      if (pair[0] == NULL || pair[1] == NULL || !td_setting_find (pair[0], &id))
        {
          g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE,
                       "'%s' names no setting; 'tundishctl settings' lists them, write KEY=VALUE", words[i]);
          return NULL;
        }
      if (!g_ascii_string_to_signed (pair[1], 10, G_MININT64, G_MAXINT64, &value, error))
        return NULL;
      changed = td_settings_with (settings, id, value, error);
      if (changed == NULL)
        return NULL;
      td_settings_unref (settings);
      settings = changed;
    }
  return g_steal_pointer (&settings);
}

static gboolean
plan_file (const char *path, const TdSettings *settings, const TdPlanPins *pins, TdSite **site_out, TdPlan **plan_out,
           GError **error)
{
  g_autofree char *text = NULL;
  gsize length = 0;

  if (!td_ctl_read_file (path, &text, &length, error))
    return FALSE;
  *site_out = td_site_parse (text, (gssize) length, error);
  if (*site_out != NULL)
    *plan_out = td_plan_make_with (*site_out, settings, pins, error);
  if (*plan_out == NULL)
    g_prefix_error (error, "%s: ", path);
  return *plan_out != NULL;
}

/* The plan with what it will be like when it is run. */
static TdJson *
join (const TdPlan *plan, const TdPlanOutlook *outlook)
{
  g_autoptr (TdJson) own = td_plan_to_json (plan);
  g_autoptr (TdJson) ahead = td_plan_outlook_to_json (outlook);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (own); i++)
    td_json_builder_member_value (builder, td_json_get_key (own, i), td_json_get_element (own, i));
  td_json_builder_member_value (builder, "outlook", ahead);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static char *
write_circuit (const TdPlanCircuit *circuit)
{
  GString *text = g_string_new (NULL);

  g_string_append_printf (text, "circuit %u, pump at %s:", circuit->number, circuit->station);
  for (guint i = 0; i < circuit->n_legs; i++)
    g_string_append_printf (text, " %s %s%s", circuit->legs[i].line, circuit->legs[i].runs_in ? "in" : "out",
                            circuit->legs[i].reversal ? " (lever)" : "");
  if (!isnan (circuit->flow_l_min))
    g_string_append_printf (text, "; %.2f L/min at %.1f m, at most %.0f kPa", circuit->flow_l_min, circuit->pump_head_m,
                            circuit->max_pressure_kpa);
  g_string_append_printf (text, "; %.2f L\n", circuit->volume_l);
  for (guint i = 0; i < circuit->n_legs; i++)
    if (circuit->legs[i].why != NULL)
      g_string_append_printf (text, "  lever of %s: %s\n", circuit->legs[i].line, circuit->legs[i].why);
  return g_string_free (text, FALSE);
}

/* For people: circuits, static lines with their reasons, the outlook. */
static char *
write_text (const TdPlan *plan, const TdPlanOutlook *outlook)
{
  g_autoptr (GString) text = g_string_new (NULL);
  g_autofree char *ahead = td_plan_outlook_to_text (outlook, 100);

  for (guint i = 0; i < plan->n_circuits; i++)
    {
      g_autofree char *circuit = write_circuit (&plan->circuits[i]);

      g_string_append (text, circuit);
    }
  for (guint i = 0; i < plan->n_statics; i++)
    g_string_append_printf (text, "static %s: %s\n", plan->statics[i].line,
                            plan->statics[i].why != NULL ? plan->statics[i].why : "");
  g_string_append_printf (text, "%s\n", plan->proven ? "Proven: no plan is better." : plan->gap);
  for (guint i = 0; plan->warnings[i] != NULL; i++)
    g_string_append_printf (text, "Note. %s\n", plan->warnings[i]);
  g_string_append_printf (text, "\n%s", ahead);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

typedef struct
{
  char **pins;
  char **settings;
  char *certificate;
  int technicians;
  gboolean text;
  gboolean json;
} Options;

static void
clear (Options *options)
{
  g_strfreev (options->pins);
  g_strfreev (options->settings);
  g_free (options->certificate);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

/* What is printed, or NULL. */
static char *
answer (const char *path, const Options *options, const TdSettings *settings, const TdPlanPins *pins, GError **error)
{
  g_autoptr (TdSite) site = NULL;
  g_autoptr (TdPlan) plan = NULL;
  g_autoptr (TdPlanOutlook) outlook = NULL;
  g_autoptr (TdJson) value = NULL;

  if (!plan_file (path, settings, pins, &site, &plan, error)
      || (options->certificate != NULL && !write_certificate (plan, options->certificate, error)))
    return NULL;
  outlook = td_plan_outlook_new (site, plan, settings, (guint) options->technicians, error);
  if (outlook == NULL)
    return NULL;
  if (options->text)
    return write_text (plan, outlook);
  value = join (plan, outlook);
  return td_json_to_text (value, TRUE);
}

TdCtlStatus
td_ctl_plan (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (Options) options = { .technicians = 1 };
  const GOptionEntry entries[] = {
    { "pin", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.pins,
      "static=LINE, leave-out=LINE, no-reversal=LINE, station=ID or circuit=LINE,LINE...; may be repeated", "WHAT=ID" },
    { "certificate", 0, 0, G_OPTION_ARG_FILENAME, &options.certificate, "Write what shows that the plan is proven", "FILE" },
    { "technicians", 0, 0, G_OPTION_ARG_INT, &options.technicians, "1 or 2, for the hours of the outlook (default 1)", "N" },
    { "set", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.settings, "A setting of the work, as beer-price-minor-l=480; may be repeated",
      "KEY=VALUE" },
    { "text", 0, 0, G_OPTION_ARG_NONE, &options.text, "Print for people: circuits, reasons, hours, a chart", NULL },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.json, "Print JSON (as without --text)", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdPlanPins) pins = NULL;
  g_autoptr (TdSettings) settings = NULL;
  g_autofree char *out = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  if (options.technicians < 1 || options.technicians > 2)
    return td_ctl_misuse (info, "--technicians is 1 or 2");
  pins = read_pins (options.pins, &error);
  settings = pins != NULL ? read_settings (options.settings, &error) : NULL;
  if (settings == NULL)
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "%s: %s", pins == NULL ? "--pin" : "--set", owned->message);
    }
  out = answer (words[0], &options, settings, pins, &error);
  if (out == NULL)
    return td_ctl_refuse (info, error);
  return td_ctl_print (out, strlen (out), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}
