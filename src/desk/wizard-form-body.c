#include "wizard-form-body.h"

#include "core-error.h"
#include "core-json-build.h"
#include "desk-i18n.h"
#include "model-value.h"
#include "wizard-field.h"

#include <string.h>

static gboolean
is_shown (const GPtrArray *fields, const char *key)
{
  for (guint i = 0; i < fields->len; i++)
    if (strcmp (td_wizard_field_get_field (g_ptr_array_index (fields, i))->key, key) == 0)
      return TRUE;
  return FALSE;
}

TdJson *
td_form_body_make (const GPtrArray *fields, const TdJson *preset, GError **error)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (preset); i++)
    if (!is_shown (fields, td_json_get_key (preset, i)))
      td_json_builder_member_value (builder, td_json_get_key (preset, i), td_json_get_element (preset, i));
  for (guint i = 0; i < fields->len; i++)
    {
      TdWizardField *field = g_ptr_array_index (fields, i);
      const TdField *known = td_wizard_field_get_field (field);
      g_autoptr (TdJson) value = NULL;

      /* What does not go with the rest is not on the screen, whatever was typed into it. */
      if (!gtk_widget_get_visible (GTK_WIDGET (field)))
        continue;
      if (!td_wizard_field_get_value (field, &value, error))
        {
          if (error == NULL)
            continue;
          gtk_widget_grab_focus (GTK_WIDGET (field));
          return NULL;
        }
      /* A pad does not show what was drawn before: it stands until something else is drawn. */
      if (value == NULL && known->type == TD_FIELD_STROKES && td_json_get_member (preset, known->key) != NULL)
        value = td_json_ref ((TdJson *) td_json_get_member (preset, known->key));
      if (value != NULL)
        td_json_builder_member_value (builder, known->key, value);
      else if (known->required && error != NULL)
        {
          td_wizard_field_set_error (field, _ ("This is needed."));
          gtk_widget_grab_focus (GTK_WIDGET (field));
          g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, _ ("“%s” is empty."),
                       gtk_widget_get_name (GTK_WIDGET (field)));
          return NULL;
        }
    }
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

TdJson *
td_form_body_fold_circuit (const TdAct *act, const TdVisit *visit, TdKind kind, const TdJson *body)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  const TdActPart *part = act != NULL ? g_ptr_array_index (act->parts, 0) : NULL;
  const TdJson *lines = td_json_get_member (body, "lines");
  gboolean whole = part != NULL && part->circuit != 0 && td_json_get_member (body, "circuit") == NULL
                   && td_kind_find_field (kind, "circuit") != NULL
                   && (lines == NULL || td_json_get_length (lines) == part->outlets->len);

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (body); i++)
    if (!whole || strcmp (td_json_get_key (body, i), "lines") != 0)
      td_json_builder_member_value (builder, td_json_get_key (body, i), td_json_get_element (body, i));
  if (whole)
    td_json_builder_member_integer (builder, "circuit", part->circuit);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

/* An act names a circuit or its lines: the one that is set takes the other's place. */
static gboolean
is_displaced (const char *key, const TdJson *set)
{
  return (strcmp (key, "circuit") == 0 && td_json_get_member (set, "lines") != NULL)
         || (strcmp (key, "lines") == 0 && td_json_get_member (set, "circuit") != NULL);
}

TdJson *
td_form_body_diff (TdSession *session, guint of, const TdJson *body, gint64 happened_ms, GError **error)
{
  const TdEntry *entry = td_visit_get_effective (td_session_get_visit (session), of);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) set = NULL;

  if (entry == NULL)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_REFERENCE, _ ("The entry does not stand any more."));
      return NULL;
    }
  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (body); i++)
    {
      const char *key = td_json_get_key (body, i);
      const TdJson *old = td_json_get_member (entry->body, key);

      if (old == NULL || !td_json_equal (old, td_json_get_element (body, i)))
        td_json_builder_member_value (builder, key, td_json_get_element (body, i));
    }
  if (happened_ms != 0 && happened_ms / 60000 != entry->envelope.happened.utc_ms / 60000)
    {
      TdMoment moment = td_session_make_moment (session, happened_ms);
      g_autofree char *text = td_moment_to_text (&moment);

      td_json_builder_member_string (builder, "happened", text);
    }
  td_json_builder_end (builder);
  set = td_json_builder_finish (builder);
  for (guint i = 0; i < td_json_get_length (entry->body); i++)
    if (td_json_get_member (body, td_json_get_key (entry->body, i)) == NULL
        && !is_displaced (td_json_get_key (entry->body, i), set))
      {
        g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE,
                             _ ("A correction replaces what stands; to take it away, take the entry back and record it anew."));
        return NULL;
      }
  if (td_json_get_length (set) == 0)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE, _ ("Nothing differs from what stands."));
      return NULL;
    }
  return g_steal_pointer (&set);
}

gboolean
td_form_body_is_settled (const TdField *field)
{
  static const char *const keys[]
    = { "of", "gas", "tower", "cooler", "batch", "direction", "at", "meaning", "tag", "place", "ends", "basis", "clean", "by", NULL };

  return g_strv_contains (keys, field->key);
}

gboolean
td_form_body_is_hidden (TdKind kind, const TdField *field, const TdAct *act)
{
  const TdActPart *part = act != NULL ? g_ptr_array_index (act->parts, 0) : NULL;

  if (kind == TD_KIND_COUNTERSIGNATURE && act == NULL)
    return FALSE;
  /* What is kept of a photo is its hash; what is handed in is a file. */
  if (kind == TD_KIND_PHOTO && field->type == TD_FIELD_HASH)
    return TRUE;
  /* The act's lines say the circuit. */
  return part != NULL && (part->circuit != 0 || part->outlets->len > 0) && field->type == TD_FIELD_CIRCUIT;
}

gboolean
td_form_body_is_idle (TdKind kind, const TdField *field, const TdJson *body)
{
  const TdJson *value = body != NULL ? td_json_get_member (body, "meaning") : NULL;
  const char *meaning = value != NULL ? td_json_get_string (value) : "";

  if (kind != TD_KIND_COUNTERSIGNATURE || strcmp (field->key, "meaning") == 0)
    return FALSE;
  if (strcmp (meaning, "informed") == 0)
    return strcmp (field->key, "reason") == 0;
  if (strcmp (meaning, "refused") == 0)
    return field->type == TD_FIELD_STROKES;
  return TRUE;
}
