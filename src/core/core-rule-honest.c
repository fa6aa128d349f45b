/* Signs that a record was not written as the work was done. */
#include <string.h>

#include "core-judge.h"

/* How far what a person says may lie ahead of the machine's clock, and how far that clock may be
 * put right by itself, before it is told: minutes are entered, clocks drift. Common practice, no
 * source. */
#define TOLERANCE_MS (60 * 1000)

void
td_judge_entered_late (TdJudge *judge)
{
  gint64 limit_ms = 1000 * td_judge_get_setting (judge, TD_SETTING_LATE_ENTRY);
  gint64 worst_ms = 0;
  guint worst = 0;
  guint count = 0;
  g_autofree char *delay = NULL;

  for (guint seq = 1; seq <= judge->visit->last_seq; seq++)
    {
      const TdEntry *entry = td_visit_get_effective (judge->visit, seq);
      gint64 late_ms
          = entry != NULL ? entry->envelope.recorded_ms - entry->envelope.happened.utc_ms : 0;

      if (late_ms <= limit_ms)
        continue;
      count++;
      if (late_ms > worst_ms)
        {
          worst_ms = late_ms;
          worst = seq;
        }
    }
  if (count == 0)
    return;
  delay = td_judge_delay (worst_ms);
  td_judge_find (judge, -1, 0, worst,
                 "acts entered late: %u, the latest %s after it happened (entry %u, %s)", count,
                 delay, worst,
                 td_kind_get_text (td_visit_get_effective (judge->visit, worst)->envelope.kind));
}

void
td_judge_entered_ahead (TdJudge *judge)
{
  guint first = 0;
  guint count = 0;

  for (guint seq = 1; seq <= judge->visit->last_seq; seq++)
    {
      const TdEntry *entry = td_visit_get_effective (judge->visit, seq);

      if (entry == NULL
          || entry->envelope.happened.utc_ms - entry->envelope.recorded_ms <= TOLERANCE_MS)
        continue;
      count++;
      first = first == 0 ? seq : first;
    }
  if (count > 0)
    td_judge_find (judge, -1, 0, first,
                   "acts written down before they happened: %u, the first is entry %u", count,
                   first);
}

/* Milliseconds by which the wall clock was moved between two entries of one machine, 0 where it ran
 * on. */
static gint64
get_jump_ms (const TdEnvelope *before, const TdEnvelope *after)
{
  gint64 wall_ms = after->recorded_ms - before->recorded_ms;
  gint64 ran_ms = after->boottime_ms - before->boottime_ms;
  gint64 jump_ms;

  if (!td_uuid_equal (&before->device, &after->device))
    return 0;
  /* Times since boot compare only within one run of the machine. */
  if (strcmp (before->boot_id, after->boot_id) != 0)
    return MIN (wall_ms, 0);
  jump_ms = wall_ms - ran_ms;
  return ABS (jump_ms) > TOLERANCE_MS ? jump_ms : MIN (wall_ms, 0);
}

void
td_judge_clock_ran_backwards (TdJudge *judge)
{
  const GPtrArray *entries = judge->visit->entries;

  for (guint i = 1; i < entries->len; i++)
    {
      const TdEntry *before = g_ptr_array_index (entries, i - 1);
      const TdEntry *after = g_ptr_array_index (entries, i);
      gint64 jump_ms = get_jump_ms (&before->envelope, &after->envelope);
      g_autofree char *minutes = NULL;

      if (jump_ms == 0)
        continue;
      minutes = td_judge_minutes (ABS (jump_ms));
      td_judge_find (judge, -1, 0, i + 1, "the machine's clock went %s by %s min before entry %u",
                     jump_ms < 0 ? "back" : "forward", minutes, i + 1);
    }
}

void
td_judge_order_broken (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->corrections->len; i++)
    {
      const TdCorrection *correction = &g_array_index (judge->visit->corrections, TdCorrection, i);

      if (correction->breaks_order)
        td_judge_find (
            judge, -1, 0, correction->seq,
            "correction %u of entry %u leaves acts that cannot have happened in this order",
            correction->seq, correction->of);
    }
}

