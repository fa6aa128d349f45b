#include "core-entry.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "kind-bodies.h"

/* A line of `record`, read strictly, and by fuzzing: whatever comes in, it is a draft or an error.
 */

#define VISIT "0195f0a1-7c00-7000-8000-000000000001"
#define FRAME "\"visit\":\"" VISIT "\",\"happened\":\"2026-03-02T06:10:00+01:00\",\"person\":\"t1\""

static TdDraft *
read_line (const char *text, GError **error)
{
  g_autoptr (TdJson) line = td_json_parse (text, -1, error);

  return line != NULL ? td_draft_from_json (line, error) : NULL;
}

/* Returns: (transfer full): the line of a valid body. */
static char *
make_line (const KindBody *row)
{
  gboolean bare = strcmp (row->body, "{}") == 0;

  return g_strdup_printf ("{" FRAME ",\"kind\":\"%s\"%s%s", row->kind, bare ? "" : ",",
                          row->body + 1);
}

static void
test_read (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdDraft) draft = read_line (
      "{\"lines\":[\"A1\"]," FRAME ",\"kind\":\"flow-seen\",\"direction\":\"in\"}", &error);
  g_autofree char *visit = NULL;
  g_autofree char *body = NULL;

  g_assert_no_error (error);
  visit = td_uuid_to_text (&draft->visit);
  g_assert_cmpstr (visit, ==, VISIT);
  g_assert_cmpint (draft->kind, ==, TD_KIND_FLOW_SEEN);
  g_assert_cmpint (draft->happened.utc_ms, ==, G_GINT64_CONSTANT (1772428200000));
  g_assert_cmpint (draft->happened.offset_min, ==, 60);
  g_assert_cmpstr (draft->person, ==, "t1");
  body = td_json_to_canonical (draft->body, NULL);
  g_assert_cmpstr (body, ==, "{\"direction\":\"in\",\"lines\":[\"A1\"]}");
}

/* Every kind: what is read, written and read again is the same. */
static void
test_round (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
    {
      g_autofree char *line = make_line (&kind_bodies[i]);
      g_autoptr (GError) error = NULL;
      g_autoptr (TdDraft) draft = read_line (line, &error);
      g_autoptr (TdDraft) again = NULL;
      g_autoptr (TdJson) json = NULL;

      if (strstr (kind_bodies[i].body, "snapshot") != NULL)
        {
          g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
          continue;
        }
      g_assert_no_error (error);
      json = td_draft_to_json (draft);
      again = td_draft_from_json (json, &error);
      g_assert_no_error (error);
      g_assert_cmpint (again->kind, ==, draft->kind);
      g_assert_cmpstr (again->person, ==, draft->person);
      g_assert_cmpint (again->happened.utc_ms, ==, draft->happened.utc_ms);
      g_assert_cmpint (again->happened.offset_min, ==, draft->happened.offset_min);
      g_assert_true (td_uuid_equal (&again->visit, &draft->visit));
      g_assert_true (td_json_equal (again->body, draft->body));
    }
}

static void
test_new (void)
{
  g_autoptr (TdJson) body = td_json_parse ("{\"text\":\"x\"}", -1, NULL);
  TdMoment happened = { 1500, 60 };
  TdUuid visit;
  g_autoptr (TdDraft) draft = NULL;
  g_autoptr (TdJson) json = NULL;
  g_autofree char *text = NULL;

  g_assert_true (td_uuid_parse (VISIT, &visit, NULL));
  draft = td_draft_new (&visit, TD_KIND_NOTE, &happened, "t2", body);
  json = td_draft_to_json (draft);
  text = td_json_to_text (json, FALSE);
  g_assert_cmpstr (text, ==,
                   "{\"visit\":\"" VISIT "\",\"kind\":\"note\",\"happened\":"
                   "\"1970-01-01T01:00:01.500+01:00\",\"person\":\"t2\",\"text\":\"x\"}");
}

static const struct
{
  const char *line;
  const char *message;
} refusals[] = {
  { "[]", "the entry is not an object; write {\"visit\": ..., \"kind\": ..., ...}" },
  { "{}", "field visit: missing from the entry; write the visit's UUID" },
  { "{\"visit\":\"v1\"}",
    "field visit: \"v1\" is not a UUID; it looks like 0195f0a1-7c00-7000-8000-000000000001" },
  { "{\"visit\":\"" VISIT "\"}",
    "field kind: missing from the entry; write the code of the act, such as tag-hung" },
  { "{\"visit\":\"" VISIT "\",\"kind\":\"tag_hung\"}",
    "field kind: \"tag_hung\" is no kind of entry; the codes stand in the table of kinds" },
  { "{\"visit\":\"" VISIT "\",\"kind\":7}",
    "field kind: 7 is no kind of entry; the codes stand in the table of kinds" },
  { "{\"visit\":\"" VISIT "\",\"kind\":\"note\"}",
    "field happened: missing from the entry; write when it happened, with the offset from UTC" },
  { "{\"visit\":\"" VISIT "\",\"kind\":\"note\",\"happened\":5}",
    "field happened: 5 is not a time; it looks like \"2026-03-02T06:10:00+00:00\"" },
  { "{\"visit\":\"" VISIT "\",\"kind\":\"note\",\"happened\":\"2026-03-02T06:10:00+00:00\"}",
    "field person: missing from the entry; write who did it" },
  { "{" FRAME ",\"kind\":\"note\"}", "field text: missing from note; write The note." },
  { "{" FRAME ",\"kind\":\"note\",\"text\":\"x\",\"seq\":1}",
    "field seq: not a field of note, which has text, line" },
  { "{" FRAME ",\"kind\":\"left-tidy\",\"recorded\":\"2026-03-02T06:10:00+00:00\"}",
    "field recorded: not a field of left-tidy, which has text" },
  { "{" FRAME ",\"kind\":\"closing\",\"snapshot\":{\"rules\":1}}",
    "field snapshot: the book writes it at closing; leave it out" },
};

