/* The engine of the rules: asks every judge, puts the findings in order, adds the reasons given. */
#include "core-judge.h"

#include <string.h>

static const TdJudgeFunc judges[TD_N_RULES] = {
#define TD_RULE(symbol, judge, code, severity, text, source) td_judge_##judge,
#include "core-rule.def"
#undef TD_RULE
};

void
td_judge_find (TdJudge *judge, int outlet, int circuit, guint seq, const char *format, ...)
{
  TdFinding *finding;
  g_autofree char *title = NULL;
  g_autofree char *text = NULL;
  va_list arguments;

  g_assert (outlet < (int)judge->visit->n_lines);
  if (outlet >= 0 && td_rule_get_info (judge->rule)->severity == TD_SEVERITY_STOP
      && td_visit_is_out_of_service (judge->visit, (guint)outlet))
    return;
  va_start (arguments, format);
  text = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  if (outlet >= 0)
    title = td_outlet_get_title (judge->visit->site, (guint)outlet);
  else if (circuit != 0)
    title = g_strdup_printf ("Circuit %d", circuit);
  finding = g_new0 (TdFinding, 1);
  finding->rule = judge->rule;
  finding->outlet = outlet;
  finding->circuit = circuit;
  finding->seq = seq;
  finding->text = title != NULL ? g_strdup_printf ("%s: %s", title, text) : g_steal_pointer (&text);
  g_ptr_array_add (judge->findings, finding);
}

char *
td_judge_clock (const TdJudge *judge, TdStamp stamp)
{
  TdMoment moment = { stamp.at_ms, judge->visit->arrived.offset_min };

  return td_moment_to_clock (&moment, FALSE);
}

char *
td_judge_minutes (gint64 ms)
{
  gint64 s = ms / 1000;

  return g_strdup_printf ("%" G_GINT64_FORMAT ":%02d", s / 60, (int)(s % 60));
}

char *
td_judge_delay (gint64 ms)
{
  gint64 minutes = ms / 60000;

  if (minutes < 60)
    {
      g_autofree char *text = td_judge_minutes (ms);

      return g_strconcat (text, " min", NULL);
    }
  if (minutes < 24 * 60)
    return g_strdup_printf ("%" G_GINT64_FORMAT " h %02" G_GINT64_FORMAT " min", minutes / 60, minutes % 60);
  return g_strdup_printf ("%" G_GINT64_FORMAT " d %" G_GINT64_FORMAT " h", minutes / (24 * 60),
                          minutes / 60 % 24);
}

char *
td_judge_decimal (gint64 milli, int decimals)
{
  static const int steps[] = { 1000, 100, 10, 1 };
  gint64 step = steps[decimals];
  gint64 scale = 1000 / step;
  gint64 rounded = (ABS (milli) + step / 2) / step;
  const char *sign = milli < 0 && rounded != 0 ? "-" : "";

  g_assert (decimals >= 0 && decimals <= 3);
  if (decimals == 0)
    return g_strdup_printf ("%s%" G_GINT64_FORMAT, sign, rounded);
  return g_strdup_printf ("%s%" G_GINT64_FORMAT ".%0*d", sign, rounded / scale, decimals,
                          (int)(rounded % scale));
}

const TdSite *
td_judge_get_site (const TdJudge *judge)
{
  return judge->visit->site;
}

gint64
td_judge_get_setting (const TdJudge *judge, TdSettingId id)
{
  return td_settings_get (judge->visit->settings, id);
}

TdDate
td_judge_get_date (const TdJudge *judge)
{
  return td_moment_get_date (&judge->visit->arrived);
}

const TdEntry *
td_judge_get_entry (const TdJudge *judge, guint seq)
{
  const GArray *kept_out = judge->visit->kept_out;

  for (guint i = 0; i < kept_out->len; i++)
    if (g_array_index (kept_out, guint, i) == seq)
      return NULL;
  return td_visit_get_effective (judge->visit, seq);
}

gboolean
td_judge_is_act_on (const TdEntry *entry, TdKind kind, const TdSite *site, guint outlet)
{
  const TdJson *lines;

  if (entry == NULL || entry->envelope.kind != kind)
    return FALSE;
  lines = td_json_get_member (entry->body, "lines");
  for (guint i = 0; lines != NULL && i < td_json_get_length (lines); i++)
    if (strcmp (td_json_get_string (td_json_get_element (lines, i)), site->outlets[outlet].id) == 0)
      return TRUE;
  return FALSE;
}

