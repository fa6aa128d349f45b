#include "store-journal.h"

#include "store-cache.h"
#include "store-photo.h"
#include "store-private.h"
#include "store-project.h"
#include "store-seal.h"

#include "core-error.h"

static gboolean
fail_visit (GError **error, TdBookError code, const TdUuid *id, const char *text)
{
  char name[TD_UUID_TEXT_LENGTH + 1];
  td_uuid_format (id, name);
  g_set_error (error, TD_BOOK_ERROR, code, "Visit %s %s", name, text);
  return FALSE;
}

static const char *
get_text (const TdJson *body, const char *key)
{
  const TdJson *member = td_json_get_member (body, key);
  return member != NULL && td_json_get_kind (member) == TD_JSON_STRING ? td_json_get_string (member) : NULL;
}

/* The visit that an arrival amends: closed, of the same site, not amended yet. */
static gboolean
find_amended (TdBook *book, const char *text, const char *site_id, TdVisitState **amended_out, GError **error)
{
  TdUuid id;
  g_autoptr (TdVisitState) state = NULL;
  if (!td_uuid_parse (text, &id, error) || !td_visit_state_load (book, &id, &state, error))
    return FALSE;
  if (state == NULL)
    return fail_visit (error, TD_BOOK_ERROR_MISSING, &id,
                       "is not in this book and so cannot be amended; nothing was kept; look at its id");
  if (!state->closed)
    return fail_visit (error, TD_BOOK_ERROR_REFUSED, &id,
                       "is still open and needs no amendment; nothing was kept; write a correction instead");
  if (g_strcmp0 (state->site_id, site_id) != 0)
    return fail_visit (error, TD_BOOK_ERROR_REFUSED, &id,
                       "is of another site; nothing was kept; an amendment names the site of the visit that it "
                       "amends");
  g_autoptr (TdStatement) newer = td_statement_get (book, TD_SQL_FIND_AMENDMENT, error);
  if (newer == NULL)
    return FALSE;
  td_statement_bind_integer (newer, ":amends", state->key);
  TdStep step = td_statement_ask (newer, error);
  if (step == TD_STEP_ROW)
    return fail_visit (error, TD_BOOK_ERROR_REFUSED, &id,
                       "has been amended already; nothing was kept; amend the newer visit");
  *amended_out = step == TD_STEP_DONE ? g_steal_pointer (&state) : NULL;
  return step == TD_STEP_DONE;
}

static gboolean
insert_visit (TdBook *book, TdVisitState *state, const TdVisitState *amended, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_VISIT, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_uuid (insert, ":uuid", &state->id);
  td_statement_bind_integer (insert, ":site", state->site_key);
  td_statement_bind_hash (insert, ":sheet", state->sheet_sha256);
  td_statement_bind_integer (insert, ":device", book->device_key);
  if (amended != NULL)
    td_statement_bind_integer (insert, ":amends", amended->key);
  if (!td_statement_run (insert, error))
    return FALSE;
  state->key = sqlite3_last_insert_rowid (book->db);
  if (amended != NULL)
    {
      state->amends_key = amended->key;
      state->amends_id = amended->id;
    }
  return TRUE;
}

/* The row of a visit that its arrival begins.  An amendment is about the lines as they were, so it takes
 * the sheet of the visit that it amends. */
static TdVisitState *
begin_visit (TdBook *book, const TdDraft *draft, GError **error)
{
  const char *site_id = get_text (draft->body, "site");
  const char *amends = get_text (draft->body, "amends");
  g_autoptr (TdVisitState) amended = NULL;
  g_assert (site_id != NULL);
  if (amends != NULL && !find_amended (book, amends, site_id, &amended, error))
    return NULL;
  g_autoptr (TdVisitState) state =
    td_visit_state_begin (book, &draft->visit, site_id, amended != NULL ? amended->sheet_sha256 : NULL, error);
  if (state == NULL || !insert_visit (book, state, amended, error) ||
      !td_visit_state_read_history (book, state, error))
    return NULL;
  return g_steal_pointer (&state);
}

/* Leaves the visit in the book's cache. */
static gboolean
reach_visit (TdBook *book, const TdDraft *draft, GError **error)
{
  TdBookCache *cache = book->cache;
  if (cache->state != NULL && td_uuid_equal (&cache->state->id, &draft->visit))
    return TRUE;
  g_clear_pointer (&cache->state, td_visit_state_free);
  if (!td_visit_state_load (book, &draft->visit, &cache->state, error))
    return FALSE;
  if (cache->state != NULL)
    return TRUE;
  if (draft->kind != TD_KIND_ARRIVAL)
    return fail_visit (error, TD_BOOK_ERROR_MISSING, &draft->visit,
                       "is not in this book; nothing was kept; its first entry must be an arrival");
  cache->state = begin_visit (book, draft, error);
  return cache->state != NULL;
}

