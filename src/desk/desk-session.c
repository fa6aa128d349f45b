#include "desk-session.h"

#include "core-json-build.h"
#include "desk-visit-job.h"
#include "store-journal.h"

/* Findings that hang on the clock (a contact too long) are judged anew this often, seconds. */
#define JUDGE_EVERY_S 10

struct _TdSession
{
  GObject parent;
  TdQueue *queue;
  TdClock *clock;
  TdUuid id;
  TdVisitTail *tail; /* what the book's thread knows of the visit's end */

  TdVisitRecord *record;
  TdMasters *masters;
  TdHabits *habits;
  char *amends_number, *amended_by;
  GPtrArray *findings; /* the record's, or judged later */
  TdZone *zone;        /* of the site; NULL where the machine does not know it */
  GTimeZone *local;

  char *person;
  gint64 happened_ms;
  guint pending; /* acts on their way */
  guint echoes;  /* written by this session, "changed" of the queue still to come */
  guint source;  /* of the next tick */
  guint ticks;
  GHashTable *reached; /* contacts told of: outlet << 16 | index of the pass */
};

G_DEFINE_FINAL_TYPE (TdSession, td_session, G_TYPE_OBJECT)

enum
{
  PROP_0,
  PROP_CLOSED,
  PROP_PERSON,
  PROP_HAPPENED_MS,
  PROP_ENTRIES,
  PROP_STOPS,
  PROP_BUSY,
  N_PROPS
};

enum
{
  SIGNAL_CHANGED,
  SIGNAL_TICK,
  SIGNAL_CONTACT_REACHED,
  N_SIGNALS
};

static GParamSpec *properties[N_PROPS];
static guint signals[N_SIGNALS];

static gboolean
tick (gpointer data);

static void
schedule_tick (TdSession *self)
{
  gint64 into_second = td_clock_get_now_ms (self->clock) % 1000;

  g_clear_handle_id (&self->source, g_source_remove);
  if (!self->record->visit->closed)
    self->source = g_timeout_add ((guint) (1000 - CLAMP (into_second, 0, 999)), tick, self);
}

/* Collects the contacts that are up and were not told of before; @tell emits for them, one for a circuit
 * however many lines it has. */
static void
look_for_contacts (TdSession *self, gboolean tell)
{
  g_autoptr (TdVisit) visit = td_visit_ref (self->record->visit);
  g_autoptr (GHashTable) circuits = g_hash_table_new (NULL, NULL);
  gint64 now_ms = td_session_get_now_ms (self);

  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdVisitLine *line = &visit->lines[i];
      const TdPass *pass = td_visit_line_get_pass (line);
      gpointer key;

      if (pass == NULL || pass->clock_start.seq == 0 || pass->contact_end.seq != 0
          || td_pass_get_contact_ms (visit, pass, now_ms) < pass->required_ms)
        continue;
      key = GUINT_TO_POINTER (i << 16 | line->passes->len);
      if (!g_hash_table_add (self->reached, key) || !tell)
        continue;
      if (pass->circuit != 0 && !g_hash_table_add (circuits, GINT_TO_POINTER (pass->circuit)))
        continue;
      g_signal_emit (self, signals[SIGNAL_CONTACT_REACHED], 0, (guint) pass->circuit,
                     pass->circuit != 0 ? -1 : (int) i);
    }
}

static gboolean
findings_differ (const GPtrArray *a, const GPtrArray *b)
{
  if (a->len != b->len)
    return TRUE;
  for (guint i = 0; i < a->len; i++)
    {
      const TdFinding *x = g_ptr_array_index (a, i), *y = g_ptr_array_index (b, i);

      if (x->rule != y->rule || x->outlet != y->outlet || x->circuit != y->circuit
          || g_strcmp0 (x->reason, y->reason) != 0)
        return TRUE;
    }
  return FALSE;
}

static gboolean
tick (gpointer data)
{
  g_autoptr (TdSession) self = g_object_ref (data);
  gboolean judged = FALSE;

  self->source = 0;
  if (++self->ticks % JUDGE_EVERY_S == 0)
    {
      g_autoptr (GPtrArray) findings
        = td_visit_get_findings (self->record->visit, td_session_get_now_ms (self));

      judged = findings_differ (findings, self->findings);
      if (judged)
        {
          g_ptr_array_unref (self->findings);
          self->findings = g_steal_pointer (&findings);
        }
    }
  look_for_contacts (self, TRUE);
  g_signal_emit (self, signals[SIGNAL_TICK], 0);
  if (judged)
    {
      g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
      g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_STOPS]);
    }
  schedule_tick (self);
  return G_SOURCE_REMOVE;
}

