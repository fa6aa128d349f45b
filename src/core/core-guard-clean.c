#include "core-guard-private.h"

/* Contact, rinse, faucets, tags. */

#define SECOND_MS 1000

/* Contact that is still to come, ms; 0 where the clock is up. */
static gint64
get_rest_ms (const TdGuard *guard, const TdPass *pass)
{
  gint64 counted = td_pass_get_contact_ms (guard->visit, pass, guard->question->now_ms);

  return MAX (pass->required_ms - counted, 0);
}

/* "3 min 20 s", the last second begun counting whole. */
static char *
format_rest (gint64 rest_ms)
{
  gint64 seconds = (rest_ms + SECOND_MS - 1) / SECOND_MS;

  return g_strdup_printf ("%d min %02d s", (int) (seconds / 60), (int) (seconds % 60));
}

static gboolean
is_pump_off (const TdVisitCircuit *circuit)
{
  return circuit != NULL && circuit->pump->len > 0
         && !g_array_index (circuit->pump, TdSwitch, circuit->pump->len - 1).on;
}

/* The clock of the line's running pass. @what: a circuit's or a line's name. */
static void
ask_clock (TdGuard *guard, const TdPass *pass, guint outlet, const char *what)
{
  const TdVisitCircuit *circuit = td_visit_find_circuit (guard->visit, pass->circuit);
  g_autofree char *rest = NULL;
  gint64 rest_ms;

  if (pass->clock_start.seq == 0)
    {
      gboolean seen = pass->chemical_seen.seq != 0;

      td_guard_add (guard, seen ? TD_KIND_RETURN_IN_BUCKET : TD_KIND_CHEMICAL_SEEN, (int) outlet,
                    pass->circuit,
                    seen ? "%s: the clock has not begun: the return does not run into the bucket"
                         : "%s: the clock has not begun: full strength was not seen at its end",
                    what);
      return;
    }
  rest_ms = get_rest_ms (guard, pass);
  if (rest_ms == 0)
    return;
  rest = format_rest (rest_ms);
  td_guard_add (guard, is_pump_off (circuit) ? TD_KIND_CLEANING_PUMP_ON : guard->question->kind,
                (int) outlet, pass->circuit, "%s: %s of contact are missing%s", what, rest,
                is_pump_off (circuit) ? ", and the cleaning pump is off" : "");
}

static gboolean
was_asked (const GArray *numbers, int number)
{
  for (guint i = 0; i < numbers->len; i++)
    if (g_array_index (numbers, int, i) == number)
      return TRUE;
  return FALSE;
}

/* Asks once a circuit, and once a static line. */
static void
ask_clocks (TdGuard *guard)
{
  g_autoptr (GArray) asked = g_array_new (FALSE, FALSE, sizeof (int));

  for (guint i = 0; i < guard->targets->len; i++)
    {
      guint outlet = g_array_index (guard->targets, guint, i);
      const TdPass *pass = td_visit_line_get_pass (&guard->visit->lines[outlet]);
      g_autofree char *what = NULL;

      if (pass == NULL)
        {
          td_guard_add_line (guard, TD_KIND_CHEMICAL_IN, outlet, "no chemical was sent in");
          continue;
        }
      if (pass->contact_end.seq != 0 || (pass->circuit != 0 && was_asked (asked, pass->circuit)))
        continue;
      if (pass->circuit != 0)
        g_array_append_val (asked, pass->circuit);
      what = pass->circuit != 0 ? g_strdup_printf ("Circuit %d", pass->circuit)
                                : td_outlet_get_title (guard->visit->site, outlet);
      ask_clock (guard, pass, outlet, what);
    }
}

static void
ask_contact_ended (TdGuard *guard)
{
  ask_clocks (guard);
  for (guint i = 0; i < guard->targets->len; i++)
    {
      guint outlet = g_array_index (guard->targets, guint, i);
      const TdVisitLine *line = &guard->visit->lines[outlet];

      if (guard->visit->site->outlets[outlet].side < 0
          && td_guard_get_line (guard->visit, outlet)->fob && line->fob_opened.seq != 0
          && line->fob_flooded.seq == 0)
        td_guard_add_line (guard, TD_KIND_FOB_FLOODED, outlet,
                           "the FOB was not flooded with solution");
    }
}

/* The rinse begins when the contact has ended, and no earlier. */
static void
ask_rinse_started (TdGuard *guard)
{
  guint n_before = guard->missing->len;

  ask_clocks (guard);
  if (guard->missing->len > n_before)
    return;
  for (guint i = 0; i < guard->targets->len; i++)
    {
      guint outlet = g_array_index (guard->targets, guint, i);
      const TdPass *pass = td_visit_line_get_pass (&guard->visit->lines[outlet]);

      if (pass != NULL && pass->contact_end.seq == 0)
        td_guard_add_line (guard, TD_KIND_CONTACT_ENDED, outlet, "the contact is not ended yet");
    }
}

