/* What a report says of a visit: against golden files, and its judgement of what may be poured.
 * TUNDISH_UPDATE=1 writes the golden files anew. */
#include "document-report-pages.h"
#include "document-report.h"
#include "visit-cases.h"

#include "core-json-build.h"

#include <string.h>

static const char *const replays[]
    = { "01-two-lanterns-reversed",      "02-tin-heron-routine",    "03-tin-heron-acid",
        "04-mill-sluice-out-of-service", "05-kestrel-yard-refused", "06-gravel-pier-24-lines" };

static TdReport *
make_report (const VisitCase *one)
{
  TdReportContext context = TD_REPORT_CONTEXT_INIT;

  context.number = "A-0007";
  context.seal = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff";
  context.now_ms = one->visit->arrived.utc_ms + 7200000;
  return td_report_new (one->visit, one->findings, &context, TD_UNITS_METRIC);
}

/* The timeline repeats the replay and the findings are another test's matter: both are left out, so
 * that the file changes only when the report does. */
static TdJson *
without (const TdJson *json, const char *const *keys)
{
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();

  td_json_builder_begin_object (b);
  for (guint i = 0; i < td_json_get_length (json); i++)
    if (!g_strv_contains (keys, td_json_get_key (json, i)))
      td_json_builder_member_value (b, td_json_get_key (json, i), td_json_get_element (json, i));
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}

static void
test_golden (gconstpointer data)
{
  static const char *const left_out[]
      = { "timeline", "findings", "signature", "countersignature", "rules_version", NULL };
  VisitCase one = visit_case_load (data, 0);
  g_autoptr (TdReport) report = make_report (&one);
  g_autoptr (TdJson) json = td_report_to_json (report), kept = without (json, left_out);
  g_autofree char *text = td_json_to_text (kept, TRUE);
  g_autofree char *name = g_strdup_printf ("%s.json", (const char *)data);
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "document", "golden", name, NULL);
  g_autofree char *expected = NULL;
  g_autoptr (GError) error = NULL;

  if (g_getenv ("TUNDISH_UPDATE") != NULL)
    g_file_set_contents (path, text, -1, &error);
  g_assert_no_error (error);
  g_file_get_contents (path, &expected, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (text, ==, expected);
  visit_case_clear (&one);
}

static const TdReportLine *
line (const TdReport *report, const char *id)
{
  const TdReportLine *found = td_report_find_line (report, id);

  g_assert_nonnull (found);
  return found;
}

/* The keys that outside checks rely on, with their types, in every replay. */
static void
test_contract (gconstpointer data)
{
  static const char *const keys[]
      = { "visit",    "number", "account",  "site", "lines",         "chemicals",
          "lockouts", "faults", "findings", "seal", "previous_seal", NULL };
  static const char *const line_keys[]
      = { "number",    "tower",      "method",   "direction", "reversed",        "restored",
          "contact_s", "required_s", "rinse_ph", "tap_ph",    "left_out_reason", NULL };
  VisitCase one = visit_case_load (data, 0);
  g_autoptr (TdReport) report = make_report (&one);
  g_autoptr (TdJson) json = td_report_to_json (report);
  const TdJson *lines = td_json_get_member (json, "lines");

  for (guint i = 0; keys[i] != NULL; i++)
    g_assert_nonnull (td_json_get_member (json, keys[i]));
  g_assert_cmpuint (td_json_get_length (lines), ==, one.visit->site->n_outlets);
  for (guint i = 0; i < td_json_get_length (lines); i++)
    for (guint j = 0; line_keys[j] != NULL; j++)
      g_assert_nonnull (td_json_get_member (td_json_get_element (lines, i), line_keys[j]));
  visit_case_clear (&one);
}

