/* Appending: what is acknowledged stays, what is refused leaves nothing, what is closed stays closed. */
#include "book-bench.h"

#include "store-attachment.h"
#include "store-check.h"
#include "store-query.h"

#include "core-error.h"
#include "core-json-build.h"

#include <string.h>

static TdVisitRecord *
load (BookBench *bench, const TdUuid *visit)
{
  g_autoptr (GError) error = NULL;
  TdVisitRecord *record = td_book_load_visit (bench->book, visit, &error);
  g_assert_no_error (error);
  return record;
}

static guint
count (BookBench *bench, const TdUuid *visit)
{
  guint n = 0;
  g_autoptr (GError) error = NULL;
  td_book_count_entries (bench->book, visit, &n, &error);
  g_assert_no_error (error);
  return n;
}

static gint64
count_rows (BookBench *bench, const char *table)
{
  g_autofree char *sql = g_strdup_printf ("SELECT count (*) FROM %s", table);
  return book_bench_ask_sql (bench->path, sql);
}

static void
test_whole_visit (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  book_bench_add_closed (bench, &visit);
  book_bench_check (bench);
  g_autoptr (TdVisitRecord) record = load (bench, &visit);
  guint n = g_strv_length ((char **) bench_good_visit) + 1;
  g_assert_cmpuint (record->row->entries, ==, n);
  g_assert_cmpuint (count (bench, &visit), ==, n);
  g_assert_true (record->row->closed);
  g_assert_true (record->visit->closed);
  g_assert_cmpint (record->row->closed_ms, ==, bench_time ("07:27"));
  g_assert_cmpint (record->row->arrived_ms, ==, bench_time ("06:00"));
  g_assert_cmpint (record->row->date, ==, td_date_make (2026, 3, 2));
  g_assert_cmpstr (record->row->person, ==, "Ida Brook");
  g_assert_cmpstr (record->row->site, ==, "Two Lanterns Bar");
  g_assert_cmpstr (record->row->site_id, ==, "two-lanterns-bar");
  g_assert_cmpstr (record->row->account, ==, "Two Lanterns");
  g_autofree char *number = g_strdup_printf ("%s-00001", td_book_get_device (bench->book)->prefix);
  g_assert_cmpstr (record->row->number, ==, number);
  g_assert_cmpuint (record->row->findings[TD_SEVERITY_STOP], ==, 0);
  g_assert_nonnull (record->seal);
  g_assert_null (record->previous_seal);
  /* The seal is the SHA-256 of the text that anybody can be given. */
  g_autofree char *text = td_book_get_sealed_text (bench->book, &visit, NULL);
  g_autofree char *hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  g_assert_cmpstr (hash, ==, record->seal);
}

static void
test_envelope (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdEntry) entry = NULL;
  TdUuid visit = book_bench_visit (1);
  TdBookAppend options = { 0, bench_time ("06:00:30") };
  g_autoptr (TdDraft) draft = book_bench_draft (&visit, bench_good_visit[0], NULL);
  g_assert_true (td_book_append (bench->book, draft, &options, &entry, &error));
  g_assert_cmpuint (entry->envelope.seq, ==, 1);
  g_assert_cmpint (entry->envelope.version, ==, TD_ENTRY_VERSION);
  g_assert_cmpint (entry->envelope.happened.utc_ms, ==, bench_time ("06:00"));
  g_assert_cmpint (entry->envelope.recorded_ms, ==, bench_time ("06:00:30"));
  g_assert_cmpstr (entry->envelope.zone, ==, "UTC");
  g_assert_cmpstr (entry->envelope.boot_id, ==, td_clock_get_boot_id (bench->clock));
  /* An hour, and on by as much as the clock was set forward. */
  g_assert_cmpint (entry->envelope.boottime_ms, ==, 3600000 + bench_time ("06:00:30") - bench_time ("05:00"));
  g_assert_true (td_uuid_equal (&entry->envelope.device, &td_book_get_device (bench->book)->id));
  /* As stored: the same bytes come back. */
  book_bench_reopen (bench);
  g_autoptr (TdVisitRecord) record = load (bench, &visit);
  const TdEntry *stored = g_ptr_array_index (record->visit->entries, 0);
  g_autofree char *a = td_envelope_to_canonical (&entry->envelope);
  g_autofree char *b = td_envelope_to_canonical (&stored->envelope);
  g_assert_cmpstr (a, ==, b);
  g_assert_cmpstr (entry->body_text, ==, stored->body_text);
}

