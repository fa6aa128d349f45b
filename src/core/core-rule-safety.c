/* Whether anybody was put at risk: people told, rooms checked, protection, chemicals that must not
 * meet. */
#include <string.h>

#include "core-judge.h"

static gboolean
was_told (const GArray *checks, guint place, gint64 by_ms)
{
  for (guint i = 0; i < checks->len; i++)
    {
      const TdCheck *check = &g_array_index (checks, TdCheck, i);

      if (check->place == place && check->stamp.at_ms <= by_ms)
        return TRUE;
    }
  return FALSE;
}

/* When chemical first came to the tower; a line that is split brings it to its side faucets' towers
 * too. */
static TdStamp
find_first_chemical (const TdJudge *judge, guint tower)
{
  const TdVisit *visit = judge->visit;
  TdStamp first = { 0 };

  for (guint i = 0; i < visit->n_lines; i++)
    {
      guint own = td_judge_get_own (judge, i);
      const guint sources[] = { i, own };

      if (visit->site->outlets[i].tower != tower)
        continue;
      for (gsize k = 0; k < G_N_ELEMENTS (sources); k++)
        {
          const GArray *passes = visit->lines[sources[k]].passes;
          TdStamp begin;

          if (passes->len == 0)
            continue;
          begin = td_pass_get_begin (&g_array_index (passes, TdPass, 0));
          if (first.seq == 0 || td_stamp_compare (begin, first) < 0)
            first = begin;
        }
    }
  return first;
}

void
td_judge_staff_not_told (TdJudge *judge)
{
  const TdSite *site = td_judge_get_site (judge);

  for (guint i = 0; i < site->n_towers; i++)
    {
      TdStamp first = find_first_chemical (judge, i);
      g_autofree char *clock = NULL;

      if (first.seq == 0 || was_told (judge->visit->staff, i, first.at_ms))
        continue;
      clock = td_judge_clock (judge, first);
      td_judge_find (judge, -1, 0, first.seq,
                     "%s: chemical sent in at %s, its staff not told before", site->towers[i].name,
                     clock);
    }
}

/* Acts that are done at a keg end. */
static gboolean
is_keg_end_act (const TdEntry *entry)
{
  static const TdKind kinds[] = {
    TD_KIND_KEG_UNCOUPLED, TD_KIND_ADAPTER_FITTED, TD_KIND_CHECK_BALL_OUT,  TD_KIND_FOB_OPENED,
    TD_KIND_LEVER_SET,     TD_KIND_GAS_OFF,        TD_KIND_COUPLER_BRUSHED, TD_KIND_KEG_COUPLED,
  };

  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    if (entry->envelope.kind == kinds[i])
      return TRUE;
  return FALSE;
}

static TdStamp
find_first_keg_act (const TdJudge *judge, guint cooler)
{
  const TdSite *site = td_judge_get_site (judge);
  TdStamp first = { 0 };

  for (guint seq = 1; seq <= judge->visit->last_seq; seq++)
    {
      const TdEntry *entry = td_judge_get_entry (judge, seq);
      TdStamp stamp;

      if (entry == NULL || !is_keg_end_act (entry))
        continue;
      stamp = (TdStamp){ entry->envelope.happened.utc_ms, seq };
      if (first.seq != 0 && td_stamp_compare (first, stamp) < 0)
        continue;
      for (guint i = 0; i < site->n_outlets; i++)
        if (site->outlets[i].cooler == cooler
            && td_judge_is_act_on (entry, entry->envelope.kind, site, i))
          {
            first = stamp;
            break;
          }
    }
  return first;
}

void
td_judge_cold_room_not_checked (TdJudge *judge)
{
  const TdSite *site = td_judge_get_site (judge);

  for (guint i = 0; i < site->n_coolers; i++)
    {
      TdStamp first = find_first_keg_act (judge, i);
      g_autofree char *clock = NULL;

      if (first.seq == 0 || was_told (judge->visit->rooms, i, first.at_ms))
        continue;
      clock = td_judge_clock (judge, first);
      td_judge_find (judge, -1, 0, first.seq,
                     "%s: work on kegs from %s, its air and access not checked before",
                     site->coolers[i].name, clock);
    }
}

void
td_judge_cold_room_co2 (TdJudge *judge)
{
  const TdSite *site = td_judge_get_site (judge);
  gint64 limit_ppm = td_judge_get_setting (judge, TD_SETTING_COLD_ROOM_CO2);

  for (guint i = 0; i < judge->visit->rooms->len; i++)
    {
      const TdCheck *room = &g_array_index (judge->visit->rooms, TdCheck, i);
      g_autofree char *clock = td_judge_clock (judge, room->stamp);

      if (room->co2_ppm > limit_ppm)
        td_judge_find (judge, -1, 0, room->stamp.seq,
                       "%s: %" G_GINT64_FORMAT
                       " ppm of carbon dioxide at %s, at most %" G_GINT64_FORMAT " ppm",
                       site->coolers[room->place].name, room->co2_ppm, clock, limit_ppm);
      else if (strcmp (room->co2, "high") == 0)
        td_judge_find (judge, -1, 0, room->stamp.seq, "%s: carbon dioxide high at %s",
                       site->coolers[room->place].name, clock);
    }
}

