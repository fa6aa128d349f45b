/* A visit as the window works in it: acts, conflicts, clocks, what is told of. */
#include "core-error.h"
#include "core-json-build.h"
#include "desk-book.h"
#include "desk-session.h"
#include "store-journal.h"

#include <glib/gstdio.h>
#include <string.h>

/* The second replay without its end: an open visit. */
#define KEPT_OPEN 12

typedef struct
{
  char *folder;
  char *path;
  TdQueue *queue;
  TdClock *clock;
  TdUuid visit;
  TdSession *session;
  GString *log;
} Fixture;

static void
note (Fixture *fixture, const char *word)
{
  g_string_append_printf (fixture->log, "%s%s", fixture->log->len > 0 ? " " : "", word);
}

static void
until (Fixture *fixture, const char *wanted)
{
  gint64 end = g_get_monotonic_time () + 10 * G_USEC_PER_SEC;

  while (!g_str_equal (fixture->log->str, wanted))
    {
      if (g_get_monotonic_time () > end)
        g_error ("waited for '%s', have '%s'", wanted, fixture->log->str);
      if (!g_main_context_iteration (NULL, FALSE))
        g_usleep (500);
    }
}

static void
queue_opened_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  Fixture *fixture = user_data;
  g_autoptr (GError) error = NULL;

  fixture->queue = td_queue_open_finish (result, &error);
  g_assert_no_error (error);
  note (fixture, "open");
}

static void
session_opened_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  Fixture *fixture = user_data;
  g_autoptr (GError) error = NULL;

  fixture->session = td_session_open_finish (result, &error);
  note (fixture, error == NULL ? "session" : "no-session");
}

/* A book with one open visit whose entries are those of the replay but for the last @but_last. */
static void
start (Fixture *fixture, const char *replay, guint but_last, gint64 now_ms)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = NULL;

  fixture->folder = g_dir_make_tmp ("tundish-session-XXXXXX", NULL);
  fixture->path = g_build_filename (fixture->folder, "b.tundish", NULL);
  fixture->log = g_string_new (NULL);
  book = td_book_create (fixture->path, TRUE, clock, &error);
  g_assert_no_error (error);
  td_test_book_fill (book);
  fixture->visit = td_test_book_replay (book, replay, but_last);
  g_clear_pointer (&book, td_book_close);
  fixture->clock = td_clock_new_pinned (now_ms, 0, 9);
  td_queue_open_async (fixture->path, TD_OPEN_EXISTING, td_clock_new_pinned (now_ms, 1000, 8), queue_opened_cb,
                       fixture);
  until (fixture, "open");
  td_session_open_async (fixture->queue, &fixture->visit, fixture->clock, NULL, session_opened_cb, fixture);
  until (fixture, "open session");
  g_string_truncate (fixture->log, 0);
}

static void
set_up (Fixture *fixture, gconstpointer data)
{
  start (fixture, "02-tin-heron-routine.jsonl", KEPT_OPEN, TD_TEST_NOW_MS);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  gpointer alive = fixture->session;

  if (fixture->session != NULL)
    {
      g_object_add_weak_pointer (G_OBJECT (fixture->session), &alive);
      g_clear_object (&fixture->session);
      /* Held for as long as something that it asked for is on its way. */
      while (alive != NULL)
        g_main_context_iteration (NULL, TRUE);
    }
  g_assert_finalize_object (g_steal_pointer (&fixture->queue));
  td_clock_unref (fixture->clock);
  g_unlink (fixture->path);
  g_rmdir (fixture->folder);
  g_free (fixture->folder);
  g_free (fixture->path);
  g_string_free (fixture->log, TRUE);
}

