/* plan: how to clean a site. */
#include "ctl-commands.h"

#include "core-json-build.h"
#include "core-plan-make.h"

#include <gio/gio.h>
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

static TdPlan *
plan_file (const char *path, const TdPlanPins *pins, GError **error)
{
  g_autofree char *text = NULL;
  g_autoptr (TdSite) site = NULL;
  gsize length = 0;
  TdPlan *plan = NULL;

  if (!td_ctl_read_file (path, &text, &length, error))
    return NULL;
  site = td_site_parse (text, (gssize) length, error);
  if (site != NULL)
    plan = td_plan_make (site, pins, error);
  if (plan == NULL)
    g_prefix_error (error, "%s: ", path);
  return plan;
}

TdCtlStatus
td_ctl_plan (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (GStrv) pin_words = NULL;
  g_autofree char *certificate = NULL;
  gboolean json = FALSE;
  const GOptionEntry entries[] = {
    { "pin", 0, 0, G_OPTION_ARG_STRING_ARRAY, &pin_words,
      "static=LINE, leave-out=LINE, no-reversal=LINE, station=ID or circuit=LINE,LINE...; may be repeated", "WHAT=ID" },
    { "certificate", 0, 0, G_OPTION_ARG_FILENAME, &certificate, "Write what shows that the plan is proven", "FILE" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &json, "Print JSON (as without it)", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdPlanPins) pins = NULL;
  g_autoptr (TdPlan) plan = NULL;
  g_autoptr (TdJson) value = NULL;
  g_autofree char *out = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  pins = read_pins (pin_words, &error);
  if (pins == NULL)
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "--pin: %s", owned->message);
    }
  plan = plan_file (words[0], pins, &error);
  if (plan == NULL || (certificate != NULL && !write_certificate (plan, certificate, &error)))
    return td_ctl_refuse (info, error);
  value = td_plan_to_json (plan);
  out = td_json_to_text (value, TRUE);
  return td_ctl_print (out, strlen (out), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}
