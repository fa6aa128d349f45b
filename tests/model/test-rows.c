/* Rows over core values: the lines of a site, the journal and the findings of a visit. */
#include "core-entry.h"
#include "core-json.h"
#include "core-rule.h"
#include "list-validator.h"
#include "model-entry.h"
#include "model-finding.h"
#include "model-line.h"

#include <math.h>

static char *
read_text (const char *folder, const char *name)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, folder, name, NULL);
  g_autoptr (GError) error = NULL;
  char *text = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

static TdSite *
read_site (void)
{
  g_autofree char *text = read_text ("../data/demo", "two-lanterns-bar.site.json");
  g_autoptr (GError) error = NULL;
  TdSite *site = td_site_parse (text, -1, &error);

  g_assert_no_error (error);
  return site;
}

/* The replay as a journal, each act written down @late_s after it happened. */
static TdVisit *
read_visit (guint n_entries, gint64 late_s)
{
  g_autofree char *text = read_text ("replay", "01-two-lanterns-reversed.jsonl");
  g_autofree char *company = read_text ("../data/demo", "company.json");
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);
  g_autoptr (GPtrArray) entries = g_ptr_array_new_with_free_func ((GDestroyNotify) td_entry_unref);
  g_autoptr (TdSite) site = read_site ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (company, -1, &error);
  g_autoptr (TdMasters) masters = td_masters_from_json (json, &error);
  g_autoptr (TdSettings) settings = td_settings_new ();
  TdVisitContext context = { site, masters, settings };
  TdVisit *visit;

  for (guint i = 0; i < n_entries; i++)
    {
      g_autoptr (TdJson) line = td_json_parse (lines[i], -1, &error);
      g_autoptr (TdDraft) draft = td_draft_from_json (line, &error);
      TdEnvelope envelope = { .visit = draft->visit, .seq = i + 1, .kind = draft->kind, .version = TD_ENTRY_VERSION,
                              .happened = draft->happened, .zone = (char *) "Europe/Dublin",
                              .recorded_ms = draft->happened.utc_ms + late_s * 1000, .boot_id = (char *) "b",
                              .person = draft->person };
      TdEntry *entry = td_entry_new (&envelope, draft->body, &error);

      g_assert_no_error (error);
      g_ptr_array_add (entries, entry);
    }
  visit = td_visit_fold (&context, entries, &error);
  g_assert_no_error (error);
  return visit;
}

/* From data/demo/two-lanterns-bar.site.json, read by eye. */
static const struct
{
  guint position;
  guint outlet;
  int number;
  const char *title;
  const char *cooler;
  int pump;
  gboolean one_way, fob, side;
} lines[] = {
  { 0, 0, 1, "Tower A 1", "Cold room", TD_BEER_PUMP_ONE_WAY, TRUE, TRUE, FALSE },
  { 3, 3, 4, "Tower A 4", "Cold room", TD_BEER_PUMP_REVERSIBLE, FALSE, TRUE, FALSE },
  { 6, 6, 7, "Tower B 7", "Cold room", TD_BEER_PUMP_NONE, FALSE, TRUE, FALSE },
  { 7, 7, 8, "Tower B 8", "Cold room", TD_BEER_PUMP_NONE, FALSE, TRUE, TRUE },
};

static void
test_lines (void)
{
  g_autoptr (TdSite) site = read_site ();
  g_autoptr (GListModel) list = td_line_list_new (site);
  g_autoptr (TdListValidator) validator = td_list_validator_new (list);

  g_assert_cmpuint (g_list_model_get_n_items (list), ==, site->n_outlets);
  g_assert_cmpuint (td_list_validator_get_changes (validator), ==, 0);
  for (gsize i = 0; i < G_N_ELEMENTS (lines); i++)
    {
      g_autoptr (TdLineItem) item = g_list_model_get_item (list, lines[i].position);
      g_autofree char *title = NULL;
      g_autofree char *cooler = NULL;
      g_autofree char *material = NULL;
      int number = 0, pump = -1;
      gboolean one_way = FALSE, fob = FALSE, side = FALSE;
      double length_m = 0, volume_ml = 0;

      g_object_get (item, "title", &title, "cooler", &cooler, "number", &number, "pump", &pump, "one-way", &one_way,
                    "fob", &fob, "side", &side, "length-m", &length_m, "volume-ml", &volume_ml, "material", &material,
                    NULL);
      g_assert_cmpuint (td_line_item_get_outlet (item), ==, lines[i].outlet);
      g_assert_cmpint (number, ==, lines[i].number);
      g_assert_cmpstr (title, ==, lines[i].title);
      g_assert_cmpstr (cooler, ==, lines[i].cooler);
      g_assert_cmpint (pump, ==, lines[i].pump);
      g_assert_true (one_way == lines[i].one_way && fob == lines[i].fob && side == lines[i].side);
      g_assert_cmpfloat (length_m, >, 0);
      g_assert_cmpfloat_with_epsilon (volume_ml, td_outlet_get_volume_ml (site, lines[i].outlet), 1e-9);
      g_assert_nonnull (material);
    }
}

