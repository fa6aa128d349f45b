#include "core-json-read.h"

#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-json-write.h"
#include "core-text.h"

struct _TdJsonReader
{
  const TdJson *json; /* NULL where it was no object */
  const char *what;
  GPtrArray *asked;   /* of const char *: every key asked for, there or not */
  gboolean *taken;    /* by index of the member */
  GError *error;      /* the first thing wrong */
  gboolean lacking;   /* it is a missing key */
};

static const char *
name_kind (const TdJson *json)
{
  static const char *const names[] = { "null",   "true or false", "a whole number", "a number",
                                       "a text", "an array",      "an object" };

  return names[td_json_get_kind (json)];
}

TdJsonReader *
td_json_reader_new (const TdJson *json, const char *what)
{
  TdJsonReader *reader = g_new0 (TdJsonReader, 1);

  g_assert (json != NULL && what != NULL);
  reader->what = what;
  reader->asked = g_ptr_array_new ();
  if (td_json_get_kind (json) == TD_JSON_OBJECT)
    {
      reader->json = json;
      reader->taken = g_new0 (gboolean, td_json_get_length (json));
    }
  else
    td_json_set_error (json, TD_ERROR_SHAPE, &reader->error, "%s must be an object in { }, not %s", what,
                       name_kind (json));
  return reader;
}

void
td_json_reader_free (TdJsonReader *reader)
{
  g_return_if_fail (reader != NULL);
  g_ptr_array_unref (reader->asked);
  g_clear_error (&reader->error);
  g_free (reader->taken);
  g_free (reader);
}

gboolean
td_json_reader_is_good (const TdJsonReader *reader)
{
  return reader->error == NULL;
}

gboolean
td_json_reader_has (const TdJsonReader *reader, const char *key)
{
  return reader->json != NULL && td_json_find_key (reader->json, key) >= 0;
}

void
td_json_reader_adopt (TdJsonReader *reader, GError *error)
{
  if (error == NULL)
    return;
  if (reader->error == NULL)
    reader->error = error;
  else
    g_error_free (error);
}

void
td_json_reader_fail (TdJsonReader *reader, const TdJson *where, int code, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list args;

  if (reader->error != NULL)
    return;
  if (where == NULL)
    where = reader->json;
  va_start (args, format);
  message = g_strdup_vprintf (format, args);
  va_end (args);
  g_assert (where != NULL);
  td_json_set_error (where, code, &reader->error, "%s", message);
}

/* The member, marked as asked for; NULL where it is missing. */
static const TdJson *
take (TdJsonReader *reader, const char *key)
{
  int index;

  g_ptr_array_add (reader->asked, (gpointer) key);
  if (reader->json == NULL)
    return NULL;
  index = td_json_find_key (reader->json, key);
  if (index < 0)
    return NULL;
  reader->taken[index] = TRUE;
  return td_json_get_element (reader->json, (guint) index);
}

/* The same, where a missing key is an error. */
static const TdJson *
require (TdJsonReader *reader, const char *key)
{
  const TdJson *value = take (reader, key);

  if (value == NULL && reader->error == NULL)
    {
      td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE, "%s lacks the key \"%s\"", reader->what, key);
      reader->lacking = TRUE;
    }
  return value;
}

/* NULL where there is no value or one of another type. */
static const TdJson *
expect (TdJsonReader *reader, const char *key, const TdJson *value, TdJsonType kind,
        const char *expected)
{
  if (value == NULL)
    return NULL;
  if (td_json_get_kind (value) == kind)
    return value;
  td_json_reader_fail (reader, value, TD_ERROR_SHAPE, "\"%s\" must be %s, not %s%s", key, expected,
                       name_kind (value),
                       td_json_get_kind (value) == TD_JSON_NULL ? "; leave the key out instead" : "");
  return NULL;
}

void
td_json_reader_format (TdJsonReader *reader, const char *format)
{
  const TdJson *value = expect (reader, "format", require (reader, "format"), TD_JSON_STRING, "a text");
  const char *slash = strrchr (format, '/');
  g_autofree char *found = NULL;

  g_assert (slash != NULL);
  if (value == NULL || strcmp (td_json_get_string (value), format) == 0)
    return;
  found = td_text_excerpt (td_json_get_string (value));
  if (strncmp (found, format, (gsize) (slash - format) + 1) == 0)
    td_json_reader_fail (reader, value, TD_ERROR_SHAPE,
                         "this is %s, another version of the format; this program reads %s", found,
                         format);
  else
    td_json_reader_fail (reader, value, TD_ERROR_SHAPE, "\"format\" is \"%s\", not \"%s\"", found,
                         format);
}

