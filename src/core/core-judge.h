/* core-judge.h: what the judging functions share; not for use outside core-judge.c and
 * core-rule-*.c.
 *
 * A rule is a row of core-rule.def and the function td_judge_<judge>() in the file of its subject,
 * which looks at the visit and reports each case with td_judge_find(). */
#pragma once

#include "core-rule.h"

G_BEGIN_DECLS

typedef struct
{
  const TdVisit *visit;
  gint64 now_ms; /* UTC: for what still runs; the closing's time in a closed visit */
  TdRuleId rule; /* in hand */
  GPtrArray *findings;
} TdJudge;

typedef void (*TdJudgeFunc) (TdJudge *judge);

#define TD_RULE(symbol, judge, code, severity, text, source) void td_judge_##judge (TdJudge *judge);
#include "core-rule.def"
#undef TD_RULE

/* Reports a case. @outlet: or -1 for the whole visit; @circuit: or 0; @seq: the entry that it hangs
 * on, or 0; @format: the sentence without the line's title, which is put in front. A stop on a line
 * that is out of service is dropped. */
void td_judge_find (TdJudge *judge, int outlet, int circuit, guint seq, const char *format, ...)
    G_GNUC_PRINTF (5, 6);

/* Figures for the sentences; each (transfer full). */

/* "06:12", at the arrival's offset from UTC. */
char *td_judge_clock (const TdJudge *judge, TdStamp stamp);
/* "17:30" for 17 min 30 s, rounded down. */
char *td_judge_minutes (gint64 ms);
/* A delay of any length: "15:00 min" below an hour, "3 h 05 min" below a day, "162 d 11 h" from there on;
 * rounded down. (transfer full) */
char *td_judge_delay (gint64 ms);
/* @milli thousandths with @decimals (0..3) decimals, rounded half away from zero: 7450, 2 is
 * "7.45". */
char *td_judge_decimal (gint64 milli, int decimals);

/* Looking at the visit */

const TdSite *td_judge_get_site (const TdJudge *judge);
gint64 td_judge_get_setting (const TdJudge *judge, TdSettingId id);
/* The day of the visit, at the arrival's offset. */
TdDate td_judge_get_date (const TdJudge *judge);
/* The effective entry of @seq, NULL where it is voided or was kept out. */
const TdEntry *td_judge_get_entry (const TdJudge *judge, guint seq);
/* TRUE where the entry is of @kind and lists the outlet in "lines". */
gboolean td_judge_is_act_on (const TdEntry *entry, TdKind kind, const TdSite *site, guint outlet);
/* From when a pass had chemical in the line. */
TdStamp td_pass_get_begin (const TdPass *pass);
/* The pass that a line was in at @at_ms: the last begun by then, or NULL. */
const TdPass *td_visit_line_find_pass (const TdVisitLine *line, gint64 at_ms);
/* TRUE where the outlet is the line's own faucet, whose keg end counts as its own. */
gboolean td_judge_is_own (const TdJudge *judge, guint outlet);
/* The line's own outlet: itself, or for a side faucet that of the line that feeds it. */
guint td_judge_get_own (const TdJudge *judge, guint outlet);
/* TRUE where chemical was in the line and it is not out of service: what asks for care and beer. */
gboolean td_judge_is_served (const TdJudge *judge, guint outlet);
/* TRUE where any line took chemical of that mix. */
gboolean td_judge_is_used (const TdJudge *judge, guint batch);
/* TRUE where a tag hangs on the outlet at @at_ms; while its owner lifts it, he stands there. */
gboolean td_judge_is_tagged (const TdJudge *judge, guint outlet, gint64 at_ms);

G_END_DECLS
