/* desk-lazy.h: the pages of a lazy list, answered from a table in memory or by a job on the book. */
#pragma once

#include "desk-context.h"
#include "model-lazy-list.h"

G_BEGIN_DECLS

/* Answers at once. @by_key: pointers to gint64 -> values, for the list's item type; (nullable): of nothing. */
void td_lazy_answer_from_table (TdLazyList *list, TdLazyRequest *request, GHashTable *by_key);

/* Answers when the job has run; lets the request go where no book is open. @request: (transfer full). @data: (transfer
 * full): what the job reads, freed with @free_data. The job's answer: a GPtrArray as td_lazy_list_answer() takes it. */
void td_lazy_answer_from_job (TdLazyList *list,
                              TdLazyRequest *request,
                              TdContext *context,
                              TdJob job,
                              gpointer data,
                              GDestroyNotify free_data,
                              GCancellable *cancellable);

G_END_DECLS
