/* Acts of a visit that its straight course does not come to, done in the window by pointer and keys: each part
 * begins in the middle of a visit and says which entries come out, with their facts.
 *
 * The visits are those of hand-visit.jsonl and of tests/replay: up to an entry, the rest is done here. */
#include "desk-book.h"
#include "desk-tower-view.h"
#include "desk-visit-page.h"
#include "store-journal.h"
#include "wizard-drive.h"
#include "wizard-journal.h"
#include "wizard-pad.h"
#include "wizard-photo.h"
#include "wizard-row.h"

#include <string.h>

/* From the last entry to the first act here, milliseconds. */
#define PAUSE_MS 20000
/* How long after it happened an entry was written down, milliseconds. */
#define WRITTEN_MS 5000

typedef struct
{
  TdDrive *drive;
  WizardHand hand;
  guint begun; /* entries that stood before */
} Stage;

static gboolean
is_at_a_visit (TdDrive *drive, gpointer data)
{
  return g_str_has_prefix (td_window_get_place (drive->window), "visit:")
         && td_visit_page_get_session (TD_VISIT_PAGE (td_window_get_page (drive->window))) != NULL;
}

static gint64
fill_book (const char *path, const GPtrArray *drafts, guint n)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, &error);
  g_autoptr (GPtrArray) some = g_ptr_array_new ();
  g_autoptr (GArray) written = g_array_new (FALSE, FALSE, sizeof (gint64));
  gint64 last_ms = 0;

  g_assert_no_error (error);
  td_test_book_fill (book);
  g_assert_cmpuint (drafts->len, >=, n);
  for (guint i = 0; i < n; i++)
    {
      TdDraft *draft = g_ptr_array_index (drafts, i);
      gint64 ms = draft->happened.utc_ms + WRITTEN_MS;

      g_ptr_array_add (some, draft);
      g_array_append_val (written, ms);
      last_ms = draft->happened.utc_ms;
    }
  td_book_append_many (book, some, (const gint64 *) written->data, NULL, &error);
  g_assert_no_error (error);
  return last_ms;
}

/* A window in which the first @n entries of the visit in @folder/@name have been done. */
static void
begin (Stage *stage, const char *folder, const char *name, guint n)
{
  g_autofree char *file = g_test_build_filename (G_TEST_DIST, folder, name, NULL);
  g_autoptr (GPtrArray) drafts = wizard_journal_read (file, NULL);
  const TdDraft *first = g_ptr_array_index (drafts, 0);
  g_autofree char *visit = td_uuid_to_text (&first->visit);
  TdDrive *drive = td_drive_new (1280, 900, FALSE);
  g_autofree char *path = td_drive_path (drive, "a.tundish");
  gint64 last_ms = fill_book (path, drafts, n);
  TdContext *context = td_window_get_context (drive->window);

  stage->drive = drive;
  stage->hand = (WizardHand){ .drive = drive, .how = WIZARD_BY_POINTER };
  td_clock_set_now_ms (td_context_get_clock (context), last_ms + PAUSE_MS);
  td_state_set_person (td_context_get_state (context), path, first->person);
  td_drive_open (drive, path);
  wizard_open (&stage->hand, visit);
  td_drive_until (drive, is_at_a_visit, NULL, "the visit");
  td_drive_frames (drive, 2);
  stage->begun = wizard_get_visit (&stage->hand)->last_seq;
  g_assert_cmpuint (stage->begun, ==, n);
}

static void
begin_hand_visit (Stage *stage, guint n)
{
  begin (stage, "desk", "hand-visit.jsonl", n);
}

static void
end (Stage *stage)
{
  g_clear_pointer (&stage->drive, td_drive_free);
}

typedef struct
{
  Stage *stage;
  guint seq;
} Until;

static gboolean
has_seq (TdDrive *drive, gpointer data)
{
  const Until *until = data;

  return wizard_get_visit (&until->stage->hand)->last_seq >= until->seq;
}

