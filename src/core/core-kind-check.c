#include "core-kind.h"

#include <string.h>

#include "core-error.h"
#include "core-kind-private.h"

static gboolean
fail_condition (GError **error, const char *key, const char *text)
{
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "field %s: %s", key, text);
  return FALSE;
}

static gboolean
check_one_of (const TdCondition *condition, const char *code, const TdJson *body, GError **error)
{
  gboolean first = td_json_get_member (body, condition->key) != NULL;
  gboolean second = td_json_get_member (body, condition->other) != NULL;
  g_autofree char *text = NULL;

  if (first != second)
    return TRUE;
  text = g_strdup_printf ("%s needs exactly one of %s and %s; %s", code, condition->key,
                          condition->other, first ? "leave one out" : "write one");
  return fail_condition (error, condition->key, text);
}

/* The body's fields have been checked: a field with conditions holds a word. */
static gboolean
check_condition (const TdCondition *condition, const char *code, const TdJson *body, GError **error)
{
  const TdJson *value = td_json_get_member (body, condition->key);
  gboolean has_other = td_json_get_member (body, condition->other) != NULL;
  gboolean holds;
  g_autofree char *text = NULL;

  if (condition->form == TD_CONDITION_ONE_OF)
    return check_one_of (condition, code, body, error);
  if (value == NULL)
    return TRUE;
  holds = strcmp (td_json_get_string (value), condition->word) == 0;
  if (condition->form == TD_CONDITION_ONLY)
    {
      if (holds || !has_other)
        return TRUE;
      text = g_strdup_printf ("it belongs to %s \"%s\", not \"%s\"; leave it out", condition->key,
                              condition->word, td_json_get_string (value));
      return fail_condition (error, condition->other, text);
    }
  if (has_other || holds != (condition->form == TD_CONDITION_NEEDS))
    return TRUE;
  text = g_strdup_printf ("missing from %s; %s \"%s\" needs it", code, condition->key,
                          td_json_get_string (value));
  return fail_condition (error, condition->other, text);
}

/* What may be set without knowing which kind is corrected; the rest is asked of that kind when it
 * is folded. */
static gboolean
check_set (const TdJson *set, GError **error)
{
  static const TdField happened = { "happened", TD_FIELD_MOMENT };
  static const TdField person = { "person", TD_FIELD_TEXT };
  const TdJson *moment = td_json_get_member (set, "happened");
  const TdJson *name = td_json_get_member (set, "person");

  if (td_json_get_member (set, "visit") != NULL || td_json_get_member (set, "kind") != NULL)
    return fail_condition (error, "set",
                           "visit and kind cannot be corrected; void the entry and write another");
  if (moment != NULL && !td_field_check_value (&happened, "set.", moment, error))
    return FALSE;
  return name == NULL || td_field_check_value (&person, "set.", name, error);
}

/* Checks of objects that belong to one kind only. */
static gboolean
check_objects (TdKind kind, const TdJson *body, GError **error)
{
  const TdJson *value;

  if (kind == TD_KIND_PLAN_ADOPTED)
    {
      if (!td_kind_check_plan (td_json_get_member (body, "plan"), error))
        return FALSE;
      value = td_json_get_member (body, "predicted");
      return value == NULL || td_kind_check_predicted (value, error);
    }
  if (kind == TD_KIND_CORRECTION)
    {
      value = td_json_get_member (body, "set");
      return value == NULL || check_set (value, error);
    }
  return TRUE;
}

gboolean
td_kind_check_body (TdKind kind, const TdJson *body, GError **error)
{
  const char *code;
  const TdCondition *conditions;
  gsize n_conditions;

  g_return_val_if_fail ((guint) kind < TD_N_KINDS, FALSE);
  g_return_val_if_fail (body != NULL, FALSE);

  code = td_kind_get_code (kind);
  if (!td_fields_check_object (td_kind_get_fields (kind), "", code, body, error))
    return FALSE;
  conditions = td_kind_get_conditions (&n_conditions);
  for (gsize i = 0; i < n_conditions; i++)
    if (conditions[i].kind == kind && !check_condition (&conditions[i], code, body, error))
      return FALSE;
  return check_objects (kind, body, error);
}
