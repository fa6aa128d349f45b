/* Making JSON values and writing them. */
#include <math.h>

#include "core-error.h"
#include "core-json-build.h"

static TdJson *
build_sample (void)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) shared = td_json_parse ("{\"inner\": [1]}", -1, NULL);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "z", "\xC3\xA9\"\\\x01");
  td_json_builder_member_integer (builder, "a", G_MININT64);
  td_json_builder_member_real (builder, "r", 2.0 / 3, 3);
  td_json_builder_member_null (builder, "n");
  td_json_builder_member_string (builder, "s", NULL);
  td_json_builder_member_boolean (builder, "t", 4);
  td_json_builder_member_value (builder, "v", shared);
  td_json_builder_key (builder, "list");
  td_json_builder_begin_array (builder);
  td_json_builder_integer (builder, 1);
  td_json_builder_real (builder, NAN, -1);
  td_json_builder_end (builder);
  td_json_builder_key (builder, "empty");
  td_json_builder_begin_object (builder);
  td_json_builder_end (builder);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static void
test_text (void)
{
  g_autoptr (TdJson) json = build_sample ();
  g_autofree char *line = td_json_to_text (json, FALSE);
  g_autofree char *pretty = td_json_to_text (json, TRUE);
  g_autoptr (TdJson) again = td_json_parse (pretty, -1, NULL);

  g_assert_cmpstr (line, ==,
                   "{\"z\":\"\xC3\xA9\\\"\\\\\\u0001\",\"a\":-9223372036854775808,\"r\":0.667,\"n\":null,"
                   "\"s\":null,\"t\":true,\"v\":{\"inner\":[1]},\"list\":[1,null],\"empty\":{}}");
  g_assert_cmpstr (pretty, ==,
                   "{\n  \"z\": \"\xC3\xA9\\\"\\\\\\u0001\",\n  \"a\": -9223372036854775808,\n"
                   "  \"r\": 0.667,\n  \"n\": null,\n  \"s\": null,\n  \"t\": true,\n"
                   "  \"v\": {\n    \"inner\": [1]\n  },\n  \"list\": [1, null],\n  \"empty\": {}\n}\n");
  g_assert_cmpuint (td_json_get_line (json), ==, 0);
  g_assert_nonnull (again);
  g_assert_true (td_json_equal (json, again));
}

static void
test_decimals (void)
{
  static const struct
  {
    double value;
    int decimals;
    const char *text;
  } cases[] = {
    { 5.0, 0, "5" },          { 5.0, 3, "5" },           { 2.5, 0, "2" },
    { 3.5, 0, "4" },          { 1.0005, 3, "1" },        { 1.23456789, 4, "1.2346" },
    { -0.0004, 3, "-0.0" },   { 0.1 + 0.2, 15, "0.3" },  { 0.1 + 0.2, -1, "0.30000000000000004" },
    { 1e300, 2, "1e300" },    { 123456789, 2, "123456789" },
    { INFINITY, 2, "null" },  { -NAN, -1, "null" },
    { 0x1p-1074, -1, "5e-324" },
    { 9007199254740993.0, -1, "9007199254740992" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
      g_autoptr (TdJson) json = NULL;
      g_autofree char *text = NULL;

      td_json_builder_real (builder, cases[i].value, cases[i].decimals);
      json = td_json_builder_finish (builder);
      text = td_json_to_text (json, FALSE);
      g_assert_cmpstr (text, ==, cases[i].text);
    }
}

static void
test_canonical (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse ("{ \"b\": [1, \"\\u00e9\\u001F\\/\"], \"a\": {\"z\": -0, "
                                           "\"B\": \"\\n\"}, \"\\u00e9\": 1, \"A\": 2, \"aa\": [] }",
                                           -1, NULL);
  g_autofree char *text = td_json_to_canonical (json, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (text, ==,
                   "{\"A\":2,\"a\":{\"B\":\"\\n\",\"z\":0},\"aa\":[],\"b\":[1,\"\xC3\xA9\\u001f/\"],"
                   "\"\xC3\xA9\":1}");
}

static void
test_canonical_refuses (void)
{
  static const char *const texts[] = { "{\"a\":[1.5]}", "{\"a\":\ntrue}", "null", "[[null]]", "1.0" };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdJson) json = td_json_parse (texts[i], -1, NULL);

      g_assert_null (td_json_to_canonical (json, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
      g_assert_true (g_str_has_prefix (error->message, i == 1 ? "line 2, column 1: " : "line 1, "));
    }
}

/* Misuse stops the program: each case runs in a process of its own. */
static void
misuse_doubled_key (void)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  td_json_builder_member_integer (builder, "a", 1);
  td_json_builder_member_integer (builder, "a", 2);
  td_json_builder_end (builder);
}

static void
misuse_no_key (void)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  td_json_builder_integer (builder, 1);
}

static void
misuse_two_roots (void)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_integer (builder, 1);
  td_json_builder_integer (builder, 1);
}

static void
misuse_depth (void)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  for (int i = 0; i <= TD_JSON_MAX_DEPTH; i++)
    td_json_builder_begin_array (builder);
}

static void
misuse_not_utf8 (void)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_string (builder, "\xFF");
}

