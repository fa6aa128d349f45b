/* Every table and column carries a sentence; every statement reaches its rows by key or index unless it
 * says why not. */
#include "book-bench.h"

#include "store-migrate.h"
#include "store-private.h"

#include <string.h>

/* The sentence after "--" of a line, or NULL. */
static const char *
find_sentence (const char *line)
{
  const char *mark = strstr (line, "-- ");
  if (mark == NULL || g_ascii_islower (mark[3]) || !g_str_has_suffix (mark, "."))
    return NULL;
  return mark;
}

static char *
first_word (const char *text)
{
  return g_strndup (text, strcspn (text, " (,;"));
}

/* Adds "table" and "table.column" for every line of @sql that has a sentence. */
static void
collect_sentences (const char *sql, GHashTable *told)
{
  g_auto (GStrv) lines = g_strsplit (sql, "\n", -1);
  g_autofree char *table = NULL;
  for (guint i = 0; lines[i] != NULL; i++)
    {
      if (g_str_has_prefix (lines[i], "CREATE TABLE "))
        {
          g_free (table);
          table = first_word (lines[i] + strlen ("CREATE TABLE "));
          if (find_sentence (lines[i]) != NULL)
            g_hash_table_add (told, g_strdup (table));
        }
      else if (g_str_has_prefix (lines[i], "ALTER TABLE ") && strstr (lines[i], " ADD COLUMN ") != NULL)
        {
          g_autofree char *altered = first_word (lines[i] + strlen ("ALTER TABLE "));
          g_autofree char *column = first_word (strstr (lines[i], " ADD COLUMN ") + strlen (" ADD COLUMN "));
          if (find_sentence (lines[i]) != NULL)
            g_hash_table_add (told, g_strconcat (altered, ".", column, NULL));
        }
      else if (table != NULL && g_str_has_prefix (lines[i], "  ") && find_sentence (lines[i]) != NULL)
        {
          g_autofree char *column = first_word (lines[i] + 2);
          g_hash_table_add (told, g_strconcat (table, ".", column, NULL));
        }
    }
}

static void
test_sentences (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GHashTable) told = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_auto (GStrv) scripts = td_migrate_get_all ();
  sqlite3_stmt *row = NULL;
  guint n = 0;
  for (guint i = 0; scripts[i] != NULL; i++)
    collect_sentences (scripts[i], told);
  g_assert_cmpint (sqlite3_prepare_v2 (bench->book->db,
                                       "SELECT t.name, c.name FROM pragma_table_list t, pragma_table_info (t.name) c"
                                       " WHERE t.schema = 'main' AND t.name NOT LIKE 'sqlite%'",
                                       -1, &row, NULL), ==, SQLITE_OK);
  while (sqlite3_step (row) == SQLITE_ROW)
    {
      const char *table = (const char *) sqlite3_column_text (row, 0);
      g_autofree char *column = g_strconcat (table, ".", (const char *) sqlite3_column_text (row, 1), NULL);
      if (!g_hash_table_contains (told, table))
        g_error ("table %s has no sentence", table);
      if (!g_hash_table_contains (told, column))
        g_error ("column %s has no sentence", column);
      n++;
    }
  sqlite3_finalize (row);
  /* A reader that reads nothing would pass. */
  g_assert_cmpuint (n, >=, 150);
}

/* The reader of the sentences sees a column that lacks one. */
static void
test_sentences_missed (void)
{
  g_autoptr (GHashTable) told = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  collect_sentences ("CREATE TABLE t ( -- Things.\n  a TEXT, -- Told.\n  b TEXT, -- not a sentence\n  c TEXT\n);\n"
                     "ALTER TABLE t ADD COLUMN d TEXT; -- Told later.\n", told);
  g_assert_true (g_hash_table_contains (told, "t"));
  g_assert_true (g_hash_table_contains (told, "t.a"));
  g_assert_false (g_hash_table_contains (told, "t.b"));
  g_assert_false (g_hash_table_contains (told, "t.c"));
  g_assert_true (g_hash_table_contains (told, "t.d"));
}

static void
test_strict (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM pragma_table_list WHERE schema = 'main'"
                                                    " AND name NOT LIKE 'sqlite%' AND strict = 0"), ==, 0);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "PRAGMA application_id"), ==, TD_BOOK_APPLICATION_ID);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "PRAGMA user_version"), ==, td_migrate_get_version ());
}

/* TRUE where the plan reads a whole table. */
static gboolean
scans (sqlite3 *db, const TdSqlInfo *info)
{
  g_autofree char *sql = g_strconcat ("EXPLAIN QUERY PLAN ", info->text, NULL);
  sqlite3_stmt *row = NULL;
  gboolean scan = FALSE;
  if (sqlite3_prepare_v2 (db, sql, -1, &row, NULL) != SQLITE_OK)
    g_error ("%s: %s", info->name, sqlite3_errmsg (db));
  while (sqlite3_step (row) == SQLITE_ROW)
    {
      const char *detail = (const char *) sqlite3_column_text (row, 3);
      scan |= g_str_has_prefix (detail, "SCAN ") && strcmp (detail, "SCAN CONSTANT ROW") != 0;
    }
  sqlite3_finalize (row);
  return scan;
}

