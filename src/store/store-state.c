#include "store-state.h"

#include "store-cache.h"
#include "store-history.h"
#include "store-private.h"
#include "store-setting.h"
#include "store-snapshot.h"

void
td_visit_state_free (TdVisitState *state)
{
  g_return_if_fail (state != NULL);
  g_clear_pointer (&state->visit, td_visit_unref);
  g_clear_pointer (&state->entries, g_ptr_array_unref);
  g_clear_pointer (&state->zone, td_zone_unref);
  g_clear_pointer (&state->context.site, td_site_unref);
  g_clear_pointer (&state->context.masters, td_masters_unref);
  g_clear_pointer (&state->context.settings, td_settings_unref);
  g_free (state->history);
  g_free (state->site_id);
  g_free (state->sheet_sha256);
  g_free (state->number);
  g_free (state->seal);
  g_free (state->previous_seal);
  g_free (state);
}

char *
td_report_number_make (const char *prefix, gint64 number)
{
  g_return_val_if_fail (prefix != NULL, NULL);
  return g_strdup_printf ("%s-%05" G_GINT64_FORMAT, prefix, number);
}

char *
td_entry_make_digest (const TdEntry *entry)
{
  g_return_val_if_fail (entry != NULL, NULL);
  g_autofree char *envelope = td_envelope_to_canonical (&entry->envelope);
  g_autofree char *text = g_strconcat (envelope, "\n", entry->body_text, "\n", NULL);
  return g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
}

static gboolean
fail_damaged (GError **error, const TdUuid *id, guint seq, const char *what)
{
  char text[TD_UUID_TEXT_LENGTH + 1];
  td_uuid_format (id, text);
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
               "Entry %u of visit %s is damaged (%s); nothing more is written to the visit; keep the book, "
               "and restore the newest backup", seq, text, what);
  return FALSE;
}

/* The entry of the row that @row stands on, held against its digest. */
static TdEntry *
read_entry (TdStatement *row, const TdUuid *visit, guint seq, GError **error)
{
  TdEnvelope envelope = { .visit = *visit,
                          .seq = td_statement_get_integer (row, 0),
                          .version = td_statement_get_integer (row, 2),
                          .happened = { td_statement_get_integer (row, 3), td_statement_get_integer (row, 4) },
                          .zone = (char *) td_statement_get_text (row, 5),
                          .recorded_ms = td_statement_get_integer (row, 6),
                          .boot_id = (char *) td_statement_get_text (row, 7),
                          .boottime_ms = td_statement_get_integer (row, 8),
                          .person = (char *) td_statement_get_text (row, 9),
                          .device = td_statement_get_uuid (row, 10) };
  g_autoptr (GError) why = NULL;
  if (envelope.seq != seq)
    return fail_damaged (error, visit, seq, "it is not there"), NULL;
  if (!td_kind_from_code (td_statement_get_text (row, 1), &envelope.kind))
    return fail_damaged (error, visit, seq, "its kind is unknown"), NULL;
  g_autoptr (TdEntry) entry = td_entry_new_stored (&envelope, td_statement_get_text (row, 11), &why);
  if (entry == NULL)
    return fail_damaged (error, visit, seq, why->message), NULL;
  g_autofree char *stored = td_statement_get_hash (row, 12);
  g_autofree char *digest = td_entry_make_digest (entry);
  if (g_strcmp0 (stored, digest) != 0)
    return fail_damaged (error, visit, seq, "it is not as it was written"), NULL;
  return g_steal_pointer (&entry);
}

static gboolean
read_entries (TdBook *book, TdVisitState *state, GError **error)
{
  state->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) td_entry_unref);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_ENTRIES, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":visit", state->key);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdEntry *entry = read_entry (row, &state->id, state->entries->len + 1, error);
      if (entry == NULL)
        return FALSE;
      g_ptr_array_add (state->entries, entry);
    }
  if (step == TD_STEP_DONE && state->entries->len == 0)
    return fail_damaged (error, &state->id, 1, "it is not there");
  return step == TD_STEP_DONE;
}

/* The sheet, held against its hash. */
static TdSite *
read_sheet (TdBook *book, const char *sha256, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_SHEET, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_hash (row, ":sha256", sha256);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_FAILED)
    return NULL;
  g_autofree char *hash = NULL;
  const char *text = step == TD_STEP_ROW ? td_statement_get_text (row, 0) : NULL;
  if (text != NULL)
    hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  if (g_strcmp0 (hash, sha256) != 0)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
                   "The site sheet %.12s is %s; nothing was changed; keep the book, and restore the newest "
                   "backup", sha256, text == NULL ? "missing" : "not as it was written");
      return NULL;
    }
  return td_site_parse (text, -1, error);
}