/* What a visit is and where stands in its row from the arrival on. */
static gboolean
check_correction (const TdVisitState *state, const TdDraft *draft, GError **error)
{
  const TdJson *of = td_json_get_member (draft->body, "of");
  const TdJson *set = td_json_get_member (draft->body, "set");
  if (draft->kind != TD_KIND_CORRECTION || of == NULL || td_json_get_integer (of) != 1)
    return TRUE;
  if (set != NULL && td_json_get_member (set, "site") == NULL && td_json_get_member (set, "amends") == NULL)
    return TRUE;
  g_set_error_literal (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                       "The arrival cannot be voided, and the site or the amended visit that it names cannot be "
                       "changed; nothing was kept; begin another visit");
  return FALSE;
}

static gboolean
check_open (const TdVisitState *state, const TdDraft *draft, const TdBookAppend *options, GError **error)
{
  if (state->closed)
    return fail_visit (error, TD_BOOK_ERROR_REFUSED, &state->id,
                       "is closed and sealed; nothing was kept; begin an amendment: a new visit whose arrival "
                       "\"amends\" it");
  if (options != NULL && options->expected_seq != 0 && options->expected_seq != state->entries->len + 1)
    return fail_visit (error, TD_BOOK_ERROR_CONFLICT, &state->id,
                       "has gone on elsewhere meanwhile; nothing was kept; look at what is new and do it again");
  return check_correction (state, draft, error);
}

static void
fill_envelope (TdBook *book, const TdVisitState *state, const TdDraft *draft, const TdBookAppend *options,
               TdEnvelope *envelope)
{
  if (options != NULL && options->recorded_ms != 0)
    td_clock_set_now_ms (book->clock, options->recorded_ms);
  *envelope = (TdEnvelope) { .visit = draft->visit,
                             .seq = state->entries->len + 1,
                             .kind = draft->kind,
                             .version = TD_ENTRY_VERSION,
                             .happened = draft->happened,
                             .zone = state->context.site->zone,
                             .recorded_ms = td_clock_get_now_ms (book->clock),
                             .boot_id = (char *) td_clock_get_boot_id (book->clock),
                             .boottime_ms = td_clock_get_boottime_ms (book->clock),
                             .person = draft->person,
                             .device = book->device.id };
}

static gboolean
insert_entry (TdBook *book, const TdVisitState *state, const TdEntry *entry, GError **error)
{
  const TdEnvelope *envelope = &entry->envelope;
  g_autofree char *digest = td_entry_make_digest (entry);
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_ENTRY, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_integer (insert, ":visit", state->key);
  td_statement_bind_integer (insert, ":seq", envelope->seq);
  td_statement_bind_text (insert, ":kind", td_kind_get_code (envelope->kind));
  td_statement_bind_integer (insert, ":version", envelope->version);
  td_statement_bind_integer (insert, ":happened_ms", envelope->happened.utc_ms);
  td_statement_bind_integer (insert, ":offset_min", envelope->happened.offset_min);
  td_statement_bind_text (insert, ":zone", envelope->zone);
  td_statement_bind_integer (insert, ":recorded_ms", envelope->recorded_ms);
  td_statement_bind_text (insert, ":boot_id", envelope->boot_id);
  td_statement_bind_integer (insert, ":boottime_ms", envelope->boottime_ms);
  td_statement_bind_text (insert, ":person", envelope->person);
  td_statement_bind_integer (insert, ":device", book->device_key);
  td_statement_bind_text (insert, ":body", entry->body_text);
  td_statement_bind_hash (insert, ":digest", digest);
  return td_statement_run (insert, error);
}

/* The body as it is kept: what only the book can say is put in here. */
static TdJson *
complete_body (TdBook *book, const TdVisitState *state, const TdDraft *draft, const TdEnvelope *envelope,
               GError **error)
{
  if (draft->kind == TD_KIND_PHOTO)
    return td_photo_keep (book, draft->body, error);
  if (draft->kind != TD_KIND_CLOSING)
    return td_json_ref (draft->body);
  if (td_json_get_member (draft->body, "snapshot") != NULL)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE,
                           "field snapshot: the book itself takes the snapshot; nothing was kept; leave it out");
      return NULL;
    }
  if (state->visit == NULL)
    {
      fail_visit (error, TD_BOOK_ERROR_MISSING, &state->id, "has not begun; nothing was kept");
      return NULL;
    }
  return td_seal_make_body (book, state, envelope, error);
}

