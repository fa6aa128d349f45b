#include "visit-bench.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"

/* clang-format off */
static const struct
{
  const char *id;
  int number;
  const char *tower;
  const char *cooler;
  const char *pump;
  const char *fob;
  int length_m;
  const char *more;
} site_lines[] = {
  { "A1", 1, "TA", "C1", "none", "false", 20, "" },
  { "A2", 2, "TA", "C1", "none", "false", 20, "" },
  { "A3", 3, "TA", "C1", "one-way", "true", 20, "" },
  { "A4", 4, "TA", "C1", "reversible", "true", 20, "" },
  { "B5", 5, "TB", "C1", "none", "true", 40, "" },
  { "B6", 6, "TB", "C1", "none", "true", 4, "" },
  { "B7", 7, "TB", "C1", "none", "true", 30,
    ",\"side_faucets\":[{\"id\":\"B7s\",\"number\":17,\"tower\":\"TA\",\"segments\":["
    "{\"bore_mm\":9.525,\"length_m\":3}]}]" },
  { "A9", 9, "TA", "C2", "none", "false", 20, "" },
  { "B8", 8, "TB", "C2", "none", "false", 20, "" },
};
/* clang-format on */

static TdSite *
make_site (void)
{
  g_autoptr (GString) text = g_string_new (
      "{\"format\":\"tundish-site/1\",\"account\":{\"name\":\"Two Lanterns\"},"
      "\"site\":{\"name\":\"Two Lanterns Bar\",\"zone\":\"UTC\",\"interval_days\":14},"
      "\"coolers\":[{\"id\":\"C1\",\"name\":\"Cold room\",\"height_m\":0},"
      "{\"id\":\"C2\",\"name\":\"Cellar\",\"height_m\":-2}],"
      "\"towers\":[{\"id\":\"TA\",\"name\":\"Front bar\",\"height_m\":3},"
      "{\"id\":\"TB\",\"name\":\"Terrace\",\"height_m\":4}],\"lines\":[");
  g_autoptr (GError) error = NULL;
  TdSite *site;

  for (gsize i = 0; i < G_N_ELEMENTS (site_lines); i++)
    g_string_append_printf (
        text,
        "%s{\"id\":\"%s\",\"number\":%d,\"tower\":\"%s\",\"cooler\":\"%s\",\"beer_pump\":\"%s\","
        "\"fob\":%s,\"product\":\"Beer %d\",\"segments\":[{\"material\":\"barrier\",\"bore_mm\":9.525,"
        "\"length_m\":%d}]%s}",
        i > 0 ? "," : "", site_lines[i].id, site_lines[i].number, site_lines[i].tower,
        site_lines[i].cooler, site_lines[i].pump, site_lines[i].fob, site_lines[i].number,
        site_lines[i].length_m, site_lines[i].more);
  g_string_append (text, "]}");
  site = td_site_parse (text->str, -1, &error);
  g_assert_no_error (error);
  return site;
}