/* Waits for these entries, the first of them at @from behind those that stood before; ends with NULL. */
static void
expect (Stage *stage, guint from, const char *const *entries)
{
  guint n = g_strv_length ((char **) entries);
  Until until = { stage, stage->begun + from + n };
  g_autoptr (GPtrArray) lines = NULL;

  td_drive_until (stage->drive, has_seq, &until, entries[n - 1]);
  wizard_wait_for_disk (&stage->hand);
  lines = wizard_journal_of_visit (wizard_get_visit (&stage->hand));
  g_assert_cmpuint (lines->len, ==, until.seq);
  for (guint i = 0; i < n; i++)
    g_assert_cmpstr (g_ptr_array_index (lines, stage->begun + from + i), ==, entries[i]);
}

#define EXPECT(stage, from, ...) expect (stage, from, (const char *const[]){ __VA_ARGS__, NULL })

static gint64
get_happened_ms (Stage *stage, guint seq)
{
  return td_visit_get_effective (wizard_get_visit (&stage->hand), seq)->envelope.happened.utc_ms;
}

/* The widget of that name in sight below @root (nullable: the window). */
static GtkWidget *
find_named (Stage *stage, GtkWidget *root, const char *name)
{
  GtkWidget *widget = td_drive_look_named (stage->drive, root, name);

  if (widget == NULL)
    {
      wizard_picture (&stage->hand, "failed");
      g_error ("there is no '%s' in sight", name);
    }
  return widget;
}

static void
press (Stage *stage, GtkWidget *widget)
{
  g_assert_nonnull (widget);
  wizard_press (&stage->hand, widget);
  td_drive_frames (stage->drive, 1);
}

static void
press_id (Stage *stage, const char *id)
{
  press (stage, td_drive_find (stage->drive, NULL, id));
}

static void
press_label (Stage *stage, const char *text)
{
  GtkWidget *label = td_drive_look_label (GTK_WIDGET (stage->drive->window), text);

  if (label == NULL)
    g_error ("nothing says '%s'", text);
  press (stage, gtk_widget_get_ancestor (label, GTK_TYPE_BUTTON));
}

static void
go_to_step (Stage *stage, TdStep step)
{
  g_autofree char *key = g_strdup_printf ("<Control>%d", (int) step + 1);

  td_drive_key (stage->drive, key);
  td_drive_frames (stage->drive, 2);
  g_assert_cmpint (td_wizard_get_step (wizard_get (&stage->hand)), ==, step);
}

/* The part with that id of the act's row. */
static GtkWidget *
find_in_row (Stage *stage, const char *key, const char *id)
{
  return td_drive_find (stage->drive, find_named (stage, NULL, key), id);
}

/* The form of a kind, from the end of a step's list. */
static TdWizardForm *
open_kind (Stage *stage, TdStep step, const char *code)
{
  go_to_step (stage, step);
  press (stage, find_named (stage, NULL, "else"));
  press (stage, find_named (stage, NULL, code));
  return TD_WIZARD_FORM (td_drive_find (stage->drive, NULL, "form"));
}

static void
match_entry (GtkWidget *widget, gpointer data)
{
  GtkWidget **found = data;

  if (*found == NULL && GTK_IS_ENTRY (widget))
    *found = widget;
}

static void
type_into (Stage *stage, TdWizardForm *form, const char *field, const char *text)
{
  GtkWidget *entry = NULL;

  td_drive_walk (td_wizard_form_get_field (form, field), match_entry, &entry);
  g_assert_nonnull (entry);
  press (stage, entry);
  td_drive_key (stage->drive, "<Control>a");
  td_drive_type (stage->drive, text);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, text);
}

static void
choose (Stage *stage, TdWizardForm *form, const char *field, const char *id)
{
  press (stage, find_named (stage, td_wizard_form_get_field (form, field), id));
}

/* (1) One line is taken out of what is done to a whole circuit. */
static void
test_exception (void)
{
  Stage stage = { NULL };

  begin_hand_visit (&stage, 51);
  wizard_pass_time (&stage.hand, 12 * 60000);
  td_drive_frames (stage.drive, 2);
  press (&stage, find_in_row (&stage, "contact/circuit-1/ended", "expand"));
  press (&stage, find_named (&stage, find_named (&stage, NULL, "contact/circuit-1/ended"), "A3"));
  press (&stage, find_in_row (&stage, "contact/circuit-1/ended", "button"));
  EXPECT (&stage, 0, "contact-ended nora {\"lines\":[\"A2\",\"A1\",\"A4\"]}",
          "rinse-started nora {\"lines\":[\"A2\",\"A1\",\"A4\"]}");
  /* What was taken out is still open, and is all that is left of the act. */
  press (&stage, find_in_row (&stage, "contact/circuit-1/ended", "button"));
  EXPECT (&stage, 2, "contact-ended nora {\"lines\":[\"A3\"]}", "rinse-started nora {\"lines\":[\"A3\"]}");
  end (&stage);
}

