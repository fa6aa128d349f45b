#include "desk-lazy.h"

typedef struct
{
  TdLazyList *list;
  TdLazyRequest *request;
} Waiting;

void
td_lazy_answer_from_table (TdLazyList *list, TdLazyRequest *request, GHashTable *by_key)
{
  guint n = 0;
  const gint64 *keys = td_lazy_request_get_keys (request, &n);
  g_autoptr (GPtrArray) values = g_ptr_array_sized_new (n);

  for (guint i = 0; i < n; i++)
    g_ptr_array_add (values, by_key != NULL ? g_hash_table_lookup (by_key, &keys[i]) : NULL);
  td_lazy_list_answer (list, request, values);
}

static void
answered_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  Waiting *waiting = user_data;
  gpointer values = NULL;

  /* A page that could not be read is asked for again when it is next looked at. */
  td_queue_run_finish (result, &values, NULL);
  td_lazy_list_answer (waiting->list, waiting->request, values);
  g_clear_pointer (&values, g_ptr_array_unref);
  g_object_unref (waiting->list);
  g_free (waiting);
}

void
td_lazy_answer_from_job (TdLazyList *list, TdLazyRequest *request, TdContext *context, TdJob job, gpointer data,
                         GDestroyNotify free_data, GCancellable *cancellable)
{
  Waiting *waiting;

  if (context == NULL || td_context_get_queue (context) == NULL)
    {
      td_lazy_request_free (request);
      free_data (data);
      return;
    }
  waiting = g_new0 (Waiting, 1);
  waiting->list = g_object_ref (list);
  waiting->request = request;
  td_context_run_async (context, TD_JOB_READ, job, data, free_data, (GDestroyNotify) g_ptr_array_unref, cancellable,
                        answered_cb, waiting);
}
