#include "desk-queue.h"

/* How often an idle queue looks whether another program has written to the book, microseconds. A second
 * is soon enough for a person and costs one reading of a page header. */
#define WATCH_US G_USEC_PER_SEC

/* What the thread works with.  Shared by the queue and its thread, which outlives no queue. */
typedef struct
{
  GAsyncQueue *jobs; /* Job, the last one with no function */
  GMainContext *context;
  GWeakRef queue; /* TdQueue; only taken on the main thread */
  char *path;
  TdOpenHow how;
  TdClock *clock;
  gboolean is_test; /* written by the thread before the opening is answered */
} Worker;

typedef struct
{
  TdJobKind kind;
  TdJob function; /* NULL: close the book and end */
  gpointer data;
  GDestroyNotify free_data;
  GDestroyNotify free_result;
  GTask *task;
} Job;

struct _TdQueue
{
  GObject parent;
  Worker *worker;
  GThread *thread;
};

G_DEFINE_FINAL_TYPE (TdQueue, td_queue, G_TYPE_OBJECT)

enum
{
  SIGNAL_CHANGED,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

static void
clear_worker (gpointer data)
{
  Worker *worker = data;

  g_async_queue_unref (worker->jobs);
  g_main_context_unref (worker->context);
  g_weak_ref_clear (&worker->queue);
  g_clear_pointer (&worker->clock, td_clock_unref);
  g_free (worker->path);
}

static void
release_worker (Worker *worker)
{
  g_atomic_rc_box_release_full (worker, clear_worker);
}

static void
free_job (Job *job)
{
  if (job->free_data != NULL && job->data != NULL)
    job->free_data (job->data);
  g_clear_object (&job->task);
  g_free (job);
}

static gboolean
tell_changed (gpointer data)
{
  Worker *worker = data;
  g_autoptr (TdQueue) queue = g_weak_ref_get (&worker->queue);

  if (queue != NULL)
    g_signal_emit (queue, signals[SIGNAL_CHANGED], 0);
  return G_SOURCE_REMOVE;
}

/* From the thread: an idle source of the same priority as a GTask's answer, so that it comes after it. */
static void
post_changed (Worker *worker)
{
  g_autoptr (GSource) source = g_idle_source_new ();

  g_source_set_priority (source, G_PRIORITY_DEFAULT);
  g_source_set_callback (source, tell_changed, g_atomic_rc_box_acquire (worker),
                         (GDestroyNotify) release_worker);
  g_source_attach (source, worker->context);
}

/* Tells of what other programs wrote.  A book that cannot be read just now is no news: the next job that
 * needs it says so to whom it concerns. */
static void
watch (Worker *worker, TdBook *book, guint *version)
{
  guint now = 0;

  if (!td_book_get_data_version (book, &now, NULL) || now == *version)
    return;
  *version = now;
  post_changed (worker);
}

static void
run_job (Worker *worker, TdBook *book, Job *job)
{
  g_autoptr (GError) error = NULL;
  gpointer result = NULL;

  if (job->kind == TD_JOB_READ && g_task_return_error_if_cancelled (job->task))
    return;
  if (job->function (book, job->data, &result, &error))
    {
      g_task_return_pointer (job->task, result, job->free_result);
      if (job->kind == TD_JOB_WRITE)
        post_changed (worker);
    }
  else
    {
      g_assert (error != NULL);
      g_task_return_error (job->task, g_steal_pointer (&error));
    }
}

static TdBook *
open_book (Worker *worker, GError **error)
{
  g_autoptr (TdClock) clock = g_steal_pointer (&worker->clock);
  TdBook *book;

  if (clock == NULL)
    clock = td_clock_new ();
  if (worker->how == TD_OPEN_EXISTING)
    book = td_book_open (worker->path, clock, error);
  else
    book = td_book_create (worker->path, worker->how == TD_OPEN_NEW_TEST, clock, error);
  if (book != NULL)
    worker->is_test = td_book_is_test (book);
  return book;
}

static void
serve (Worker *worker, TdBook *book)
{
  guint version = 0;

  if (!td_book_get_data_version (book, &version, NULL))
    version = 0;
  while (TRUE)
    {
      Job *job = g_async_queue_timeout_pop (worker->jobs, WATCH_US);

      if (job == NULL)
        {
          watch (worker, book, &version);
          continue;
        }
      if (job->function == NULL)
        {
          free_job (job);
          return;
        }
      run_job (worker, book, job);
      free_job (job);
      watch (worker, book, &version);
    }
}

/* The first job is the opening: its task is answered with TRUE or the error. */
static gpointer
run_thread (gpointer data)
{
  Worker *worker = data;
  Job *opening = g_async_queue_pop (worker->jobs);
  g_autoptr (GError) error = NULL;
  TdBook *book = open_book (worker, &error);

  if (book == NULL)
    {
      g_task_return_error (opening->task, g_steal_pointer (&error));
      free_job (opening);
      opening = g_async_queue_pop (worker->jobs); /* the queue's farewell */
      g_assert (opening->function == NULL);
      free_job (opening);
    }
  else
    {
      g_task_return_boolean (opening->task, TRUE);
      free_job (opening);
      serve (worker, book);
      td_book_close (book);
    }
  release_worker (worker);
  return NULL;
}

static void
push_job (Worker *worker, TdJobKind kind, TdJob function, gpointer data, GDestroyNotify free_data,
          GDestroyNotify free_result, GTask *task)
{
  Job *job = g_new0 (Job, 1);

  job->kind = kind;
  job->function = function;
  job->data = data;
  job->free_data = free_data;
  job->free_result = free_result;
  job->task = task;
  g_async_queue_push (worker->jobs, job);
}

static void
td_queue_dispose (GObject *object)
{
  TdQueue *self = TD_QUEUE (object);

  if (self->thread != NULL)
    {
      push_job (self->worker, TD_JOB_WRITE, NULL, NULL, NULL, NULL, NULL);
      g_thread_join (g_steal_pointer (&self->thread));
      g_weak_ref_set (&self->worker->queue, NULL);
    }
  G_OBJECT_CLASS (td_queue_parent_class)->dispose (object);
}

static void
td_queue_finalize (GObject *object)
{
  TdQueue *self = TD_QUEUE (object);

  g_clear_pointer (&self->worker, release_worker);
  G_OBJECT_CLASS (td_queue_parent_class)->finalize (object);
}

static void
td_queue_class_init (TdQueueClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->dispose = td_queue_dispose;
  object_class->finalize = td_queue_finalize;
  signals[SIGNAL_CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                          NULL, NULL, G_TYPE_NONE, 0);
}

static void
td_queue_init (TdQueue *self)
{
}

void
td_queue_open_async (const char *path, TdOpenHow how, TdClock *clock, GAsyncReadyCallback callback,
                     gpointer user_data)
{
  TdQueue *self = g_object_new (TD_TYPE_QUEUE, NULL);
  GTask *task = g_task_new (NULL, NULL, callback, user_data);
  Worker *worker = g_atomic_rc_box_new0 (Worker);

  g_return_if_fail (path != NULL);
  worker->jobs = g_async_queue_new ();
  worker->context = g_main_context_ref_thread_default ();
  g_weak_ref_init (&worker->queue, self);
  worker->path = g_canonicalize_filename (path, NULL);
  worker->how = how;
  worker->clock = clock;
  self->worker = worker;
  /* A bare pointer: whoever finishes the opening takes the reference over. */
  g_task_set_source_tag (task, td_queue_open_async);
  g_task_set_task_data (task, self, NULL);
  push_job (worker, TD_JOB_WRITE, NULL, NULL, NULL, NULL, task);
  self->thread = g_thread_new ("tundish-book", run_thread, g_atomic_rc_box_acquire (worker));
}

TdQueue *
td_queue_open_finish (GAsyncResult *result, GError **error)
{
  g_autoptr (TdQueue) self = NULL;

  g_return_val_if_fail (g_task_is_valid (result, NULL), NULL);
  g_return_val_if_fail (g_async_result_is_tagged (result, td_queue_open_async), NULL);
  self = g_task_get_task_data (G_TASK (result));
  if (!g_task_propagate_boolean (G_TASK (result), error))
    return NULL;
  return g_steal_pointer (&self);
}

void
td_queue_run_async (TdQueue *self, TdJobKind kind, TdJob job, gpointer data, GDestroyNotify free_data,
                    GDestroyNotify free_result, GCancellable *cancellable, GAsyncReadyCallback callback,
                    gpointer user_data)
{
  GTask *task;

  g_return_if_fail (TD_IS_QUEUE (self) && self->thread != NULL);
  g_return_if_fail (job != NULL);
  /* No source object: the thread may be the one that lets the task go, and must never be the one that
   * disposes of the queue, which waits for the thread. */
  task = g_task_new (NULL, kind == TD_JOB_READ ? cancellable : NULL, callback, user_data);
  g_task_set_source_tag (task, td_queue_run_async);
  g_task_set_task_data (task, (gpointer) free_result, NULL);
  push_job (self->worker, kind, job, data, free_data, free_result, task);
}

gboolean
td_queue_run_finish (GAsyncResult *result, gpointer *result_out, GError **error)
{
  g_autoptr (GError) failure = NULL;
  GDestroyNotify free_result;
  gpointer answer;

  g_return_val_if_fail (g_task_is_valid (result, NULL), FALSE);
  g_return_val_if_fail (g_async_result_is_tagged (result, td_queue_run_async), FALSE);
  answer = g_task_propagate_pointer (G_TASK (result), &failure);
  if (failure != NULL)
    {
      g_propagate_error (error, g_steal_pointer (&failure));
      return FALSE;
    }
  free_result = (GDestroyNotify) g_task_get_task_data (G_TASK (result));
  if (result_out != NULL)
    *result_out = answer;
  else if (answer != NULL && free_result != NULL)
    free_result (answer);
  return TRUE;
}

const char *
td_queue_get_path (TdQueue *self)
{
  g_return_val_if_fail (TD_IS_QUEUE (self), NULL);
  return self->worker->path;
}

gboolean
td_queue_is_test (TdQueue *self)
{
  g_return_val_if_fail (TD_IS_QUEUE (self), FALSE);
  return self->worker->is_test;
}
