#include "core-entry.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"

/* Canonical bytes of an entry and the seal of a small visit. */

#define VISIT "0195f0a1-7c00-7000-8000-000000000001"
#define DEVICE "0195f0a1-0000-7000-8000-0000000000dd"

static TdEnvelope
make_envelope (guint seq,
               TdKind kind,
               gint64 happened,
               int offset,
               gint64 recorded,
               gint64 boottime)
{
  TdEnvelope envelope = {
    .seq = seq,
    .kind = kind,
    .version = TD_ENTRY_VERSION,
    .happened = { happened, offset },
    .zone = (char *) "Europe/Dublin",
    .recorded_ms = recorded,
    .boot_id = (char *) "5b1c",
    .boottime_ms = boottime,
    .person = (char *) "t1",
  };

  g_assert_true (td_uuid_parse (VISIT, &envelope.visit, NULL));
  g_assert_true (td_uuid_parse (DEVICE, &envelope.device, NULL));
  return envelope;
}

static TdEntry *
make_entry (const TdEnvelope *envelope, const char *body_text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) body = td_json_parse (body_text, -1, &error);
  TdEntry *entry;

  g_assert_no_error (error);
  entry = td_entry_new (envelope, body, &error);
  g_assert_no_error (error);
  return entry;
}

static void
test_envelope (void)
{
  TdEnvelope envelope = make_envelope (2, TD_KIND_NOTE, 1772431860000, 60, 1772431861500, 61500);
  g_autofree char *text = NULL;

  envelope.person = (char *) "O\"N\xC3\xA9";
  text = td_envelope_to_canonical (&envelope);
  g_assert_cmpstr (
      text, ==,
      "{\"boot\":\"5b1c\",\"boottime_ms\":61500,\"device\":\"" DEVICE
      "\",\"happened_ms\":1772431860000,\"kind\":\"note\",\"offset_min\":60,\"person\":"
      "\"O\\\"N\xC3\xA9\",\"recorded_ms\":1772431861500,\"seq\":2,\"version\":1,"
      "\"visit\":\"" VISIT "\",\"zone\":\"Europe/Dublin\"}");
}

/* However the writer wrote it, the stored bytes are the same. */
static void
test_canonical (void)
{
  static const char *const bodies[] = {
    "{\"lines\":[\"A1\",\"B5\"],\"direction\":\"in\"}",
    "{ \"direction\" : \"in\",\n  \"lines\" : [ \"A1\", \"\\u00425\" ] }",
    "{\"\\u0064irection\":\"i\\u006e\",\"lines\":[\"A1\",\"B5\"]}",
  };

  for (gsize i = 0; i < G_N_ELEMENTS (bodies); i++)
    {
      TdEnvelope envelope = make_envelope (1, TD_KIND_FLOW_SEEN, 0, 0, 0, 0);
      g_autoptr (TdEntry) entry = make_entry (&envelope, bodies[i]);
      g_autoptr (TdEntry) stored = NULL;
      g_autoptr (GError) error = NULL;

      g_assert_cmpstr (entry->body_text, ==, "{\"direction\":\"in\",\"lines\":[\"A1\",\"B5\"]}");
      stored = td_entry_new_stored (&envelope, entry->body_text, &error);
      g_assert_no_error (error);
      g_assert_cmpstr (stored->body_text, ==, entry->body_text);
      g_assert_true (td_json_equal (stored->body, entry->body));
      g_assert_cmpstr (stored->envelope.zone, ==, "Europe/Dublin");
      g_assert_true (stored->envelope.zone != envelope.zone);
    }
}

