/* Master data out of a bundle: what is new, what only one side changed, what both did. */
#include "store-bundle-private.h"

#include "store-agreement.h"
#include "store-private.h"
#include "store-project.h"

#include "core-agreement.h"
#include "core-error.h"
#include "core-json-build.h"
#include "core-site.h"

#include <string.h>

static gboolean
note_version (TdBook *book, const char *kind, const char *slug, const char *sha256, gint64 rev, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_MASTER_VERSION, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_text (insert, ":kind", kind);
  td_statement_bind_text (insert, ":slug", slug);
  td_statement_bind_hash (insert, ":sha256", sha256);
  td_statement_bind_integer (insert, ":rev", rev);
  return td_statement_run (insert, error);
}

static gboolean
note_rows (TdBook *book, TdMasterKind kind, GHashTable *rows, GError **error)
{
  GHashTableIter iter;
  gpointer slug, value;
  g_hash_table_iter_init (&iter, rows);
  while (g_hash_table_iter_next (&iter, &slug, &value))
    {
      const TdMasterRow *row = value;
      if (!td_master_is_empty (row->body) &&
          !note_version (book, td_master_kind_to_text (kind), slug, row->sha256, row->rev, error))
        return FALSE;
    }
  return TRUE;
}

gboolean
td_bundle_note_versions (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  for (guint kind = 0; kind < TD_N_MASTERS; kind++)
    {
      g_autoptr (GHashTable) rows = td_master_read (book, kind, error);
      if (rows == NULL || !note_rows (book, kind, rows, error))
        return FALSE;
    }
  return TRUE;
}

/* A row of the bundle, and what stands here under its name. */
typedef struct
{
  TdMasterKind kind;
  char *slug;
  TdUuid uuid;
  gint64 rev;
  char *body;
  char *sha256;
  TdJson *json;
  const TdMasterRow *own; /* NULL where the book has none */
} Offer;

