#include "wizard-drive.h"

#include "desk-notice.h"
#include "desk-visit-page.h"
#include "wizard-row.h"
#include "wizard-sheet.h"

#include <string.h>

#define PATIENCE 200

/* What is typed into the fields of a form that the tool cannot know, in the units of the screen. */
static const struct
{
  const char *act; /* how the act's key begins */
  const char *field;
  const char *typed;  /* NULL: the toggle below is pressed */
  const char *toggle;
} answers[] = {
  { "arrive/staff/TA", "name", "Petra Vane", NULL },
  { "arrive/staff/TB", "name", "Owen Marsh", NULL },
  { "mix/bucket/strength", "percent_milli", "2.18", NULL },
  { "mix/bucket/temperature", "temperature_c_milli", "104", NULL },
  { "mix/bucket/tap", "ph_milli", "7.04", NULL },
  { "rinse/circuit-1/ph", "ph_milli", "7.2", NULL },
  { "rinse/circuit-2/ph", "ph_milli", "7.15", NULL },
  { "rinse/static-TB/ph", "ph_milli", "7.3", NULL },
  { "rinse/bucket", "ph_milli", "8.6", NULL },
  { "rinse/bucket", "drain", NULL, "neutralised" },
};

TdWizard *
wizard_get (WizardHand *hand)
{
  return TD_WIZARD (td_drive_find (hand->drive, NULL, "wizard"));
}

static TdSession *
get_session (WizardHand *hand)
{
  return td_visit_page_get_session (TD_VISIT_PAGE (td_window_get_page (hand->drive->window)));
}

TdVisit *
wizard_get_visit (WizardHand *hand)
{
  return td_session_get_visit (get_session (hand));
}

static TdStepView
get_view (WizardHand *hand)
{
  TdSession *session = get_session (hand);
  TdStepView view = { .visit = td_session_get_visit (session),
                      .now_ms = td_session_get_now_ms (session),
                      .person = td_session_get_person (session),
                      .habits = td_session_get_habits (session) };

  return view;
}

TdStep
wizard_get_current (WizardHand *hand)
{
  TdStepView view = get_view (hand);

  return td_steps_find_current (&view);
}

void
wizard_open (WizardHand *hand, const char *visit)
{
  g_autofree char *place = g_strconcat ("visit:", visit, NULL);

  td_drive_act (hand->drive, GTK_WIDGET (hand->drive->window), "win.show-visit", g_variant_new_string (visit));
  td_drive_until_place (hand->drive, place);
}

static gboolean
is_not_busy (TdDrive *drive, gpointer data)
{
  gboolean busy = TRUE;

  g_object_get (data, "busy", &busy, NULL);
  return !busy;
}

typedef struct
{
  WizardHand *hand;
  guint seq;       /* the visit's last before the press */
  gboolean asking; /* the press may open a form */
} Press;

/* A press may reach the program late: something is recorded, or a form asks, or says what is wrong. */
static gboolean
has_answered (TdDrive *drive, gpointer data)
{
  const Press *press = data;
  GtkWidget *table = td_drive_look (drive, NULL, "sheet");
  GtkWidget *form = table != NULL ? table : td_drive_look (drive, NULL, "form");
  GtkWidget *notice = form != NULL ? td_drive_look (drive, form, "notice") : NULL;
  g_autofree char *text = notice != NULL ? td_notice_get_text (TD_NOTICE (notice)) : NULL;

  return wizard_get_visit (press->hand)->last_seq != press->seq || (form != NULL && press->asking) || text != NULL;
}

void
wizard_wait_for_disk (WizardHand *hand)
{
  td_drive_settle (hand->drive, 10);
  td_drive_until (hand->drive, is_not_busy, get_session (hand), "the disk");
  td_drive_settle (hand->drive, 20);
}

static void
match_name (GtkWidget *widget, gpointer data)
{
  gpointer *search = data;

  if (search[1] == NULL && gtk_widget_get_mapped (widget) && gtk_widget_is_sensitive (widget)
      && (GTK_IS_BUTTON (widget) || TD_IS_WIZARD_ROW (widget))
      && g_strcmp0 (gtk_widget_get_name (widget), search[0]) == 0)
    search[1] = widget;
}

