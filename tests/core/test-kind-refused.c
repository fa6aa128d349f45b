#include "core-kind.h"

#include "core-error.h"
#include "kind-bodies.h"

/* The sentences that people read when an entry is refused: each names the field and what to do. */

typedef struct
{
  const char *kind;
  const char *body;
  int code;
  const char *message;
} Refusal;

static const Refusal refusals[] = {
  { "ph-read", "{\"of\":\"tap\",\"ph_milli\":74200,\"known\":\"measured\"}", TD_ERROR_RANGE,
    "field ph_milli: 74200 is outside 0..14000 (0.001 pH); pH 7.42 is written 7420" },
  { "ph-read", "{\"of\":\"tap\",\"ph_milli\":7.42,\"known\":\"measured\"}", TD_ERROR_SHAPE,
    "field ph_milli: 7.42 is not a whole number (0.001 pH); pH 7.42 is written 7420" },
  { "ph-read", "{\"of\":\"tap\",\"ph\":7,\"ph_milli\":7000,\"known\":\"measured\"}", TD_ERROR_SHAPE,
    "field ph: not a field of ph-read, which has of, lines, ph_milli, instrument, known" },
  { "ph-read", "{\"of\":\"tap\",\"known\":\"measured\"}", TD_ERROR_SHAPE,
    "field ph_milli: missing from ph-read; write a whole number in 0.001 pH" },
  { "ph-read", "{\"of\":\"tap\",\"ph_milli\":7000}", TD_ERROR_SHAPE,
    "field known: missing from ph-read; write one of measured/accepted/estimated" },
  { "ph-read", "{\"of\":\"outlet\",\"ph_milli\":7000,\"known\":\"measured\"}", TD_ERROR_SHAPE,
    "field lines: missing from ph-read; of \"outlet\" needs it" },
  { "ph-read", "{\"of\":\"tap\"," LINES_1 ",\"ph_milli\":7000,\"known\":\"measured\"}",
    TD_ERROR_SHAPE, "field lines: it belongs to of \"outlet\", not \"tap\"; leave it out" },
  { "debris-seen", "{" LINES_1 ",\"debris\":\"much\"}", TD_ERROR_SHAPE,
    "field debris: \"much\" is not one of the words none, some, heavy" },
  { "protection-on", "{\"eyes\":true,\"gloves\":\"yes\"}", TD_ERROR_SHAPE,
    "field eyes: true is not one of the words yes, no" },
  { "line-proved", "{\"lines\":[\"A1\",\"A2\",\"A1\"]}", TD_ERROR_SHAPE,
    "field lines[3]: \"A1\" stands there twice; name it once" },
  { "line-proved", "{\"lines\":[]}", TD_ERROR_SHAPE,
    "field lines: the list is empty; name at least 1" },
  { "line-proved", "{\"lines\":\"A1\"}", TD_ERROR_SHAPE,
    "field lines: \"A1\" is not a list; write it in brackets" },
  { "line-proved", "[]", TD_ERROR_SHAPE, "line-proved: [] is not an object; write it in braces" },
  { "tag-hung", "{\"tag\":\"1\",\"tag_kind\":\"tag\",\"at\":\"outlet\"}", TD_ERROR_SHAPE,
    "field line: missing from tag-hung; at \"outlet\" needs it" },
  { "tag-hung", "{\"tag\":\"1\",\"tag_kind\":\"lock\",\"at\":\"power\"}", TD_ERROR_SHAPE,
    "field place: missing from tag-hung; at \"power\" needs it" },
  { "chemical-in", "{\"batch\":\"m1\"}", TD_ERROR_SHAPE,
    "field circuit: chemical-in needs exactly one of circuit and lines; write one" },
  { "chemical-in", "{\"batch\":\"m1\",\"circuit\":1," LINES_1 "}", TD_ERROR_SHAPE,
    "field circuit: chemical-in needs exactly one of circuit and lines; leave one out" },
  { "beer-pushed-out", "{\"lost_ml\":1,\"by\":\"water\",\"known\":\"measured\"}", TD_ERROR_SHAPE,
    "field circuit: beer-pushed-out needs exactly one of circuit and lines; write one" },
  { "chemical-seen", "{\"batch\":\"m1\"}", TD_ERROR_SHAPE,
    "field circuit: chemical-seen needs exactly one of circuit and lines; write one" },
  { "contact-ended", "{}", TD_ERROR_SHAPE,
    "field circuit: contact-ended needs exactly one of circuit and lines; write one" },
  { "rinse-started", "{}", TD_ERROR_SHAPE,
    "field circuit: rinse-started needs exactly one of circuit and lines; write one" },
  { "rinse-water", "{\"water_ml\":1,\"known\":\"measured\"}", TD_ERROR_SHAPE,
    "field circuit: rinse-water needs exactly one of circuit and lines; write one" },
  { "contact-ended", "{\"circuit\":0}", TD_ERROR_RANGE, "field circuit: 0 is outside 1..999" },
  { "temperature-read",
    "{\"of\":\"solution\",\"temperature_c_milli\":40000,\"known\":\"measured\"}", TD_ERROR_SHAPE,
    "field batch: missing from temperature-read; of \"solution\" needs it" },
  { "temperature-read", "{\"of\":\"beer\",\"temperature_c_milli\":3300,\"known\":\"measured\"}",
    TD_ERROR_SHAPE, "field lines: missing from temperature-read; of \"beer\" needs it" },
  { "temperature-read",
    "{\"of\":\"cold-room\",\"temperature_c_milli\":3300,\"known\":\"measured\"}", TD_ERROR_SHAPE,
    "field cooler: missing from temperature-read; of \"cold-room\" needs it" },
  { "temperature-read",
    "{\"of\":\"beer\"," LINES_1
    ",\"batch\":\"m1\",\"temperature_c_milli\":3300,\"known\":\"measured\"}",
    TD_ERROR_SHAPE, "field batch: it belongs to of \"solution\", not \"beer\"; leave it out" },
  { "fault",
    "{\"symptom\":\"warm\",\"extent\":\"one-line\",\"cause\":\"equipment\",\"severity\":\"quality\","
    "\"text\":\"x\"}",
    TD_ERROR_SHAPE, "field line: missing from fault; extent \"one-line\" needs it" },
  { "photo", "{}", TD_ERROR_SHAPE,
    "field file: photo needs exactly one of file and sha256; write one" },
  { "photo", "{\"file\":\"a.jpg\",\"sha256\":" HASH_1 "}", TD_ERROR_SHAPE,
    "field file: photo needs exactly one of file and sha256; leave one out" },
  { "photo", "{\"sha256\":\"AB\"}", TD_ERROR_SHAPE,
    "field sha256: \"AB\" is not a SHA-256; write its 64 hexadecimal digits in lower case" },
  { "correction", "{\"of\":3,\"why\":\"x\"}", TD_ERROR_SHAPE,
    "field set: correction needs exactly one of set and void; write one" },
  { "correction", "{\"of\":3,\"set\":{\"kind\":\"note\"},\"why\":\"x\"}", TD_ERROR_SHAPE,
    "field set: visit and kind cannot be corrected; void the entry and write another" },
  { "correction", "{\"of\":3,\"set\":{\"person\":\"\"},\"why\":\"x\"}", TD_ERROR_SHAPE,
    "field set.person: the text is empty; write it or leave the field out" },
  { "correction", "{\"of\":3,\"set\":{},\"why\":\"x\"}", TD_ERROR_SHAPE,
    "field set: the object is empty; name at least one member" },
  { "countersignature", "{\"meaning\":\"informed\"}", TD_ERROR_SHAPE,
    "field name: missing from countersignature; meaning \"informed\" needs it" },
  { "countersignature", "{\"meaning\":\"refused\"}", TD_ERROR_SHAPE,
    "field reason: missing from countersignature; meaning \"refused\" needs it" },
  { "note", "{\"text\":\"a\\u0000b\"}", TD_ERROR_SHAPE, NULL },
  { "note", "{\"text\":\"a\\u0007b\"}", TD_ERROR_SHAPE,
    "field text: the text holds the control character U+0007; only line feed and tab may stand in it" },
  { "staff-told", "{\"tower\":\"TA\",\"name\":\"a\\nb\"}", TD_ERROR_SHAPE,
    "field name: the text holds the control character U+000A; write it on one line" },
  { "arrival", "{\"site\":\"x\",\"work\":\"amendment\",\"amends\":\"7\"}", TD_ERROR_SHAPE,
    "field amends: \"7\" is not a UUID; it looks like 0195f0a1-7c00-7000-8000-000000000001" },
  { "signature", "{\"name\":\"x\",\"meaning\":\"work-done\",\"strokes\":[[1,2,3],[1,2]]}",
    TD_ERROR_SHAPE,
    "field strokes[2]: 2 numbers do not make whole points; each point is x, y, ms" },
  { "note", "{\"text\":[\"a text in a list, which is long enough, as one sees, that it is cut\"]}",
    TD_ERROR_SHAPE,
    "field text: [\"a text in a list, which is long enough, as one sees, that \xE2\x80\xA6 is not a text; write it in quotes" },
};

