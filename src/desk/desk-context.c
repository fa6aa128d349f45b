#include "desk-context.h"

/* Between two entries that a pinned clock records, milliseconds: as if somebody wrote one a second. */
#define PINNED_STEP_MS 1000

struct _TdContext
{
  GObject parent;
  TdQueue *queue;
  TdState *state;
  GSettings *settings;
  TdClock *clock;
  gint64 pinned_ms;
  GPtrArray *sessions; /* TdSession */
};

G_DEFINE_FINAL_TYPE (TdContext, td_context, G_TYPE_OBJECT)

enum
{
  PROP_0,
  PROP_QUEUE,
  N_PROPS
};

enum
{
  SIGNAL_BOOK_CHANGED,
  SIGNAL_CONTACT_REACHED,
  N_SIGNALS
};

static GParamSpec *properties[N_PROPS];
static guint signals[N_SIGNALS];

static void
queue_changed_cb (TdQueue *queue, gpointer user_data)
{
  TdContext *self = TD_CONTEXT (user_data);

  if (queue == self->queue)
    g_signal_emit (self, signals[SIGNAL_BOOK_CHANGED], 0);
}

static void
contact_reached_cb (TdSession *session, guint circuit, int outlet, TdContext *self)
{
  g_signal_emit (self, signals[SIGNAL_CONTACT_REACHED], 0, session, circuit, outlet);
}

static void
forget_session (TdContext *self, TdSession *session)
{
  g_signal_handlers_disconnect_by_data (session, self);
  g_ptr_array_remove (self->sessions, session);
}

static void
forget_sessions (TdContext *self)
{
  while (self->sessions->len > 0)
    forget_session (self, g_ptr_array_index (self->sessions, self->sessions->len - 1));
}

static void
session_changed_cb (TdSession *session, TdContext *self)
{
  if (td_session_get_visit (session)->closed)
    forget_session (self, session);
}

void
td_context_keep_session (TdContext *self, TdSession *session)
{
  g_return_if_fail (TD_IS_CONTEXT (self) && TD_IS_SESSION (session));
  if (td_session_get_visit (session)->closed || td_session_get_queue (session) != self->queue
      || g_ptr_array_find (self->sessions, session, NULL))
    return;
  g_ptr_array_add (self->sessions, g_object_ref (session));
  g_signal_connect_object (session, "contact-reached", G_CALLBACK (contact_reached_cb), self, 0);
  g_signal_connect_object (session, "changed", G_CALLBACK (session_changed_cb), self, 0);
}

TdSession *
td_context_find_session (TdContext *self, const TdUuid *visit)
{
  g_return_val_if_fail (TD_IS_CONTEXT (self) && visit != NULL, NULL);
  for (guint i = 0; i < self->sessions->len; i++)
    {
      TdSession *session = g_ptr_array_index (self->sessions, i);

      if (td_uuid_equal (&td_session_get_visit (session)->id, visit))
        return session;
    }
  return NULL;
}

/* @queue: (transfer full) (nullable). */
static void
take_queue (TdContext *self, TdQueue *queue)
{
  g_autoptr (TdQueue) old G_GNUC_UNUSED = g_steal_pointer (&self->queue);

  forget_sessions (self);
  self->queue = queue;
  if (queue != NULL)
    {
      g_signal_connect_object (queue, "changed", G_CALLBACK (queue_changed_cb), self, 0);
      td_state_add_recent (self->state, td_queue_get_path (queue));
    }
  /* While the pages still hold the old one: they let it go in this notification. */
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_QUEUE]);
}

static void
td_context_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdContext *self = TD_CONTEXT (object);

  if (id == PROP_QUEUE)
    g_value_set_object (value, self->queue);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_context_dispose (GObject *object)
{
  TdContext *self = TD_CONTEXT (object);

  forget_sessions (self);
  g_clear_object (&self->queue);
  g_clear_object (&self->settings);
  G_OBJECT_CLASS (td_context_parent_class)->dispose (object);
}

static void
td_context_finalize (GObject *object)
{
  TdContext *self = TD_CONTEXT (object);

  g_clear_pointer (&self->state, td_state_free);
  g_clear_pointer (&self->sessions, g_ptr_array_unref);
  g_clear_pointer (&self->clock, td_clock_unref);
  G_OBJECT_CLASS (td_context_parent_class)->finalize (object);
}

