/* Checks of what the book holds apart from visits: SQLite's own, and content against its hash. */
#include "store-check-private.h"

#include "store-keys.h"
#include "store-project.h"

#include <string.h>

gboolean
td_check_sqlite (TdBook *book, TdChecking *checking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_PRAGMA_INTEGRITY_CHECK, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      const char *text = td_statement_get_text (row, 0);
      checking->count++;
      if (g_strcmp0 (text, "ok") != 0)
        td_checking_fail (checking, "%s", text);
    }
  return step == TD_STEP_DONE;
}

gboolean
td_check_references (TdBook *book, TdChecking *checking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_PRAGMA_FOREIGN_KEY_CHECK, error);
  if (row == NULL)
    return FALSE;
  TdStep step = td_statement_ask (row, error);
  checking->count = 1;
  if (step == TD_STEP_ROW)
    td_checking_fail (checking, "a row of %s refers to a row of %s that is not there",
                      td_statement_get_text (row, 0), td_statement_get_text (row, 2));
  return step != TD_STEP_FAILED;
}

gboolean
td_check_sheets (TdBook *book, TdChecking *checking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_SHEETS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      const char *text = td_statement_get_text (row, 1);
      g_autofree char *stored = td_statement_get_hash (row, 0);
      g_autofree char *hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
      g_autoptr (GError) why = NULL;
      g_autoptr (TdSite) site = td_site_parse (text, -1, &why);
      checking->count++;
      if (g_strcmp0 (stored, hash) != 0)
        td_checking_fail (checking, "sheet %.12s is not as it was written", stored != NULL ? stored : "?");
      else if (site == NULL)
        td_checking_fail (checking, "sheet %.12s cannot be read: %s", stored, why->message);
    }
  return step == TD_STEP_DONE;
}

gboolean
td_check_attachments (TdBook *book, TdChecking *checking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_ATTACHMENTS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      gsize n_bytes = 0;
      const void *bytes = td_statement_get_blob (row, 1, &n_bytes);
      g_autofree char *stored = td_statement_get_hash (row, 0);
      g_autofree char *hash = g_compute_checksum_for_data (G_CHECKSUM_SHA256, bytes, n_bytes);
      checking->count++;
      if (g_strcmp0 (stored, hash) != 0)
        td_checking_fail (checking, "attachment %.12s is not as it was written", stored != NULL ? stored : "?");
    }
  return step == TD_STEP_DONE;
}

/* A site stands by the newest sheet of its history, and its faucets by that sheet. */
gboolean
td_check_sites (TdBook *book, TdChecking *checking, GError **error)
{
  g_autoptr (GArray) keys = td_keys_list_integers (book, TD_SQL_LIST_SITE_KEYS, error);
  g_autoptr (TdStatement) history = keys ? td_statement_get (book, TD_SQL_CHECK_SITE_HISTORY, error) : NULL;
  if (history == NULL)
    return FALSE;
  checking->count = keys->len;
  for (guint i = 0; i < keys->len; i++)
    {
      gint64 key = g_array_index (keys, gint64, i);
      g_autofree char *difference = NULL;
      td_statement_rewind (history);
      td_statement_bind_integer (history, ":site", key);
      TdStep step = td_statement_ask (history, error);
      if (step == TD_STEP_FAILED || !td_project_compare_site (book, key, &difference, error))
        return FALSE;
      if (step == TD_STEP_DONE)
        td_checking_fail (checking, "site %" G_GINT64_FORMAT " does not stand by the newest sheet of its history", key);
      if (difference != NULL)
        td_checking_fail (checking, "site %" G_GINT64_FORMAT ", %s", key, difference);
    }
  return TRUE;
}
