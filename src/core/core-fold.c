/* The driver: corrections first, then every effective entry through its kind's handler, then what
 * depends on the order of time. */
#include "core-fold.h"

#include <string.h>

#include "core-error.h"
#include "core-visit-private.h"

/* Corrections have no handler: they were resolved before. */
static const TdFoldHandler handlers[TD_N_KINDS] = {
  [TD_KIND_ARRIVAL] = td_fold_arrival,
  [TD_KIND_AS_FOUND] = td_fold_as_found,
  [TD_KIND_STAFF_TOLD] = td_fold_staff_told,
  [TD_KIND_COLD_ROOM_CHECKED] = td_fold_cold_room,
  [TD_KIND_SCOPE] = td_fold_scope,
  [TD_KIND_PLAN_ADOPTED] = td_fold_plan,
  [TD_KIND_LINE_PROVED] = td_fold_mark,
  [TD_KIND_TAG_HUNG] = td_fold_tag_hung,
  [TD_KIND_TAG_LIFTED] = td_fold_tag_lifted,
  [TD_KIND_TAG_HUNG_AGAIN] = td_fold_tag_hung_again,
  [TD_KIND_TAG_REMOVED] = td_fold_tag_removed,
  [TD_KIND_HAND_OVER] = td_fold_hand_over,
  [TD_KIND_GAS_OFF] = td_fold_gas,
  [TD_KIND_GAS_ON] = td_fold_gas,
  [TD_KIND_COOLING_OFF] = td_fold_cooling,
  [TD_KIND_COOLING_ON] = td_fold_cooling,
  [TD_KIND_PROTECTION_ON] = td_fold_protection,
  [TD_KIND_KEG_UNCOUPLED] = td_fold_mark,
  [TD_KIND_ADAPTER_FITTED] = td_fold_mark,
  [TD_KIND_CHECK_BALL_OUT] = td_fold_mark,
  [TD_KIND_ENDS_JOINED] = td_fold_ends,
  [TD_KIND_FOB_OPENED] = td_fold_mark,
  [TD_KIND_LEVER_SET] = td_fold_mark,
  [TD_KIND_SOLUTION_MIXED] = td_fold_mixed,
  [TD_KIND_STRENGTH_MEASURED] = td_fold_strength,
  [TD_KIND_CLEANING_PUMP_ON] = td_fold_cleaning_pump,
  [TD_KIND_CLEANING_PUMP_OFF] = td_fold_cleaning_pump,
  [TD_KIND_BEER_PUSHED_OUT] = td_fold_pushed_out,
  [TD_KIND_CHEMICAL_IN] = td_fold_chemical,
  [TD_KIND_FLOW_SEEN] = td_fold_flow,
  [TD_KIND_RETURN_IN_BUCKET] = td_fold_return_in_bucket,
  [TD_KIND_CHEMICAL_SEEN] = td_fold_chemical,
  [TD_KIND_FOB_FLOODED] = td_fold_mark,
  [TD_KIND_FAUCET_STRIPPED] = td_fold_mark,
  [TD_KIND_COUPLER_BRUSHED] = td_fold_mark,
  [TD_KIND_FOB_STRIPPED] = td_fold_mark,
  [TD_KIND_COUPLER_STRIPPED] = td_fold_mark,
  [TD_KIND_CONTACT_ENDED] = td_fold_contact_ended,
  [TD_KIND_RINSE_STARTED] = td_fold_rinse_started,
  [TD_KIND_RINSE_CIRCULATED] = td_fold_rinse_circulated,
  [TD_KIND_FOB_RINSED] = td_fold_mark,
  [TD_KIND_PH_READ] = td_fold_ph,
  [TD_KIND_DEBRIS_SEEN] = td_fold_debris,
  [TD_KIND_RINSE_WATER] = td_fold_rinse_water,
  [TD_KIND_SOLUTION_DISPOSED] = td_fold_disposed,
  [TD_KIND_FAUCET_REBUILT] = td_fold_mark,
  [TD_KIND_LEVER_SET_BACK] = td_fold_mark,
  [TD_KIND_CHECK_BALL_IN] = td_fold_mark,
  [TD_KIND_ENDS_PARTED] = td_fold_ends,
  [TD_KIND_ADAPTER_REMOVED] = td_fold_mark,
  [TD_KIND_VALVE_WELL_DRIED] = td_fold_mark,
  [TD_KIND_KEG_COUPLED] = td_fold_keg_coupled,
  [TD_KIND_FOB_VENTED] = td_fold_mark,
  [TD_KIND_BEER_CLEAR] = td_fold_beer_clear,
  [TD_KIND_PRODUCT_NOW] = td_fold_product_now,
  [TD_KIND_TEMPERATURE_READ] = td_fold_temperature,
  [TD_KIND_PRESSURE_READ] = td_fold_pressure,
  [TD_KIND_POUR_RATE_READ] = td_fold_pour_rate,
  [TD_KIND_LEAK_CHECKED] = td_fold_leak,
  [TD_KIND_LEFT_TIDY] = td_fold_left_tidy,
  [TD_KIND_FAULT] = td_fold_fault,
  [TD_KIND_PART_FITTED] = td_fold_part,
  [TD_KIND_LINE_LEFT_OUT] = td_fold_left_out,
  [TD_KIND_OUT_OF_SERVICE] = td_fold_out_of_service,
  [TD_KIND_INCIDENT] = td_fold_incident,
  [TD_KIND_FINDING_REASON] = td_fold_reason,
  [TD_KIND_NOTE] = td_fold_note_written,
  [TD_KIND_PHOTO] = td_fold_photo,
  [TD_KIND_SIGNATURE] = td_fold_signature,
  [TD_KIND_COUNTERSIGNATURE] = td_fold_countersignature,
  [TD_KIND_CLOSING] = td_fold_closing,
};

