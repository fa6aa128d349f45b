/* Taking objects apart strictly: every message names place, key and remedy. */
#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-json-read.h"

static const char *const colours[] = { "red", "green", NULL };

typedef struct
{
  const char *name;
  const char *note;
  gint64 count;
  gint64 spare;
  double size;
  double height;
  gboolean lit;
  int colour;
  int second;
  const TdJson *list;
  const TdJson *box;
  const TdJson *any;
} Sample;

/* Reads an object with a key of every kind. */
static gboolean
read_sample (const TdJson *json, Sample *sample, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a sample");

  td_json_reader_format (reader, "tundish-sample/2");
  sample->name = td_json_reader_string (reader, "name");
  sample->note = td_json_reader_optional_string (reader, "note");
  sample->count = td_json_reader_integer (reader, "count", 1, 9);
  sample->spare = td_json_reader_optional_integer (reader, "spare", -5, 5, 4);
  sample->size = td_json_reader_number (reader, "size_mm", TD_JSON_ABOVE_ZERO, 100);
  sample->height = td_json_reader_optional_number (reader, "height_m", 0, TD_JSON_NO_MAXIMUM, NAN);
  sample->lit = td_json_reader_optional_boolean (reader, "lit", TRUE);
  sample->colour = td_json_reader_choice (reader, "colour", colours);
  sample->second = td_json_reader_optional_choice (reader, "second", colours, -1);
  sample->list = td_json_reader_optional_array (reader, "list");
  sample->box = td_json_reader_optional_object (reader, "box");
  sample->any = td_json_reader_optional_any (reader, "any");
  return td_json_reader_finish (reader, error);
}

static void
test_all_keys (void)
{
  g_autoptr (TdJson) json
      = td_json_parse ("{\"format\": \"tundish-sample/2\", \"name\": \"n\", \"note\": \"x\", \"count\": 9,"
                       " \"spare\": -5, \"size_mm\": 1e-300, \"height_m\": 2, \"lit\": false,"
                       " \"colour\": \"green\", \"second\": \"red\", \"list\": [1], \"box\": {},"
                       " \"any\": null}",
                       -1, NULL);
  g_autoptr (GError) error = NULL;
  Sample sample;

  g_assert_true (read_sample (json, &sample, &error));
  g_assert_no_error (error);
  g_assert_cmpstr (sample.name, ==, "n");
  g_assert_cmpstr (sample.note, ==, "x");
  g_assert_cmpint (sample.count, ==, 9);
  g_assert_cmpint (sample.spare, ==, -5);
  g_assert_cmpfloat (sample.size, ==, 1e-300);
  g_assert_cmpfloat (sample.height, ==, 2);
  g_assert_false (sample.lit);
  g_assert_cmpint (sample.colour, ==, 1);
  g_assert_cmpint (sample.second, ==, 0);
  g_assert_cmpuint (td_json_get_length (sample.list), ==, 1);
  g_assert_cmpuint (td_json_get_length (sample.box), ==, 0);
  g_assert_cmpint (td_json_get_kind (sample.any), ==, TD_JSON_NULL);
}

static void
test_fallbacks (void)
{
  g_autoptr (TdJson) json
      = td_json_parse ("{\"colour\": \"red\", \"size_mm\": 100, \"count\": 1, \"name\": \"n\","
                       " \"format\": \"tundish-sample/2\"}",
                       -1, NULL);
  Sample sample;

  g_assert_true (read_sample (json, &sample, NULL));
  g_assert_null (sample.note);
  g_assert_cmpint (sample.spare, ==, 4);
  g_assert_true (isnan (sample.height));
  g_assert_true (sample.lit);
  g_assert_cmpint (sample.second, ==, -1);
  g_assert_null (sample.list);
  g_assert_null (sample.box);
  g_assert_null (sample.any);
}

/* Each case puts its members behind those that are needed, or replaces them. */
static const struct
{
  const char *members;
  int code;
  const char *message;
} wrong[] = {
  { "\"note\": \"\"", TD_ERROR_SHAPE, "line 2, column 9: \"note\" is empty" },
  { "\"note\": 5", TD_ERROR_SHAPE, "\"note\" must be a text in quotes, not a whole number" },
  { "\"note\": null", TD_ERROR_SHAPE, "not null; leave the key out instead" },
  { "\"spare\": 6", TD_ERROR_RANGE, "line 2, column 10: \"spare\" is 6, which is not from -5 to 5" },
  { "\"spare\": 1.0", TD_ERROR_SHAPE, "\"spare\" must be a whole number, not a number" },
  { "\"spare\": \"1\"", TD_ERROR_SHAPE, "\"spare\" must be a whole number, not a text" },
  { "\"height_m\": -0.5", TD_ERROR_RANGE, "\"height_m\" is -0.5, but must be at least 0" },
  { "\"height_m\": \"2\"", TD_ERROR_SHAPE, "\"height_m\" must be a number, not a text" },
  { "\"lit\": 1", TD_ERROR_SHAPE, "\"lit\" must be true or false, without quotes, not a whole number" },
  { "\"second\": \"Red\"", TD_ERROR_SHAPE, "\"second\" is \"Red\", but must be one of: red, green" },
  { "\"list\": {}", TD_ERROR_SHAPE, "\"list\" must be an array in [ ], not an object" },
  { "\"box\": []", TD_ERROR_SHAPE, "\"box\" must be an object in { }, not an array" },
  { "\"heigth_m\": 1", TD_ERROR_SHAPE,
    "line 2, column 1: unknown key \"heigth_m\" in a sample; the keys it may have are: any, box, colour, "
    "count, format, height_m, list, lit, name, note, second, size_mm, spare" },
};

