/* Price agreements out of a bundle. */
#include "store-bundle-private.h"

#include "store-private.h"

#include "core-agreement.h"
#include "core-json-build.h"

#include <string.h>

typedef struct
{
  TdUuid uuid;
  char *account;
  gint64 since, version, until, taken_ms;
  gboolean ends;
  char *sha256;
  char *text;
} Agreement;

static void
clear_agreement (Agreement *agreement)
{
  g_free (agreement->account);
  g_free (agreement->sha256);
  g_free (agreement->text);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Agreement, clear_agreement)

static gboolean
read_agreement (TdTaking *taking, TdStatement *row, Agreement *agreement, GError **error)
{
  agreement->uuid = td_statement_get_uuid (row, 0);
  agreement->account = td_statement_dup_text (row, 1);
  agreement->since = td_statement_get_integer (row, 2);
  agreement->version = td_statement_get_integer (row, 3);
  agreement->ends = !td_statement_is_null (row, 4);
  agreement->until = td_statement_get_integer (row, 4);
  agreement->sha256 = td_statement_get_hash (row, 5);
  agreement->text = td_statement_dup_text (row, 6);
  agreement->taken_ms = td_statement_get_integer (row, 7);
  g_autofree char *hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, agreement->text, -1);
  g_autoptr (TdJson) json = td_json_parse (agreement->text, -1, NULL);
  g_autoptr (TdAgreement) read = json != NULL ? td_agreement_from_json (json, NULL) : NULL;
  if (read == NULL || !td_bundle_is_moment (agreement->taken_ms) || g_strcmp0 (hash, agreement->sha256) != 0 || read->from != agreement->since ||
      (read->to != TD_DATE_NONE) != agreement->ends || (agreement->ends && read->to != agreement->until))
    return td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                           "brings an agreement of “%s” that cannot be read; nothing was taken in; ask for the bundle once "
                           "more", agreement->account);
  return TRUE;
}

/* @last_out: the newest version that the book has of that day; @clash_out: (transfer full): the text of the
 * version that bears the same number and is another. */
static gboolean
look (TdTaking *taking, const Agreement *agreement, gboolean *known_out, gint64 *last_out, char **clash_out, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (taking->book, TD_SQL_LIST_AGREEMENT_VERSIONS, error);
  *known_out = FALSE;
  *last_out = 0;
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":account", agreement->account);
  td_statement_bind_integer (row, ":since", agreement->since);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_autofree char *sha256 = td_statement_get_hash (row, 0);
      *last_out = td_statement_get_integer (row, 1);
      *known_out |= g_strcmp0 (sha256, agreement->sha256) == 0;
      if (*last_out == agreement->version && *clash_out == NULL)
        *clash_out = td_statement_dup_text (row, 2);
    }
  return step == TD_STEP_DONE;
}

static gboolean
insert (TdTaking *taking, const Agreement *agreement, gint64 version, GError **error)
{
  g_autoptr (TdStatement) account = td_statement_get (taking->book, TD_SQL_FIND_ACCOUNT, error);
  g_autoptr (TdStatement) row = account ? td_statement_get (taking->book, TD_SQL_INSERT_AGREEMENT, error) : NULL;
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (account, ":slug", agreement->account);
  TdStep step = td_statement_ask (account, error);
  if (step == TD_STEP_DONE)
    td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                    "brings an agreement of an account “%s” that neither it nor the book has; nothing was taken in",
                    agreement->account);
  if (step != TD_STEP_ROW)
    return FALSE;
  td_statement_bind_uuid (row, ":uuid", &agreement->uuid);
  td_statement_bind_integer (row, ":account", td_statement_get_integer (account, 0));
  td_statement_bind_integer (row, ":since", agreement->since);
  td_statement_bind_integer (row, ":version", version);
  if (agreement->ends)
    td_statement_bind_integer (row, ":until", agreement->until);
  else
    td_statement_bind_null (row, ":until");
  td_statement_bind_hash (row, ":sha256", agreement->sha256);
  td_statement_bind_text (row, ":text", agreement->text);
  td_statement_bind_integer (row, ":taken_ms", agreement->taken_ms);
  return td_statement_run (row, error);
}

/* Versions are frozen: of two that bear the same number the book's own stays, and the other is kept beside it
 * to be seen. */
static gboolean
take_agreement (TdTaking *taking, const Agreement *agreement, GError **error)
{
  gboolean known = FALSE;
  gint64 last = 0;
  g_autofree char *clash = NULL;
  if (!look (taking, agreement, &known, &last, &clash, error))
    return FALSE;
  taking->sum->rows.same += known;
  if (known)
    return TRUE;
  if (agreement->version > last)
    {
      taking->sum->rows.added++;
      return insert (taking, agreement, last + 1, error);
    }
  g_autofree char *day = td_date_to_text (agreement->since);
  g_autofree char *slug = g_strdup_printf ("%s from %s", agreement->account, day);
  TdBundleConflict conflict = { .kind = (char *) "agreement", .slug = slug,
                                .kept_rev = agreement->version, .other_rev = agreement->version,
                                .kept = clash != NULL ? clash : (char *) "", .other = agreement->text,
                                .met_ms = td_clock_get_now_ms (taking->book->clock) };
  return td_bundle_keep_conflict (taking, &conflict, error);
}

gboolean
td_bundle_take_agreements (TdTaking *taking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_AGREEMENTS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_auto (Agreement) agreement = { 0 };
      if (!read_agreement (taking, row, &agreement, error) || !take_agreement (taking, &agreement, error))
        return FALSE;
    }
  return step == TD_STEP_DONE;
}
