/* Values of a form's fields between the file and what a person types. */
#include "model-form-type.h"

#include "core-error.h"
#include "core-json-build.h"
#include "core-json-write.h"
#include "model-i18n.h"

#include <math.h>
#include <string.h>

int
td_form_type_find (const TdFormType *type, const char *key)
{
  g_return_val_if_fail (type != NULL && key != NULL, -1);
  for (guint i = 0; i < type->n_fields; i++)
    if (strcmp (type->fields[i].key, key) == 0)
      return (int) i;
  return -1;
}

const TdJson *
td_form_find_value (const TdJson *json, const char *key)
{
  const char *dot = strchr (key, '.');
  g_autofree char *outer = NULL;

  if (json == NULL || td_json_get_kind (json) != TD_JSON_OBJECT)
    return NULL;
  if (dot == NULL || td_json_get_member (json, key) != NULL)
    return td_json_get_member (json, key);
  outer = g_strndup (key, dot - key);
  return td_form_find_value (td_json_get_member (json, outer), dot + 1);
}

static char *
format_number (const TdFormField *field, double value, const TdUnitStyle *style)
{
  if (field->quantity >= TD_N_QUANTITIES)
    return td_number_format (value, 6, style->decimal);
  return td_quantity_format (field->quantity, value, style);
}

static char *
join_codes (const TdJson *array)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < td_json_get_length (array); i++)
    if (td_json_get_kind (td_json_get_element (array, i)) == TD_JSON_STRING)
      g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", td_json_get_string (td_json_get_element (array, i)));
  return g_string_free (text, FALSE);
}

static void
parse_codes (const char *text, GString *json)
{
  g_auto (GStrv) codes = g_strsplit_set (text, ",; \t\n", -1);
  gboolean first = TRUE;

  g_string_append_c (json, '[');
  for (guint i = 0; codes[i] != NULL; i++)
    if (*codes[i] != '\0')
      {
        g_string_append (json, first ? "" : ", ");
        td_json_append_string (json, codes[i]);
        first = FALSE;
      }
  g_string_append_c (json, ']');
}

char *
td_form_field_format (const TdFormField *field, const TdJson *value, const TdUnitStyle *style)
{
  g_return_val_if_fail (field != NULL && style != NULL, NULL);
  if (value == NULL)
    return g_strdup ("");
  switch (td_json_get_kind (value))
    {
    case TD_JSON_STRING:
      return g_strdup (td_json_get_string (value));
    case TD_JSON_BOOLEAN:
      return g_strdup (td_json_get_boolean (value) ? "yes" : "");
    case TD_JSON_INTEGER:
    case TD_JSON_REAL:
      if (field->kind == TD_FORM_QUANTITY)
        return format_number (field, td_json_get_number (value), style);
      if (field->kind == TD_FORM_STORED)
        return format_number (field, td_quantity_from_stored (field->quantity, td_json_get_integer (value)), style);
      if (field->kind == TD_FORM_DECIMAL)
        return td_number_format ((double) td_json_get_integer (value) / 1000, 3, style->decimal);
      return td_json_to_text (value, FALSE);
    case TD_JSON_ARRAY:
      return join_codes (value);
    default:
      return td_json_to_text (value, FALSE);
    }
}

char *
td_form_field_show (const TdFormField *field, const TdJson *value, const TdUnitStyle *style)
{
  g_autofree char *text = td_form_field_format (field, value, style);

  for (guint i = 0; field->codes != NULL && field->codes[i] != NULL; i++)
    if (strcmp (field->codes[i], text) == 0)
      return g_strdup (_ (field->words[i]));
  if (field->unit != NULL && *text != '\0')
    return g_strdup_printf ("%s\xc2\xa0%s", text, field->unit);
  return g_steal_pointer (&text);
}

char *
td_form_type_make_title (const TdFormType *type, const TdJson *json)
{
  g_return_val_if_fail (type != NULL, NULL);
  for (guint i = 0; type->title_keys[i] != NULL; i++)
    {
      const TdJson *value = td_form_find_value (json, type->title_keys[i]);

      if (value != NULL && td_json_get_kind (value) == TD_JSON_STRING)
        return g_strdup (td_json_get_string (value));
    }
  return g_strdup ("");
}

