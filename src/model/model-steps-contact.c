#include "model-steps-private.h"

#include "core-units.h"
#include "model-i18n.h"
#include "model-proposal.h"

#include <math.h>

/* Contact: circuit by circuit, static lines tower by tower; what is done meanwhile elsewhere. */

/* How far the lines of a circuit or of a tower's static faucets have come together: the one that is
 * furthest behind counts. */
typedef struct
{
  gboolean waits;    /* chemical not sent in */
  gboolean unproved; /* direction not seen since it was sent in */
  gboolean returned; /* the circuit's return was seen */
  gboolean seen;
  gboolean ended;
  TdStamp in; /* the last chemical-in */
} Progress;

static TdStamp
later (TdStamp a, TdStamp b)
{
  return td_stamp_compare (a, b) >= 0 ? a : b;
}

static Progress
look (const TdVisit *visit, const GArray *lines)
{
  Progress progress = { .returned = TRUE, .seen = TRUE, .ended = TRUE };

  for (guint i = 0; i < lines->len; i++)
    {
      const TdVisitLine *line = &visit->lines[g_array_index (lines, guint, i)];
      const TdPass *pass = td_line_get_work (visit, line->outlet);
      TdStamp flow = later (line->flow_in_seen, line->flow_out_seen);

      if (pass == NULL)
        {
          progress.waits = progress.unproved = TRUE;
          progress.returned = progress.seen = progress.ended = FALSE;
          continue;
        }
      progress.in = later (progress.in, pass->chemical_in);
      progress.unproved |= pass->contact_end.seq == 0 && (flow.seq == 0 || td_stamp_compare (flow, pass->chemical_in) < 0);
      progress.returned &= pass->return_seen.seq != 0;
      progress.seen &= pass->chemical_seen.seq != 0;
      progress.ended &= pass->contact_end.seq != 0;
    }
  return progress;
}

static gboolean
awaits_chemical (const TdPass *pass)
{
  return pass == NULL;
}

static gboolean
awaits_sight (const TdPass *pass)
{
  return pass != NULL && pass->chemical_seen.seq == 0;
}

static gboolean
awaits_end (const TdPass *pass)
{
  return pass != NULL && pass->contact_end.seq == 0;
}

/* An act that was done to some of @lines stays open for the others alone: the first ones' times stand.
 * Where it is open for none they are all named. (transfer full): guint */
static GArray *
pick_due (const TdVisit *visit, const GArray *lines, gboolean (*is_due) (const TdPass *pass))
{
  GArray *due = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < lines->len; i++)
    {
      guint outlet = g_array_index (lines, guint, i);

      if (is_due (td_line_get_work (visit, outlet)))
        g_array_append_val (due, outlet);
    }
  if (due->len == 0)
    g_array_append_vals (due, lines->data, lines->len);
  return due;
}

static TdJson *
propose_loss (const TdVisit *visit, const GArray *lines, const char *by)
{
  double volume_ml = td_outlets_get_volume_ml (visit, lines, FALSE);

  if (isnan (volume_ml))
    return td_fields_new ("by", by, "known", "estimated", NULL);
  return td_fields_with_integer (td_fields_new ("by", by, "known", "accepted", NULL), "lost_ml",
                                 (gint64) (volume_ml + 0.5));
}

