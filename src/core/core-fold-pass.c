/* The passes of a chemical through a line, worked out in the order of time.
 *
 * A pass begins with the first chemical after the last pass's contact ended, or with a chemical of
 * the other clean.  Contact ends where it was said to, at the latest when rinsing starts.  A pH
 * reading counts for the rinse only after the contact ended: one taken earlier is of beer, water or
 * solution. */
#include <string.h>

#include "core-fold.h"

void
td_fold_note (TdFold *fold, const TdLineEvent *event)
{
  gboolean chemical = event->type == TD_EVENT_CHEMICAL_IN || event->type == TD_EVENT_CHEMICAL_SEEN;

  for (guint i = 0; i < fold->targets->len; i++)
    {
      guint outlet = g_array_index (fold->targets, guint, i);
      const TdVisitLine *line = &fold->visit->lines[outlet];
      TdLineEvent noted = *event;

      noted.circuit = fold->circuit != 0 ? fold->circuit : line->circuit;
      noted.method = noted.circuit != 0 ? TD_METHOD_CIRCULATING : TD_METHOD_STATIC;
      if (fold->events[outlet] == NULL)
        fold->events[outlet] = g_array_new (FALSE, FALSE, sizeof (TdLineEvent));
      g_array_append_val (fold->events[outlet], noted);
      if (chemical)
        fold->first_chemical[outlet] = MIN (fold->first_chemical[outlet], event->stamp.at_ms);
    }
}

static int
compare_events (gconstpointer a, gconstpointer b)
{
  return td_stamp_compare (((const TdLineEvent *)a)->stamp, ((const TdLineEvent *)b)->stamp);
}

static int
compare_returns (gconstpointer a, gconstpointer b)
{
  return td_stamp_compare (((const TdReturnEvent *)a)->stamp, ((const TdReturnEvent *)b)->stamp);
}

static TdPass *
get_last_pass (TdVisitLine *line)
{
  return line->passes->len == 0 ? NULL
                                : &g_array_index (line->passes, TdPass, line->passes->len - 1);
}

static TdClean
tell_clean (const TdVisit *visit, const TdVisitLine *line, guint batch)
{
  const TdProduct *product = NULL;

  if (batch != G_MAXUINT)
    product = g_array_index (visit->batches, TdBatch, batch).product;
  if (product != NULL && product->kind == TD_PRODUCT_ACID)
    return TD_CLEAN_ACID;
  if (product != NULL && product->kind != TD_PRODUCT_OTHER)
    return TD_CLEAN_CAUSTIC;
  /* A neutral or unknown chemical is taken for what the line was to have. */
  return line->in_scope[TD_CLEAN_ACID] && !line->in_scope[TD_CLEAN_CAUSTIC] ? TD_CLEAN_ACID
                                                                            : TD_CLEAN_CAUSTIC;
}

static void
take_chemical (const TdVisit *visit, TdVisitLine *line, const TdLineEvent *event)
{
  TdPass *pass = get_last_pass (line);
  TdClean clean = tell_clean (visit, line, event->batch);

  if (pass != NULL && pass->contact_end.seq == 0 && pass->clean != clean)
    pass->contact_end = event->stamp;
  if (pass == NULL || pass->contact_end.seq != 0)
    {
      TdPass begun = {
        .clean = clean, .batch = event->batch, .method = event->method, .circuit = event->circuit
      };

      g_array_append_val (line->passes, begun);
      pass = get_last_pass (line);
    }
  if (event->type == TD_EVENT_CHEMICAL_IN)
    {
      if (pass->chemical_in.seq == 0)
        pass->chemical_in = event->stamp;
      return;
    }
  pass->shut = pass->shut || event->shut;
  if (event->shut)
    {
      pass->method = TD_METHOD_STATIC;
      pass->circuit = 0;
    }
  if (pass->chemical_seen.seq != 0)
    return;
  pass->chemical_seen = event->stamp;
  if (event->batch != G_MAXUINT)
    pass->batch = event->batch;
}

/* What was noted of a line that had no chemical yet says nothing of a pass. */
static void
take_event (const TdVisit *visit, TdVisitLine *line, const TdLineEvent *event)
{
  TdPass *pass = get_last_pass (line);

  if (event->type == TD_EVENT_CHEMICAL_IN || event->type == TD_EVENT_CHEMICAL_SEEN)
    {
      take_chemical (visit, line, event);
      return;
    }
  if (event->type == TD_EVENT_FLOW)
    {
      if (pass != NULL && pass->contact_end.seq != 0)
        return;
      line->run_seen = event->stamp;
      line->run_direction = event->direction;
      return;
    }
  if (pass == NULL)
    return;
  switch (event->type)
    {
    case TD_EVENT_CONTACT_ENDED:
      if (pass->contact_end.seq == 0)
        pass->contact_end = event->stamp;
      else if (pass->rinse_start.seq != 0 && pass->contact_end.seq == pass->rinse_start.seq)
        pass->disorder = TRUE;
      break;
    case TD_EVENT_RINSE_STARTED:
      if (pass->rinse_start.seq == 0)
        pass->rinse_start = event->stamp;
      if (pass->contact_end.seq == 0)
        pass->contact_end = event->stamp;
      break;
    case TD_EVENT_RINSE_CIRCULATED:
      pass->rinse_circulated = event->stamp;
      break;
    case TD_EVENT_PH:
      if (pass->contact_end.seq != 0)
        pass->rinse_ph = event->reading;
      break;
    case TD_EVENT_DEBRIS:
      if (pass->contact_end.seq != 0)
        pass->debris = event->debris;
      break;
    default:
      g_assert_not_reached ();
    }
}