static void
clear_offer (Offer *offer)
{
  g_free (offer->slug);
  g_free (offer->body);
  g_free (offer->sha256);
  g_clear_pointer (&offer->json, td_json_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Offer, clear_offer)

static gboolean
fail (TdTaking *taking, const Offer *offer, TdBookError code, const char *text, GError **error)
{
  return td_bundle_fail (error, code, taking->bundle->path, "brings the %s “%s”, %s; nothing was taken in",
                         td_master_kind_to_text (offer->kind), offer->slug, text);
}

static gboolean
read_offer (TdTaking *taking, TdStatement *row, Offer *offer, GError **error)
{
  offer->slug = td_statement_dup_text (row, 0);
  offer->uuid = td_statement_get_uuid (row, 1);
  offer->rev = td_statement_get_integer (row, 2);
  offer->body = td_statement_dup_text (row, 3);
  offer->sha256 = g_compute_checksum_for_string (G_CHECKSUM_SHA256, offer->body, -1);
  offer->json = td_json_parse (offer->body, -1, NULL);
  g_autofree char *canonical = offer->json != NULL ? td_json_to_canonical (offer->json, NULL) : NULL;
  if (g_strcmp0 (canonical, offer->body) != 0 || !td_bundle_is_slug (offer->kind, offer->slug) || offer->rev < 1 || offer->rev > G_MAXINT32)
    return fail (taking, offer, TD_BOOK_ERROR_DAMAGED, "which cannot be read", error);
  return TRUE;
}

/* @rev_out: of that version of the row where @source (book or bundle) had it, 0 where it never had. */
static gboolean
find_version (TdBook *source, TdSql sql, const Offer *offer, const char *sha256, gint64 *rev_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (source, sql, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":kind", td_master_kind_to_text (offer->kind));
  td_statement_bind_text (find, ":slug", offer->slug);
  td_statement_bind_hash (find, ":sha256", sha256);
  TdStep step = td_statement_ask (find, error);
  *rev_out = step == TD_STEP_ROW ? MAX (td_statement_get_integer (find, 0), 1) : 0;
  return step != TD_STEP_FAILED;
}

gboolean
td_bundle_keep_conflict (TdTaking *taking, const TdBundleConflict *conflict, GError **error)
{
  g_autofree char *kept = g_compute_checksum_for_string (G_CHECKSUM_SHA256, conflict->kept, -1);
  g_autofree char *other = g_compute_checksum_for_string (G_CHECKSUM_SHA256, conflict->other, -1);
  g_autoptr (TdStatement) insert = td_statement_get (taking->book, TD_SQL_INSERT_CONFLICT, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_text (insert, ":kind", conflict->kind);
  td_statement_bind_text (insert, ":slug", conflict->slug);
  td_statement_bind_hash (insert, ":kept_sha256", kept);
  td_statement_bind_hash (insert, ":other_sha256", other);
  td_statement_bind_integer (insert, ":kept_rev", conflict->kept_rev);
  td_statement_bind_integer (insert, ":other_rev", conflict->other_rev);
  td_statement_bind_text (insert, ":kept", conflict->kept);
  td_statement_bind_text (insert, ":other", conflict->other);
  td_statement_bind_integer (insert, ":met_ms", conflict->met_ms);
  if (!td_statement_run (insert, error))
    return FALSE;
  TdBundleConflict *copy = g_memdup2 (conflict, sizeof *conflict);
  copy->kind = g_strdup (conflict->kind);
  copy->slug = g_strdup (conflict->slug);
  copy->kept = g_strdup (conflict->kept);
  copy->other = g_strdup (conflict->other);
  g_ptr_array_add (taking->sum->conflicts, copy);
  return TRUE;
}

typedef enum
{
  KEEP,    /* what the book has holds */
  TAKE,    /* what the bundle brings holds */
  SAME
} Decision;

/* A version that the other side has had already is its past; where each knows the other's, one of them went
 * back to what it was before, and the higher rev tells which is later. */
static gboolean
decide (TdTaking *taking, const Offer *offer, Decision *decision_out, gboolean *conflict_out, GError **error)
{
  gint64 theirs = 0, ours = 0;
  const TdMasterRow *own = offer->own;
  *conflict_out = FALSE;
  *decision_out = own == NULL || td_master_is_empty (own->body) ? TAKE
                  : td_master_is_empty (offer->body)            ? KEEP
                                                                : SAME;
  if (*decision_out != SAME || strcmp (own->sha256, offer->sha256) == 0)
    return TRUE;
  if (!find_version (taking->bundle, TD_SQL_BUNDLE_FIND_VERSION, offer, own->sha256, &theirs, error) ||
      !find_version (taking->book, TD_SQL_FIND_MASTER_VERSION, offer, offer->sha256, &ours, error))
    return FALSE;
  gboolean later = offer->rev > own->rev || (offer->rev == own->rev && strcmp (offer->sha256, own->sha256) > 0);
  *conflict_out = theirs == 0 && ours == 0;
  *decision_out = (theirs != 0) == (ours != 0) ? (later ? TAKE : KEEP) : theirs != 0 ? TAKE : KEEP;
  return TRUE;
}

static gboolean
keep_both (TdTaking *taking, const Offer *offer, Decision decision, GError **error)
{
  const TdMasterRow *own = offer->own;
  gboolean take = decision == TAKE;
  TdBundleConflict conflict = { .kind = (char *) td_master_kind_to_text (offer->kind),
                                .slug = offer->slug,
                                .kept_rev = take ? (guint) offer->rev : own->rev,
                                .other_rev = take ? own->rev : (guint) offer->rev,
                                .kept = take ? offer->body : own->body,
                                .other = take ? own->body : offer->body,
                                .met_ms = td_clock_get_now_ms (taking->book->clock) };
  return td_bundle_keep_conflict (taking, &conflict, error);
}

static const char *
get_text (const TdJson *object, const char *key)
{
  const TdJson *member = td_json_get_member (object, key);
  return member != NULL && td_json_get_kind (member) == TD_JSON_STRING ? td_json_get_string (member) : NULL;
}

/* Sites and accounts get their short names from what they are called, so that two of them may bear the same
 * in two books without being the same. */
static gboolean
check_identity (TdTaking *taking, const Offer *offer, GError **error)
{
  if ((offer->kind != TD_MASTER_SITE && offer->kind != TD_MASTER_ACCOUNT) || offer->own == NULL ||
      td_uuid_equal (&offer->uuid, &offer->own->uuid))
    return TRUE;
  g_autoptr (TdJson) own = td_json_parse (offer->own->body, -1, error);
  if (own == NULL)
    return FALSE;
  if (g_strcmp0 (get_text (own, "name"), get_text (offer->json, "name")) == 0 &&
      g_strcmp0 (get_text (own, "account"), get_text (offer->json, "account")) == 0)
    return TRUE;
  return fail (taking, offer, TD_BOOK_ERROR_CONFLICT,
               "but that name stands for another one in this book; let one book make new sites and accounts, and carry "
               "them to the others", error);
}

gboolean
td_bundle_take_sheet (TdTaking *taking, const char *sha256, GError **error)
{
  g_autoptr (TdStatement) have = td_statement_get (taking->book, TD_SQL_SELECT_SHEET, error);
  g_autoptr (TdStatement) find = have ? td_statement_get (taking->bundle, TD_SQL_BUNDLE_SELECT_SHEET, error) : NULL;
  g_autoptr (TdStatement) insert = find ? td_statement_get (taking->book, TD_SQL_INSERT_SHEET, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_hash (have, ":sha256", sha256);
  TdStep step = td_statement_ask (have, error);
  if (step != TD_STEP_DONE)
    return step == TD_STEP_ROW;
  td_statement_bind_hash (find, ":sha256", sha256);
  step = td_statement_ask (find, error);
  if (step == TD_STEP_FAILED)
    return FALSE;
  const char *text = step == TD_STEP_ROW ? td_statement_get_text (find, 0) : "";
  g_autofree char *hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  g_autoptr (TdSite) site = strcmp (hash, sha256) == 0 ? td_site_parse (text, -1, NULL) : NULL;
  if (site == NULL)
    return td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                           "lacks the site sheet %.12s, or has it otherwise than its hash says; nothing was taken in; ask for "
                           "the bundle once more", sha256);
  td_statement_bind_hash (insert, ":sha256", sha256);
  td_statement_bind_text (insert, ":text", text);
  return td_statement_run (insert, error);
}

static gboolean
insert_site_sheet (TdTaking *taking, gint64 site, gint64 rev, const char *sha256, gint64 since_ms, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (taking->book, TD_SQL_INSERT_SITE_SHEET, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_integer (insert, ":site", site);
  td_statement_bind_integer (insert, ":rev", rev);
  td_statement_bind_hash (insert, ":sheet", sha256);
  td_statement_bind_integer (insert, ":since_ms", since_ms);
  return td_statement_run (insert, error);
}

/* The site's history as the bundle has it. @after: revs up to it stay as the book has them; @rev: the one that
 * the site has now, whose sheet is @sha256. */
static gboolean
take_history (TdTaking *taking, const Offer *offer, gint64 site, gint64 after, gint64 rev, const char *sha256, GError **error)
{
  gint64 since_ms = td_clock_get_now_ms (taking->book->clock);
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_SHEETS_OF_SITE, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":site", offer->slug);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      gint64 at = td_statement_get_integer (row, 0);
      g_autofree char *sheet = td_statement_get_hash (row, 1);
      if (sheet == NULL || at < 1 || at > G_MAXINT32 || !td_bundle_is_moment (td_statement_get_integer (row, 2)))
        return fail (taking, offer, TD_BOOK_ERROR_DAMAGED, "whose history cannot be read", error);
      if (at == offer->rev)
        since_ms = td_statement_get_integer (row, 2);
      if (at <= after || at >= rev)
        continue;
      if (!td_bundle_take_sheet (taking, sheet, error) ||
          !insert_site_sheet (taking, site, at, sheet, td_statement_get_integer (row, 2), error))
        return FALSE;
    }
  return step == TD_STEP_DONE && (rev <= after || insert_site_sheet (taking, site, rev, sha256, since_ms, error));
}

/* The sheet is about the site that the row says. */
static gboolean
check_sheet (TdTaking *taking, const Offer *offer, const char *sha256, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (taking->book, TD_SQL_SELECT_SHEET, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_hash (find, ":sha256", sha256);
  if (td_statement_ask (find, error) != TD_STEP_ROW)
    return FALSE;
  g_autoptr (TdSite) site = td_site_parse (td_statement_get_text (find, 0), -1, error);
  if (site == NULL)
    return FALSE;
  return (g_strcmp0 (site->name, get_text (offer->json, "name")) == 0 &&
          g_strcmp0 (site->zone, get_text (offer->json, "zone")) == 0) ||
         fail (taking, offer, TD_BOOK_ERROR_DAMAGED, "whose sheet is about another one", error);
}

/* A site's rev counts its history of sheets, where nothing is ever written over. @rev: at least its own. */
static gboolean
take_site (TdTaking *taking, const Offer *offer, gint64 rev, GError **error)
{
  gint64 id = 0;
  const TdMasterRow *own = offer->own;
  const char *sha256 = get_text (offer->json, "sheet");
  if (sha256 == NULL || strlen (sha256) != 64 || strspn (sha256, "0123456789abcdef") != 64)
    return fail (taking, offer, TD_BOOK_ERROR_DAMAGED, "which has no sheet", error);
  if (own != NULL && rev == own->rev)
    rev = own->rev + 1;
  if (!td_bundle_take_sheet (taking, sha256, error) || !check_sheet (taking, offer, sha256, error) ||
      !td_master_write (taking->book, TD_MASTER_SITE, offer->slug, own, offer->json, rev, &offer->uuid, &id, error))
    return FALSE;
  return take_history (taking, offer, id, own != NULL ? own->rev : 0, rev, sha256, error) &&
         td_project_site (taking->book, id, error);
}

/* A name that is new here may still stand for a known site or account, under another short name. */
static gboolean
check_new (TdTaking *taking, const Offer *offer, GError **error)
{
  gboolean site = offer->kind == TD_MASTER_SITE;
  if ((!site && offer->kind != TD_MASTER_ACCOUNT) || offer->own != NULL)
    return TRUE;
  g_autoptr (TdStatement) account = td_statement_get (taking->book, TD_SQL_FIND_ACCOUNT, error);
  g_autoptr (TdStatement) find =
    account ? td_statement_get (taking->book, site ? TD_SQL_FIND_SITE_BY_NAME : TD_SQL_FIND_ACCOUNT_BY_NAME, error) : NULL;
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":name", get_text (offer->json, "name"));
  if (site)
    {
      td_statement_bind_text (account, ":slug", get_text (offer->json, "account"));
      TdStep step = td_statement_ask (account, error);
      if (step != TD_STEP_ROW)
        return step == TD_STEP_DONE; /* refused when it is written */
      td_statement_bind_integer (find, ":account", td_statement_get_integer (account, 0));
    }
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_ROW)
    return fail (taking, offer, TD_BOOK_ERROR_CONFLICT, "which this book has under another short name", error);
  return step == TD_STEP_DONE;
}

