/* Tags, and the outlets that they guard while chemical is in the lines. */
#include <string.h>

#include "core-judge.h"

/* The tower where the pump of the pass stands and whose faucets are in sight, or -1. */
static int
get_station_tower (const TdVisit *visit, guint outlet, const TdPass *pass)
{
  int number = pass->circuit;
  const TdVisitCircuit *circuit;

  for (guint i = 0; number == 0 && i < visit->statics->len; i++)
    {
      const TdVisitStatic *held = &g_array_index (visit->statics, TdVisitStatic, i);

      if (held->outlet == outlet)
        number = held->fed_by;
    }
  circuit = td_visit_find_circuit (visit, number);
  return circuit != NULL ? td_site_find_tower (visit->site, circuit->station) : -1;
}

/* Chemical in @source reaches @outlet; out of sight is what does not stand at the pump's tower. */
static gboolean
is_remote (const TdVisit *visit, guint outlet, guint source, const TdPass *pass)
{
  return get_station_tower (visit, source, pass) != (int)visit->site->outlets[outlet].tower;
}

/* The first time that chemical came to an untagged outlet out of sight, from its own line or its
 * feeder. */
static TdStamp
find_untagged (const TdJudge *judge, guint outlet)
{
  guint own = td_judge_get_own (judge, outlet);
  TdStamp first = { 0 };

  for (guint source = own; source <= outlet; source += MAX (outlet - own, 1))
    {
      const GArray *passes = judge->visit->lines[source].passes;

      for (guint k = 0; k < passes->len; k++)
        {
          const TdPass *pass = &g_array_index (passes, TdPass, k);
          TdStamp begin = td_pass_get_begin (pass);

          if (is_remote (judge->visit, outlet, source, pass)
              && !td_judge_is_tagged (judge, outlet, begin.at_ms)
              && (first.seq == 0 || td_stamp_compare (begin, first) < 0))
            first = begin;
        }
    }
  return first;
}

void
td_judge_outlet_untagged (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      TdStamp first = find_untagged (judge, i);
      g_autofree char *clock = NULL;

      if (first.seq == 0)
        continue;
      clock = td_judge_clock (judge, first);
      td_judge_find (judge, (int)i, 0, first.seq,
                     "chemical sent in at %s, this outlet out of sight and not tagged", clock);
    }
}

void
td_judge_static_untagged (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);
      gint64 end_ms;

      if (pass == NULL || pass->method != TD_METHOD_STATIC || pass->chemical_seen.seq == 0
          || is_remote (judge->visit, i, i, pass))
        continue;
      end_ms = pass->contact_end.seq != 0 ? pass->contact_end.at_ms : judge->now_ms;
      if (!td_judge_is_tagged (judge, i, end_ms))
        td_judge_find (judge, (int)i, 0, pass->chemical_seen.seq,
                       "held chemical with no tag on its outlet");
    }
}

void
td_judge_static_not_shut (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);
      g_autofree char *clock = NULL;

      if (pass == NULL || pass->method != TD_METHOD_STATIC || pass->chemical_seen.seq == 0
          || pass->shut)
        continue;
      clock = td_judge_clock (judge, pass->chemical_seen);
      td_judge_find (judge, (int)i, 0, pass->chemical_seen.seq,
                     "chemical seen at %s, the faucet not said to be shut upon it", clock);
    }
}

void
td_judge_static_faucet_opened (TdJudge *judge)
{
  const TdVisit *visit = judge->visit;

  for (guint seq = 1; seq <= visit->last_seq; seq++)
    {
      const TdEntry *entry = td_judge_get_entry (judge, seq);

      for (guint i = 0; i < visit->n_lines; i++)
        {
          const TdPass *pass;
          gint64 at_ms;
          g_autofree char *clock = NULL;

          if (!td_judge_is_act_on (entry, TD_KIND_FAUCET_STRIPPED, visit->site, i))
            continue;
          at_ms = entry->envelope.happened.utc_ms;
          pass = td_visit_line_find_pass (&visit->lines[i], at_ms);
          if (pass == NULL || pass->method != TD_METHOD_STATIC
              || (pass->rinse_passed && pass->rinse_ph.stamp.at_ms <= at_ms))
            continue;
          clock = td_judge_clock (judge, (TdStamp){ at_ms, seq });
          td_judge_find (judge, (int)i, 0, seq,
                         "faucet stripped at %s while the static line held chemical", clock);
        }
    }
}