/* Takes the loaded visit over and tells of it. An older state than the one held (two loads that cross)
 * is let go. */
static void
take_loaded (TdSession *self, TdVisitLoaded *loaded)
{
  gboolean first = self->record == NULL;

  if (!first && loaded->record->visit->last_seq < self->record->visit->last_seq)
    {
      td_visit_loaded_free (loaded);
      return;
    }
  g_clear_pointer (&self->record, td_visit_record_free);
  g_clear_pointer (&self->masters, td_masters_unref);
  g_clear_pointer (&self->habits, td_habits_unref);
  g_clear_pointer (&self->findings, g_ptr_array_unref);
  self->record = g_steal_pointer (&loaded->record);
  self->masters = g_steal_pointer (&loaded->masters);
  self->habits = g_steal_pointer (&loaded->habits);
  g_free (self->amends_number);
  g_free (self->amended_by);
  self->amends_number = g_steal_pointer (&loaded->amends_number);
  self->amended_by = g_steal_pointer (&loaded->amended_by);
  self->findings = g_ptr_array_ref (self->record->findings);
  td_visit_loaded_free (loaded);
  if (first)
    {
      self->zone = td_zone_load (self->record->visit->site->zone, NULL);
      if (self->person == NULL)
        self->person = g_strdup (g_ptr_array_index (self->record->visit->persons, 0));
    }
  look_for_contacts (self, FALSE);
  schedule_tick (self);
  g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ENTRIES]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_STOPS]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_CLOSED]);
}

static void
reload_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdSession) self = user_data;
  gpointer loaded = NULL;

  /* What failed here fails again, and is said, at the next act. */
  if (td_queue_run_finish (result, &loaded, NULL))
    take_loaded (self, loaded);
}

static void
reload (TdSession *self)
{
  td_queue_run_async (self->queue, TD_JOB_READ, td_visit_load_job, td_visit_tail_ref (self->tail),
                      td_visit_tail_unref, td_visit_loaded_free, NULL, reload_cb, g_object_ref (self));
}

static void
queue_changed_cb (TdQueue *queue, gpointer user_data)
{
  TdSession *self = TD_SESSION (user_data);

  /* The answer of an act of our own brought the new state with it. */
  if (self->echoes > 0)
    self->echoes--;
  else
    reload (self);
}

static void
td_session_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdSession *self = TD_SESSION (object);

  switch (id)
    {
    case PROP_CLOSED:
      g_value_set_boolean (value, self->record->visit->closed);
      break;
    case PROP_PERSON:
      g_value_set_string (value, self->person);
      break;
    case PROP_HAPPENED_MS:
      g_value_set_int64 (value, self->happened_ms);
      break;
    case PROP_ENTRIES:
      g_value_set_uint (value, self->record->visit->last_seq);
      break;
    case PROP_STOPS:
      g_value_set_uint (value, td_findings_count (self->findings, TD_SEVERITY_STOP));
      break;
    case PROP_BUSY:
      g_value_set_boolean (value, self->pending > 0);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_session_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdSession *self = TD_SESSION (object);

  switch (id)
    {
    case PROP_PERSON:
      td_session_set_person (self, g_value_get_string (value));
      break;
    case PROP_HAPPENED_MS:
      td_session_set_happened_ms (self, g_value_get_int64 (value));
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_session_dispose (GObject *object)
{
  TdSession *self = TD_SESSION (object);

  g_clear_handle_id (&self->source, g_source_remove);
  g_clear_object (&self->queue);
  G_OBJECT_CLASS (td_session_parent_class)->dispose (object);
}

static void
td_session_finalize (GObject *object)
{
  TdSession *self = TD_SESSION (object);

  g_clear_pointer (&self->clock, td_clock_unref);
  g_clear_pointer (&self->tail, td_visit_tail_unref);
  g_clear_pointer (&self->record, td_visit_record_free);
  g_clear_pointer (&self->masters, td_masters_unref);
  g_clear_pointer (&self->habits, td_habits_unref);
  g_clear_pointer (&self->findings, g_ptr_array_unref);
  g_clear_pointer (&self->zone, td_zone_unref);
  g_clear_pointer (&self->local, g_time_zone_unref);
  g_clear_pointer (&self->reached, g_hash_table_unref);
  g_free (self->amends_number);
  g_free (self->amended_by);
  g_free (self->person);
  G_OBJECT_CLASS (td_session_parent_class)->finalize (object);
}

static void
td_session_class_init (TdSessionClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  const GParamFlags readable = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;
  const GParamFlags writable = G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_session_get_property;
  object_class->set_property = td_session_set_property;
  object_class->dispose = td_session_dispose;
  object_class->finalize = td_session_finalize;

  properties[PROP_CLOSED] = g_param_spec_boolean ("closed", NULL, NULL, FALSE, readable);
  properties[PROP_PERSON] = g_param_spec_string ("person", NULL, NULL, NULL, writable);
  properties[PROP_HAPPENED_MS] = g_param_spec_int64 ("happened-ms", NULL, NULL, 0, G_MAXINT64, 0, writable);
  properties[PROP_ENTRIES] = g_param_spec_uint ("entries", NULL, NULL, 0, G_MAXUINT, 0, readable);
  properties[PROP_STOPS] = g_param_spec_uint ("stops", NULL, NULL, 0, G_MAXUINT, 0, readable);
  properties[PROP_BUSY] = g_param_spec_boolean ("busy", NULL, NULL, FALSE, readable);
  g_object_class_install_properties (object_class, N_PROPS, properties);

  signals[SIGNAL_CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                          NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_TICK] = g_signal_new ("tick", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                       NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_CONTACT_REACHED]
    = g_signal_new ("contact-reached", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                    G_TYPE_NONE, 2, G_TYPE_UINT, G_TYPE_INT);
}

static void
td_session_init (TdSession *self)
{
  self->reached = g_hash_table_new (NULL, NULL);
  self->local = g_time_zone_new_local ();
}

static void
open_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GTask) task = user_data;
  TdSession *self = g_task_get_task_data (task);
  g_autoptr (GError) error = NULL;
  gpointer loaded = NULL;

  if (!td_queue_run_finish (result, &loaded, &error))
    {
      g_task_return_error (task, g_steal_pointer (&error));
      return;
    }
  take_loaded (self, loaded);
  g_signal_connect_object (self->queue, "changed", G_CALLBACK (queue_changed_cb), self, 0);
  g_task_return_pointer (task, g_object_ref (self), g_object_unref);
}

