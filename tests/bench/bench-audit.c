/* The account of a year over many uses against SQLite's plain sum of the same rows.
 * usage: bench-audit FOLDER [USES] */
#include "store-audit.h"

#include <glib/gstdio.h>
#include <sqlite3.h>

#define USES 5000000
#define ROUNDS 5
/* At most so many times as long as the plain sum. */
#define LIMIT 1.5
#define FIRST_DAY 20454 /* 2026-01-01 */
#define LAST_DAY 20818  /* 2026-12-31 */

/* Three products, two lots each, two uses a visit; every hundredth of the first 100,000 visits is superseded by
 * one of those after them. */
#define FILL \
  "PRAGMA foreign_keys = OFF; BEGIN;" \
  "INSERT INTO visit_use SELECT i / 2 + 1, i %% 2, 'M1', 'product-' || (i %% 3), 'lot-' || (i %% 6), 0," \
  " " G_STRINGIFY (FIRST_DAY) " + i %% 365, 300 + i * 7919 %% 900, 10000, 2000, 'w/w'," \
  " CASE i %% 10 WHEN 0 THEN 'estimated' WHEN 1 THEN 'accepted' ELSE 'measured' END, 0, 'person-' || (i %% 40)," \
  " 'circulating', 8, CASE i %% 17 WHEN 0 THEN NULL ELSE 310 + i * 7907 %% 900 END FROM" \
  " (WITH RECURSIVE c (i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM c WHERE i < %d - 1) SELECT i FROM c);" \
  "WITH RECURSIVE c (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM c WHERE i < 1000)" \
  " INSERT INTO visit (id, uuid, site, sheet, device) SELECT i * 100, randomblob (16), 1, randomblob (32), 1 FROM c;" \
  "DROP TRIGGER visit_amends_closed;" \
  "WITH RECURSIVE c (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM c WHERE i < 1000)" \
  " INSERT INTO visit (id, uuid, site, sheet, device, amends)" \
  " SELECT 10000000 + i, randomblob (16), 1, randomblob (32), 1, i * 100 FROM c;" \
  "COMMIT; PRAGMA wal_checkpoint (TRUNCATE)"

static void
fill (const char *path, int uses)
{
  g_autofree char *sql = g_strdup_printf (FILL, uses);
  sqlite3 *db = NULL;

  if (sqlite3_open (path, &db) != SQLITE_OK || sqlite3_exec (db, sql, NULL, NULL, NULL) != SQLITE_OK)
    g_error ("%s", sqlite3_errmsg (db));
  sqlite3_close (db);
}

static gint64
ask (sqlite3 *db, const char *sql)
{
  sqlite3_stmt *row = NULL;
  gint64 value;

  if (sqlite3_prepare_v2 (db, sql, -1, &row, NULL) != SQLITE_OK || sqlite3_step (row) != SQLITE_ROW)
    g_error ("%s", sqlite3_errmsg (db));
  value = sqlite3_column_int64 (row, 0);
  sqlite3_finalize (row);
  return value;
}

#define PERIOD " WHERE u.date BETWEEN " G_STRINGIFY (FIRST_DAY) " AND " G_STRINGIFY (LAST_DAY)
#define PLAIN "SELECT sum (u.concentrate_ml) FROM visit_use u" PERIOD
#define SUPERSEDED "SELECT sum (u.concentrate_ml) FROM visit n JOIN visit_use u ON u.visit = n.amends" PERIOD

static gint64
sum_account (TdBook *book)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdAudit) audit = td_book_get_account (book, FIRST_DAY, LAST_DAY, &error);
  gint64 sum = 0;

  g_assert_no_error (error);
  for (guint i = 0; i < audit->products->len; i++)
    sum += g_array_index (audit->products, TdAuditRow, i).account.used_ml;
  return sum;
}

/* Least of several rounds, taken in turns so that both meet the same machine. */
static gboolean
compare (TdBook *book, sqlite3 *db)
{
  gint64 least_plain = G_MAXINT64, least_account = G_MAXINT64, plain = 0, account = 0;
  gint64 superseded = ask (db, SUPERSEDED);
  double ratio;

  for (int i = 0; i < ROUNDS; i++)
    {
      gint64 start = g_get_monotonic_time (), middle, end;

      plain = ask (db, PLAIN);
      middle = g_get_monotonic_time ();
      account = sum_account (book);
      end = g_get_monotonic_time ();
      least_plain = MIN (least_plain, middle - start);
      least_account = MIN (least_account, end - middle);
    }
  ratio = (double) least_account / (double) least_plain;
  g_print ("plain sum %.3f s, account %.3f s, ratio %.2f (limit %.1f), %s to the millilitre\n",
           (double) least_plain / G_USEC_PER_SEC, (double) least_account / G_USEC_PER_SEC, ratio, LIMIT,
           account == plain - superseded ? "equal" : "NOT EQUAL");
  return account == plain - superseded && superseded > 0 && ratio <= LIMIT;
}

int
main (int argc, char **argv)
{
  g_autofree char *path = g_build_filename (argc > 1 ? argv[1] : g_get_tmp_dir (), "bench-audit.tundish", NULL);
  int uses = argc > 2 ? (int) g_ascii_strtoll (argv[2], NULL, 10) : USES;
  g_autoptr (TdClock) clock = td_clock_new ();
  g_autoptr (GError) error = NULL;
  TdBook *book;
  sqlite3 *db = NULL;
  gboolean held;

  g_unlink (path);
  book = td_book_create (path, TRUE, clock, &error);
  if (book == NULL)
    g_error ("%s", error->message);
  td_book_close (book);
  fill (path, uses);
  book = td_book_open (path, clock, &error);
  if (book == NULL || sqlite3_open_v2 (path, &db, SQLITE_OPEN_READONLY, NULL) != SQLITE_OK)
    g_error ("%s", error != NULL ? error->message : "no connection");
  held = compare (book, db);
  sqlite3_close (db);
  td_book_close (book);
  g_unlink (path);
  return held ? 0 : 1;
}
