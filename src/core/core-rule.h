/* core-rule.h: the rules that a visit is held against, and what they find.
 *
 * One table (core-rule.def) for wizard, report, audit and check; a judging function for each rule
 * in core-rule-*.c.  Facts are accepted: a rule never refuses an entry, it only finds.  A finding
 * of severity stop keeps a visit from being closed. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

/* Raised whenever a rule's meaning changes; a closed visit keeps the version it was judged by. */
#define TD_RULES_VERSION 1

typedef enum
{
  TD_SEVERITY_STOP,   /* the visit cannot be closed */
  TD_SEVERITY_REASON, /* a written reason is asked for; without it the record says so */
  TD_SEVERITY_ADVICE
} TdSeverity;

typedef enum
{
#define TD_RULE(symbol, judge, code, severity, text, source) TD_RULE_##symbol,
#include "core-rule.def"
#undef TD_RULE
  TD_N_RULES
} TdRuleId;

typedef struct
{
  const char *code; /* stable, "pump-not-set-back" */
  TdSeverity severity;
  const char *text; /* what is wrong, one sentence; translatable */
  const char *source;
} TdRuleInfo;

typedef struct
{
  TdRuleId rule;
  int outlet;   /* -1: the whole visit */
  int circuit;  /* 0: none */
  guint seq;    /* the entry that it hangs on, 0 where none */
  char *text;   /* the sentence with the figures in it */
  char *reason; /* as given, NULL where none */
} TdFinding;

const TdRuleInfo *td_rule_get_info (TdRuleId rule);
gboolean td_rule_find (const char *code, TdRuleId *rule_out);
const char *td_severity_to_text (TdSeverity severity); /* "stop", "reason", "advice" */

void td_finding_free (TdFinding *finding);
/* Judges the visit by every rule. @now_ms: for what still runs; a closed visit is judged at its
 * closing. Returns: (transfer full) (element-type TdFinding): stops first, then by line and code;
 * with free func. */
GPtrArray *td_visit_get_findings (const TdVisit *visit, gint64 now_ms);
guint td_findings_count (const GPtrArray *findings, TdSeverity severity);

G_END_DECLS
