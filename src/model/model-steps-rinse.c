#include "model-steps-private.h"

#include "model-i18n.h"
#include "model-proposal.h"

#include <math.h>

/* Rinse: until the outlet reads as the tap does; pH alone opens the gate. */

/* Those of @lines whose contact has ended and whose rinse has passed, or has not. */
static GArray *
pick_open (const TdVisit *visit, const GArray *lines, gboolean passed)
{
  GArray *some = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < lines->len; i++)
    {
      guint outlet = g_array_index (lines, guint, i);
      const TdPass *pass = td_line_get_work (visit, outlet);

      if (pass != NULL && pass->contact_end.seq != 0 && pass->rinse_passed == passed)
        g_array_append_val (some, outlet);
    }
  return some;
}

static void
put_lines (TdAct *act, const TdVisit *visit, const GArray *lines)
{
  TdActPart *part = g_ptr_array_index (act->parts, 0);

  g_array_append_vals (part->outlets, lines->data, lines->len);
  td_act_say_lines (act, visit);
}

typedef struct
{
  gboolean started;
  gboolean circulated;
  gboolean clean; /* debris looked for, none seen */
  TdStamp since;  /* the last start of a rinse */
} Progress;

static Progress
look (const TdVisit *visit, const GArray *lines)
{
  Progress progress = { .started = TRUE, .circulated = TRUE, .clean = TRUE };

  for (guint i = 0; i < lines->len; i++)
    {
      const TdPass *pass = td_line_get_work (visit, g_array_index (lines, guint, i));

      progress.started &= pass->rinse_start.seq != 0;
      progress.circulated &= pass->rinse_circulated.seq != 0;
      progress.clean &= g_strcmp0 (pass->debris, "none") == 0;
      if (td_stamp_compare (pass->rinse_start, progress.since) > 0)
        progress.since = pass->rinse_start;
    }
  return progress;
}

static TdJson *
propose_water (const TdVisit *visit, const GArray *lines)
{
  double volume_ml = td_outlets_get_volume_ml (visit, lines, TRUE);
  gint64 percent = td_settings_get (visit->settings, TD_SETTING_RINSE_VOLUMES);

  if (isnan (volume_ml))
    return td_fields_new ("known", "estimated", NULL);
  return td_fields_with_integer (td_fields_new ("known", "accepted", NULL), "water_ml",
                                 (gint64) (volume_ml * (double) percent / 100.0 + 0.5));
}

static gboolean
is_flooded (const TdVisit *visit, guint outlet)
{
  const TdPass *pass = td_line_get_work (visit, outlet);

  return pass != NULL && pass->contact_end.seq != 0 && visit->lines[outlet].fob_flooded.seq != 0
         && !td_visit_is_out_of_service (visit, outlet);
}

static gboolean
fob_wet (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].fob_flooded, visit->lines[outlet].fob_rinsed);
}

static const TdLineAct fobs
  = { TD_KIND_FOB_RINSED, N_ ("Rinse the FOBs: a forgotten one hides caustic"), N_ ("Rinsed"), is_flooded, fob_wet, NULL, NULL, TRUE };

/* The static line on the circuit's manifold that was flushed last; @waits_out: some of them is still to be
 * flushed.  Flushing goes through the circuit's joint, so that its own pH counts only after it [common
 * practice, no source]. */
static TdStamp
find_flush (const TdVisit *visit, int circuit, gboolean *waits_out)
{
  TdStamp last = { 0 };

  *waits_out = FALSE;
  for (guint i = 0; circuit != 0 && i < visit->statics->len; i++)
    {
      const TdVisitStatic *row = &g_array_index (visit->statics, TdVisitStatic, i);
      const TdPass *pass = row->fed_by == circuit ? td_line_get_work (visit, row->outlet) : NULL;

      if (pass == NULL || td_visit_is_out_of_service (visit, row->outlet))
        continue;
      *waits_out |= !pass->rinse_passed;
      if (td_stamp_compare (pass->rinse_start, last) > 0)
        last = pass->rinse_start;
    }
  return last;
}