/* (1) The list is made anew while somebody takes a line out: the act is not done to it after all. */
static void
test_exception_kept (void)
{
  Stage stage = { NULL };

  begin_hand_visit (&stage, 39);
  press (&stage, find_in_row (&stage, "contact/static-TB/in", "expand"));
  press (&stage, find_named (&stage, find_named (&stage, NULL, "contact/static-TB/in"), "B8"));
  wizard_pass_time (&stage.hand, 16 * 60000);
  go_to_step (&stage, TD_STEP_CONTACT);
  press (&stage, find_in_row (&stage, "contact/static-TB/in", "button"));
  EXPECT (&stage, 0, "tag-lifted nora {\"tag\":\"1\"}", "chemical-in nora {\"batch\":\"m1\",\"lines\":[\"B6\"]}");
  end (&stage);
}

/* (1) The same at faucets without a return: one of them now, the other later. */
static void
test_static_exception (void)
{
  Stage stage = { NULL };

  begin_hand_visit (&stage, 39);
  press (&stage, find_in_row (&stage, "contact/static-TB/in", "expand"));
  press (&stage, find_named (&stage, find_named (&stage, NULL, "contact/static-TB/in"), "B8"));
  press (&stage, find_in_row (&stage, "contact/static-TB/in", "button"));
  EXPECT (&stage, 0, "tag-lifted nora {\"tag\":\"1\"}", "chemical-in nora {\"batch\":\"m1\",\"lines\":[\"B6\"]}");
  press (&stage, find_in_row (&stage, "contact/static-TB/in", "button"));
  EXPECT (&stage, 2, "tag-lifted nora {\"tag\":\"2\"}", "chemical-in nora {\"batch\":\"m1\",\"lines\":[\"B8\"]}");
  end (&stage);
}

/* Sets the clock of a form back by the minutes' arrow, one press each. */
static void
set_back (Stage *stage, TdWizardForm *form, guint minutes)
{
  GtkWidget *moment = td_drive_find (stage->drive, GTK_WIDGET (form), "moment");

  press (stage, td_drive_find (stage->drive, moment, "button"));
  td_drive_frames (stage->drive, 2);
  gtk_widget_grab_focus (td_drive_find (stage->drive, moment, "minute"));
  for (guint i = 0; i < minutes; i++)
    td_drive_key (stage->drive, "Down");
  td_drive_key (stage->drive, "Escape");
  td_drive_frames (stage->drive, 2);
}

/* (2) Written down later than it happened. */
static void
test_late (void)
{
  Stage stage = { NULL };
  TdWizardForm *form;
  gint64 now_ms;

  begin_hand_visit (&stage, 10);
  wizard_pass_time (&stage.hand, 10 * 60000);
  now_ms = td_session_get_now_ms (td_visit_page_get_session (TD_VISIT_PAGE (td_window_get_page (stage.drive->window))));
  press (&stage, find_in_row (&stage, "safe/C1/gas-off-keg", "more"));
  form = TD_WIZARD_FORM (td_drive_find (stage.drive, NULL, "form"));
  set_back (&stage, form, 7);
  press_id (&stage, "commit");
  EXPECT (&stage, 0, "gas-off nora {\"gas\":\"keg\",\"lines\":[\"A1\",\"A2\",\"A3\",\"A4\",\"B5\",\"B6\",\"B7\"]}");
  g_assert_cmpint (get_happened_ms (&stage, 11) / 60000, ==, now_ms / 60000 - 7);
  end (&stage);
}

/* The newest act but @back in "Acts done", where the newest stands first. */
static void
open_correction (Stage *stage, guint back)
{
  GtkWidget *view, *row;

  press_id (stage, "record_button");
  td_drive_frames (stage->drive, 3);
  view = td_drive_find (stage->drive, NULL, "entry_view");
  row = gtk_widget_get_first_child (view);
  for (guint i = 0; i < back; i++)
    row = gtk_widget_get_next_sibling (row);
  press (stage, row);
  td_drive_find (stage->drive, NULL, "why");
}

