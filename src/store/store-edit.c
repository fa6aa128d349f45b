#include "store-edit.h"

#include "core-json-build.h"
#include "store-account.h"
#include "store-company.h"
#include "store-edit-private.h"
#include "store-master-read.h"
#include "store-private.h"
#include "store-site-import.h"
#include "store-slug.h"

typedef struct
{
  const char *key;
  TdSql find; /* by ":slug": id, rev, deleted */
} Kind;

static const Kind kinds[TD_N_MASTERS] = {
  [TD_MASTER_COMPANY] = { NULL, TD_SQL_SELECT_COMPANY },
  [TD_MASTER_ACCOUNT] = { NULL, TD_SQL_FIND_ACCOUNT },
  [TD_MASTER_SITE] = { NULL, TD_SQL_FIND_SITE },
  [TD_MASTER_TECHNICIAN] = { "technicians", TD_SQL_FIND_TECHNICIAN },
  [TD_MASTER_INSTRUMENT] = { "instruments", TD_SQL_FIND_INSTRUMENT },
  [TD_MASTER_PRODUCT] = { "products", TD_SQL_FIND_PRODUCT },
  [TD_MASTER_LOT] = { "lots", TD_SQL_FIND_LOT },
};

void
td_master_draft_clear (TdMasterDraft *draft)
{
  g_assert (draft != NULL);
  g_clear_pointer (&draft->masters, td_masters_unref);
  g_clear_pointer (&draft->account, td_account_free);
  g_clear_pointer (&draft->site, td_site_unref);
}

const char *
td_master_kind_get_key (TdMasterKind kind)
{
  g_return_val_if_fail (kind < TD_N_MASTERS, NULL);
  return kinds[kind].key;
}

/* The row in a company file of its own.  A value that is shared keeps the line and column that it was read
 * at, so that errors still name the place. */
static TdMasters *
read_masters (TdMasterKind kind, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) file = NULL;
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "format", TD_COMPANY_FORMAT);
  td_json_builder_key (builder, kind == TD_MASTER_COMPANY ? "company" : kinds[kind].key);
  if (kind != TD_MASTER_COMPANY)
    td_json_builder_begin_array (builder);
  td_json_builder_value (builder, (TdJson *) json);
  if (kind != TD_MASTER_COMPANY)
    td_json_builder_end (builder);
  td_json_builder_end (builder);
  file = td_json_builder_finish (builder);
  return td_masters_from_json (file, error);
}

gboolean
td_master_draft_read (TdMasterKind kind, const TdJson *json, TdMasterDraft *draft, GError **error)
{
  g_assert (kind < TD_N_MASTERS && json != NULL && draft != NULL);
  if (kind == TD_MASTER_ACCOUNT)
    draft->account = td_account_from_json (json, error);
  else if (kind == TD_MASTER_SITE)
    draft->site = td_site_from_json (json, error);
  else
    draft->masters = read_masters (kind, json, error);
  return (draft->account != NULL || draft->site != NULL || draft->masters != NULL) &&
         (draft->site == NULL || td_site_check (draft->site, error));
}

gboolean
td_master_check (TdMasterKind kind, const TdJson *json, GError **error)
{
  g_auto (TdMasterDraft) draft = { NULL };
  g_return_val_if_fail (kind < TD_N_MASTERS && json != NULL, FALSE);
  return td_master_draft_read (kind, json, &draft, error);
}

/* Holds the revision that the person looked at against the book's. */
static gboolean
check_rev (TdBook *book, TdMasterKind kind, const char *id, guint rev, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, kinds[kind].find, error);
  if (find == NULL)
    return FALSE;
  if (kind != TD_MASTER_COMPANY)
    td_statement_bind_text (find, ":slug", id);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                 "The book has no “%s” to be changed; nothing was kept; look at the list again", id);
  if (step != TD_STEP_ROW)
    return FALSE;
  if (td_statement_get_integer (find, 1) == (gint64) rev)
    return TRUE;
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT,
               "“%s” has been changed by somebody else in the meantime; nothing of yours was kept; look at what "
               "stands there now and make your change again", *id != '\0' ? id : "The company");
  return FALSE;
}

