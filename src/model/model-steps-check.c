#include "model-steps-private.h"

#include "model-i18n.h"
#include "model-proposal.h"

/* Check and Sign. */

static gboolean
pours (const TdVisit *visit, guint outlet)
{
  return td_line_was_run (visit, outlet) && visit->lines[outlet].beer_clear_count > 0;
}

static gboolean
pours_from_keg (const TdVisit *visit, guint outlet)
{
  return pours (visit, outlet) && td_line_has_keg_end (visit, outlet);
}

static gboolean
pours_by_pump (const TdVisit *visit, guint outlet)
{
  return pours_from_keg (visit, outlet) && td_line_get_sheet (visit, outlet)->beer_pump != TD_BEER_PUMP_NONE;
}

/* The second time, after venting. */
static gboolean
is_clear_once (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].beer_clear_count == 1;
}

static gboolean
no_temperature (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].beer_temperature.stamp.seq == 0;
}

static gboolean
no_rate (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].pour_rate.stamp.seq == 0;
}

static gboolean
no_keg_pressure (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].keg_pressure.stamp.seq == 0;
}

static gboolean
no_pump_pressure (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].pump_pressure.stamp.seq == 0;
}

static gboolean
no_leak_check (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].leak_checked.seq == 0 || visit->lines[outlet].leaking;
}

static const TdLineAct again
  = { TD_KIND_BEER_CLEAR, N_ ("Draw each line to clear beer a second time"), N_ ("Clear"), pours, is_clear_once, NULL, NULL, TRUE };

static gboolean
is_pouring_without (const TdVisit *visit, guint outlet, TdLineIs open)
{
  return pours (visit, outlet) && open (visit, outlet);
}

/* A reading of every line of a place that lacks it. FALSE: none does. */
static gboolean
add_column (TdAct *act, TdStepMaker *maker, TdKind kind, const GArray *lines, TdLineIs due, TdLineIs open, TdJson *fields)
{
  g_autoptr (GArray) some = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < lines->len; i++)
    {
      guint outlet = g_array_index (lines, guint, i);

      if (due (maker->visit, outlet) && is_pouring_without (maker->visit, outlet, open))
        g_array_append_val (some, outlet);
    }
  if (some->len > 0)
    td_act_add_lines (act, kind, 0, some, fields);
  else
    td_json_unref (fields);
  return some->len > 0;
}

static TdJson *
make_reading (TdStepMaker *maker, const char *key, const char *value, TdInstrumentKind kind)
{
  const TdInstrument *instrument = td_propose_instrument (maker->visit, kind);

  return td_fields_new ("known", "measured", "instrument", instrument != NULL ? instrument->id : NULL, key, value, NULL);
}

static GArray *
pick_lines (const TdVisit *visit, int tower, int cooler)
{
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < visit->n_lines; i++)
    if (tower >= 0 ? visit->site->outlets[i].tower == (guint) tower : visit->site->outlets[i].cooler == (guint) cooler)
      g_array_append_val (lines, i);
  return lines;
}

/* Done where all was read: the act then names the lines. */
static void
take_table (TdStepMaker *maker, TdAct *act, const GArray *lines, TdLineIs due)
{
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < lines->len; i++)
    if (due (maker->visit, g_array_index (lines, guint, i)))
      g_array_append_val (all, g_array_index (lines, guint, i));
  act->table = TRUE;
  if (act->parts->len == 0 && all->len > 0)
    {
      td_act_add_lines (act, TD_KIND_LEAK_CHECKED, 0, all, NULL);
      act->done = TRUE;
    }
  td_act_say_lines (act, maker->visit);
  td_maker_take_act (maker, act);
}

static void
add_tower (TdStepMaker *maker, guint tower)
{
  const TdPlace *place = &maker->visit->site->towers[tower];
  g_autoptr (GArray) lines = pick_lines (maker->visit, (int) tower, -1);
  TdAct *act;

  td_maker_begin (maker, place->id, place->name, TD_STAND_DO_CONFIRM);
  td_maker_add_lines (maker, &again, (int) tower, -1);
  act = td_maker_begin_act (maker, "readings", _ ("Temperature, pour rate and leaks, faucet by faucet"), NULL, TRUE);
  add_column (act, maker, TD_KIND_TEMPERATURE_READ, lines, pours, no_temperature,
              make_reading (maker, "of", "beer", TD_INSTRUMENT_THERMOMETER));
  add_column (act, maker, TD_KIND_POUR_RATE_READ, lines, pours, no_rate, td_fields_new ("known", "measured", NULL));
  add_column (act, maker, TD_KIND_LEAK_CHECKED, lines, pours, no_leak_check, td_fields_new ("result", "tight", NULL));
  take_table (maker, act, lines, pours);
  td_maker_end (maker);
}