static void
appended_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  Fixture *fixture = user_data;
  TdSession *session = TD_SESSION (source);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdEntry) entry = NULL;
  g_autofree char *word = NULL;

  if (td_session_append_finish (session, result, &entry, &error))
    {
      /* The state holds the act already. */
      g_assert_cmpuint (td_session_get_visit (session)->last_seq, >=, entry->envelope.seq);
      word = g_strdup_printf ("%s:%u", td_kind_get_code (entry->envelope.kind), entry->envelope.seq);
      note (fixture, word);
    }
  else
    {
      word = g_strdup_printf ("%s:%d", error->domain == TD_ERROR ? "refused" : "book", error->code);
      note (fixture, word);
    }
}

static TdDraft *
make_note (Fixture *fixture, const char *text)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "text", text);
  td_json_builder_end (builder);
  return td_session_draft (fixture->session, TD_KIND_NOTE, td_json_builder_finish (builder));
}

static void
test_open (Fixture *fixture, gconstpointer data)
{
  TdVisit *visit = td_session_get_visit (fixture->session);
  guint entries = 0;
  gboolean closed = TRUE, busy = TRUE;
  g_autofree char *person = NULL;

  g_object_get (fixture->session, "entries", &entries, "closed", &closed, "busy", &busy, "person", &person, NULL);
  g_assert_cmpuint (entries, ==, visit->entries->len);
  g_assert_false (closed || busy);
  g_assert_cmpstr (person, ==, g_ptr_array_index (visit->persons, 0));
  g_assert_null (td_session_get_seal (fixture->session));
  g_assert_cmpint (td_session_get_now_ms (fixture->session), ==, TD_TEST_NOW_MS);
  /* Dublin in June is an hour ahead of UTC. */
  g_assert_cmpint (td_session_get_moment (fixture->session).offset_min, ==, 60);
  g_assert_cmpuint (td_session_get_masters (fixture->session)->n_products, >, 0);
}

static void
test_append (Fixture *fixture, gconstpointer data)
{
  guint before = td_session_get_visit (fixture->session)->last_seq;
  g_autofree char *wanted = g_strdup_printf ("note:%u note:%u", before + 1, before + 2);
  gboolean busy = FALSE;
  const TdEntry *entry;

  /* The second is handed in before the first is answered. */
  td_session_append_async (fixture->session, make_note (fixture, "one"), appended_cb, fixture);
  td_session_append_async (fixture->session, make_note (fixture, "two"), appended_cb, fixture);
  g_object_get (fixture->session, "busy", &busy, NULL);
  g_assert_true (busy);
  until (fixture, wanted);
  g_object_get (fixture->session, "busy", &busy, NULL);
  g_assert_false (busy);
  entry = g_ptr_array_index (td_session_get_visit (fixture->session)->entries, before);
  g_assert_cmpstr (entry->body_text, ==, "{\"text\":\"one\"}");
  g_assert_cmpint (entry->envelope.happened.utc_ms, ==, TD_TEST_NOW_MS);
}

static void
test_append_many (Fixture *fixture, gconstpointer data)
{
  GPtrArray *drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  guint before = td_session_get_visit (fixture->session)->last_seq;
  g_autofree char *wanted = g_strdup_printf ("note:%u note:%u", before + 3, before + 4);

  for (int i = 0; i < 3; i++)
    g_ptr_array_add (drafts, make_note (fixture, "many"));
  td_session_append_many_async (fixture->session, drafts, appended_cb, fixture);
  td_session_append_async (fixture->session, make_note (fixture, "after"), appended_cb, fixture);
  until (fixture, wanted);
}

/* What cannot have happened is refused, and the next act is none the worse for it. */
static void
test_refused (Fixture *fixture, gconstpointer data)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  guint before = td_session_get_visit (fixture->session)->last_seq;
  g_autofree char *wanted = g_strdup_printf ("refused:%d note:%u", TD_ERROR_IMPOSSIBLE, before + 1);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "tag", "never-hung");
  td_json_builder_end (builder);
  td_session_append_async (fixture->session,
                           td_session_draft (fixture->session, TD_KIND_TAG_REMOVED, td_json_builder_finish (builder)),
                           appended_cb, fixture);
  td_session_append_async (fixture->session, make_note (fixture, "good"), appended_cb, fixture);
  until (fixture, wanted);
}

