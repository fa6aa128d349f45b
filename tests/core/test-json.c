/* The strict reader of JSON: what it takes, what it refuses and where it says the fault is. */
#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-json.h"

static void
test_accepts (void)
{
  /* RFC 8259, clause by clause; the text on the right is what is written back on one line. */
  static const struct
  {
    const char *text;
    const char *written;
  } cases[] = {
    { "null", "null" },
    { " true ", "true" },
    { "\t\r\n false", "false" },
    { "0", "0" },
    { "-0", "0" },
    { "-0.0", "-0.0" },
    { "-0e5", "-0.0" },
    { "9223372036854775807", "9223372036854775807" },
    { "-9223372036854775808", "-9223372036854775808" },
    { "1.0", "1" },
    { "480.0", "480" },
    { "1e3", "1000" },
    { "1E+3", "1000" },
    { "12.50e-1", "1.25" },
    { "0.1", "0.1" },
    { "3.785", "3.785" },
    { "1e-6", "0.000001" },
    { "1e-7", "1e-7" },
    { "1e15", "1000000000000000" },
    { "9999999999999998.0", "9999999999999998" },
    { "1e16", "1e16" },
    { "92233547233720375.0", "9.223354723372037e16" }, /* the double is ...368, no integer of 17 digits */
    { "-2.5e-300", "-2.5e-300" },
    { "1.7976931348623157e308", "1.7976931348623157e308" },
    { "5e-324", "5e-324" },
    { "1e-999", "0" },
    { "0.30000000000000004", "0.30000000000000004" },
    { "\"\"", "\"\"" },
    { "\"a\\\"b\\\\c\\/d\"", "\"a\\\"b\\\\c/d\"" },
    { "\"\\b\\f\\n\\r\\t\"", "\"\\b\\f\\n\\r\\t\"" },
    { "\"\\u0041\\u00e9\\u20AC\\ud83c\\udf7a\"", "\"A\xC3\xA9\xE2\x82\xAC\xF0\x9F\x8D\xBA\"" },
    { "\"\\u001f\\u0001\"", "\"\\u001f\\u0001\"" },
    { "\"\x7F\"", "\"\x7F\"" },
    { "[]", "[]" },
    { "[ ]", "[]" },
    { "[ 1 , [ 2 ] , { } ]", "[1,[2],{}]" },
    { "{ }", "{}" },
    { "{ \"b\" : 1 , \"a\" : { \"b\" : [ ] } }", "{\"b\":1,\"a\":{\"b\":[]}}" },
    { "{\"\":0}", "{\"\":0}" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdJson) json = td_json_parse (cases[i].text, -1, &error);
      g_autofree char *written = NULL;

      g_assert_no_error (error);
      g_assert_nonnull (json);
      written = td_json_to_text (json, FALSE);
      g_assert_cmpstr (written, ==, cases[i].written);
    }
}

