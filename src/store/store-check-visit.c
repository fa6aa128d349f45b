/* Checks of visits: journal, projections, seals, numbers. */
#include "store-check-private.h"

#include "store-keys.h"
#include "store-project.h"
#include "store-snapshot.h"

typedef gboolean (*VisitFunc) (TdBook *book, const TdVisitState *state, TdChecking *checking, GError **error);

/* Calls @func with every visit of @list that can be loaded; one that cannot be is a failure. */
static gboolean
for_each_visit (TdBook *book, TdSql list, VisitFunc func, TdChecking *checking, GError **error)
{
  g_autoptr (GArray) ids = td_keys_list_uuids (book, list, error);
  for (guint i = 0; ids != NULL && i < ids->len; i++)
    {
      g_autoptr (TdVisitState) state = NULL;
      g_autoptr (GError) why = NULL;
      checking->count++;
      if (!td_visit_state_load (book, &g_array_index (ids, TdUuid, i), &state, &why))
        {
          if (why->domain == TD_BOOK_ERROR && why->code != TD_BOOK_ERROR_DAMAGED)
            {
              g_propagate_error (error, g_steal_pointer (&why));
              return FALSE;
            }
          td_checking_fail (checking, "%s", why->message);
        }
      else if (state == NULL)
        td_checking_fail (checking, "a visit has a key that cannot be read");
      else if (!func (book, state, checking, error))
        return FALSE;
    }
  return ids != NULL;
}

static const char *
get_text (const TdJson *body, const char *key)
{
  const TdJson *member = td_json_get_member (body, key);
  return member != NULL && td_json_get_kind (member) == TD_JSON_STRING ? td_json_get_string (member) : NULL;
}

/* The visit's row says what its arrival says. */
static void
check_arrival (const TdVisitState *state, const char *id, TdChecking *checking)
{
  const TdEntry *arrival = g_ptr_array_index (state->entries, 0);
  const char *amends = get_text (arrival->body, "amends");
  TdUuid amended = { { 0 } };
  if (arrival->envelope.kind != TD_KIND_ARRIVAL)
    td_checking_fail (checking, "visit %s does not begin with an arrival", id);
  if (g_strcmp0 (get_text (arrival->body, "site"), state->site_id) != 0)
    td_checking_fail (checking, "visit %s stands at another site than its arrival says", id);
  if (!td_uuid_equal (&arrival->envelope.device, &state->device))
    td_checking_fail (checking, "visit %s was begun on another device than its arrival says", id);
  if (amends != NULL)
    td_uuid_parse (amends, &amended, NULL);
  if (!td_uuid_equal (&amended, &state->amends_id))
    td_checking_fail (checking, "visit %s amends another visit than its arrival says", id);
}

/* Every picture that an entry names is in the book, of the kind that the entry says. */
static gboolean
check_photos (TdBook *book, const TdVisitState *state, const char *id, TdChecking *checking, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_ATTACHMENT, error);
  if (find == NULL)
    return FALSE;
  for (guint i = 0; i < state->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (state->entries, i);
      const char *sha256 = get_text (entry->body, "sha256");
      const char *media = get_text (entry->body, "media");
      if (entry->envelope.kind != TD_KIND_PHOTO || sha256 == NULL)
        continue;
      td_statement_rewind (find);
      td_statement_bind_hash (find, ":sha256", sha256);
      TdStep step = td_statement_ask (find, error);
      if (step == TD_STEP_FAILED)
        return FALSE;
      if (step == TD_STEP_DONE)
        td_checking_fail (checking, "visit %s, entry %u: its picture is not in the book", id, i + 1);
      else if (media != NULL && g_strcmp0 (media, td_statement_get_text (find, 0)) != 0)
        td_checking_fail (checking, "visit %s, entry %u: its picture is of another kind", id, i + 1);
    }
  return TRUE;
}

static gboolean
check_journal (TdBook *book, const TdVisitState *state, TdChecking *checking, GError **error)
{
  g_autofree char *id = td_uuid_to_text (&state->id);
  const TdEntry *last = g_ptr_array_index (state->entries, state->entries->len - 1);
  check_arrival (state, id, checking);
  if ((last->envelope.kind == TD_KIND_CLOSING) != state->closed)
    td_checking_fail (checking, "visit %s is %s", id, state->closed ? "sealed without a closing" : "closed without a seal");
  for (guint i = 0; i < state->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (state->entries, i);
      g_autoptr (GError) why = NULL;
      /* An entry of a later format is read by what this program knows of it. */
      if (entry->envelope.version == TD_ENTRY_VERSION &&
          !td_kind_check_body (entry->envelope.kind, entry->body, &why))
        td_checking_fail (checking, "visit %s, entry %u: %s", id, i + 1, why->message);
    }
  return check_photos (book, state, id, checking, error);
}

gboolean
td_check_journal (TdBook *book, TdChecking *checking, GError **error)
{
  return for_each_visit (book, TD_SQL_LIST_VISIT_IDS, check_journal, checking, error);
}