/* clang-format off */
static const char company_file[] =
  "{\"format\":\"tundish-company/1\","
  "\"company\":{\"name\":\"Clear Run Line Care\"},"
  "\"products\":["
  "{\"id\":\"lye\",\"name\":\"Line lye 30\",\"kind\":\"caustic\",\"substance\":\"naoh\",\"percent_milli\":30000,"
  "\"density_kg_m3\":1328,\"basis\":\"w/w\",\"target_percent_milli\":2000},"
  "{\"id\":\"bleachlye\",\"name\":\"Chlorinated lye\",\"kind\":\"caustic-chlorinated\",\"substance\":\"naoh\","
  "\"percent_milli\":20000,\"basis\":\"w/w\",\"target_percent_milli\":2000},"
  "{\"id\":\"sour\",\"name\":\"Acid line cleaner\",\"kind\":\"acid\",\"substance\":\"h3po4\",\"percent_milli\":30000,"
  "\"basis\":\"w/w\",\"target_percent_milli\":1500},"
  "{\"id\":\"soap\",\"name\":\"Neutral cleaner\",\"kind\":\"other\",\"substance\":\"other\",\"percent_milli\":10000,"
  "\"basis\":\"v/v\",\"target_percent_milli\":1000}],"
  "\"lots\":["
  "{\"id\":\"LY1\",\"product\":\"lye\",\"code\":\"771\",\"received\":\"2026-01-10\",\"expiry\":\"2027-01-01\"},"
  "{\"id\":\"LYOLD\",\"product\":\"lye\",\"code\":\"601\",\"received\":\"2024-01-10\",\"expiry\":\"2026-03-01\"},"
  "{\"id\":\"LYBAD\",\"product\":\"lye\",\"code\":\"772\",\"received\":\"2026-01-10\",\"recalled\":true},"
  "{\"id\":\"LYDAY\",\"product\":\"lye\",\"code\":\"773\",\"received\":\"2025-03-02\",\"expiry\":\"2026-03-02\"},"
  "{\"id\":\"BL1\",\"product\":\"bleachlye\",\"code\":\"41\",\"received\":\"2026-01-10\"},"
  "{\"id\":\"SO1\",\"product\":\"sour\",\"code\":\"12\",\"received\":\"2026-01-10\"}],"
  "\"technicians\":["
  "{\"id\":\"ida\",\"name\":\"Ida Brook\",\"certificate\":\"C-1\",\"certificate_expiry\":\"2026-12-31\"},"
  "{\"id\":\"olav\",\"name\":\"Olav Reed\",\"certificate\":\"C-2\",\"certificate_expiry\":\"2026-03-01\"},"
  "{\"id\":\"rut\",\"name\":\"Rut Ferry\",\"certificate\":\"C-3\",\"certificate_expiry\":\"2026-03-02\"},"
  "{\"id\":\"pia\",\"name\":\"Pia Marsh\"}],"
  "\"instruments\":["
  "{\"id\":\"meter\",\"name\":\"pH meter\",\"kind\":\"ph-meter\",\"calibrated\":\"2026-01-01\","
  "\"calibration_due\":\"2026-07-01\"},"
  "{\"id\":\"oldmeter\",\"name\":\"Old pH meter\",\"kind\":\"ph-meter\",\"calibrated\":\"2025-01-01\","
  "\"calibration_due\":\"2025-07-01\"},"
  "{\"id\":\"daymeter\",\"name\":\"pH meter of the day\",\"kind\":\"ph-meter\",\"calibrated\":\"2025-03-02\","
  "\"calibration_due\":\"2026-03-02\"},"
  "{\"id\":\"strip\",\"name\":\"pH strips\",\"kind\":\"ph-strip\"},"
  "{\"id\":\"probe\",\"name\":\"Thermometer\",\"kind\":\"thermometer\"},"
  "{\"id\":\"kit\",\"name\":\"Titration kit\",\"kind\":\"titration-kit\"}]}";
/* clang-format on */

