#include "store-due.h"

#include "store-cache.h"
#include "store-private.h"
#include "store-setting.h"

#include "core-interval.h"
#include "core-site.h"

static const struct
{
  const char *text;
  TdSettingId setting;
} tasks[] = {
  [TD_TASK_CAUSTIC] = { "caustic", TD_SETTING_CAUSTIC_INTERVAL },
  [TD_TASK_ACID] = { "acid", TD_SETTING_ACID_INTERVAL },
  [TD_TASK_FAUCETS] = { "faucets", TD_SETTING_FAUCET_INTERVAL },
  [TD_TASK_FOB_COUPLER] = { "fob-coupler", TD_SETTING_FOB_INTERVAL },
  [TD_TASK_HOSE] = { "hose", TD_SETTING_HOSE_INTERVAL },
};
G_STATIC_ASSERT (G_N_ELEMENTS (tasks) == TD_N_TASKS);

const char *
td_task_to_text (TdTask task)
{
  g_return_val_if_fail ((guint) task < TD_N_TASKS, NULL);
  return tasks[task].text;
}

void
td_due_row_free (TdDueRow *row)
{
  g_return_if_fail (row != NULL);
  g_free (row->account);
  g_free (row->site);
  g_free (row->site_id);
  g_free (row->reason);
  g_free (row);
}

/* A faucet that counts for its site. */
typedef struct
{
  char *line;
  TdDate since; /* when it came into the book */
} Faucet;

static void
clear_faucet (gpointer data)
{
  g_free (((Faucet *) data)->line);
}

typedef struct
{
  gint64 key;
  TdDate today; /* in its zone */
  GArray *faucets;
  TdSettings *settings;
  TdDate moved_from, moved_to; /* by the last note that moved a visit; TD_DATE_NONE */
  guint missed;
  char *reason;
} Place;

static void
clear_place (Place *place)
{
  g_clear_pointer (&place->faucets, g_array_unref);
  g_clear_pointer (&place->settings, td_settings_unref);
  g_clear_pointer (&place->reason, g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Place, clear_place)

/* Faucets of the site; without those that its newest visit left out, unless that leaves none. */
static gboolean
read_faucets (TdBook *book, Place *place, GError **error)
{
  g_autoptr (GArray) left_out = g_array_new (FALSE, FALSE, sizeof (Faucet));
  g_array_set_clear_func (left_out, clear_faucet);
  place->faucets = g_array_new (FALSE, FALSE, sizeof (Faucet));
  g_array_set_clear_func (place->faucets, clear_faucet);
  g_autoptr (TdStatement) list = td_statement_get (book, TD_SQL_LIST_FAUCETS, error);
  if (list == NULL)
    return FALSE;
  td_statement_bind_integer (list, ":site", place->key);
  TdStep step;
  while ((step = td_statement_step (list, error)) == TD_STEP_ROW)
    {
      Faucet faucet = { td_statement_dup_text (list, 0), td_statement_get_integer (list, 1) };
      if (td_statement_get_integer (list, 2) != 0)
        g_array_append_val (left_out, faucet);
      else
        g_array_append_val (place->faucets, faucet);
    }
  if (place->faucets->len == 0)
    {
      g_array_unref (place->faucets);
      place->faucets = g_steal_pointer (&left_out);
    }
  return step == TD_STEP_DONE;
}

/* What was missed or moved since somebody was there; the newest note first. */
static gboolean
read_notes (TdBook *book, Place *place, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_HOLDING_NOTES, error);
  place->moved_from = place->moved_to = TD_DATE_NONE;
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":site", place->key);
  TdStep step;
  gboolean first = TRUE;
  for (; (step = td_statement_step (row, error)) == TD_STEP_ROW; first = FALSE)
    {
      gboolean moved = !td_statement_is_null (row, 1);
      if (first)
        place->reason = td_statement_dup_text (row, 3);
      if (first && moved)
        {
          place->moved_from = td_statement_get_integer (row, 0);
          place->moved_to = td_statement_get_integer (row, 1);
        }
      place->missed += !moved;
    }
  return step == TD_STEP_DONE;
}