static void
changed_cb (TdSession *session, Fixture *fixture)
{
  note (fixture, "changed");
}

static void
write_elsewhere (Fixture *fixture)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 11);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_open (fixture->path, clock, &error);
  g_autoptr (TdDraft) draft = make_note (fixture, "from elsewhere");

  g_assert_no_error (error);
  td_book_append (book, draft, NULL, NULL, &error);
  g_assert_no_error (error);
}

/* Another program goes on with the visit: this one notices by itself. */
static void
test_followed (Fixture *fixture, gconstpointer data)
{
  guint before = td_session_get_visit (fixture->session)->last_seq;

  g_signal_connect (fixture->session, "changed", G_CALLBACK (changed_cb), fixture);
  write_elsewhere (fixture);
  until (fixture, "changed");
  g_assert_cmpuint (td_session_get_visit (fixture->session)->last_seq, ==, before + 1);
}

/* An act that was meant for a state that has gone by is not written, but the new state is shown. */
static void
test_conflict (Fixture *fixture, gconstpointer data)
{
  guint before = td_session_get_visit (fixture->session)->last_seq;
  g_autofree char *first = g_strdup_printf ("book:%d", TD_BOOK_ERROR_CONFLICT);
  g_autofree char *second = NULL;

  write_elsewhere (fixture);
  td_session_append_async (fixture->session, make_note (fixture, "unaware"), appended_cb, fixture);
  until (fixture, first);
  while (td_session_get_visit (fixture->session)->last_seq == before)
    g_main_context_iteration (NULL, TRUE);
  g_assert_cmpuint (td_session_get_visit (fixture->session)->last_seq, ==, before + 1);
  td_session_append_async (fixture->session, make_note (fixture, "aware"), appended_cb, fixture);
  second = g_strdup_printf ("%s note:%u", first, before + 2);
  until (fixture, second);
}

/* The same for several acts as one. */
static void
test_conflict_many (Fixture *fixture, gconstpointer data)
{
  GPtrArray *drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_autofree char *wanted = g_strdup_printf ("book:%d", TD_BOOK_ERROR_CONFLICT);

  write_elsewhere (fixture);
  g_ptr_array_add (drafts, make_note (fixture, "a"));
  g_ptr_array_add (drafts, make_note (fixture, "b"));
  td_session_append_many_async (fixture->session, drafts, appended_cb, fixture);
  until (fixture, wanted);
}

static void
test_by_hand (Fixture *fixture, gconstpointer data)
{
  g_autoptr (TdDraft) draft = NULL;

  td_session_set_person (fixture->session, "dara");
  td_session_set_happened_ms (fixture->session, TD_TEST_NOW_MS - 600000);
  draft = make_note (fixture, "late");
  g_assert_cmpstr (draft->person, ==, "dara");
  g_assert_cmpint (draft->happened.utc_ms, ==, TD_TEST_NOW_MS - 600000);
  td_session_set_happened_ms (fixture->session, 0);
  g_assert_cmpint (td_session_get_moment (fixture->session).utc_ms, ==, TD_TEST_NOW_MS);
}

static void
test_correction (Fixture *fixture, gconstpointer data)
{
  guint before = td_session_get_visit (fixture->session)->last_seq;
  g_autofree char *first = g_strdup_printf ("note:%u", before + 1);
  g_autofree char *all = g_strdup_printf ("note:%u correction:%u", before + 1, before + 2);

  td_session_append_async (fixture->session, make_note (fixture, "wrong"), appended_cb, fixture);
  until (fixture, first);
  td_session_append_async (fixture->session,
                           td_session_draft_correction (fixture->session, before + 1, NULL, "Written twice."),
                           appended_cb, fixture);
  until (fixture, all);
  g_assert_null (td_visit_get_effective (td_session_get_visit (fixture->session), before + 1));
}