/* (3) Taking back at once, and what is corrected or taken back later from "Acts done". */
static void
test_correction (void)
{
  Stage stage = { NULL };
  TdWizardForm *form;

  begin_hand_visit (&stage, 10);
  press (&stage, find_in_row (&stage, "safe/C1/gas-off-keg", "button"));
  EXPECT (&stage, 0, "gas-off nora {\"gas\":\"keg\",\"lines\":[\"A1\",\"A2\",\"A3\",\"A4\",\"B5\",\"B6\",\"B7\"]}");
  press_id (&stage, "undo");
  EXPECT (&stage, 1, "correction nora {\"of\":11,\"void\":\"yes\",\"why\":\"Taken back at once.\"}");
  g_assert_null (td_visit_get_effective (wizard_get_visit (&stage.hand), 11));
  press (&stage, find_in_row (&stage, "safe/C1/gas-off-keg", "button"));
  EXPECT (&stage, 2, "gas-off nora {\"gas\":\"keg\",\"lines\":[\"A1\",\"A2\",\"A3\",\"A4\",\"B5\",\"B6\",\"B7\"]}");
  open_correction (&stage, 0);
  form = TD_WIZARD_FORM (td_drive_find (stage.drive, NULL, "form"));
  choose (&stage, form, "lines", "A4");
  press_id (&stage, "commit");
  td_drive_until_notice (stage.drive, "This is not complete.");
  press_id (&stage, "why");
  td_drive_type (stage.drive, "A4 has a gas of its own");
  press_id (&stage, "commit");
  EXPECT (&stage, 3, "correction nora {\"of\":13,\"set\":{\"lines\":[\"A1\",\"A2\",\"A3\",\"B5\",\"B6\",\"B7\"]},"
                     "\"why\":\"A4 has a gas of its own\"}");
  open_correction (&stage, 1);
  press_id (&stage, "void_it");
  press_id (&stage, "why");
  td_drive_type (stage.drive, "Not done yet");
  td_drive_key (stage.drive, "Return");
  EXPECT (&stage, 4, "correction nora {\"of\":13,\"void\":\"yes\",\"why\":\"Not done yet\"}");
  g_assert_null (td_visit_get_effective (wizard_get_visit (&stage.hand), 13));
  end (&stage);
}

/* The first entry of that kind behind those that stood before, from @seq on; 0: none. */
static const TdEntry *
find_entry (Stage *stage, TdKind kind, guint after)
{
  GPtrArray *entries = wizard_get_visit (&stage->hand)->entries;

  for (guint i = MAX (after, stage->begun); i < entries->len; i++)
    if (((TdEntry *) g_ptr_array_index (entries, i))->envelope.kind == kind)
      return g_ptr_array_index (entries, i);
  g_error ("there is no entry of kind %s", td_kind_get_code (kind));
}

/* A picture that somebody took. (transfer full): its path */
static char *
make_picture (Stage *stage)
{
  char *path = td_drive_path (stage->drive, "seen.png");
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, TRUE, 8, 320, 200);
  g_autoptr (GError) error = NULL;

  gdk_pixbuf_fill (pixbuf, 0x884422ff);
  gdk_pixbuf_save (pixbuf, path, "png", &error, NULL);
  g_assert_no_error (error);
  return path;
}

static void
match_photo (GtkWidget *widget, gpointer data)
{
  GtkWidget **found = data;

  if (TD_IS_WIZARD_PHOTO (widget))
    *found = widget;
}

