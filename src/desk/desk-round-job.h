/* desk-round-job.h: reading the round from the book: every site, where it stands, the most pressing first. */
#pragma once

#include "desk-row-keys.h"
#include "model-round.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef struct _TdRoundJob TdRoundJob;

/* @keys: of the sites; takes a reference. @now_ms: UTC ms, for the days to go. */
TdRoundJob *td_round_job_new (TdRowKeys *keys, gint64 now_ms);
void td_round_job_free (gpointer job);
/* A TdJob. @data: a TdRoundJob. Answer: a GPtrArray of TdRound in the order of the round, with free func;
 * freed with g_ptr_array_unref(). */
gboolean td_round_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
