#include "core-kind-private.h"

static const char *const type_texts[] = {
  [TD_FIELD_TEXT] = "text on one line, 1..500 characters",
  [TD_FIELD_PROSE] = "text, 1..4000 characters",
  [TD_FIELD_CHOICE] = NULL,  /* its words */
  [TD_FIELD_INTEGER] = NULL, /* its range and unit */
  [TD_FIELD_LINE] = "id of a line or side faucet",
  [TD_FIELD_LINES] = "list of 1..200 ids of lines or side faucets",
  [TD_FIELD_CIRCUIT] = "number of a circuit of the plan, 1..999",
  [TD_FIELD_TOWER] = "id of a tower",
  [TD_FIELD_COOLER] = "id of a cooler",
  [TD_FIELD_PRODUCT] = "id of a product",
  [TD_FIELD_LOT] = "id of a lot",
  [TD_FIELD_INSTRUMENT] = "id of an instrument",
  [TD_FIELD_TAG] = "the person's own name of a tag, 1..100 characters",
  [TD_FIELD_BATCH] = "the person's own name of a mix, 1..100 characters",
  [TD_FIELD_UUID] = "UUID",
  [TD_FIELD_HASH] = "SHA-256, 64 lower-case hexadecimal digits",
  [TD_FIELD_MOMENT] = "ISO 8601 time with offset",
  [TD_FIELD_TEXTS] = "list of 1..200 texts",
  [TD_FIELD_STROKES]
  = "list of strokes, each `[x, y, ms, x, y, ms, ...]` in 1/100 mm and ms, at most 50000 points",
  [TD_FIELD_PLAN]
  = "`{\"circuits\": [{\"number\", \"station\", \"legs\": [{\"line\", \"direction\": \"in\"/\"out\", "
    "\"reversal\": \"yes\"/\"no\"}]}], \"static\": [{\"line\", \"cooler\", \"fed_by\"}]}`, "
    "`fed_by` left out where no circuit feeds it",
  [TD_FIELD_OBJECT] = "object",
};

static void
append_holds (GString *out, const TdField *field)
{
  const char *unit = td_field_get_unit (field);
  g_auto (GStrv) words = NULL;
  g_autofree char *list = NULL;

  switch (field->type)
    {
    case TD_FIELD_CHOICE:
      words = g_strsplit (field->choices, "|", -1);
      list = g_strjoinv ("`, `", words);
      g_string_append_printf (out, "`%s`", list);
      break;
    case TD_FIELD_INTEGER:
      g_string_append_printf (out, "%" G_GINT64_FORMAT "..%" G_GINT64_FORMAT "%s%s", field->minimum,
                              field->maximum, unit != NULL ? ", in " : "",
                              unit != NULL ? unit : "");
      break;
    default:
      g_string_append (out, type_texts[field->type]);
    }
}

static void
append_condition (GString *out, const TdCondition *condition)
{
  switch (condition->form)
    {
    case TD_CONDITION_ONE_OF:
      g_string_append_printf (out, " Exactly one of `%s` and `%s`.", condition->key,
                              condition->other);
      break;
    case TD_CONDITION_NEEDS:
      g_string_append_printf (out, " `%s` is required where `%s` is `%s`.", condition->other,
                              condition->key, condition->word);
      break;
    case TD_CONDITION_UNLESS:
      g_string_append_printf (out, " `%s` is required where `%s` is not `%s`.", condition->other,
                              condition->key, condition->word);
      break;
    case TD_CONDITION_ONLY:
      g_string_append_printf (out, " `%s` is allowed only where `%s` is `%s`.", condition->other,
                              condition->key, condition->word);
      break;
    default:
      g_assert_not_reached ();
    }
}

static void
append_kind (GString *out, TdKind kind)
{
  const TdField *field = td_kind_get_fields (kind);
  gsize n_conditions;
  const TdCondition *conditions = td_kind_get_conditions (&n_conditions);

  g_string_append_printf (out, "| **`%s`** | | | %s.", td_kind_get_code (kind),
                          td_kind_get_text (kind));
  for (gsize i = 0; i < n_conditions; i++)
    if (conditions[i].kind == kind)
      append_condition (out, &conditions[i]);
  g_string_append (out, " |\n");
  for (; field->key != NULL; field++)
    {
      g_string_append_printf (out, "| | `%s`%s | ", field->key, field->required ? " *" : "");
      append_holds (out, field);
      g_string_append_printf (out, " | %s |\n", field->text);
    }
}

char *
td_kind_to_markdown (void)
{
  g_autoptr (GString) out = g_string_new (NULL);

  g_string_append (out, "| Kind | Field (* required) | Holds | Says |\n|---|---|---|---|\n");
  for (guint kind = 0; kind < TD_N_KINDS; kind++)
    append_kind (out, (TdKind) kind);
  return g_string_free (g_steal_pointer (&out), FALSE);
}