static void
test_plans (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  guint scanning = 0;
  /* The plan of an insert into a referred table lists a search for rows that wait for it, which SQLite
   * passes over while no reference is broken ("FkIfZero"); no statement here changes or erases a key. */
  sqlite3_exec (bench->book->db, "PRAGMA foreign_keys = OFF", NULL, NULL, NULL);
  for (guint i = 0; i < TD_N_SQL; i++)
    {
      const TdSqlInfo *info = td_sql_get_info (i);
      if (g_str_has_prefix (info->text, "PRAGMA") || info->plan == TD_PLAN_BUNDLE)
        continue;
      gboolean scan = scans (bench->book->db, info);
      scanning += scan;
      if (scan != (info->plan == TD_PLAN_SCAN))
        g_error ("%s %s", info->name, scan ? "reads a whole table and is not marked" : "is marked and reads none");
    }
  g_assert_cmpuint (scanning, >, 0);
}

/* Lists of a hundred thousand invoices: along an index that has it all, without a sort. */
static void
test_covered (void)
{
  static const TdSql lists[] = { TD_SQL_LIST_INVOICES_BY_NUMBER, TD_SQL_LIST_INVOICES_BY_ISSUED,
                                 TD_SQL_LIST_INVOICES_BY_BILL_TO, TD_SQL_LIST_INVOICES_BY_TOTAL };
  g_autoptr (BookBench) bench = book_bench_new ();
  for (gsize i = 0; i < G_N_ELEMENTS (lists); i++)
    {
      g_autofree char *sql = g_strconcat ("EXPLAIN QUERY PLAN ", td_sql_get_info (lists[i])->text, NULL);
      sqlite3_stmt *row = NULL;
      gboolean covered = FALSE;
      g_assert_cmpint (sqlite3_prepare_v2 (bench->book->db, sql, -1, &row, NULL), ==, SQLITE_OK);
      while (sqlite3_step (row) == SQLITE_ROW)
        {
          const char *detail = (const char *) sqlite3_column_text (row, 3);
          covered |= g_str_has_prefix (detail, "SCAN i USING COVERING INDEX ");
          g_assert_null (strstr (detail, "TEMP B-TREE"));
        }
      sqlite3_finalize (row);
      g_assert_true (covered);
    }
}

static void
test_safeguards (void)
{
  static const struct
  {
    const char *pragma;
    gint64 value;
  } pragmas[] = { { "PRAGMA foreign_keys", 1 },  { "PRAGMA recursive_triggers", 1 }, { "PRAGMA synchronous", 2 },
                  { "PRAGMA trusted_schema", 0 }, { "PRAGMA cell_size_check", 1 },    { "PRAGMA busy_timeout", 5000 } };
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autoptr (GError) error = NULL;
  for (gsize i = 0; i < G_N_ELEMENTS (pragmas); i++)
    {
      gint64 value = -1;
      td_connect_ask (bench->book->db, bench->path, pragmas[i].pragma, &value, &error);
      g_assert_no_error (error);
      g_assert_cmpint (value, ==, pragmas[i].value);
    }
  int defensive = 0;
  sqlite3_db_config (bench->book->db, SQLITE_DBCONFIG_DEFENSIVE, -1, &defensive);
  g_assert_cmpint (defensive, ==, 1);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT journal_mode = 'wal' FROM pragma_journal_mode"), ==, 1);
}

/* A commit that does not come from the book's own function is turned into a rollback. */
static void
test_commit_guard (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_assert_cmpint (sqlite3_exec (bench->book->db, "UPDATE book SET projections = 77", NULL, NULL, NULL), ==,
                   SQLITE_CONSTRAINT_COMMITHOOK);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT projections = 77 FROM book"), ==, 0);
}

static void
test_wrong_name (void)
{
  if (g_test_subprocess ())
    {
      g_autoptr (BookBench) bench = book_bench_new_empty ();
      g_autoptr (TdStatement) find = td_statement_get (bench->book, TD_SQL_FIND_SITE, NULL);
      td_statement_bind_text (find, ":slugg", "x");
      return;
    }
  g_test_trap_subprocess (NULL, 0, 0);
  g_test_trap_assert_failed ();
  g_test_trap_assert_stderr ("*FIND_SITE has no parameter :slugg*");
}

static gpointer
ask_elsewhere (gpointer data)
{
  td_book_is_test (data);
  return NULL;
}

static void
test_other_thread (void)
{
  if (g_test_subprocess ())
    {
      g_autoptr (BookBench) bench = book_bench_new_empty ();
      g_thread_join (g_thread_new ("other", ask_elsewhere, bench->book));
      return;
    }
  g_test_trap_subprocess (NULL, 0, 0);
  g_test_trap_assert_failed ();
  g_test_trap_assert_stderr ("*owner == g_thread_self*");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/schema/sentences", test_sentences);
  g_test_add_func ("/schema/sentences-missed", test_sentences_missed);
  g_test_add_func ("/schema/strict", test_strict);
  g_test_add_func ("/schema/plans", test_plans);
  g_test_add_func ("/schema/covered", test_covered);
  g_test_add_func ("/schema/safeguards", test_safeguards);
  g_test_add_func ("/schema/commit-guard", test_commit_guard);
  g_test_add_func ("/schema/wrong-name", test_wrong_name);
  g_test_add_func ("/schema/other-thread", test_other_thread);
  return g_test_run ();
}
