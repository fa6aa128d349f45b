/* What an entry, the list and the round cost in a book of 100,000 visits, as a ratio to the same in the demonstration's
 * small book of the same run.
 *
 * usage: bench-book [VISITS]. Times are processor times.  The many visits are rows put in behind the book's back, as
 * their projections would have them: what is timed reads and writes beside them. */
#include "core-json-build.h"
#include "demo-book.h"
#include "store-due.h"
#include "store-journal.h"
#include "store-query.h"

#include <glib/gstdio.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <time.h>

/* 2026-06-15T12:00:00Z, the demonstration's day. */
#define NOW_MS G_GINT64_CONSTANT (1781524800000)
#define N_NOTES 300

static double
now (void)
{
  return (double) clock () / CLOCKS_PER_SEC;
}

static void
run_sql (sqlite3 *db, const char *sql)
{
  char *message = NULL;

  if (sqlite3_exec (db, sql, NULL, NULL, &message) != SQLITE_OK)
    g_error ("%s: %s", message, sql);
}

/* Visits of the last years, at all sites in turn: five entries each, and what lists and the round read. */
static void
fill (const char *path, int n)
{
  sqlite3 *db = NULL;
  g_autofree char *count = g_strdup_printf (
      "CREATE TEMP TABLE k AS WITH RECURSIVE c (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM c WHERE i < %d),"
      " p AS (SELECT id, row_number () OVER (ORDER BY id) - 1 AS r FROM site)"
      " SELECT c.i AS i, 1000000 + c.i AS id, p.id AS site, 20610 - c.i %% 1500 AS day FROM c"
      " JOIN p ON p.r = c.i %% (SELECT count (*) FROM site)", n);

  g_assert_cmpint (sqlite3_open (path, &db), ==, SQLITE_OK);
  run_sql (db, "PRAGMA synchronous = OFF; BEGIN; DROP TRIGGER entry_in_order; DROP TRIGGER entry_not_after_closing;"
               "DROP TRIGGER visit_no_replace; DROP TRIGGER visit_amends_closed");
  run_sql (db, count);
  run_sql (db, "INSERT INTO visit SELECT id, randomblob (16), site, (SELECT sheet FROM site WHERE site.id = k.site),"
               " (SELECT device FROM book), NULL FROM k;"
               "INSERT INTO entry SELECT k.id, s.value, 'note', 1, 86400000 * day, 0, 'UTC', 86400000 * day, 'b', 0, 'nora',"
               " (SELECT device FROM book), '{\"text\":\"' || hex (zeroblob (150)) || '\"}', zeroblob (32)"
               " FROM k, json_each ('[1,2,3,4,5]') s;"
               "INSERT INTO visit_row SELECT id, site, 'nora', 86400000 * day, day, 1, 86400000 * day, 'X-' || i, 5, 0, 0, 0 FROM k;"
               "INSERT INTO visit_line SELECT k.id, l.outlet, l.line, 1, 0, 'circulating', 1, 'out', 900, 900, 7200, 7200, 1,"
               " NULL, NULL FROM k JOIN line_now l ON l.site = k.site WHERE l.outlet < 6;"
               "INSERT INTO visit_task SELECT k.id, k.site, l.line, t.value, day FROM k JOIN line_now l ON l.site = k.site,"
               " json_each ('[\"caustic\",\"faucets\"]') t WHERE l.outlet < 6; COMMIT; PRAGMA wal_checkpoint (TRUNCATE)");
  sqlite3_close (db);
}

static void
add (TdBook *book, const TdUuid *visit, TdKind kind, const char *key, const char *text)
{
  const TdMoment at = { NOW_MS, 60 };
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) body = NULL;
  g_autoptr (TdDraft) draft = NULL;
  g_autoptr (GError) error = NULL;

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, key, text);
  if (kind == TD_KIND_ARRIVAL)
    td_json_builder_member_string (builder, "work", "routine");
  td_json_builder_end (builder);
  body = td_json_builder_finish (builder);
  draft = td_draft_new (visit, kind, &at, "nora", body);
  td_book_append (book, draft, NULL, NULL, &error);
  g_assert_no_error (error);
}

typedef struct
{
  double entry_ms, list_ms, due_ms;
} Cost;

static Cost
measure (const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdClock) clock_now = td_clock_new ();
  g_autoptr (TdBook) book = td_book_open (path, clock_now, &error);
  const TdVisitsFilter page = { .state = TD_VISITS_ALL, .limit = 200 };
  Cost cost;
  TdUuid visit;
  double start;

  g_assert_no_error (error);
  visit = td_clock_make_uuid (clock_now);
  add (book, &visit, TD_KIND_ARRIVAL, "site", "two-lanterns-bar");
  start = now ();
  for (int i = 0; i < N_NOTES; i++)
    add (book, &visit, TD_KIND_NOTE, "text", "The keg room is wet near the door, and somebody left a hose there.");
  cost.entry_ms = 1000 * (now () - start) / N_NOTES;
  start = now ();
  for (int i = 0; i < 20; i++)
    g_ptr_array_unref (td_book_list_visits (book, &page, &error));
  cost.list_ms = 1000 * (now () - start) / 20;
  start = now ();
  for (int i = 0; i < 20; i++)
    g_ptr_array_unref (td_book_list_due (book, NOW_MS, &error));
  cost.due_ms = 1000 * (now () - start) / 20;
  return cost;
}

int
main (int argc, char **argv)
{
  int n = argc > 1 ? atoi (argv[1]) : 100000;
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("tundish-bench-XXXXXX", &error);
  g_autofree char *path = g_build_filename (folder, "b.tundish", NULL);
  TdBook *book = td_demo_book_create (path, NOW_MS, 0, &error);
  Cost small, large;

  g_assert_no_error (error);
  td_book_close (book);
  small = measure (path);
  fill (path, n);
  large = measure (path);
  g_print ("an entry:        %.3f ms in a small book, %.3f ms beside %d visits, ratio %.2f\n", small.entry_ms,
           large.entry_ms, n, large.entry_ms / small.entry_ms);
  g_print ("newest 200:      %.3f ms of %d, %.3f ms\n", small.list_ms, 9, large.list_ms);
  g_print ("the round:       %.3f ms, %.3f ms, ratio %.2f\n", small.due_ms, large.due_ms, large.due_ms / small.due_ms);
  for (int i = 0; i < 3; i++)
    {
      static const char *const endings[] = { "", "-wal", "-shm" };
      g_autofree char *name = g_strconcat (path, endings[i], NULL);

      g_unlink (name);
    }
  g_rmdir (folder);
  return 0;
}