/* One tap proves both ways: an entry for the lines that run in, one for those that run out. */
static void
add_flow (TdStepMaker *maker, const GArray *lines, gboolean done)
{
  const TdVisit *visit = maker->visit;
  g_autofree char *key = g_strdup_printf ("%s/flow", maker->stand->key);
  TdAct *act = td_act_new (key, _ ("See each line run the planned way"), _ ("Seen"), TRUE);
  GString *detail = g_string_new (NULL);

  for (int way = 1; way >= 0; way--)
    {
      g_autoptr (GArray) some = g_array_new (FALSE, FALSE, sizeof (guint));
      g_autofree char *names = NULL;
      TdActPart *part;

      for (guint i = 0; i < lines->len; i++)
        {
          guint outlet = g_array_index (lines, guint, i);

          if ((visit->lines[outlet].direction == TD_DIRECTION_IN) == (way == 1))
            g_array_append_val (some, outlet);
        }
      if (some->len == 0)
        continue;
      part = td_act_add_part (act, TD_KIND_FLOW_SEEN, 0, td_fields_new ("direction", way == 1 ? "in" : "out", NULL));
      g_array_append_vals (part->outlets, some->data, some->len);
      names = td_outlets_to_title (visit->site, some);
      g_string_append_printf (detail, way == 1 ? _ ("%s%s gives nothing") : _ ("%s%s runs"),
                              detail->len > 0 ? "; " : "", names);
    }
  act->detail = g_string_free (detail, FALSE);
  act->done = done;
  if (act->parts->len > 0)
    td_maker_take (maker, act);
  else
    td_act_unref (act);
}

static const char *
find_batch_id (const TdVisit *visit, const GArray *lines)
{
  const TdBatch *batch = NULL;

  for (guint i = 0; i < lines->len && batch == NULL; i++)
    {
      guint outlet = g_array_index (lines, guint, i);
      const TdPass *pass = td_line_get_work (visit, outlet);
      TdClean clean = TD_CLEAN_CAUSTIC;

      if (pass != NULL && pass->batch < visit->batches->len)
        batch = &g_array_index (visit->batches, TdBatch, pass->batch);
      else if (td_line_get_clean (visit, outlet, &clean))
        batch = td_propose_batch (visit, clean);
    }
  return batch != NULL ? batch->id : NULL;
}

static void
add_seen (TdStepMaker *maker, const TdVisitCircuit *circuit, const GArray *lines, const char *batch,
          const Progress *progress)
{
  g_autofree char *key = g_strdup_printf ("%s/return", maker->stand->key);
  TdAct *act = td_act_new (key, _ ("See full strength run into the bucket: the clock starts"),
                           batch != NULL ? _ ("Seen") : NULL, TRUE);

  if (!progress->returned || progress->seen)
    td_act_add_part (act, TD_KIND_RETURN_IN_BUCKET, circuit->number, NULL);
  if (!progress->seen || progress->returned)
    {
      TdActPart *part
        = td_act_add_part (act, TD_KIND_CHEMICAL_SEEN, circuit->number, td_fields_new ("batch", batch, NULL));

      g_array_append_vals (part->outlets, lines->data, lines->len);
    }
  act->whole = TRUE;
  act->done = progress->returned && progress->seen;
  td_maker_take (maker, act);
}

/* The moment the chemical goes in is the moment the beer is out: one tap writes down both, and that the pump
 * runs where nobody said so before. */
static void
add_in (TdStepMaker *maker, const TdVisitCircuit *circuit, const GArray *lines, const char *batch, const Progress *progress)
{
  const TdVisit *visit = maker->visit;
  g_autoptr (GArray) due = pick_due (visit, lines, awaits_chemical);
  int number = due->len == lines->len ? circuit->number : 0;
  TdAct *act = td_maker_begin_act (maker, "in", _ ("The beer is out: send the chemical in"),
                                   batch != NULL ? _ ("Chemical in") : NULL, TRUE);

  if (batch != NULL && !td_circuit_is_pumping (circuit) && progress->waits)
    td_act_add_part (act, TD_KIND_CLEANING_PUMP_ON, circuit->number, NULL);
  if (batch != NULL && progress->waits
      && !td_visit_has_entry (visit, TD_KIND_BEER_PUSHED_OUT, circuit->number, -1, visit->arrival))
    td_act_add_lines (act, TD_KIND_BEER_PUSHED_OUT, number, due, propose_loss (visit, due, "water"));
  td_act_add_lines (act, TD_KIND_CHEMICAL_IN, number, due, td_fields_new ("batch", batch, NULL));
  td_act_say_lines (act, visit);
  act->done = !progress->waits;
  td_maker_take_act (maker, act);
}