/* clang-format off */
const char *const bench_good_visit[] = {
  "06:00 arrival site=two-lanterns-bar work=routine sds_at_hand=yes",
  "06:02 staff-told tower=TA name='Bar manager'",
  "06:03 staff-told tower=TB name='Head waiter'",
  "06:05 cold-room-checked cooler=C1 co2=normal co2_ppm=650 access=clear",
  "06:06 as-found lines=A4 lever=out keg=part gas=on pressure_pa=100000",
  "06:06 as-found lines=A2,B6 lever=none keg=part gas=on temperature_c_milli=3900",
  "06:08 scope clean=caustic lines=A2,A4,B6",
  "06:10 plan-adopted " BENCH_PLAN_1 " source=hand minutes=70",
  "06:12 line-proved lines=A2,A4,B6",
  /* BENCH_UP_TO_PLAN */
  "06:14 tag-hung tag=T1 tag_kind=tag at=outlet line=B6 legend='Do not operate'",
  "06:15 cooling-off place=C1",
  "06:16 gas-off gas=beer-pump lines=A4",
  "06:16 gas-off gas=keg lines=A2,A4,B6",
  "06:17 protection-on eyes=yes gloves=yes apron=yes",
  "06:18 keg-uncoupled lines=A2,A4,B6",
  "06:19 adapter-fitted lines=A2,A4,B6",
  "06:19 check-ball-out lines=A4",
  "06:20 ends-joined ends=keg by=manifold lines=A2,A4,B6",
  "06:20 ends-joined ends=faucet by=jumper lines=A2,A4",
  "06:21 fob-opened lines=A4,B6",
  "06:22 lever-set lines=A4",
  "06:24 solution-mixed batch=K1 product=lye lot=LY1 concentrate_ml=1030 water_ml=20000 percent_milli=2000 "
  "temperature_c_milli=40000 known=measured instrument=probe",
  "06:27 strength-measured batch=K1 percent_milli=2050 basis=w/w method=titration instrument=kit known=measured",
  "06:28 ph-read of=tap ph_milli=7400 instrument=meter known=measured",
  "06:29 cleaning-pump-on circuit=1 flow_ml_min=4200",
  "06:30 beer-pushed-out circuit=1 lost_ml=1800 by=water known=measured",
  "06:30 beer-pushed-out lines=B6 lost_ml=400 by=water known=estimated",
  /* BENCH_UP_TO_MIX */
  "06:31 chemical-in circuit=1 batch=K1",
  "06:32 flow-seen lines=A4 direction=in",
  "06:33 chemical-seen circuit=1 batch=K1",
  "06:34 return-in-bucket circuit=1",
  "06:34 fob-flooded lines=A4",
  "06:35 tag-lifted tag=T1",
  "06:35 chemical-in lines=B6 batch=K1",
  "06:36 chemical-seen lines=B6 batch=K1 shut=yes",
  "06:36 fob-flooded lines=B6",
  "06:37 tag-hung-again tag=T1",
  "06:40 faucet-stripped lines=A2,A4",
  "06:45 coupler-brushed lines=A2,A4,B6",
  "06:51 contact-ended circuit=1",
  "06:52 rinse-started circuit=1",
  "06:54 rinse-circulated circuit=1",
  "06:57 tag-lifted tag=T1",
  "06:57 contact-ended lines=B6",
  "06:57 rinse-started lines=B6",
  "06:59 fob-rinsed lines=A4,B6",
  "07:00 debris-seen lines=A2,A4,B6 debris=none",
  "07:00 rinse-water circuit=1 water_ml=30000 known=estimated",
  "07:01 ph-read of=outlet lines=B6 ph_milli=7450 instrument=meter known=measured",
  "07:02 ph-read of=outlet lines=A2,A4 ph_milli=7520 instrument=meter known=measured",
  "07:03 faucet-stripped lines=B6",
  "07:04 cleaning-pump-off circuit=1",
  "07:05 solution-disposed batch=K1 volume_ml=18000 ph_milli=10500 drain=sewer known=measured",
  "07:06 faucet-rebuilt lines=A2,A4,B6",
  "07:07 lever-set-back lines=A4",
  "07:07 check-ball-in lines=A4",
  "07:08 ends-parted ends=keg by=manifold lines=A2,A4,B6",
  "07:08 ends-parted ends=faucet by=jumper lines=A2,A4",
  "07:09 adapter-removed lines=A2,A4,B6",
  "07:10 valve-well-dried lines=A2,A4,B6",
  "07:11 keg-coupled lines=A2,A4,B6 keg=part",
  "07:12 gas-on gas=keg lines=A2,A4,B6",
  "07:12 gas-on gas=beer-pump lines=A4",
  "07:13 flow-seen lines=A4 direction=out",
  "07:14 beer-clear lines=A2,A4,B6",
  "07:15 fob-vented lines=A4,B6",
  "07:16 beer-clear lines=A2,A4,B6",
  "07:17 cooling-on place=C1",
  "07:18 tag-removed tag=T1",
  "07:20 temperature-read of=beer lines=A2,A4 temperature_c_milli=3300 instrument=probe known=measured",
  "07:21 pressure-read lines=A4 gas=beer-pump pressure_pa=200000 known=measured",
  "07:22 pour-rate-read lines=A2,A4 pour_ml_min=3500 known=measured",
  "07:23 leak-checked lines=A2,A4,B6 result=tight",
  "07:24 left-tidy",
  "07:25 signature name='Ida Brook' meaning=work-done",
  "07:26 countersignature meaning=informed name='Bar manager'",
  NULL,
};
/* clang-format on */

