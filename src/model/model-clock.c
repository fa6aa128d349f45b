#include "model-clock.h"

#include "model-i18n.h"

void
td_contact_clock_free (TdContactClock *clock)
{
  if (clock == NULL)
    return;
  g_free (clock->title);
  g_free (clock);
}

static gboolean
is_pump_off (const TdVisit *visit, int number)
{
  const TdVisitCircuit *circuit = td_visit_find_circuit (visit, number);

  return circuit != NULL && circuit->pump->len > 0
         && !g_array_index (circuit->pump, TdSwitch, circuit->pump->len - 1).on;
}

static TdClockState
tell_state (const TdVisit *visit, const TdPass *pass, gint64 contact_ms)
{
  gint64 longest_ms = td_settings_get (visit->settings, TD_SETTING_CONTACT_MAX) * 1000;

  if (pass->clock_start.seq == 0)
    return TD_CLOCK_FILLING;
  if (contact_ms > longest_ms)
    return TD_CLOCK_LONG;
  if (contact_ms >= pass->required_ms)
    return TD_CLOCK_REACHED;
  return pass->circuit != 0 && is_pump_off (visit, pass->circuit) ? TD_CLOCK_PAUSED : TD_CLOCK_RUNNING;
}

static TdContactClock *
find (GPtrArray *clocks, int circuit)
{
  for (guint i = 0; circuit != 0 && i < clocks->len; i++)
    if (((TdContactClock *) g_ptr_array_index (clocks, i))->circuit == circuit)
      return g_ptr_array_index (clocks, i);
  return NULL;
}

static int
compare (gconstpointer a, gconstpointer b)
{
  const TdContactClock *x = *(TdContactClock *const *) a, *y = *(TdContactClock *const *) b;
  gint64 rest_x = x->required_ms - x->contact_ms, rest_y = y->required_ms - y->contact_ms;

  return rest_x != rest_y ? (rest_x < rest_y ? -1 : 1) : x->circuit != y->circuit ? x->circuit - y->circuit : x->outlet - y->outlet;
}

GPtrArray *
td_contact_clocks_new (const TdVisit *visit, gint64 now_ms)
{
  GPtrArray *clocks = g_ptr_array_new_with_free_func ((GDestroyNotify) td_contact_clock_free);

  g_return_val_if_fail (visit != NULL, clocks);
  for (guint i = 0; i < visit->n_lines && !visit->closed; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&visit->lines[i]);
      TdContactClock *clock;
      gint64 contact_ms;

      if (pass == NULL || pass->contact_end.seq != 0)
        continue;
      contact_ms = pass->clock_start.seq != 0 ? MAX (td_pass_get_contact_ms (visit, pass, now_ms), 0) : 0;
      clock = find (clocks, pass->circuit);
      /* The line of a circuit that has least counts for all. */
      if (clock != NULL && contact_ms >= clock->contact_ms)
        continue;
      if (clock == NULL)
        {
          clock = g_new0 (TdContactClock, 1);
          clock->circuit = pass->circuit;
          clock->outlet = pass->circuit != 0 ? -1 : (int) i;
          clock->title = pass->circuit != 0 ? g_strdup_printf (_ ("Circuit %d"), pass->circuit)
                                            : td_outlet_get_title (visit->site, i);
          g_ptr_array_add (clocks, clock);
        }
      clock->contact_ms = contact_ms;
      clock->required_ms = pass->required_ms;
      clock->state = tell_state (visit, pass, contact_ms);
    }
  g_ptr_array_sort (clocks, compare);
  return clocks;
}

char *
td_contact_to_text (gint64 ms)
{
  gint64 s = MAX (ms, 0) / 1000;

  if (s >= 3600)
    return g_strdup_printf ("%d:%02d:%02d", (int) (s / 3600), (int) (s / 60 % 60), (int) (s % 60));
  return g_strdup_printf ("%d:%02d", (int) (s / 60), (int) (s % 60));
}

const char *
td_clock_state_to_text (TdClockState state)
{
  static const char *const texts[] = { "filling", "running", "paused", "reached", "long" };

  g_return_val_if_fail ((guint) state < G_N_ELEMENTS (texts), "");
  return texts[state];
}

char *
td_contact_clock_to_words (const TdContactClock *clock)
{
  int required_min = (int) (clock->required_ms / 60000);

  switch (clock->state)
    {
    case TD_CLOCK_FILLING:
      return g_strdup (_ ("filling: no contact counted yet"));
    case TD_CLOCK_RUNNING:
      return g_strdup_printf (_ ("of %d min"), required_min);
    case TD_CLOCK_PAUSED:
      return g_strdup_printf (_ ("of %d min, paused: pump off"), required_min);
    case TD_CLOCK_REACHED:
      return g_strdup_printf (_ ("%d min are up: end the contact"), required_min);
    default:
      return g_strdup (_ ("too long: end the contact"));
    }
}
