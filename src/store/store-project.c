#include "store-project.h"

#include "store-cache.h"
#include "store-private.h"
#include "store-project-rows.h"

/* A table of projections and the statements that write and read it; `list` gives the columns of `names`
 * in the order of the primary key. */
typedef struct
{
  const char *name;
  TdSql insert;
  TdSql erase;
  TdSql list;
  const char *parameter; /* of erase and list: the key that the rows start with */
  const char *const *names;
} Table;

static const char *const row_names[] = { ":visit", ":site", ":person", ":arrived_ms", ":date", ":closed", ":closed_ms", ":number", ":entries", ":stops", ":reasons", ":advice", NULL };
static const char *const line_names[] = { ":visit", ":outlet", ":line", ":caustic", ":acid", ":method", ":circuit", ":direction", ":contact_s", ":required_s", ":rinse_ph_milli", ":tap_ph_milli", ":rinsed", ":left_out", ":out_of_service", NULL };
static const char *const finding_names[] = { ":visit", ":n", ":code", ":severity", ":line", ":circuit", ":seq", ":text", ":reason", NULL };
static const char *const use_names[] = { ":visit", ":n", ":batch", ":product", ":lot", ":mixed_ms", ":date", ":concentrate_ml", ":water_ml", ":percent_milli", ":basis", ":known", ":disposed_ml", ":person", ":method", ":lines", ":expected_ml", NULL };
static const char *const task_names[] = { ":visit", ":site", ":line", ":task", ":date", NULL };
static const char *const pass_names[] = { ":visit", ":outlet", ":n", ":line", ":use", ":clean", ":method", ":circuit", ":in_ms", ":out_ms", NULL };
static const char *const hold_names[] = { ":visit", ":n", ":line", ":tag", ":kind", ":person", ":lifted", ":from_ms", ":until_ms", NULL };
static const char *const exception_names[] = { ":visit", ":n", ":code", ":text", NULL };
static const char *const now_names[] = { ":site", ":outlet", ":line", ":number", ":tower", ":product", ":since", NULL };

static const Table tables[TD_N_PROJECTED] = {
  [TD_PROJECTED_ROW] = { "visit_row", TD_SQL_INSERT_VISIT_ROW, TD_SQL_DELETE_VISIT_ROW, TD_SQL_CHECK_VISIT_ROW, ":visit", row_names },
  [TD_PROJECTED_LINE] = { "visit_line", TD_SQL_INSERT_VISIT_LINE, TD_SQL_DELETE_VISIT_LINE, TD_SQL_CHECK_VISIT_LINE, ":visit", line_names },
  [TD_PROJECTED_FINDING] = { "visit_finding", TD_SQL_INSERT_VISIT_FINDING, TD_SQL_DELETE_VISIT_FINDING, TD_SQL_CHECK_VISIT_FINDING, ":visit", finding_names },
  [TD_PROJECTED_USE] = { "visit_use", TD_SQL_INSERT_VISIT_USE, TD_SQL_DELETE_VISIT_USE, TD_SQL_CHECK_VISIT_USE, ":visit", use_names },
  [TD_PROJECTED_TASK] = { "visit_task", TD_SQL_INSERT_VISIT_TASK, TD_SQL_DELETE_VISIT_TASK, TD_SQL_CHECK_VISIT_TASK, ":visit", task_names },
  [TD_PROJECTED_PASS] = { "visit_pass", TD_SQL_INSERT_VISIT_PASS, TD_SQL_DELETE_VISIT_PASS, TD_SQL_CHECK_VISIT_PASS, ":visit", pass_names },
  [TD_PROJECTED_HOLD] = { "visit_hold", TD_SQL_INSERT_VISIT_HOLD, TD_SQL_DELETE_VISIT_HOLD, TD_SQL_CHECK_VISIT_HOLD, ":visit", hold_names },
  [TD_PROJECTED_EXCEPTION] = { "visit_exception", TD_SQL_INSERT_VISIT_EXCEPTION, TD_SQL_DELETE_VISIT_EXCEPTION, TD_SQL_CHECK_VISIT_EXCEPTION, ":visit", exception_names },
};
static const Table now_table = { "line_now", TD_SQL_INSERT_LINE_NOW, TD_SQL_DELETE_LINE_NOW, TD_SQL_CHECK_LINE_NOW, ":site", now_names };

static gboolean
compare_rows (TdBook *book, const Table *table, gint64 key, const GPtrArray *rows, char **difference_out,
              GError **error)
{
  g_autoptr (TdStatement) list = td_statement_get (book, table->list, error);
  if (list == NULL)
    return FALSE;
  td_statement_bind_integer (list, table->parameter, key);
  TdStep step;
  guint n = 0;
  for (; (step = td_statement_step (list, error)) == TD_STEP_ROW && n < rows->len; n++)
    {
      int column = td_row_compare (g_ptr_array_index (rows, n), list, 0);
      if (column < 0)
        continue;
      *difference_out = g_strdup_printf ("%s, row %u: %s differs from what the journal says", table->name, n + 1,
                                         table->names[column] + 1);
      return TRUE;
    }
  if (step != TD_STEP_FAILED && (step == TD_STEP_ROW || n < rows->len))
    *difference_out = g_strdup_printf ("%s: %s rows than the journal says", table->name,
                                       step == TD_STEP_ROW ? "more" : "fewer");
  return step != TD_STEP_FAILED;
}