static void
init_fold (TdFold *fold, TdVisit *visit)
{
  *fold = (TdFold){ .visit = visit };
  fold->outlets = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < visit->site->n_outlets; i++)
    g_hash_table_insert (fold->outlets, (gpointer)visit->site->outlets[i].id,
                         GUINT_TO_POINTER (i + 1));
  fold->events = g_new0 (GArray *, visit->n_lines);
  fold->first_chemical = g_new (gint64, visit->n_lines);
  for (guint i = 0; i < visit->n_lines; i++)
    fold->first_chemical[i] = G_MAXINT64;
  fold->returns = g_array_new (FALSE, FALSE, sizeof (TdReturnEvent));
  fold->targets = g_array_new (FALSE, FALSE, sizeof (guint));
}

static void
clear_fold (TdFold *fold)
{
  for (guint i = 0; i < fold->visit->n_lines; i++)
    g_clear_pointer (&fold->events[i], g_array_unref);
  g_free (fold->events);
  g_free (fold->first_chemical);
  g_array_unref (fold->returns);
  g_array_unref (fold->targets);
  g_hash_table_unref (fold->outlets);
}

static void
add_person (GPtrArray *persons, const char *person)
{
  for (guint i = 0; i < persons->len; i++)
    if (strcmp (g_ptr_array_index (persons, i), person) == 0)
      return;
  g_ptr_array_add (persons, (gpointer)person);
}

static void
collect_persons (TdVisit *visit)
{
  const TdEntry *arrival = g_ptr_array_index (visit->effective, 0);
  const TdJson *crew = td_json_get_member (arrival->body, "crew");

  for (guint i = 0; i < visit->effective->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (visit->effective, i);

      if (entry != NULL)
        add_person (visit->persons, entry->envelope.person);
    }
  for (guint i = 0; crew != NULL && i < td_json_get_length (crew); i++)
    add_person (visit->persons, td_json_get_string (td_json_get_element (crew, i)));
}

static gboolean
take_entry (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdFoldHandler handler = handlers[entry->envelope.kind];

  if (fold->visit->closed)
    {
      td_fold_set_error (entry, TD_ERROR_IMPOSSIBLE, error,
                         "the visit is closed: start another visit that amends it");
      return FALSE;
    }
  if (handler == NULL)
    {
      g_assert (entry->envelope.kind == TD_KIND_CORRECTION);
      return TRUE;
    }
  return handler (fold, entry, error);
}

/* An entry that the newest corrects is refused with it where its new words stand for nothing; where
 * only the order of acts speaks against it, the correction is taken and says so. */