/* Drive gas is taken to be on until somebody says otherwise. */
static gboolean
is_gas_on (const GArray *switches, gint64 at_ms)
{
  gboolean on = TRUE;

  for (guint i = 0; i < switches->len; i++)
    {
      const TdSwitch *act = &g_array_index (switches, TdSwitch, i);

      if (act->stamp.at_ms <= at_ms)
        on = act->on;
    }
  return on;
}

void
td_judge_gas_on_at_faucet (TdJudge *judge)
{
  const TdVisit *visit = judge->visit;

  for (guint seq = 1; seq <= visit->last_seq; seq++)
    {
      const TdEntry *entry = td_judge_get_entry (judge, seq);

      for (guint i = 0; i < visit->n_lines; i++)
        {
          const TdLine *line = &visit->site->lines[visit->site->outlets[i].line];
          gint64 at_ms;
          g_autofree char *clock = NULL;

          if (line->beer_pump == TD_BEER_PUMP_NONE
              || !td_judge_is_act_on (entry, TD_KIND_FAUCET_STRIPPED, visit->site, i))
            continue;
          at_ms = entry->envelope.happened.utc_ms;
          if (!is_gas_on (visit->lines[td_judge_get_own (judge, i)].gas[0], at_ms))
            continue;
          clock = td_judge_clock (judge, (TdStamp){ at_ms, seq });
          td_judge_find (judge, (int)i, 0, seq,
                         "faucet opened at %s with the drive gas of its beer pump on", clock);
        }
    }
}

void
td_judge_tag_removed_early (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (judge->visit->tags, TdTag, i);
      const TdPass *pass;
      g_autofree char *clock = NULL;

      if (tag->outlet < 0 || tag->removed.seq == 0)
        continue;
      pass = td_visit_line_find_pass (&judge->visit->lines[tag->outlet], tag->removed.at_ms);
      if (pass == NULL || (pass->rinse_passed && pass->rinse_ph.stamp.at_ms <= tag->removed.at_ms))
        continue;
      clock = td_judge_clock (judge, tag->removed);
      td_judge_find (judge, tag->outlet, 0, tag->removed.seq,
                     "tag %s removed for good at %s, before the line's rinse had passed", tag->id,
                     clock);
    }
}

void
td_judge_tag_removed_by_other (TdJudge *judge)
{
  const TdVisit *visit = judge->visit;

  for (guint i = 0; i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);

      if (tag->removed.seq != 0 && !tag->employer_procedure
          && strcmp (tag->removed_by, tag->owner) != 0)
        td_judge_find (
            judge, tag->outlet, 0, tag->removed.seq,
            "tag %s of %s removed by %s without the three steps of the employer's procedure",
            tag->id, td_visit_get_person_name (visit, tag->owner),
            td_visit_get_person_name (visit, tag->removed_by));
    }
}

void
td_judge_tag_lifted_by_other (TdJudge *judge)
{
  const TdVisit *visit = judge->visit;

  for (guint i = 0; i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);

      for (guint k = 0; k < tag->lifts->len; k++)
        {
          const TdTagLift *lift = &g_array_index (tag->lifts, TdTagLift, k);

          if (strcmp (lift->lifted_by, lift->owner) != 0)
            td_judge_find (judge, tag->outlet, 0, lift->lifted.seq, "tag %s of %s lifted by %s",
                           tag->id, td_visit_get_person_name (visit, lift->owner),
                           td_visit_get_person_name (visit, lift->lifted_by));
        }
    }
}

static gboolean
is_hanging (const TdVisit *visit, const char *id)
{
  for (guint i = 0; id != NULL && i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);

      if (tag->removed.seq == 0 && strcmp (tag->id, id) == 0)
        return TRUE;
    }
  return FALSE;
}

void
td_judge_held_untagged (TdJudge *judge)
{
  const TdVisit *visit = judge->visit;

  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdVisitLine *line = &visit->lines[i];

      if (line->out_of_service.seq == 0 || strcmp (line->service_condition, "holding") != 0
          || td_judge_is_tagged (judge, i, judge->now_ms) || is_hanging (visit, line->service_tag))
        continue;
      td_judge_find (judge, (int)i, 0, line->out_of_service.seq,
                     "left out of service holding chemical, with no tag on its outlet");
    }
}
