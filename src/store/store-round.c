#include "store-round.h"

#include "store-cache.h"
#include "store-private.h"
#include "store-query.h"
#include "store-setting.h"

#include "core-plan-make.h"

#include <math.h>
#include <string.h>

/* Hours of the technician, by the settings where none are given. */
static gboolean
read_technician (TdBook *book, TdDaySheet *day, const TdSettings *settings, GError **error)
{
  g_autoptr (TdStatement) name = td_statement_get (book, TD_SQL_SELECT_TECHNICIAN_NAME, error);
  g_autoptr (TdStatement) hours = name ? td_statement_get (book, TD_SQL_FIND_ROUND_TECHNICIAN, error) : NULL;
  if (hours == NULL)
    return FALSE;
  td_statement_bind_text (name, ":slug", day->technician);
  TdStep step = td_statement_ask (name, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book knows no technician “%s”; look at the name",
                 day->technician);
  if (step != TD_STEP_ROW)
    return FALSE;
  day->name = td_statement_dup_text (name, 0);
  td_statement_bind_text (hours, ":technician", day->technician);
  step = td_statement_ask (hours, error);
  gboolean given = step == TD_STEP_ROW && td_statement_get_integer (hours, 2) == 0;
  day->area = given ? td_statement_dup_text_or_null (hours, 3) : NULL;
  day->from_min = given ? td_statement_get_integer (hours, 4) : td_settings_get (settings, TD_SETTING_DAY_FROM);
  day->to_min = given ? td_statement_get_integer (hours, 5) : td_settings_get (settings, TD_SETTING_DAY_TO);
  return step != TD_STEP_FAILED;
}

/* What a row of the round has on this day: FALSE for a site of somebody else. */
static gboolean
read_site (TdBook *book, const char *technician, TdDayVisit *stop, gboolean *mine_out, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_SITE_ROUND, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_text (row, ":site", stop->site_id);
  if (td_statement_ask (row, error) != TD_STEP_ROW)
    return FALSE;
  stop->assigned = !td_statement_is_null (row, 3);
  *mine_out = !stop->assigned || strcmp (td_statement_get_text (row, 3), technician) == 0;
  stop->address = td_statement_dup_text_or_null (row, 1);
  stop->area = td_statement_dup_text_or_null (row, 2);
  stop->stop.area = stop->area;
  stop->stop.from_min = td_statement_is_null (row, 4) ? -1 : td_statement_get_integer (row, 4);
  stop->stop.to_min = td_statement_is_null (row, 5) ? -1 : td_statement_get_integer (row, 5);
  stop->lines = td_statement_get_integer (row, 6);
  return TRUE;
}

/* Minutes by the plan of the site, for one technician; by the setting where it cannot be planned. */
static void
plan_minutes (TdBook *book, TdDayVisit *stop, const TdSettings *settings)
{
  g_autoptr (TdSite) site = td_book_get_site (book, stop->site_id, NULL);
  g_autoptr (TdPlan) plan = site != NULL ? td_plan_make (site, NULL, NULL) : NULL;
  stop->planned = plan != NULL && !isnan (plan->minutes) && plan->minutes >= 1;
  stop->stop.minutes = stop->planned ? (int) ceil (plan->minutes) : (int) td_settings_get (settings, TD_SETTING_VISIT_MINUTES);
}

/* Adds to the visit of the row's site, which is made where the day has none yet. */
static gboolean
add_task (TdBook *book, TdDaySheet *day, GHashTable *stops, const TdDueRow *row, GError **error)
{
  TdDayVisit *stop = g_hash_table_lookup (stops, row->site_id);
  if (stop == NULL)
    {
      gboolean mine = FALSE;
      stop = td_day_visit_new ();
      stop->site_id = g_strdup (row->site_id);
      stop->site = g_strdup (row->site);
      stop->account = g_strdup (row->account);
      stop->reason = g_strdup (row->reason);
      stop->missed = row->missed;
      stop->stop.date = row->planned;
      gboolean read = read_site (book, day->technician, stop, &mine, error);
      if (!read || !mine)
        {
          td_day_visit_free (stop);
          return read;
        }
      g_ptr_array_add (day->visits, stop);
      g_hash_table_insert (stops, stop->site_id, stop);
    }
  TdDayTask task = { td_task_to_text (row->task), row->due, row->days };
  stop->stop.date = MIN (stop->stop.date, row->planned);
  g_array_append_val (stop->tasks, task);
  return TRUE;
}

