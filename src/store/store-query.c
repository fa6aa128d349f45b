#include "store-query.h"

#include "store-cache.h"
#include "store-private.h"

static void
clear_row (gpointer data)
{
  TdVisitRow *row = data;
  g_free (row->number);
  g_free (row->account);
  g_free (row->account_id);
  g_free (row->site);
  g_free (row->site_id);
  g_free (row->person);
}

TdVisitRow *
td_visit_row_ref (TdVisitRow *row)
{
  g_return_val_if_fail (row != NULL, NULL);
  return g_atomic_rc_box_acquire (row);
}

void
td_visit_row_unref (TdVisitRow *row)
{
  g_return_if_fail (row != NULL);
  g_atomic_rc_box_release_full (row, clear_row);
}

/* Columns as every statement that gives rows of visits has them. */
static TdVisitRow *
read_row (TdStatement *statement)
{
  TdVisitRow *row = g_atomic_rc_box_new0 (TdVisitRow);
  row->id = td_statement_get_uuid (statement, 0);
  row->number = td_statement_dup_text_or_null (statement, 1);
  row->account = td_statement_dup_text (statement, 2);
  row->account_id = td_statement_dup_text (statement, 3);
  row->site = td_statement_dup_text (statement, 4);
  row->site_id = td_statement_dup_text (statement, 5);
  row->person = td_statement_dup_text (statement, 6);
  row->date = td_statement_get_integer (statement, 7);
  row->arrived_ms = td_statement_get_integer (statement, 8);
  row->closed_ms = td_statement_get_integer (statement, 9);
  row->closed = td_statement_get_integer (statement, 10) != 0;
  row->amends = !td_statement_is_null (statement, 11);
  row->amends_id = td_statement_get_uuid (statement, 11);
  row->amended = !td_statement_is_null (statement, 12);
  row->amended_by = td_statement_get_uuid (statement, 12);
  row->entries = td_statement_get_integer (statement, 13);
  row->findings[TD_SEVERITY_STOP] = td_statement_get_integer (statement, 14);
  row->findings[TD_SEVERITY_REASON] = td_statement_get_integer (statement, 15);
  row->findings[TD_SEVERITY_ADVICE] = td_statement_get_integer (statement, 16);
  return row;
}

static GPtrArray *
new_rows (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) td_visit_row_unref);
}

/* Each list has an index of its own to walk along. */
static TdStatement *
choose_list (TdBook *book, const TdVisitsFilter *filter, GError **error)
{
  TdStatement *list = NULL;
  if (filter->site_id != NULL)
    {
      list = td_statement_get (book, TD_SQL_LIST_VISITS_OF_SITE, error);
      if (list != NULL)
        td_statement_bind_text (list, ":site", filter->site_id);
    }
  else if (filter->state != TD_VISITS_ALL)
    {
      list = td_statement_get (book, TD_SQL_LIST_VISITS_BY_STATE, error);
      if (list != NULL)
        td_statement_bind_integer (list, ":closed", filter->state == TD_VISITS_CLOSED);
    }
  else
    list = td_statement_get (book, TD_SQL_LIST_VISITS, error);
  return list;
}

static gboolean
is_wanted (const TdVisitsFilter *filter, const TdVisitRow *row)
{
  if (filter->newest_only && row->amended)
    return FALSE;
  return filter->state == TD_VISITS_ALL || row->closed == (filter->state == TD_VISITS_CLOSED);
}

GPtrArray *
td_book_list_visits (TdBook *book, const TdVisitsFilter *filter, GError **error)
{
  static const TdVisitsFilter everything = { 0 };
  td_book_assert_owner (book);
  if (filter == NULL)
    filter = &everything;
  g_autoptr (GPtrArray) rows = new_rows ();
  g_autoptr (TdStatement) list = choose_list (book, filter, error);
  if (list == NULL)
    return NULL;
  TdStep step = TD_STEP_DONE;
  while ((filter->limit == 0 || rows->len < filter->limit) &&
         (step = td_statement_step (list, error)) == TD_STEP_ROW)
    {
      g_autoptr (TdVisitRow) row = read_row (list);
      if (is_wanted (filter, row))
        g_ptr_array_add (rows, g_steal_pointer (&row));
    }
  return step != TD_STEP_FAILED ? g_steal_pointer (&rows) : NULL;
}

void
td_visit_record_free (TdVisitRecord *record)
{
  g_return_if_fail (record != NULL);
  g_clear_pointer (&record->row, td_visit_row_unref);
  g_clear_pointer (&record->visit, td_visit_unref);
  g_clear_pointer (&record->findings, g_ptr_array_unref);
  g_free (record->sheet_sha256);
  g_free (record->seal);
  g_free (record->previous_seal);
  g_free (record);
}

static gboolean
fail_missing (GError **error, const TdUuid *id)
{
  char text[TD_UUID_TEXT_LENGTH + 1];
  td_uuid_format (id, text);
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book has no visit %s; look at its id", text);
  return FALSE;
}

static TdVisitRow *
load_row (TdBook *book, const TdUuid *id, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_VISIT_ROW, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_uuid (row, ":uuid", id);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_DONE)
    fail_missing (error, id);
  return step == TD_STEP_ROW ? read_row (row) : NULL;
}

/* Within a read. */
static TdVisitRecord *
load_record (TdBook *book, const TdUuid *id, GError **error)
{
  g_autoptr (TdVisitRecord) record = g_new0 (TdVisitRecord, 1);
  g_autoptr (TdVisitState) state = NULL;
  record->row = load_row (book, id, error);
  if (record->row == NULL || !td_visit_state_load (book, id, &state, error))
    return NULL;
  g_assert (state != NULL);
  record->visit = td_visit_ref (state->visit);
  record->findings = td_visit_state_get_findings (state);
  record->sheet_sha256 = g_steal_pointer (&state->sheet_sha256);
  record->seal = g_steal_pointer (&state->seal);
  record->previous_seal = g_steal_pointer (&state->previous_seal);
  return g_steal_pointer (&record);
}

TdVisitRecord *
td_book_load_visit (TdBook *book, const TdUuid *visit, GError **error)
{
  TdVisitRecord *record = NULL;
  td_book_assert_owner (book);
  g_return_val_if_fail (visit != NULL, NULL);
  if (!td_book_begin_read (book, error))
    return NULL;
  if (td_cache_refresh (book, error))
    record = load_record (book, visit, error);
  td_book_end_read (book);
  return record;
}

char *
td_book_get_sealed_text (TdBook *book, const TdUuid *visit, GError **error)
{
  char *text = NULL;
  td_book_assert_owner (book);
  g_autoptr (TdVisitRecord) record = td_book_load_visit (book, visit, error);
  if (record == NULL)
    return NULL;
  if (record->seal == NULL)
    g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED,
                         "The visit is still open and has no seal; nothing was changed; close it first");
  else
    text = td_seal_make_text (record->previous_seal, record->visit->entries);
  return text;
}
