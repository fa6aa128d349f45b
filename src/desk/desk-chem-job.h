/* desk-chem-job.h: what the place of chemicals reads from the book and writes to it. */
#pragma once

#include "store-audit.h"
#include "store-inspect.h"
#include "store-query.h"
#include "store-stock.h"
#include "store-trace.h"

G_BEGIN_DECLS

/* Everything that a period shows; immutable, reference counted and free of the book. */
typedef struct
{
  TdAudit *audit;
  TdStock *stock;
  GArray *cells;         /* TdStockCell, at the end of the period; texts belong to stock */
  GPtrArray *movements;  /* TdMovementRow, of all time */
  GPtrArray *places;     /* TdStockPlace */
  GPtrArray *sites;      /* TdSiteRow */
  TdMasters *masters;
} TdChemLoaded;

TdChemLoaded *td_chem_loaded_ref (TdChemLoaded *loaded);
void td_chem_loaded_unref (gpointer loaded);

/* What a job is asked; each takes of it what it needs. Texts are owned. */
typedef struct
{
  TdDate from, to;
  gint64 now_ms;
  char *key, *person, *reason; /* of an acknowledgement */
  char *lot, *site, *line;     /* of a trace */
  gint64 at_ms;                /* of a moment; 0: none is asked */
} TdChemAsk;

TdChemAsk *td_chem_ask_new (TdDate from, TdDate to, gint64 now_ms);
void td_chem_ask_free (gpointer ask);

/* TdJobs. @data: a TdChemAsk. Answer: a TdChemLoaded. */
gboolean td_chem_job_load (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* Writes an acknowledgement; no answer. */
gboolean td_chem_job_acknowledge (TdBook *book, gpointer data, gpointer *result_out, GError **error);

typedef struct
{
  GPtrArray *rows;     /* TdTraceRow */
  TdMomentRow *moment; /* NULL where none was asked */
} TdChemTrace;

void td_chem_trace_free (gpointer trace);
/* Answer: a TdChemTrace. */
gboolean td_chem_job_trace (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* Answer: the TdSite of the ask's site. */
gboolean td_chem_job_site (TdBook *book, gpointer data, gpointer *result_out, GError **error);
/* Answer: a TdInspection of the ask's site and period. */
gboolean td_chem_job_inspect (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
