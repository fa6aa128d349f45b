/* What must be put back before anybody pours: levers, tags, FOBs, gas, cooling, ends, kegs. */
#include <string.h>

#include "core-judge.h"

static void
find_open (TdJudge *judge,
           guint outlet,
           TdStamp begun,
           TdStamp ended,
           const char *what,
           const char * not )
{
  g_autofree char *clock = NULL;

  if (!td_stamp_is_open (begun, ended))
    return;
  clock = td_judge_clock (judge, begun);
  td_judge_find (judge, (int)outlet, 0, begun.seq, "%s at %s and not %s", what, clock, not );
}

void
td_judge_pump_not_set_back (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (line->lever_set.seq != 0)
        find_open (judge, i, line->lever_set, line->lever_back, "pump lever set inwards",
                   "set back");
      else if (g_strcmp0 (line->found_lever, "in") == 0)
        find_open (judge, i, line->found, line->lever_back, "pump lever found inwards", "set back");
    }
}

/* Flow outwards, or beer at the faucet: a line that runs in gives nothing there. */
void
td_judge_pump_not_proved (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];
      gboolean flowed
          = line->flow_out_seen.seq != 0 && line->flow_out_seen.at_ms >= line->lever_back.at_ms;
      gboolean poured
          = line->beer_clear_last.seq != 0 && line->beer_clear_last.at_ms >= line->lever_back.at_ms;
      g_autofree char *clock = NULL;

      if (line->lever_back.seq == 0 || td_stamp_is_open (line->lever_set, line->lever_back)
          || flowed || poured)
        continue;
      clock = td_judge_clock (judge, line->lever_back);
      td_judge_find (judge, (int)i, 0, line->lever_back.seq,
                     "pump lever set back at %s and not proved by flow outwards", clock);
    }
}

/* A tag that a line out of service keeps is where it belongs. */
static gboolean
stays_behind (const TdVisit *visit, const TdTag *tag)
{
  for (guint i = 0; i < visit->n_lines; i++)
    if (visit->lines[i].out_of_service.seq != 0
        && g_strcmp0 (visit->lines[i].service_tag, tag->id) == 0)
      return TRUE;
  return FALSE;
}

static const TdTagLift *
get_open_lift (const TdTag *tag)
{
  const TdTagLift *lift;

  if (tag->lifts->len == 0)
    return NULL;
  lift = &g_array_index (tag->lifts, TdTagLift, tag->lifts->len - 1);
  return lift->again.seq == 0 ? lift : NULL;
}

void
td_judge_tag_left (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (judge->visit->tags, TdTag, i);
      g_autofree char *clock = NULL;

      if (tag->removed.seq != 0 || get_open_lift (tag) != NULL || stays_behind (judge->visit, tag))
        continue;
      clock = td_judge_clock (judge, tag->hung);
      td_judge_find (judge, tag->outlet, 0, tag->hung.seq, "%s %s%s%s, hung at %s, was not removed",
                     tag->kind, tag->id, tag->place != NULL ? " at " : "",
                     tag->place != NULL ? tag->place : "", clock);
    }
}

void
td_judge_tag_lifted (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (judge->visit->tags, TdTag, i);
      const TdTagLift *lift = get_open_lift (tag);
      g_autofree char *clock = NULL;

      if (tag->removed.seq != 0 || lift == NULL)
        continue;
      clock = td_judge_clock (judge, lift->lifted);
      td_judge_find (judge, tag->outlet, 0, lift->lifted.seq,
                     "%s %s, lifted at %s, was neither hung again nor removed", tag->kind, tag->id,
                     clock);
    }
}

void
td_judge_fob_not_rinsed (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    find_open (judge, i, judge->visit->lines[i].fob_flooded, judge->visit->lines[i].fob_rinsed,
               "FOB flooded", "rinsed");
}

void
td_judge_gas_not_restored (TdJudge *judge)
{
  static const char *const names[] = { "drive gas of the beer pump", "gas on the keg" };

  for (guint i = 0; i < judge->visit->n_lines; i++)
    for (guint k = 0; k < G_N_ELEMENTS (names); k++)
      {
        const TdVisitLine *line = &judge->visit->lines[i];
        g_autofree char *clock = NULL;
        TdStamp off;

        if (!line->gas_off_now[k])
          continue;
        off = g_array_index (line->gas[k], TdSwitch, line->gas[k]->len - 1).stamp;
        clock = td_judge_clock (judge, off);
        td_judge_find (judge, (int)i, 0, off.seq, "%s shut at %s and not opened again", names[k],
                       clock);
      }
}

/* A cooler or tower all of whose lines are out of service may stay warm. */
static gboolean
is_place_in_service (const TdVisit *visit, const char *place)
{
  int cooler = td_site_find_cooler (visit->site, place);
  int tower = td_site_find_tower (visit->site, place);

  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdOutlet *outlet = &visit->site->outlets[i];

      if (((int)outlet->cooler == cooler || (int)outlet->tower == tower)
          && !td_visit_is_out_of_service (visit, i))
        return TRUE;
    }
  return FALSE;
}

static const char *
get_place_name (const TdSite *site, const char *place)
{
  int cooler = td_site_find_cooler (site, place);
  int tower = td_site_find_tower (site, place);

  if (cooler >= 0)
    return site->coolers[cooler].name;
  return tower >= 0 ? site->towers[tower].name : place;
}

void
td_judge_cooling_not_restored (TdJudge *judge)
{
  const GArray *acts = judge->visit->cooling;

  for (guint i = 0; i < acts->len; i++)
    {
      const TdCooling *act = &g_array_index (acts, TdCooling, i);
      gboolean last = TRUE;
      g_autofree char *clock = NULL;

      for (guint k = 0; k < acts->len && last; k++)
        {
          const TdCooling *other = &g_array_index (acts, TdCooling, k);

          last = strcmp (other->place, act->place) != 0
                 || td_stamp_compare (other->stamp, act->stamp) <= 0;
        }
      if (!last || act->on || !is_place_in_service (judge->visit, act->place))
        continue;
      clock = td_judge_clock (judge, act->stamp);
      td_judge_find (judge, -1, 0, act->stamp.seq,
                     "cooling of %s switched off at %s and not on again",
                     get_place_name (judge->visit->site, act->place), clock);
    }
}

void
td_judge_check_ball_out (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    find_open (judge, i, judge->visit->lines[i].ball_out, judge->visit->lines[i].ball_in,
               "coupler's check ball taken out", "refitted");
}

/* Beer drawn at the faucet shows that it is whole, written down or not. */
void
td_judge_faucet_not_rebuilt (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      if (td_stamp_is_open (line->faucet_stripped, line->beer_clear_last))
        find_open (judge, i, line->faucet_stripped, line->faucet_rebuilt, "faucet stripped",
                   "rebuilt");
    }
}

void
td_judge_adapter_left (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    find_open (judge, i, judge->visit->lines[i].adapter_fitted,
               judge->visit->lines[i].adapter_removed, "cleaning adapter fitted", "taken off");
}

void
td_judge_ends_joined (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];

      find_open (judge, i, line->joined_keg, line->parted_keg, "keg end joined", "parted");
      find_open (judge, i, line->joined_faucet, line->parted_faucet, "faucet end joined", "parted");
    }
}

void
td_judge_keg_not_coupled (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    find_open (judge, i, judge->visit->lines[i].keg_uncoupled, judge->visit->lines[i].keg_coupled,
               "keg uncoupled", "coupled again");
}