static void
ask_faucet_stripped (TdGuard *guard)
{
  for (guint i = 0; i < guard->targets->len; i++)
    {
      guint outlet = g_array_index (guard->targets, guint, i);
      const TdVisitLine *line = &guard->visit->lines[outlet];
      const TdVisitLine *keg_end = td_guard_get_keg_end (guard->visit, outlet);

      if (td_guard_get_line (guard->visit, outlet)->beer_pump != TD_BEER_PUMP_NONE
          && !keg_end->gas_off_now[0])
        td_guard_add_line (guard, TD_KIND_GAS_OFF, outlet, "the beer pump's drive gas is on");
      /* The faucet is what holds the chemical back. */
      if (line->method == TD_METHOD_STATIC && td_guard_is_unrinsed (guard->visit, outlet))
        td_guard_add_line (guard, TD_KIND_PH_READ, outlet,
                           "chemical stands behind the faucet; strip it after its rinse");
    }
}

/* A line with chemical in it that is joined to this one at the keg ends, or -1. */
static int
find_joined_chemical (const TdVisit *visit, guint outlet)
{
  const TdVisitLine *own = td_guard_get_keg_end (visit, outlet);

  if (!td_stamp_is_open (own->joined_keg, own->parted_keg))
    return -1;
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdVisitLine *other = &visit->lines[i];

      if (other != own && i != outlet
          && visit->site->outlets[i].cooler == visit->site->outlets[outlet].cooler
          && td_stamp_is_open (other->joined_keg, other->parted_keg)
          && td_visit_line_holds_chemical (other))
        return (int) i;
    }
  return -1;
}

static void
ask_tag_outlet (TdGuard *guard, guint outlet)
{
  const TdVisitLine *keg_end = td_guard_get_keg_end (guard->visit, outlet);
  int joined;

  if (td_visit_line_holds_chemical (&guard->visit->lines[outlet]))
    {
      td_guard_add_line (guard, TD_KIND_PH_READ, outlet, "the rinse has not passed");
      return;
    }
  if (td_visit_line_holds_chemical (keg_end))
    {
      td_guard_add_line (guard, TD_KIND_PH_READ, keg_end->outlet,
                         "the rinse of the line that feeds the faucet has not passed");
      return;
    }
  joined = find_joined_chemical (guard->visit, outlet);
  if (joined >= 0)
    td_guard_add_line (guard, TD_KIND_PH_READ, (guint) joined,
                       "it is joined to the tagged line and its rinse has not passed");
}

/* Tags are lifted and removed by whom they belong to. */
static void
ask_owner (TdGuard *guard, const TdTag *tag)
{
  if (guard->question->person == NULL || g_strcmp0 (guard->question->person, tag->owner) == 0)
    return;
  td_guard_add (
      guard, TD_KIND_HAND_OVER, tag->outlet, 0, "Tag %s belongs to %s%s", tag->id,
      td_visit_get_person_name (guard->visit, tag->owner),
      guard->question->kind == TD_KIND_TAG_REMOVED
          ? ": have it handed over, or follow the employer's procedure: absence verified, "
            "contact tried, told before return"
          : ": have it handed over first");
}

static gboolean
is_asked_tag (const TdGuard *guard, const TdTag *tag)
{
  if (tag->removed.seq != 0)
    return FALSE;
  if (guard->question->tag != NULL)
    return g_strcmp0 (guard->question->tag, tag->id) == 0;
  for (guint i = 0; i < guard->targets->len; i++)
    if (tag->outlet == (int) g_array_index (guard->targets, guint, i))
      return TRUE;
  return FALSE;
}

static void
ask_tags (TdGuard *guard)
{
  for (guint i = 0; i < guard->visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (guard->visit->tags, TdTag, i);

      if (!is_asked_tag (guard, tag))
        continue;
      ask_owner (guard, tag);
      if (guard->question->kind == TD_KIND_TAG_REMOVED && tag->outlet >= 0)
        ask_tag_outlet (guard, (guint) tag->outlet);
    }
}

void
td_guard_ask_clean (TdGuard *guard)
{
  switch (guard->question->kind)
    {
    case TD_KIND_CONTACT_ENDED:
      ask_contact_ended (guard);
      break;
    case TD_KIND_RINSE_STARTED:
      ask_rinse_started (guard);
      break;
    case TD_KIND_FAUCET_STRIPPED:
      ask_faucet_stripped (guard);
      break;
    case TD_KIND_TAG_LIFTED:
    case TD_KIND_TAG_REMOVED:
      ask_tags (guard);
      break;
    default:
      break;
    }
}
