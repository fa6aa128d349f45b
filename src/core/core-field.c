#include "core-kind-private.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-text.h"
#include "core-time.h"
#include "core-uuid.h"

/* One value against its field.  The messages name the field by its path in the body, not by line
 * and column: a body is written by a machine, and people know it by its fields. */

typedef struct
{
  const char *suffix; /* of the key */
  const char *unit;
  const char *example; /* how a figure of everyday is written; NULL where it is written as it is */
} FieldUnit;

/* The first that fits holds, so longer endings stand before shorter ones. */
static const FieldUnit units[] = {
  { "ph_milli", "0.001 pH", "pH 7.42 is written 7420" },
  { "percent_milli", "0.001 %", "2.5 % is written 2500" },
  { "c_milli", "0.001 °C", "3.3 °C is written 3300" },
  { "_ml_min", "mL/min", "3.8 L/min is written 3800" },
  { "_ml", "mL", "1.5 L is written 1500" },
  { "_pa", "Pa", "1.2 bar is written 120000" },
  { "_ppm", "ppm", NULL },
  { "_s", "s", "2 min is written 120" },
  { "minutes", "min", NULL },
};

static const FieldUnit *
find_unit (const char *key)
{
  for (gsize i = 0; i < G_N_ELEMENTS (units); i++)
    if (g_str_has_suffix (key, units[i].suffix))
      return &units[i];
  return NULL;
}

const char *
td_field_get_unit (const TdField *field)
{
  const FieldUnit *unit;

  g_return_val_if_fail (field != NULL, NULL);

  unit = field->type == TD_FIELD_INTEGER ? find_unit (field->key) : NULL;
  return unit != NULL ? unit->unit : NULL;
}

/* Returns: (transfer full): the value as it was written, cut where it is long. */
static char *
quote_value (const TdJson *value)
{
  g_autofree char *text = td_json_to_text (value, FALSE);

  return td_text_excerpt (text);
}

static gboolean
fail (GError **error, TdError code, const char *place, const char *key, const char *format, ...)
    G_GNUC_PRINTF (5, 6);

static gboolean
fail (GError **error, TdError code, const char *place, const char *key, const char *format, ...)
{
  g_autofree char *text = NULL;
  va_list args;

  va_start (args, format);
  text = g_strdup_vprintf (format, args);
  va_end (args);
  g_set_error (error, TD_ERROR, (int) code, "field %s%s: %s", place, key, text);
  return FALSE;
}

/* The same with the value in front: "VALUE is no ...". */
static gboolean
fail_value (GError **error,
            TdError code,
            const char *place,
            const char *key,
            const TdJson *value,
            const char *text)
{
  g_autofree char *written = quote_value (value);

  return fail (error, code, place, key, "%s %s", written, text);
}

static gboolean
check_integer (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  const FieldUnit *unit = find_unit (field->key);
  gboolean whole = td_json_get_kind (value) == TD_JSON_INTEGER;
  g_autoptr (GString) text = NULL;

  if (whole && td_json_get_integer (value) >= field->minimum
      && td_json_get_integer (value) <= field->maximum)
    return TRUE;
  text = g_string_new (whole ? "is outside " : "is not a whole number");
  if (whole)
    g_string_append_printf (text, "%" G_GINT64_FORMAT "..%" G_GINT64_FORMAT, field->minimum,
                            field->maximum);
  if (unit != NULL)
    g_string_append_printf (text, " (%s)", unit->unit);
  if (unit != NULL && unit->example != NULL)
    g_string_append_printf (text, "; %s", unit->example);
  return fail_value (error, whole ? TD_ERROR_RANGE : TD_ERROR_SHAPE, place, field->key, value,
                     text->str);
}

/* A character that a text may not hold: controls, and the separators that some programs break lines
 * at. */
static gboolean
is_foreign (gunichar c, gboolean prose)
{
  if (prose && (c == '\n' || c == '\t'))
    return FALSE;
  return g_unichar_iscntrl (c) || c == 0x2028 || c == 0x2029;
}

