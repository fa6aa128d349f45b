#include "desk-round-job.h"

#include "store-due.h"
#include "store-query.h"

struct _TdRoundJob
{
  TdRowKeys *keys;
  gint64 now_ms;
};

TdRoundJob *
td_round_job_new (TdRowKeys *keys, gint64 now_ms)
{
  TdRoundJob *job = g_new0 (TdRoundJob, 1);

  job->keys = td_row_keys_ref (keys);
  job->now_ms = now_ms;
  return job;
}

void
td_round_job_free (gpointer data)
{
  TdRoundJob *job = data;

  td_row_keys_unref (job->keys);
  g_free (job);
}

/* The most pressing task of every site: rows come by due date, so the first of a site is it. */
static GHashTable *
index_due (GPtrArray *due)
{
  GHashTable *by_site = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < due->len; i++)
    {
      TdDueRow *row = g_ptr_array_index (due, i);

      if (!g_hash_table_contains (by_site, row->site_id))
        g_hash_table_insert (by_site, row->site_id, row);
    }
  return by_site;
}

static GHashTable *
index_open (GPtrArray *visits)
{
  GHashTable *by_site = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < visits->len; i++)
    {
      TdVisitRow *row = g_ptr_array_index (visits, i);

      if (!g_hash_table_contains (by_site, row->site_id))
        g_hash_table_insert (by_site, row->site_id, row);
    }
  return by_site;
}

static TdRound *
make_round (TdRowKeys *keys, const TdSiteRow *site, const TdDueRow *due, const TdVisitRow *open)
{
  TdRound round = { .key = td_row_keys_get (keys, site->id), .site_id = site->id, .site = site->name,
                    .account = site->account, .address = site->address, .lines = site->lines,
                    .last = TD_DATE_NONE, .due = TD_DATE_NONE };

  if (due != NULL)
    {
      round.task = (char *) td_task_to_text (due->task);
      round.last = due->last;
      round.due = due->due;
      round.days = due->days;
      round.missed = due->missed;
      round.moved = due->planned != due->due;
      round.moved_to = due->planned;
      round.reason = due->reason;
    }
  if (open != NULL)
    {
      round.open = TRUE;
      round.open_visit = open->id;
    }
  return td_round_new (&round);
}

static int
compare_rounds (gconstpointer a, gconstpointer b)
{
  return td_round_compare (*(TdRound *const *) a, *(TdRound *const *) b);
}

gboolean
td_round_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdRoundJob *job = data;
  const TdVisitsFilter only_open = { .state = TD_VISITS_OPEN, .newest_only = TRUE };
  g_autoptr (GPtrArray) sites = td_book_list_sites (book, error);
  g_autoptr (GPtrArray) due = NULL;
  g_autoptr (GPtrArray) visits = NULL;
  g_autoptr (GHashTable) due_by_site = NULL;
  g_autoptr (GHashTable) open_by_site = NULL;
  GPtrArray *rounds;

  if (sites == NULL)
    return FALSE;
  due = td_book_list_due (book, job->now_ms, error);
  if (due == NULL)
    return FALSE;
  visits = td_book_list_visits (book, &only_open, error);
  if (visits == NULL)
    return FALSE;

  due_by_site = index_due (due);
  open_by_site = index_open (visits);
  rounds = g_ptr_array_new_full (sites->len, (GDestroyNotify) td_round_unref);
  for (guint i = 0; i < sites->len; i++)
    {
      TdSiteRow *site = g_ptr_array_index (sites, i);

      g_ptr_array_add (rounds, make_round (job->keys, site, g_hash_table_lookup (due_by_site, site->id),
                                           g_hash_table_lookup (open_by_site, site->id)));
    }
  g_ptr_array_sort (rounds, compare_rounds);
  *result_out = rounds;
  return TRUE;
}
