#include "core-guard-private.h"

/* Before chemical is sent in: everything that could bring it to somebody who does not expect it. */

/* The place from which one works: the station of the circuit, or of the one that feeds the lines.
 * NULL: none is planned, so that every tower is out of sight. */
static const char *
find_station (const TdGuard *guard)
{
  const TdVisit *visit = guard->visit;
  int number = guard->question->circuit;
  const TdVisitCircuit *circuit;

  for (guint i = 0; number == 0 && i < visit->statics->len; i++)
    {
      const TdVisitStatic *row = &g_array_index (visit->statics, TdVisitStatic, i);

      if (guard->targets->len > 0 && row->outlet == g_array_index (guard->targets, guint, 0))
        number = row->fed_by;
    }
  circuit = number != 0 ? td_visit_find_circuit (visit, number) : NULL;
  return circuit != NULL ? circuit->station : NULL;
}

static gboolean
is_target (const TdGuard *guard, guint outlet)
{
  for (guint i = 0; i < guard->targets->len; i++)
    if (g_array_index (guard->targets, guint, i) == outlet)
      return TRUE;
  return FALSE;
}

/* TRUE where the outlet hangs on the manifold that this circuit feeds. */
static gboolean
is_fed (const TdGuard *guard, guint outlet)
{
  if (guard->question->circuit == 0)
    return FALSE;
  for (guint i = 0; i < guard->visit->statics->len; i++)
    {
      const TdVisitStatic *row = &g_array_index (guard->visit->statics, TdVisitStatic, i);

      if (row->outlet == outlet && row->fed_by == guard->question->circuit)
        return TRUE;
    }
  return FALSE;
}

/* TRUE where the chemical of this act can come out of the outlet: the lines themselves, what hangs
 * on their manifold, and the side faucets of all of these. */
static gboolean
can_carry (const TdGuard *guard, guint outlet)
{
  guint keg_end = td_guard_get_keg_end (guard->visit, outlet)->outlet;

  return is_target (guard, outlet) || is_target (guard, keg_end) || is_fed (guard, outlet)
         || is_fed (guard, keg_end);
}

/* A faucet behind which chemical stands still, at a circuit's pump or on its manifold. */
static gboolean
is_held_shut (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].method == TD_METHOD_STATIC || visit->site->outlets[outlet].side >= 0;
}

static void
ask_tags (TdGuard *guard)
{
  const TdVisit *visit = guard->visit;
  const char *station = find_station (guard);

  for (guint outlet = 0; outlet < visit->n_lines; outlet++)
    {
      const TdTag *tag = td_guard_find_tag (visit, outlet);
      const char *tower = visit->site->towers[visit->site->outlets[outlet].tower].id;
      g_autofree char *title = td_outlet_get_title (visit->site, outlet);

      if (!can_carry (guard, outlet)
          || (g_strcmp0 (tower, station) == 0 && !is_held_shut (visit, outlet)))
        continue;
      if (tag == NULL)
        td_guard_add (guard, TD_KIND_TAG_HUNG, (int) outlet, 0, "Tag on %s is not hung", title);
      /* Who draws the chemical to a static line's faucet stands there, with the tag lifted. */
      else if (td_guard_tag_is_lifted (tag) && !is_target (guard, outlet))
        td_guard_add (guard, TD_KIND_TAG_HUNG_AGAIN, (int) outlet, 0,
                      "Tag on %s is lifted and not hung again", title);
    }
}

/* Each bar hears of it by name, also one whose lines are not cleaned: it shares the cold room. */
static void
ask_staff (TdGuard *guard)
{
  const TdVisit *visit = guard->visit;

  for (guint tower = 0; tower < visit->site->n_towers; tower++)
    {
      gboolean told = FALSE;

      for (guint i = 0; i < visit->staff->len; i++)
        told |= g_array_index (visit->staff, TdCheck, i).place == tower;
      if (!told)
        td_guard_add (guard, TD_KIND_STAFF_TOLD, -1, 0, "Staff at %s was not told",
                      visit->site->towers[tower].name);
    }
}

static void
ask_solution (TdGuard *guard)
{
  const GArray *batches = guard->visit->batches;
  const TdBatch *batch;

  if (batches->len == 0)
    {
      td_guard_add (guard, TD_KIND_SOLUTION_MIXED, -1, 0, "No solution was mixed");
      return;
    }
  batch = &g_array_index (batches, TdBatch, batches->len - 1);
  if (batch->known == TD_KNOWN_ESTIMATED && batch->strength.stamp.seq == 0)
    td_guard_add (guard, TD_KIND_STRENGTH_MEASURED, -1, 0,
                  "Amounts of mix %s are estimated and its strength was not measured", batch->id);
}

/* TRUE where the drive gas was shut at some time: it may be on again to help the flow. */
static gboolean
was_gas_off (const TdVisitLine *line)
{
  for (guint i = 0; line->gas[0] != NULL && i < line->gas[0]->len; i++)
    if (!g_array_index (line->gas[0], TdSwitch, i).on)
      return TRUE;
  return FALSE;
}

/* What stands at the keg end; a side faucet has none of its own. */
static void
ask_keg_end (TdGuard *guard, guint outlet)
{
  const TdVisitLine *line = &guard->visit->lines[outlet];
  const TdLine *sheet = td_guard_get_line (guard->visit, outlet);

  if (sheet->beer_pump != TD_BEER_PUMP_NONE && !was_gas_off (line))
    td_guard_add_line (guard, TD_KIND_GAS_OFF, outlet, "the beer pump's drive gas was not shut");
  if (line->keg_uncoupled.seq == 0 && g_strcmp0 (line->found_keg, "none") != 0)
    td_guard_add_line (guard, TD_KIND_KEG_UNCOUPLED, outlet, "the keg is still coupled");
  if (sheet->fob && line->fob_opened.seq == 0)
    td_guard_add_line (guard, TD_KIND_FOB_OPENED, outlet, "the FOB is not opened");
  if (line->reversal && !td_stamp_is_open (line->lever_set, line->lever_back))
    td_guard_add_line (guard, TD_KIND_LEVER_SET, outlet,
                       "the plan runs it in and the beer pump's lever is not set inwards");
}

/* Another chemical than the one that is still in the line. */
static void
ask_last_pass (TdGuard *guard, guint outlet)
{
  const TdPass *pass = td_visit_line_get_pass (&guard->visit->lines[outlet]);

  if (pass != NULL && !pass->rinse_passed && pass->batch + 1 != guard->visit->batches->len)
    td_guard_add_line (guard, TD_KIND_PH_READ, outlet,
                       "the rinse after the last chemical has not passed; two cleaners never meet");
}

void
td_guard_ask_chemical (TdGuard *guard)
{
  if (guard->question->kind != TD_KIND_CHEMICAL_IN)
    return;
  ask_staff (guard);
  td_guard_ask_cold_rooms (guard);
  td_guard_ask_protection (guard);
  ask_solution (guard);
  ask_tags (guard);
  for (guint i = 0; i < guard->targets->len; i++)
    {
      guint outlet = g_array_index (guard->targets, guint, i);

      if (guard->visit->lines[outlet].proved.seq == 0)
        td_guard_add_line (guard, TD_KIND_LINE_PROVED, outlet, "not proved at both ends");
      if (guard->visit->site->outlets[outlet].side < 0)
        ask_keg_end (guard, outlet);
      ask_last_pass (guard, outlet);
    }
}