static gboolean
check_projections (TdBook *book, const TdVisitState *state, TdChecking *checking, GError **error)
{
  g_autofree char *difference = NULL;
  g_autofree char *id = td_uuid_to_text (&state->id);
  if (!td_project_compare_visit (book, state, &difference, error))
    return FALSE;
  if (difference != NULL)
    td_checking_fail (checking, "visit %s, %s", id, difference);
  return TRUE;
}

gboolean
td_check_projections (TdBook *book, TdChecking *checking, GError **error)
{
  if (!for_each_visit (book, TD_SQL_LIST_VISIT_IDS, check_projections, checking, error))
    return FALSE;
  g_autoptr (TdStatement) stray = td_statement_get (book, TD_SQL_FIND_STRAY_PROJECTION, error);
  if (stray == NULL)
    return FALSE;
  TdStep step = td_statement_ask (stray, error);
  if (step == TD_STEP_ROW)
    td_checking_fail (checking, "%s holds rows of a visit that the book does not have", td_statement_get_text (stray, 0));
  return step != TD_STEP_FAILED;
}

/* The rules that this program shares with the closing must still find what they found then. */
static void
check_findings (const TdVisitState *state, const char *id, TdChecking *checking)
{
  const TdJson *snapshot = state->visit->snapshot;
  if (td_snapshot_get_rules_version (snapshot) != TD_RULES_VERSION)
    return;
  const TdEntry *last = g_ptr_array_index (state->entries, state->entries->len - 1);
  g_autoptr (GPtrArray) kept = td_snapshot_get_findings (snapshot, state->context.site);
  g_autoptr (GPtrArray) now = td_visit_get_findings (state->visit, last->envelope.recorded_ms);
  gboolean same = kept->len == now->len;
  for (guint i = 0; same && i < kept->len; i++)
    {
      const TdFinding *a = g_ptr_array_index (kept, i);
      const TdFinding *b = g_ptr_array_index (now, i);
      same = a->rule == b->rule && a->outlet == b->outlet && a->seq == b->seq && g_strcmp0 (a->text, b->text) == 0 &&
             g_strcmp0 (a->reason, b->reason) == 0;
    }
  if (!same)
    td_checking_fail (checking, "visit %s: the rules find otherwise than at its closing", id);
}

static gboolean
check_seal (TdBook *book, const TdVisitState *state, TdChecking *checking, GError **error)
{
  g_autofree char *id = td_uuid_to_text (&state->id);
  g_autofree char *seal = td_seal_compute (state->previous_seal, state->entries);
  const TdJson *snapshot = state->visit->snapshot;
  if (g_strcmp0 (seal, state->seal) != 0)
    td_checking_fail (checking, "visit %s is not as it was sealed", id);
  else if (snapshot == NULL)
    td_checking_fail (checking, "visit %s is sealed without a snapshot", id);
  else if (g_strcmp0 (td_snapshot_get_number (snapshot), state->number) != 0)
    td_checking_fail (checking, "visit %s bears another number than it was sealed with", id);
  else if (g_strcmp0 (td_snapshot_get_sheet (snapshot), state->sheet_sha256) != 0)
    td_checking_fail (checking, "visit %s has another sheet than it was sealed with", id);
  else
    check_findings (state, id, checking);
  return TRUE;
}

gboolean
td_check_visit (TdBook *book, const TdVisitState *state, TdChecking *checking, GError **error)
{
  g_assert (state != NULL && state->closed);
  return check_journal (book, state, checking, error) && check_seal (book, state, checking, error);
}

/* Each seal of a device names the one before as it stands. */
static gboolean
check_chain (TdBook *book, TdChecking *checking, GError **error)
{
  gint64 device = 0;
  g_autofree char *before = NULL;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_SEALS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_autofree char *previous = td_statement_get_hash (row, 3);
      if (td_statement_get_integer (row, 0) != device)
        g_clear_pointer (&before, g_free);
      device = td_statement_get_integer (row, 0);
      if (g_strcmp0 (previous, before) != 0)
        td_checking_fail (checking, "report %s-%05" G_GINT64_FORMAT " is not chained to the one before",
                          td_statement_get_text (row, 1), td_statement_get_integer (row, 2));
      g_free (before);
      before = td_statement_get_hash (row, 4);
    }
  return step == TD_STEP_DONE;
}

gboolean
td_check_seals (TdBook *book, TdChecking *checking, GError **error)
{
  return for_each_visit (book, TD_SQL_LIST_CLOSED_VISIT_IDS, check_seal, checking, error) &&
         check_chain (book, checking, error);
}

gboolean
td_check_numbers (TdBook *book, TdChecking *checking, GError **error)
{
  gint64 device = 0, expected = 1;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_SEALS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      if (td_statement_get_integer (row, 0) != device)
        expected = 1;
      device = td_statement_get_integer (row, 0);
      checking->count++;
      if (td_statement_get_integer (row, 2) != expected)
        td_checking_fail (checking, "report %s-%05" G_GINT64_FORMAT " is missing", td_statement_get_text (row, 1), expected);
      expected = td_statement_get_integer (row, 2) + 1;
    }
  return step == TD_STEP_DONE;
}