static void
test_refused (void)
{
  static const struct
  {
    const char *body;
    int stored;     /* from stored bytes */
    gboolean fresh; /* taken by td_entry_new () */
  } cases[] = {
    { "{\"a\":1.5}", TD_ERROR_PARSE, FALSE },
    { "{\"a\":true}", TD_ERROR_PARSE, FALSE },
    { "{\"a\":null}", TD_ERROR_PARSE, FALSE },
    { "[1]", TD_ERROR_PARSE, FALSE },
    { "5", TD_ERROR_PARSE, FALSE },
    { "{\"a\": 1}", TD_ERROR_PARSE, TRUE },
    { "{\"b\":1,\"a\":2}", TD_ERROR_PARSE, TRUE },
    { "{\"a\":\"\\u0041\"}", TD_ERROR_PARSE, TRUE },
    { "{\"a\":1}\n", TD_ERROR_PARSE, TRUE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      TdEnvelope envelope = make_envelope (7, TD_KIND_NOTE, 0, 0, 0, 0);
      g_autoptr (TdJson) body = td_json_parse (cases[i].body, -1, NULL);
      g_autoptr (GError) stored_error = NULL;
      g_autoptr (GError) fresh_error = NULL;
      TdEntry *entry;

      g_assert_null (td_entry_new_stored (&envelope, cases[i].body, &stored_error));
      g_assert_error (stored_error, TD_ERROR, cases[i].stored);
      g_assert_true (g_str_has_prefix (stored_error->message, "entry 7: "));
      g_assert_nonnull (body);
      entry = td_entry_new (&envelope, body, &fresh_error);
      g_assert_cmpint (entry != NULL, ==, cases[i].fresh);
      if (entry == NULL)
        g_assert_error (fresh_error, TD_ERROR, TD_ERROR_SHAPE);
      else
        td_entry_unref (entry);
    }
}

static void
test_broken_bytes (void)
{
  TdEnvelope envelope = make_envelope (3, TD_KIND_NOTE, 0, 0, 0, 0);
  g_autoptr (GError) error = NULL;

  g_assert_null (td_entry_new_stored (&envelope, "{\"a\":", &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
  g_assert_true (g_str_has_prefix (error->message, "entry 3: "));
}

static void
test_references (void)
{
  TdEnvelope envelope = make_envelope (1, TD_KIND_NOTE, 5, 0, 6, 7);
  g_autoptr (TdEntry) entry = make_entry (&envelope, "{\"text\":\"x\"}");
  g_autoptr (TdEntry) other = td_entry_ref (entry);

  g_assert_true (other == entry);
  g_clear_pointer (&entry, td_entry_unref);
  g_assert_cmpstr (other->body_text, ==, "{\"text\":\"x\"}");
  g_assert_cmpint (other->envelope.happened.utc_ms, ==, 5);
}

static GPtrArray *
make_visit (void)
{
  static const struct
  {
    TdKind kind;
    gint64 happened;
    int offset;
    gint64 recorded, boottime;
    const char *body;
  } rows[] = {
    { TD_KIND_ARRIVAL, 1772431800000, 0, 1772431801000, 1000,
      "{\"work\":\"routine\",\"site\":\"two-lanterns-bar\"}" },
    { TD_KIND_NOTE, 1772431860000, 60, 1772431861500, 61500,
      "{\"text\":\"Schl\xC3\xBCssel \\\"8\\\"\\nnext\"}" },
    { TD_KIND_CLOSING, 1772432000000, 0, 1772432001000, 201000, "{\"snapshot\":{\"rules\":1}}" },
  };
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) td_entry_unref);

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      TdEnvelope envelope = make_envelope (i + 1, rows[i].kind, rows[i].happened, rows[i].offset,
                                           rows[i].recorded, rows[i].boottime);

      g_ptr_array_add (entries, make_entry (&envelope, rows[i].body));
    }
  return entries;
}

#define PREVIOUS "abababababababababababababababababababababababababababababababab"

/* The digests by Python, over the text written out by hand as core-entry.h lays it down:
 *   hashlib.sha256 (("tundish-seal/1\n" "previous none\n" + envelope + "\n" + body + "\n" + ...)
 *                   .encode ()).hexdigest () */
static void
test_seal (void)
{
  g_autoptr (GPtrArray) entries = make_visit ();
  g_autofree char *first = td_seal_compute ("none", entries);
  g_autofree char *unsaid = td_seal_compute (NULL, entries);
  g_autofree char *chained = td_seal_compute (PREVIOUS, entries);

  g_assert_cmpstr (first, ==, "7646bfeb9a16f0f92dc44eafe84e77d3983bcb2e8cbaedbbb3fbabf034e16969");
  g_assert_cmpstr (unsaid, ==, first);
  g_assert_cmpstr (chained, ==, "d620af44f210575dfe325a7a4e50b25b507bebebe8f51915241dd92987b063ef");
}

static void
test_seal_text (void)
{
  g_autoptr (GPtrArray) entries = make_visit ();
  g_autofree char *text = td_seal_make_text (PREVIOUS, entries);
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);

  g_assert_cmpuint (g_strv_length (lines), ==, 9);
  g_assert_cmpstr (lines[0], ==, "tundish-seal/1");
  g_assert_cmpstr (lines[1], ==, "previous " PREVIOUS);
  g_assert_cmpstr (lines[5], ==, "{\"text\":\"Schl\xC3\xBCssel \\\"8\\\"\\nnext\"}");
  g_assert_cmpstr (lines[8], ==, "");
}

/* Any one character changed, any entry missing or moved: another seal. */
static void
test_seal_breaks (void)
{
  g_autoptr (GPtrArray) entries = make_visit ();
  g_autofree char *seal = td_seal_compute ("none", entries);
  g_autofree char *shorter = NULL;
  g_autofree char *moved = NULL;
  gpointer kept;

  for (guint i = 0; i < entries->len; i++)
    {
      TdEntry *entry = g_ptr_array_index (entries, i);
      g_autofree char *changed = NULL;

      entry->envelope.recorded_ms++;
      changed = td_seal_compute ("none", entries);
      g_assert_cmpstr (changed, !=, seal);
      entry->envelope.recorded_ms--;
      for (char *p = entry->body_text; *p != '\0'; p++)
        {
          g_autofree char *flipped = NULL;

          *p ^= 1;
          flipped = td_seal_compute ("none", entries);
          g_assert_cmpstr (flipped, !=, seal);
          *p ^= 1;
        }
    }
  kept = entries->pdata[0];
  entries->pdata[0] = entries->pdata[1];
  entries->pdata[1] = kept;
  moved = td_seal_compute ("none", entries);
  g_assert_cmpstr (moved, !=, seal);
  g_ptr_array_remove_index (entries, 2);
  shorter = td_seal_compute ("none", entries);
  g_assert_cmpstr (shorter, !=, moved);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/entry/envelope", test_envelope);
  g_test_add_func ("/entry/canonical", test_canonical);
  g_test_add_func ("/entry/refused", test_refused);
  g_test_add_func ("/entry/broken-bytes", test_broken_bytes);
  g_test_add_func ("/entry/references", test_references);
  g_test_add_func ("/entry/seal", test_seal);
  g_test_add_func ("/entry/seal-text", test_seal_text);
  g_test_add_func ("/entry/seal-breaks", test_seal_breaks);
  return g_test_run ();
}