/* (4) A fault, and a photo of it. */
static void
test_photo (void)
{
  Stage stage = { NULL };
  g_autofree char *path = NULL;
  g_autofree char *bytes = NULL;
  g_autofree char *hash = NULL;
  g_autofree char *should_be = NULL;
  g_autoptr (GError) error = NULL;
  GtkWidget *photo = NULL;
  TdWizardForm *form;
  gsize size = 0;

  begin_hand_visit (&stage, 93);
  path = make_picture (&stage);
  form = open_kind (&stage, TD_STEP_CHECK, "fault");
  choose (&stage, form, "line", "A2");
  choose (&stage, form, "symptom", "leak");
  choose (&stage, form, "extent", "one-line");
  choose (&stage, form, "cause", "equipment");
  choose (&stage, form, "severity", "quality");
  type_into (&stage, form, "text", "Drip at the shank");
  press_id (&stage, "commit");
  EXPECT (&stage, 0, "fault nora {\"cause\":\"equipment\",\"extent\":\"one-line\",\"line\":\"A2\",\"severity\":\"quality\","
                     "\"symptom\":\"leak\",\"text\":\"Drip at the shank\"}");
  form = open_kind (&stage, TD_STEP_CHECK, "photo");
  td_drive_walk (GTK_WIDGET (form), match_photo, &photo);
  g_assert_nonnull (photo);
  g_assert_false (td_wizard_photo_take (TD_WIZARD_PHOTO (photo), "/nowhere.png", NULL));
  /* The file dialog is the toolkit's: what it answers is handed on here. */
  g_assert_true (td_wizard_photo_take (TD_WIZARD_PHOTO (photo), path, &error));
  g_assert_no_error (error);
  g_file_get_contents (td_wizard_photo_get_path (TD_WIZARD_PHOTO (photo)), &bytes, &size, &error);
  g_assert_no_error (error);
  hash = g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *) bytes, size);
  choose (&stage, form, "line", "A2");
  type_into (&stage, form, "text", "The drip");
  press_id (&stage, "commit");
  should_be = g_strdup_printf ("photo nora {\"line\":\"A2\",\"media\":\"image/jpeg\",\"sha256\":\"%s\",\"text\":\"The drip\"}", hash);
  EXPECT (&stage, 1, should_be);
  end (&stage);
}

/* (5) Nobody countersigns, or somebody refuses to. */
static void
test_refused (void)
{
  Stage stage = { NULL };
  TdWizardForm *form;

  begin_hand_visit (&stage, 114);
  press (&stage, find_in_row (&stage, "sign/end/nobody", "button"));
  EXPECT (&stage, 0, "countersignature nora {\"meaning\":\"nobody-present\"}");
  td_drive_key (stage.drive, "<Control>z");
  EXPECT (&stage, 1, "correction nora {\"of\":115,\"void\":\"yes\",\"why\":\"Taken back at once.\"}");
  press (&stage, find_in_row (&stage, "sign/end/refused", "button"));
  form = TD_WIZARD_FORM (td_drive_find (stage.drive, NULL, "form"));
  press_id (&stage, "commit");
  td_drive_until_notice (stage.drive, "This is not complete.");
  type_into (&stage, form, "reason", "No time to read it");
  press_id (&stage, "commit");
  EXPECT (&stage, 2, "countersignature nora {\"meaning\":\"refused\",\"reason\":\"No time to read it\"}");
  end (&stage);
}

/* (6) Somebody else owns a tag from now on. */
static void
test_hand_over (void)
{
  Stage stage = { NULL };
  TdWizardForm *form;
  GArray *tags;

  begin_hand_visit (&stage, 20);
  form = open_kind (&stage, TD_STEP_SAFE, "hand-over");
  choose (&stage, form, "to", "milo");
  choose (&stage, form, "tags", "2");
  press_id (&stage, "commit");
  EXPECT (&stage, 0, "hand-over nora {\"tags\":[\"2\"],\"to\":\"milo\"}");
  tags = wizard_get_visit (&stage.hand)->tags;
  g_assert_cmpstr (g_array_index (tags, TdTag, 0).owner, ==, "nora");
  g_assert_cmpstr (g_array_index (tags, TdTag, 1).owner, ==, "milo");
  end (&stage);
}

static gboolean
is_planned (TdDrive *drive, gpointer data)
{
  GtkWidget *adopt = td_drive_look (drive, NULL, "adopt");

  return adopt != NULL && gtk_widget_is_sensitive (adopt);
}

/* The line is pointed at in the drawing. */
static void
point_at (Stage *stage, const char *line)
{
  const TdSite *site = wizard_get_visit (&stage->hand)->site;
  GtkWidget *drawing = td_drive_find (stage->drive, NULL, "drawing");
  int outlet = td_site_find_outlet (site, line);
  graphene_rect_t rect;

  g_assert_true (td_tower_view_locate (TD_TOWER_VIEW (drawing), outlet, &rect));
  td_drive_click_at (stage->drive, drawing, rect.origin.x + rect.size.width / 2.0, rect.origin.y + rect.size.height / 2.0);
  g_assert_cmpint (td_tower_view_get_chosen (TD_TOWER_VIEW (drawing)), ==, outlet);
}