static void
find_disorder (TdJudge *judge, guint outlet, const TdPass *pass)
{
  gboolean sent = pass->chemical_in.seq != 0;
  gboolean seen = pass->chemical_seen.seq != 0;
  g_autofree char *first = NULL;
  g_autofree char *second = NULL;

  if (seen && sent && pass->chemical_in.at_ms > pass->chemical_seen.at_ms)
    {
      first = td_judge_clock (judge, pass->chemical_seen);
      second = td_judge_clock (judge, pass->chemical_in);
      td_judge_find (judge, (int)outlet, 0, pass->chemical_seen.seq,
                     "chemical seen at its end at %s, before it was sent in at %s", first, second);
    }
  else if (seen && !sent)
    {
      first = td_judge_clock (judge, pass->chemical_seen);
      td_judge_find (judge, (int)outlet, 0, pass->chemical_seen.seq,
                     "chemical seen at its end at %s, after its contact had ended", first);
    }
  else
    {
      first = td_judge_clock (judge, pass->rinse_start);
      td_judge_find (judge, (int)outlet, 0, pass->rinse_start.seq,
                     "its rinse began at %s, before its contact is said to have ended", first);
    }
}

void
td_judge_times_disordered (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const GArray *passes = judge->visit->lines[i].passes;

      for (guint k = 0; k < passes->len; k++)
        if (g_array_index (passes, TdPass, k).disorder)
          find_disorder (judge, i, &g_array_index (passes, TdPass, k));
    }
}

/* A kind of reading, and how many of one figure make a doubt. A strip shows whole steps and is left
 * out; three equal hundredths of a pH are rarer than four equal degrees. Common practice, no
 * source. */
typedef struct
{
  TdKind kind;
  const char *of; /* word of its field "of", or NULL */
  const char *key;
  guint least;
  int decimals; /* with "_milli"; -1 for a plain integer */
  const char *what;
} Alike;

static const Alike alikes[] = {
  { TD_KIND_PH_READ, "outlet", "ph_milli", 3, 2, "the rinse's pH" },
  { TD_KIND_TEMPERATURE_READ, "beer", "temperature_c_milli", 4, 1, "the beer's temperature in C" },
  { TD_KIND_POUR_RATE_READ, NULL, "pour_ml_min", 4, -1, "the pour rate in mL/min" },
};

static gboolean
is_reading (const TdJudge *judge, const TdEntry *entry, const Alike *alike)
{
  const TdJson *of;
  const TdJson *id;
  const TdInstrument *instrument = NULL;

  if (entry == NULL || entry->envelope.kind != alike->kind)
    return FALSE;
  of = td_json_get_member (entry->body, "of");
  if (alike->of != NULL && strcmp (td_json_get_string (of), alike->of) != 0)
    return FALSE;
  id = td_json_get_member (entry->body, "instrument");
  if (id != NULL)
    instrument = td_masters_find_instrument (judge->visit->masters, td_json_get_string (id));
  return instrument == NULL || instrument->kind != TD_INSTRUMENT_PH_STRIP;
}

static void
find_alike (TdJudge *judge, const Alike *alike)
{
  g_autofree char *figure = NULL;
  gint64 value = 0;
  guint count = 0;
  guint last = 0;

  for (guint seq = 1; seq <= judge->visit->last_seq; seq++)
    {
      const TdEntry *entry = td_judge_get_entry (judge, seq);
      gint64 own;

      if (!is_reading (judge, entry, alike))
        continue;
      own = td_json_get_integer (td_json_get_member (entry->body, alike->key));
      if (count > 0 && own != value)
        return;
      value = own;
      last = seq;
      count++;
    }
  if (count < alike->least)
    return;
  figure = alike->decimals >= 0 ? td_judge_decimal (value, alike->decimals)
                                : g_strdup_printf ("%" G_GINT64_FORMAT, value);
  td_judge_find (judge, -1, 0, last, "all %u readings of %s are %s", count, alike->what, figure);
}

void
td_judge_readings_alike (TdJudge *judge)
{
  for (gsize i = 0; i < G_N_ELEMENTS (alikes); i++)
    find_alike (judge, &alikes[i]);
}

/* One line alone may well be ended on the second. */
void
td_judge_contact_exact (TdJudge *judge)
{
  guint count = 0;

  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const GArray *passes = judge->visit->lines[i].passes;

      for (guint k = 0; k < passes->len; k++)
        {
          const TdPass *pass = &g_array_index (passes, TdPass, k);

          if (pass->contact_end.seq == 0)
            continue;
          if (pass->contact_ms != pass->required_ms)
            return;
          count++;
        }
    }
  if (count >= 2)
    td_judge_find (judge, -1, 0, 0, "all %u contact times are exactly the minimum", count);
}
