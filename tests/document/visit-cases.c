#include "visit-cases.h"

#include "core-rule.h"

#include <string.h>

char *
read_source_file (const char *path)
{
  const char *root = g_getenv ("G_TEST_SRCDIR");
  g_autofree char *full = g_file_test (path, G_FILE_TEST_EXISTS) || root == NULL
                              ? g_strdup (path)
                              : g_build_filename (root, "..", path, NULL);
  g_autoptr (GError) error = NULL;
  char *text;

  g_file_get_contents (full, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

static TdMasters *
load_masters (void)
{
  g_autofree char *text = read_source_file ("data/demo/company.json");
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (text, -1, &error);
  TdMasters *masters;

  g_assert_no_error (error);
  masters = td_masters_from_json (json, &error);
  g_assert_no_error (error);
  return masters;
}

static void
add_entry (GPtrArray *entries, const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (text, -1, &error);
  g_autoptr (TdDraft) draft = NULL;
  TdEnvelope envelope = { .version = TD_ENTRY_VERSION };
  TdEntry *entry;

  g_assert_no_error (error);
  draft = td_draft_from_json (json, &error);
  g_assert_no_error (error);
  envelope.visit = draft->visit;
  envelope.seq = entries->len + 1;
  envelope.kind = draft->kind;
  envelope.happened = draft->happened;
  envelope.zone = (char *)"Europe/Dublin";
  /* The machine's clock runs forwards; entry 50 waits for half an hour, and what comes after it. */
  envelope.recorded_ms = draft->happened.utc_ms + (envelope.seq == 50 ? 1800000 : 20000);
  if (entries->len > 0)
    {
      const TdEntry *last = g_ptr_array_index (entries, entries->len - 1);

      envelope.recorded_ms = MAX (envelope.recorded_ms, last->envelope.recorded_ms + 3000);
    }
  envelope.boot_id = (char *)"b0";
  envelope.boottime_ms = envelope.recorded_ms - 1700000000000;
  envelope.person = draft->person;
  entry = td_entry_new (&envelope, draft->body, &error);
  g_assert_no_error (error);
  g_ptr_array_add (entries, entry);
}

VisitCase
visit_case_fold (const char *site_text, const char *replay, guint upto)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSite) site = td_site_parse (site_text, -1, &error);
  g_autoptr (TdMasters) masters = load_masters ();
  g_autoptr (TdSettings) settings = td_settings_new ();
  g_autoptr (GPtrArray) entries = g_ptr_array_new_with_free_func ((GDestroyNotify)td_entry_unref);
  g_auto (GStrv) lines = g_strsplit (replay, "\n", -1);
  TdVisitContext context;
  VisitCase one = { 0 };

  g_assert_no_error (error);
  context = (TdVisitContext){ site, masters, settings };
  for (guint i = 0; lines[i] != NULL; i++)
    if (*g_strstrip (lines[i]) != '\0' && (upto == 0 || entries->len < upto))
      add_entry (entries, lines[i]);
  one.visit = td_visit_fold (&context, entries, &error);
  g_assert_no_error (error);
  one.findings = td_visit_get_findings (one.visit, one.visit->arrived.utc_ms + 3600000);
  return one;
}

VisitCase
visit_case_load (const char *name, guint upto)
{
  g_autofree char *replay_path = g_strdup_printf ("tests/replay/%s.jsonl", name);
  g_autofree char *replay = read_source_file (replay_path), *site_path = NULL, *site = NULL;
  const char *key = strstr (replay, "\"site\": \"");
  const char *end;

  g_assert (key != NULL);
  key += strlen ("\"site\": \"");
  end = strchr (key, '"');
  site_path = g_strdup_printf ("data/demo/%.*s.site.json", (int)(end - key), key);
  site = read_source_file (site_path);
  return visit_case_fold (site, replay, upto);
}

void
visit_case_clear (VisitCase *one)
{
  g_clear_pointer (&one->visit, td_visit_unref);
  g_clear_pointer (&one->findings, g_ptr_array_unref);
}

char *
visit_case_seal (const VisitCase *one)
{
  return td_seal_compute (NULL, one->visit->entries);
}
