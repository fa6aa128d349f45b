#include "desk-site-job.h"

#include "model-visit.h"
#include "store-due.h"
#include "store-master.h"
#include "store-query.h"

struct _TdSiteJob
{
  char *site_id;
  gint64 now_ms;
};

void
td_site_loaded_free (gpointer data)
{
  TdSiteLoaded *loaded = data;

  g_free (loaded->site_id);
  g_free (loaded->account_id);
  g_clear_pointer (&loaded->site, td_site_unref);
  g_clear_pointer (&loaded->masters, td_masters_unref);
  g_clear_pointer (&loaded->round, td_round_unref);
  g_clear_pointer (&loaded->visits, g_ptr_array_unref);
  g_free (loaded);
}

TdSiteJob *
td_site_job_new (const char *site_id, gint64 now_ms)
{
  TdSiteJob *job = g_new0 (TdSiteJob, 1);

  job->site_id = g_strdup (site_id);
  job->now_ms = now_ms;
  return job;
}

void
td_site_job_free (gpointer data)
{
  TdSiteJob *job = data;

  g_free (job->site_id);
  g_free (job);
}

static TdVisitBrief *
make_brief (const TdVisitRow *row, gint64 key)
{
  const TdVisitBrief brief = { .key = key, .id = row->id, .number = row->number, .account = row->account,
                               .site = row->site, .person = row->person, .date = row->date,
                               .closed = row->closed, .amended = row->amended, .amends = row->amends,
                               .entries = row->entries, .stops = row->findings[TD_SEVERITY_STOP],
                               .reasons = row->findings[TD_SEVERITY_REASON],
                               .advice = row->findings[TD_SEVERITY_ADVICE] };

  return td_visit_brief_new (&brief);
}

static gboolean
read_visits (TdBook *book, TdSiteLoaded *loaded, TdRound *round, GError **error)
{
  const TdVisitsFilter filter = { .state = TD_VISITS_ALL, .site_id = loaded->site_id };
  g_autoptr (GPtrArray) rows = td_book_list_visits (book, &filter, error);

  if (rows == NULL)
    return FALSE;
  loaded->visits = g_ptr_array_new_full (rows->len, (GDestroyNotify) td_visit_brief_unref);
  for (guint i = 0; i < rows->len; i++)
    {
      const TdVisitRow *row = g_ptr_array_index (rows, i);

      g_ptr_array_add (loaded->visits, make_brief (row, (gint64) i));
      if (row->closed || row->amended || round->open)
        continue;
      round->open = TRUE;
      round->open_visit = row->id;
    }
  return TRUE;
}

static gboolean
read_due (TdBook *book, const char *site_id, gint64 now_ms, TdRound *round, GError **error)
{
  g_autoptr (GPtrArray) rows = td_book_list_due (book, now_ms, error);

  if (rows == NULL)
    return FALSE;
  for (guint i = 0; i < rows->len; i++)
    {
      const TdDueRow *row = g_ptr_array_index (rows, i);

      if (!g_str_equal (row->site_id, site_id))
        continue;
      round->task = (char *) td_task_to_text (row->task);
      round->last = row->last;
      round->due = row->due;
      round->days = row->days;
      round->missed = row->missed;
      round->moved = row->planned != row->due;
      round->moved_to = row->planned;
      round->reason = g_strdup (row->reason); /* until td_round_new() has a copy */
      break;
    }
  return TRUE;
}

static gboolean
read_account (TdBook *book, TdSiteLoaded *loaded, GError **error)
{
  g_autoptr (GPtrArray) rows = td_book_list_sites (book, error);

  if (rows == NULL)
    return FALSE;
  for (guint i = 0; i < rows->len && loaded->account_id == NULL; i++)
    {
      const TdSiteRow *row = g_ptr_array_index (rows, i);

      if (g_str_equal (row->id, loaded->site_id))
        loaded->account_id = g_strdup (row->account_id);
    }
  return TRUE;
}

gboolean
td_site_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdSiteJob *job = data;
  TdSiteLoaded *loaded = g_new0 (TdSiteLoaded, 1);
  TdRound round = { .site_id = job->site_id, .last = TD_DATE_NONE, .due = TD_DATE_NONE };
  gboolean done;

  loaded->site_id = g_strdup (job->site_id);
  loaded->site = td_book_get_site (book, job->site_id, error);
  done = loaded->site != NULL;
  if (done)
    {
      loaded->masters = td_book_get_masters (book, error);
      done = loaded->masters != NULL && read_visits (book, loaded, &round, error)
             && read_due (book, job->site_id, job->now_ms, &round, error) && read_account (book, loaded, error);
    }
  if (!done)
    {
      g_free (round.reason);
      td_site_loaded_free (loaded);
      return FALSE;
    }
  round.site = loaded->site->name;
  round.account = loaded->site->account_name;
  round.address = loaded->site->address;
  round.lines = loaded->site->n_outlets;
  loaded->round = td_round_new (&round);
  g_free (round.reason);
  *result_out = loaded;
  return TRUE;
}
