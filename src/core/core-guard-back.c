#include "core-guard-private.h"

/* Putting back. */

static void
ask_rinse (TdGuard *guard, guint outlet)
{
  if (td_guard_is_unrinsed (guard->visit, outlet))
    td_guard_add_line (guard, TD_KIND_PH_READ, outlet, "the rinse has not passed");
}

static void
ask_lever_back (TdGuard *guard, guint outlet)
{
  const TdVisitLine *line = &guard->visit->lines[outlet];

  if (td_stamp_is_open (line->lever_set, line->lever_back))
    td_guard_add_line (guard, TD_KIND_LEVER_SET_BACK, outlet,
                       "the beer pump's lever still stands inwards");
}

static void
ask_keg_coupled (TdGuard *guard, guint outlet)
{
  const TdVisitLine *line = &guard->visit->lines[outlet];

  ask_rinse (guard, outlet);
  ask_lever_back (guard, outlet);
  if (td_stamp_is_open (line->joined_keg, line->parted_keg))
    td_guard_add_line (guard, TD_KIND_ENDS_PARTED, outlet, "its keg end is still joined");
  if (td_stamp_is_open (line->adapter_fitted, line->adapter_removed))
    td_guard_add_line (guard, TD_KIND_ADAPTER_REMOVED, outlet,
                       "the cleaning adapter is still fitted");
  if (td_stamp_is_open (line->ball_out, line->ball_in))
    td_guard_add_line (guard, TD_KIND_CHECK_BALL_IN, outlet,
                       "the coupler's check ball is still out");
  if (line->well_dried.seq == 0)
    td_guard_add_line (guard, TD_KIND_VALVE_WELL_DRIED, outlet,
                       "the keg's valve well is not dried");
}

static void
ask_lever_set_back (TdGuard *guard, guint outlet)
{
  const TdVisitLine *line = &guard->visit->lines[outlet];
  const TdVisitCircuit *circuit = td_visit_find_circuit (guard->visit, line->circuit);

  ask_rinse (guard, outlet);
  if (circuit != NULL && circuit->pump->len > 0
      && g_array_index (circuit->pump, TdSwitch, circuit->pump->len - 1).on)
    td_guard_add (guard, TD_KIND_CLEANING_PUMP_OFF, (int) outlet, circuit->number,
                  "Circuit %d: the cleaning pump is on", circuit->number);
}

/* Beer comes when everything between keg and faucet is as it was. */
static void
ask_beer_clear (TdGuard *guard, guint outlet)
{
  const TdVisit *visit = guard->visit;
  const TdVisitLine *line = &visit->lines[outlet];
  const TdVisitLine *keg_end = td_guard_get_keg_end (visit, outlet);

  ask_rinse (guard, outlet);
  if (td_stamp_is_open (keg_end->fob_flooded, keg_end->fob_rinsed))
    td_guard_add_line (guard, TD_KIND_FOB_RINSED, keg_end->outlet,
                       "the FOB was flooded with solution and not rinsed");
  if (td_stamp_is_open (keg_end->keg_uncoupled, keg_end->keg_coupled))
    td_guard_add_line (guard, TD_KIND_KEG_COUPLED, keg_end->outlet, "the keg is not coupled");
  if (keg_end->gas_off_now[0] || keg_end->gas_off_now[1])
    td_guard_add_line (guard, TD_KIND_GAS_ON, keg_end->outlet,
                       keg_end->gas_off_now[1] ? "the gas on the keg is off"
                                               : "the beer pump's drive gas is off");
  ask_lever_back (guard, keg_end->outlet);
  if (keg_end->lever_back.seq != 0
      && td_stamp_is_open (keg_end->lever_back, keg_end->flow_out_seen))
    td_guard_add_line (guard, TD_KIND_FLOW_SEEN, keg_end->outlet,
                       "the lever was set back and no outward flow has proved it");
  if (td_stamp_is_open (line->faucet_stripped, line->faucet_rebuilt))
    td_guard_add_line (guard, TD_KIND_FAUCET_REBUILT, outlet, "the faucet is not rebuilt");
  if (td_guard_find_tag (visit, outlet) != NULL)
    td_guard_add_line (guard, TD_KIND_TAG_REMOVED, outlet, "a tag still hangs on it");
}

void
td_guard_ask_back (TdGuard *guard)
{
  for (guint i = 0; i < guard->targets->len; i++)
    {
      guint outlet = g_array_index (guard->targets, guint, i);

      switch (guard->question->kind)
        {
        case TD_KIND_KEG_COUPLED:
          ask_keg_coupled (guard, outlet);
          break;
        case TD_KIND_LEVER_SET_BACK:
          ask_lever_set_back (guard, outlet);
          break;
        case TD_KIND_BEER_CLEAR:
          ask_beer_clear (guard, outlet);
          break;
        default:
          break;
        }
    }
}
