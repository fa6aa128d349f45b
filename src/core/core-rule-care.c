/* Whether faucets, FOBs and couplers were cared for, and the beer was drawn as it should be. */
#include "core-judge.h"

void
td_judge_faucet_not_stripped (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    if (td_judge_is_served (judge, i) && judge->visit->lines[i].faucet_stripped.seq == 0)
      td_judge_find (judge, (int)i, 0, 0, "cleaned, its faucet not stripped");
}

static gboolean
has_fob (const TdJudge *judge, guint outlet)
{
  const TdSite *site = td_judge_get_site (judge);

  return td_judge_is_own (judge, outlet) && site->lines[site->outlets[outlet].line].fob;
}

/* A stripped FOB has been cleaned by hand. */
void
td_judge_fob_not_flooded (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (td_judge_is_served (judge, i) && has_fob (judge, i) && line->fob_flooded.seq == 0
          && line->fob_stripped.seq == 0)
        td_judge_find (judge, (int)i, 0, line->fob_opened.seq,
                       line->fob_opened.seq != 0 ? "its FOB opened and not flooded with solution"
                                                 : "cleaned, its FOB neither opened nor flooded");
    }
}

void
td_judge_fob_not_vented (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (td_judge_is_served (judge, i)
          && (td_stamp_is_open (line->fob_opened, line->fob_vented)
              || td_stamp_is_open (line->fob_flooded, line->fob_vented)))
        td_judge_find (judge, (int)i, 0, line->fob_opened.seq,
                       "its FOB was opened and not vented after");
    }
}

void
td_judge_coupler_not_brushed (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (td_judge_is_served (judge, i) && td_judge_is_own (judge, i)
          && line->coupler_brushed.seq == 0 && line->coupler_stripped.seq == 0)
        td_judge_find (judge, (int)i, 0, 0, "cleaned, its coupler not brushed");
    }
}

void
td_judge_valve_well_not_dried (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (td_judge_is_served (judge, i) && line->keg_coupled.seq != 0 && line->well_dried.seq == 0)
        td_judge_find (judge, (int)i, 0, line->keg_coupled.seq,
                       "keg coupled, its valve well not dried before");
    }
}

void
td_judge_beer_not_clear_twice (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (!td_judge_is_served (judge, i))
        continue;
      if (line->beer_clear_count < 2)
        td_judge_find (judge, (int)i, 0, line->beer_clear_last.seq,
                       "beer drawn clear %u of 2 times", line->beer_clear_count);
      else if (line->fob_vented.seq != 0
               && (td_stamp_compare (line->beer_clear_first, line->fob_vented) > 0
                   || td_stamp_compare (line->beer_clear_last, line->fob_vented) < 0))
        td_judge_find (judge, (int)i, 0, line->beer_clear_last.seq,
                       "beer drawn clear %u times, not both before and after the FOB was vented",
                       line->beer_clear_count);
    }
}

void
td_judge_leak_found (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (line->leaking && !td_visit_is_out_of_service (judge->visit, i))
        td_judge_find (judge, (int)i, 0, line->leak_checked.seq,
                       "a leak was found and is not said to be tight since");
    }
}
