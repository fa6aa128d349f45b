/* Writes the plan of a site sheet and its certificate to files, for checkers in other languages.
 *
 * usage: make-plan SITE.json PLAN.json CERTIFICATE.json [PIN...] */
#include "core-json-build.h"
#include "core-plan-make.h"

static TdPlan *
plan_sheet (const char *path, char **pin_texts, GError **error)
{
  g_autofree char *text = NULL;
  gsize length = 0;
  g_autoptr (TdPlanPins) pins = td_plan_pins_new ();
  if (!g_file_get_contents (path, &text, &length, error))
    return NULL;
  g_autoptr (TdSite) site = td_site_parse (text, (gssize)length, error);
  for (guint i = 0; site != NULL && pin_texts[i] != NULL; i++)
    if (!td_plan_pins_add_text (pins, pin_texts[i], error))
      return NULL;
  return site != NULL ? td_plan_make (site, pins, error) : NULL;
}

static gboolean
write_json (const char *path, TdJson *json, GError **error)
{
  g_autofree char *text = td_json_to_text (json, TRUE);
  td_json_unref (json);
  return g_file_set_contents (path, text, -1, error);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  if (argc < 4)
    return 2;
  g_autoptr (TdPlan) plan = plan_sheet (argv[1], argv + 4, &error);
  if (plan == NULL || !write_json (argv[2], td_plan_to_json (plan), &error)
      || !write_json (argv[3], td_plan_certificate_to_json (plan), &error))
    {
      g_printerr ("%s\n", error->message);
      return 1;
    }
  return 0;
}
