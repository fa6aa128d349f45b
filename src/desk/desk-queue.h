/* desk-queue.h: the one thread that a book lives on, and the jobs that it runs.
 *
 * A queue stands for one open book.  The book is opened, used and closed by the queue's own thread and
 * by nothing else; everything else here belongs to the main thread, including every callback and
 * signal.  Jobs run one after the other in the order in which they were handed in, so that what a later
 * job reads has all that an earlier one wrote.
 *
 * A page keeps one GCancellable and cancels it in dispose: a reading job that has not begun is then
 * skipped, and its caller hears G_IO_ERROR_CANCELLED either way.  A writing job is never cancelled once
 * it is handed in: its caller learns what became of it. */
#pragma once

#include "store-book.h"

#include <gio/gio.h>

G_BEGIN_DECLS

#define TD_TYPE_QUEUE (td_queue_get_type ())
G_DECLARE_FINAL_TYPE (TdQueue, td_queue, TD, QUEUE, GObject)

typedef enum
{
  TD_OPEN_EXISTING,
  TD_OPEN_NEW,     /* make an empty book; refused where something stands at the path */
  TD_OPEN_NEW_TEST /* the same, marked as a demonstration */
} TdOpenHow;

typedef enum
{
  TD_JOB_READ,
  TD_JOB_WRITE /* "changed" follows where it succeeds */
} TdJobKind;

/* One piece of work on the book, called on the queue's thread.  @data: as handed in.
 * @result_out: the answer, (transfer full), immutable and free of the book; NULL is a fair answer.
 * Returns FALSE with @error set where it failed. */
typedef gboolean (*TdJob) (TdBook *book, gpointer data, gpointer *result_out, GError **error);

/* Starts a thread and opens the book at @path on it.
 * @clock: (nullable) (transfer full): for the book alone; NULL is the machine's own. */
void td_queue_open_async (const char *path,
                          TdOpenHow how,
                          TdClock *clock,
                          GAsyncReadyCallback callback,
                          gpointer user_data);
/* Returns: (transfer full): the queue, or NULL with the error of td_book_open() or td_book_create(). */
TdQueue *td_queue_open_finish (GAsyncResult *result, GError **error);

/* Hands in a job.  @data: (transfer full), freed by @free_data (nullable) on the main thread or the
 * queue's. @free_result: (nullable): frees an answer that nobody takes. @cancellable: (nullable).
 * @callback: (nullable): always called, on the main thread, never from inside this call; its source
 * object is NULL. */
void td_queue_run_async (TdQueue *self,
                         TdJobKind kind,
                         TdJob job,
                         gpointer data,
                         GDestroyNotify free_data,
                         GDestroyNotify free_result,
                         GCancellable *cancellable,
                         GAsyncReadyCallback callback,
                         gpointer user_data);
/* @result_out: (out) (optional) (transfer full): the job's answer. Returns FALSE with the job's error. */
gboolean td_queue_run_finish (GAsyncResult *result, gpointer *result_out, GError **error);

/* Absolute path of the book. */
const char *td_queue_get_path (TdQueue *self);
/* TRUE for a demonstration or test book. */
gboolean td_queue_is_test (TdQueue *self);

/* Signal "changed": something was written to the book, by a job of this queue or by another program.
 * It comes after the callback of the job that wrote.
 *
 * Disposing of the queue waits for the jobs that were handed in and closes the book. */

G_END_DECLS