static gboolean
check_text (const char *key,
            const char *place,
            const TdJson *value,
            glong longest,
            gboolean prose,
            GError **error)
{
  gboolean visible = FALSE;
  const char *text;

  if (td_json_get_kind (value) != TD_JSON_STRING)
    return fail_value (error, TD_ERROR_SHAPE, place, key, value,
                       "is not a text; write it in quotes");
  text = td_json_get_string (value);
  if (g_utf8_strlen (text, -1) > longest)
    return fail (error, TD_ERROR_RANGE, place, key,
                 "the text has %ld characters; shorten it to %ld", g_utf8_strlen (text, -1),
                 longest);
  for (const char *p = text; *p != '\0'; p = g_utf8_next_char (p))
    {
      gunichar c = g_utf8_get_char (p);

      if (is_foreign (c, prose))
        return fail (error, TD_ERROR_SHAPE, place, key,
                     "the text holds the control character U+%04X; %s", c,
                     prose ? "only line feed and tab may stand in it" : "write it on one line");
      visible = visible || !g_unichar_isspace (c);
    }
  if (!visible)
    return fail (error, TD_ERROR_SHAPE, place, key,
                 "the text is empty; write it or leave the field out");
  return TRUE;
}

static gboolean
check_choice (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  g_auto (GStrv) words = g_strsplit (field->choices, "|", -1);
  g_autofree char *list = NULL;
  g_autofree char *text = NULL;

  if (td_json_get_kind (value) == TD_JSON_STRING
      && g_strv_contains ((const char *const *) words, td_json_get_string (value)))
    return TRUE;
  list = g_strjoinv (", ", words);
  text = g_strconcat ("is not one of the words ", list, NULL);
  return fail_value (error, TD_ERROR_SHAPE, place, field->key, value, text);
}

static gboolean
check_uuid (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  TdUuid uuid;

  if (td_json_get_kind (value) == TD_JSON_STRING
      && td_uuid_parse (td_json_get_string (value), &uuid, NULL))
    return TRUE;
  return fail_value (error, TD_ERROR_SHAPE, place, field->key, value,
                     "is not a UUID; it looks like 0195f0a1-7c00-7000-8000-000000000001");
}

static gboolean
check_hash (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  if (td_json_get_kind (value) == TD_JSON_STRING && strlen (td_json_get_string (value)) == 64
      && strspn (td_json_get_string (value), "0123456789abcdef") == 64)
    return TRUE;
  return fail_value (error, TD_ERROR_SHAPE, place, field->key, value,
                     "is not a SHA-256; write its 64 hexadecimal digits in lower case");
}

static gboolean
check_moment (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  g_autoptr (GError) reason = NULL;
  TdMoment moment;

  if (td_json_get_kind (value) != TD_JSON_STRING)
    return fail_value (error, TD_ERROR_SHAPE, place, field->key, value,
                       "is not a time; it looks like \"2026-03-02T06:10:00+00:00\"");
  if (!td_moment_parse (td_json_get_string (value), &moment, &reason))
    return fail (error, TD_ERROR_SHAPE, place, field->key, "%s", reason->message);
  return TRUE;
}

gboolean
td_field_check_array (const char *place,
                      const char *key,
                      const TdJson *value,
                      guint minimum,
                      guint maximum,
                      GError **error)
{
  guint n;

  g_return_val_if_fail (value != NULL, FALSE);
  g_return_val_if_fail (minimum <= maximum, FALSE);

  if (td_json_get_kind (value) != TD_JSON_ARRAY)
    return fail_value (error, TD_ERROR_SHAPE, place, key, value,
                       "is not a list; write it in brackets");
  n = td_json_get_length (value);
  if (n < minimum)
    return fail (error, TD_ERROR_SHAPE, place, key, "the list is empty; name at least %u", minimum);
  if (n > maximum)
    return fail (error, TD_ERROR_RANGE, place, key,
                 "the list has %u elements; at most %u are taken", n, maximum);
  return TRUE;
}