void
td_session_open_async (TdQueue *queue, const TdUuid *visit, TdClock *clock, GCancellable *cancellable,
                       GAsyncReadyCallback callback, gpointer user_data)
{
  GTask *task = g_task_new (NULL, cancellable, callback, user_data);
  TdSession *self = g_object_new (TD_TYPE_SESSION, NULL);

  g_return_if_fail (TD_IS_QUEUE (queue) && visit != NULL);
  self->queue = g_object_ref (queue);
  self->id = *visit;
  self->clock = clock != NULL ? td_clock_ref (clock) : td_clock_new ();
  self->tail = td_visit_tail_new (visit);
  g_task_set_source_tag (task, td_session_open_async);
  g_task_set_task_data (task, self, g_object_unref);
  td_queue_run_async (queue, TD_JOB_READ, td_visit_load_job, td_visit_tail_ref (self->tail),
                      td_visit_tail_unref, td_visit_loaded_free, cancellable, open_cb, task);
}

TdSession *
td_session_open_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_task_is_valid (result, NULL), NULL);
  g_return_val_if_fail (g_async_result_is_tagged (result, td_session_open_async), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}

TdVisit *
td_session_get_visit (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->record->visit;
}

const TdVisitRow *
td_session_get_row (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->record->row;
}

GPtrArray *
td_session_get_findings (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->findings;
}

const char *
td_session_get_seal (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->record->seal;
}

const char *
td_session_get_previous_seal (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->record->previous_seal;
}

const char *
td_session_get_amends_number (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->amends_number;
}

const char *
td_session_get_amended_by_number (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->amended_by;
}

const TdVisitRecord *
td_session_get_record (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->record;
}

TdMasters *
td_session_get_masters (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->masters;
}

const TdHabits *
td_session_get_habits (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->habits;
}

TdQueue *
td_session_get_queue (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->queue;
}

gint64
td_session_get_now_ms (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), 0);
  return td_clock_get_now_ms (self->clock);
}

TdMoment
td_session_make_moment (TdSession *self, gint64 utc_ms)
{
  TdMoment moment = { .utc_ms = utc_ms };

  g_return_val_if_fail (TD_IS_SESSION (self), moment);
  if (self->zone != NULL)
    moment.offset_min = td_zone_get_offset (self->zone, utc_ms);
  else
    {
      int interval = g_time_zone_find_interval (self->local, G_TIME_TYPE_UNIVERSAL, utc_ms / 1000);

      moment.offset_min = g_time_zone_get_offset (self->local, interval) / 60;
    }
  return moment;
}

TdMoment
td_session_get_moment (TdSession *self)
{
  return td_session_make_moment (self, self->happened_ms != 0 ? self->happened_ms
                                                              : td_session_get_now_ms (self));
}

const char *
td_session_get_person (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  return self->person;
}