/* @changed_out: FALSE where all stood there already. */
static gboolean
write_rows (TdBook *book, const Table *table, gint64 key, const GPtrArray *rows, gboolean *changed_out, GError **error)
{
  g_autofree char *difference = NULL;
  /* Most entries change one table of five; what stays as it is costs no write. */
  if (!compare_rows (book, table, key, rows, &difference, error))
    return FALSE;
  *changed_out = difference != NULL;
  if (difference == NULL)
    return TRUE;
  g_autoptr (TdStatement) erase = td_statement_get (book, table->erase, error);
  g_autoptr (TdStatement) insert = erase ? td_statement_get (book, table->insert, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_integer (erase, table->parameter, key);
  if (!td_statement_run (erase, error))
    return FALSE;
  for (guint i = 0; i < rows->len; i++)
    {
      td_row_bind (g_ptr_array_index (rows, i), insert, table->names);
      if (!td_statement_run (insert, error))
        return FALSE;
    }
  return TRUE;
}

gboolean
td_project_visit (TdBook *book, const TdVisitState *state, GError **error)
{
  gboolean tasks;
  return td_project_visit_noting (book, state, &tasks, error);
}

gboolean
td_project_visit_noting (TdBook *book, const TdVisitState *state, gboolean *tasks_out, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  for (guint i = 0; i < TD_N_PROJECTED; i++)
    {
      g_autoptr (GPtrArray) rows = td_projected_make_rows (state, i);
      gboolean changed = FALSE;
      if (!write_rows (book, &tables[i], state->key, rows, &changed, error))
        return FALSE;
      if (i == TD_PROJECTED_TASK)
        *tasks_out = changed;
    }
  return TRUE;
}

gboolean
td_project_visit_row (TdBook *book, const TdVisitState *state, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  g_autoptr (GPtrArray) rows = td_projected_make_rows (state, TD_PROJECTED_ROW);
  gboolean changed;
  return write_rows (book, &tables[TD_PROJECTED_ROW], state->key, rows, &changed, error);
}

gboolean
td_project_compare_visit (TdBook *book, const TdVisitState *state, char **difference_out, GError **error)
{
  td_book_assert_owner (book);
  *difference_out = NULL;
  for (guint i = 0; i < TD_N_PROJECTED && *difference_out == NULL; i++)
    {
      g_autoptr (GPtrArray) rows = td_projected_make_rows (state, i);
      if (!compare_rows (book, &tables[i], state->key, rows, difference_out, error))
        return FALSE;
    }
  return TRUE;
}

/* The history of the site's sheets, oldest first; the last is the newest. Makes the rows of line_now. */
static GPtrArray *
read_lines_now (TdBook *book, gint64 site_key, GError **error)
{
  g_autoptr (GHashTable) first_seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (TdSite) site = NULL;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_SITE_SHEETS, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_integer (row, ":site", site_key);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_clear_pointer (&site, td_site_unref);
      site = td_site_parse (td_statement_get_text (row, 0), -1, error);
      TdZone *zone = site != NULL ? td_cache_get_zone (book, site->zone, error) : NULL;
      if (zone == NULL)
        return NULL;
      TdDate since = td_zone_get_date (zone, td_statement_get_integer (row, 1));
      for (guint i = 0; i < site->n_outlets; i++)
        if (!g_hash_table_contains (first_seen, site->outlets[i].id))
          g_hash_table_insert (first_seen, g_strdup (site->outlets[i].id), GINT_TO_POINTER (since));
    }
  if (step == TD_STEP_DONE && site == NULL)
    td_error_set_sqlite (error, NULL, SQLITE_CORRUPT, book->path);
  return step == TD_STEP_DONE && site != NULL ? td_projected_make_lines_now (site_key, site, first_seen) : NULL;
}

gboolean
td_project_site (TdBook *book, gint64 site_key, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  g_autoptr (GPtrArray) rows = read_lines_now (book, site_key, error);
  gboolean changed;
  return rows != NULL && write_rows (book, &now_table, site_key, rows, &changed, error);
}

gboolean
td_project_compare_site (TdBook *book, gint64 site_key, char **difference_out, GError **error)
{
  td_book_assert_owner (book);
  *difference_out = NULL;
  g_autoptr (GPtrArray) rows = read_lines_now (book, site_key, error);
  return rows != NULL && compare_rows (book, &now_table, site_key, rows, difference_out, error);
}
