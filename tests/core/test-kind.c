#include "core-kind.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "kind-bodies.h"

/* Every kind, by tables: what is taken, what is refused, and that no field is missed by the tables.
 */

static TdJson *
parse (const char *text)
{
  g_autoptr (GError) error = NULL;
  TdJson *json = td_json_parse (text, -1, &error);

  g_assert_no_error (error);
  return json;
}

/* A copy of @object without @key, and with @value under it where that is not NULL. */
static TdJson *
replace (const TdJson *object, const char *key, TdJson *value)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (object); i++)
    if (strcmp (td_json_get_key (object, i), key) != 0)
      td_json_builder_member_value (builder, td_json_get_key (object, i),
                                    td_json_get_element (object, i));
  if (value != NULL)
    td_json_builder_member_value (builder, key, value);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static TdKind
find_kind (const char *code)
{
  TdKind kind = TD_N_KINDS;

  g_assert_true (td_kind_from_code (code, &kind));
  return kind;
}

static void
test_codes (void)
{
  TdKind kind;

  for (guint i = 0; i < TD_N_KINDS; i++)
    {
      const char *code = td_kind_get_code ((TdKind) i);

      g_assert_cmpint (find_kind (code), ==, i);
      g_assert_cmpuint (strspn (code, "abcdefghijklmnopqrstuvwxyz-"), ==, strlen (code));
      g_assert_cmpstr (td_kind_get_text ((TdKind) i), !=, "");
    }
  g_assert_false (td_kind_from_code ("tag_hung", &kind));
  g_assert_false (td_kind_from_code ("", &kind));
  g_assert_false (td_kind_from_code ("Arrival", &kind));
}

/* The table itself: snake_case keys that differ from the frame of an entry, texts, sane ranges. */
static void
test_fields (void)
{
  static const char *const frame[] = { "visit", "kind", "happened", "person", NULL };

  for (guint i = 0; i < TD_N_KINDS; i++)
    for (const TdField *field = td_kind_get_fields ((TdKind) i); field->key != NULL; field++)
      {
        g_assert_false (g_strv_contains (frame, field->key));
        g_assert_cmpuint (strspn (field->key, "abcdefghijklmnopqrstuvwxyz0123456789_"), ==,
                          strlen (field->key));
        g_assert_nonnull (field->text);
        g_assert_true (g_str_has_suffix (field->text, "."));
        if (field->type == TD_FIELD_INTEGER)
          g_assert_cmpint (field->minimum, <, field->maximum);
        g_assert_cmpint (field->choices != NULL, ==, field->type == TD_FIELD_CHOICE);
      }
}

/* Every quantity says its unit. */
static void
test_units (void)
{
  static const char *const counts[] = { "quantity", "of", NULL };

  for (guint i = 0; i < TD_N_KINDS; i++)
    for (const TdField *field = td_kind_get_fields ((TdKind) i); field->key != NULL; field++)
      if (field->type == TD_FIELD_INTEGER && !g_strv_contains (counts, field->key))
        g_assert_nonnull (td_field_get_unit (field));
      else
        g_assert_null (td_field_get_unit (field));
}

static void
test_taken (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
    {
      g_autoptr (TdJson) body = parse (kind_bodies[i].body);
      g_autoptr (GError) error = NULL;

      td_kind_check_body (find_kind (kind_bodies[i].kind), body, &error);
      g_assert_no_error (error);
    }
}

/* Each field stands in at least one of the valid bodies, and each word of a choice is taken. */
static void
test_coverage (void)
{
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
    {
      g_autoptr (TdJson) body = parse (kind_bodies[i].body);

      g_hash_table_add (seen, g_strdup (kind_bodies[i].kind));
      for (guint j = 0; j < td_json_get_length (body); j++)
        g_hash_table_add (
            seen, g_strdup_printf ("%s.%s", kind_bodies[i].kind, td_json_get_key (body, j)));
    }
  for (guint i = 0; i < TD_N_KINDS; i++)
    {
      const char *code = td_kind_get_code ((TdKind) i);

      g_assert_true (g_hash_table_contains (seen, code));
      for (const TdField *field = td_kind_get_fields ((TdKind) i); field->key != NULL; field++)
        {
          g_autofree char *name = g_strdup_printf ("%s.%s", code, field->key);

          if (!g_hash_table_contains (seen, name))
            g_error ("no valid body has %s", name);
        }
    }
}