static void
test_wrong (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (wrong); i++)
    {
      g_autofree char *text
          = g_strdup_printf ("{\"colour\": \"red\", \"size_mm\": 100, \"count\": 1, \"name\": \"n\","
                             " \"format\": \"tundish-sample/2\",\n%s}",
                             wrong[i].members);
      g_autoptr (GError) error = NULL;
      g_autoptr (TdJson) json = td_json_parse (text, -1, &error);
      Sample sample;

      g_assert_no_error (error);
      g_assert_false (read_sample (json, &sample, &error));
      g_assert_error (error, TD_ERROR, wrong[i].code);
      if (strstr (error->message, wrong[i].message) == NULL)
        g_error ("\"%s\" lacks \"%s\"", error->message, wrong[i].message);
    }
}

static void
test_whole_objects (void)
{
  static const struct
  {
    const char *text;
    int code;
    const char *message;
  } cases[] = {
    { "[]", TD_ERROR_SHAPE, "line 1, column 1: a sample must be an object in { }, not an array" },
    { "{}", TD_ERROR_SHAPE, "line 1, column 1: a sample lacks the key \"format\"" },
    { "{\"format\": 1}", TD_ERROR_SHAPE, "\"format\" must be a text, not a whole number" },
    { "{\"format\": \"tundish-sample/3\"}", TD_ERROR_SHAPE,
      "this is tundish-sample/3, another version of the format; this program reads tundish-sample/2" },
    { "{\"format\": \"tundish-site/2\"}", TD_ERROR_SHAPE,
      "\"format\" is \"tundish-site/2\", not \"tundish-sample/2\"" },
    /* The misspelt key is told rather than the one that is missing because of it. */
    { "{\"format\": \"tundish-sample/2\", \"Name\": \"n\"}", TD_ERROR_SHAPE,
      "line 1, column 32: unknown key \"Name\"" },
    { "{\"format\": \"tundish-sample/2\", \"name\": \"n\", \"count\": 0}", TD_ERROR_RANGE,
      "\"count\" is 0, which is not from 1 to 9" },
    { "{\"format\": \"tundish-sample/2\", \"name\": \"n\", \"count\": 1, \"size_mm\": 0}", TD_ERROR_RANGE,
      "\"size_mm\" is 0, but must be greater than 0 and at most 100" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdJson) json = td_json_parse (cases[i].text, -1, NULL);
      Sample sample;

      g_assert_false (read_sample (json, &sample, &error));
      g_assert_error (error, TD_ERROR, cases[i].code);
      if (strstr (error->message, cases[i].message) == NULL)
        g_error ("\"%s\" lacks \"%s\"", error->message, cases[i].message);
      /* Whatever is wrong, what was read is safe to look at. */
      g_assert_nonnull (sample.name);
      g_assert_cmpint (sample.colour, ==, 0);
    }
}

/* The first fault stands, also against the caller's own. */
static void
test_first_fault (void)
{
  g_autoptr (TdJson) json = td_json_parse ("{\"a\": 1, \"b\": \"x\"}", -1, NULL);
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a pair");
  g_autoptr (GError) error = NULL;

  g_assert_true (td_json_reader_is_good (reader));
  g_assert_true (td_json_reader_has (reader, "b"));
  g_assert_false (td_json_reader_has (reader, "c"));
  td_json_reader_adopt (reader, NULL);
  g_assert_true (td_json_reader_is_good (reader));
  td_json_reader_adopt (reader, g_error_new_literal (TD_ERROR, TD_ERROR_REFERENCE, "first"));
  g_assert_false (td_json_reader_is_good (reader));
  td_json_reader_adopt (reader, g_error_new_literal (TD_ERROR, TD_ERROR_STOP, "second"));
  td_json_reader_fail (reader, NULL, TD_ERROR_RANGE, "third");
  g_assert_cmpint (td_json_reader_integer (reader, "b", 3, 4), ==, 3);
  g_assert_false (td_json_reader_finish (reader, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_REFERENCE);
  g_assert_cmpstr (error->message, ==, "first");
}

/* A built value has no place; long foreign texts are cut at a character. */
static void
test_built_and_long (void)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;
  g_autoptr (TdJsonReader) reader = NULL;
  g_autoptr (GString) key = g_string_new (NULL);
  g_autoptr (GError) error = NULL;

  for (int i = 0; i < 100; i++)
    g_string_append (key, "\xE2\x82\xAC");
  td_json_builder_begin_object (builder);
  td_json_builder_member_integer (builder, key->str, 1);
  td_json_builder_end (builder);
  json = td_json_builder_finish (builder);
  reader = td_json_reader_new (json, "a thing");
  g_assert_false (td_json_reader_finish (reader, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
  g_assert_true (g_utf8_validate (error->message, -1, NULL));
  g_assert_true (g_str_has_prefix (error->message, "unknown key \"\xE2\x82\xAC"));
  g_assert_cmpint (g_utf8_strlen (error->message, -1), <, 140);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/json-read/all-keys", test_all_keys);
  g_test_add_func ("/json-read/fallbacks", test_fallbacks);
  g_test_add_func ("/json-read/wrong", test_wrong);
  g_test_add_func ("/json-read/whole-objects", test_whole_objects);
  g_test_add_func ("/json-read/first-fault", test_first_fault);
  g_test_add_func ("/json-read/built-and-long", test_built_and_long);
  return g_test_run ();
}