/* Those of @lines whose pH was read before the flush, and whose keg end still hangs on the joint then.
 * (transfer full): guint */
static GArray *
pick_read_before (const TdVisit *visit, const GArray *lines, TdStamp flush)
{
  GArray *some = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < lines->len; i++)
    {
      guint outlet = g_array_index (lines, guint, i);
      const TdPass *pass = td_line_get_work (visit, outlet);
      TdStamp parted = visit->lines[outlet].parted_keg;

      if (flush.seq != 0 && pass != NULL && td_stamp_compare (pass->rinse_ph.stamp, flush) < 0
          && (parted.seq == 0 || td_stamp_compare (parted, flush) > 0))
        g_array_append_val (some, outlet);
    }
  return some;
}

static TdJson *
make_outlet_reading (const TdVisit *visit)
{
  const TdInstrument *meter = td_propose_instrument (visit, TD_INSTRUMENT_PH_METER);

  return td_fields_new ("of", "outlet", "known", "measured", "instrument", meter != NULL ? meter->id : NULL, NULL);
}

/* All lines of the circuit have passed: done, or to be read once more. */
static void
add_passed (TdStepMaker *maker, int circuit, const GArray *passed)
{
  gboolean waits = FALSE;
  TdStamp flush = find_flush (maker->visit, circuit, &waits);
  g_autoptr (GArray) before = pick_read_before (maker->visit, passed, flush);
  TdAct *act;

  if (before->len > 0 && !waits)
    {
      act = td_maker_add (maker, "ph", TD_KIND_PH_READ, _ ("Read the pH again: static lines were flushed through its joint"), NULL,
                          TRUE, 0, make_outlet_reading (maker->visit));
      put_lines (act, maker->visit, before);
      return;
    }
  act = td_maker_add (maker, "ph", TD_KIND_PH_READ, _ ("pH at the outlet reads as the tap"), NULL, TRUE, 0, NULL);
  act->done = TRUE;
  put_lines (act, maker->visit, passed);
}

/* @circuit: where all of its lines are rinsed, else 0; @circuit_number: the one that they run in, or 0. */
static void
add_readings (TdStepMaker *maker, const GArray *lines, int circuit, int circuit_number, const Progress *progress)
{
  const TdVisit *visit = maker->visit;
  gboolean waits = FALSE;
  TdAct *act;

  find_flush (visit, circuit_number, &waits);
  act = td_maker_begin_act (maker, "debris",
                            circuit_number != 0 ? _ ("Circulate the rinse water and look for debris")
                                                : _ ("Look for debris in the rinse water"),
                            _ ("None seen"), TRUE);
  if (circuit_number != 0 && !progress->circulated)
    td_act_add_part (act, TD_KIND_RINSE_CIRCULATED, circuit_number, NULL);
  td_act_add_lines (act, TD_KIND_DEBRIS_SEEN, 0, lines, td_fields_new ("debris", "none", NULL));
  td_act_say_lines (act, visit);
  act->done = progress->clean && (circuit_number == 0 || progress->circulated);
  td_maker_take_act (maker, act);
  if (!progress->clean)
    {
      act = td_maker_add (maker, "some", TD_KIND_DEBRIS_SEEN, _ ("Debris comes: rinse on"), _ ("Some seen"), FALSE, 0,
                          td_fields_new ("debris", "some", NULL));
      put_lines (act, visit, lines);
    }
  act = td_maker_add (maker, "water", TD_KIND_RINSE_WATER, _ ("Rinse water used"), _ ("As proposed"), FALSE, circuit,
                      propose_water (visit, lines));
  put_lines (act, visit, lines);
  act->done = progress->started
              && td_visit_has_entry (visit, TD_KIND_RINSE_WATER, circuit,
                                     circuit != 0 ? -1 : (int) g_array_index (lines, guint, 0), progress->since);
  act = td_maker_add (maker, "ph", TD_KIND_PH_READ,
                      waits ? _ ("Read the pH at the outlet, once the static lines on its joint are flushed")
                            : _ ("Read the pH at the outlet"),
                      NULL, !waits, 0, make_outlet_reading (visit));
  put_lines (act, visit, lines);
}

