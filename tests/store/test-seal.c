/* What is sealed stays as it was: the book refuses every change, and a change made behind its back is
 * found. */
#include "book-bench.h"

#include "store-check.h"
#include "store-query.h"

#include "core-json-build.h"

#include <sqlite3.h>
#include <string.h>

/* A visit of six entries that can be closed. */
static const char *const small_visit[] = {
  "06:00 arrival site=two-lanterns-bar work=routine sds_at_hand=yes",
  "06:01 scope clean=caustic lines=A2",
  "06:02 line-left-out lines=A2 reason='Keg empty'",
  "06:03 signature name='Ida Brook' meaning=work-done",
  "06:04 countersignature meaning=nobody-present",
  "06:05 closing",
};

static void
add_small (BookBench *bench, const TdUuid *visit)
{
  for (gsize i = 0; i < G_N_ELEMENTS (small_visit); i++)
    book_bench_add (bench, visit, small_visit[i]);
}

/* SQL against frozen rows and what the book says to it. */
static const struct
{
  const char *sql;
  const char *refusal;
} attacks[] = {
  { "UPDATE entry SET person = 'x' WHERE seq = 1", "an entry is never changed" },
  { "UPDATE OR IGNORE entry SET body = '{}' WHERE seq = 1", "an entry is never changed" },
  { "DELETE FROM entry WHERE seq = 6", "an entry is never taken away" },
  { "INSERT INTO entry SELECT visit, 7, kind, version, happened_ms, offset_min, zone, recorded_ms, boot_id,"
    " boottime_ms, person, device, body, digest FROM entry WHERE visit = 1 AND seq = 2",
    "a closed visit takes no further entry" },
  { "INSERT INTO entry SELECT visit, 9, kind, version, happened_ms, offset_min, zone, recorded_ms, boot_id,"
    " boottime_ms, person, device, body, digest FROM entry WHERE visit = 2 AND seq = 1",
    "entries of a visit are numbered without a gap" },
  { "INSERT OR REPLACE INTO entry SELECT visit, seq, kind, version, happened_ms, offset_min, zone, recorded_ms,"
    " boot_id, boottime_ms, 'x', device, body, digest FROM entry WHERE visit = 1 AND seq = 2", "" },
  { "INSERT OR REPLACE INTO entry SELECT visit, seq, kind, version, happened_ms, offset_min, zone, recorded_ms,"
    " boot_id, boottime_ms, 'x', device, body, digest FROM entry WHERE visit = 2 AND seq = 1",
    "entries of a visit are numbered without a gap" },
  { "REPLACE INTO seal SELECT device, number, visit, previous, zeroblob (32) FROM seal WHERE number = 1", "" },
  { "UPDATE seal SET number = 5", "a seal is never changed" },
  { "DELETE FROM seal", "a seal is never taken away" },
  { "INSERT INTO seal SELECT device, 3, 2, seal, zeroblob (32) FROM seal", "" },
  { "INSERT INTO seal SELECT device, 2, 2, seal, zeroblob (32) FROM seal",
    "only a visit whose last entry closes it is sealed" },
  { "UPDATE visit SET device = device", "a visit is never changed" },
  { "DELETE FROM visit", "a visit is never taken away" },
  { "INSERT OR REPLACE INTO visit SELECT * FROM visit WHERE id = 1", "a visit is never replaced" },
  { "INSERT INTO visit (uuid, site, sheet, device, amends) SELECT zeroblob (16), site, sheet, device, 2 FROM visit"
    " WHERE id = 1", "only a closed visit can be amended" },
  { "UPDATE sheet SET text = ''", "a sheet is never changed" },
  { "DELETE FROM sheet", "a sheet is never taken away" },
  { "INSERT OR REPLACE INTO sheet SELECT sha256, '' FROM sheet", "a sheet is never replaced" },
  { "UPDATE attachment SET media = 'x'", "an attachment is never changed" },
  { "DELETE FROM attachment", "an attachment is never taken away" },
  { "INSERT OR REPLACE INTO attachment SELECT sha256, media, x'00' FROM attachment", "an attachment is never replaced" },
  { "UPDATE device SET prefix = 'ABCD'", "a device is never changed" },
  { "DELETE FROM device", "a device is never taken away" },
  { "INSERT OR REPLACE INTO device SELECT id, uuid, 'ABCD', created_ms FROM device", "a device is never replaced" },
  { "UPDATE site_sheet SET since_ms = 0", "the history of a site is never changed" },
  { "DELETE FROM site_sheet", "the history of a site is never taken away" },
  { "INSERT OR REPLACE INTO site_sheet SELECT site, rev, sheet, 0 FROM site_sheet", "the history of a site is never replaced" },
};