Bench *
bench_new (void)
{
  Bench *bench = g_new0 (Bench, 1);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) company = td_json_parse (company_file, -1, &error);

  g_assert_no_error (error);
  bench->context.masters = td_masters_from_json (company, &error);
  g_assert_no_error (error);
  bench->context.site = make_site ();
  bench->context.settings = td_settings_new ();
  bench->entries = g_ptr_array_new_with_free_func ((GDestroyNotify)td_entry_unref);
  return bench;
}

void
bench_free (Bench *bench)
{
  td_site_unref (bench->context.site);
  td_masters_unref (bench->context.masters);
  td_settings_unref (bench->context.settings);
  g_ptr_array_unref (bench->entries);
  g_free (bench->history);
  g_free (bench);
}

gint64
bench_time (const char *clock)
{
  g_auto (GStrv) parts = g_strsplit (clock, ":", -1);
  gint64 ms = BENCH_DAY_MS;

  g_assert_cmpuint (g_strv_length (parts), >=, 2);
  ms += 3600000 * g_ascii_strtoll (parts[0], NULL, 10)
        + 60000 * g_ascii_strtoll (parts[1], NULL, 10);
  return parts[2] != NULL ? ms + (gint64)(1000 * g_ascii_strtod (parts[2], NULL)) : ms;
}

static TdFieldType
find_type (TdKind kind, const char *key)
{
  for (const TdField *field = td_kind_get_fields (kind); field->key != NULL; field++)
    if (strcmp (field->key, key) == 0)
      return field->type;
  return TD_FIELD_TEXT;
}

static void
add_member (TdJsonBuilder *builder, TdKind kind, const char *key, const char *value)
{
  TdFieldType type = find_type (kind, key);

  td_json_builder_key (builder, key);
  if (type == TD_FIELD_LINES || type == TD_FIELD_TEXTS)
    {
      g_auto (GStrv) parts = g_strsplit (value, ",", -1);

      td_json_builder_begin_array (builder);
      for (guint i = 0; parts[i] != NULL; i++)
        td_json_builder_string (builder, parts[i]);
      td_json_builder_end (builder);
    }
  else if (type == TD_FIELD_INTEGER || type == TD_FIELD_CIRCUIT)
    td_json_builder_integer (builder, g_ascii_strtoll (value, NULL, 10));
  else if (type == TD_FIELD_PLAN || type == TD_FIELD_OBJECT || type == TD_FIELD_STROKES)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdJson) json = td_json_parse (value, -1, &error);

      g_assert_no_error (error);
      td_json_builder_value (builder, json);
    }
  else
    td_json_builder_string (builder, value);
}

