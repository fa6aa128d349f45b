#include "store-history.h"

#include "store-due.h"
#include "store-private.h"

/* @date_out: TD_DATE_NONE where it is not on record. */
static gboolean
find_last (TdStatement *done, const char *line, const char *task, TdDate *date_out, GError **error)
{
  td_statement_rewind (done);
  td_statement_bind_text (done, ":line", line);
  td_statement_bind_text (done, ":task", task);
  TdStep step = td_statement_ask (done, error);
  *date_out = step == TD_STEP_ROW ? (TdDate) td_statement_get_integer (done, 0) : TD_DATE_NONE;
  return step != TD_STEP_FAILED;
}

TdLineHistory *
td_history_read (TdBook *book, gint64 site_key, const TdSite *site, gint64 visit_key, gint64 amends_key, GError **error)
{
  td_book_assert_owner (book);
  g_assert (site != NULL);
  g_autofree TdLineHistory *history = g_new0 (TdLineHistory, MAX (site->n_outlets, 1));
  g_autoptr (TdStatement) done = td_statement_get (book, TD_SQL_SELECT_LAST_TASK, error);
  if (done == NULL)
    return NULL;
  td_statement_bind_integer (done, ":site", site_key);
  td_statement_bind_integer (done, ":visit", visit_key);
  td_statement_bind_integer (done, ":amends", amends_key);
  for (guint i = 0; i < site->n_outlets; i++)
    {
      const char *line = site->outlets[i].id;
      if (!find_last (done, line, td_task_to_text (TD_TASK_ACID), &history[i].acid, error) ||
          !find_last (done, line, TD_HISTORY_FOB, &history[i].fob_stripped, error) ||
          !find_last (done, line, TD_HISTORY_COUPLER, &history[i].coupler_stripped, error))
        return NULL;
    }
  return g_steal_pointer (&history);
}
