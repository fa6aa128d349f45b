#include "model-history.h"

#include <string.h>

static void
clear_point (gpointer data)
{
  g_free (((TdHistoryPoint *) data)->line);
}

static void
free_visit (gpointer data)
{
  TdHistoryVisit *visit = data;

  g_free (visit->id);
  g_free (visit->number);
  g_array_unref (visit->points);
  g_free (visit);
}

static void
free_follow_up (gpointer data)
{
  TdFollowUp *follow_up = data;

  g_free (follow_up->visit);
  g_free (follow_up->place);
  g_free (follow_up->text);
  g_free (follow_up);
}

TdHistory *
td_history_new (void)
{
  TdHistory *history = g_new0 (TdHistory, 1);

  history->visits = g_ptr_array_new_with_free_func (free_visit);
  history->follow_ups = g_ptr_array_new_with_free_func (free_follow_up);
  return history;
}

void
td_history_free (gpointer data)
{
  TdHistory *history = data;

  g_return_if_fail (history != NULL);
  g_ptr_array_unref (history->visits);
  g_ptr_array_unref (history->follow_ups);
  g_free (history);
}

TdHistoryVisit *
td_history_add_visit (TdHistory *history, const char *id, const char *number, TdDate date)
{
  TdHistoryVisit *visit = g_new0 (TdHistoryVisit, 1);

  g_assert (history != NULL && id != NULL);
  visit->id = g_strdup (id);
  visit->number = g_strdup (number);
  visit->date = date;
  visit->points = g_array_new (FALSE, FALSE, sizeof (TdHistoryPoint));
  g_array_set_clear_func (visit->points, clear_point);
  g_ptr_array_add (history->visits, visit);
  return visit;
}

TdHistoryPoint *
td_history_visit_add (TdHistoryVisit *visit, const char *line)
{
  TdHistoryPoint point = { g_strdup (line),  TD_HISTORY_NONE, TD_HISTORY_NONE, TD_HISTORY_NONE,
                           TD_HISTORY_NONE, TD_HISTORY_NONE, TD_HISTORY_NONE };

  g_assert (visit != NULL && line != NULL);
  g_array_append_val (visit->points, point);
  return &g_array_index (visit->points, TdHistoryPoint, visit->points->len - 1);
}

void
td_history_add_follow_up (TdHistory *history, const char *visit, TdDate date, const char *place, const char *text,
                          gboolean quote_wanted)
{
  TdFollowUp *follow_up = g_new0 (TdFollowUp, 1);

  g_assert (history != NULL && text != NULL);
  follow_up->visit = g_strdup (visit);
  follow_up->date = date;
  follow_up->place = g_strdup (place);
  follow_up->text = g_strdup (text);
  follow_up->quote_wanted = quote_wanted;
  g_ptr_array_insert (history->follow_ups, 0, follow_up);
}

const TdHistoryPoint *
td_history_visit_find (const TdHistoryVisit *visit, const char *line)
{
  g_return_val_if_fail (visit != NULL && line != NULL, NULL);
  for (guint i = 0; i < visit->points->len; i++)
    {
      const TdHistoryPoint *point = &g_array_index (visit->points, TdHistoryPoint, i);

      if (strcmp (point->line, line) == 0)
        return point;
    }
  return NULL;
}
