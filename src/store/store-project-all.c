/* Making the projections of many visits again. */
#include "store-project.h"

#include "store-keys.h"
#include "store-private.h"

static gboolean
project_again (TdBook *book, const TdUuid *id, GError **error)
{
  g_autoptr (TdVisitState) state = NULL;
  if (!td_visit_state_load (book, id, &state, error))
    return FALSE;
  g_assert (state != NULL);
  return td_project_visit (book, state, error);
}

static gboolean
project_visits (TdBook *book, TdSql list, GError **error)
{
  g_autoptr (GArray) ids = td_keys_list_uuids (book, list, error);
  for (guint i = 0; ids != NULL && i < ids->len; i++)
    if (!project_again (book, &g_array_index (ids, TdUuid, i), error))
      return FALSE;
  return ids != NULL;
}

gboolean
td_project_open_visits (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  return project_visits (book, TD_SQL_LIST_OPEN_VISIT_IDS, error);
}

gboolean
td_project_other_visits (TdBook *book, const TdVisitState *state, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing && state != NULL);
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (TdUuid));
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_OTHER_OPEN_VISITS, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":site", state->site_key);
  td_statement_bind_integer (row, ":visit", state->key);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdUuid id = td_statement_get_uuid (row, 0);
      g_array_append_val (ids, id);
    }
  for (guint i = 0; step == TD_STEP_DONE && i < ids->len; i++)
    if (!project_again (book, &g_array_index (ids, TdUuid, i), error))
      return FALSE;
  return step == TD_STEP_DONE;
}

static gboolean
project_all (TdBook *book, GError **error)
{
  g_autoptr (GArray) sites = td_keys_list_integers (book, TD_SQL_LIST_SITE_KEYS, error);
  for (guint i = 0; sites != NULL && i < sites->len; i++)
    if (!td_project_site (book, g_array_index (sites, gint64, i), error))
      return FALSE;
  if (sites == NULL || !project_visits (book, TD_SQL_LIST_VISIT_IDS, error))
    return FALSE;
  g_autoptr (TdStatement) mark = td_statement_get (book, TD_SQL_UPDATE_PROJECTIONS, error);
  if (mark == NULL)
    return FALSE;
  td_statement_bind_integer (mark, ":projections", TD_PROJECTIONS_VERSION);
  return td_statement_run (mark, error);
}

gboolean
td_project_rebuild (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  if (!td_book_begin (book, error))
    return FALSE;
  if (!project_all (book, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}
