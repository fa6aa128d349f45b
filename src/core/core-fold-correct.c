/* What corrections make of the entries.
 *
 * From the newest entry to the oldest: whatever corrects an entry is younger than it and has been
 * decided by then, also where a correction was itself corrected or voided. */
#include <string.h>

#include "core-error.h"
#include "core-fold.h"
#include "core-json-build.h"

typedef struct
{
  TdVisit *visit;
  GPtrArray **pending; /* by index: the corrections (TdEntry) of that entry, oldest first */
  guint last;          /* index of the entry that may be refused, or G_MAXUINT */
  guint8 *broken;      /* by index: a correction that could not be applied */
} Resolver;

static gboolean
has_field (TdKind kind, const char *key)
{
  for (const TdField *field = td_kind_get_fields (kind); field->key != NULL; field++)
    if (strcmp (field->key, key) == 0)
      return TRUE;
  return FALSE;
}

/* An act names a circuit or lines: to set the one drops the other. */
static gboolean
is_displaced (TdKind kind, const char *key, const TdJson *set)
{
  const char *rival = NULL;

  if (strcmp (key, "circuit") == 0)
    rival = "lines";
  else if (strcmp (key, "lines") == 0)
    rival = "circuit";
  return rival != NULL && has_field (kind, rival) && td_json_get_member (set, rival) != NULL
         && td_json_get_member (set, key) == NULL;
}

static TdJson *
merge_body (TdKind kind, const TdJson *body, const TdJson *set)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (body); i++)
    {
      const char *key = td_json_get_key (body, i);

      if (td_json_get_member (set, key) == NULL && !is_displaced (kind, key, set))
        td_json_builder_member_value (builder, key, td_json_get_element (body, i));
    }
  for (guint i = 0; i < td_json_get_length (set); i++)
    {
      const char *key = td_json_get_key (set, i);

      if (strcmp (key, "happened") != 0 && strcmp (key, "person") != 0)
        td_json_builder_member_value (builder, key, td_json_get_element (set, i));
    }
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static gboolean
merge_envelope (TdEnvelope *envelope, const TdJson *set, GError **error)
{
  const TdJson *happened = td_json_get_member (set, "happened");
  const TdJson *person = td_json_get_member (set, "person");

  if (happened != NULL
      && !td_moment_parse (td_json_get_string (happened), &envelope->happened, error))
    {
      g_prefix_error (error, "correction: set: happened: ");
      return FALSE;
    }
  /* The envelope only lends the text; td_entry_new() copies it. */
  if (person != NULL)
    envelope->person = (char *)td_json_get_string (person);
  return TRUE;
}

/* Returns: (transfer full): @entry with the fields that the correction sets, or NULL. */
static TdEntry *
apply_set (const TdEntry *entry, const TdJson *set, GError **error)
{
  TdEnvelope envelope = entry->envelope;
  g_autoptr (TdJson) body = NULL;

  if (!merge_envelope (&envelope, set, error))
    return NULL;
  if (entry->envelope.kind == TD_KIND_ARRIVAL && td_json_get_member (set, "site") != NULL)
    {
      g_set_error (
          error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
          "correction: a visit cannot be moved to another site: start another visit there");
      return NULL;
    }
  body = merge_body (entry->envelope.kind, entry->body, set);
  if (!td_kind_check_body (entry->envelope.kind, body, error))
    {
      g_prefix_error (error, "correction of entry %u: ", entry->envelope.seq);
      return NULL;
    }
  return td_entry_new (&envelope, body, error);
}

/* Whether @correction may stand at all: what it corrects came before it and can be corrected. */
static gboolean
check_target (const TdVisit *visit, const TdEntry *correction, gint64 of, GError **error)
{
  const TdEntry *target;

  if (of < 1 || of >= correction->envelope.seq)
    {
      td_fold_set_error (correction, TD_ERROR_IMPOSSIBLE, error,
                         "there is no earlier entry %" G_GINT64_FORMAT " to correct", of);
      return FALSE;
    }
  target = g_ptr_array_index (visit->entries, (guint)of - 1);
  if (target->envelope.kind == TD_KIND_CLOSING)
    {
      td_fold_set_error (correction, TD_ERROR_IMPOSSIBLE, error,
                         "a closed visit is not corrected: start another visit that amends it");
      return FALSE;
    }
  if (target->envelope.kind == TD_KIND_ARRIVAL && td_fold_is (correction, "void", "yes"))
    {
      td_fold_set_error (correction, TD_ERROR_IMPOSSIBLE, error,
                         "a visit cannot be without its arrival: set what is wrong in it");
      return FALSE;
    }
  return TRUE;
}

