#include "desk-round-note.h"

#include "desk-i18n.h"
#include "store-round.h"

#define MS_PER_DAY G_GINT64_CONSTANT (86400000)

typedef struct
{
  char *site_id, *reason, *person;
  TdDate day, moved_to;
  gboolean theirs;
} Note;

static void
free_note (gpointer data)
{
  Note *note = data;

  g_free (note->site_id);
  g_free (note->reason);
  g_free (note->person);
  g_free (note);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC (Note, free_note)

static gboolean
write_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const Note *note = data;
  const TdRoundNote written = { .site_id = note->site_id, .day = note->day, .moved_to = note->moved_to,
                                .theirs = note->theirs, .reason = note->reason, .person = note->person };

  return td_book_add_round_note (book, &written, error);
}

void
td_round_note_ask (TdAskForm *form, TdContext *context, const TdRound *round, gboolean move)
{
  TdQueue *queue = td_context_get_queue (context);
  TdDate today = (TdDate) (td_context_get_now_ms (context) / MS_PER_DAY);
  TdDate day = round->moved ? round->moved_to : round->due != TD_DATE_NONE ? round->due : today;
  g_autofree char *person = NULL;

  g_return_if_fail (TD_IS_ASK_FORM (form) && queue != NULL && round != NULL);
  person = td_state_get_person (td_context_get_state (context), td_queue_get_path (queue));
  if (move)
    td_ask_form_begin (form, "move", _ ("A planned visit is moved to another day. It is written down for good."),
                       _ ("Move the visit"));
  else
    td_ask_form_begin (form, "miss", _ ("A planned visit was missed. It is written down for good."),
                       _ ("Write it down"));
  td_ask_form_add_date (form, "day", _ ("Planned for"), day);
  if (move)
    td_ask_form_add_date (form, "to", _ ("Moved to"), MAX (day, today) + 1);
  td_ask_form_add_entry (form, "reason", _ ("Reason"), NULL);
  td_ask_form_add_entry (form, "person", _ ("Who writes this down"), person);
  td_ask_form_add_check (form, "theirs", _ ("The customer's doing: a flat price is paid as if it had been made"), FALSE);
  td_ask_form_show (form);
}

/* NULL where something is wrong with an answer, which is then said in the form. */
static Note *
read_note (TdAskForm *form, const char *site_id, gboolean move)
{
  g_autoptr (Note) note = g_new0 (Note, 1);

  note->site_id = g_strdup (site_id);
  note->moved_to = TD_DATE_NONE;
  if (!td_ask_form_get_date (form, "day", &note->day) || (move && !td_ask_form_get_date (form, "to", &note->moved_to))
      || !td_ask_form_require_text (form, "reason", &note->reason)
      || !td_ask_form_require_text (form, "person", &note->person))
    return NULL;
  if (move && note->moved_to == note->day)
    {
      td_ask_form_complain (form, _ ("It is moved to the day that it was planned for. Choose another day."));
      return NULL;
    }
  note->theirs = td_ask_form_get_active (form, "theirs");
  return g_steal_pointer (&note);
}

void
td_round_note_write (TdAskForm *form,
                     TdContext *context,
                     const char *site_id,
                     gboolean move,
                     GCancellable *cancellable,
                     GAsyncReadyCallback callback,
                     gpointer user_data)
{
  TdQueue *queue = td_context_get_queue (context);
  Note *note;

  g_return_if_fail (TD_IS_ASK_FORM (form) && site_id != NULL);
  note = queue != NULL ? read_note (form, site_id, move) : NULL;
  if (note == NULL)
    return;
  td_state_set_person (td_context_get_state (context), td_queue_get_path (queue), note->person);
  td_context_run_async (context, TD_JOB_WRITE, write_job, note, free_note, NULL, cancellable, callback, user_data);
}
