/* desk-bundle-job.h: bundles written and read on the book's thread: one file, or a folder that carries them. */
#pragma once

#include "store-bundle.h"

G_BEGIN_DECLS

typedef struct _TdBundleJob TdBundleJob;

/* What became of it, in words for a person. */
typedef struct
{
  GString *text;     /* what was done; "" where there was nothing to do */
  GString *failures; /* a line for each file that was refused, with its name; "" where none was */
  guint done;        /* files written or read with something new in them */
} TdBundleAnswer;

void td_bundle_answer_free (gpointer answer);

/* Writes the file, or reads it. */
TdBundleJob *td_bundle_job_new_write (const char *path);
TdBundleJob *td_bundle_job_new_read (const char *path);
/* Reads every bundle of a folder but the book's own, which is named after the prefix of its report numbers. @write:
 * writes that one afterwards. @seen: names of what was read already, with size and time; what is there again is passed
 * over. Shared from one job to the next, touched on the book's thread only. */
TdBundleJob *td_bundle_job_new_folder (const char *folder, gboolean write, GHashTable *seen);
void td_bundle_job_free (gpointer job);
/* A TdJob. @data: a TdBundleJob. Answer: a TdBundleAnswer. Of a single file, its error is the job's. */
gboolean td_bundle_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
