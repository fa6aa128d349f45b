/* desk-export-job.h: writing tables, site sheets and electronic invoices on the book's thread; no GTK. */
#pragma once

#include "exchange-csv.h"
#include "store-export.h"

G_BEGIN_DECLS

typedef enum
{
  TD_EXPORT_JOB_TABLE,
  TD_EXPORT_JOB_SHEETS,  /* a file for each site into the folder path */
  TD_EXPORT_JOB_INVOICE, /* an electronic invoice */
} TdExportWhat;

typedef struct
{
  TdExportWhat what;
  TdExport table;
  TdDate from, to; /* of a table; TD_DATE_NONE: no limit */
  TdCsvKind kind;
  char *number; /* of an invoice */
  char *path;
} TdExportJob;

/* @path: copied. */
TdExportJob *td_export_job_new (TdExportWhat what, const char *path);
void td_export_job_free (gpointer job);

/* A TdJob. @data: a TdExportJob. Answer: a char * (g_free()), the sentence that says what was written.
 * Where it fails, nothing stands at path that was not there before; of sheets those before the one at fault do. */
gboolean td_export_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error);

/* Days by the word of a period, as of @today: "all" (no limit), "this-month", "last-month", "this-year",
 * "last-year". FALSE for another word. */
gboolean td_export_find_days (const char *word, TdDate today, TdDate *from_out, TdDate *to_out);

G_END_DECLS