/* Notes the correction for its target, in front: younger ones have been noted before. */
static gboolean
take_correction (Resolver *resolver, guint index, const TdEntry *correction, GError **error)
{
  gint64 of = td_fold_get_integer (correction, "of", 0);
  g_autoptr (GError) local = NULL;

  if (!check_target (resolver->visit, correction, of, &local))
    {
      resolver->broken[index] = TRUE;
      if (index != resolver->last)
        return TRUE;
      g_propagate_error (error, g_steal_pointer (&local));
      return FALSE;
    }
  if (resolver->pending[of - 1] == NULL)
    resolver->pending[of - 1] = g_ptr_array_new ();
  g_ptr_array_insert (resolver->pending[of - 1], 0, (gpointer)correction);
  return TRUE;
}

static gboolean
refuse_voided (const TdEntry *correction, guint of, GError **error)
{
  td_fold_set_error (
      correction, TD_ERROR_IMPOSSIBLE, error,
      "entry %u is voided already: enter the act anew, or void the correction that voided it", of);
  return FALSE;
}

/* Puts into *@out what the corrections leave of the entry, NULL where they void it. */
static gboolean
apply_pending (Resolver *resolver, guint index, TdEntry **out, GError **error)
{
  g_autoptr (TdEntry) entry = td_entry_ref (g_ptr_array_index (resolver->visit->entries, index));
  GPtrArray *pending = resolver->pending[index];

  for (guint i = 0; pending != NULL && i < pending->len; i++)
    {
      const TdEntry *correction = g_ptr_array_index (pending, i);
      guint own = correction->envelope.seq - 1;
      g_autoptr (GError) local = NULL;
      TdEntry *corrected;

      if (entry == NULL)
        {
          resolver->broken[own] = TRUE;
          if (own == resolver->last)
            return refuse_voided (correction, index + 1, error);
          continue;
        }
      if (td_fold_is (correction, "void", "yes"))
        {
          g_clear_pointer (&entry, td_entry_unref);
          continue;
        }
      corrected = apply_set (entry, td_json_get_member (correction->body, "set"), &local);
      if (corrected != NULL)
        {
          td_entry_unref (entry);
          entry = corrected;
          continue;
        }
      resolver->broken[own] = TRUE;
      if (own == resolver->last)
        {
          g_propagate_error (error, g_steal_pointer (&local));
          return FALSE;
        }
    }
  *out = g_steal_pointer (&entry);
  return TRUE;
}

static void
list_corrections (Resolver *resolver)
{
  const TdVisit *visit = resolver->visit;

  for (guint i = 0; i < visit->effective->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (visit->effective, i);
      TdCorrection correction = { .seq = i + 1, .breaks_order = resolver->broken[i] };

      if (entry == NULL || entry->envelope.kind != TD_KIND_CORRECTION)
        continue;
      correction.of = (guint)td_fold_get_integer (entry, "of", 0);
      correction.voids = td_fold_is (entry, "void", "yes");
      correction.why = td_fold_get_text (entry, "why");
      g_array_append_val (visit->corrections, correction);
    }
}

static gboolean
resolve (Resolver *resolver, GError **error)
{
  GPtrArray *effective = resolver->visit->effective;

  g_ptr_array_set_size (effective, (int)resolver->visit->entries->len);
  for (guint i = effective->len; i-- > 0;)
    {
      TdEntry *entry = NULL;

      if (!apply_pending (resolver, i, &entry, error))
        return FALSE;
      g_ptr_array_index (effective, i) = entry;
      if (entry != NULL && entry->envelope.kind == TD_KIND_CORRECTION
          && !take_correction (resolver, i, entry, error))
        return FALSE;
    }
  list_corrections (resolver);
  return TRUE;
}

gboolean
td_fold_resolve_corrections (TdVisit *visit, gboolean refuse, GError **error)
{
  guint n_entries = visit->entries->len;
  Resolver resolver = { .visit = visit, .last = refuse ? n_entries - 1 : G_MAXUINT };
  gboolean done;

  g_assert (n_entries > 0);
  resolver.pending = g_new0 (GPtrArray *, n_entries);
  resolver.broken = g_new0 (guint8, n_entries);
  done = resolve (&resolver, error);
  for (guint i = 0; i < n_entries; i++)
    g_clear_pointer (&resolver.pending[i], g_ptr_array_unref);
  g_free (resolver.pending);
  g_free (resolver.broken);
  return done;
}
