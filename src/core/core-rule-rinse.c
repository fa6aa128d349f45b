/* Whether the chemical is out again: pH against tap water, debris, what went to the drain. */
#include <string.h>

#include "core-judge.h"

/* A pH at which an outlet still gives a corrosive liquid whatever the tap water is: extreme pH of
 * Regulation (EC) 1272/2008, annex I, 3.2.3.1.2, from memory; 0.001 pH. */
#define EXTREME_LOW 2000
#define EXTREME_HIGH 11500

void
td_judge_holding_chemical (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);
      const TdReading *ph;
      g_autofree char *figure = NULL;

      if (pass == NULL)
        continue;
      ph = &pass->rinse_ph;
      if (ph->stamp.seq == 0)
        td_judge_find (judge, (int)i, 0, td_pass_get_begin (pass).seq,
                       "%s was sent in and no pH at the outlet has been read after its contact",
                       td_clean_to_text (pass->clean));
      else if (ph->known != TD_KNOWN_MEASURED)
        td_judge_find (judge, (int)i, 0, ph->stamp.seq,
                       "%s was sent in and the pH at the outlet is only %s: measure it",
                       td_clean_to_text (pass->clean), td_known_to_text (ph->known));
      else if (ph->value <= EXTREME_LOW || ph->value >= EXTREME_HIGH)
        {
          figure = td_judge_decimal (ph->value, 2);
          td_judge_find (judge, (int)i, 0, ph->stamp.seq,
                         "the outlet's pH %s shows that %s is still in the line", figure,
                         td_clean_to_text (pass->clean));
        }
    }
}

/* Of each line its last pass: an earlier one was rinsed out by what came after. */
void
td_judge_rinse_ph_off (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);
      g_autofree char *outlet = NULL;
      g_autofree char *tap = NULL;
      g_autofree char *band = NULL;

      if (pass == NULL || pass->rinse_ph.stamp.seq == 0 || pass->tap_ph.stamp.seq == 0
          || ABS (pass->rinse_ph.value - pass->tap_ph.value) <= pass->rinse_band)
        continue;
      outlet = td_judge_decimal (pass->rinse_ph.value, 2);
      tap = td_judge_decimal (pass->tap_ph.value, 2);
      band = td_judge_decimal (pass->rinse_band, 2);
      td_judge_find (judge, (int)i, 0, pass->rinse_ph.stamp.seq,
                     "outlet pH %s, tap water pH %s, at most %s apart by the coarser instrument",
                     outlet, tap, band);
    }
}

/* Of the tap water; an outlet's pH that was not measured keeps the line shut (holding-chemical). */
void
td_judge_rinse_ph_not_measured (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);

      if (pass == NULL || pass->rinse_ph.stamp.seq == 0)
        continue;
      if (pass->rinse_ph.known != TD_KNOWN_MEASURED)
        td_judge_find (judge, (int)i, 0, pass->rinse_ph.stamp.seq,
                       "the outlet's pH is %s, not measured",
                       td_known_to_text (pass->rinse_ph.known));
      else if (pass->tap_ph.stamp.seq != 0 && pass->tap_ph.known != TD_KNOWN_MEASURED)
        td_judge_find (judge, (int)i, 0, pass->tap_ph.stamp.seq,
                       "the tap water's pH is %s, not measured",
                       td_known_to_text (pass->tap_ph.known));
    }
}

void
td_judge_tap_ph_missing (TdJudge *judge)
{
  if (judge->visit->tap_ph->len > 0)
    return;
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);

      if (pass == NULL || pass->contact_end.seq == 0)
        continue;
      td_judge_find (
          judge, -1, 0, 0,
          "the tap water's pH was not read in this visit: no rinse can be held against it");
      return;
    }
}

void
td_judge_debris_left (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);

      if (pass != NULL && pass->debris != NULL && strcmp (pass->debris, "none") != 0)
        td_judge_find (judge, (int)i, 0, 0, "the rinse water still carried debris: %s",
                       pass->debris);
    }
}

/* TRUE where the keg ends of both hang on one manifold when the static line is flushed. Where
 * nobody wrote down the joining, the plan that lets the circuit feed the line says that they do. */
static gboolean
is_joined (const TdVisit *visit, guint leg, guint held, gint64 at_ms)
{
  const TdVisitLine *line = &visit->lines[leg];

  if (visit->site->outlets[leg].cooler != visit->site->outlets[held].cooler)
    return FALSE;
  return line->parted_keg.seq == 0 || line->parted_keg.at_ms > at_ms;
}