static void
match_field (GtkWidget *widget, gpointer data)
{
  gpointer *search = data;

  if (search[1] == NULL && gtk_widget_get_mapped (widget) && g_strcmp0 (gtk_widget_get_name (widget), search[0]) == 0)
    search[1] = widget;
}

GtkWidget *
wizard_look (WizardHand *hand, const char *name)
{
  gpointer search[2] = { (gpointer) name, NULL };

  td_drive_walk (GTK_WIDGET (hand->drive->window), match_name, search);
  return search[1];
}

static void
scroll_to (WizardHand *hand, GtkWidget *widget)
{
  GtkWidget *scroller = gtk_widget_get_ancestor (widget, GTK_TYPE_SCROLLED_WINDOW);
  GtkAdjustment *adjustment;
  graphene_rect_t bounds;
  GtkWidget *child;

  if (scroller == NULL)
    return;
  child = gtk_scrolled_window_get_child (GTK_SCROLLED_WINDOW (scroller));
  adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scroller));
  if (!gtk_widget_compute_bounds (widget, child, &bounds))
    return;
  if (GTK_IS_VIEWPORT (child) && !gtk_widget_compute_bounds (widget, gtk_viewport_get_child (GTK_VIEWPORT (child)), &bounds))
    return;
  gtk_adjustment_clamp_page (adjustment, bounds.origin.y, bounds.origin.y + bounds.size.height);
  td_drive_settle (hand->drive, 30);
}

static GtkWidget *
get_focus (WizardHand *hand)
{
  return gtk_window_get_focus (GTK_WINDOW (hand->drive->window));
}

/* Moves the focus there by the Tab key alone. */
void
wizard_tab_to (WizardHand *hand, GtkWidget *widget)
{
  GtkWidget *alive = widget;

  g_object_add_weak_pointer (G_OBJECT (widget), (gpointer *) &alive);
  for (int i = 0; i < PATIENCE; i++)
    {
      GtkWidget *focus = get_focus (hand);

      g_assert_nonnull (alive);
      if (focus != NULL && (focus == widget || gtk_widget_is_ancestor (focus, widget)))
        {
          g_object_remove_weak_pointer (G_OBJECT (widget), (gpointer *) &alive);
          return;
        }
      td_drive_key_quick (hand->drive, "Tab");
      hand->keys++;
      if (i > PATIENCE - 40)
        g_test_message ("the focus is on %s '%s' %s", focus != NULL ? G_OBJECT_TYPE_NAME (focus) : "nothing",
                        focus != NULL ? gtk_widget_get_name (focus) : "",
                        GTK_IS_BUTTON (focus) && gtk_button_get_label (GTK_BUTTON (focus)) != NULL
                          ? gtk_button_get_label (GTK_BUTTON (focus)) : "");
      for (int wait = 0; wait < 50 && get_focus (hand) == focus; wait++)
        td_drive_settle (hand->drive, 4);
    }
  wizard_picture (hand, "failed");
  g_error ("the Tab key never comes to '%s'", gtk_widget_get_name (widget));
}

void
wizard_press (WizardHand *hand, GtkWidget *widget)
{
  hand->acts++;
  g_test_message ("press %u: %s", hand->acts, gtk_widget_get_name (widget));
  if (hand->how == WIZARD_BY_KEYBOARD)
    {
      wizard_tab_to (hand, widget);
      td_drive_key (hand->drive, "space");
      hand->keys++;
      return;
    }
  scroll_to (hand, widget);
  td_drive_click (hand->drive, widget);
}

void
wizard_picture (WizardHand *hand, const char *name)
{
  const char *folder = g_getenv ("TUNDISH_PICTURES");
  g_autoptr (GdkTexture) texture = NULL;
  g_autofree char *path = NULL;

  if (folder == NULL)
    return;
  td_drive_settle (hand->drive, 150);
  texture = td_drive_picture (hand->drive, GTK_WIDGET (hand->drive->window));
  path = g_strdup_printf ("%s/%s.png", folder, name);
  gdk_texture_save_to_png (texture, path);
}