/* Plans; the message follows "field plan". */
static const Refusal plans[] = {
  { "7", NULL, TD_ERROR_SHAPE, ": not an object; write circuits and static in braces" },
  { "{\"circuits\":[],\"static\":[]}", NULL, TD_ERROR_SHAPE,
    ": it holds no line; name at least one" },
  { "{\"circuits\":[]}", NULL, TD_ERROR_SHAPE, ".static: missing; write [] where there is none" },
  { "{\"static\":[]}", NULL, TD_ERROR_SHAPE, ".circuits: missing; write [] where there is none" },
  { "{\"circuits\":{},\"static\":[]}", NULL, TD_ERROR_SHAPE,
    ".circuits: {} is not a list; write it in brackets" },
  { "{\"circuits\":[],\"static\":[],\"proven\":\"yes\"}", NULL, TD_ERROR_SHAPE,
    ".proven: not a field of a plan, which has circuits, static" },
  { "{\"circuits\":[5],\"static\":[]}", NULL, TD_ERROR_SHAPE, NULL },
  { "{\"circuits\":[{\"number\":1,\"station\":\"T\"}],\"static\":[]}", NULL, TD_ERROR_SHAPE,
    ".circuits[1].legs: missing from circuit; write the lines of the circuit in order of flow" },
  { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[]}],\"static\":[]}", NULL,
    TD_ERROR_SHAPE, ".circuits[1].legs: the list is empty; name at least 1" },
  { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[{\"line\":\"A1\",\"direction\":\"up\","
    "\"reversal\":\"no\"}]}],\"static\":[]}",
    NULL, TD_ERROR_SHAPE,
    ".circuits[1].legs[1].direction: \"up\" is not one of the words in, out" },
  { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[{\"line\":\"A1\",\"direction\":\"in\","
    "\"reversal\":true}]}],\"static\":[]}",
    NULL, TD_ERROR_SHAPE, ".circuits[1].legs[1].reversal: true is not one of the words yes, no" },
  { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[{\"line\":\"A1\",\"direction\":\"in\"}]}],"
    "\"static\":[]}",
    NULL, TD_ERROR_SHAPE, ".circuits[1].legs[1].reversal: missing from leg; write one of yes/no" },
  { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[{\"line\":\"A1\",\"direction\":\"in\","
    "\"reversal\":\"no\"},{\"line\":\"A1\",\"direction\":\"out\",\"reversal\":\"no\"}]}],\"static\":[]}",
    NULL, TD_ERROR_SHAPE,
    ".circuits[1].legs[2].: line A1 stands in the plan twice; give it one part" },
  { "{\"circuits\":[],\"static\":[{\"line\":\"A1\",\"cooler\":\"C1\",\"fed_by\":1}]}", NULL,
    TD_ERROR_SHAPE, NULL },
  { "{\"circuits\":[],\"static\":[{\"line\":\"A1\"}]}", NULL, TD_ERROR_SHAPE,
    ".static[1].cooler: missing from static line; write the cooler whose manifold feeds it" },
  { "{\"circuits\":[],\"static\":[{\"line\":\"A1\",\"cooler\":\"C1\"},{\"line\":\"A1\",\"cooler\":"
    "\"C1\"}]}",
    NULL, TD_ERROR_SHAPE, ".static[2].: line A1 stands in the plan twice; give it one part" },
};

static void
assert_refusal (const char *kind_code,
                const char *body_text,
                int code,
                const char *message,
                const char *named)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) body = td_json_parse (body_text, -1, &error);
  TdKind kind = TD_N_KINDS;

  if (body == NULL)
    {
      /* NUL does not get past the reader. */
      g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
      return;
    }
  g_assert_true (td_kind_from_code (kind_code, &kind));
  g_assert_false (td_kind_check_body (kind, body, &error));
  g_assert_error (error, TD_ERROR, code);
  if (message != NULL)
    g_assert_cmpstr (error->message, ==, message);
  else
    g_assert_true (g_str_has_prefix (error->message, named));
}

static void
test_messages (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (refusals); i++)
    assert_refusal (refusals[i].kind, refusals[i].body, refusals[i].code, refusals[i].message,
                    "field ");
}

static void
test_plans (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (plans); i++)
    {
      g_autofree char *body = g_strdup_printf ("{\"plan\":%s,\"source\":\"hand\"}", plans[i].kind);
      g_autofree char *message
          = plans[i].message != NULL ? g_strconcat ("field plan", plans[i].message, NULL) : NULL;

      assert_refusal ("plan-adopted", body, plans[i].code, message, "");
    }
}

static const char *const predictions[] = {
  "{\"circuits\":[]}",
  "{\"circuits\":[{\"number\":1}]}",
  "{\"circuits\":[{\"number\":1,\"flow_ml_min\":4000,\"fill\":3}]}",
  "{\"circuits\":[{\"number\":1,\"flow_ml_min\":\"4000\"}]}",
  "{\"circuits\":[{\"number\":1,\"flow_ml_min\":4000,\"fill_s\":-1}]}",
  "{\"flow_ml_min\":4000}",
  "{\"circuits\":[{\"number\":1,\"flow_ml_min\":4000}],\"more\":1}",
};

static void
test_predictions (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (predictions); i++)
    {
      g_autofree char *body = g_strdup_printf (
          "{\"plan\":" PLAN_BOTH ",\"source\":\"hand\",\"predicted\":%s}", predictions[i]);
      g_autoptr (TdJson) json = td_json_parse (body, -1, NULL);
      g_autoptr (GError) error = NULL;

      g_assert_nonnull (json);
      g_assert_false (td_kind_check_body (TD_KIND_PLAN_ADOPTED, json, &error));
      g_assert_true (g_str_has_prefix (error->message, "field predicted"));
    }
}

/* "[item0,item1,...]" with @n elements; "%u" in @item is the count. */
static char *
make_list (const char *before, guint n, const char *after)
{
  g_autoptr (GString) list = g_string_new ("[");

  for (guint i = 0; i < n; i++)
    g_string_append_printf (list, "%s%s%u%s", i > 0 ? "," : "", before, i, after);
  g_string_append_c (list, ']');
  return g_string_free (g_steal_pointer (&list), FALSE);
}

static gboolean
is_taken (TdKind kind, const char *text, GError **error)
{
  g_autoptr (TdJson) body = td_json_parse (text, -1, NULL);

  g_assert_nonnull (body);
  return td_kind_check_body (kind, body, error);
}

static void
test_limits (void)
{
  static const struct
  {
    TdKind kind;
    const char *before, *after; /* around the text or list */
    guint most;
    gboolean list;
  } limits[] = {
    { TD_KIND_LINE_PROVED, "{\"lines\":", "}", 200, TRUE },
    { TD_KIND_ARRIVAL, "{\"site\":\"s\",\"work\":\"routine\",\"crew\":", "}", 200, TRUE },
    { TD_KIND_NOTE, "{\"text\":", "}", 4000, FALSE },
    { TD_KIND_STAFF_TOLD, "{\"tower\":\"T\",\"name\":", "}", 500, FALSE },
    { TD_KIND_STAFF_TOLD, "{\"name\":\"N\",\"tower\":", "}", 100, FALSE },
    { TD_KIND_TAG_LIFTED, "{\"tag\":", "}", 100, FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (limits); i++)
    for (guint beyond = 0; beyond < 2; beyond++)
      {
        g_autoptr (GString) text = g_string_new ("\"");
        g_autofree char *value = NULL;
        g_autofree char *body = NULL;
        g_autoptr (GError) error = NULL;

        /* Characters, not bytes: two bytes each. */
        for (guint j = 0; j < limits[i].most + beyond; j++)
          g_string_append (text, "\xC3\xA9");
        g_string_append_c (text, '"');
        value = limits[i].list ? make_list ("\"L", limits[i].most + beyond, "\"")
                               : g_strdup (text->str);
        body = g_strconcat (limits[i].before, value, limits[i].after, NULL);
        g_assert_cmpint (is_taken (limits[i].kind, body, &error), ==, beyond == 0);
        if (beyond == 1)
          g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      }
}

/* 50,000 points in two strokes are taken, one more is not. */
static void
test_points (void)
{
  for (guint beyond = 0; beyond < 2; beyond++)
    {
      g_autofree char *first = make_list ("1,2,", 25000, "");
      g_autofree char *second = make_list ("3,4,", 25000 + beyond, "");
      g_autofree char *body = g_strdup_printf (
          "{\"name\":\"N\",\"meaning\":\"work-done\",\"strokes\":[%s,%s]}", first, second);
      g_autoptr (GError) error = NULL;

      g_assert_cmpint (is_taken (TD_KIND_SIGNATURE, body, &error), ==, beyond == 0);
      if (beyond == 1)
        g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/kind-refused/messages", test_messages);
  g_test_add_func ("/kind-refused/plans", test_plans);
  g_test_add_func ("/kind-refused/predictions", test_predictions);
  g_test_add_func ("/kind-refused/limits", test_limits);
  g_test_add_func ("/kind-refused/points", test_points);
  return g_test_run ();
}