static void
add_cooler (TdStepMaker *maker, guint cooler)
{
  const TdPlace *place = &maker->visit->site->coolers[cooler];
  g_autoptr (GArray) lines = pick_lines (maker->visit, -1, (int) cooler);
  TdAct *act;

  td_maker_begin (maker, place->id, place->name, TD_STAND_DO_CONFIRM);
  act = td_maker_begin_act (maker, "pressures", _ ("Pressures, line by line"), NULL, FALSE);
  add_column (act, maker, TD_KIND_PRESSURE_READ, lines, pours_from_keg, no_keg_pressure,
              make_reading (maker, "gas", "keg", TD_INSTRUMENT_PRESSURE_GAUGE));
  add_column (act, maker, TD_KIND_PRESSURE_READ, lines, pours_by_pump, no_pump_pressure,
              make_reading (maker, "gas", "beer-pump", TD_INSTRUMENT_PRESSURE_GAUGE));
  take_table (maker, act, lines, pours_from_keg);
  td_maker_end (maker);
}

void
td_make_check (TdStepMaker *maker)
{
  const TdSite *site = maker->visit->site;
  gboolean run = FALSE, busy = FALSE;
  TdAct *act;

  for (guint i = 0; i < site->n_towers; i++)
    add_tower (maker, i);
  for (guint i = 0; i < site->n_coolers; i++)
    add_cooler (maker, i);
  for (guint i = 0; i < maker->visit->n_lines; i++)
    {
      run |= maker->visit->lines[i].passes->len > 0;
      busy |= maker->visit->lines[i].passes->len > 0 && maker->visit->lines[i].beer_clear_count == 0
              && !td_visit_is_out_of_service (maker->visit, i);
    }
  td_maker_begin (maker, "site", _ ("Before you leave"), TD_STAND_DO_CONFIRM);
  act = td_maker_add (maker, NULL, TD_KIND_LEFT_TIDY, _ ("Leave the site tidy"), _ ("Tidy"), run && !busy, 0, NULL);
  act->done = maker->visit->left_tidy.seq != 0;
  td_maker_end (maker);
}

/* The site says that it received the report, or why nobody does: one of three. */
static void
add_countersignatures (TdStepMaker *maker)
{
  const TdVisit *visit = maker->visit;
  g_auto (GStrv) names = td_habits_get_names (maker->view->habits, visit, NULL);
  TdAct *act;

  act = td_maker_add (maker, NULL, TD_KIND_COUNTERSIGNATURE, _ ("Countersign: received and informed"), NULL, TRUE, 0,
                      td_fields_new ("meaning", "informed", "name", names[0], NULL));
  act->done = visit->countersignature.given;
  if (act->done)
    return;
  td_maker_add (maker, "nobody", TD_KIND_COUNTERSIGNATURE, _ ("Nobody is there to countersign"), _ ("Nobody present"), FALSE, 0,
                td_fields_new ("meaning", "nobody-present", NULL));
  td_maker_add (maker, "refused", TD_KIND_COUNTERSIGNATURE, _ ("The countersignature is refused, because…"), NULL, FALSE, 0,
                td_fields_new ("meaning", "refused", NULL));
}

void
td_make_sign (TdStepMaker *maker)
{
  const TdVisit *visit = maker->visit;
  const char *name = maker->view->person != NULL ? td_visit_get_person_name (visit, maker->view->person) : NULL;
  g_autofree char *confirm = name != NULL ? g_strdup_printf (_ ("Sign as %s"), name) : NULL;
  TdAct *act;

  td_maker_begin (maker, "end", _ ("Signatures"), TD_STAND_DO_CONFIRM);
  act = td_maker_add (maker, NULL, TD_KIND_SIGNATURE, _ ("Sign: the work is done"), confirm, TRUE, 0,
                      td_fields_new ("name", name, "meaning", "work-done", NULL));
  act->done = visit->signature.given;
  add_countersignatures (maker);
  td_maker_add (maker, NULL, TD_KIND_CLOSING, _ ("Close the visit"), _ ("Close"), TRUE, 0, NULL);
  td_maker_end (maker);
}