static gboolean
take_row (TdTaking *taking, const Offer *offer, GError **error)
{
  gint64 id = 0;
  gint64 rev = offer->own != NULL ? MAX (offer->rev, (gint64) offer->own->rev) : offer->rev;
  if (!check_new (taking, offer, error))
    return FALSE;
  if (offer->kind == TD_MASTER_SITE)
    return take_site (taking, offer, rev, error);
  return td_master_write (taking->book, offer->kind, offer->slug, offer->own, offer->json, rev, &offer->uuid, &id, error);
}

static gboolean
take_offer (TdTaking *taking, const Offer *offer, GError **error)
{
  Decision decision;
  gboolean conflict;
  if (!check_identity (taking, offer, error) || !decide (taking, offer, &decision, &conflict, error))
    return FALSE;
  if (conflict && !keep_both (taking, offer, decision, error))
    return FALSE;
  /* The same content under a higher rev: both sides count on from there. */
  gboolean raise = decision == SAME && offer->own != NULL && offer->rev > offer->own->rev;
  taking->sum->rows.same += decision != TAKE;
  if (decision != TAKE)
    return !raise || take_row (taking, offer, error);
  if (offer->own == NULL)
    taking->sum->rows.added++;
  else
    taking->sum->rows.changed++;
  return take_row (taking, offer, error);
}

