/* Site sheets into the book. */
#include "store-site-import.h"

#include "store-account.h"
#include "store-master.h"
#include "store-private.h"
#include "store-project.h"
#include "store-slug.h"

#include "core-error.h"
#include "core-json-build.h"

static const char *const site_keys[] = { ":slug", NULL };
static const char *const site_names[] = { ":account", ":name", ":address", ":zone", ":sheet", NULL };
static const TdTable site_table = { TD_SQL_FIND_SITE, TD_SQL_INSERT_SITE, TD_SQL_UPDATE_SITE, TRUE, site_keys, site_names };

void
td_site_import_clear (TdSiteImport *import)
{
  g_return_if_fail (import != NULL);
  g_clear_pointer (&import->site_id, g_free);
}

gboolean
td_site_check (const TdSite *site, GError **error)
{
  g_assert (site != NULL);
  g_autoptr (GError) why = NULL;
  if (site->name == NULL || site->account_name == NULL)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   "The sheet names no %s; nothing was kept; add \"%s\": {\"name\": ...} to it",
                   site->name == NULL ? "site" : "account", site->name == NULL ? "site" : "account");
      return FALSE;
    }
  g_autoptr (TdZone) zone = td_zone_load (site->zone, &why);
  if (zone == NULL)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "site.zone: %s", why->message);
      return FALSE;
    }
  return TRUE;
}

/* The slug of the account's site of that name, a new one where there is none. */
static char *
find_slug (TdBook *book, gint64 account, const char *name, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_SITE_BY_NAME, error);
  if (find == NULL)
    return NULL;
  td_statement_bind_integer (find, ":account", account);
  td_statement_bind_text (find, ":name", name);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_FAILED)
    return NULL;
  return step == TD_STEP_ROW ? td_statement_dup_text (find, 0)
                             : td_slug_find_free (book, TD_SQL_FIND_SITE, name, error);
}

/* Keeps the text once; sheets are never changed, so one that is there is the same. */
static gboolean
keep_sheet (TdBook *book, const char *sha256, const char *text, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_SELECT_SHEET, error);
  g_autoptr (TdStatement) insert = find ? td_statement_get (book, TD_SQL_INSERT_SHEET, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_hash (find, ":sha256", sha256);
  TdStep step = td_statement_ask (find, error);
  if (step != TD_STEP_DONE)
    return step == TD_STEP_ROW;
  td_statement_bind_hash (insert, ":sha256", sha256);
  td_statement_bind_text (insert, ":text", text);
  return td_statement_run (insert, error);
}

static gboolean
note_version (TdBook *book, const TdPut *put, const char *sha256, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_SITE_SHEET, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_integer (insert, ":site", put->id);
  td_statement_bind_integer (insert, ":rev", put->rev);
  td_statement_bind_hash (insert, ":sheet", sha256);
  td_statement_bind_integer (insert, ":since_ms", td_clock_get_now_ms (book->clock));
  return td_statement_run (insert, error);
}

gboolean
td_site_put (TdBook *book, const char *slug, const TdSite *site, gboolean retired, TdSiteImport *import, GError **error)
{
  td_book_assert_owner (book);
  g_assert (site != NULL && import != NULL);
  gint64 account = 0;
  TdPut put;
  g_autoptr (TdJson) json = td_site_to_json (site);
  g_autofree char *text = td_json_to_text (json, FALSE);
  g_autofree char *sha256 = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  g_autoptr (TdRow) keys = td_row_new ();
  g_autoptr (TdRow) values = td_row_new ();
  if (!td_account_ensure (book, site->account_name, &account, error))
    return FALSE;
  import->site_id = slug != NULL ? g_strdup (slug) : find_slug (book, account, site->name, error);
  if (import->site_id == NULL || !keep_sheet (book, sha256, text, error))
    return FALSE;
  td_row_add_text (keys, import->site_id);
  td_row_add_integer (values, account);
  td_row_add_text (values, site->name);
  td_row_add_text (values, site->address);
  td_row_add_text (values, site->zone);
  td_row_add_hash (values, sha256);
  if (!td_put_row (book, &site_table, keys, values, retired, &put, error))
    return FALSE;
  import->outcome = put.outcome;
  import->rev = put.rev;
  return put.outcome == TD_IMPORT_SAME ||
         (note_version (book, &put, sha256, error) && td_project_site (book, put.id, error));
}

gboolean
td_book_import_site (TdBook *book, const TdSite *site, TdSiteImport *import_out, GError **error)
{
  TdSiteImport import = { 0 };
  td_book_assert_owner (book);
  g_return_val_if_fail (site != NULL, FALSE);
  if (!td_site_check (site, error) || !td_book_begin (book, error))
    return FALSE;
  if (!td_site_put (book, NULL, site, FALSE, &import, error))
    {
      td_book_rollback (book);
      td_site_import_clear (&import);
      return FALSE;
    }
  gboolean ok = td_book_commit (book, error);
  if (ok && import_out != NULL)
    *import_out = import;
  else
    td_site_import_clear (&import);
  return ok;
}
