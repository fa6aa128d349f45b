#include "core-plan-adopt.h"

#include <math.h>
#include <string.h>

#include "core-json-build.h"

static void
write_certificate (TdJsonBuilder *b, TdJson *certificate)
{
  g_autofree char *text = td_json_to_canonical (certificate, NULL);
  g_return_if_fail (text != NULL);
  g_autofree char *hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);

  if (strlen (text) <= TD_ADOPTION_MAX_CERTIFICATE)
    td_json_builder_member_value (b, "certificate", certificate);
  td_json_builder_member_string (b, "certificate_sha256", hash);
}

TdJson *
td_plan_to_adoption (const TdPlan *plan, const TdPlanOutlook *outlook, gboolean by_hand)
{
  g_return_val_if_fail (plan != NULL, NULL);
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  g_autoptr (TdJson) body = td_plan_to_body (plan);
  g_autoptr (TdJson) predicted = td_plan_to_predicted (plan, outlook);
  g_autoptr (TdJson) certificate = by_hand ? NULL : td_plan_certificate_to_json (plan);

  td_json_builder_begin_object (b);
  td_json_builder_member_value (b, "plan", body);
  td_json_builder_member_string (b, "source", by_hand ? "hand" : "planner");
  if (certificate != NULL)
    write_certificate (b, certificate);
  if (plan->minutes >= 0.0 && plan->minutes <= 1440.0)
    td_json_builder_member_integer (b, "minutes", llround (plan->minutes));
  if (predicted != NULL)
    td_json_builder_member_value (b, "predicted", predicted);
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}