static void
find_not_again (TdJudge *judge, const TdVisitStatic *held, const TdPass *flushed)
{
  const TdVisit *visit = judge->visit;
  const TdVisitCircuit *circuit = td_visit_find_circuit (visit, held->fed_by);
  g_autofree char *title = td_outlet_get_title (visit->site, held->outlet);

  for (guint i = 0; circuit != NULL && i < circuit->legs->len; i++)
    {
      guint leg = g_array_index (circuit->legs, TdLeg, i).outlet;
      const TdPass *pass = td_visit_line_get_pass (&visit->lines[leg]);
      g_autofree char *clock = NULL;

      if (pass == NULL || pass->rinse_ph.stamp.seq == 0
          || pass->rinse_ph.stamp.at_ms >= flushed->rinse_start.at_ms
          || !is_joined (visit, leg, held->outlet, flushed->rinse_start.at_ms))
        continue;
      clock = td_judge_clock (judge, flushed->rinse_start);
      td_judge_find (judge, (int)leg, circuit->number, pass->rinse_ph.stamp.seq,
                     "its pH was not read again after %s was flushed through the same joint at %s",
                     title, clock);
    }
}

void
td_judge_circuit_ph_not_again (TdJudge *judge)
{
  const GArray *statics = judge->visit->statics;

  for (guint i = 0; i < statics->len; i++)
    {
      const TdVisitStatic *held = &g_array_index (statics, TdVisitStatic, i);
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[held->outlet]);

      if (held->fed_by != 0 && pass != NULL && pass->method == TD_METHOD_STATIC
          && pass->rinse_start.seq != 0)
        find_not_again (judge, held, pass);
    }
}

void
td_judge_rinse_not_circulated (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->circuits->len; i++)
    {
      const TdVisitCircuit *circuit = &g_array_index (judge->visit->circuits, TdVisitCircuit, i);

      for (guint k = 0; k < circuit->legs->len; k++)
        {
          guint leg = g_array_index (circuit->legs, TdLeg, k).outlet;
          const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[leg]);

          if (pass == NULL || pass->circuit != circuit->number || pass->rinse_start.seq == 0
              || pass->rinse_circulated.seq != 0)
            continue;
          td_judge_find (judge, -1, circuit->number, pass->rinse_start.seq,
                         "its rinse water was not circulated");
          break;
        }
    }
}

void
td_judge_solution_not_disposed (TdJudge *judge)
{
  const GArray *disposals = judge->visit->disposals;

  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);
      gboolean told = FALSE;

      /* A disposal that names no mix may be of this one. */
      for (guint k = 0; k < disposals->len && !told; k++)
        {
          int named = g_array_index (disposals, TdDisposal, k).batch;

          told = named < 0 || named == (int)i;
        }
      if (!told)
        td_judge_find (judge, -1, 0, batch->mixed.seq,
                       "mix %s: no word on what became of what was left over", batch->id);
    }
}

void
td_judge_drain_ph (TdJudge *judge)
{
  gint64 least = td_judge_get_setting (judge, TD_SETTING_DRAIN_PH_MIN);
  gint64 most = td_judge_get_setting (judge, TD_SETTING_DRAIN_PH_MAX);

  for (guint i = 0; i < judge->visit->disposals->len; i++)
    {
      const TdDisposal *disposal = &g_array_index (judge->visit->disposals, TdDisposal, i);
      g_autofree char *had = NULL;
      g_autofree char *from = NULL;
      g_autofree char *to = NULL;

      if (strcmp (disposal->drain, "sewer") != 0 || disposal->ph_milli < 0
          || (disposal->ph_milli >= least && disposal->ph_milli <= most))
        continue;
      had = td_judge_decimal (disposal->ph_milli, 2);
      from = td_judge_decimal (least, 1);
      to = td_judge_decimal (most, 1);
      td_judge_find (judge, -1, 0, disposal->stamp.seq,
                     "pH %s to the sewer, between %s and %s; local limits hold", had, from, to);
    }
}

void
td_judge_drain_ph_not_read (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->disposals->len; i++)
    {
      const TdDisposal *disposal = &g_array_index (judge->visit->disposals, TdDisposal, i);

      if (strcmp (disposal->drain, "sewer") == 0 && disposal->ph_milli < 0)
        td_judge_find (judge, -1, 0, disposal->stamp.seq,
                       "solution went to the sewer, its pH not read");
    }
}