/* @last_out, @due_out: of the faucet that waits longest. */
static gboolean
find_due (TdBook *book, const Place *place, TdTask task, TdDate *last_out, TdDate *due_out, GError **error)
{
  g_autoptr (TdStatement) done = td_statement_get (book, TD_SQL_SELECT_LAST_TASK, error);
  if (done == NULL)
    return FALSE;
  TdInterval interval = td_interval_from_setting (place->settings, tasks[task].setting);
  *last_out = TD_DATE_NONE;
  *due_out = TD_DATE_NONE;
  for (guint i = 0; i < place->faucets->len; i++)
    {
      const Faucet *faucet = &g_array_index (place->faucets, Faucet, i);
      td_statement_rewind (done);
      td_statement_bind_integer (done, ":site", place->key);
      td_statement_bind_text (done, ":line", faucet->line);
      td_statement_bind_text (done, ":task", tasks[task].text);
      td_statement_bind_integer (done, ":visit", 0);
      td_statement_bind_integer (done, ":amends", 0);
      TdStep step = td_statement_ask (done, error);
      if (step == TD_STEP_FAILED)
        return FALSE;
      TdDate last = step == TD_STEP_ROW ? (TdDate) td_statement_get_integer (done, 0) : TD_DATE_NONE;
      TdDate due = last != TD_DATE_NONE || task == TD_TASK_HOSE
                     ? td_interval_get_due (interval, last != TD_DATE_NONE ? last : faucet->since)
                     : faucet->since;
      if (last != TD_DATE_NONE && (*last_out == TD_DATE_NONE || last < *last_out))
        *last_out = last;
      if (*due_out == TD_DATE_NONE || due < *due_out)
        *due_out = due;
    }
  return TRUE;
}

/* Adds a row for each task of the site that @list stands on. */
static gboolean
add_site (TdBook *book, TdStatement *list, gint64 now_ms, GPtrArray *rows, GError **error)
{
  g_auto (Place) place = { .key = td_statement_get_integer (list, 0) };
  g_autoptr (TdSite) site = td_site_parse (td_statement_get_text (list, 4), -1, error);
  if (site == NULL)
    return FALSE;
  TdZone *zone = td_cache_get_zone (book, site->zone, error);
  if (zone == NULL || !read_faucets (book, &place, error) || !read_notes (book, &place, error))
    return FALSE;
  place.settings = td_settings_read (book, place.key, site, error);
  if (place.settings == NULL)
    return FALSE;
  place.today = td_zone_get_date (zone, now_ms);
  for (guint task = 0; task < TD_N_TASKS && place.faucets->len > 0; task++)
    {
      TdDate last, due;
      if (!find_due (book, &place, task, &last, &due, error))
        return FALSE;
      TdDueRow *row = g_new0 (TdDueRow, 1);
      row->site_id = td_statement_dup_text (list, 1);
      row->site = td_statement_dup_text (list, 2);
      row->account = td_statement_dup_text (list, 3);
      row->task = task;
      row->last = last;
      row->due = due;
      row->days = due - place.today;
      row->minutes = -1;
      /* What was due by then goes along with the visit that was moved. */
      row->planned = place.moved_to != TD_DATE_NONE && due <= MAX (place.moved_from, place.moved_to) ? place.moved_to : due;
      row->missed = place.missed;
      row->reason = g_strdup (place.reason);
      g_ptr_array_add (rows, row);
    }
  return TRUE;
}

static int
compare_rows (gconstpointer a, gconstpointer b)
{
  const TdDueRow *first = *(const TdDueRow *const *) a;
  const TdDueRow *second = *(const TdDueRow *const *) b;
  if (first->due != second->due)
    return first->due < second->due ? -1 : 1;
  int order = g_strcmp0 (first->account, second->account);
  if (order == 0)
    order = g_strcmp0 (first->site, second->site);
  return order != 0 ? order : (int) first->task - (int) second->task;
}

static GPtrArray *
list_due (TdBook *book, gint64 now_ms, GError **error)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_due_row_free);
  g_autoptr (TdStatement) list = td_statement_get (book, TD_SQL_LIST_SITES_DUE, error);
  if (list == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (list, error)) == TD_STEP_ROW)
    if (!add_site (book, list, now_ms, rows, error))
      return NULL;
  if (step == TD_STEP_FAILED)
    return NULL;
  g_ptr_array_sort (rows, compare_rows);
  return g_steal_pointer (&rows);
}

GPtrArray *
td_book_list_due (TdBook *book, gint64 now_ms, GError **error)
{
  td_book_assert_owner (book);
  if (!td_book_begin_read (book, error))
    return NULL;
  GPtrArray *rows = list_due (book, now_ms, error);
  td_book_end_read (book);
  return rows;
}