void
td_session_set_person (TdSession *self, const char *person)
{
  g_return_if_fail (TD_IS_SESSION (self));
  g_return_if_fail (person != NULL && *person != '\0');
  if (g_strcmp0 (self->person, person) == 0)
    return;
  g_free (self->person);
  self->person = g_strdup (person);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_PERSON]);
}

gint64
td_session_get_happened_ms (TdSession *self)
{
  g_return_val_if_fail (TD_IS_SESSION (self), 0);
  return self->happened_ms;
}

void
td_session_set_happened_ms (TdSession *self, gint64 utc_ms)
{
  g_return_if_fail (TD_IS_SESSION (self));
  g_return_if_fail (utc_ms >= 0);
  if (self->happened_ms == utc_ms)
    return;
  self->happened_ms = utc_ms;
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_HAPPENED_MS]);
}

GPtrArray *
td_session_ask_guard (TdSession *self, TdKind kind, int circuit, const guint *outlets, gsize n_outlets)
{
  TdGuardQuestion question = { 0 };

  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  question.kind = kind;
  question.circuit = circuit;
  question.outlets = outlets;
  question.n_outlets = n_outlets;
  question.person = self->person;
  question.now_ms = td_session_get_moment (self).utc_ms;
  return td_guard_ask (self->record->visit, &question);
}

TdDraft *
td_session_draft (TdSession *self, TdKind kind, TdJson *body)
{
  g_autoptr (TdJson) owned G_GNUC_UNUSED = body;
  TdMoment moment;

  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  g_return_val_if_fail (body != NULL, NULL);
  moment = td_session_get_moment (self);
  return td_draft_new (&self->id, kind, &moment, self->person, body);
}

TdDraft *
td_session_draft_correction (TdSession *self, guint of, TdJson *set, const char *why)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) owned G_GNUC_UNUSED = set;

  g_return_val_if_fail (TD_IS_SESSION (self), NULL);
  g_return_val_if_fail (of >= 1 && why != NULL, NULL);
  td_json_builder_begin_object (builder);
  td_json_builder_member_integer (builder, "of", of);
  if (set != NULL)
    td_json_builder_member_value (builder, "set", set);
  else
    td_json_builder_member_string (builder, "void", "yes");
  td_json_builder_member_string (builder, "why", why);
  td_json_builder_end (builder);
  return td_session_draft (self, TD_KIND_CORRECTION, td_json_builder_finish (builder));
}

static void
append_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GTask) task = user_data;
  TdSession *self = g_task_get_source_object (task);
  g_autoptr (GError) error = NULL;
  gpointer loaded = NULL;
  gboolean done = td_queue_run_finish (result, &loaded, &error);

  self->pending--;
  if (done)
    {
      self->echoes++;
      take_loaded (self, loaded);
    }
  if (self->pending == 0)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_BUSY]);
  if (done)
    {
      GPtrArray *entries = self->record->visit->entries;

      g_task_return_pointer (task, td_entry_ref (g_ptr_array_index (entries, entries->len - 1)),
                             (GDestroyNotify) td_entry_unref);
      return;
    }
  if (g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT))
    reload (self);
  g_task_return_error (task, g_steal_pointer (&error));
}

void
td_session_append_many_async (TdSession *self, GPtrArray *drafts, GAsyncReadyCallback callback,
                              gpointer user_data)
{
  GTask *task;

  g_return_if_fail (TD_IS_SESSION (self));
  g_return_if_fail (drafts != NULL && drafts->len > 0);
  task = g_task_new (self, NULL, callback, user_data);
  g_task_set_source_tag (task, td_session_append_many_async);
  if (self->pending++ == 0)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_BUSY]);
  td_queue_run_async (self->queue, TD_JOB_WRITE, td_visit_append_job,
                      td_visit_append_new (self->tail, drafts), td_visit_append_free, td_visit_loaded_free,
                      NULL, append_cb, task);
}

void
td_session_append_async (TdSession *self, TdDraft *draft, GAsyncReadyCallback callback, gpointer user_data)
{
  GPtrArray *drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);

  g_ptr_array_add (drafts, draft);
  td_session_append_many_async (self, drafts, callback, user_data);
}

gboolean
td_session_append_finish (TdSession *self, GAsyncResult *result, TdEntry **entry_out, GError **error)
{
  g_autoptr (TdEntry) entry = NULL;

  g_return_val_if_fail (g_task_is_valid (result, self), FALSE);
  entry = g_task_propagate_pointer (G_TASK (result), error);
  if (entry == NULL)
    return FALSE;
  if (entry_out != NULL)
    *entry_out = g_steal_pointer (&entry);
  return TRUE;
}