/* A closed visit of the two-tower bar: what its replay says, read off by hand. */
static void
test_reversal (void)
{
  VisitCase one = visit_case_load ("01-two-lanterns-reversed", 0);
  g_autoptr (TdReport) report = make_report (&one);

  g_assert_false (report->draft);
  g_assert_cmpstr (report->number, ==, "A-0007");
  g_assert_true (line (report, "A4")->reversed);
  g_assert_cmpint (line (report, "A4")->restored_ms, !=, TD_NONE);
  g_assert_cmpint (line (report, "A4")->restored_ms, >, line (report, "A4")->reversed_ms);
  g_assert_cmpstr (line (report, "A4")->direction, ==, "in");
  g_assert_cmpstr (line (report, "A2")->direction, ==, "out");
  g_assert_false (line (report, "A2")->reversed);
  g_assert_cmpstr (line (report, "B6")->method, ==, "static");
  g_assert_cmpint (line (report, "B6")->required_s, ==, 1200);
  g_assert_cmpint (line (report, "A2")->required_s, ==, 900);
  g_assert_cmpint (line (report, "A2")->contact_s, ==, line (report, "A4")->contact_s);
  g_assert_cmpint (line (report, "A1")->pour, ==, TD_POUR_UNTOUCHED);
  g_assert_nonnull (line (report, "A1")->left_out_reason);
  g_assert_cmpuint (report->lockouts->len, ==, 2);
  g_assert_cmpuint (g_array_index (report->lockouts, TdReportLockout, 0).lifts->len, ==, 3);
  visit_case_clear (&one);
}

/* Whatever the moment, nothing that holds chemical is said to pour: prefixes of every replay.
 */
static void
test_never_pours_early (gconstpointer data)
{
  VisitCase whole = visit_case_load (data, 0);
  guint n = whole.visit->entries->len;

  visit_case_clear (&whole);
  /* Every thirteenth moment and the last. */
  for (guint upto = 1; upto <= n; upto = upto == n ? n + 1 : MIN (upto + 13, n))
    {
      VisitCase one = visit_case_load (data, upto);
      g_autoptr (TdReport) report = make_report (&one);

      for (guint i = 0; i < one.visit->n_lines; i++)
        {
          const TdVisitLine *from = &one.visit->lines[i];
          const TdReportLine *to = line (report, one.visit->site->outlets[from->outlet].id);

          if (td_visit_line_holds_chemical (from) || from->out_of_service.seq != 0)
            g_assert_cmpint (to->pour, ==, TD_POUR_NOT);
          if (to->pour == TD_POUR_READY)
            g_assert_true (td_visit_line_get_pass (from)->rinse_passed);
          g_assert_true ((to->pour == TD_POUR_NOT) == (to->why != TD_POUR_WHY_NONE));
        }
      visit_case_clear (&one);
    }
}

/* The way of one line through a visit, told as the bar would be told. */
static void
test_pour_over_time (void)
{
  VisitCase whole = visit_case_load ("02-tin-heron-routine", 0);
  guint n = whole.visit->entries->len;
  g_autoptr (GString) told = g_string_new (NULL);
  const char *last = NULL;

  visit_case_clear (&whole);
  for (guint upto = 1; upto <= n; upto++)
    {
      VisitCase one = visit_case_load ("02-tin-heron-routine", upto);
      g_autoptr (TdReport) report = make_report (&one);
      const TdReportLine *first = &g_array_index (report->lines, TdReportLine, 0);
      const char *now = first->why != TD_POUR_WHY_NONE ? td_pour_why_to_text (first->why)
                                                       : td_pour_to_text (first->pour);

      if (g_strcmp0 (now, last) != 0)
        g_string_append_printf (told, "%s%s", told->len > 0 ? " " : "", now);
      last = now;
      visit_case_clear (&one);
    }
  /* No tag hangs in a one-tower bar that is all in sight. */
  g_assert_cmpstr (told->str, ==, "untouched chemical no-clear-beer pours");
}

static void
test_draft (void)
{
  VisitCase one = visit_case_load ("01-two-lanterns-reversed", 60);
  g_autoptr (TdReport) report = make_report (&one);
  g_autoptr (TdJson) json = td_report_to_json (report);

  g_assert_true (report->draft);
  g_assert_cmpint (td_json_get_kind (td_json_get_member (json, "number")), ==, TD_JSON_NULL);
  g_assert_cmpint (td_json_get_kind (td_json_get_member (json, "seal")), ==, TD_JSON_NULL);
  g_assert_cmpint (td_json_get_kind (td_json_get_member (json, "closed")), ==, TD_JSON_NULL);
  visit_case_clear (&one);
}