/* A line of which the sheet says nothing but its loss and volume. */
static void
test_untold_line (void)
{
  static const char sheet[]
    = "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C\"}],\"towers\":[{\"id\":\"T\"}],"
      "\"lines\":[{\"id\":\"z\",\"tower\":\"T\",\"cooler\":\"C\",\"beer_pump\":\"none\",\"head_loss_m\":3,"
      "\"volume_ml\":900}]}";
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSite) site = td_site_parse (sheet, -1, &error);
  g_autoptr (GListModel) list = NULL;
  g_autoptr (TdLineItem) item = NULL;
  g_autofree char *title = NULL;
  g_autofree char *product = NULL;
  double length_m = 0, volume_ml = 0;

  g_assert_no_error (error);
  list = td_line_list_new (site);
  item = g_list_model_get_item (list, 0);
  g_object_get (item, "title", &title, "product", &product, "length-m", &length_m, "volume-ml", &volume_ml, NULL);
  g_assert_cmpstr (title, ==, "z");
  g_assert_null (product);
  g_assert_true (isnan (length_m));
  g_assert_cmpfloat (volume_ml, ==, 900);
}

static void
test_entries (void)
{
  g_autoptr (TdVisit) visit = read_visit (113, 20);
  g_autoptr (GListStore) list = td_entry_list_new (visit);
  g_autoptr (TdListValidator) validator = td_list_validator_new (G_LIST_MODEL (list));
  guint corrected = 0, voided = 0;

  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (list)), ==, 113);
  for (guint i = 0; i < 113; i++)
    {
      g_autoptr (TdEntryItem) item = g_list_model_get_item (G_LIST_MODEL (list), i);
      gboolean is_corrected = FALSE, is_voided = FALSE;
      gint64 late_s = -1;

      g_assert_cmpuint (td_entry_item_get_seq (item), ==, 113 - i);
      g_assert_true (td_entry_item_get_visit (item) == visit);
      g_object_get (item, "corrected", &is_corrected, "voided", &is_voided, "late-s", &late_s, NULL);
      g_assert_cmpint (late_s, ==, 0);
      corrected += is_corrected;
      voided += is_voided;
    }
  g_assert_cmpuint (corrected, ==, visit->corrections->len);
  g_assert_cmpuint (corrected, >=, 1);
  g_assert_cmpuint (voided, <=, corrected);
}

static void
test_first_entry (void)
{
  g_autoptr (TdVisit) visit = read_visit (3, 3600);
  g_autoptr (GListStore) list = td_entry_list_new (visit);
  g_autoptr (TdEntryItem) item = g_list_model_get_item (G_LIST_MODEL (list), 2);
  g_autofree char *kind = NULL;
  g_autofree char *person = NULL;
  g_autofree char *clock = NULL;
  gint64 late_s = 0;
  int date = 0;

  g_object_get (item, "kind", &kind, "person", &person, "clock", &clock, "date", &date, "late-s", &late_s, NULL);
  g_assert_cmpstr (kind, ==, "arrival");
  g_assert_cmpstr (person, ==, "Nora Quill");
  g_assert_cmpstr (clock, ==, "06:04");
  g_assert_cmpint (date, ==, td_date_make (2026, 6, 16));
  g_assert_cmpint (late_s, ==, 3600);
}

static void
test_findings (void)
{
  g_autoptr (TdVisit) visit = read_visit (40, 20);
  g_autoptr (GPtrArray) findings = td_visit_get_findings (visit, visit->arrived.utc_ms + 7200000);
  g_autoptr (GListStore) list = td_finding_list_new (visit, findings);
  guint stops = 0;

  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (list)), ==, findings->len);
  g_assert_cmpuint (findings->len, >, 3);
  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);
      g_autoptr (TdFindingItem) item = g_list_model_get_item (G_LIST_MODEL (list), i);
      g_autofree char *place = NULL;
      g_autofree char *text = NULL;

      g_object_get (item, "place", &place, "text", &text, NULL);
      g_assert_cmpstr (text, ==, finding->text);
      g_assert_cmpint (td_finding_item_get_outlet (item), ==, finding->outlet);
      g_assert_true ((place != NULL) == (finding->outlet >= 0));
      g_assert_cmpstr (td_finding_item_get_code (item), ==, td_rule_get_info (finding->rule)->code);
      g_assert_true (td_finding_item_has_reason (item) == (finding->reason != NULL));
      stops += td_finding_item_get_severity (item) == TD_SEVERITY_STOP;
    }
  g_assert_cmpuint (stops, ==, td_findings_count (findings, TD_SEVERITY_STOP));
  g_assert_cmpuint (stops, >, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/rows/lines", test_lines);
  g_test_add_func ("/rows/untold-line", test_untold_line);
  g_test_add_func ("/rows/entries", test_entries);
  g_test_add_func ("/rows/first-entry", test_first_entry);
  g_test_add_func ("/rows/findings", test_findings);
  return g_test_run ();
}
