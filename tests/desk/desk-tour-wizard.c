#include "desk-tour-wizard.h"

#include "desk-book.h"
#include "desk-visit-page.h"
#include "model-steps.h"
#include "store-journal.h"
#include "wizard-journal.h"

/* How long the clocks of the contact have run when they are looked at. */
#define CONTACT_MS (6 * 60 * 1000)

typedef struct
{
  TdDrive *drive;
  TdTourStop stop;
  gpointer data;
  GPtrArray *drafts; /* TdDraft: the visit, act by act */
  guint done;
} Tour;

static TdSession *
get_session (Tour *tour)
{
  return td_visit_page_get_session (TD_VISIT_PAGE (td_window_get_page (tour->drive->window)));
}

static void
set_clock (Tour *tour, gint64 ms)
{
  td_clock_set_now_ms (td_context_get_clock (td_window_get_context (tour->drive->window)), ms);
  g_signal_emit_by_name (get_session (tour), "tick");
}

static void
appended_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GError) error = NULL;

  td_session_append_finish (TD_SESSION (source), result, NULL, &error);
  g_assert_no_error (error);
  *(gboolean *) user_data = TRUE;
}

static gboolean
is_true (TdDrive *drive, gpointer data)
{
  return *(gboolean *) data;
}

/* The next act of the visit, as if somebody had done it here. */
static void
do_next (Tour *tour)
{
  const TdDraft *draft = g_ptr_array_index (tour->drafts, tour->done++);
  gboolean appended = FALSE;

  set_clock (tour, draft->happened.utc_ms);
  td_session_append_async (get_session (tour),
                           td_draft_new (&draft->visit, draft->kind, &draft->happened, draft->person,
                                         draft->body),
                           appended_cb, &appended);
  td_drive_until (tour->drive, is_true, &appended, "the disk");
}

static void
do_until_step (Tour *tour, TdStep step)
{
  for (; tour->done < tour->drafts->len; do_next (tour))
    {
      TdSession *session = get_session (tour);
      TdStepView view = { .visit = td_session_get_visit (session),
                          .now_ms = td_session_get_now_ms (session),
                          .person = td_session_get_person (session) };

      if (td_steps_find_current (&view) >= step)
        return;
    }
}

static void
do_until_kind (Tour *tour, TdKind kind)
{
  while (tour->done < tour->drafts->len
         && ((TdDraft *) g_ptr_array_index (tour->drafts, tour->done))->kind != kind)
    do_next (tour);
}

static void
look (Tour *tour, const char *name)
{
  td_drive_frames (tour->drive, 4);
  td_drive_settle (tour->drive, 150);
  tour->stop (tour->drive, name, GTK_WIDGET (tour->drive->window), tour->data);
}

static GtkWidget *
wizard (Tour *tour)
{
  return td_drive_find (tour->drive, NULL, "wizard");
}

static void
look_at_page (Tour *tour, const char *page, const char *name)
{
  td_drive_act (tour->drive, wizard (tour), "wizard.show", g_variant_new_string (page));
  look (tour, name);
  td_drive_act (tour->drive, wizard (tour), "wizard.show", g_variant_new_string ("list"));
}

static void
look_at_form (Tour *tour, const char *act, const char *name)
{
  td_drive_act (tour->drive, wizard (tour), "wizard.form", g_variant_new ("(sbb)", act, FALSE, FALSE));
  look (tour, name);
  td_drive_act (tour->drive, wizard (tour), "wizard.leave", NULL);
}

static gboolean
is_planned (TdDrive *drive, gpointer data)
{
  GtkWidget *adopt = td_drive_look (drive, NULL, "adopt");

  return adopt != NULL && gtk_widget_is_sensitive (adopt);
}

static void
look_at_step (Tour *tour, TdStep step)
{
  g_autofree char *name = g_strdup_printf ("step-%d-%s", step + 1, td_step_to_text (step));

  do_until_step (tour, step);
  if (step == TD_STEP_PLAN)
    td_drive_until (tour->drive, is_planned, NULL, "a plan");
  if (step == TD_STEP_CONTACT)
    {
      do_until_kind (tour, TD_KIND_FAUCET_STRIPPED);
      set_clock (tour, ((TdDraft *) g_ptr_array_index (tour->drafts, tour->done - 1))->happened.utc_ms + CONTACT_MS);
    }
  look (tour, name);
  /* With protection on: what is held back opens no form. */
  if (step == TD_STEP_MIX)
    do_until_kind (tour, TD_KIND_SOLUTION_MIXED);
  if (step == TD_STEP_MIX)
    look_at_form (tour, "mix/bucket/mix-caustic", "form-mix");
  if (step == TD_STEP_CONTACT)
    {
      look_at_page (tour, "stops", "stops");
      look_at_page (tour, "opening", "opening");
      look_at_page (tour, "record", "acts-done");
    }
  if (step == TD_STEP_SIGN)
    {
      look_at_form (tour, "sign/end/signature", "form-sign");
      look_at_form (tour, "sign/end/countersignature", "form-countersign");
    }
}

static void
make_book (Tour *tour, const char *path)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, &error);

  g_assert_no_error (error);
  td_test_book_fill (book);
  td_book_append (book, g_ptr_array_index (tour->drafts, tour->done++), NULL, NULL, &error);
  g_assert_no_error (error);
}

void
td_tour_wizard (TdDrive *drive, TdTourStop stop, gpointer data)
{
  g_autofree char *path = td_drive_path (drive, "visit.tundish");
  g_autofree char *file = g_test_build_filename (G_TEST_DIST, "desk", "hand-visit.jsonl", NULL);
  g_autoptr (GPtrArray) drafts = wizard_journal_read (file, NULL);
  Tour tour = { drive, stop, data, drafts, 0 };
  g_autofree char *visit = NULL;
  g_autofree char *place = NULL;

  make_book (&tour, path);
  visit = td_uuid_to_text (&((TdDraft *) g_ptr_array_index (drafts, 0))->visit);
  place = g_strconcat ("visit:", visit, NULL);
  td_drive_open (drive, path);
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-visit", g_variant_new_string (visit));
  td_drive_until_place (drive, place);
  for (TdStep step = 0; step < TD_N_STEPS; step++)
    look_at_step (&tour, step);
}