/* A row found by its name must be the one that is written. @account: of a site, 0 for an account. */
static gboolean
check_name (TdBook *book, gint64 account, const char *slug, const char *name, GError **error)
{
  const char *what = account != 0 ? "site" : "account";
  int slug_column = account != 0 ? 0 : 1;
  g_autoptr (TdStatement) find
    = td_statement_get (book, account != 0 ? TD_SQL_FIND_SITE_BY_NAME : TD_SQL_FIND_ACCOUNT_BY_NAME, error);
  if (find == NULL)
    return FALSE;
  if (account != 0)
    td_statement_bind_integer (find, ":account", account);
  td_statement_bind_text (find, ":name", name);
  TdStep step = td_statement_ask (find, error);
  if (step != TD_STEP_ROW)
    return step == TD_STEP_DONE;
  if (g_strcmp0 (td_statement_get_text (find, slug_column), slug) == 0)
    return TRUE;
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED,
               "There is another %s of the name “%s”; nothing was kept; give it a name of its own, or change the "
               "other one", what, name);
  return FALSE;
}

static TdSite *
with_account_name (const char *sheet, const char *name, GError **error)
{
  g_autoptr (TdSite) site = td_site_parse (sheet, -1, error);
  g_autoptr (TdJson) json = NULL;
  g_autoptr (TdJson) changed = NULL;
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  if (site == NULL)
    return NULL;
  json = td_site_to_json (site);
  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (json); i++)
    {
      td_json_builder_key (builder, td_json_get_key (json, i));
      if (g_strcmp0 (td_json_get_key (json, i), "account") != 0)
        {
          td_json_builder_value (builder, td_json_get_element (json, i));
          continue;
        }
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "name", name);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  changed = td_json_builder_finish (builder);
  return td_site_from_json (changed, error);
}

typedef struct
{
  char *slug;
  char *sheet;
  gboolean retired;
} SiteText;

static void
clear_site_text (gpointer data)
{
  SiteText *text = data;
  g_free (text->slug);
  g_free (text->sheet);
}

/* The sheets of an account's sites name it. */
static gboolean
rename_in_sheets (TdBook *book, gint64 account, const char *name, GError **error)
{
  g_autoptr (GArray) texts = g_array_new (FALSE, FALSE, sizeof (SiteText));
  g_array_set_clear_func (texts, clear_site_text);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_SITES_OF_ACCOUNT, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":account", account);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      SiteText text = { td_statement_dup_text (row, 0), td_statement_dup_text (row, 2),
                        td_statement_get_integer (row, 1) != 0 };
      g_array_append_val (texts, text);
    }
  if (step != TD_STEP_DONE)
    return FALSE;
  for (guint i = 0; i < texts->len; i++)
    {
      const SiteText *text = &g_array_index (texts, SiteText, i);
      TdSiteImport import = { 0 };
      g_autoptr (TdSite) site = with_account_name (text->sheet, name, error);
      gboolean ok = site != NULL && td_site_put (book, text->slug, site, text->retired, &import, error);
      td_site_import_clear (&import);
      if (!ok)
        return FALSE;
    }
  return TRUE;
}

static gboolean
put_account (TdBook *book, const char *id, const TdAccount *account, gboolean retired, char **id_out, GError **error)
{
  TdAccountText text = { account->name, account->address, account->contact,
                         account->email, account->phone, account->note };
  TdPut put;
  g_autofree char *slug = id != NULL ? g_strdup (id)
                                     : td_slug_find_free (book, TD_SQL_FIND_ACCOUNT, account->name, error);
  if (slug == NULL || !check_name (book, 0, slug, account->name, error) ||
      !td_account_put_as (book, slug, &text, retired, &put, error) ||
      (put.outcome == TD_IMPORT_CHANGED && !rename_in_sheets (book, put.id, account->name, error)))
    return FALSE;
  *id_out = g_steal_pointer (&slug);
  return TRUE;
}