/* A list of texts, none twice. */
static gboolean
check_texts (const TdField *field,
             const char *place,
             const TdJson *value,
             glong longest,
             GError **error)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  if (!td_field_check_array (place, field->key, value, 1, TD_FIELD_MAX_ELEMENTS, error))
    return FALSE;
  for (guint i = 0; i < td_json_get_length (value); i++)
    {
      const TdJson *element = td_json_get_element (value, i);
      g_autofree char *key = g_strdup_printf ("%s[%u]", field->key, i + 1);

      if (!check_text (key, place, element, longest, FALSE, error))
        return FALSE;
      if (!g_hash_table_add (seen, (gpointer) td_json_get_string (element)))
        return fail (error, TD_ERROR_SHAPE, place, key, "\"%s\" stands there twice; name it once",
                     td_json_get_string (element));
    }
  return TRUE;
}

static gboolean
check_point (const char *place,
             const char *key,
             const TdJson *value,
             gint64 maximum,
             GError **error)
{
  g_autofree char *text = NULL;

  if (td_json_get_kind (value) != TD_JSON_INTEGER)
    return fail_value (error, TD_ERROR_SHAPE, place, key, value,
                       "is not a whole number (1/100 mm, ms)");
  if (td_json_get_integer (value) >= 0 && td_json_get_integer (value) <= maximum)
    return TRUE;
  text = g_strdup_printf ("is outside 0..%" G_GINT64_FORMAT, maximum);
  return fail_value (error, TD_ERROR_RANGE, place, key, value, text);
}

static gboolean
check_strokes (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  guint n_numbers = 0;

  if (!td_field_check_array (place, field->key, value, 1, TD_FIELD_MAX_POINTS, error))
    return FALSE;
  for (guint i = 0; i < td_json_get_length (value); i++)
    {
      const TdJson *stroke = td_json_get_element (value, i);
      g_autofree char *key = g_strdup_printf ("%s[%u]", field->key, i + 1);

      if (!td_field_check_array (place, key, stroke, 1, 3 * TD_FIELD_MAX_POINTS, error))
        return FALSE;
      if (td_json_get_length (stroke) % 3 != 0)
        return fail (error, TD_ERROR_SHAPE, place, key,
                     "%u numbers do not make whole points; each point is x, y, ms",
                     td_json_get_length (stroke));
      for (guint j = 0; j < td_json_get_length (stroke); j++)
        if (!check_point (place, key, td_json_get_element (stroke, j),
                          j % 3 == 2 ? TD_FIELD_MAX_STROKE_MS : TD_FIELD_MAX_COORDINATE, error))
          return FALSE;
      n_numbers += td_json_get_length (stroke);
      if (n_numbers > 3 * TD_FIELD_MAX_POINTS)
        return fail (error, TD_ERROR_RANGE, place, field->key,
                     "more than %d points; sample it more coarsely", TD_FIELD_MAX_POINTS);
    }
  return TRUE;
}

/* An object whose members another place knows; here only that a body can hold it. */
static gboolean
check_object (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  g_autofree char *canonical = NULL;
  g_autoptr (GError) reason = NULL;

  if (td_json_get_kind (value) != TD_JSON_OBJECT)
    return fail_value (error, TD_ERROR_SHAPE, place, field->key, value,
                       "is not an object; write it in braces");
  if (td_json_get_length (value) == 0)
    return fail (error, TD_ERROR_SHAPE, place, field->key,
                 "the object is empty; name at least one member");
  canonical = td_json_to_canonical (value, &reason);
  if (canonical == NULL)
    return fail (error, TD_ERROR_SHAPE, place, field->key, "%s", reason->message);
  return TRUE;
}

static gboolean
check_circuit (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  static const TdField number = { "circuit", TD_FIELD_INTEGER, TRUE, NULL, 1, 999, NULL };
  TdField own = number;

  own.key = field->key;
  return check_integer (&own, place, value, error);
}