/* The contact of a circuit ends when the rinse water comes.  That of a static line ends before: its FOB is
 * rinsed in the cold room first, and its tag hangs until one stands at the faucet. */
static void
add_end (TdStepMaker *maker, int circuit, const GArray *lines, gboolean done)
{
  g_autoptr (GArray) due = pick_due (maker->visit, lines, awaits_end);
  int number = due->len == lines->len ? circuit : 0;
  TdAct *act = td_maker_begin_act (maker, "ended",
                                   circuit != 0 ? _ ("When the clock is up, rinse with cold water: the contact ends")
                                                : _ ("When the clock is up, end the contact"),
                                   circuit != 0 ? _ ("Rinsing") : _ ("Ended"), TRUE);

  td_act_add_lines (act, TD_KIND_CONTACT_ENDED, number, due, NULL);
  if (circuit != 0)
    td_act_add_lines (act, TD_KIND_RINSE_STARTED, number, due, NULL);
  td_act_say_lines (act, maker->visit);
  act->done = done;
  td_maker_take_act (maker, act);
}

/* One number says whether the circuit runs as planned; which line is at fault the page works out. */
static void
add_flow_reading (TdStepMaker *maker, const TdVisitCircuit *circuit)
{
  TdUnitStyle style = { TD_UNITS_METRIC, '.' };
  TdAct *act = td_maker_add (maker, "flow-read", TD_KIND_CLEANING_PUMP_ON, _ ("Measure the flow with bucket and watch"), NULL,
                             FALSE, circuit->number, NULL);
  g_autofree char *expected = NULL;
  g_autofree char *measured = NULL;

  act->done = circuit->flow.stamp.seq != 0;
  if (circuit->predicted_flow_ml_min > 0)
    expected = td_quantity_format (TD_QUANTITY_FLOW, (double) circuit->predicted_flow_ml_min / 1000.0, &style);
  if (act->done)
    measured = td_quantity_format (TD_QUANTITY_FLOW, (double) circuit->flow.value / 1000.0, &style);
  if (expected != NULL && measured != NULL)
    act->detail = g_strdup_printf (_ ("%s measured, %s expected"), measured, expected);
  else if (expected != NULL)
    act->detail = g_strdup_printf (_ ("%s expected"), expected);
  else if (measured != NULL)
    act->detail = g_strdup_printf (_ ("%s measured"), measured);
}

static void
add_circuit (TdStepMaker *maker, const TdVisitCircuit *circuit)
{
  const TdVisit *visit = maker->visit;
  g_autoptr (GArray) lines = td_circuit_get_lines (visit, circuit);
  g_autofree char *id = g_strdup_printf ("circuit-%d", circuit->number);
  g_autofree char *title = g_strdup_printf (_ ("Circuit %d"), circuit->number);
  const char *batch = find_batch_id (visit, lines);
  Progress progress = look (visit, lines);
  gboolean on = td_circuit_is_pumping (circuit);
  TdAct *act;

  if (lines->len == 0)
    return;
  td_maker_begin (maker, id, title, TD_STAND_DO_CONFIRM);
  /* Wanted where it has stopped: the clock stands. */
  act = td_maker_add (maker, "pump", TD_KIND_CLEANING_PUMP_ON,
                      progress.waits ? _ ("Start the cleaning pump: water pushes the beer out")
                                     : _ ("Start the cleaning pump again: the clock goes on"),
                      _ ("On"), !progress.waits && !progress.ended && circuit->pump->len > 0, circuit->number, NULL);
  act->done = on || progress.ended;
  add_in (maker, circuit, lines, batch, &progress);
  add_flow (maker, lines, !progress.unproved);
  add_seen (maker, circuit, lines, batch, &progress);
  if (on && !progress.ended)
    add_flow_reading (maker, circuit);
  if (on && !progress.ended)
    td_maker_add (maker, "stop", TD_KIND_CLEANING_PUMP_OFF, _ ("The cleaning pump has stopped: the clock pauses"),
                  _ ("Stopped"), FALSE, circuit->number, NULL);
  add_end (maker, circuit->number, lines, progress.ended);
  td_maker_end (maker);
}