/* A closed visit 1 and an open visit 2 with a picture. */
static BookBench *
new_bench (void)
{
  BookBench *bench = book_bench_new ();
  TdUuid closed = book_bench_visit (1), open = book_bench_visit (2);
  g_autofree char *picture = book_bench_path (bench, "a.jpg");
  g_autofree char *line = g_strdup_printf ("07:01 photo file='%s'", picture);
  g_assert_true (g_file_set_contents (picture, "\xff\xd8\xff\xe0 picture", -1, NULL));
  add_small (bench, &closed);
  book_bench_add (bench, &open, "07:00 arrival site=two-lanterns-bar work=routine");
  book_bench_add (bench, &open, line);
  /* A second sheet, which neither visit goes by. */
  g_autoptr (TdJson) json = td_site_to_json (bench->bench->context.site);
  g_autofree char *text = td_json_to_text (json, FALSE);
  g_autoptr (GString) changed = g_string_new (text);
  g_assert_cmpuint (g_string_replace (changed, "Beer 1", "Stout 1", 1), ==, 1);
  g_autoptr (TdSite) site = td_site_parse (changed->str, -1, NULL);
  g_assert_true (td_book_import_site (bench->book, site, NULL, NULL));
  return bench;
}

static void
test_frozen (void)
{
  g_autoptr (BookBench) bench = new_bench ();
  book_bench_close (bench);
  /* With and without the pragma: INSERT OR REPLACE must not find a way round either way. */
  static const char *const pragmas[] = { "PRAGMA recursive_triggers = OFF;", "PRAGMA recursive_triggers = ON;" };
  for (gsize i = 0; i < G_N_ELEMENTS (attacks); i++)
    for (gsize p = 0; p < G_N_ELEMENTS (pragmas); p++)
      {
        g_autofree char *sql = g_strconcat (pragmas[p], attacks[i].sql, NULL);
        g_autofree char *message = book_bench_try_sql (bench->path, sql);
        if (message == NULL)
          g_error ("%s was let through", sql);
        if (attacks[i].refusal[0] != '\0')
          g_assert_cmpstr (message, ==, attacks[i].refusal);
      }
  book_bench_reopen (bench);
  book_bench_check (bench);
}

