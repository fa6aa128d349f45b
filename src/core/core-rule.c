/* The table of rules. */
#include "core-rule.h"

#include <string.h>

/* Marks a text for translation; whoever shows it translates it. */
#define N_(text) text

static const TdRuleInfo infos[TD_N_RULES] = {
#define TD_RULE(symbol, judge, code, severity, text, source)                                       \
  { code, TD_SEVERITY_##severity, text, source },
#include "core-rule.def"
#undef TD_RULE
};

const TdRuleInfo *
td_rule_get_info (TdRuleId rule)
{
  g_return_val_if_fail ((guint)rule < TD_N_RULES, NULL);
  return &infos[rule];
}

gboolean
td_rule_find (const char *code, TdRuleId *rule_out)
{
  g_return_val_if_fail (code != NULL && rule_out != NULL, FALSE);
  for (guint i = 0; i < TD_N_RULES; i++)
    if (strcmp (infos[i].code, code) == 0)
      {
        *rule_out = (TdRuleId)i;
        return TRUE;
      }
  return FALSE;
}

const char *
td_severity_to_text (TdSeverity severity)
{
  static const char *const texts[] = { "stop", "reason", "advice" };

  g_return_val_if_fail ((guint)severity < G_N_ELEMENTS (texts), NULL);
  return texts[severity];
}

void
td_finding_free (TdFinding *finding)
{
  if (finding == NULL)
    return;
  g_free (finding->text);
  g_free (finding->reason);
  g_free (finding);
}

guint
td_findings_count (const GPtrArray *findings, TdSeverity severity)
{
  guint count = 0;

  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);

      if (infos[finding->rule].severity == severity)
        count++;
    }
  return count;
}
