/* desk-round-job.h: reading the round from the book: every site, where it stands, the most pressing first. */
#pragma once

#include "model-round.h"
#include "store-book.h"

G_BEGIN_DECLS

/* What one reading hands on to the next: a key for every site ever read, so that a row keeps its
 * identity.  Touched on the book's thread only. */
typedef struct _TdRoundReader TdRoundReader;

TdRoundReader *td_round_reader_new (void);
TdRoundReader *td_round_reader_ref (TdRoundReader *reader);
void td_round_reader_unref (gpointer reader);

typedef struct _TdRoundJob TdRoundJob;

/* @now_ms: UTC ms, for the days to go. */
TdRoundJob *td_round_job_new (TdRoundReader *reader, gint64 now_ms);
void td_round_job_free (gpointer job);
/* A TdJob. @data: a TdRoundJob. Answer: a GPtrArray of TdRound in the order of the round, with free func;
 * freed with g_ptr_array_unref(). */
gboolean td_round_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
