/* Members whose text has a form, and foreign texts quoted in messages. */
#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-json-read-text.h"
#include "core-text.h"

static void
test_id_is_valid (void)
{
  g_autofree char *longest = g_strnfill (TD_ID_MAX_LENGTH, 'x');
  g_autofree char *longer = g_strnfill (TD_ID_MAX_LENGTH + 1, 'x');
  g_autoptr (GString) wide = g_string_new (NULL);
  static const char *const good[] = { "L1", "1", "bar A 4", "\xC3\xA9", "a/b:c", "-" };
  static const char *const bad[]
      = { "", " ", " L1", "L1 ", "L\n1", "L\t1", "\x7F", "L1\xC2\xA0", "\xC2\x85", "\xFF" };

  for (gsize i = 0; i < G_N_ELEMENTS (good); i++)
    g_assert_true (td_id_is_valid (good[i]));
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    g_assert_false (td_id_is_valid (bad[i]));
  g_assert_true (td_id_is_valid (longest));
  g_assert_false (td_id_is_valid (longer));
  /* Characters are counted, not bytes. */
  for (int i = 0; i < TD_ID_MAX_LENGTH; i++)
    g_string_append (wide, "\xE2\x82\xAC");
  g_assert_true (td_id_is_valid (wide->str));
}

static void
test_good (void)
{
  g_autoptr (TdJson) json
      = td_json_parse ("{\"id\": \"L1\", \"other\": \"x y\", \"day\": \"2026-03-02\", \"next\": \"2026-03-16\","
                       " \"at\": \"2026-03-02T06:10:07.5-05:30\"}",
                       -1, NULL);
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a thing");
  g_autoptr (GError) error = NULL;
  TdMoment moment;

  g_assert_cmpstr (td_json_reader_id (reader, "id"), ==, "L1");
  g_assert_cmpstr (td_json_reader_optional_id (reader, "other"), ==, "x y");
  g_assert_null (td_json_reader_optional_id (reader, "third"));
  g_assert_cmpint (td_json_reader_date (reader, "day"), ==, td_date_make (2026, 3, 2));
  g_assert_cmpint (td_json_reader_optional_date (reader, "next"), ==, td_date_make (2026, 3, 16));
  g_assert_cmpint (td_json_reader_optional_date (reader, "last"), ==, TD_DATE_NONE);
  moment = td_json_reader_moment (reader, "at");
  g_assert_cmpint (moment.utc_ms, ==, G_GINT64_CONSTANT (1772451607500));
  g_assert_cmpint (moment.offset_min, ==, -330);
  g_assert_true (td_json_reader_finish (reader, &error));
  g_assert_no_error (error);
}

/* Reads the one member that the object has, by its key. */
static void
read_member (TdJsonReader *reader)
{
  if (td_json_reader_has (reader, "id"))
    g_assert_cmpstr (td_json_reader_id (reader, "id"), ==, "");
  else if (td_json_reader_has (reader, "other"))
    g_assert_null (td_json_reader_optional_id (reader, "other"));
  else if (td_json_reader_has (reader, "next"))
    g_assert_cmpint (td_json_reader_optional_date (reader, "next"), ==, TD_DATE_NONE);
  else if (td_json_reader_has (reader, "at"))
    g_assert_cmpint (td_json_reader_moment (reader, "at").utc_ms, ==, 0);
  else
    g_assert_cmpint (td_json_reader_date (reader, "day"), ==, TD_DATE_NONE);
}

static void
test_wrong (void)
{
  static const struct
  {
    const char *text;
    int code;
    const char *message;
  } cases[] = {
    { "{\"id\":\n \"L\\u0007\"}", TD_ERROR_SHAPE,
      "line 2, column 2: \"id\": \"L \" cannot be an identifier; it may have 1 to 64 characters" },
    { "{\"id\": 5}", TD_ERROR_SHAPE, "\"id\" must be a text in quotes, not a whole number" },
    { "{\"other\": \" x\"}", TD_ERROR_SHAPE, "\" x\" cannot be an identifier" },
    { "{\"other\": null}", TD_ERROR_SHAPE, "leave the key out instead" },
    { "{}", TD_ERROR_SHAPE, "a thing lacks the key \"day\"" },
    { "{\"day\": \"2026-02-29\"}", TD_ERROR_PARSE,
      "line 1, column 9: \"day\": there is no day 2026-02-29 in the calendar" },
    { "{\"next\": \"soon\"}", TD_ERROR_PARSE, "\"next\": \"soon\" is not a date like 2026-03-02" },
    { "{\"at\": \"2026-03-02T06:10\"}", TD_ERROR_PARSE,
      "\"at\": \"2026-03-02T06:10\" is not a time like 2026-03-02T06:10:07+00:00" },
    { "{\"at\": 1772451607500}", TD_ERROR_SHAPE, "\"at\" must be a text in quotes" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (TdJson) json = td_json_parse (cases[i].text, -1, NULL);
      g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a thing");
      g_autoptr (GError) error = NULL;

      read_member (reader);
      g_assert_false (td_json_reader_finish (reader, &error));
      g_assert_error (error, TD_ERROR, cases[i].code);
      if (strstr (error->message, cases[i].message) == NULL)
        g_error ("\"%s\" lacks \"%s\"", error->message, cases[i].message);
    }
}

static void
test_excerpt (void)
{
  g_autofree char *sixty = g_strnfill (60, 'a');
  g_autofree char *more = g_strnfill (100000, 'a');
  g_autofree char *cut = g_strconcat (sixty, "\xE2\x80\xA6", NULL);
  const struct
  {
    const char *text;
    const char *excerpt;
  } cases[] = {
    { "", "" },
    { "plain", "plain" },
    { "a\nb\x7F", "a b " },
    { "\xFFx", "\xEF\xBF\xBDx" },
    { sixty, sixty },
    { more, cut },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *excerpt = td_text_excerpt (cases[i].text);

      g_assert_cmpstr (excerpt, ==, cases[i].excerpt);
    }
}

/* Whatever is cut, it is cut between characters. */
static void
test_excerpt_cuts (void)
{
  for (guint lead = 0; lead < 70; lead++)
    {
      g_autoptr (GString) text = g_string_new (NULL);
      g_autofree char *excerpt = NULL;

      for (guint i = 0; i < lead; i++)
        g_string_append_c (text, 'a');
      for (guint i = 0; i < 100; i++)
        g_string_append (text, "\xF0\x9F\x8D\xBA");
      excerpt = td_text_excerpt (text->str);
      g_assert_true (g_utf8_validate (excerpt, -1, NULL));
      g_assert_null (strstr (excerpt, "\xEF\xBF\xBD"));
      g_assert_cmpint (g_utf8_strlen (excerpt, -1), ==, 61);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/json-read-text/id-is-valid", test_id_is_valid);
  g_test_add_func ("/json-read-text/good", test_good);
  g_test_add_func ("/json-read-text/wrong", test_wrong);
  g_test_add_func ("/text/excerpt", test_excerpt);
  g_test_add_func ("/text/excerpt-cuts", test_excerpt_cuts);
  return g_test_run ();
}