static const char *
check_string (TdJsonReader *reader, const char *key, const TdJson *value)
{
  value = expect (reader, key, value, TD_JSON_STRING, "a text in quotes");
  if (value == NULL)
    return NULL;
  if (*td_json_get_string (value) != '\0')
    return td_json_get_string (value);
  td_json_reader_fail (reader, value, TD_ERROR_SHAPE, "\"%s\" is empty; leave the key out or fill it in",
                       key);
  return NULL;
}

const char *
td_json_reader_string (TdJsonReader *reader, const char *key)
{
  const char *text = check_string (reader, key, require (reader, key));

  return text != NULL ? text : "";
}

const char *
td_json_reader_optional_string (TdJsonReader *reader, const char *key)
{
  return check_string (reader, key, take (reader, key));
}

static gint64
check_integer (TdJsonReader *reader, const char *key, const TdJson *value, gint64 minimum,
               gint64 maximum, gint64 fallback)
{
  gint64 integer;

  g_assert (minimum <= maximum);
  value = expect (reader, key, value, TD_JSON_INTEGER, "a whole number");
  if (value == NULL)
    return fallback;
  integer = td_json_get_integer (value);
  if (integer >= minimum && integer <= maximum)
    return integer;
  td_json_reader_fail (reader, value, TD_ERROR_RANGE,
                       "\"%s\" is %" G_GINT64_FORMAT ", which is not from %" G_GINT64_FORMAT
                       " to %" G_GINT64_FORMAT,
                       key, integer, minimum, maximum);
  return fallback;
}

gint64
td_json_reader_integer (TdJsonReader *reader, const char *key, gint64 minimum, gint64 maximum)
{
  return check_integer (reader, key, require (reader, key), minimum, maximum, minimum);
}

gint64
td_json_reader_optional_integer (TdJsonReader *reader, const char *key, gint64 minimum, gint64 maximum,
                                 gint64 fallback)
{
  return check_integer (reader, key, take (reader, key), minimum, maximum, fallback);
}