static void
assert_refused (TdKind kind, const TdJson *body, const char *key)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *named = g_strconcat ("field ", key, NULL);
  gboolean taken = td_kind_check_body (kind, body, &error);

  if (taken)
    g_error ("%s was taken with a bad %s", td_kind_get_code (kind), key);
  g_assert_true (error->domain == TD_ERROR);
  g_assert_true (error->code == TD_ERROR_SHAPE || error->code == TD_ERROR_RANGE);
  if (!g_str_has_prefix (error->message, named))
    g_error ("%s: \"%s\" does not name %s", td_kind_get_code (kind), error->message, key);
}

/* Values that a field of the type never takes. */
static const char *const bad_values[] = {
  [TD_FIELD_TEXT] = "[\"\", \" \", \"a\\nb\", \"a\\u0007\", 5, true, null, [\"a\"]]",
  [TD_FIELD_PROSE] = "[\"\", \" \\n\", \"a\\rb\", \"a\\u2028b\", 5, false, {}]",
  [TD_FIELD_CHOICE] = "[\"\", \"maybe\", \"yes|no\", \"YES\", true, false, 1, null, []]",
  [TD_FIELD_INTEGER] = "[\"5\", 5.0, 5.5, 1e3, true, null, [5], -9000000000000, 9000000000000]",
  [TD_FIELD_LINE] = "[\"\", 4, [\"A1\"], \"A\\t1\"]",
  [TD_FIELD_LINES] = "[[], \"A1\", [\"A1\", \"A1\"], [4], [\"\"], [[\"A1\"]], {}]",
  [TD_FIELD_CIRCUIT] = "[0, -1, 1000, \"1\", 1.5]",
  [TD_FIELD_TOWER] = "[\"\", 1]",
  [TD_FIELD_COOLER] = "[\"\", 1]",
  [TD_FIELD_PRODUCT] = "[\"\", 1]",
  [TD_FIELD_LOT] = "[\"\", 1]",
  [TD_FIELD_INSTRUMENT] = "[\"\", 1]",
  [TD_FIELD_TAG] = "[\"\", 1]",
  [TD_FIELD_BATCH] = "[\"\", 1]",
  [TD_FIELD_UUID] = "[\"\", 1, \"0195f0a1-7c00-7000-8000-00000000000\", \"x\"]",
  [TD_FIELD_HASH] = ("[\"\", 1, \"abc\", "
                     "\"00112233445566778899AABBCCDDEEFF00112233445566778899aabbccddeeff\", "
                     "\"00112233445566778899aabbccddeeff00112233445566778899aabbccddeef\"]"),
  [TD_FIELD_MOMENT] = "[\"2026-03-02T06:10\", 5]",
  [TD_FIELD_TEXTS] = "[[], \"a\", [\"a\", \"a\"], [\"a\\nb\"], [1]]",
  [TD_FIELD_STROKES] = ("[[], [[]], [[1, 2]], [[1, 2, 3, 4]], [[1, 2, -3]], [[1, 2, 3.5]], "
                        "[[1, 2, \"3\"]], [[100001, 0, 0]], [[0, 0, 3600001]], [1, 2, 3], 7]"),
  [TD_FIELD_PLAN] = "[5, \"plan\", [], {}, {\"circuits\": [], \"static\": []}]",
  [TD_FIELD_OBJECT] = "[5, \"x\", [], {}, {\"a\": 1.5}, {\"a\": true}, {\"a\": [null]}]",
};

static void
test_refused_values (void)
{
  guint n = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
    {
      TdKind kind = find_kind (kind_bodies[i].kind);
      g_autoptr (TdJson) body = parse (kind_bodies[i].body);

      for (const TdField *field = td_kind_get_fields (kind); field->key != NULL; field++)
        {
          g_autoptr (TdJson) values = NULL;

          if (td_json_get_member (body, field->key) == NULL)
            continue;
          values = parse (bad_values[field->type]);
          for (guint j = 0; j < td_json_get_length (values); j++, n++)
            {
              g_autoptr (TdJson) bad = replace (body, field->key, td_json_get_element (values, j));

              assert_refused (kind, bad, field->key);
            }
        }
    }
  g_assert_cmpuint (n, >, 1000);
}