/* Folds the entry in and writes it; the state goes on by it. */
static gboolean
take_entry (TdBook *book, TdVisitState *state, TdEntry *entry, GError **error)
{
  g_ptr_array_add (state->entries, td_entry_ref (entry));
  g_autoptr (TdVisit) visit = td_visit_fold (&state->context, state->entries, error);
  if (visit == NULL || !insert_entry (book, state, entry, error))
    return FALSE;
  g_clear_pointer (&state->visit, td_visit_unref);
  state->visit = g_steal_pointer (&visit);
  return TRUE;
}

/* @last: of this visit within the transaction, so that what follows from it is written now. */
static gboolean
append (TdBook *book, const TdDraft *draft, const TdBookAppend *options, gboolean last, TdEntry **entry_out,
        GError **error)
{
  TdEnvelope envelope;
  if (!td_kind_check_body (draft->kind, draft->body, error) || !reach_visit (book, draft, error))
    return FALSE;
  TdVisitState *state = book->cache->state;
  if (!check_open (state, draft, options, error))
    return FALSE;
  fill_envelope (book, state, draft, options, &envelope);
  g_autoptr (TdJson) body = complete_body (book, state, draft, &envelope, error);
  if (body == NULL || !td_kind_check_body (draft->kind, body, error))
    return FALSE;
  g_autoptr (TdEntry) entry = td_entry_new (&envelope, body, error);
  if (entry == NULL || !take_entry (book, state, entry, error))
    return FALSE;
  gboolean closing = draft->kind == TD_KIND_CLOSING, tasks = FALSE;
  if ((last || closing) && !td_project_visit_noting (book, state, &tasks, error))
    return FALSE;
  if (closing && !td_seal_visit (book, state, error))
    return FALSE;
  /* With its closing an amendment begins to count. */
  if ((tasks || closing) && !td_project_other_visits (book, state, error))
    return FALSE;
  if (closing)
    g_clear_pointer (&book->cache->state, td_visit_state_free);
  td_clock_advance (book->clock);
  if (entry_out != NULL)
    *entry_out = g_steal_pointer (&entry);
  return TRUE;
}

gboolean
td_book_append (TdBook *book, const TdDraft *draft, const TdBookAppend *options, TdEntry **entry_out,
                GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (draft != NULL && draft->body != NULL && draft->person != NULL, FALSE);
  g_return_val_if_fail (options == NULL || options->recorded_ms == 0 || td_clock_is_pinned (book->clock), FALSE);
  g_autoptr (TdEntry) entry = NULL;
  if (!td_book_begin (book, error))
    return FALSE;
  if (!td_cache_refresh (book, error) || !append (book, draft, options, TRUE, &entry, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  if (!td_book_commit (book, error))
    return FALSE;
  if (entry_out != NULL)
    *entry_out = g_steal_pointer (&entry);
  return TRUE;
}

static gboolean
is_last_of_visit (const GPtrArray *drafts, guint index)
{
  const TdDraft *draft = g_ptr_array_index (drafts, index);
  if (index + 1 == drafts->len)
    return TRUE;
  const TdDraft *next = g_ptr_array_index (drafts, index + 1);
  return !td_uuid_equal (&draft->visit, &next->visit);
}

gboolean
td_book_append_many (TdBook *book, const GPtrArray *drafts, const gint64 *recorded_ms, guint *failed_out,
                     GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (drafts != NULL, FALSE);
  g_return_val_if_fail (recorded_ms == NULL || td_clock_is_pinned (book->clock), FALSE);
  if (!td_book_begin (book, error))
    return FALSE;
  gboolean ok = td_cache_refresh (book, error);
  for (guint i = 0; ok && i < drafts->len; i++)
    {
      TdBookAppend options = { 0, recorded_ms != NULL ? recorded_ms[i] : 0 };
      if (failed_out != NULL)
        *failed_out = i;
      ok = append (book, g_ptr_array_index (drafts, i), &options, is_last_of_visit (drafts, i), NULL, error);
    }
  if (!ok)
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}

gboolean
td_book_count_entries (TdBook *book, const TdUuid *visit, guint *count_out, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (visit != NULL && count_out != NULL, FALSE);
  g_autoptr (TdStatement) ask = td_statement_get (book, TD_SQL_COUNT_ENTRIES, error);
  if (ask == NULL)
    return FALSE;
  td_statement_bind_uuid (ask, ":uuid", visit);
  if (td_statement_ask (ask, error) != TD_STEP_ROW)
    return FALSE;
  *count_out = td_statement_get_integer (ask, 0);
  return TRUE;
}
