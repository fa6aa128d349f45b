/* desk-day-job.h: the sheets of a day for every technician, as one PDF, made on the book's thread. */
#pragma once

#include "document-paper.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef struct _TdDayJob TdDayJob;

/* @now_ms: UTC ms; the day is that of the machine's zone. */
TdDayJob *td_day_job_new (const char *path, gint64 now_ms, TdPaperKind paper);
void td_day_job_free (gpointer job);
/* A TdJob. @data: a TdDayJob. No answer. TD_BOOK_ERROR_MISSING where the book knows no technician. */
gboolean td_day_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