static void
test_misuse (gconstpointer data)
{
  void (*misuse) (void) = *(void (*const *) (void)) data;

  if (g_test_subprocess ())
    {
      misuse ();
      return;
    }
  g_test_trap_subprocess (NULL, 0, G_TEST_SUBPROCESS_DEFAULT);
  g_test_trap_assert_failed ();
}

/* A value of random shape.  @canonical: only what a journal body may hold. */
static void
build_random (TdJsonBuilder *builder, GRand *random, guint depth, gboolean canonical)
{
  gint32 kind = g_rand_int_range (random, 0, depth > 4 ? 5 : 7);
  gint64 bits = (gint64) ((guint64) g_rand_int (random) << 32 | g_rand_int (random));

  if (canonical && kind < 3)
    kind = 3;
  if (kind == 0)
    td_json_builder_null (builder);
  else if (kind == 1)
    td_json_builder_boolean (builder, bits & 1);
  else if (kind == 2)
    {
      union
      {
        gint64 bits;
        double real;
      } any = { bits };

      td_json_builder_real (builder, any.real, -1);
    }
  else if (kind == 3)
    td_json_builder_integer (builder, bits >> g_rand_int_range (random, 0, 64));
  else if (kind == 4)
    {
      g_autoptr (GString) text = g_string_new (NULL);

      for (gint32 i = g_rand_int_range (random, 0, 12); i > 0; i--)
        {
          gunichar c = (gunichar) g_rand_int_range (random, 1, i % 2 ? 0x80 : 0x110000);

          if (g_unichar_validate (c))
            g_string_append_unichar (text, c);
        }
      td_json_builder_string (builder, text->str);
    }
  else
    {
      gboolean object = kind == 5;

      if (object)
        td_json_builder_begin_object (builder);
      else
        td_json_builder_begin_array (builder);
      for (gint32 i = g_rand_int_range (random, 0, 8); i > 0; i--)
        {
          char key[32];

          g_snprintf (key, sizeof key, "%c%x", g_rand_int_range (random, 0x21, 0x7F), i);
          if (object)
            td_json_builder_key (builder, key);
          build_random (builder, random, depth + 1, canonical);
        }
      td_json_builder_end (builder);
    }
}

static void
test_round_trip (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (20240229);

  for (int i = 0; i < 1500; i++)
    {
      g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
      g_autoptr (TdJson) json = NULL;

      build_random (builder, random, 0, FALSE);
      json = td_json_builder_finish (builder);
      for (int pretty = 0; pretty < 2; pretty++)
        {
          g_autoptr (GError) error = NULL;
          g_autofree char *text = td_json_to_text (json, pretty);
          g_autoptr (TdJson) read = td_json_parse (text, -1, &error);
          g_autofree char *again = NULL;

          g_assert_no_error (error);
          g_assert_true (td_json_equal (json, read));
          again = td_json_to_text (read, pretty);
          g_assert_cmpstr (text, ==, again);
        }
    }
}

static void
assert_sorted (const TdJson *json)
{
  TdJsonType kind = td_json_get_kind (json);

  if (kind != TD_JSON_OBJECT && kind != TD_JSON_ARRAY)
    return;
  for (guint i = 0; i < td_json_get_length (json); i++)
    {
      if (kind == TD_JSON_OBJECT && i > 0)
        g_assert_cmpstr (td_json_get_key (json, i - 1), <, td_json_get_key (json, i));
      assert_sorted (td_json_get_element (json, i));
    }
}

static void
test_canonical_fixpoint (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (19700101);

  for (int i = 0; i < 1500; i++)
    {
      g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
      g_autoptr (TdJson) json = NULL;
      g_autoptr (TdJson) read = NULL;
      g_autofree char *text = NULL;
      g_autofree char *again = NULL;
      g_autofree char *plain = NULL;

      build_random (builder, random, 0, TRUE);
      json = td_json_builder_finish (builder);
      text = td_json_to_canonical (json, NULL);
      g_assert_nonnull (text);
      read = td_json_parse (text, -1, NULL);
      g_assert_nonnull (read);
      g_assert_true (td_json_equal (json, read));
      assert_sorted (read);
      again = td_json_to_canonical (read, NULL);
      g_assert_cmpstr (text, ==, again);
      /* Members stand sorted already, so writing them in order changes nothing. */
      plain = td_json_to_text (read, FALSE);
      g_assert_cmpstr (text, ==, plain);
    }
}

int
main (int argc, char **argv)
{
  static void (*const misuses[]) (void)
      = { misuse_doubled_key, misuse_no_key, misuse_two_roots, misuse_depth, misuse_not_utf8 };
  static const char *const names[] = { "doubled-key", "no-key", "two-roots", "depth", "not-utf8" };

  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/json-build/text", test_text);
  g_test_add_func ("/json-build/decimals", test_decimals);
  g_test_add_func ("/json-build/canonical", test_canonical);
  g_test_add_func ("/json-build/canonical-refuses", test_canonical_refuses);
  for (gsize i = 0; i < G_N_ELEMENTS (misuses); i++)
    {
      g_autofree char *path = g_strdup_printf ("/json-build/misuse/%s", names[i]);

      g_test_add_data_func (path, &misuses[i], test_misuse);
    }
  g_test_add_func ("/json-build/round-trip", test_round_trip);
  g_test_add_func ("/json-build/canonical-fixpoint", test_canonical_fixpoint);
  return g_test_run ();
}