static void
add_circuit (TdStepMaker *maker, const TdVisitCircuit *circuit)
{
  const TdVisit *visit = maker->visit;
  g_autoptr (GArray) lines = td_circuit_get_lines (visit, circuit);
  g_autoptr (GArray) open = pick_open (visit, lines, FALSE);
  g_autoptr (GArray) passed = pick_open (visit, lines, TRUE);
  g_autofree char *id = g_strdup_printf ("circuit-%d", circuit->number);
  g_autofree char *title = g_strdup_printf (_ ("Circuit %d"), circuit->number);
  Progress progress = look (visit, open);
  TdAct *act;

  if (open->len == 0 && passed->len == 0)
    return;
  td_maker_begin (maker, id, title, TD_STAND_DO_CONFIRM);
  if (open->len > 0)
    {
      act = td_maker_add (maker, "start", TD_KIND_RINSE_STARTED, _ ("Start the rinse with cold water"), _ ("Started"), TRUE,
                          open->len == lines->len ? circuit->number : 0, NULL);
      put_lines (act, visit, open);
      act->done = progress.started;
      add_readings (maker, open, open->len == lines->len ? circuit->number : 0, circuit->number, &progress);
    }
  else
    add_passed (maker, circuit->number, passed);
  /* It is in the way of putting back, and asked for there. */
  act = td_maker_add (maker, "pump", TD_KIND_CLEANING_PUMP_OFF, _ ("Stop the cleaning pump"), _ ("Off"), FALSE,
                      circuit->number, NULL);
  act->done = !td_circuit_is_pumping (circuit);
  td_maker_end (maker);
}

static void
add_statics (TdStepMaker *maker, guint tower)
{
  const TdVisit *visit = maker->visit;
  g_autoptr (GArray) lines = td_tower_get_statics (visit, tower);
  g_autoptr (GArray) open = pick_open (visit, lines, FALSE);
  g_autofree char *id = g_strdup_printf ("static-%s", visit->site->towers[tower].id);
  g_autofree char *title = g_strdup_printf (_ ("%s, static lines"), visit->site->towers[tower].name);
  Progress progress = look (visit, open);
  TdAct *act;

  td_maker_begin (maker, id, title, TD_STAND_DO_CONFIRM);
  if (open->len == 0)
    {
      /* Rinsed, and perhaps left with the tag in the hand. */
      td_maker_add_again (maker, lines, FALSE);
      td_maker_end (maker);
      return;
    }
  act = td_maker_begin_act (maker, "start", _ ("Lift the tag, rinse with cold water"), _ ("Rinsing"), TRUE);
  if (!progress.started)
    td_act_add_tags (act, visit, open, FALSE);
  td_act_add_lines (act, TD_KIND_RINSE_STARTED, 0, open, NULL);
  td_act_say_lines (act, visit);
  act->done = progress.started;
  td_maker_take_act (maker, act);
  add_readings (maker, open, 0, 0, &progress);
  td_maker_add_again (maker, lines, TRUE);
  td_maker_end (maker);
}

static gboolean
is_used_up (const TdVisit *visit, guint index)
{
  const TdBatch *batch = &g_array_index (visit->batches, TdBatch, index);

  for (guint i = 0; i < visit->disposals->len; i++)
    if (g_array_index (visit->disposals, TdDisposal, i).batch == (int) index)
      return TRUE;
  return batch->disposed_ml > 0;
}

/* It was in lines, its contact is over everywhere, and no line waits for it. */
static gboolean
is_left_over (const TdVisit *visit, guint index)
{
  gboolean used = FALSE;

  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&visit->lines[i]);
      TdClean clean = TD_CLEAN_CAUSTIC;

      if (pass != NULL && pass->batch == index && pass->contact_end.seq == 0)
        return FALSE;
      if (td_line_awaits_chemical (visit, i) && td_line_get_clean (visit, i, &clean)
          && td_propose_batch (visit, clean) == &g_array_index (visit->batches, TdBatch, index))
        return FALSE;
      used |= pass != NULL && pass->batch == index;
    }
  return used;
}

