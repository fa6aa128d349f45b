/* desk-import-job.h: taking files into the book: site sheets, company files, accounts as CSV. */
#pragma once

#include "store-master.h"

#include <gio/gio.h>

G_BEGIN_DECLS

/* What became of the files. */
typedef struct
{
  guint files;
  guint sites[3];     /* by TdImportOutcome */
  TdImportCount rows; /* of companies and accounts */
  guint failed;       /* files of which nothing was taken in */
  GString *failures;  /* a line each: "NAME: what is wrong" */
} TdImportSum;

void td_import_sum_free (gpointer sum);

/* Files read before they go to the book's thread. */
typedef struct _TdImportJob TdImportJob;

TdImportJob *td_import_job_new (void);
void td_import_job_free (gpointer job);
/* @name: for messages; its ending tells CSV from JSON. */
void td_import_job_add (TdImportJob *job, const char *name, GBytes *bytes);
/* @file: read when the job runs, on the book's thread. */
void td_import_job_add_file (TdImportJob *job, GFile *file);

/* A TdJob. @data: a TdImportJob. Each file is taken in whole or not at all; companies before sites and
 * these before accounts, whatever the order of the files. Answer: a TdImportSum, also where files
 * failed. */
gboolean td_import_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