/* Changes behind the triggers' back, and the kind of check that finds each. */
static const struct
{
  const char *sql;
  const char *part;
} tamperings[] = {
  { "UPDATE entry SET kind = 'left-tidy' WHERE visit = 1 AND seq = 4", "journal: Entry 4" },
  { "UPDATE entry SET kind = 'unheard-of' WHERE visit = 1 AND seq = 4", "journal: Entry 4" },
  { "UPDATE entry SET version = 2 WHERE visit = 1 AND seq = 1", "journal: Entry 1" },
  { "UPDATE entry SET happened_ms = happened_ms + 1 WHERE visit = 1 AND seq = 2", "journal: Entry 2" },
  { "UPDATE entry SET offset_min = 60 WHERE visit = 1 AND seq = 2", "journal: Entry 2" },
  { "UPDATE entry SET zone = 'Europe/Dublin' WHERE visit = 1 AND seq = 2", "journal: Entry 2" },
  { "UPDATE entry SET recorded_ms = recorded_ms - 1 WHERE visit = 1 AND seq = 2", "journal: Entry 2" },
  { "UPDATE entry SET boot_id = 'x' WHERE visit = 1 AND seq = 2", "journal: Entry 2" },
  { "UPDATE entry SET boottime_ms = 0 WHERE visit = 1 AND seq = 2", "journal: Entry 2" },
  { "UPDATE entry SET person = 'olav' WHERE visit = 1 AND seq = 2", "journal: Entry 2" },
  { "INSERT INTO device VALUES (9, zeroblob (16), 'ABCD', 0);"
    "UPDATE entry SET device = 9 WHERE visit = 1 AND seq = 2", "journal: Entry 2" },
  { "UPDATE entry SET digest = zeroblob (32) WHERE visit = 1 AND seq = 6", "journal: Entry 6" },
  { "DELETE FROM entry WHERE visit = 1 AND seq = 3", "journal: Entry 3" },
  { "DELETE FROM entry WHERE visit = 1", "journal: Entry 1" },
  { "DELETE FROM entry WHERE visit = 1 AND seq = 6", "journal: visit" },
  { "UPDATE visit SET uuid = zeroblob (16) WHERE id = 1", "journal: Entry 1" },
  { "INSERT INTO device VALUES (9, zeroblob (16), 'ABCD', 0); UPDATE visit SET device = 9 WHERE id = 2", "journal: visit" },
  { "UPDATE visit SET amends = 1 WHERE id = 2", "journal: visit" },
  { "UPDATE visit SET sheet = (SELECT sheet FROM site_sheet WHERE rev = 2) WHERE id = 1", "seals: visit" },
  { "UPDATE device SET uuid = zeroblob (16)", "journal: Entry 1" },
  { "UPDATE device SET prefix = 'ABCD'", "projections: " },
  { "UPDATE seal SET seal = zeroblob (32)", "seals: visit" },
  { "UPDATE seal SET previous = zeroblob (32), number = 2", "" },
  { "DELETE FROM seal", "journal: visit" },
  { "UPDATE sheet SET text = text || ' '", "sheets: sheet" },
  { "UPDATE attachment SET bytes = CAST (bytes || x'00' AS BLOB)", "attachments: attachment" },
  { "UPDATE attachment SET media = 'image/png'", "journal: visit" },
  { "DELETE FROM attachment", "journal: visit" },
  { "UPDATE visit_row SET stops = stops + 1 WHERE visit = 2", "projections: visit" },
  { "DELETE FROM visit_row WHERE visit = 1", "projections: visit" },
  { "UPDATE visit_line SET method = 'static' WHERE visit = 1 AND outlet = 3", "projections: visit" },
  { "DELETE FROM visit_finding WHERE visit = 2", "projections: visit" },
  { "INSERT INTO visit_use VALUES (1, 0, 'K', NULL, NULL, 0, 0, 1, 1, 1, 'w/w', 'measured', 0,"
    " 'ida', 'none', 0, NULL)", "projections: visit" },
  { "INSERT INTO visit_task VALUES (1, 1, 'A2', 'caustic', 20000)", "projections: visit" },
  { "PRAGMA foreign_keys = OFF; INSERT INTO visit_task VALUES (77, 1, 'A2', 'caustic', 20000)", "references: " },
  { "UPDATE line_now SET tower = 'TB' WHERE line = 'A2'", "sites: site" },
  { "DELETE FROM line_now WHERE line = 'B8'", "sites: site" },
  { "UPDATE site SET rev = 7", "sites: site" },
};

static void
tamper (BookBench *bench, const char *sql)
{
  g_autofree char *message = book_bench_tamper (bench->path, sql);
  g_assert_cmpstr (message, ==, NULL);
}

static void
test_tampered (void)
{
  g_autoptr (BookBench) bench = new_bench ();
  g_autofree char *bytes = NULL;
  gsize n_bytes = 0;
  book_bench_close (bench);
  g_assert_true (g_file_get_contents (bench->path, &bytes, &n_bytes, NULL));
  book_bench_reopen (bench);
  book_bench_check (bench);
  for (gsize i = 0; i < G_N_ELEMENTS (tamperings); i++)
    {
      book_bench_close (bench);
      g_assert_true (g_file_set_contents (bench->path, bytes, n_bytes, NULL));
      tamper (bench, tamperings[i].sql);
      book_bench_reopen (bench);
      g_test_message ("%s", tamperings[i].sql);
      book_bench_check_fails (bench, tamperings[i].part);
    }
}