/* The ends of every range are taken, one beyond is not. */
static void
test_ranges (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
    {
      TdKind kind = find_kind (kind_bodies[i].kind);
      g_autoptr (TdJson) body = parse (kind_bodies[i].body);

      for (const TdField *field = td_kind_get_fields (kind); field->key != NULL; field++)
        {
          const gint64 ends[4]
              = { field->minimum, field->maximum, field->minimum - 1, field->maximum + 1 };

          if (field->type != TD_FIELD_INTEGER || td_json_get_member (body, field->key) == NULL)
            continue;
          for (guint j = 0; j < 4; j++)
            {
              g_autofree char *text = g_strdup_printf ("%" G_GINT64_FORMAT, ends[j]);
              g_autoptr (TdJson) value = parse (text);
              g_autoptr (TdJson) changed = replace (body, field->key, value);
              g_autoptr (GError) error = NULL;

              td_kind_check_body (kind, changed, &error);
              if (j < 2)
                g_assert_no_error (error);
              else
                g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
            }
        }
    }
}

/* Every word of every choice is taken: where the body is refused, it is for a field that the word
 * asks for or forbids, never for the word. */
static void
test_choices (void)
{
  guint n = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
    {
      TdKind kind = find_kind (kind_bodies[i].kind);
      g_autoptr (TdJson) body = parse (kind_bodies[i].body);

      for (const TdField *field = td_kind_get_fields (kind); field->key != NULL; field++)
        {
          g_auto (GStrv) words = NULL;

          if (field->type != TD_FIELD_CHOICE || td_json_get_member (body, field->key) == NULL)
            continue;
          words = g_strsplit (field->choices, "|", -1);
          for (guint j = 0; words[j] != NULL; j++, n++)
            {
              g_autofree char *text = g_strdup_printf ("\"%s\"", words[j]);
              g_autofree char *named = g_strdup_printf ("field %s:", field->key);
              g_autoptr (TdJson) value = parse (text);
              g_autoptr (TdJson) changed = replace (body, field->key, value);
              g_autoptr (GError) error = NULL;

              g_assert_cmpuint (strspn (words[j], "abcdefghijklmnopqrstuvwxyz-/"), ==,
                                strlen (words[j]));
              if (!td_kind_check_body (kind, changed, &error))
                g_assert_false (g_str_has_prefix (error->message, named));
            }
        }
    }
  g_assert_cmpuint (n, >, 100);
}

static void
test_required (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
    {
      TdKind kind = find_kind (kind_bodies[i].kind);
      g_autoptr (TdJson) body = parse (kind_bodies[i].body);

      for (const TdField *field = td_kind_get_fields (kind); field->key != NULL; field++)
        {
          g_autoptr (TdJson) without = NULL;

          if (!field->required)
            continue;
          without = replace (body, field->key, NULL);
          assert_refused (kind, without, field->key);
        }
    }
}

/* A field of another kind, and one of none. */
static void
test_unknown (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
    {
      TdKind kind = find_kind (kind_bodies[i].kind);
      g_autoptr (TdJson) body = parse (kind_bodies[i].body);
      g_autoptr (TdJson) value = parse ("\"x\"");
      g_autoptr (TdJson) odd = replace (body, "colour", value);
      g_autoptr (TdJson) cased = replace (body, "Text", value);

      assert_refused (kind, odd, "colour");
      assert_refused (kind, cased, "Text");
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/kind/codes", test_codes);
  g_test_add_func ("/kind/fields", test_fields);
  g_test_add_func ("/kind/units", test_units);
  g_test_add_func ("/kind/taken", test_taken);
  g_test_add_func ("/kind/coverage", test_coverage);
  g_test_add_func ("/kind/refused-values", test_refused_values);
  g_test_add_func ("/kind/ranges", test_ranges);
  g_test_add_func ("/kind/choices", test_choices);
  g_test_add_func ("/kind/required", test_required);
  g_test_add_func ("/kind/unknown", test_unknown);
  return g_test_run ();
}
