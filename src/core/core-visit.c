/* The value: making, holding and asking it. */
#include "core-visit.h"

#include "core-visit-private.h"

int
td_stamp_compare (TdStamp a, TdStamp b)
{
  if (a.at_ms != b.at_ms)
    return a.at_ms < b.at_ms ? -1 : 1;
  return a.seq < b.seq ? -1 : a.seq > b.seq;
}

gboolean
td_stamp_is_open (TdStamp begun, TdStamp ended)
{
  return begun.seq != 0 && (ended.seq == 0 || td_stamp_compare (begun, ended) > 0);
}

static void
clear_circuit (gpointer data)
{
  TdVisitCircuit *circuit = data;

  g_clear_pointer (&circuit->legs, g_array_unref);
  g_clear_pointer (&circuit->pump, g_array_unref);
}

static void
clear_tag (gpointer data)
{
  TdTag *tag = data;

  g_clear_pointer (&tag->lifts, g_array_unref);
}

static void
clear_line (TdVisitLine *line)
{
  g_array_unref (line->passes);
  g_array_unref (line->gas[0]);
  g_array_unref (line->gas[1]);
}

/* Entries may be voided: NULL. */
static void
clear_entry (gpointer data)
{
  if (data != NULL)
    td_entry_unref (data);
}

static GArray *
new_list (gsize size)
{
  return g_array_new (FALSE, TRUE, (guint)size);
}

static void
make_lines (TdVisit *visit)
{
  const TdSite *site = visit->site;

  visit->n_lines = site->n_outlets;
  visit->lines = g_new0 (TdVisitLine, site->n_outlets);
  for (guint i = 0; i < site->n_outlets; i++)
    {
      TdVisitLine *line = &visit->lines[i];

      line->outlet = i;
      line->passes = new_list (sizeof (TdPass));
      line->gas[0] = new_list (sizeof (TdSwitch));
      line->gas[1] = new_list (sizeof (TdSwitch));
    }
}

TdVisit *
td_visit_new (const TdVisitContext *context, const GPtrArray *entries, guint n_entries)
{
  TdVisit *visit = g_atomic_rc_box_new0 (TdVisit);

  g_assert (n_entries <= entries->len);
  visit->site = td_site_ref (context->site);
  visit->masters = td_masters_ref (context->masters);
  visit->settings = td_settings_ref (context->settings);
  if (context->history != NULL)
    visit->history
        = g_memdup2 (context->history, context->site->n_outlets * sizeof (TdLineHistory));
  visit->entries = g_ptr_array_new_full (n_entries, clear_entry);
  for (guint i = 0; i < n_entries; i++)
    g_ptr_array_add (visit->entries, td_entry_ref (g_ptr_array_index (entries, i)));
  visit->effective = g_ptr_array_new_full (n_entries, clear_entry);
  visit->last_seq = n_entries;
  visit->kept_out = new_list (sizeof (guint));
  visit->persons = g_ptr_array_new ();
  make_lines (visit);
  visit->circuits = new_list (sizeof (TdVisitCircuit));
  g_array_set_clear_func (visit->circuits, clear_circuit);
  visit->statics = new_list (sizeof (TdVisitStatic));
  visit->tags = new_list (sizeof (TdTag));
  g_array_set_clear_func (visit->tags, clear_tag);
  visit->batches = new_list (sizeof (TdBatch));
  visit->disposals = new_list (sizeof (TdDisposal));
  visit->faults = new_list (sizeof (TdFault));
  visit->parts = new_list (sizeof (TdPart));
  visit->cooling = new_list (sizeof (TdCooling));
  visit->staff = new_list (sizeof (TdCheck));
  visit->rooms = new_list (sizeof (TdCheck));
  visit->protection = new_list (sizeof (TdProtection));
  visit->tap_ph = new_list (sizeof (TdReading));
  visit->incidents = new_list (sizeof (TdRemark));
  visit->notes = new_list (sizeof (TdRemark));
  visit->photos = new_list (sizeof (TdRemark));
  visit->reasons = new_list (sizeof (TdReason));
  visit->corrections = new_list (sizeof (TdCorrection));
  return visit;
}

static void
free_visit (gpointer data)
{
  TdVisit *visit = data;
  GArray *lists[] = {
    visit->kept_out,  visit->circuits,   visit->statics,     visit->tags,      visit->batches,
    visit->disposals, visit->faults,     visit->parts,       visit->cooling,   visit->staff,
    visit->rooms,     visit->protection, visit->tap_ph,      visit->incidents, visit->notes,
    visit->photos,    visit->reasons,    visit->corrections,
  };

  for (gsize i = 0; i < G_N_ELEMENTS (lists); i++)
    g_array_unref (lists[i]);
  for (guint i = 0; i < visit->n_lines; i++)
    clear_line (&visit->lines[i]);
  g_free (visit->lines);
  g_free (visit->history);
  g_ptr_array_unref (visit->persons);
  g_ptr_array_unref (visit->effective);
  g_ptr_array_unref (visit->entries);
  td_settings_unref (visit->settings);
  td_masters_unref (visit->masters);
  td_site_unref (visit->site);
}