static void
pin (Stage *stage, const char *id)
{
  press_id (stage, id);
  td_drive_until (stage->drive, is_planned, NULL, "a plan");
  td_drive_frames (stage->drive, 2);
}

static gboolean
is_pressed (Stage *stage, const char *id)
{
  return gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (td_drive_find (stage->drive, NULL, id)));
}

static const TdVisitLine *
get_line (Stage *stage, const char *id)
{
  const TdVisit *visit = wizard_get_visit (&stage->hand);

  return &visit->lines[td_site_find_outlet (visit->site, id)];
}

static guint
count_reversals (Stage *stage, const char *id)
{
  const TdVisit *visit = wizard_get_visit (&stage->hand);
  guint n = 0;

  for (guint i = 0; i < visit->circuits->len; i++)
    {
      const GArray *legs = g_array_index (visit->circuits, TdVisitCircuit, i).legs;

      for (guint j = 0; j < legs->len; j++)
        n += g_array_index (legs, TdLeg, j).reversal
             && (int) g_array_index (legs, TdLeg, j).outlet == td_site_find_outlet (visit->site, id);
    }
  return n;
}

/* (7) Wishes that the plan keeps: three pins. */
static void
test_pins (void)
{
  Stage stage = { NULL };

  begin_hand_visit (&stage, 7);
  td_drive_until (stage.drive, is_planned, NULL, "a plan");
  point_at (&stage, "A1");
  g_assert_true (is_pressed (&stage, "pin_none"));
  pin (&stage, "pin_static");
  g_assert_true (is_pressed (&stage, "pin_static"));
  g_assert_false (is_pressed (&stage, "pin_none"));
  /* What is pressed is the wish of the line that is chosen. */
  td_drive_key (stage.drive, "Right");
  point_at (&stage, "A2");
  g_assert_true (is_pressed (&stage, "pin_none"));
  g_assert_false (is_pressed (&stage, "pin_static"));
  pin (&stage, "pin_no_reversal");
  point_at (&stage, "B8");
  pin (&stage, "pin_leave_out");
  press_id (&stage, "adopt");
  td_drive_until_notice (stage.drive, "This is not complete.");
  press_id (&stage, "reason");
  td_drive_type (stage.drive, "No keg on it");
  press_id (&stage, "adopt");
  wizard_wait_for_disk (&stage.hand);
  g_assert_cmpuint (wizard_get_visit (&stage.hand)->last_seq, ==, stage.begun + 2);
  g_assert_cmpstr (find_entry (&stage, TD_KIND_LINE_LEFT_OUT, 0)->body_text, ==,
                   "{\"lines\":[\"B8\"],\"reason\":\"No keg on it\"}");
  find_entry (&stage, TD_KIND_PLAN_ADOPTED, stage.begun + 1);
  g_assert_cmpint (get_line (&stage, "A1")->method, ==, TD_METHOD_STATIC);
  g_assert_cmpuint (get_line (&stage, "B8")->left_out.seq, ==, stage.begun + 1);
  g_assert_null (strstr (find_entry (&stage, TD_KIND_PLAN_ADOPTED, 0)->body_text, "\"B8\""));
  g_assert_cmpuint (count_reversals (&stage, "A2"), ==, 0);
  end (&stage);
}

/* By the arrow keys in the drawing. */
static void
step_to (Stage *stage, const char *line)
{
  GtkWidget *drawing = td_drive_find (stage->drive, NULL, "drawing");
  int outlet = td_site_find_outlet (wizard_get_visit (&stage->hand)->site, line);

  wizard_tab_to (&stage->hand, drawing);
  td_drive_key (stage->drive, "Home");
  for (guint i = 0; i < 16 && td_tower_view_get_chosen (TD_TOWER_VIEW (drawing)) != outlet; i++)
    td_drive_key (stage->drive, "Right");
  g_assert_cmpint (td_tower_view_get_chosen (TD_TOWER_VIEW (drawing)), ==, outlet);
}

