#include "core-entry.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"

typedef struct
{
  TdEntry entry;
  gatomicrefcount references;
} OwnedEntry;

/* Takes over @body_text and one reference of @body. */
static TdEntry *
make_entry (const TdEnvelope *envelope, char *body_text, TdJson *body)
{
  OwnedEntry *owned = g_new0 (OwnedEntry, 1);

  g_atomic_ref_count_init (&owned->references);
  owned->entry.envelope = *envelope;
  owned->entry.envelope.zone = g_strdup (envelope->zone);
  owned->entry.envelope.boot_id = g_strdup (envelope->boot_id);
  owned->entry.envelope.person = g_strdup (envelope->person);
  owned->entry.body_text = body_text;
  owned->entry.body = body;
  return &owned->entry;
}

static gboolean
is_whole (const TdEnvelope *envelope)
{
  return envelope->seq >= 1 && (guint) envelope->kind < TD_N_KINDS && envelope->zone != NULL
         && envelope->boot_id != NULL && envelope->person != NULL;
}

TdEntry *
td_entry_new (const TdEnvelope *envelope, const TdJson *body, GError **error)
{
  g_autofree char *text = NULL;
  g_autoptr (TdJson) canonical = NULL;

  g_return_val_if_fail (envelope != NULL && is_whole (envelope), NULL);
  g_return_val_if_fail (body != NULL, NULL);

  if (td_json_get_kind (body) != TD_JSON_OBJECT)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   "the body of %s is not an object; write its fields in braces",
                   td_kind_get_code (envelope->kind));
      return NULL;
    }
  text = td_json_to_canonical (body, error);
  if (text == NULL)
    return NULL;
  /* Read back from the very bytes that will be stored, so that what is judged is what is kept. */
  canonical = td_json_parse (text, -1, error);
  if (canonical == NULL)
    return NULL;
  return make_entry (envelope, g_steal_pointer (&text), g_steal_pointer (&canonical));
}

TdEntry *
td_entry_new_stored (const TdEnvelope *envelope, const char *body_text, GError **error)
{
  g_autoptr (TdJson) body = NULL;
  g_autofree char *canonical = NULL;

  g_return_val_if_fail (envelope != NULL && is_whole (envelope), NULL);
  g_return_val_if_fail (body_text != NULL, NULL);

  body = td_json_parse (body_text, -1, error);
  if (body == NULL)
    {
      g_prefix_error (error, "entry %u: ", envelope->seq);
      return NULL;
    }
  if (td_json_get_kind (body) == TD_JSON_OBJECT)
    canonical = td_json_to_canonical (body, NULL);
  if (canonical == NULL || strcmp (canonical, body_text) != 0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_PARSE,
                   "entry %u: the body is not in the form in which it was written; "
                   "it was changed after it was recorded",
                   envelope->seq);
      return NULL;
    }
  return make_entry (envelope, g_strdup (body_text), g_steal_pointer (&body));
}

TdEntry *
td_entry_ref (TdEntry *entry)
{
  g_return_val_if_fail (entry != NULL, NULL);

  g_atomic_ref_count_inc (&((OwnedEntry *) entry)->references);
  return entry;
}

void
td_entry_unref (TdEntry *entry)
{
  g_return_if_fail (entry != NULL);

  if (!g_atomic_ref_count_dec (&((OwnedEntry *) entry)->references))
    return;
  g_free (entry->envelope.zone);
  g_free (entry->envelope.boot_id);
  g_free (entry->envelope.person);
  g_free (entry->body_text);
  td_json_unref (entry->body);
  g_free (entry);
}

char *
td_envelope_to_canonical (const TdEnvelope *envelope)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;
  char visit[TD_UUID_TEXT_LENGTH + 1];
  char device[TD_UUID_TEXT_LENGTH + 1];
  char *text;

  g_return_val_if_fail (envelope != NULL && is_whole (envelope), NULL);

  td_uuid_format (&envelope->visit, visit);
  td_uuid_format (&envelope->device, device);
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "boot", envelope->boot_id);
  td_json_builder_member_integer (builder, "boottime_ms", envelope->boottime_ms);
  td_json_builder_member_string (builder, "device", device);
  td_json_builder_member_integer (builder, "happened_ms", envelope->happened.utc_ms);
  td_json_builder_member_string (builder, "kind", td_kind_get_code (envelope->kind));
  td_json_builder_member_integer (builder, "offset_min", envelope->happened.offset_min);
  td_json_builder_member_string (builder, "person", envelope->person);
  td_json_builder_member_integer (builder, "recorded_ms", envelope->recorded_ms);
  td_json_builder_member_integer (builder, "seq", envelope->seq);
  td_json_builder_member_integer (builder, "version", envelope->version);
  td_json_builder_member_string (builder, "visit", visit);
  td_json_builder_member_string (builder, "zone", envelope->zone);
  td_json_builder_end (builder);
  json = td_json_builder_finish (builder);
  text = td_json_to_canonical (json, NULL);
  g_assert (text != NULL); /* integers and strings only */
  return text;
}