TdVisit *
td_visit_ref (TdVisit *visit)
{
  g_return_val_if_fail (visit != NULL, NULL);
  return g_atomic_rc_box_acquire (visit);
}

void
td_visit_unref (TdVisit *visit)
{
  g_return_if_fail (visit != NULL);
  g_atomic_rc_box_release_full (visit, free_visit);
}

const TdPass *
td_visit_line_get_pass (const TdVisitLine *line)
{
  if (line->passes->len == 0)
    return NULL;
  return &g_array_index (line->passes, TdPass, line->passes->len - 1);
}

gboolean
td_visit_line_holds_chemical (const TdVisitLine *line)
{
  const TdPass *pass = td_visit_line_get_pass (line);
  TdStamp in;

  if (pass == NULL || pass->rinse_passed)
    return FALSE;
  if (g_strcmp0 (line->service_condition, "drained") != 0)
    return TRUE;
  in = pass->chemical_in.seq != 0 ? pass->chemical_in : pass->chemical_seen;
  return td_stamp_is_open (in, line->out_of_service);
}

TdDirection
td_visit_line_get_direction (const TdVisitLine *line)
{
  return line->run_seen.seq != 0 ? line->run_direction : line->direction;
}

const TdVisitCircuit *
td_visit_find_circuit (const TdVisit *visit, int number)
{
  for (guint i = 0; i < visit->circuits->len; i++)
    {
      const TdVisitCircuit *circuit = &g_array_index (visit->circuits, TdVisitCircuit, i);

      if (circuit->number == number)
        return circuit;
    }
  return NULL;
}

const char *
td_visit_get_person_name (const TdVisit *visit, const char *person)
{
  const TdTechnician *technician = td_masters_find_technician (visit->masters, person);

  return technician != NULL ? technician->name : person;
}

gboolean
td_visit_is_out_of_service (const TdVisit *visit, guint outlet)
{
  const TdOutlet *place;

  g_return_val_if_fail (outlet < visit->n_lines, FALSE);
  if (visit->lines[outlet].out_of_service.seq != 0)
    return TRUE;
  place = &visit->site->outlets[outlet];
  if (place->side < 0)
    return FALSE;
  /* Outlets go line by line, its own faucet first. */
  return visit->lines[outlet - (guint)place->side - 1].out_of_service.seq != 0;
}

const TdEntry *
td_visit_get_effective (const TdVisit *visit, guint seq)
{
  if (seq == 0 || seq > visit->effective->len)
    return NULL;
  return g_ptr_array_index (visit->effective, seq - 1);
}

static gint64
count_running_ms (const GArray *pump, gint64 from_ms, gint64 to_ms)
{
  /* Before its first switch the pump stood the other way. */
  gboolean on = !g_array_index (pump, TdSwitch, 0).on;
  gint64 at_ms = from_ms;
  gint64 sum = 0;

  for (guint i = 0; i < pump->len; i++)
    {
      const TdSwitch *act = &g_array_index (pump, TdSwitch, i);
      gint64 next_ms = CLAMP (act->stamp.at_ms, at_ms, to_ms);

      if (on)
        sum += next_ms - at_ms;
      at_ms = next_ms;
      on = act->on;
    }
  return on ? sum + (to_ms - at_ms) : sum;
}

gint64
td_pass_get_contact_ms (const TdVisit *visit, const TdPass *pass, gint64 now_ms)
{
  const TdVisitCircuit *circuit;
  gint64 from_ms = pass->clock_start.at_ms;
  gint64 to_ms = pass->contact_end.seq != 0 ? pass->contact_end.at_ms : now_ms;

  if (pass->clock_start.seq == 0 || to_ms <= from_ms)
    return 0;
  if (pass->method != TD_METHOD_CIRCULATING)
    return to_ms - from_ms;
  circuit = td_visit_find_circuit (visit, pass->circuit);
  /* Where nothing was said of the pump, the return into the bucket says that it ran. */
  if (circuit == NULL || circuit->pump->len == 0)
    return to_ms - from_ms;
  return count_running_ms (circuit->pump, from_ms, to_ms);
}

const char *
td_method_to_text (TdMethod method)
{
  static const char *const texts[] = { "none", "circulating", "static" };

  g_return_val_if_fail ((guint)method < G_N_ELEMENTS (texts), NULL);
  return texts[method];
}

const char *
td_direction_to_text (TdDirection direction)
{
  return direction == TD_DIRECTION_IN ? "in" : "out";
}

const char *
td_clean_to_text (TdClean clean)
{
  return clean == TD_CLEAN_ACID ? "acid" : "caustic";
}

const char *
td_known_to_text (TdKnown known)
{
  static const char *const texts[] = { "measured", "accepted", "estimated" };

  g_return_val_if_fail ((guint)known < G_N_ELEMENTS (texts), NULL);
  return texts[known];
}