gboolean
td_field_check_value (const TdField *field, const char *place, const TdJson *value, GError **error)
{
  g_return_val_if_fail (field != NULL && field->key != NULL, FALSE);
  g_return_val_if_fail (value != NULL, FALSE);

  switch (field->type)
    {
    case TD_FIELD_TEXT:
      return check_text (field->key, place, value, TD_FIELD_MAX_TEXT, FALSE, error);
    case TD_FIELD_PROSE:
      return check_text (field->key, place, value, TD_FIELD_MAX_PROSE, TRUE, error);
    case TD_FIELD_CHOICE:
      return check_choice (field, place, value, error);
    case TD_FIELD_INTEGER:
      return check_integer (field, place, value, error);
    case TD_FIELD_CIRCUIT:
      return check_circuit (field, place, value, error);
    case TD_FIELD_LINE:
    case TD_FIELD_TOWER:
    case TD_FIELD_COOLER:
    case TD_FIELD_PRODUCT:
    case TD_FIELD_LOT:
    case TD_FIELD_INSTRUMENT:
    case TD_FIELD_TAG:
    case TD_FIELD_BATCH:
      return check_text (field->key, place, value, TD_FIELD_MAX_ID, FALSE, error);
    case TD_FIELD_LINES:
      return check_texts (field, place, value, TD_FIELD_MAX_ID, error);
    case TD_FIELD_TEXTS:
      return check_texts (field, place, value, TD_FIELD_MAX_TEXT, error);
    case TD_FIELD_UUID:
      return check_uuid (field, place, value, error);
    case TD_FIELD_HASH:
      return check_hash (field, place, value, error);
    case TD_FIELD_MOMENT:
      return check_moment (field, place, value, error);
    case TD_FIELD_STROKES:
      return check_strokes (field, place, value, error);
    case TD_FIELD_PLAN:
      return TRUE; /* by its own reader, which knows what it is part of */
    case TD_FIELD_OBJECT:
      return check_object (field, place, value, error);
    default:
      g_assert_not_reached ();
    }
}

static const TdField *
find_field (const TdField *fields, const char *key)
{
  for (const TdField *field = fields; field->key != NULL; field++)
    if (strcmp (field->key, key) == 0)
      return field;
  return NULL;
}

/* Returns: (transfer full): "of, lines, known". */
static char *
list_keys (const TdField *fields)
{
  g_autoptr (GString) list = g_string_new (NULL);

  for (const TdField *field = fields; field->key != NULL; field++)
    g_string_append_printf (list, "%s%s", list->len > 0 ? ", " : "", field->key);
  return g_string_free (g_steal_pointer (&list), FALSE);
}

/* Returns: (transfer full): what to write where a required field is missing. */
static char *
describe_field (const TdField *field)
{
  const char *unit = td_field_get_unit (field);

  if (field->type == TD_FIELD_CHOICE)
    return g_strdelimit (g_strdup_printf ("one of %s", field->choices), "|", '/');
  if (unit != NULL)
    return g_strdup_printf ("a whole number in %s", unit);
  return g_strdup (field->text != NULL ? field->text : "a value");
}

gboolean
td_fields_check_object (const TdField *fields,
                        const char *place,
                        const char *owner,
                        const TdJson *object,
                        GError **error)
{
  g_return_val_if_fail (fields != NULL && object != NULL, FALSE);
  g_return_val_if_fail (place != NULL && owner != NULL, FALSE);

  if (td_json_get_kind (object) != TD_JSON_OBJECT)
    {
      g_autofree char *written = quote_value (object);

      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "%s%s: %s is not an object; write it in braces",
                   place, owner, written);
      return FALSE;
    }
  for (guint i = 0; i < td_json_get_length (object); i++)
    {
      const char *key = td_json_get_key (object, i);
      const TdField *field = find_field (fields, key);
      g_autofree char *keys = NULL;

      if (field == NULL)
        {
          keys = list_keys (fields);
          return fail (error, TD_ERROR_SHAPE, place, key, "not a field of %s, which has %s", owner,
                       *keys != '\0' ? keys : "none");
        }
      if (!td_field_check_value (field, place, td_json_get_element (object, i), error))
        return FALSE;
    }
  for (const TdField *field = fields; field->key != NULL; field++)
    if (field->required && td_json_get_member (object, field->key) == NULL)
      {
        g_autofree char *wanted = describe_field (field);

        return fail (error, TD_ERROR_SHAPE, place, field->key, "missing from %s; write %s", owner,
                     wanted);
      }
  return TRUE;
}