/* (7) A circuit by hand, by keyboard alone. */
static void
test_circuit (void)
{
  Stage stage = { NULL };
  GArray *legs;
  const TdSite *site;

  begin_hand_visit (&stage, 7);
  td_drive_until (stage.drive, is_planned, NULL, "a plan");
  stage.hand.how = WIZARD_BY_KEYBOARD;
  step_to (&stage, "A2");
  press_id (&stage, "mark");
  step_to (&stage, "A1");
  press_id (&stage, "mark");
  g_assert_true (is_pressed (&stage, "mark"));
  press_id (&stage, "circuit");
  td_drive_until (stage.drive, is_planned, NULL, "a plan");
  press_id (&stage, "adopt");
  wizard_wait_for_disk (&stage.hand);
  g_assert_cmpuint (wizard_get_visit (&stage.hand)->last_seq, ==, stage.begun + 1);
  g_assert_nonnull (strstr (find_entry (&stage, TD_KIND_PLAN_ADOPTED, 0)->body_text, "\"source\":\"hand\""));
  site = wizard_get_visit (&stage.hand)->site;
  legs = g_array_index (wizard_get_visit (&stage.hand)->circuits, TdVisitCircuit, 0).legs;
  g_assert_cmpuint (legs->len, ==, 2);
  for (guint i = 0; i < legs->len; i++)
    g_assert_cmpstr (site->outlets[g_array_index (legs, TdLeg, i).outlet].id, ==, i == 0 ? "A2" : "A1");
  end (&stage);
}

/* (8) The bar must open now: what cannot be finished is handed over, tagged. */
static void
test_opening (void)
{
  Stage stage = { NULL };
  TdWizardForm *form;

  begin_hand_visit (&stage, 51);
  press_id (&stage, "opening_button");
  press_label (&stage, "Leave lines out of service…");
  form = TD_WIZARD_FORM (td_drive_find (stage.drive, NULL, "form"));
  choose (&stage, form, "lines", "B8");
  choose (&stage, form, "condition", "holding");
  type_into (&stage, form, "reason", "The bar opens");
  type_into (&stage, form, "handed_to", "Owen Marsh");
  choose (&stage, form, "tag", "2");
  press_id (&stage, "commit");
  EXPECT (&stage, 0, "out-of-service nora {\"condition\":\"holding\",\"handed_to\":\"Owen Marsh\",\"lines\":[\"B8\"],"
                     "\"reason\":\"The bar opens\",\"tag\":\"2\"}");
  press_id (&stage, "opening_button");
  press_label (&stage, "Go to the rinse");
  g_assert_cmpint (td_wizard_get_step (wizard_get (&stage.hand)), ==, TD_STEP_RINSE);
  end (&stage);
}

static void
match_pad (GtkWidget *widget, gpointer data)
{
  GtkWidget **found = data;

  if (TD_IS_WIZARD_PAD (widget))
    *found = widget;
}

/* (9) Somebody signs on the pad, and their name is corrected: what they drew stands. */
static void
test_pad (void)
{
  static const double x[] = { 30, 60, 90, 120, 150 }, y[] = { 80, 40, 80, 40, 80 };
  Stage stage = { NULL };
  GtkWidget *pad = NULL;
  const TdJson *strokes, *stroke;
  TdWizardForm *form;
  guint n;

  begin_hand_visit (&stage, 114);
  press (&stage, find_in_row (&stage, "sign/end/countersignature", "button"));
  form = TD_WIZARD_FORM (td_drive_find (stage.drive, NULL, "form"));
  type_into (&stage, form, "name", "Owen March");
  td_drive_walk (GTK_WIDGET (form), match_pad, &pad);
  g_assert_nonnull (pad);
  td_drive_drag (stage.drive, pad, x, y, G_N_ELEMENTS (x));
  td_drive_drag (stage.drive, pad, x, y, 2);
  press_id (&stage, "commit");
  wizard_wait_for_disk (&stage.hand);
  strokes = td_json_get_member (find_entry (&stage, TD_KIND_COUNTERSIGNATURE, 0)->body, "strokes");
  g_assert_nonnull (strokes);
  g_assert_cmpuint (td_json_get_length (strokes), ==, 2);
  stroke = td_json_get_element (strokes, 0);
  n = td_json_get_length (stroke);
  /* Hundredths of a millimetre and milliseconds, three by three; a pixel is 1/96 inch [CSS Values and Units
   * Level 3, section 5.2], and the pointer stands on whole ones: 30 px are 794, 80 px 2117, 150 px 3969. */
  g_assert_cmpuint (n % 3, ==, 0);
  g_assert_cmpint (ABS (td_json_get_integer (td_json_get_element (stroke, 0)) - 794), <=, 54);
  g_assert_cmpint (ABS (td_json_get_integer (td_json_get_element (stroke, n - 3)) - 3969), <=, 54);
  g_assert_cmpint (ABS (td_json_get_integer (td_json_get_element (stroke, n - 2)) - 2117), <=, 54);
  open_correction (&stage, 0);
  form = TD_WIZARD_FORM (td_drive_find (stage.drive, NULL, "form"));
  type_into (&stage, form, "name", "Owen Marsh");
  press_id (&stage, "why");
  td_drive_type (stage.drive, "Spelt wrong");
  press_id (&stage, "commit");
  EXPECT (&stage, 1, "correction nora {\"of\":115,\"set\":{\"name\":\"Owen Marsh\"},\"why\":\"Spelt wrong\"}");
  g_assert_cmpuint (td_json_get_length (td_json_get_member (td_visit_get_effective (wizard_get_visit (&stage.hand), 115)->body,
                                                            "strokes")), ==, 2);
  end (&stage);
}

