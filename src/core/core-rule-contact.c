/* Whether the chemical was right and stayed long enough. */
#include "core-judge.h"

/* A side faucet is known by the line that feeds it. */
void
td_judge_line_not_proved (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];
      TdStamp begin;
      g_autofree char *clock = NULL;

      if (line->passes->len == 0 || !td_judge_is_own (judge, i))
        continue;
      begin = td_pass_get_begin (&g_array_index (line->passes, TdPass, 0));
      if (line->proved.seq != 0 && line->proved.at_ms <= begin.at_ms)
        continue;
      clock = td_judge_clock (judge, begin);
      td_judge_find (judge, (int)i, 0, begin.seq,
                     "chemical sent in at %s, its number not proved at both ends before", clock);
    }
}

void
td_judge_direction_differs (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (line->passes->len > 0 && line->method == TD_METHOD_CIRCULATING && line->run_seen.seq != 0
          && line->run_direction != line->direction)
        td_judge_find (judge, (int)i, 0, line->run_seen.seq, "seen to run %s, planned to run %s",
                       td_direction_to_text (line->run_direction),
                       td_direction_to_text (line->direction));
    }
}

static const char *
get_clock_trouble (const TdPass *pass)
{
  if (pass->clock_start.seq != 0)
    return "";
  if (pass->chemical_seen.seq == 0)
    return ", full strength never seen at the end";
  return ", the return never seen in the bucket";
}

/* A pass that is done again in full mends one that was short; one that still runs may yet become
 * long. */
static void
find_short (TdJudge *judge, guint outlet, TdClean clean)
{
  const GArray *passes = judge->visit->lines[outlet].passes;
  const TdPass *best = NULL;
  g_autofree char *had = NULL;
  g_autofree char *required = NULL;

  for (guint i = 0; i < passes->len; i++)
    {
      const TdPass *pass = &g_array_index (passes, TdPass, i);

      if (pass->clean != clean)
        continue;
      if (pass->contact_end.seq == 0 && !judge->visit->closed)
        return;
      if (best == NULL || pass->contact_ms > best->contact_ms)
        best = pass;
    }
  if (best == NULL || best->contact_ms >= best->required_ms)
    return;
  had = td_judge_minutes (best->contact_ms);
  required = td_judge_minutes (best->required_ms);
  td_judge_find (judge, (int)outlet, 0, best->contact_end.seq, "%s contact %s of %s min%s",
                 td_method_to_text (best->method), had, required, get_clock_trouble (best));
}

void
td_judge_contact_short (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    for (guint k = 0; k < TD_N_CLEANS; k++)
      find_short (judge, i, (TdClean)k);
}

/* By the time that the chemical lay in the line, whether it was pumped or not. */
void
td_judge_contact_long (TdJudge *judge)
{
  gint64 limit_ms = 1000 * td_judge_get_setting (judge, TD_SETTING_CONTACT_MAX);

  for (guint i = 0; i < judge->visit->n_lines; i++)
    for (guint k = 0; k < judge->visit->lines[i].passes->len; k++)
      {
        const TdPass *pass = &g_array_index (judge->visit->lines[i].passes, TdPass, k);
        TdStamp begin = td_pass_get_begin (pass);
        gint64 end_ms = pass->contact_end.seq != 0 ? pass->contact_end.at_ms : judge->now_ms;
        g_autofree char *had = NULL;
        g_autofree char *limit = NULL;

        if (end_ms - begin.at_ms <= limit_ms)
          continue;
        had = td_judge_minutes (end_ms - begin.at_ms);
        limit = td_judge_minutes (limit_ms);
        td_judge_find (judge, (int)i, 0, begin.seq,
                       "chemical in the line for %s min, at most %s min", had, limit);
      }
}

static gboolean
is_run (const TdVisit *visit, int circuit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    for (guint k = 0; k < visit->lines[i].passes->len; k++)
      if (g_array_index (visit->lines[i].passes, TdPass, k).circuit == circuit)
        return TRUE;
  return FALSE;
}

void
td_judge_flow_low (TdJudge *judge)
{
  gint64 limit_ml_min = td_judge_get_setting (judge, TD_SETTING_FLOW_MIN);

  for (guint i = 0; i < judge->visit->circuits->len; i++)
    {
      const TdVisitCircuit *circuit = &g_array_index (judge->visit->circuits, TdVisitCircuit, i);
      g_autofree char *had = NULL;
      g_autofree char *limit = NULL;

      if (circuit->flow.stamp.seq == 0 || circuit->flow.value >= limit_ml_min
          || !is_run (judge->visit, circuit->number))
        continue;
      had = td_judge_decimal (circuit->flow.value, 2);
      limit = td_judge_decimal (limit_ml_min, 2);
      td_judge_find (judge, -1, circuit->number, circuit->flow.stamp.seq,
                     "flow %s L/min, at least %s L/min", had, limit);
    }
}