static const struct
{
  const char *text;
  const char *message; /* a part of it */
} refused[] = {
  { "", "line 1, column 1: expected a value, but the text ends here" },
  { " \n ", "line 2, column 2: expected a value" },
  { "nul", "line 1, column 1: expected a value, found 'n'" },
  { "True", "line 1, column 1: expected a value, found 'T'" },
  { "NaN", "line 1, column 1: expected a value" },
  { "-Infinity", "line 1, column 2: expected a digit after '-', found 'I'" },
  { "1 2", "line 1, column 3: expected nothing after the value, found '2'" },
  { "[1,]", "line 1, column 4: expected a value, found ']'" },
  { "[1 2]", "line 1, column 4: expected ',' or ']', found '2'" },
  { "[", "line 1, column 2: expected a value, but the text ends here" },
  { "[1", "line 1, column 3: expected ',' or ']', but the text ends here" },
  { "{\"a\":1,}", "line 1, column 8: expected a key in double quotes, found '}'" },
  { "{a:1}", "line 1, column 2: expected a key in double quotes, found 'a'" },
  { "{'a':1}", "line 1, column 2: expected a key in double quotes" },
  { "{\"a\" 1}", "line 1, column 6: expected ':' after the key, found '1'" },
  { "{\"a\":}", "line 1, column 6: expected a value, found '}'" },
  { "{\"a\":1", "line 1, column 7: expected ',' or '}'" },
  { "// note\n1", "line 1, column 1: expected a value, found '/'" },
  { "01", "line 1, column 1: a number may not start with a needless 0" },
  { "-01", "line 1, column 2: a number may not start with a needless 0" },
  { "+1", "line 1, column 1: expected a value, found '+'" },
  { ".5", "line 1, column 1: expected a value, found '.'" },
  { "1.", "line 1, column 3: expected a digit after the decimal point" },
  { "1.e5", "line 1, column 3: expected a digit after the decimal point, found 'e'" },
  { "1e", "line 1, column 3: expected a digit in the exponent" },
  { "1e+", "line 1, column 4: expected a digit in the exponent" },
  { "0x10", "line 1, column 2: expected nothing after the value, found 'x'" },
  { "12,5", "line 1, column 3: expected nothing after the value, found ','" },
  { "[9223372036854775808]", "line 1, column 2: the integer 9223372036854775808 does not fit" },
  { "-9223372036854775809", "does not fit in 64 bits" },
  { "1e309", "line 1, column 1: the number 1e309 is too large" },
  { "[1,\n -1e999]", "line 2, column 2: the number -1e999 is too large" },
  { "\"abc", "line 1, column 5: the text in quotes does not end" },
  { "\"a\nb\"", "line 1, column 3: a control character (U+000A) inside quotes must be escaped" },
  { "\"\\x\"", "line 1, column 3: expected one of \" \\ / b f n r t u after a backslash, found 'x'" },
  { "\"\\", "after a backslash, but the text ends here" },
  { "\"\\u12\"", "line 1, column 6: expected four hexadecimal digits after \\u, found '\"'" },
  { "\"\\u0000\"", "a text may not hold \\u0000" },
  { "\"\\ud800\"", "the surrogate \\uD800 stands without the one that goes after it" },
  { "\"\\ud800\\n\"", "stands without the one that goes after it" },
  { "\"\\ud800\\u0041\"", "\\u0041 cannot follow the surrogate \\uD800" },
  { "\"\\udc00\"", "the surrogate \\uDC00 stands without the one that goes before it" },
  { "\xEF\xBB\xBF{}", "line 1, column 1: the text starts with a byte order mark" },
  { "{\"a\":\n\"\xFF\"}", "line 2, column 2: the byte 0xFF is not UTF-8" },
  { "\"\xC0\x80\"", "the byte 0xC0 is not UTF-8" },             /* overlong NUL */
  { "\"\xED\xA0\x80\"", "the byte 0xED is not UTF-8" },         /* a surrogate in UTF-8 */
  { "\"\xF4\x90\x80\x80\"", "the byte 0xF4 is not UTF-8" },     /* beyond U+10FFFF */
  { "\"\xC3\"", "the byte 0xC3 is not UTF-8" },                 /* cut short */
  { "\xC2\xA0 1", "line 1, column 1: expected a value" },       /* not JSON's white space */
  { "\"\xC3\xA9\xC3\xA9\" x", "line 1, column 6: expected nothing" }, /* characters, not bytes */
  { "{\"a\":1,\n \"b\":2,\n  \"a\":3}", "line 3, column 3: the key \"a\" stands twice in one object" },
  { "{\"b\":1,\"a\":1,\"a\":2,\"b\":2}", "line 1, column 14: the key \"a\" stands twice" },
  { "{\"a\":1,\"\\u0061\":2}", "line 1, column 8: the key \"a\" stands twice" },
};

static void
test_refuses (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (refused); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdJson) json = td_json_parse (refused[i].text, -1, &error);

      g_assert_null (json);
      g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
      if (strstr (error->message, refused[i].message) == NULL)
        g_error ("case %" G_GSIZE_FORMAT ": \"%s\" lacks \"%s\"", i, error->message, refused[i].message);
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
    }
}