char *
td_form_type_make_summary (const TdFormType *type, const TdJson *json, const TdUnitStyle *style)
{
  GString *summary = g_string_new (NULL);

  g_return_val_if_fail (type != NULL && style != NULL, NULL);
  for (guint i = 0; type->summary_keys != NULL && type->summary_keys[i] != NULL; i++)
    {
      int field = td_form_type_find (type, type->summary_keys[i]);
      const TdJson *value = td_form_find_value (json, type->summary_keys[i]);
      g_autofree char *text = field >= 0 ? td_form_field_show (&type->fields[field], value, style) : NULL;

      if (text == NULL || *text == '\0')
        continue;
      g_strdelimit (text, "\n\r", ' ');
      g_string_append_printf (summary, "%s%s", summary->len > 0 ? " · " : "", text);
    }
  return g_string_free (summary, FALSE);
}

/* A decimal number with the style's mark; a true minus sign is one, too. */
static gboolean
parse_number (const char *text, const TdUnitStyle *style, double *value_out, GError **error)
{
  g_autoptr (GString) plain = g_string_new (text);
  char *end = NULL;

  g_string_replace (plain, "−", "-", 0);
  if (style->decimal != '.' && strchr (plain->str, '.') == NULL)
    g_strdelimit (plain->str, (char[]){ style->decimal, '\0' }, '.');
  if (*plain->str != '\0' && strspn (plain->str, "+-.0123456789") == plain->len)
    {
      *value_out = g_ascii_strtod (plain->str, &end);
      if (*end == '\0' && isfinite (*value_out))
        return TRUE;
    }
  g_set_error (error, TD_ERROR, TD_ERROR_PARSE, _ ("“%s” is no number; write one such as 2%c5"), text,
               style->decimal);
  return FALSE;
}

static gboolean
parse_whole (const char *text, GString *json, GError **error)
{
  gint64 value;

  if (!g_ascii_string_to_signed (text, 10, G_MININT64, G_MAXINT64, &value, NULL))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_PARSE, _ ("“%s” is no whole number; write one such as 14"), text);
      return FALSE;
    }
  g_string_append_printf (json, "%" G_GINT64_FORMAT, value);
  return TRUE;
}

static gboolean
parse_decimal (const char *text, const TdUnitStyle *style, GString *json, GError **error)
{
  double value;

  if (!parse_number (text, style, &value, error))
    return FALSE;
  if (fabs (value) > 1e12 || fabs (value * 1000 - (double) td_round_half_away (value * 1000)) > 1e-6)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_PARSE, _ ("“%s” has more than three digits after the mark"), text);
      return FALSE;
    }
  g_string_append_printf (json, "%" G_GINT64_FORMAT, td_round_half_away (value * 1000));
  return TRUE;
}

static gboolean
parse_quantity (const TdFormField *field, const char *text, const TdUnitStyle *style, GString *json, GError **error)
{
  gboolean below = FALSE;
  double value;

  if (field->is_signed)
    {
      below = g_str_has_prefix (text, "-") || g_str_has_prefix (text, "−");
      if (below)
        text += *text == '-' ? 1 : strlen ("−");
    }
  if (field->quantity >= TD_N_QUANTITIES ? !parse_number (text, style, &value, error)
                                         : !td_quantity_parse (field->quantity, text, style, &value, error))
    return FALSE;
  if (field->kind == TD_FORM_STORED)
    g_string_append_printf (json, "%" G_GINT64_FORMAT, td_quantity_to_stored (field->quantity, value));
  else
    td_json_append_real (json, below ? -value : value);
  return TRUE;
}

gboolean
td_form_field_parse (const TdFormField *field, const char *text, const TdUnitStyle *style, GString *json,
                     GError **error)
{
  g_autofree char *stripped = NULL;

  g_return_val_if_fail (field != NULL && text != NULL && style != NULL && json != NULL, FALSE);
  stripped = g_strstrip (g_strdup (text));
  if (*stripped == '\0')
    return TRUE;
  switch (field->kind)
    {
    case TD_FORM_WHOLE:
      return parse_whole (stripped, json, error);
    case TD_FORM_DECIMAL:
      return parse_decimal (stripped, style, json, error);
    case TD_FORM_QUANTITY:
    case TD_FORM_STORED:
      return parse_quantity (field, stripped, style, json, error);
    case TD_FORM_CODES:
      parse_codes (stripped, json);
      return TRUE;
    case TD_FORM_SWITCH:
      g_string_append (json, "true");
      return TRUE;
    default:
      td_json_append_string (json, stripped);
      return TRUE;
    }
}