/* A reading in every cell, each ended by the Enter key, which records after the last. */
static void
fill_table (WizardHand *hand)
{
  TdWizardSheet *sheet = TD_WIZARD_SHEET (td_drive_find (hand->drive, NULL, "sheet"));
  Press press = { hand, wizard_get_visit (hand)->last_seq, FALSE };

  for (guint row = 0; td_wizard_sheet_get_cell (sheet, row, 0) != NULL; row++)
    for (guint column = 0; column < 2; column++)
      {
        g_autofree char *typed
          = column == 0 ? g_strdup_printf ("38.%u", row % 4 + 1) : g_strdup_printf ("1.9%u", row % 4 + 1);

        g_assert_true (gtk_widget_is_ancestor (get_focus (hand), td_wizard_sheet_get_cell (sheet, row, column)));
        td_drive_type (hand->drive, typed);
        td_drive_key (hand->drive, "Return");
        hand->keys++;
      }
  td_drive_until (hand->drive, has_answered, &press, "the table");
  wizard_wait_for_disk (hand);
}

static void
fill_form (WizardHand *hand)
{
  TdWizardForm *form = TD_WIZARD_FORM (td_drive_find (hand->drive, NULL, "form"));
  g_autofree char *key = g_strdup (td_wizard_form_get_key (form));
  Press press = { hand, wizard_get_visit (hand)->last_seq, FALSE };
  gboolean typed = FALSE;

  for (gsize i = 0; i < G_N_ELEMENTS (answers); i++)
    {
      GtkWidget *field = g_str_has_prefix (key, answers[i].act) ? td_wizard_form_get_field (form, answers[i].field) : NULL;

      if (field == NULL)
        continue;
      if (answers[i].toggle != NULL)
        {
          gpointer search[2] = { (gpointer) answers[i].toggle, NULL };

          td_drive_walk (field, match_field, search);
          g_assert_nonnull (search[1]);
          /* It may stand so since the visit before. */
          if (gtk_toggle_button_get_active (search[1]))
            continue;
          wizard_press (hand, search[1]);
          typed = FALSE;
          continue;
        }
      if (!gtk_widget_is_ancestor (gtk_window_get_focus (GTK_WINDOW (hand->drive->window)), field))
        {
          if (hand->how == WIZARD_BY_KEYBOARD)
            wizard_tab_to (hand, field);
          else
            {
              hand->acts++;
              g_test_message ("press %u into %s", hand->acts, answers[i].field);
              scroll_to (hand, field);
              td_drive_click_at (hand->drive, field, gtk_widget_get_width (field) / 2.0, gtk_widget_get_height (field) - 20.0);
            }
        }
      td_drive_type (hand->drive, answers[i].typed);
      typed = TRUE;
    }
  if (typed)
    {
      td_drive_key (hand->drive, "Return");
      hand->keys++;
    }
  else
    wizard_press (hand, td_drive_find (hand->drive, GTK_WIDGET (form), "commit"));
  td_drive_until (hand->drive, has_answered, &press, key);
  wizard_wait_for_disk (hand);
  if (wizard_get_visit (hand)->last_seq == press.seq)
    {
      GtkWidget *notice = td_drive_look (hand->drive, GTK_WIDGET (form), "notice");

      wizard_picture (hand, "failed");
      g_error ("the form of %s was not taken: %s", key, notice != NULL ? td_notice_get_text (TD_NOTICE (notice)) : "");
    }
}

void
wizard_pass_time (WizardHand *hand, gint64 ms)
{
  TdClock *clock = td_context_get_clock (td_window_get_context (hand->drive->window));

  td_clock_set_now_ms (clock, td_clock_get_now_ms (clock) + ms);
  /* The session's own tick follows within a second of the real clock. */
  g_signal_emit_by_name (get_session (hand), "tick");
  td_drive_settle (hand->drive, 20);
}

static gboolean
is_planned (TdDrive *drive, gpointer data)
{
  GtkWidget *adopt = td_drive_look (drive, NULL, "adopt");

  return adopt != NULL && gtk_widget_is_sensitive (adopt);
}