typedef struct
{
  const char *name;
  const char *line;
  int code; /* of TD_ERROR */
} Refusal;

static const Refusal refusals[] = {
  { "removing a tag never hung", "06:13 tag-removed tag=T9", TD_ERROR_IMPOSSIBLE },
  { "a line not at this site", "06:13 keg-uncoupled lines=Z1", TD_ERROR_REFERENCE },
  { "a second arrival", "06:13 arrival site=two-lanterns-bar work=routine", TD_ERROR_IMPOSSIBLE },
  { "a snapshot of one's own", "06:13 closing snapshot='{\"a\":1}'", TD_ERROR_SHAPE },
  { "voiding the arrival", "06:13 correction of=1 void=yes why='wrong site'", TD_ERROR_IMPOSSIBLE },
  { "another site for the arrival", "06:13 correction of=1 set='{\"site\":\"elsewhere\"}' why='wrong site'",
    TD_ERROR_IMPOSSIBLE },
  { "closing what has not been done", "06:13 closing", TD_ERROR_STOP },
  { "a picture that is not there", "06:13 photo file=nowhere.jpg", TD_ERROR_REFERENCE },
  { "a picture that the book does not hold",
    "06:13 photo sha256=e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855 media=image/jpeg",
    TD_ERROR_REFERENCE },
};

static void
test_refused (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  book_bench_add_visit (bench, &visit, BENCH_UP_TO_PLAN);
  for (gsize i = 0; i < G_N_ELEMENTS (refusals); i++)
    {
      g_autoptr (GError) error = NULL;
      gint64 rows = count_rows (bench, "entry");
      g_assert_false (book_bench_try (bench, &visit, refusals[i].line, &error));
      if (!g_error_matches (error, TD_ERROR, refusals[i].code))
        g_error ("%s: %s", refusals[i].name, error->message);
      g_assert_cmpint (count_rows (bench, "entry"), ==, rows);
      g_assert_cmpint (count_rows (bench, "attachment"), ==, 0);
      g_assert_cmpint (count_rows (bench, "seal"), ==, 0);
      book_bench_check (bench);
    }
  /* The journal goes on after all of them. */
  book_bench_add (bench, &visit, bench_good_visit[BENCH_UP_TO_PLAN]);
}