/* Contact on paper is rounded down: 14:59.9 is not 15:00. */
static void
test_round_down (void)
{
  VisitCase one = visit_case_load ("05-kestrel-yard-refused", 0);
  g_autoptr (TdReport) report = make_report (&one);

  for (guint i = 0; i < one.visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&one.visit->lines[i]);
      const TdReportLine *to = line (report, one.visit->site->outlets[i].id);

      if (pass == NULL)
        continue;
      g_assert_cmpint (to->contact_s * 1000, <=, pass->contact_ms);
      g_assert_cmpint (to->contact_s * 1000 + 1000, >, pass->contact_ms);
      g_assert_cmpint (to->required_s * 1000, >=, pass->required_ms);
    }
  g_assert_cmpstr (report->countersignature.meaning, ==, "refused");
  visit_case_clear (&one);
}

static void
test_incident (void)
{
  VisitCase one = visit_case_load ("04-mill-sluice-out-of-service", 0);
  g_autoptr (TdReport) report = make_report (&one);
  const TdReportTask *first = &g_array_index (report->tasks, TdReportTask, 0);

  g_assert_cmpuint (report->incidents->len, ==, 1);
  g_assert_cmpstr (first->code, ==, "read-incident");
  g_assert_cmpstr (g_array_index (report->tasks, TdReportTask, 1).code, ==, "keep-shut");
  g_assert_cmpint (report->due[TD_CLEAN_CAUSTIC], !=, TD_DATE_NONE);
  g_assert_cmpint (report->due[TD_CLEAN_ACID], ==, TD_DATE_NONE);
  visit_case_clear (&one);
}

/* The book's own due date outweighs what this visit alone would give. */
static void
test_due (void)
{
  VisitCase one = visit_case_load ("03-tin-heron-acid", 0);
  TdReportContext context = TD_REPORT_CONTEXT_INIT;
  g_autoptr (TdReport) counted = make_report (&one);
  g_autoptr (TdReport) told = NULL;
  TdDate visited = td_moment_get_date (&one.visit->arrived);

  context.due[TD_CLEAN_CAUSTIC] = td_date_make (2027, 1, 1);
  told = td_report_new (one.visit, one.findings, &context, TD_UNITS_METRIC);
  g_assert_cmpint (counted->due[TD_CLEAN_CAUSTIC], ==, visited + one.visit->site->interval_days);
  g_assert_cmpint (counted->due[TD_CLEAN_ACID], ==, td_date_add_months (visited, 3));
  g_assert_cmpint (told->due[TD_CLEAN_CAUSTIC], ==, td_date_make (2027, 1, 1));
  visit_case_clear (&one);
}

/* Same visit, same bytes; another number, other bytes. */
static void
test_bytes (void)
{
  VisitCase one = visit_case_load ("02-tin-heron-routine", 0);
  g_autoptr (TdReport) report = make_report (&one);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) first = td_report_to_pdf (report, TD_PAPER_A4, &error);
  g_autoptr (GBytes) second = td_report_to_pdf (report, TD_PAPER_A4, &error);
  g_autoptr (GBytes) letter = td_report_to_pdf (report, TD_PAPER_LETTER, &error);

  g_assert_no_error (error);
  g_assert_true (g_bytes_equal (first, second));
  g_assert_false (g_bytes_equal (first, letter));
  visit_case_clear (&one);
}

static void
add_for_each (const char *name, GTestDataFunc function)
{
  for (guint i = 0; i < G_N_ELEMENTS (replays); i++)
    {
      g_autofree char *path = g_strdup_printf ("/report/%s/%s", name, replays[i]);

      g_test_add_data_func (path, replays[i], function);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/report/golden/reversed", replays[0], test_golden);
  g_test_add_data_func ("/report/golden/out-of-service", replays[3], test_golden);
  add_for_each ("contract", test_contract);
  add_for_each ("never-pours-early", test_never_pours_early);
  g_test_add_func ("/report/reversal", test_reversal);
  g_test_add_func ("/report/pour-over-time", test_pour_over_time);
  g_test_add_func ("/report/draft", test_draft);
  g_test_add_func ("/report/round-down", test_round_down);
  g_test_add_func ("/report/incident", test_incident);
  g_test_add_func ("/report/due", test_due);
  g_test_add_func ("/report/bytes", test_bytes);
  return g_test_run ();
}
