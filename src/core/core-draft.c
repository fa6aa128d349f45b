#include "core-entry.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-kind-private.h"

/* The members of a line that are not fields of the kind. */
static const char *const frame[] = { "visit", "kind", "happened", "person", NULL };

/* clang-format off */
static const TdField visit_field = { "visit", TD_FIELD_UUID, TRUE };
static const TdField happened_field = { "happened", TD_FIELD_MOMENT, TRUE };
static const TdField person_field = { "person", TD_FIELD_TEXT, TRUE };
/* clang-format on */

/* Returns: (transfer none): the member, or NULL with an error that says what to write. */
static const TdJson *
require_member (const TdJson *line, const char *key, const char *wanted, GError **error)
{
  const TdJson *value = td_json_get_member (line, key);

  if (value == NULL)
    g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "field %s: missing from the entry; write %s", key,
                 wanted);
  return value;
}

static gboolean
read_kind (const TdJson *line, TdKind *kind_out, GError **error)
{
  const TdJson *value
      = require_member (line, "kind", "the code of the act, such as tag-hung", error);
  g_autofree char *text = NULL;

  if (value == NULL)
    return FALSE;
  if (td_json_get_kind (value) == TD_JSON_STRING
      && td_kind_from_code (td_json_get_string (value), kind_out))
    return TRUE;
  text = td_json_to_text (value, FALSE);
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
               "field kind: %s is no kind of entry; the codes stand in the table of kinds", text);
  return FALSE;
}

static gboolean
read_frame (const TdJson *line, TdDraft *draft, GError **error)
{
  const TdJson *visit = require_member (line, "visit", "the visit's UUID", error);
  const TdJson *happened;
  const TdJson *person;

  if (visit == NULL || !td_field_check_value (&visit_field, "", visit, error)
      || !read_kind (line, &draft->kind, error))
    return FALSE;
  happened = require_member (line, "happened", "when it happened, with the offset from UTC", error);
  if (happened == NULL || !td_field_check_value (&happened_field, "", happened, error))
    return FALSE;
  person = require_member (line, "person", "who did it", error);
  if (person == NULL || !td_field_check_value (&person_field, "", person, error))
    return FALSE;
  draft->person = g_strdup (td_json_get_string (person));
  return td_uuid_parse (td_json_get_string (visit), &draft->visit, error)
         && td_moment_parse (td_json_get_string (happened), &draft->happened, error);
}

/* Returns: (transfer full): the members that are fields of the kind. */
static TdJson *
take_body (const TdJson *line)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (line); i++)
    if (!g_strv_contains (frame, td_json_get_key (line, i)))
      td_json_builder_member_value (builder, td_json_get_key (line, i),
                                    td_json_get_element (line, i));
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

TdDraft *
td_draft_from_json (const TdJson *line, GError **error)
{
  g_autoptr (TdDraft) draft = NULL;

  g_return_val_if_fail (line != NULL, NULL);

  if (td_json_get_kind (line) != TD_JSON_OBJECT)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   "the entry is not an object; write {\"visit\": ..., \"kind\": ..., ...}");
      return NULL;
    }
  draft = g_new0 (TdDraft, 1);
  if (!read_frame (line, draft, error))
    return NULL;
  draft->body = take_body (line);
  if (!td_kind_check_body (draft->kind, draft->body, error))
    return NULL;
  if (draft->kind == TD_KIND_CLOSING && td_json_get_length (draft->body) > 0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   "field snapshot: the book writes it at closing; leave it out");
      return NULL;
    }
  return g_steal_pointer (&draft);
}

TdDraft *
td_draft_new (const TdUuid *visit,
              TdKind kind,
              const TdMoment *happened,
              const char *person,
              TdJson *body)
{
  TdDraft *draft;

  g_return_val_if_fail (visit != NULL && happened != NULL, NULL);
  g_return_val_if_fail ((guint) kind < TD_N_KINDS, NULL);
  g_return_val_if_fail (person != NULL, NULL);
  g_return_val_if_fail (body != NULL && td_json_get_kind (body) == TD_JSON_OBJECT, NULL);

  draft = g_new0 (TdDraft, 1);
  draft->visit = *visit;
  draft->kind = kind;
  draft->happened = *happened;
  draft->person = g_strdup (person);
  draft->body = td_json_ref (body);
  return draft;
}

TdJson *
td_draft_to_json (const TdDraft *draft)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autofree char *happened = NULL;
  char visit[TD_UUID_TEXT_LENGTH + 1];

  g_return_val_if_fail (draft != NULL && draft->body != NULL, NULL);

  td_uuid_format (&draft->visit, visit);
  happened = td_moment_to_text (&draft->happened);
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "visit", visit);
  td_json_builder_member_string (builder, "kind", td_kind_get_code (draft->kind));
  td_json_builder_member_string (builder, "happened", happened);
  td_json_builder_member_string (builder, "person", draft->person);
  for (guint i = 0; i < td_json_get_length (draft->body); i++)
    td_json_builder_member_value (builder, td_json_get_key (draft->body, i),
                                  td_json_get_element (draft->body, i));
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

void
td_draft_free (TdDraft *draft)
{
  if (draft == NULL)
    return;
  g_free (draft->person);
  g_clear_pointer (&draft->body, td_json_unref);
  g_free (draft);
}
