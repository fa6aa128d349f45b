#include "core-guard-private.h"

/* The end of the visit: nothing may stand open. */

/* The act that mends a stop; a note where only a correction of the past would. */
static const struct
{
  TdRuleId rule;
  TdKind remedy;
} remedies[] = {
  { TD_RULE_PUMP_NOT_SET_BACK, TD_KIND_LEVER_SET_BACK },
  { TD_RULE_PUMP_NOT_PROVED, TD_KIND_FLOW_SEEN },
  { TD_RULE_TAG_LEFT, TD_KIND_TAG_REMOVED },
  { TD_RULE_TAG_LIFTED, TD_KIND_TAG_HUNG_AGAIN },
  { TD_RULE_FOB_NOT_RINSED, TD_KIND_FOB_RINSED },
  { TD_RULE_GAS_NOT_RESTORED, TD_KIND_GAS_ON },
  { TD_RULE_COOLING_NOT_RESTORED, TD_KIND_COOLING_ON },
  { TD_RULE_HOLDING_CHEMICAL, TD_KIND_PH_READ },
  { TD_RULE_CHECK_BALL_OUT, TD_KIND_CHECK_BALL_IN },
  { TD_RULE_FAUCET_NOT_REBUILT, TD_KIND_FAUCET_REBUILT },
  { TD_RULE_ADAPTER_LEFT, TD_KIND_ADAPTER_REMOVED },
  { TD_RULE_ENDS_JOINED, TD_KIND_ENDS_PARTED },
  { TD_RULE_KEG_NOT_COUPLED, TD_KIND_KEG_COUPLED },
  { TD_RULE_SCOPE_MISSING, TD_KIND_SCOPE },
  { TD_RULE_LINE_NOT_CLEANED, TD_KIND_LINE_LEFT_OUT },
  { TD_RULE_SIGNATURE_MISSING, TD_KIND_SIGNATURE },
  { TD_RULE_COUNTERSIGNATURE_MISSING, TD_KIND_COUNTERSIGNATURE },
};

TdKind
td_guard_find_remedy (TdRuleId rule)
{
  for (gsize i = 0; i < G_N_ELEMENTS (remedies); i++)
    if (remedies[i].rule == rule)
      return remedies[i].remedy;
  return TD_KIND_CORRECTION;
}

/* A signature does not wait for itself, nor for the one that follows it. */
static gboolean
is_to_come (TdKind kind, TdRuleId rule)
{
  if (kind == TD_KIND_SIGNATURE)
    return rule == TD_RULE_SIGNATURE_MISSING || rule == TD_RULE_COUNTERSIGNATURE_MISSING;
  return kind == TD_KIND_COUNTERSIGNATURE && rule == TD_RULE_COUNTERSIGNATURE_MISSING;
}

void
td_guard_ask_end (TdGuard *guard)
{
  TdKind kind = guard->question->kind;
  g_autoptr (GPtrArray) findings = NULL;

  if (kind != TD_KIND_SIGNATURE && kind != TD_KIND_COUNTERSIGNATURE && kind != TD_KIND_CLOSING)
    return;
  findings = td_visit_get_findings (guard->visit, guard->question->now_ms);
  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);

      if (td_rule_get_info (finding->rule)->severity != TD_SEVERITY_STOP
          || is_to_come (kind, finding->rule))
        continue;
      td_guard_add (guard, td_guard_find_remedy (finding->rule), finding->outlet, finding->circuit, "%s",
                    finding->text);
    }
}
