/* desk-site-job.h: everything that the page of a site shows, read from the book in one go. */
#pragma once

#include "core-masters.h"
#include "core-site.h"
#include "model-round.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef struct
{
  char *site_id;
  char *account_id; /* NULL where the book names none */
  TdSite *site;
  TdMasters *masters;
  TdRound *round;    /* where the site stands */
  GPtrArray *visits; /* TdVisitBrief, newest arrival first */
} TdSiteLoaded;

void td_site_loaded_free (gpointer loaded);

typedef struct _TdSiteJob TdSiteJob;

/* @now_ms: UTC ms, for the days to go. */
TdSiteJob *td_site_job_new (const char *site_id, gint64 now_ms);
void td_site_job_free (gpointer job);
/* A TdJob. @data: a TdSiteJob. Answer: a TdSiteLoaded. */
gboolean td_site_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