static void
test_refused (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (refusals); i++)
    {
      g_autoptr (GError) error = NULL;

      g_assert_null (read_line (refusals[i].line, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
      g_assert_cmpstr (error->message, ==, refusals[i].message);
    }
}

/* A time without an offset names no moment, and February has no 30th. */
static void
test_times (void)
{
  static const char *const times[]
      = { "2026-03-02T06:10", "2026-02-30T06:10:00Z", "yesterday", "2026-03-02 06:10:00Z", "" };

  for (gsize i = 0; i < G_N_ELEMENTS (times); i++)
    {
      g_autofree char *line = g_strdup_printf (
          "{\"visit\":\"" VISIT "\",\"kind\":\"left-tidy\",\"happened\":\"%s\",\"person\":\"t1\"}",
          times[i]);
      g_autoptr (GError) error = NULL;

      g_assert_null (read_line (line, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
      g_assert_true (g_str_has_prefix (error->message, "field happened: "));
    }
}

/* One change somewhere: a byte set, taken out, put in, doubled, or two lines cut together. */
static void
mutate (GString *line, GRand *rand, const char *other)
{
  static const char alphabet[] = "{}[]\",:\\0123456789-.eEtfnuabz \t\n\x01\x7F\xC3\xA9\xED\xA0";
  gsize at = line->len > 0 ? (gsize) g_rand_int_range (rand, 0, (gint32) line->len) : 0;
  char byte = alphabet[g_rand_int_range (rand, 0, (gint32) sizeof alphabet - 1)];

  switch (g_rand_int_range (rand, 0, 5))
    {
    case 0:
      if (line->len > 0)
        line->str[at] = byte;
      break;
    case 1:
      if (line->len > 0)
        g_string_erase (line, (gssize) at, 1);
      break;
    case 2:
      g_string_insert_c (line, (gssize) at, byte);
      break;
    case 3:
      g_string_insert_len (line, (gssize) at, other,
                           (gssize) MIN (strlen (other), (gsize) g_rand_int_range (rand, 1, 40)));
      break;
    default:
      g_string_truncate (line, at);
      g_string_append (line, other + MIN (at, strlen (other)));
    }
}

/* What was taken can be stored: canonical, and read back from its bytes. */
static void
assert_storable (const TdDraft *draft)
{
  TdEnvelope envelope = {
    .visit = draft->visit,
    .seq = 1,
    .kind = draft->kind,
    .version = TD_ENTRY_VERSION,
    .happened = draft->happened,
    .zone = (char *) "UTC",
    .boot_id = (char *) "b",
    .person = draft->person,
  };
  g_autoptr (GError) error = NULL;
  g_autoptr (TdEntry) entry = td_entry_new (&envelope, draft->body, &error);
  g_autoptr (TdEntry) stored = NULL;

  g_assert_no_error (error);
  stored = td_entry_new_stored (&envelope, entry->body_text, &error);
  g_assert_no_error (error);
  g_assert_true (td_kind_check_body (draft->kind, stored->body, &error));
}

static void
test_fuzz (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20260302);
  guint n_taken = 0;
  guint n_refused = 0;

  for (guint round = 0; round < 200; round++)
    for (gsize i = 0; i < G_N_ELEMENTS (kind_bodies); i++)
      {
        gsize j = (gsize) g_rand_int_range (rand, 0, G_N_ELEMENTS (kind_bodies));
        g_autofree char *start = make_line (&kind_bodies[i]);
        g_autofree char *other = make_line (&kind_bodies[j]);
        g_autoptr (GString) line = g_string_new (start);
        g_autoptr (GError) error = NULL;
        g_autoptr (TdDraft) draft = NULL;

        for (int n = g_rand_int_range (rand, 1, 4); n > 0; n--)
          mutate (line, rand, other);
        draft = read_line (line->str, &error);
        g_assert_true ((draft != NULL) == (error == NULL));
        if (draft != NULL)
          {
            assert_storable (draft);
            n_taken++;
            continue;
          }
        n_refused++;
        g_assert_true (error->domain == TD_ERROR);
        g_assert_true (g_utf8_validate (error->message, -1, NULL));
      }
  /* Both ways were walked. */
  g_assert_cmpuint (n_taken, >, 1000);
  g_assert_cmpuint (n_refused, >, 10000);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draft/read", test_read);
  g_test_add_func ("/draft/round", test_round);
  g_test_add_func ("/draft/new", test_new);
  g_test_add_func ("/draft/refused", test_refused);
  g_test_add_func ("/draft/times", test_times);
  g_test_add_func ("/draft/fuzz", test_fuzz);
  return g_test_run ();
}