static gboolean
read_stops (TdBook *book, TdDaySheet *day, gint64 now_ms, const TdSettings *settings, GError **error)
{
  g_autoptr (GHashTable) stops = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GPtrArray) rows = td_book_list_due (book, now_ms, error);
  if (rows == NULL)
    return FALSE;
  TdDate last = day->day + (TdDate) td_settings_get (settings, TD_SETTING_ROUND_AHEAD);
  for (guint i = 0; i < rows->len; i++)
    {
      const TdDueRow *row = g_ptr_array_index (rows, i);
      /* A moved visit waits for its day. */
      gboolean moved = row->planned != row->due;
      if (row->planned <= (moved ? day->day : last) && !add_task (book, day, stops, row, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
read_travel (TdBook *book, GArray *travel, GPtrArray *texts, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_ROUND_TRAVEL, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdTravel road = { td_statement_dup_text (row, 0), td_statement_dup_text (row, 1), td_statement_get_integer (row, 2) };
      g_ptr_array_add (texts, (char *) road.a);
      g_ptr_array_add (texts, (char *) road.b);
      g_array_append_val (travel, road);
    }
  return step == TD_STEP_DONE;
}

static gboolean
order_stops (TdBook *book, TdDaySheet *day, const TdSettings *settings, GError **error)
{
  guint n = day->visits->len;
  g_autoptr (GArray) travel = g_array_new (FALSE, FALSE, sizeof (TdTravel));
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);
  g_autofree TdDayStop *stops = g_new0 (TdDayStop, MAX (n, 1));
  g_autofree guint *order = g_new0 (guint, MAX (n, 1));
  if (!read_travel (book, travel, texts, error))
    return FALSE;
  for (guint i = 0; i < n; i++)
    {
      TdDayVisit *stop = g_ptr_array_index (day->visits, i);
      plan_minutes (book, stop, settings);
      stops[i] = stop->stop;
    }
  const TdDayFrame frame = { (const TdTravel *) travel->data, travel->len,
                             td_settings_get (settings, TD_SETTING_TRAVEL_BETWEEN),
                             td_settings_get (settings, TD_SETTING_TRAVEL_WITHIN), day->area, day->from_min, day->to_min };
  day->n_fit = td_day_plan (&frame, stops, n, order);
  g_autofree gpointer *visits = g_memdup2 (day->visits->pdata, MAX (n, 1) * sizeof (gpointer));
  for (guint i = 0; i < n; i++)
    {
      TdDayVisit *stop = visits[order[i]];
      stop->stop = stops[order[i]];
      day->visits->pdata[i] = stop;
    }
  return TRUE;
}

TdDaySheet *
td_book_make_day (TdBook *book, const char *technician, TdDate day, gint64 now_ms, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (technician != NULL && day != TD_DATE_NONE, NULL);
  g_autoptr (TdDaySheet) round = td_day_sheet_new ();
  round->technician = g_strdup (technician);
  round->day = day;
  
  g_autoptr (TdSettings) settings = td_book_get_settings (book, NULL, error);
  if (settings == NULL)
    return NULL;
  g_autoptr (TdMasters) masters = td_book_get_masters (book, error);
  if (masters == NULL)
    return NULL;
  round->company = g_strdup (masters->company);
  if (read_technician (book, round, settings, error) && read_stops (book, round, now_ms, settings, error) &&
      order_stops (book, round, settings, error))
    return g_steal_pointer (&round);
  return NULL;
}