/* A whole closed visit taken out, with everything that hangs on it: the chain shows the gap. */
static void
test_visit_missing (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  for (guint i = 1; i <= 3; i++)
    {
      TdUuid visit = book_bench_visit (i);
      add_small (bench, &visit);
    }
  static const char *const tables[] = { "visit_row", "visit_line", "visit_finding", "visit_use", "visit_task", "visit_pass", "visit_hold",
                                        "visit_exception", "entry", "seal" };
  for (gsize i = 0; i < G_N_ELEMENTS (tables); i++)
    {
      g_autofree char *sql = g_strdup_printf ("DELETE FROM %s WHERE visit = 2", tables[i]);
      tamper (bench, sql);
    }
  tamper (bench, "DELETE FROM visit WHERE id = 2");
  book_bench_reopen (bench);
  book_bench_check_fails (bench, "seals: report");
  /* Numbered anew, the chain still does not close. */
  tamper (bench, "UPDATE seal SET number = 2 WHERE number = 3");
  book_bench_check_fails (bench, "");
}

typedef struct
{
  BookBench *bench;
  TdUuid visit;
  sqlite3 *db;
  sqlite3_stmt *write;
} Flip;

static void
write_body (Flip *flip, guint seq, const char *bytes, gsize n_bytes)
{
  sqlite3_bind_blob (flip->write, 1, bytes, n_bytes, SQLITE_STATIC);
  sqlite3_bind_int (flip->write, 2, seq);
  g_assert_cmpint (sqlite3_step (flip->write), ==, SQLITE_DONE);
  sqlite3_reset (flip->write);
}

/* Every byte of an entry's body (each n-th where a stride is set) with one bit changed. Returns how many. */
static guint
flip_body (Flip *flip, guint seq, const char *body)
{
  gsize n_bytes = strlen (body), stride = book_bench_stride ();
  g_autofree char *bytes = g_strdup (body);
  for (gsize i = seq % stride; i < n_bytes; i += stride)
    {
      g_autoptr (GError) error = NULL;
      bytes[i] ^= 1 << (i % 8);
      write_body (flip, seq, bytes, n_bytes);
      g_autoptr (TdVisitRecord) record = td_book_load_visit (flip->bench->book, &flip->visit, &error);
      if (record != NULL)
        g_error ("entry %u, byte %" G_GSIZE_FORMAT ": not seen", seq, i);
      g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED);
      bytes[i] = body[i];
    }
  write_body (flip, seq, body, n_bytes);
  return n_bytes / stride;
}

static void
test_flipped (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  Flip flip = { .bench = bench, .visit = book_bench_visit (1) };
  guint n = 0;
  add_small (bench, &flip.visit);
  g_autoptr (TdVisitRecord) record = td_book_load_visit (bench->book, &flip.visit, NULL);
  g_assert_cmpint (sqlite3_open (bench->path, &flip.db), ==, SQLITE_OK);
  g_assert_cmpint (sqlite3_exec (flip.db, "PRAGMA synchronous = OFF; DROP TRIGGER entry_no_update", NULL, NULL, NULL),
                   ==, SQLITE_OK);
  g_assert_cmpint (sqlite3_prepare_v2 (flip.db, "UPDATE entry SET body = CAST (?1 AS TEXT) WHERE visit = 1 AND seq = ?2",
                                       -1, &flip.write, NULL), ==, SQLITE_OK);
  for (guint i = 0; i < record->visit->entries->len; i++)
    n += flip_body (&flip, i + 1, ((TdEntry *) g_ptr_array_index (record->visit->entries, i))->body_text);
  sqlite3_finalize (flip.write);
  g_assert_cmpint (sqlite3_close (flip.db), ==, SQLITE_OK);
  g_assert_cmpuint (n, >, 1000 / book_bench_stride ());
  /* All bytes are back; what held them fast is not, and that is found too. */
  book_bench_check_fails (bench, "schema: entry_no_update is missing");
}