static void
tick_cb (TdSession *session, Fixture *fixture)
{
  if (fixture->log->len == 0)
    note (fixture, "tick");
}

static void
test_tick (Fixture *fixture, gconstpointer data)
{
  g_signal_connect (fixture->session, "tick", G_CALLBACK (tick_cb), fixture);
  until (fixture, "tick");
}

static void
reached_cb (TdSession *session, guint circuit, int outlet, Fixture *fixture)
{
  g_autofree char *word = g_strdup_printf ("reached:%u:%d", circuit, outlet);

  note (fixture, word);
}

/* Counts the entries of the replay up to the first of that kind. */
static guint
count_up_to (const char *replay, const char *kind)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "replay", replay, NULL);
  g_autofree char *text = NULL;
  g_autofree char *word = g_strdup_printf ("\"kind\": \"%s\"", kind);
  g_auto (GStrv) lines = NULL;
  guint n = 0;

  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  lines = g_strsplit (g_strchomp (text), "\n", -1);
  while (lines[n] != NULL && strstr (lines[n], word) == NULL)
    n++;
  g_assert_nonnull (lines[n]);
  return g_strv_length (lines) - n;
}

/* The contact of the circuit is up a second from now: told of once, for all its lines together. */
static void
test_contact_reached (void)
{
  const char *replay = "02-tin-heron-routine.jsonl";
  Fixture fixture = { 0 };
  TdVisit *visit;
  const TdPass *pass = NULL;
  gint64 started_ms;

  start (&fixture, replay, count_up_to (replay, "contact-ended"), TD_TEST_NOW_MS);
  visit = td_session_get_visit (fixture.session);
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdPass *each = td_visit_line_get_pass (&visit->lines[i]);

      if (each != NULL && each->circuit != 0 && each->clock_start.seq != 0)
        pass = each;
    }
  g_assert_nonnull (pass);
  started_ms = pass->clock_start.at_ms;
  g_signal_connect (fixture.session, "contact-reached", G_CALLBACK (reached_cb), &fixture);
  /* It was up long ago when the session was made: no news. */
  for (int i = 0; i < 3; i++)
    {
      gint64 end = g_get_monotonic_time () + 400000;

      while (g_get_monotonic_time () < end)
        g_main_context_iteration (NULL, FALSE);
    }
  g_assert_cmpstr (fixture.log->str, ==, "");
  tear_down (&fixture, NULL);

  start (&fixture, replay, count_up_to (replay, "contact-ended"), started_ms);
  g_signal_connect (fixture.session, "contact-reached", G_CALLBACK (reached_cb), &fixture);
  td_clock_set_now_ms (fixture.clock, TD_TEST_NOW_MS);
  until (&fixture, "reached:1:-1");
  tear_down (&fixture, NULL);
}

static void
test_missing_visit (Fixture *fixture, gconstpointer data)
{
  TdUuid nobody = { { 1, 2, 3 } };

  g_clear_object (&fixture->session);
  td_session_open_async (fixture->queue, &nobody, fixture->clock, NULL, session_opened_cb, fixture);
  until (fixture, "no-session");
  g_assert_null (fixture->session);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define TEST(name, function) g_test_add ("/session/" name, Fixture, NULL, set_up, function, tear_down)
  TEST ("open", test_open);
  TEST ("append", test_append);
  TEST ("append-many", test_append_many);
  TEST ("refused", test_refused);
  TEST ("followed", test_followed);
  TEST ("conflict", test_conflict);
  TEST ("conflict-many", test_conflict_many);
  TEST ("by-hand", test_by_hand);
  TEST ("correction", test_correction);
  TEST ("tick", test_tick);
  TEST ("missing-visit", test_missing_visit);
  g_test_add_func ("/session/contact-reached", test_contact_reached);
  return g_test_run ();
}