static void
test_length (void)
{
  static const char nul[] = "[1,\0 2]";
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse ("12345", 3, &error);

  g_assert_no_error (error);
  g_assert_cmpint (td_json_get_integer (json), ==, 123);
  g_assert_null (td_json_parse (nul, sizeof nul - 1, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
  g_assert_cmpstr (error->message, ==, "line 1, column 4: a NUL byte");
  g_clear_error (&error);
  g_assert_null (td_json_parse ("", 0, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
}

static void
test_places (void)
{
  static const char text[] = "{\n  \"\xC3\xA9t\xC3\xA9\": [1,\r\n\t{\"x\": 2.5}],\n  \"b\": \"s\"\n}";
  g_autoptr (TdJson) json = td_json_parse (text, -1, NULL);
  const TdJson *array = td_json_get_member (json, "\xC3\xA9t\xC3\xA9");
  const TdJson *inner = td_json_get_element (array, 1);
  const TdJson *real = td_json_get_member (inner, "x");
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (td_json_get_line (json), ==, 1);
  g_assert_cmpuint (td_json_get_column (json), ==, 1);
  g_assert_cmpuint (td_json_get_key_line (json, 0), ==, 2);
  g_assert_cmpuint (td_json_get_key_column (json, 0), ==, 3);
  g_assert_cmpuint (td_json_get_line (array), ==, 2);
  g_assert_cmpuint (td_json_get_column (array), ==, 10);
  g_assert_cmpuint (td_json_get_line (inner), ==, 3);
  g_assert_cmpuint (td_json_get_column (inner), ==, 2);
  g_assert_cmpuint (td_json_get_column (real), ==, 8);
  g_assert_cmpuint (td_json_get_key_line (json, 1), ==, 4);
  g_assert_cmpint (td_json_find_key (json, "b"), ==, 1);
  g_assert_cmpint (td_json_find_key (json, "c"), ==, -1);
  g_assert_null (td_json_get_member (json, ""));
  td_json_set_error (real, TD_ERROR_RANGE, &error, "%s is too much", "2.5");
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
  g_assert_cmpstr (error->message, ==, "line 3, column 8: 2.5 is too much");
}

static char *
nest (guint depth)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < depth; i++)
    g_string_append (text, i % 2 ? "[" : "{\"a\":");
  g_string_append (text, "0");
  for (guint i = depth; i > 0; i--)
    g_string_append (text, (i - 1) % 2 ? "]" : "}");
  return g_string_free (text, FALSE);
}

static void
test_depth (void)
{
  g_autofree char *deepest = nest (TD_JSON_MAX_DEPTH);
  g_autofree char *deeper = nest (TD_JSON_MAX_DEPTH + 1);
  g_autofree char *abyss = g_strnfill (1000000, '[');
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (deepest, -1, &error);
  g_autofree char *written = NULL;

  g_assert_no_error (error);
  written = td_json_to_text (json, FALSE);
  g_assert_cmpstr (written, ==, deepest);
  g_assert_null (td_json_parse (deeper, -1, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
  g_assert_nonnull (strstr (error->message, "nested deeper than 64"));
  g_clear_error (&error);
  g_assert_null (td_json_parse (abyss, -1, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
}

/* 100,000 keys on one line: every one is found, and a repetition of the first is seen. */
static void
test_many_keys (void)
{
  const guint n = 100000;
  g_autoptr (GString) text = g_string_new ("{");
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = NULL;

  for (guint i = 0; i < n; i++)
    {
      char member[32];

      g_snprintf (member, sizeof member, "%s\"k%u\":%u", i ? "," : "", i, i);
      g_string_append (text, member);
    }
  g_string_append_c (text, '}');
  json = td_json_parse (text->str, (gssize) text->len, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (td_json_get_length (json), ==, n);
  for (guint i = 0; i < n; i++)
    {
      char key[16];

      g_snprintf (key, sizeof key, "k%u", i);
      g_assert_cmpint (td_json_get_integer (td_json_get_member (json, key)), ==, i);
    }
  g_string_truncate (text, text->len - 1);
  g_string_append (text, ",\"k0\":1}");
  g_assert_null (td_json_parse (text->str, (gssize) text->len, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
  g_assert_nonnull (strstr (error->message, "the key \"k0\" stands twice"));
}

static void
test_equal (void)
{
  static const struct
  {
    const char *a;
    const char *b;
    gboolean equal;
  } cases[] = {
    { "1", "1", TRUE },
    { "1", "1.0", TRUE },
    { "1", "1.5", FALSE },
    { "0", "-0.0", TRUE },
    { "9223372036854775807", "9223372036854775807.0", FALSE }, /* the double is 2^63 */
    { "9007199254740993", "9007199254740993.0", FALSE },       /* the double is ...992 */
    { "9007199254740992", "9007199254740993.0", TRUE },
    { "1", "\"1\"", FALSE },
    { "1", "true", FALSE },
    { "null", "false", FALSE },
    { "true", "false", FALSE },
    { "null", "null", TRUE },
    { "[]", "{}", FALSE },
    { "[1,2]", "[1,2]", TRUE },
    { "[1,2]", "[2,1]", FALSE },
    { "[1,2]", "[1]", FALSE },
    { "{\"a\":1,\"b\":[]}", "{\"b\":[],\"a\":1}", TRUE },
    { "{\"a\":1}", "{\"b\":1}", FALSE },
    { "{\"a\":1}", "{\"a\":2}", FALSE },
    { "{}", "{\"a\":2}", FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (TdJson) a = td_json_parse (cases[i].a, -1, NULL);
      g_autoptr (TdJson) b = td_json_parse (cases[i].b, -1, NULL);

      g_assert_cmpint (td_json_equal (a, b), ==, cases[i].equal);
      g_assert_cmpint (td_json_equal (b, a), ==, cases[i].equal);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/json/accepts", test_accepts);
  g_test_add_func ("/json/refuses", test_refuses);
  g_test_add_func ("/json/length", test_length);
  g_test_add_func ("/json/places", test_places);
  g_test_add_func ("/json/depth", test_depth);
  g_test_add_func ("/json/many-keys", test_many_keys);
  g_test_add_func ("/json/equal", test_equal);
  return g_test_run ();
}