/* Everything that is frozen, as one text. */
static char *
describe (const char *path)
{
  static const char sql[] =
    "SELECT group_concat (quote (visit) || seq || kind || version || happened_ms || offset_min || zone || recorded_ms"
    " || boot_id || boottime_ms || person || device || quote (body) || quote (digest)) FROM entry"
    " UNION ALL SELECT group_concat (quote (device) || number || visit || quote (previous) || quote (seal)) FROM seal"
    " UNION ALL SELECT group_concat (quote (sha256) || quote (text)) FROM sheet"
    " UNION ALL SELECT group_concat (id || quote (uuid) || site || quote (sheet) || device) FROM visit"
    " UNION ALL SELECT group_concat (id || quote (uuid) || prefix) FROM device";
  sqlite3 *db = NULL;
  sqlite3_stmt *row = NULL;
  g_autoptr (GString) text = g_string_new (NULL);
  g_assert_cmpint (sqlite3_open (path, &db), ==, SQLITE_OK);
  if (sqlite3_prepare_v2 (db, sql, -1, &row, NULL) != SQLITE_OK)
    g_error ("%s", sqlite3_errmsg (db));
  while (sqlite3_step (row) == SQLITE_ROW)
        g_string_append (text, (const char *) sqlite3_column_text (row, 0));
  sqlite3_finalize (row);
  sqlite3_close (db);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

/* One bit anywhere in the file: either the check says so, or nothing that is frozen reads otherwise. */
static void
test_file_flipped (void)
{
  const guint trials = 600 / book_bench_stride ();
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GRand) chance = g_rand_new_with_seed (5);
  g_autofree char *bytes = NULL;
  gsize n_bytes = 0;
  guint found = 0;
  for (guint i = 1; i <= 3; i++)
    {
      TdUuid visit = book_bench_visit (i);
      add_small (bench, &visit);
    }
  book_bench_close (bench);
  g_autofree char *before = describe (bench->path);
  g_assert_true (g_file_get_contents (bench->path, &bytes, &n_bytes, NULL));
  for (guint i = 0; i < trials; i++)
    {
      g_autoptr (GError) error = NULL;
      gsize at = g_rand_int_range (chance, 0, n_bytes);
      bytes[at] ^= 1 << (i % 8);
      g_assert_true (g_file_set_contents (bench->path, bytes, n_bytes, NULL));
      bytes[at] ^= 1 << (i % 8);
      bench->book = td_book_open (bench->path, bench->clock, &error);
      gboolean passed = bench->book != NULL && td_book_check (bench->book, NULL, NULL, &error);
      book_bench_close (bench);
      found += !passed;
      if (passed)
        {
          g_autofree char *after = describe (bench->path);
          g_assert_cmpstr (after, ==, before);
        }
    }
  g_test_message ("%u of %u found", found, trials);
  g_assert_cmpuint (found, >, trials / 20);
}

static void
count_kinds_cb (const char *kind, guint count, const char *failure, gpointer user_data)
{
  g_autofree char *line = g_strdup_printf ("%s %u%s ", kind, count, failure != NULL ? " FAILED" : "");
  g_string_append (user_data, line);
}

static void
test_kinds (void)
{
  g_autoptr (BookBench) bench = new_bench ();
  g_autoptr (GString) lines = g_string_new (NULL);
  g_assert_true (td_book_check (bench->book, count_kinds_cb, lines, NULL));
  /* One of the kinds counts what the migrations have made so far. */
  g_autofree char *expected = g_strdup_printf ("sqlite 1 schema %" G_GINT64_FORMAT " references 1 sheets 2 attachments 1 sites 1 journal 2 projections 2 seals 1 numbers 1 agreements 0 invoices 0 stock 0 ",
    book_bench_ask_sql (bench->path, "SELECT count (*) FROM sqlite_schema"));
  g_assert_cmpstr (lines->str, ==, expected);
  /* All kinds are gone through even after a failure. */
  g_string_truncate (lines, 0);
  tamper (bench, "UPDATE sheet SET text = text || ' '");
  g_assert_false (td_book_check (bench->book, count_kinds_cb, lines, NULL));
  g_assert_nonnull (strstr (lines->str, "sheets 2 FAILED"));
  g_assert_nonnull (strstr (lines->str, "numbers 1 "));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/seal/frozen", test_frozen);
  g_test_add_func ("/seal/tampered", test_tampered);
  g_test_add_func ("/seal/visit-missing", test_visit_missing);
  g_test_add_func ("/seal/flipped", test_flipped);
  g_test_add_func ("/seal/file-flipped", test_file_flipped);
  g_test_add_func ("/seal/kinds", test_kinds);
  return g_test_run ();
}