/* The circuit's first return after @after; of another pass it says nothing, for rinsing turned it
 * away. */
static TdStamp
find_return (const GArray *returns, int circuit, TdStamp after)
{
  for (guint i = 0; i < returns->len; i++)
    {
      const TdReturnEvent *event = &g_array_index (returns, TdReturnEvent, i);

      if (event->circuit == circuit
          && (after.seq == 0 || td_stamp_compare (event->stamp, after) > 0))
        return event->stamp;
    }
  return (TdStamp){ 0 };
}

/* Seen before it was sent in, or seen only after the contact that it began had ended. */
static gboolean
is_disordered (const TdPass *pass, const TdPass *previous)
{
  if (pass->chemical_seen.seq == 0)
    return FALSE;
  if (pass->chemical_in.seq != 0)
    return pass->chemical_in.at_ms > pass->chemical_seen.at_ms;
  return previous != NULL && previous->clean == pass->clean && previous->chemical_seen.seq == 0;
}

static void
start_clock (const TdFold *fold, TdPass *pass, const TdPass *previous)
{
  TdStamp after = { 0 };

  if (previous != NULL)
    after = previous->contact_end;
  if (pass->method == TD_METHOD_CIRCULATING)
    pass->return_seen = find_return (fold->returns, pass->circuit, after);
  if (pass->chemical_seen.seq == 0)
    return;
  if (pass->method == TD_METHOD_STATIC)
    pass->clock_start = pass->chemical_seen;
  else if (pass->return_seen.seq != 0)
    pass->clock_start = td_stamp_compare (pass->chemical_seen, pass->return_seen) > 0
                            ? pass->chemical_seen
                            : pass->return_seen;
}

/* The measured tap reading nearest in time, before or after; of two as near the earlier written.
 * Readings that were not measured only stand in where there is no other. */
static void
choose_tap (const TdVisit *visit, TdPass *pass)
{
  gint64 best_ms = 0;

  for (guint i = 0; i < visit->tap_ph->len; i++)
    {
      const TdReading *tap = &g_array_index (visit->tap_ph, TdReading, i);
      gint64 apart_ms = ABS (tap->stamp.at_ms - pass->rinse_ph.stamp.at_ms);
      gboolean measured = tap->known == TD_KNOWN_MEASURED;
      gboolean had = pass->tap_ph.stamp.seq != 0;
      gboolean had_measured = had && pass->tap_ph.known == TD_KNOWN_MEASURED;

      if (!had || (measured && !had_measured) || (measured == had_measured && apart_ms < best_ms))
        {
          pass->tap_ph = *tap;
          best_ms = apart_ms;
        }
    }
}

static gboolean
is_strip (const TdReading *reading)
{
  return reading->instrument != NULL && reading->instrument->kind == TD_INSTRUMENT_PH_STRIP;
}

/* An instrument that is not named has the narrow band: to leave it out never opens the gate. */
static void
judge_rinse (const TdVisit *visit, TdPass *pass)
{
  gboolean strip;

  if (pass->rinse_ph.stamp.seq == 0)
    return;
  choose_tap (visit, pass);
  strip = is_strip (&pass->rinse_ph) || is_strip (&pass->tap_ph);
  pass->rinse_band = td_settings_get (visit->settings, strip ? TD_SETTING_RINSE_BAND_STRIP
                                                             : TD_SETTING_RINSE_BAND_METER);
  pass->rinse_passed = pass->tap_ph.stamp.seq != 0 && pass->rinse_ph.known == TD_KNOWN_MEASURED
                       && pass->tap_ph.known == TD_KNOWN_MEASURED
                       && ABS (pass->rinse_ph.value - pass->tap_ph.value) <= pass->rinse_band
                       && (pass->debris == NULL || strcmp (pass->debris, "none") == 0);
}

static void
finish_line (const TdFold *fold, TdVisitLine *line, GArray *events)
{
  const TdVisit *visit = fold->visit;

  g_array_sort (events, compare_events);
  for (guint i = 0; i < events->len; i++)
    take_event (visit, line, &g_array_index (events, TdLineEvent, i));
  for (guint i = 0; i < line->passes->len; i++)
    {
      TdPass *pass = &g_array_index (line->passes, TdPass, i);
      gboolean flows = pass->method == TD_METHOD_CIRCULATING;

      pass->disorder = pass->disorder || is_disordered (pass, i > 0 ? pass - 1 : NULL);
      start_clock (fold, pass, i > 0 ? pass - 1 : NULL);
      pass->required_ms = 1000
                          * td_settings_get (visit->settings, flows ? TD_SETTING_CONTACT_CIRCULATING
                                                                    : TD_SETTING_CONTACT_STATIC);
      if (pass->contact_end.seq != 0)
        pass->contact_ms = td_pass_get_contact_ms (visit, pass, pass->contact_end.at_ms);
      judge_rinse (visit, pass);
    }
}

void
td_fold_finish_passes (TdFold *fold)
{
  g_array_sort (fold->returns, compare_returns);
  for (guint i = 0; i < fold->visit->n_lines; i++)
    if (fold->events[i] != NULL)
      finish_line (fold, &fold->visit->lines[i], fold->events[i]);
}