static gboolean
read_context (TdBook *book, TdVisitState *state, GError **error)
{
  state->context.site = read_sheet (book, state->sheet_sha256, error);
  if (state->context.site == NULL)
    return FALSE;
  TdZone *zone = td_cache_get_zone (book, state->context.site->zone, error);
  if (zone == NULL)
    return FALSE;
  state->zone = td_zone_ref (zone);
  const TdEntry *last =
    state->entries->len > 0 ? g_ptr_array_index (state->entries, state->entries->len - 1) : NULL;
  const TdJson *snapshot = state->closed ? td_json_get_member (last->body, "snapshot") : NULL;
  if (snapshot != NULL)
    {
      state->history = td_snapshot_read_history (snapshot, state->context.site);
      state->context.history = state->history;
      return td_snapshot_read (snapshot, &state->context.masters, &state->context.settings, error);
    }
  TdMasters *masters = td_cache_get_masters (book, error);
  if (masters == NULL)
    return FALSE;
  state->context.masters = td_masters_ref (masters);
  state->context.settings = td_settings_read (book, state->site_key, state->context.site, error);
  return state->context.settings != NULL;
}

gboolean
td_visit_state_read_history (TdBook *book, TdVisitState *state, GError **error)
{
  td_book_assert_owner (book);
  g_clear_pointer (&state->history, g_free);
  state->history = td_history_read (book, state->site_key, state->context.site, state->key, state->amends_key, error);
  state->context.history = state->history;
  return state->history != NULL;
}

static void
read_row (TdStatement *row, TdVisitState *state)
{
  state->key = td_statement_get_integer (row, 0);
  state->site_key = td_statement_get_integer (row, 1);
  state->site_id = td_statement_dup_text (row, 2);
  state->sheet_sha256 = td_statement_get_hash (row, 3);
  state->amends_key = td_statement_get_integer (row, 4);
  state->amends_id = td_statement_get_uuid (row, 5);
  state->closed = !td_statement_is_null (row, 6);
  if (state->closed)
    state->number = td_report_number_make (td_statement_get_text (row, 7), td_statement_get_integer (row, 6));
  state->previous_seal = td_statement_get_hash (row, 8);
  state->seal = td_statement_get_hash (row, 9);
  state->device = td_statement_get_uuid (row, 10);
}

gboolean
td_visit_state_load (TdBook *book, const TdUuid *id, TdVisitState **state_out, GError **error)
{
  td_book_assert_owner (book);
  g_assert (id != NULL && state_out != NULL);
  g_autoptr (TdVisitState) state = g_new0 (TdVisitState, 1);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_VISIT, error);
  *state_out = NULL;
  if (row == NULL)
    return FALSE;
  td_statement_bind_uuid (row, ":uuid", id);
  TdStep step = td_statement_ask (row, error);
  if (step != TD_STEP_ROW)
    return step == TD_STEP_DONE;
  state->id = *id;
  read_row (row, state);
  g_autoptr (GError) why = NULL;
  if (!read_entries (book, state, error) || !read_context (book, state, error) ||
      (!state->closed && !td_visit_state_read_history (book, state, error)))
    return FALSE;
  state->visit = td_visit_fold (&state->context, state->entries, &why);
  if (state->visit == NULL)
    return fail_damaged (error, id, state->entries->len, why->message);
  *state_out = g_steal_pointer (&state);
  return TRUE;
}

TdVisitState *
td_visit_state_begin (TdBook *book, const TdUuid *id, const char *site_id, const char *sheet_sha256,
                      GError **error)
{
  td_book_assert_owner (book);
  g_assert (id != NULL && site_id != NULL);
  g_autoptr (TdVisitState) state = g_new0 (TdVisitState, 1);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_SITE, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_text (row, ":slug", site_id);
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                 "The book knows no site “%s”; nothing was kept; import its sheet, or look at the name", site_id);
  if (step != TD_STEP_ROW)
    return NULL;
  state->id = *id;
  state->site_key = td_statement_get_integer (row, 0);
  state->site_id = g_strdup (site_id);
  state->sheet_sha256 = sheet_sha256 != NULL ? g_strdup (sheet_sha256) : td_statement_get_hash (row, 1);
  state->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) td_entry_unref);
  if (!read_context (book, state, error))
    return NULL;
  return g_steal_pointer (&state);
}

GPtrArray *
td_visit_state_get_findings (const TdVisitState *state)
{
  g_assert (state != NULL && state->visit != NULL && state->entries->len > 0);
  const TdEntry *last = g_ptr_array_index (state->entries, state->entries->len - 1);
  if (state->visit->snapshot != NULL)
    return td_snapshot_get_findings (state->visit->snapshot, state->context.site);
  return td_visit_get_findings (state->visit, last->envelope.recorded_ms);
}