TdStamp
td_pass_get_begin (const TdPass *pass)
{
  if (pass->chemical_in.seq == 0)
    return pass->chemical_seen;
  if (pass->chemical_seen.seq != 0 && td_stamp_compare (pass->chemical_seen, pass->chemical_in) < 0)
    return pass->chemical_seen;
  return pass->chemical_in;
}

const TdPass *
td_visit_line_find_pass (const TdVisitLine *line, gint64 at_ms)
{
  for (guint i = line->passes->len; i-- > 0;)
    {
      const TdPass *pass = &g_array_index (line->passes, TdPass, i);

      if (td_pass_get_begin (pass).at_ms <= at_ms)
        return pass;
    }
  return NULL;
}

gboolean
td_judge_is_own (const TdJudge *judge, guint outlet)
{
  return judge->visit->site->outlets[outlet].side < 0;
}

guint
td_judge_get_own (const TdJudge *judge, guint outlet)
{
  /* Outlets go line by line, its own faucet first; side is -1 there. */
  return outlet - (guint)(judge->visit->site->outlets[outlet].side + 1);
}

gboolean
td_judge_is_served (const TdJudge *judge, guint outlet)
{
  return judge->visit->lines[outlet].passes->len > 0
         && !td_visit_is_out_of_service (judge->visit, outlet);
}

gboolean
td_judge_is_used (const TdJudge *judge, guint batch)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const GArray *passes = judge->visit->lines[i].passes;

      for (guint k = 0; k < passes->len; k++)
        if (g_array_index (passes, TdPass, k).batch == batch)
          return TRUE;
    }
  return FALSE;
}

gboolean
td_judge_is_tagged (const TdJudge *judge, guint outlet, gint64 at_ms)
{
  const GArray *tags = judge->visit->tags;

  for (guint i = 0; i < tags->len; i++)
    {
      const TdTag *tag = &g_array_index (tags, TdTag, i);

      if (tag->outlet == (int)outlet && tag->hung.at_ms <= at_ms
          && (tag->removed.seq == 0 || tag->removed.at_ms > at_ms))
        return TRUE;
    }
  return FALSE;
}

/* The reason for that line goes before one for the whole visit, the later before the earlier. */
static void
add_reason (const TdVisit *visit, TdFinding *finding)
{
  const TdReason *best = NULL;

  for (guint i = 0; i < visit->reasons->len; i++)
    {
      const TdReason *reason = &g_array_index (visit->reasons, TdReason, i);
      gboolean own = reason->outlet == finding->outlet;

      if (strcmp (reason->code, td_rule_get_info (finding->rule)->code) != 0
          || !(own || reason->outlet < 0))
        continue;
      if (best == NULL || own || best->outlet < 0)
        best = reason;
    }
  if (best != NULL)
    finding->reason = g_strdup (best->reason);
}

static int
compare_findings (gconstpointer a, gconstpointer b)
{
  const TdFinding *one = *(const TdFinding *const *)a;
  const TdFinding *two = *(const TdFinding *const *)b;
  const TdRuleInfo *info_one = td_rule_get_info (one->rule);
  const TdRuleInfo *info_two = td_rule_get_info (two->rule);
  int by_code;

  if (info_one->severity != info_two->severity)
    return (int)info_one->severity - (int)info_two->severity;
  if (one->outlet != two->outlet)
    return one->outlet - two->outlet;
  by_code = strcmp (info_one->code, info_two->code);
  if (by_code != 0)
    return by_code;
  if (one->circuit != two->circuit)
    return one->circuit - two->circuit;
  return one->seq < two->seq ? -1 : one->seq > two->seq;
}

GPtrArray *
td_visit_get_findings (const TdVisit *visit, gint64 now_ms)
{
  GPtrArray *findings = g_ptr_array_new_with_free_func ((GDestroyNotify)td_finding_free);
  TdJudge judge = { .visit = visit, .now_ms = now_ms, .findings = findings };

  if (visit->closed)
    judge.now_ms = visit->closed_at.utc_ms;
  for (guint i = 0; i < TD_N_RULES; i++)
    {
      judge.rule = (TdRuleId)i;
      judges[i](&judge);
    }
  for (guint i = 0; i < findings->len; i++)
    add_reason (visit, g_ptr_array_index (findings, i));
  g_ptr_array_sort (findings, compare_findings);
  return findings;
}