static gboolean
is_fob_open (const TdVisit *visit, guint outlet)
{
  return td_line_is_planned (visit, outlet) && td_line_has_keg_end (visit, outlet)
         && td_line_get_sheet (visit, outlet)->fob && visit->lines[outlet].fob_opened.seq != 0;
}

static gboolean
fob_dry (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].fob_flooded.seq == 0;
}

/* Chemical is in the line: what the wait is for. */
static gboolean
is_in_contact (const TdVisit *visit, guint outlet)
{
  const TdPass *pass = td_line_is_planned (visit, outlet) ? td_line_get_work (visit, outlet) : NULL;

  return pass != NULL && pass->contact_end.seq == 0;
}

static gboolean
is_end_in_contact (const TdVisit *visit, guint outlet)
{
  return is_in_contact (visit, outlet) && td_line_has_keg_end (visit, outlet);
}

static gboolean
is_unbrushed (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].coupler_brushed.seq == 0;
}

static gboolean
circulates (const TdVisit *visit, guint outlet)
{
  return is_in_contact (visit, outlet) && visit->lines[outlet].method == TD_METHOD_CIRCULATING;
}

static gboolean
is_unstripped (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].faucet_stripped.seq == 0;
}

static const TdLineAct at_kegs[] = {
  { TD_KIND_FOB_FLOODED, N_ ("Flood the FOBs with solution"), N_ ("Flooded"), is_fob_open, fob_dry, NULL, NULL, TRUE },
  { TD_KIND_COUPLER_BRUSHED, N_ ("Brush the couplers"), N_ ("Brushed"), is_end_in_contact, is_unbrushed, NULL, NULL, TRUE },
};

static const TdLineAct at_faucets = { TD_KIND_FAUCET_STRIPPED,
                                      N_ ("Strip, soak and brush the faucets of circulating lines"),
                                      N_ ("Stripped"),
                                      circulates,
                                      is_unstripped,
                                      NULL,
                                      NULL,
                                      TRUE };

void
td_act_add_tags (TdAct *act, const TdVisit *visit, const GArray *lines, gboolean lifted)
{
  for (guint i = 0; i < lines->len; i++)
    {
      guint outlet = g_array_index (lines, guint, i);
      const TdTag *tag = td_line_find_tag (visit, outlet);
      TdActPart *part;

      if (tag == NULL || td_tag_is_lifted (tag) != lifted)
        continue;
      part = td_act_add_part (act, lifted ? TD_KIND_TAG_HUNG_AGAIN : TD_KIND_TAG_LIFTED, 0,
                              td_fields_new ("tag", tag->id, NULL));
      g_array_append_val (part->outlets, outlet);
    }
}

void
td_maker_add_again (TdStepMaker *maker, const GArray *lines, gboolean wanted)
{
  TdAct *act = td_maker_begin_act (maker, "again", _ ("Hang the tag again before you leave"), _ ("Hung again"), wanted);

  td_act_add_tags (act, maker->visit, lines, TRUE);
  td_act_say_lines (act, maker->visit);
  td_maker_take_act (maker, act);
}

/* Those of @lines whose beer was not written down as pushed out. */
static gboolean
is_pushed_out (const TdVisit *visit, const GArray *lines)
{
  return td_visit_has_entry (visit, TD_KIND_BEER_PUSHED_OUT, 0, (int) g_array_index (lines, guint, 0), visit->arrival);
}