static gboolean
take_kind (TdTaking *taking, TdMasterKind kind, GError **error)
{
  g_autoptr (GHashTable) rows = td_master_read (taking->book, kind, error);
  g_autoptr (TdStatement) row = rows ? td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_MASTERS_OF, error) : NULL;
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":kind", td_master_kind_to_text (kind));
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_auto (Offer) offer = { .kind = kind };
      if (!read_offer (taking, row, &offer, error))
        return FALSE;
      offer.own = g_hash_table_lookup (rows, offer.slug);
      if (!take_offer (taking, &offer, error))
        return FALSE;
    }
  return step == TD_STEP_DONE;
}

/* What the other side has had is from now on known here too. */
static gboolean
take_versions (TdTaking *taking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_VERSIONS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_autofree char *sha256 = td_statement_get_hash (row, 2);
      if (sha256 != NULL && !note_version (taking->book, td_statement_get_text (row, 0), td_statement_get_text (row, 1),
                                           sha256, td_statement_get_integer (row, 3), error))
        return FALSE;
    }
  return step == TD_STEP_DONE;
}

static gboolean
take_kinds (TdTaking *taking, GError **error)
{
  g_autofree char *before = NULL;
  g_autofree char *wrong = NULL;
  if (!td_bundle_read_masters (taking->book, &before, error))
    return FALSE;
  for (guint kind = 0; kind < TD_N_MASTERS; kind++)
    if (!take_kind (taking, kind, error))
      return FALSE;
  /* What was wrong here before is no reason to take nothing in. */
  if (before != NULL || !td_bundle_read_masters (taking->book, &wrong, error))
    return before != NULL;
  return wrong == NULL || td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                                          "brings master data that no company file may hold (%s); nothing was taken in; let "
                                          "the book that it came from be checked", wrong);
}

gboolean
td_bundle_take_masters (TdTaking *taking, GError **error)
{
  if (!td_bundle_note_versions (taking->book, error) || !take_kinds (taking, error))
    return FALSE;
  return take_versions (taking, error) && td_bundle_note_versions (taking->book, error);
}