/* "at least 0", "greater than 0", "from 0 to 100": what a number must be. */
static char *
describe_range (double minimum, double maximum)
{
  g_autoptr (GString) text = g_string_new (NULL);
  gboolean above_zero = minimum == TD_JSON_ABOVE_ZERO;
  gboolean open = maximum == TD_JSON_NO_MAXIMUM;

  if (above_zero)
    g_string_append (text, "greater than 0");
  else
    {
      g_string_append (text, open ? "at least " : "from ");
      td_json_append_real (text, minimum);
    }
  if (!open)
    {
      g_string_append (text, above_zero ? " and at most " : " to ");
      td_json_append_real (text, maximum);
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static double
check_number (TdJsonReader *reader, const char *key, const TdJson *value, double minimum, double maximum,
              double fallback)
{
  g_autofree char *range = NULL;
  g_autoptr (GString) found = NULL;
  double number;

  g_assert (minimum <= maximum);
  if (value == NULL)
    return fallback;
  if (td_json_get_kind (value) != TD_JSON_INTEGER
      && expect (reader, key, value, TD_JSON_REAL, "a number") == NULL)
    return fallback;
  number = td_json_get_number (value);
  if (number >= minimum && number <= maximum)
    return number;
  range = describe_range (minimum, maximum);
  found = g_string_new (NULL);
  td_json_append_real (found, number);
  td_json_reader_fail (reader, value, TD_ERROR_RANGE, "\"%s\" is %s, but must be %s", key, found->str,
                       range);
  return fallback;
}

double
td_json_reader_number (TdJsonReader *reader, const char *key, double minimum, double maximum)
{
  return check_number (reader, key, require (reader, key), minimum, maximum, minimum);
}

double
td_json_reader_optional_number (TdJsonReader *reader, const char *key, double minimum, double maximum,
                                double fallback)
{
  return check_number (reader, key, take (reader, key), minimum, maximum, fallback);
}

gboolean
td_json_reader_optional_boolean (TdJsonReader *reader, const char *key, gboolean fallback)
{
  const TdJson *value
      = expect (reader, key, take (reader, key), TD_JSON_BOOLEAN, "true or false, without quotes");

  return value != NULL ? td_json_get_boolean (value) : fallback;
}

static int
check_choice (TdJsonReader *reader, const char *key, const TdJson *value, const char *const *choices,
              int fallback)
{
  g_autofree char *list = NULL;
  g_autofree char *found = NULL;

  g_assert (choices != NULL && choices[0] != NULL);
  value = expect (reader, key, value, TD_JSON_STRING, "a text in quotes");
  if (value == NULL)
    return fallback;
  for (int i = 0; choices[i] != NULL; i++)
    if (strcmp (choices[i], td_json_get_string (value)) == 0)
      return i;
  list = g_strjoinv (", ", (char **) choices);
  found = td_text_excerpt (td_json_get_string (value));
  td_json_reader_fail (reader, value, TD_ERROR_SHAPE, "\"%s\" is \"%s\", but must be one of: %s", key,
                       found, list);
  return fallback;
}

int
td_json_reader_choice (TdJsonReader *reader, const char *key, const char *const *choices)
{
  return check_choice (reader, key, require (reader, key), choices, 0);
}

int
td_json_reader_optional_choice (TdJsonReader *reader, const char *key, const char *const *choices,
                                int fallback)
{
  return check_choice (reader, key, take (reader, key), choices, fallback);
}

const TdJson *
td_json_reader_array (TdJsonReader *reader, const char *key)
{
  return expect (reader, key, require (reader, key), TD_JSON_ARRAY, "an array in [ ]");
}

const TdJson *
td_json_reader_optional_array (TdJsonReader *reader, const char *key)
{
  return expect (reader, key, take (reader, key), TD_JSON_ARRAY, "an array in [ ]");
}

const TdJson *
td_json_reader_object (TdJsonReader *reader, const char *key)
{
  return expect (reader, key, require (reader, key), TD_JSON_OBJECT, "an object in { }");
}

const TdJson *
td_json_reader_optional_object (TdJsonReader *reader, const char *key)
{
  return expect (reader, key, take (reader, key), TD_JSON_OBJECT, "an object in { }");
}

const TdJson *
td_json_reader_optional_any (TdJsonReader *reader, const char *key)
{
  return take (reader, key);
}

static int
compare_texts (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

/* The keys that were asked for, sorted, each once. */
static char *
list_asked (TdJsonReader *reader)
{
  g_autoptr (GString) list = g_string_new (NULL);
  const char *last = NULL;

  g_ptr_array_sort (reader->asked, compare_texts);
  for (guint i = 0; i < reader->asked->len; i++)
    {
      const char *key = g_ptr_array_index (reader->asked, i);

      if (last == NULL || strcmp (last, key) != 0)
        g_string_append_printf (list, "%s%s", last != NULL ? ", " : "", key);
      last = key;
    }
  return g_string_free (g_steal_pointer (&list), FALSE);
}

/* Looks for a member that was not asked for.  Returns: FALSE with the error where there is one. */
static gboolean
check_unknown (TdJsonReader *reader, GError **error)
{
  for (guint i = 0; reader->json != NULL && i < td_json_get_length (reader->json); i++)
    {
      g_autofree char *list = NULL;
      g_autofree char *place = NULL;
      g_autofree char *key = NULL;

      if (reader->taken[i])
        continue;
      key = td_text_excerpt (td_json_get_key (reader->json, i));
      list = list_asked (reader);
      if (td_json_get_key_line (reader->json, i) > 0)
        place = g_strdup_printf ("line %u, column %u: ", td_json_get_key_line (reader->json, i),
                                 td_json_get_key_column (reader->json, i));
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   "%sunknown key \"%s\" in %s; the keys it may have are: %s",
                   place != NULL ? place : "", key, reader->what, list);
      return FALSE;
    }
  return TRUE;
}

gboolean
td_json_reader_finish (TdJsonReader *reader, GError **error)
{
  g_return_val_if_fail (reader != NULL, FALSE);
  g_return_val_if_fail (error == NULL || *error == NULL, FALSE);
  if (reader->error != NULL && !reader->lacking)
    {
      g_propagate_error (error, g_steal_pointer (&reader->error));
      return FALSE;
    }
  if (!check_unknown (reader, error))
    return FALSE;
  if (reader->error != NULL)
    {
      g_propagate_error (error, g_steal_pointer (&reader->error));
      return FALSE;
    }
  return TRUE;
}