/* What an arrival begins and what it does not. */
static void
test_refused_arrival (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  g_assert_false (book_bench_try (bench, &visit, "06:00 arrival site=nowhere work=routine", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  g_clear_error (&error);
  g_assert_false (book_bench_try (bench, &visit, "06:00 left-tidy", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  g_clear_error (&error);
  g_assert_false (book_bench_try (bench, &visit, "06:00 closing", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  g_assert_cmpint (count_rows (bench, "visit"), ==, 0);
  g_assert_cmpuint (count (bench, &visit), ==, 0);
  g_clear_error (&error);
  g_assert_null (td_book_load_visit (bench->book, &visit, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
}

static void
test_conflict (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  TdBookAppend options = { 0 };
  book_bench_add_visit (bench, &visit, 3);
  g_autoptr (TdDraft) draft = book_bench_draft (&visit, "06:13 left-tidy", &options.recorded_ms);
  options.expected_seq = 3;
  g_assert_false (td_book_append (bench->book, draft, &options, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT);
  g_assert_cmpuint (count (bench, &visit), ==, 3);
  options.expected_seq = 4;
  g_assert_true (td_book_append (bench->book, draft, &options, NULL, NULL));
}

static void
test_closed (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  book_bench_add_closed (bench, &visit);
  guint n = count (bench, &visit);
  g_assert_false (book_bench_try (bench, &visit, "07:30 note text=more", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
  g_assert_nonnull (strstr (error->message, "amend"));
  g_assert_cmpuint (count (bench, &visit), ==, n);
}

/* Whatever stands in the way of closing is named, one to a line. */
static void
test_stops (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  book_bench_add_visit (bench, &visit, BENCH_UP_TO_PLAN + 1);
  g_assert_false (book_bench_try (bench, &visit, "06:20 closing", &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_STOP);
  g_assert_nonnull (strstr (error->message, "\ntag-left at B6: "));
  g_assert_nonnull (strstr (error->message, "\nsignature-missing: "));
  g_assert_nonnull (strstr (error->message, "\ncountersignature-missing: "));
  g_assert_cmpint (count_rows (bench, "seal"), ==, 0);
}

static void
test_chain (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *before = NULL;
  for (guint i = 1; i <= 3; i++)
    {
      TdUuid visit = book_bench_visit (i);
      book_bench_add_closed (bench, &visit);
      g_autoptr (TdVisitRecord) record = load (bench, &visit);
      g_assert_cmpstr (record->previous_seal, ==, before);
      g_autofree char *ending = g_strdup_printf ("-%05u", i);
      g_assert_true (g_str_has_suffix (record->row->number, ending));
      g_free (before);
      before = g_strdup (record->seal);
    }
  book_bench_check (bench);
}

/* What becomes of names and settings later does not reach a closed visit. */
static void
test_snapshot (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  gint64 days = 21;
  book_bench_add_closed (bench, &visit);
  g_autoptr (TdJson) json = td_masters_to_json (bench->bench->context.masters);
  g_autofree char *text = td_json_to_text (json, FALSE);
  g_autoptr (GString) renamed = g_string_new (text);
  g_assert_cmpuint (g_string_replace (renamed, "Line lye 30", "Other name", 0), >, 0);
  g_assert_cmpuint (g_string_replace (renamed, "Ida Brook", "Ida Brook-Reed", 0), >, 0);
  g_autoptr (TdJson) changed = td_json_parse (renamed->str, -1, NULL);
  g_autoptr (TdMasters) masters = td_masters_from_json (changed, &error);
  g_assert_no_error (error);
  g_assert_true (td_book_import_company (bench->book, masters, NULL, NULL));
  g_assert_true (td_book_set_setting (bench->book, NULL, TD_SETTING_CONTACT_CIRCULATING, &days, NULL) == FALSE);
  days = 1800;
  g_assert_true (td_book_set_setting (bench->book, NULL, TD_SETTING_CONTACT_CIRCULATING, &days, NULL));
  g_autoptr (TdVisitRecord) record = load (bench, &visit);
  const TdBatch *batch = &g_array_index (record->visit->batches, TdBatch, 0);
  g_assert_cmpstr (batch->product->name, ==, "Line lye 30");
  g_assert_cmpstr (batch->lot->code, ==, "771");
  g_assert_cmpstr (td_visit_get_person_name (record->visit, "ida"), ==, "Ida Brook");
  g_assert_cmpint (td_settings_get (record->visit->settings, TD_SETTING_CONTACT_CIRCULATING), ==, 900);
  g_assert_cmpstr (record->visit->masters->company, ==, "Clear Run Line Care");
  /* Only what the visit names is kept. */
  g_assert_cmpuint (record->visit->masters->n_products, ==, 1);
  /* An open visit goes by what holds now. */
  TdUuid open = book_bench_visit (2);
  book_bench_add_visit (bench, &open, BENCH_UP_TO_MIX);
  g_autoptr (TdVisitRecord) now = load (bench, &open);
  g_assert_cmpstr (g_array_index (now->visit->batches, TdBatch, 0).product->name, ==, "Other name");
  book_bench_check (bench);
}

/* A visit keeps the sheet that it began with. */
static void
test_sheet (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid visit = book_bench_visit (1);
  book_bench_add_visit (bench, &visit, 3);
  g_autoptr (TdJson) json = td_site_to_json (bench->bench->context.site);
  g_autofree char *text = td_json_to_text (json, FALSE);
  g_autoptr (GString) changed = g_string_new (text);
  g_assert_cmpuint (g_string_replace (changed, "\"A2\"", "\"A2new\"", 0), ==, 1);
  g_autoptr (TdSite) site = td_site_parse (changed->str, -1, &error);
  g_assert_no_error (error);
  TdSiteImport import = { 0 };
  g_assert_true (td_book_import_site (bench->book, site, &import, &error));
  g_assert_cmpint (import.outcome, ==, TD_IMPORT_CHANGED);
  td_site_import_clear (&import);
  book_bench_add (bench, &visit, "06:13 keg-uncoupled lines=A2");
  TdUuid newer = book_bench_visit (2);
  book_bench_add (bench, &newer, "06:14 arrival site=two-lanterns-bar work=routine");
  g_assert_false (book_bench_try (bench, &newer, "06:15 keg-uncoupled lines=A2", &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_REFERENCE);
  book_bench_add (bench, &newer, "06:15 keg-uncoupled lines=A2new");
  book_bench_check (bench);
}

static void
test_amendment (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdUuid first = book_bench_visit (1), second = book_bench_visit (2), third = book_bench_visit (3);
  g_autofree char *id = td_uuid_to_text (&first);
  g_autofree char *line = g_strdup_printf ("08:00 arrival site=two-lanterns-bar work=amendment amends=%s", id);
  book_bench_add_visit (bench, &first, 0);
  g_assert_false (book_bench_try (bench, &second, line, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
  g_clear_error (&error);
  book_bench_add (bench, &first, "07:27 closing");
  book_bench_add (bench, &second, line);
  g_assert_false (book_bench_try (bench, &third, line, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
  g_autoptr (TdVisitRecord) older = load (bench, &first);
  g_autoptr (TdVisitRecord) newer = load (bench, &second);
  g_assert_true (older->row->amended);
  g_assert_true (td_uuid_equal (&older->row->amended_by, &second));
  g_assert_true (newer->row->amends);
  g_assert_true (td_uuid_equal (&newer->row->amends_id, &first));
  g_assert_false (newer->row->amended);
  TdVisitsFilter filter = { .newest_only = TRUE };
  g_autoptr (GPtrArray) rows = td_book_list_visits (bench->book, &filter, NULL);
  g_assert_cmpuint (rows->len, ==, 1);
  g_assert_true (td_uuid_equal (&((TdVisitRow *) g_ptr_array_index (rows, 0))->id, &second));
  book_bench_check (bench);
}

static void
test_list (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdUuid closed = book_bench_visit (1), open = book_bench_visit (2);
  book_bench_add_closed (bench, &closed);
  book_bench_add (bench, &open, "09:00 arrival site=two-lanterns-bar work=routine");
  static const struct
  {
    TdVisitsFilter filter;
    guint n;
    gboolean first_closed;
  } cases[] = {
    { { TD_VISITS_ALL }, 2, FALSE },
    { { TD_VISITS_OPEN }, 1, FALSE },
    { { TD_VISITS_CLOSED }, 1, TRUE },
    { { TD_VISITS_ALL, "two-lanterns-bar" }, 2, FALSE },
    { { TD_VISITS_CLOSED, "two-lanterns-bar" }, 1, TRUE },
    { { TD_VISITS_ALL, NULL, FALSE, 1 }, 1, FALSE },
    { { TD_VISITS_ALL, "nowhere" }, 0, FALSE },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GPtrArray) rows = td_book_list_visits (bench->book, &cases[i].filter, NULL);
      g_assert_cmpuint (rows->len, ==, cases[i].n);
      if (rows->len > 0)
        g_assert_cmpint (((TdVisitRow *) g_ptr_array_index (rows, 0))->closed, ==, cases[i].first_closed);
    }
  g_autoptr (GError) error = NULL;
  g_assert_null (td_book_get_sealed_text (bench->book, &open, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
}

static void
test_many (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_autoptr (GArray) times = g_array_new (FALSE, FALSE, sizeof (gint64));
  for (guint v = 1; v <= 2; v++)
    for (guint i = 0; i <= g_strv_length ((char **) bench_good_visit); i++)
      {
        TdUuid visit = book_bench_visit (v);
        gint64 at = 0;
        const char *line = bench_good_visit[i] != NULL ? bench_good_visit[i] : "07:27 closing";
        g_ptr_array_add (drafts, book_bench_draft (&visit, line, &at));
        g_array_append_val (times, at);
      }
  g_assert_true (td_book_append_many (bench->book, drafts, (const gint64 *) times->data, NULL, &error));
  g_assert_cmpint (count_rows (bench, "seal"), ==, 2);
  book_bench_check (bench);
  /* All or none: the last one is refused. */
  TdUuid third = book_bench_visit (3);
  guint failed = 0;
  g_ptr_array_set_size (drafts, 0);
  g_ptr_array_add (drafts, book_bench_draft (&third, bench_good_visit[0], NULL));
  g_ptr_array_add (drafts, book_bench_draft (&third, "06:01 tag-removed tag=T1", NULL));
  g_assert_false (td_book_append_many (bench->book, drafts, NULL, &failed, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
  g_assert_cmpuint (failed, ==, 1);
  g_assert_cmpint (count_rows (bench, "visit"), ==, 2);
  book_bench_check (bench);
}

/* The head of a JPEG is enough to be taken for one. */
static char *
write_picture (BookBench *bench, const char *name, gsize n_bytes, char last)
{
  g_autofree char *bytes = g_malloc0 (n_bytes);
  char *path = book_bench_path (bench, name);
  memcpy (bytes, "\xff\xd8\xff\xe0", 4);
  bytes[n_bytes - 1] = last;
  g_assert_true (g_file_set_contents (path, bytes, n_bytes, NULL));
  return path;
}

static void
test_photo (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  g_autofree char *media = NULL;
  TdUuid visit = book_bench_visit (1);
  g_autofree char *path = write_picture (bench, "a.jpg", TD_ATTACHMENT_MAX, 1);
  g_autofree char *line = g_strdup_printf ("06:13 photo file='%s' line=B6 text=drip", path);
  book_bench_add_visit (bench, &visit, BENCH_UP_TO_PLAN);
  book_bench_add (bench, &visit, line);
  book_bench_add (bench, &visit, line);
  g_assert_cmpint (count_rows (bench, "attachment"), ==, 1);
  g_autofree char *sha256 = book_bench_hash_file (path);
  g_autoptr (TdVisitRecord) record = load (bench, &visit);
  g_assert_cmpuint (record->visit->photos->len, ==, 2);
  g_assert_cmpstr (g_array_index (record->visit->photos, TdRemark, 0).sha256, ==, sha256);
  g_autoptr (GBytes) bytes = td_book_get_attachment (bench->book, sha256, &media, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (g_bytes_get_size (bytes), ==, TD_ATTACHMENT_MAX);
  g_assert_cmpstr (media, ==, "image/jpeg");
  book_bench_check (bench);
  /* Too large by a byte; no picture; nothing at all. */
  g_autofree char *large = write_picture (bench, "b.jpg", TD_ATTACHMENT_MAX + 1, 2);
  g_autofree char *large_line = g_strdup_printf ("06:13 photo file='%s'", large);
  g_assert_false (book_bench_try (bench, &visit, large_line, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
  g_clear_error (&error);
  g_autofree char *text = book_bench_path (bench, "c.jpg");
  g_assert_true (g_file_set_contents (text, "no picture", -1, NULL));
  g_autofree char *text_line = g_strdup_printf ("06:13 photo file='%s'", text);
  g_assert_false (book_bench_try (bench, &visit, text_line, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
  g_clear_error (&error);
  g_assert_null (td_book_get_attachment (bench->book, "00", NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/journal/whole-visit", test_whole_visit);
  g_test_add_func ("/journal/envelope", test_envelope);
  g_test_add_func ("/journal/refused", test_refused);
  g_test_add_func ("/journal/refused-arrival", test_refused_arrival);
  g_test_add_func ("/journal/conflict", test_conflict);
  g_test_add_func ("/journal/closed", test_closed);
  g_test_add_func ("/journal/stops", test_stops);
  g_test_add_func ("/journal/chain", test_chain);
  g_test_add_func ("/journal/snapshot", test_snapshot);
  g_test_add_func ("/journal/sheet", test_sheet);
  g_test_add_func ("/journal/amendment", test_amendment);
  g_test_add_func ("/journal/list", test_list);
  g_test_add_func ("/journal/many", test_many);
  g_test_add_func ("/journal/photo", test_photo);
  return g_test_run ();
}