/* A limit in 0.001 % or 0.001 C. */
typedef struct
{
  gint64 least;
  gint64 most;
} Range;

static gboolean
get_strength_range (const TdJudge *judge, const TdBatch *batch, Range *range_out)
{
  if (batch->product == NULL || batch->product->kind == TD_PRODUCT_OTHER)
    return FALSE;
  if (batch->product->kind == TD_PRODUCT_ACID)
    *range_out = (Range){ td_judge_get_setting (judge, TD_SETTING_ACID_MIN),
                          td_judge_get_setting (judge, TD_SETTING_ACID_MAX) };
  else
    *range_out = (Range){ td_judge_get_setting (judge, TD_SETTING_CAUSTIC_MIN),
                          td_judge_get_setting (judge, TD_SETTING_CAUSTIC_MAX) };
  return TRUE;
}

/* A measured strength counts before the one that was aimed for. */
void
td_judge_strength_out_of_range (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);
      gboolean measured = batch->strength.stamp.seq != 0;
      gint64 value = measured ? batch->strength.value : batch->percent_milli;
      g_autofree char *had = NULL;
      g_autofree char *least = NULL;
      g_autofree char *most = NULL;
      Range range;

      if (value < 0 || !td_judge_is_used (judge, i) || !get_strength_range (judge, batch, &range)
          || (value >= range.least && value <= range.most))
        continue;
      had = td_judge_decimal (value, 2);
      least = td_judge_decimal (range.least, 2);
      most = td_judge_decimal (range.most, 2);
      td_judge_find (judge, -1, 0, measured ? batch->strength.stamp.seq : batch->mixed.seq,
                     "mix %s: strength %s %% %s, between %s and %s %% %s", batch->id, had,
                     td_basis_to_text (measured ? batch->strength_basis : batch->basis), least,
                     most, td_basis_to_text (batch->product->basis));
    }
}

void
td_judge_strength_not_known (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);

      if (td_judge_is_used (judge, i) && batch->percent_milli < 0 && batch->strength.stamp.seq == 0)
        td_judge_find (judge, -1, 0, batch->mixed.seq,
                       "mix %s: neither the strength as mixed nor a measured one is on record",
                       batch->id);
    }
}

void
td_judge_strength_not_measured (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);
      gboolean read = batch->strength.stamp.seq != 0;
      TdKnown known = read ? batch->strength.known : batch->known;

      if (td_judge_is_used (judge, i) && (read || batch->percent_milli >= 0)
          && known != TD_KNOWN_MEASURED)
        td_judge_find (judge, -1, 0, read ? batch->strength.stamp.seq : batch->mixed.seq,
                       "mix %s: strength %s, not measured", batch->id, td_known_to_text (known));
    }
}

void
td_judge_temperature_out_of_range (TdJudge *judge)
{
  Range range = { td_judge_get_setting (judge, TD_SETTING_SOLUTION_MIN),
                  td_judge_get_setting (judge, TD_SETTING_SOLUTION_MAX) };

  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);
      gint64 value = batch->temperature.value;
      g_autofree char *had = NULL;
      g_autofree char *least = NULL;
      g_autofree char *most = NULL;

      if (batch->temperature.stamp.seq == 0 || !td_judge_is_used (judge, i)
          || (value >= range.least && value <= range.most))
        continue;
      had = td_judge_decimal (value, 1);
      least = td_judge_decimal (range.least, 1);
      most = td_judge_decimal (range.most, 1);
      td_judge_find (judge, -1, 0, batch->temperature.stamp.seq,
                     "mix %s: %s C, between %s and %s C", batch->id, had, least, most);
    }
}

void
td_judge_temperature_not_known (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);

      if (td_judge_is_used (judge, i) && batch->temperature.stamp.seq == 0)
        td_judge_find (judge, -1, 0, batch->mixed.seq, "mix %s: its temperature is not on record",
                       batch->id);
    }
}

void
td_judge_lot_expired (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);
      g_autofree char *expiry = NULL;

      if (batch->lot == NULL || batch->lot->expiry == TD_DATE_NONE
          || batch->lot->expiry >= td_judge_get_date (judge))
        continue;
      expiry = td_date_to_text (batch->lot->expiry);
      td_judge_find (judge, -1, 0, batch->mixed.seq, "mix %s: lot %s expired on %s", batch->id,
                     batch->lot->code, expiry);
    }
}