/* A circuit whose keg ends are there is still in contact: its FOBs come soon, and one walk does for all. */
static gboolean
awaits_circuit (const TdVisit *visit, guint cooler)
{
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&visit->lines[i]);

      if (visit->site->outlets[i].cooler == cooler && pass != NULL && pass->circuit != 0 && pass->contact_end.seq == 0
          && !td_visit_is_out_of_service (visit, i))
        return TRUE;
    }
  return FALSE;
}

static void
add_fobs (TdStepMaker *maker, guint cooler)
{
  const TdPlace *place = &maker->visit->site->coolers[cooler];

  td_maker_begin (maker, place->id, place->name, TD_STAND_DO_CONFIRM);
  td_maker_add_lines (maker, &fobs, -1, (int) cooler);
  if (maker->stand->acts->len > 0 && awaits_circuit (maker->visit, cooler))
    ((TdAct *) g_ptr_array_index (maker->stand->acts, 0))->wanted = FALSE;
  td_maker_end (maker);
}

static void
add_disposals (TdStepMaker *maker)
{
  const TdVisit *visit = maker->visit;

  for (guint i = 0; i < visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (visit->batches, TdBatch, i);
      g_autofree char *name = g_strdup_printf ("dispose-%s", batch->id);
      const char *drain = td_habits_find_word (maker->view->habits, TD_KIND_SOLUTION_DISPOSED, "drain");
      TdAct *act;

      if (!is_left_over (visit, i))
        continue;
      act = td_maker_add (maker, name, TD_KIND_SOLUTION_DISPOSED, _ ("Dispose of the left-over solution"), NULL, TRUE, 0,
                          batch->water_ml > 0
                            ? td_fields_with_integer (td_fields_new ("batch", batch->id, "known", "estimated", "drain", drain, NULL),
                                                      "volume_ml", batch->water_ml + MAX (batch->concentrate_ml, 0))
                            : td_fields_new ("batch", batch->id, "known", "estimated", "drain", drain, NULL));
      act->detail = g_strdup (batch->product != NULL ? batch->product->name : batch->id);
      act->done = is_used_up (visit, i);
    }
}

void
td_make_rinse (TdStepMaker *maker)
{
  const TdVisit *visit = maker->visit;
  const TdInstrument *meter = td_propose_instrument (visit, TD_INSTRUMENT_PH_METER);
  gboolean run = FALSE;
  TdAct *act;

  for (guint i = 0; i < visit->n_lines; i++)
    run |= visit->lines[i].passes->len > 0;
  if (!run)
    return;
  td_maker_begin (maker, "tap", _ ("At the tap"), TD_STAND_DO_CONFIRM);
  act = td_maker_add (maker, "ph", TD_KIND_PH_READ, _ ("Read the pH of the tap water"), NULL, TRUE, 0,
                      td_fields_new ("of", "tap", "known", "measured", "instrument", meter != NULL ? meter->id : NULL, NULL));
  act->done = visit->tap_ph->len > 0;
  td_maker_end (maker);
  /* What a FOB holds comes out through the line: its pH is read afterwards. */
  for (guint i = 0; i < visit->site->n_coolers; i++)
    add_fobs (maker, i);
  for (guint i = 0; i < visit->site->n_towers; i++)
    add_statics (maker, i);
  for (guint i = 0; i < visit->circuits->len; i++)
    add_circuit (maker, &g_array_index (visit->circuits, TdVisitCircuit, i));
  td_maker_begin (maker, "bucket", _ ("At the bucket"), TD_STAND_DO_CONFIRM);
  maker->stand->note = g_strdup (_ ("Mind the drain's limits. What is too alkaline or too acid is neutralised or carried away."));
  add_disposals (maker);
  td_maker_end (maker);
}
