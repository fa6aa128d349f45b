#include "core-guard-private.h"

/* Before kegs, levers and chemicals are touched. */

static void
ask_keg_uncoupled (TdGuard *guard)
{
  td_guard_ask_cold_rooms (guard);
  for (guint i = 0; i < guard->targets->len; i++)
    {
      guint outlet = g_array_index (guard->targets, guint, i);

      if (!guard->visit->lines[outlet].gas_off_now[1])
        td_guard_add_line (guard, TD_KIND_GAS_OFF, outlet,
                           "the gas on the keg is not off; relieve the pressure before opening");
    }
}

/* Whether before or after the gas is shut differs between technicians: both are told, neither is
 * held back [common practice, no source]. */
static void
ask_lever_set (TdGuard *guard)
{
  for (guint i = 0; i < guard->targets->len; i++)
    {
      guint outlet = g_array_index (guard->targets, guint, i);

      td_guard_add_line (
          guard, TD_KIND_GAS_OFF, outlet,
          guard->visit->lines[outlet].gas_off_now[0]
              ? "the drive gas is off; move the lever gently"
              : "the drive gas is on; the lever moves hard, go gently or shut the gas");
      td_guard_make_advice (guard);
    }
}

void
td_guard_ask_safe (TdGuard *guard)
{
  switch (guard->question->kind)
    {
    case TD_KIND_KEG_UNCOUPLED:
      ask_keg_uncoupled (guard);
      break;
    case TD_KIND_LEVER_SET:
      ask_lever_set (guard);
      break;
    case TD_KIND_SOLUTION_MIXED:
      td_guard_ask_protection (guard);
      break;
    default:
      break;
    }
}