static gboolean
check_no_open_visit (TdBook *book, const char *id, const char *name, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_OPEN_VISIT_OF_SITE, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":slug", id);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_ROW)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED,
                 "A visit at “%s” is still open; nothing was kept; close it first", name);
  return step == TD_STEP_DONE;
}

static gboolean
put_site (TdBook *book, const char *id, const TdSite *site, gboolean retired, char **id_out, GError **error)
{
  gint64 account = 0;
  TdSiteImport import = { 0 };
  g_autofree char *slug = id != NULL ? g_strdup (id) : td_slug_find_free (book, TD_SQL_FIND_SITE, site->name, error);
  if (slug == NULL || !td_account_ensure (book, site->account_name, &account, error) ||
      (retired && !check_no_open_visit (book, slug, site->name, error)) ||
      !check_name (book, account, slug, site->name, error))
    return FALSE;
  gboolean ok = td_site_put (book, slug, site, retired, &import, error);
  td_site_import_clear (&import);
  if (ok)
    *id_out = g_steal_pointer (&slug);
  return ok;
}

static void
set_text (char **at, const char *text)
{
  g_free (*at);
  *at = g_strdup (text);
}

/* The one row of @masters gets its id and its state. */
static gboolean
name_row (TdBook *book, TdMasterKind kind, const char *id, TdMasters *masters, gboolean retired, char **id_out,
          GError **error)
{
  TdProduct *product = masters->products;
  TdLot *lot = masters->lots;
  TdTechnician *technician = masters->technicians;
  TdInstrument *instrument = masters->instruments;
  const char *name = product != NULL      ? product->name
                     : lot != NULL        ? lot->code
                     : technician != NULL ? technician->name
                                          : instrument->name;
  char *slug = id != NULL ? g_strdup (id) : td_slug_find_free (book, kinds[kind].find, name, error);
  if (slug == NULL)
    return FALSE;
  set_text (product != NULL      ? &product->id
            : lot != NULL        ? &lot->id
            : technician != NULL ? &technician->id
                                 : &instrument->id,
            slug);
  *(product != NULL      ? &product->retired
    : lot != NULL        ? &lot->retired
    : technician != NULL ? &technician->retired
                         : &instrument->retired) = retired;
  *id_out = slug;
  return TRUE;
}

static gboolean
put_draft (TdBook *book, TdMasterKind kind, const char *id, const TdMasterDraft *draft, gboolean retired, char **id_out,
           GError **error)
{
  if (draft->account != NULL)
    return put_account (book, id, draft->account, retired, id_out, error);
  if (draft->site != NULL)
    return put_site (book, id, draft->site, retired, id_out, error);
  if (kind == TD_MASTER_COMPANY)
    *id_out = g_strdup ("");
  else if (!name_row (book, kind, id, draft->masters, retired, id_out, error))
    return FALSE;
  return td_company_put (book, draft->masters, NULL, error);
}

gboolean
td_book_put_master (TdBook *book, TdMasterKind kind, const char *id, guint rev, const TdJson *json, gboolean retired,
                    char **id_out, GError **error)
{
  g_auto (TdMasterDraft) draft = { NULL };
  g_autofree char *written = NULL;
  td_book_assert_owner (book);
  g_return_val_if_fail (kind < TD_N_MASTERS && json != NULL, FALSE);
  g_return_val_if_fail ((id == NULL) == (rev == 0), FALSE);
  if (!td_master_draft_read (kind, json, &draft, error) || !td_book_begin (book, error))
    return FALSE;
  if ((id != NULL && !check_rev (book, kind, id, rev, error)) ||
      !put_draft (book, kind, id, &draft, retired, &written, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  if (!td_book_commit (book, error))
    return FALSE;
  if (id_out != NULL)
    *id_out = g_steal_pointer (&written);
  return TRUE;
}