static void
td_context_class_init (TdContextClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->get_property = td_context_get_property;
  object_class->dispose = td_context_dispose;
  object_class->finalize = td_context_finalize;
  properties[PROP_QUEUE] = g_param_spec_object ("queue", NULL, NULL, TD_TYPE_QUEUE,
                                                G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  signals[SIGNAL_BOOK_CHANGED] = g_signal_new ("book-changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST,
                                               0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_CONTACT_REACHED]
    = g_signal_new ("contact-reached", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                    G_TYPE_NONE, 3, TD_TYPE_SESSION, G_TYPE_UINT, G_TYPE_INT);
}

static void
td_context_init (TdContext *self)
{
  self->sessions = g_ptr_array_new_with_free_func (g_object_unref);
}

/* A clock of its own for whoever asks: a clock belongs to one thread. */
static TdClock *
make_clock (TdContext *self)
{
  if (self->pinned_ms == 0)
    return td_clock_new ();
  return td_clock_new_pinned (self->pinned_ms, PINNED_STEP_MS, (guint64) self->pinned_ms);
}

TdContext *
td_context_new (TdState *state, GSettings *settings, gint64 pinned_ms)
{
  TdContext *self = g_object_new (TD_TYPE_CONTEXT, NULL);

  g_return_val_if_fail (state != NULL && G_IS_SETTINGS (settings), self);
  self->state = state;
  self->settings = g_object_ref (settings);
  self->pinned_ms = pinned_ms;
  self->clock = make_clock (self);
  return self;
}

TdQueue *
td_context_get_queue (TdContext *self)
{
  g_return_val_if_fail (TD_IS_CONTEXT (self), NULL);
  return self->queue;
}

TdState *
td_context_get_state (TdContext *self)
{
  g_return_val_if_fail (TD_IS_CONTEXT (self), NULL);
  return self->state;
}

GSettings *
td_context_get_settings (TdContext *self)
{
  g_return_val_if_fail (TD_IS_CONTEXT (self), NULL);
  return self->settings;
}

TdClock *
td_context_get_clock (TdContext *self)
{
  g_return_val_if_fail (TD_IS_CONTEXT (self), NULL);
  return self->clock;
}

gint64
td_context_get_now_ms (TdContext *self)
{
  g_return_val_if_fail (TD_IS_CONTEXT (self), 0);
  return td_clock_get_now_ms (self->clock);
}

static void
open_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GTask) task = user_data;
  g_autoptr (GError) error = NULL;
  TdQueue *queue = td_queue_open_finish (result, &error);

  if (queue == NULL)
    {
      g_task_return_error (task, g_steal_pointer (&error));
      return;
    }
  take_queue (g_task_get_source_object (task), queue);
  g_task_return_boolean (task, TRUE);
}

void
td_context_open_async (TdContext *self, const char *path, TdOpenHow how, GAsyncReadyCallback callback,
                       gpointer user_data)
{
  GTask *task;

  g_return_if_fail (TD_IS_CONTEXT (self) && path != NULL);
  task = g_task_new (self, NULL, callback, user_data);
  g_task_set_source_tag (task, td_context_open_async);
  /* An ordinary book refuses a pinned clock, and rightly: it is then said. */
  td_queue_open_async (path, how, make_clock (self), open_cb, task);
}

gboolean
td_context_open_finish (TdContext *self, GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_task_is_valid (result, self), FALSE);
  g_return_val_if_fail (g_async_result_is_tagged (result, td_context_open_async), FALSE);
  return g_task_propagate_boolean (G_TASK (result), error);
}

void
td_context_close (TdContext *self)
{
  g_return_if_fail (TD_IS_CONTEXT (self));
  if (self->queue != NULL)
    take_queue (self, NULL);
}

void
td_context_run_async (TdContext *self, TdJobKind kind, TdJob job, gpointer data, GDestroyNotify free_data,
                      GDestroyNotify free_result, GCancellable *cancellable, GAsyncReadyCallback callback,
                      gpointer user_data)
{
  g_return_if_fail (TD_IS_CONTEXT (self) && self->queue != NULL);
  td_queue_run_async (self->queue, kind, job, data, free_data, free_result, cancellable, callback, user_data);
}

char *
td_context_make_standard_path (void)
{
  return g_build_filename (g_get_user_data_dir (), "tundish", "book.tundish", NULL);
}