/* The button that confirms the list which @next stands in as a whole, or NULL. */
static GtkWidget *
find_bulk (WizardHand *hand, const TdAct *next, TdStep step)
{
  TdStepView view = get_view (hand);
  g_autoptr (TdStepSheet) sheet = td_step_sheet_new (step, &view);

  for (guint i = 0; i < sheet->stands->len; i++)
    {
      const TdStand *stand = g_ptr_array_index (sheet->stands, i);
      g_autoptr (GPtrArray) acts = td_stand_get_confirmable (stand, &view);
      gboolean among = FALSE;

      for (guint j = 0; j < acts->len; j++)
        among |= strcmp (((TdAct *) g_ptr_array_index (acts, j))->key, next->key) == 0;
      if (among && stand->manner == TD_STAND_READ_DO && acts->len >= 2)
        return wizard_look (hand, stand->key);
    }
  return NULL;
}

/* Forms that the press opened, or that followed of themselves. */
static void
fill_forms (WizardHand *hand)
{
  for (;;)
    {
      if (td_drive_look (hand->drive, NULL, "sheet") != NULL)
        fill_table (hand);
      else if (td_drive_look (hand->drive, NULL, "form") != NULL)
        fill_form (hand);
      else
        return;
    }
}

static void
press_next (WizardHand *hand)
{
  if (hand->how == WIZARD_BY_POINTER)
    {
      wizard_press (hand, td_drive_find (hand->drive, NULL, "next"));
      return;
    }
  hand->acts++;
  hand->keys++;
  td_drive_key (hand->drive, "<Control>Return");
}

/* One thing on. Returns FALSE where there is nothing to do but wait. */
static gboolean
go_on (WizardHand *hand)
{
  TdStepView view = get_view (hand);
  TdStep at = wizard_get_current (hand);
  g_autoptr (TdAct) act = td_steps_find_next (&view, at, &at);
  GtkWidget *bulk = hand->bulk && act != NULL ? find_bulk (hand, act, at) : NULL;
  Press press = { hand, view.visit->last_seq, TRUE };

  g_test_message ("at %s: %s", td_step_to_text (wizard_get_current (hand)), act != NULL ? act->key : "waits");

  if (bulk != NULL)
    {
      wizard_press (hand, bulk);
      td_drive_until (hand->drive, has_answered, &press, "the whole list");
      wizard_wait_for_disk (hand);
      fill_forms (hand);
      return TRUE;
    }
  if (act == NULL)
    return FALSE;
  if (td_act_get_kind (act) == TD_KIND_PLAN_ADOPTED)
    {
      td_drive_until (hand->drive, is_planned, NULL, "a plan");
      wizard_press (hand, td_drive_find (hand->drive, NULL, "adopt"));
      td_drive_until (hand->drive, has_answered, &press, "the plan");
      wizard_wait_for_disk (hand);
      return TRUE;
    }
  press_next (hand);
  td_drive_until (hand->drive, has_answered, &press, act->key);
  wizard_wait_for_disk (hand);
  fill_forms (hand);
  return TRUE;
}

void
wizard_work_on (WizardHand *hand)
{
  if (!go_on (hand))
    wizard_pass_time (hand, 60000);
}

void
wizard_work_to (WizardHand *hand, TdStep step)
{
  for (int i = 0; i < PATIENCE; i++)
    {
      guint seq = wizard_get_visit (hand)->last_seq;

      if (wizard_get_visit (hand)->closed || (step < TD_N_STEPS && wizard_get_current (hand) >= step))
        return;
      if (hand->pace_ms > 0)
        wizard_pass_time (hand, hand->pace_ms);
      if (!go_on (hand))
        wizard_pass_time (hand, 60000);
      else if (wizard_get_visit (hand)->last_seq == seq)
        {
          TdStepView view = get_view (hand);
          g_autoptr (TdAct) act = td_steps_find_next (&view, wizard_get_current (hand), NULL);

          wizard_picture (hand, "failed");
          g_error ("nothing was recorded for %s", act != NULL ? act->key : "nothing");
        }
    }
  g_error ("the visit does not end");
}