void
td_judge_sds_not_at_hand (TdJudge *judge)
{
  if (g_strcmp0 (judge->visit->sds_at_hand, "no") == 0)
    td_judge_find (judge, -1, 0, judge->visit->arrival.seq,
                   "safety data sheets and emergency numbers were not at hand");
}

static gboolean
is_protected (const TdVisit *visit, const char *person, gint64 by_ms)
{
  for (guint i = 0; i < visit->protection->len; i++)
    {
      const TdProtection *protection = &g_array_index (visit->protection, TdProtection, i);

      if (protection->eyes && protection->gloves && protection->stamp.at_ms <= by_ms
          && strcmp (protection->person, person) == 0)
        return TRUE;
    }
  return FALSE;
}

static gboolean
is_handling (const TdEntry *entry)
{
  return entry->envelope.kind == TD_KIND_SOLUTION_MIXED
         || entry->envelope.kind == TD_KIND_STRENGTH_MEASURED
         || entry->envelope.kind == TD_KIND_CHEMICAL_IN;
}

/* Each person once, at the first time. */
void
td_judge_protection_late (TdJudge *judge)
{
  const TdVisit *visit = judge->visit;

  for (guint i = 0; i < visit->persons->len; i++)
    {
      const char *person = g_ptr_array_index (visit->persons, i);
      TdStamp first = { 0 };
      g_autofree char *clock = NULL;

      for (guint seq = 1; seq <= visit->last_seq; seq++)
        {
          const TdEntry *entry = td_judge_get_entry (judge, seq);

          if (entry != NULL && is_handling (entry) && strcmp (entry->envelope.person, person) == 0
              && (first.seq == 0 || entry->envelope.happened.utc_ms < first.at_ms))
            first = (TdStamp){ entry->envelope.happened.utc_ms, seq };
        }
      if (first.seq == 0 || is_protected (visit, person, first.at_ms))
        continue;
      clock = td_judge_clock (judge, first);
      td_judge_find (judge, -1, 0, first.seq,
                     "%s handled chemical at %s, eye protection and gloves not put on before",
                     td_visit_get_person_name (visit, person), clock);
    }
}

void
td_judge_caustic_met_acid (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const GArray *passes = judge->visit->lines[i].passes;

      for (guint k = 1; k < passes->len; k++)
        {
          const TdPass *before = &g_array_index (passes, TdPass, k - 1);
          const TdPass *pass = &g_array_index (passes, TdPass, k);
          TdStamp begin = td_pass_get_begin (pass);
          g_autofree char *clock = td_judge_clock (judge, begin);

          if (before->clean != pass->clean && !before->rinse_passed)
            td_judge_find (judge, (int)i, 0, begin.seq,
                           "%s sent in at %s, the rinse after the %s not passed",
                           td_clean_to_text (pass->clean), clock, td_clean_to_text (before->clean));
        }
    }
}

static TdProductKind
get_product_kind (const TdVisit *visit, const TdPass *pass)
{
  const TdProduct *product = NULL;

  if (pass->batch != G_MAXUINT)
    product = g_array_index (visit->batches, TdBatch, pass->batch).product;
  return product != NULL ? product->kind : TD_PRODUCT_OTHER;
}

/* Never, a rinse between or not: what stays behind in a pocket is enough. */
void
td_judge_acid_with_chlorine (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const GArray *passes = judge->visit->lines[i].passes;

      for (guint k = 1; k < passes->len; k++)
        {
          const TdPass *pass = &g_array_index (passes, TdPass, k);
          TdProductKind before = get_product_kind (judge->visit, pass - 1);
          TdProductKind after = get_product_kind (judge->visit, pass);

          if ((before == TD_PRODUCT_ACID && after == TD_PRODUCT_CAUSTIC_CHLORINATED)
              || (before == TD_PRODUCT_CAUSTIC_CHLORINATED && after == TD_PRODUCT_ACID))
            td_judge_find (judge, (int)i, 0, td_pass_get_begin (pass).seq,
                           "an acid and a chlorinated cleaner followed each other");
        }
    }
}

void
td_judge_lot_recalled (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);

      if (batch->lot != NULL && batch->lot->recalled)
        td_judge_find (judge, -1, 0, batch->mixed.seq, "mix %s: lot %s was recalled", batch->id,
                       batch->lot->code);
    }
}

void
td_judge_safety_fault_in_service (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->faults->len; i++)
    {
      const TdFault *fault = &g_array_index (judge->visit->faults, TdFault, i);

      if (fault->outlet >= 0 && strcmp (fault->severity, "safety") == 0
          && !td_visit_is_out_of_service (judge->visit, (guint)fault->outlet))
        td_judge_find (judge, fault->outlet, 0, fault->stamp.seq,
                       "a fault of severity safety and left in service");
    }
}