static void
add_draw (TdStepMaker *maker, const GArray *lines, const char *batch, gboolean done)
{
  g_autoptr (GArray) due = pick_due (maker->visit, lines, awaits_chemical);
  TdAct *act = td_maker_begin_act (maker, "in", _ ("Lift the tag, draw the chemical to the faucet"),
                                   batch != NULL ? _ ("Chemical in") : NULL, TRUE);

  if (batch != NULL && !done)
    td_act_add_tags (act, maker->visit, due, FALSE);
  td_act_add_lines (act, TD_KIND_CHEMICAL_IN, 0, due, td_fields_new ("batch", batch, NULL));
  td_act_say_lines (act, maker->visit);
  act->done = done;
  td_maker_take_act (maker, act);
}

/* What must hold before one walks away from the faucet, as one act: full strength was seen run out, the
 * faucet is shut, the tag hangs again. */
static void
add_shut (TdStepMaker *maker, const GArray *lines, const char *batch)
{
  const TdVisit *visit = maker->visit;
  g_autoptr (GArray) due = pick_due (visit, lines, awaits_sight);
  Progress own = look (visit, due);
  TdAct *act = td_maker_begin_act (maker, "shut", _ ("See full strength, shut the faucet, hang the tag again: the clock starts"),
                                   batch != NULL ? _ ("Shut and tagged") : NULL, TRUE);

  if (batch != NULL && !own.seen && !own.waits)
    {
      if (!is_pushed_out (visit, due))
        td_act_add_lines (act, TD_KIND_BEER_PUSHED_OUT, 0, due, propose_loss (visit, due, "solution"));
      if (own.unproved)
        td_act_add_lines (act, TD_KIND_FLOW_SEEN, 0, due, td_fields_new ("direction", "out", NULL));
    }
  td_act_add_lines (act, TD_KIND_CHEMICAL_SEEN, 0, due, td_fields_new ("batch", batch, "shut", "yes", NULL));
  if (batch != NULL && !own.seen)
    td_act_add_tags (act, visit, due, TRUE);
  td_act_say_lines (act, visit);
  act->done = own.seen;
  td_maker_take_act (maker, act);
}

static void
add_statics (TdStepMaker *maker, guint tower)
{
  const TdVisit *visit = maker->visit;
  g_autoptr (GArray) lines = td_tower_get_statics (visit, tower);
  g_autofree char *id = g_strdup_printf ("static-%s", visit->site->towers[tower].id);
  g_autofree char *title = g_strdup_printf (_ ("%s, static lines"), visit->site->towers[tower].name);
  const char *batch = find_batch_id (visit, lines);
  Progress progress = look (visit, lines);

  if (lines->len == 0)
    return;
  td_maker_begin (maker, id, title, TD_STAND_DO_CONFIRM);
  add_draw (maker, lines, batch, !progress.waits);
  add_shut (maker, lines, batch);
  /* Lifted once more since: it has to hang while chemical stands behind the faucet. */
  if (progress.seen && !progress.ended)
    td_maker_add_again (maker, lines, TRUE);
  add_end (maker, 0, lines, progress.ended);
  td_maker_end (maker);
}

void
td_make_contact (TdStepMaker *maker)
{
  const TdSite *site = maker->visit->site;

  for (guint i = 0; i < maker->visit->circuits->len; i++)
    add_circuit (maker, &g_array_index (maker->visit->circuits, TdVisitCircuit, i));
  for (guint i = 0; i < site->n_towers; i++)
    add_statics (maker, i);
  for (guint i = 0; i < site->n_coolers; i++)
    {
      td_maker_begin (maker, site->coolers[i].id, site->coolers[i].name, TD_STAND_READ_DO);
      for (gsize j = 0; j < G_N_ELEMENTS (at_kegs); j++)
        td_maker_add_lines (maker, &at_kegs[j], -1, (int) i);
      td_maker_end (maker);
    }
  for (guint i = 0; i < site->n_towers; i++)
    {
      td_maker_begin (maker, site->towers[i].id, site->towers[i].name, TD_STAND_DO_CONFIRM);
      td_maker_add_lines (maker, &at_faucets, (int) i, -1);
      td_maker_end (maker);
    }
}