TdEntry *
bench_make_entry (Bench *bench, const char *line, GError **error)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) body = NULL;
  g_auto (GStrv) words = NULL;
  char zone[] = "UTC", boot[] = "boot-1", ida[] = "ida";
  gint64 boottime_ms = -1;
  TdEnvelope envelope
      = { .version = TD_ENTRY_VERSION, .zone = zone, .boot_id = boot, .person = ida };
  g_autoptr (GError) local = NULL;

  g_assert_true (g_shell_parse_argv (line, NULL, &words, &local));
  g_assert_cmpuint (g_strv_length (words), >=, 2);
  g_assert_true (td_kind_from_code (words[1], &envelope.kind));
  memset (envelope.visit.bytes, 7, sizeof envelope.visit.bytes);
  envelope.seq = bench->entries->len + 1;
  envelope.happened.utc_ms = bench_time (words[0]);
  envelope.recorded_ms = envelope.happened.utc_ms + 5000;
  if (bench->entries->len > 0)
    {
      const TdEntry *before = g_ptr_array_index (bench->entries, bench->entries->len - 1);

      envelope.recorded_ms = MAX (envelope.recorded_ms, before->envelope.recorded_ms);
    }
  td_json_builder_begin_object (builder);
  for (guint i = 2; words[i] != NULL; i++)
    {
      char *value = strchr (words[i], '=');

      if (words[i][0] == '@')
        envelope.person = words[i] + 1;
      else if (words[i][0] == '!')
        envelope.recorded_ms = bench_time (words[i] + 1);
      else if (words[i][0] == '%')
        envelope.boot_id = words[i] + 1;
      else if (words[i][0] == '^')
        boottime_ms = bench_time (words[i] + 1);
      else
        {
          g_assert_nonnull (value);
          *value = '\0';
          add_member (builder, envelope.kind, words[i], value + 1);
        }
    }
  td_json_builder_end (builder);
  body = td_json_builder_finish (builder);
  /* The machine was started at midnight. */
  envelope.boottime_ms = (boottime_ms >= 0 ? boottime_ms : envelope.recorded_ms) - BENCH_DAY_MS;
  if (!td_kind_check_body (envelope.kind, body, error))
    return NULL;
  return td_entry_new (&envelope, body, error);
}

gboolean
bench_try (Bench *bench, const char *line, GError **error)
{
  TdEntry *entry = bench_make_entry (bench, line, error);
  g_autoptr (TdVisit) visit = NULL;

  if (entry == NULL)
    return FALSE;
  g_ptr_array_add (bench->entries, entry);
  visit = td_visit_fold (&bench->context, bench->entries, error);
  if (visit == NULL)
    g_ptr_array_set_size (bench->entries, (int)bench->entries->len - 1);
  return visit != NULL;
}

void
bench_add (Bench *bench, const char *line)
{
  g_autoptr (GError) error = NULL;

  if (!bench_try (bench, line, &error))
    g_error ("%s: %s", line, error->message);
}

void
bench_add_lines (Bench *bench, const char *const *lines)
{
  for (guint i = 0; lines[i] != NULL; i++)
    bench_add (bench, lines[i]);
}

void
bench_fill (Bench *bench, const char *const *lines, guint n_lines)
{
  for (guint i = 0; i < n_lines && lines[i] != NULL; i++)
    {
      g_autoptr (GError) error = NULL;
      TdEntry *entry = bench_make_entry (bench, lines[i], &error);

      if (entry == NULL)
        g_error ("%s: %s", lines[i], error->message);
      g_ptr_array_add (bench->entries, entry);
    }
}

TdVisit *
bench_fold (Bench *bench)
{
  g_autoptr (GError) error = NULL;
  TdVisit *visit = td_visit_fold (&bench->context, bench->entries, &error);

  g_assert_no_error (error);
  return visit;
}

const TdVisitLine *
bench_line (const TdVisit *visit, const char *id)
{
  int outlet = td_site_find_outlet (visit->site, id);

  g_assert_cmpint (outlet, >=, 0);
  return &visit->lines[outlet];
}

const TdPass *
bench_pass (const TdVisit *visit, const char *id)
{
  const TdPass *pass = td_visit_line_get_pass (bench_line (visit, id));

  g_assert_nonnull (pass);
  return pass;
}