static gboolean
is_refused (const TdEntry *entry, const TdEntry *newest, const GError *error)
{
  return entry == newest || entry->envelope.kind == TD_KIND_PLAN_ADOPTED
         || !g_error_matches (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
}

/* Takes the effective entries in turn. @refuse: whether the newest one, and the one that it
 * corrects, may be refused; otherwise whatever cannot have happened is kept out. */
static gboolean
take_entries (TdFold *fold, gboolean refuse, GError **error)
{
  TdVisit *visit = fold->visit;
  const TdEntry *newest = g_ptr_array_index (visit->effective, visit->effective->len - 1);
  gint64 corrected = 0;

  g_assert (newest != NULL);
  if (newest->envelope.kind == TD_KIND_CORRECTION)
    corrected = td_fold_get_integer (newest, "of", 0);
  for (guint i = 0; i < visit->effective->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (visit->effective, i);
      g_autoptr (GError) local = NULL;
      guint seq = i + 1;

      if (entry == NULL)
        continue;
      fold->strict = refuse && (entry == newest || seq == corrected);
      if (take_entry (fold, entry, &local))
        continue;
      if (fold->strict && is_refused (entry, newest, local))
        {
          g_propagate_error (error, g_steal_pointer (&local));
          return FALSE;
        }
      g_array_append_val (visit->kept_out, seq);
    }
  return TRUE;
}

/* The fold of the first @n_entries; @refuse as above. */
static TdVisit *
fold_first (const TdVisitContext *context,
            const GPtrArray *entries,
            guint n_entries,
            gboolean refuse,
            GError **error)
{
  g_autoptr (TdVisit) visit = td_visit_new (context, entries, n_entries);
  gboolean done;
  TdFold fold;

  if (!td_fold_resolve_corrections (visit, refuse, error))
    return NULL;
  init_fold (&fold, visit);
  done = take_entries (&fold, refuse, error);
  if (done)
    td_fold_finish_passes (&fold);
  clear_fold (&fold);
  if (!done)
    return NULL;
  collect_persons (visit);
  return g_steal_pointer (&visit);
}

static guint
count_disorder (const TdVisitLine *line)
{
  guint count = 0;

  for (guint i = 0; i < line->passes->len; i++)
    count += g_array_index (line->passes, TdPass, i).disorder ? 1 : 0;
  return count;
}

static gboolean
is_worse (const TdVisit *before, const TdVisit *after)
{
  guint known = 0;

  /* Both ascend; what stands only in @after is new. */
  for (guint i = 0; i < after->kept_out->len; i++)
    {
      guint seq = g_array_index (after->kept_out, guint, i);

      while (known < before->kept_out->len && g_array_index (before->kept_out, guint, known) < seq)
        known++;
      if (known == before->kept_out->len || g_array_index (before->kept_out, guint, known) != seq)
        return TRUE;
    }
  for (guint i = 0; i < after->n_lines; i++)
    if (count_disorder (&after->lines[i]) > count_disorder (&before->lines[i]))
      return TRUE;
  return FALSE;
}

static gboolean
has_disorder (const TdVisit *visit)
{
  if (visit->kept_out->len > 0)
    return TRUE;
  for (guint i = 0; i < visit->n_lines; i++)
    if (count_disorder (&visit->lines[i]) > 0)
      return TRUE;
  return FALSE;
}

/* Marks each correction by what it broke when it was written: the visit is folded up to just before
 * it and up to it. Only done where something is broken, which is rare. */
static void
blame_corrections (const TdVisitContext *context, TdVisit *visit)
{
  if (!has_disorder (visit))
    return;
  for (guint i = 0; i < visit->corrections->len; i++)
    {
      TdCorrection *correction = &g_array_index (visit->corrections, TdCorrection, i);
      g_autoptr (TdVisit) before
          = fold_first (context, visit->entries, correction->seq - 1, FALSE, NULL);
      g_autoptr (TdVisit) after
          = fold_first (context, visit->entries, correction->seq, FALSE, NULL);

      if (before != NULL && after != NULL && is_worse (before, after))
        correction->breaks_order = TRUE;
    }
}

static gboolean
check_entries (const GPtrArray *entries, GError **error)
{
  const TdEntry *first;

  if (entries->len == 0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                   "a visit begins with its arrival: there is no entry");
      return FALSE;
    }
  first = g_ptr_array_index (entries, 0);
  if (first->envelope.kind != TD_KIND_ARRIVAL)
    {
      td_fold_set_error (first, TD_ERROR_IMPOSSIBLE, error,
                         "a visit begins with its arrival: record that first");
      return FALSE;
    }
  for (guint i = 0; i < entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (entries, i);

      if (entry->envelope.seq != i + 1
          || !td_uuid_equal (&entry->envelope.visit, &first->envelope.visit))
        {
          g_set_error (
              error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
              "entry %u of the visit is missing: what is there is of another visit or number",
              i + 1);
          return FALSE;
        }
      /* A damaged book must end in an error, never in a wrong state. */
      if (!td_kind_check_body (entry->envelope.kind, entry->body, error))
        {
          g_prefix_error (error, "entry %u: %s: ", i + 1, td_kind_get_code (entry->envelope.kind));
          return FALSE;
        }
    }
  return TRUE;
}

TdVisit *
td_visit_fold (const TdVisitContext *context, const GPtrArray *entries, GError **error)
{
  g_autoptr (TdVisit) visit = NULL;

  g_return_val_if_fail (context != NULL && entries != NULL, NULL);
  if (!check_entries (entries, error))
    return NULL;
  visit = fold_first (context, entries, entries->len, TRUE, error);
  if (visit == NULL)
    return NULL;
  visit->id = ((const TdEntry *)g_ptr_array_index (entries, 0))->envelope.visit;
  blame_corrections (context, visit);
  return g_steal_pointer (&visit);
}
