#include "store-seal.h"

#include "store-private.h"
#include "store-project.h"
#include "store-snapshot.h"

#include "core-error.h"
#include "core-json-build.h"

gboolean
td_seal_next (TdBook *book, gint64 *number_out, char **previous_out, GError **error)
{
  td_book_assert_owner (book);
  g_assert (number_out != NULL && previous_out != NULL);
  g_autoptr (TdStatement) last = td_statement_get (book, TD_SQL_SELECT_LAST_SEAL, error);
  if (last == NULL)
    return FALSE;
  td_statement_bind_integer (last, ":device", book->device_key);
  TdStep step = td_statement_ask (last, error);
  *number_out = step == TD_STEP_ROW ? td_statement_get_integer (last, 0) + 1 : 1;
  *previous_out = step == TD_STEP_ROW ? td_statement_get_hash (last, 1) : NULL;
  return step != TD_STEP_FAILED;
}

/* The visit as it would be with this closing; the body does not matter to the fold. */
static TdVisitState *
close_provisionally (const TdVisitState *state, const TdEnvelope *closing, GError **error)
{
  g_autoptr (TdVisitState) closed = g_new0 (TdVisitState, 1);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  td_json_builder_begin_object (builder);
  td_json_builder_end (builder);
  g_autoptr (TdJson) body = td_json_builder_finish (builder);
  TdEntry *entry = td_entry_new (closing, body, error);
  if (entry == NULL)
    return NULL;
  closed->id = state->id;
  closed->site_id = g_strdup (state->site_id);
  closed->sheet_sha256 = g_strdup (state->sheet_sha256);
  closed->context.site = td_site_ref (state->context.site);
  closed->context.masters = td_masters_ref (state->context.masters);
  closed->context.settings = td_settings_ref (state->context.settings);
  closed->context.history = state->context.history;
  closed->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) td_entry_unref);
  for (guint i = 0; i < state->entries->len; i++)
    g_ptr_array_add (closed->entries, td_entry_ref (g_ptr_array_index (state->entries, i)));
  g_ptr_array_add (closed->entries, entry);
  closed->visit = td_visit_fold (&closed->context, closed->entries, error);
  return closed->visit != NULL ? g_steal_pointer (&closed) : NULL;
}

/* FALSE with TD_ERROR_STOP where a stop stands open: the first line counts, then each has its own. */
static gboolean
check_stops (const TdVisitState *state, const GPtrArray *findings, GError **error)
{
  guint n = td_findings_count (findings, TD_SEVERITY_STOP);
  if (n == 0)
    return TRUE;
  g_autoptr (GString) text = g_string_new (NULL);
  g_string_printf (text, "The visit cannot be closed: %u %s open; nothing was kept; put it right, or leave the "
                         "line out of service to a named person", n, n == 1 ? "thing stands" : "things stand");
  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);
      const TdRuleInfo *info = td_rule_get_info (finding->rule);
      if (info->severity != TD_SEVERITY_STOP)
        continue;
      g_string_append_printf (text, "\n%s", info->code);
      if (finding->outlet >= 0)
        g_string_append_printf (text, " at %s", state->context.site->outlets[finding->outlet].id);
      g_string_append_printf (text, ": %s", finding->text);
    }
  g_set_error_literal (error, TD_ERROR, TD_ERROR_STOP, text->str);
  return FALSE;
}

TdJson *
td_seal_make_body (TdBook *book, const TdVisitState *state, const TdEnvelope *closing, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing && state->visit != NULL && !state->closed);
  gint64 number = 0;
  g_autofree char *previous = NULL;
  g_autoptr (TdVisitState) closed = close_provisionally (state, closing, error);
  if (closed == NULL || !td_seal_next (book, &number, &previous, error))
    return NULL;
  g_autoptr (GPtrArray) findings = td_visit_get_findings (closed->visit, closing->recorded_ms);
  if (!check_stops (closed, findings, error))
    return NULL;
  g_autofree char *text = td_report_number_make (book->device.prefix, number);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  td_json_builder_begin_object (builder);
  g_autoptr (TdJson) snapshot = td_snapshot_build (closed, text, findings);
  td_json_builder_member_value (builder, "snapshot", snapshot);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static gboolean
insert_seal (TdBook *book, const TdVisitState *state, char **seal_out, GError **error)
{
  gint64 number = 0;
  g_autofree char *previous = NULL;
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_SEAL, error);
  if (insert == NULL || !td_seal_next (book, &number, &previous, error))
    return FALSE;
  *seal_out = td_seal_compute (previous, state->entries);
  td_statement_bind_integer (insert, ":device", book->device_key);
  td_statement_bind_integer (insert, ":number", number);
  td_statement_bind_integer (insert, ":visit", state->key);
  td_statement_bind_hash (insert, ":previous", previous);
  td_statement_bind_hash (insert, ":seal", *seal_out);
  return td_statement_run (insert, error);
}

static gboolean
fail_back (TdBook *book, GError **error, const char *what)
{
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
               "The closed visit read back from “%s” otherwise than it was written (%s); it was not closed and "
               "all that was confirmed before is safe; check the book and the disk", book->path, what);
  return FALSE;
}

gboolean
td_seal_visit (TdBook *book, const TdVisitState *state, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  g_autofree char *seal = NULL;
  g_autofree char *difference = NULL;
  g_autoptr (TdVisitState) back = NULL;
  if (!insert_seal (book, state, &seal, error) || !td_visit_state_load (book, &state->id, &back, error))
    return FALSE;
  if (back == NULL || !back->closed || back->entries->len != state->entries->len)
    return fail_back (book, error, "its entries");
  g_autofree char *again = td_seal_compute (back->previous_seal, back->entries);
  if (g_strcmp0 (again, seal) != 0 || g_strcmp0 (back->seal, seal) != 0)
    return fail_back (book, error, "its seal");
  if (g_strcmp0 (td_snapshot_get_number (back->visit->snapshot), back->number) != 0)
    return fail_back (book, error, "its number");
  /* The row of the list is the one that changes by the seal; all others must come out of the snapshot as
   * they came out of the book. */
  if (!td_project_visit_row (book, back, error) || !td_project_compare_visit (book, back, &difference, error))
    return FALSE;
  return difference == NULL || fail_back (book, error, difference);
}