/* (10) Acid through the lines that caustic was in. */
static void
test_acid (void)
{
  Stage stage = { NULL };
  const TdVisit *visit;

  begin (&stage, "replay", "03-tin-heron-acid.jsonl", 50);
  stage.hand.pace_ms = 20000;
  wizard_work_to (&stage.hand, TD_STEP_BACK);
  visit = wizard_get_visit (&stage.hand);
  g_assert_cmpuint (visit->batches->len, ==, 2);
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&visit->lines[i]);

      g_assert_cmpuint (visit->lines[i].passes->len, ==, 2);
      g_assert_cmpint (pass->clean, ==, TD_CLEAN_ACID);
      g_assert_cmpuint (pass->batch, ==, 1);
      g_assert_cmpint (pass->contact_ms, >=, pass->required_ms);
      g_assert_true (pass->rinse_passed);
      g_assert_cmpstr (pass->debris, ==, "none");
    }
  find_entry (&stage, TD_KIND_SOLUTION_DISPOSED, find_entry (&stage, TD_KIND_CONTACT_ENDED, 0)->envelope.seq);
  end (&stage);
}

/* (3) Said of the circuit, and was true of two lines. */
static void
test_lines_for_circuit (void)
{
  Stage stage = { NULL };
  TdWizardForm *form;

  begin_hand_visit (&stage, 52);
  open_correction (&stage, 0);
  form = TD_WIZARD_FORM (td_drive_find (stage.drive, NULL, "form"));
  choose (&stage, form, "circuit", "1");
  choose (&stage, form, "lines", "A1");
  choose (&stage, form, "lines", "A2");
  press_id (&stage, "why");
  td_drive_type (stage.drive, "Two ran on");
  press_id (&stage, "commit");
  EXPECT (&stage, 0, "correction nora {\"of\":52,\"set\":{\"lines\":[\"A1\",\"A2\"]},\"why\":\"Two ran on\"}");
  g_assert_cmpuint (get_line (&stage, "A3")->passes->len, ==, 1);
  g_assert_cmpuint (td_visit_line_get_pass (get_line (&stage, "A3"))->contact_end.seq, ==, 0);
  end (&stage);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/acts/exception", test_exception);
  g_test_add_func ("/acts/exception-kept", test_exception_kept);
  g_test_add_func ("/acts/static-exception", test_static_exception);
  g_test_add_func ("/acts/lines-for-circuit", test_lines_for_circuit);
  g_test_add_func ("/acts/late", test_late);
  g_test_add_func ("/acts/correction", test_correction);
  g_test_add_func ("/acts/photo", test_photo);
  g_test_add_func ("/acts/refused", test_refused);
  g_test_add_func ("/acts/hand-over", test_hand_over);
  g_test_add_func ("/acts/pins", test_pins);
  g_test_add_func ("/acts/circuit", test_circuit);
  g_test_add_func ("/acts/opening", test_opening);
  g_test_add_func ("/acts/pad", test_pad);
  g_test_add_func ("/acts/acid", test_acid);
  return g_test_run ();
}
