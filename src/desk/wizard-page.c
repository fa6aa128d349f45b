#include "wizard-page.h"

#include "wizard-page-private.h"

#include "core-compare.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "model-leave.h"
#include "model-stops.h"

/* What stays in sight above and below the row that is worked on. */
#define REVEAL_PX 48

G_DEFINE_FINAL_TYPE (TdWizard, td_wizard, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_STEP,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

TdStepView
td_wizard_get_view (TdWizard *self)
{
  TdStepView view = { .visit = td_session_get_visit (self->session),
                      .now_ms = td_session_get_now_ms (self->session),
                      .person = td_session_get_person (self->session),
                      .habits = td_session_get_habits (self->session),
                      .style = td_format_get_style () };

  return view;
}

static void
make_strip (TdWizard *self)
{
  for (TdStep step = 0; step < TD_N_STEPS; step++)
    {
      g_autofree char *text = g_strdup_printf ("%d\n%s", step + 1, td_step_get_title (step));
      GtkWidget *button = gtk_button_new_with_label (text);
      GtkWidget *label = gtk_button_get_child (GTK_BUTTON (button));

      gtk_label_set_justify (GTK_LABEL (label), GTK_JUSTIFY_CENTER);
      gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
      gtk_widget_set_name (button, td_step_to_text (step));
      gtk_widget_add_css_class (button, "step");
      gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "i", (int) step);
      gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "wizard.step");
      gtk_box_append (self->strip, button);
    }
}

/* Marks the step on show, and those in which something is open. */
static void
show_strip (TdWizard *self, const TdStepView *view)
{
  GtkWidget *button = gtk_widget_get_first_child (GTK_WIDGET (self->strip));
  TdStep current = td_steps_find_current (view);

  for (TdStep step = 0; step < TD_N_STEPS && button != NULL; step++)
    {
      g_autoptr (TdStepSheet) sheet = td_step_sheet_new (step, view);
      guint open = td_step_sheet_count_open (sheet);
      g_autofree char *name = NULL;
      const char *sign = step == current ? "▸" : open == 0 && step < current ? "✓" : "";
      g_autofree char *text = g_strdup_printf ("%s%d\n%s", sign, step + 1, td_step_get_title (step));

      gtk_label_set_label (GTK_LABEL (gtk_button_get_child (GTK_BUTTON (button))), text);
      name = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Step %d, %s, %u act open", "Step %d, %s, %u acts open", open),
                              step + 1, td_step_get_title (step), open);
      gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
      gtk_accessible_update_state (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_STATE_SELECTED, step == self->step, -1);
      gtk_widget_remove_css_class (button, "shown");
      gtk_widget_remove_css_class (button, "current");
      if (step == self->step)
        gtk_widget_add_css_class (button, "shown");
      if (step == current)
        gtk_widget_add_css_class (button, "current");
      button = gtk_widget_get_next_sibling (button);
    }
}

static void
show_next (TdWizard *self, const TdStepView *view)
{
  TdStep current = td_steps_find_current (view);
  g_autoptr (TdAct) act = view->visit->closed ? NULL : td_steps_find_next (view, current, &self->next_step);
  g_autofree char *name = NULL;

  g_free (self->next_key);
  self->next_key = act != NULL ? g_strdup (act->key) : NULL;
  gtk_label_set_label (self->next_title, act != NULL         ? act->title
                                         : view->visit->closed ? _ ("The visit is closed")
                                                               : _ ("Wait, or look at what is held back"));
  gtk_label_set_label (self->next_detail, act != NULL && act->detail != NULL ? act->detail : "");
  gtk_widget_set_visible (GTK_WIDGET (self->next_detail), act != NULL && act->detail != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "wizard.next", act != NULL);
  name = act != NULL ? g_strdup_printf (_ ("Next: %s"), act->title) : g_strdup (_ ("Nothing next"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->next), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
}

static void
show_stops (TdWizard *self)
{
  g_autoptr (GPtrArray) groups
    = td_stop_groups_new (td_session_get_visit (self->session), td_session_get_findings (self->session), TD_SEVERITY_STOP);
  guint n = groups->len;
  g_autofree char *name = n == 0 ? g_strdup (_ ("No open stop"))
                                 : g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u open stop", "%u open stops", n), n);
  g_autofree char *text = n == 0 ? g_strdup (_ ("No stop"))
                                 : g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u stop", "%u stops", n), n);

  gtk_label_set_label (self->stops_label, text);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->stops_button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_widget_remove_css_class (self->stops_button, "stops-open");
  if (n > 0)
    gtk_widget_add_css_class (self->stops_button, "stops-open");
}

/* Whether one may walk away from a bar, in one glance. */
static void
show_leave (TdWizard *self, const TdStepView *view)
{
  g_autoptr (GArray) leaves = td_visit_get_leaves (view->visit);
  g_autoptr (GString) text = g_string_new (NULL);
  gboolean safe = TRUE;

  for (guint i = 0; i < leaves->len; i++)
    {
      const TdLeave *leave = &g_array_index (leaves, TdLeave, i);
      g_autofree char *words = td_leave_to_words (leave, view->visit);

      safe &= td_leave_is_safe (leave);
      g_string_append_printf (text, "%s%s", text->len > 0 ? "\n" : "", words);
    }
  if (safe)
    gtk_widget_remove_css_class (GTK_WIDGET (self->leave), "unsafe");
  else
    gtk_widget_add_css_class (GTK_WIDGET (self->leave), "unsafe");
  gtk_label_set_label (self->leave, text->str);
  gtk_widget_set_visible (GTK_WIDGET (self->leave), text->len > 0);
}

/* There is no call to announce in this GTK: a label in the role of an alert, whose name changes, is told. */
void
td_wizard_announce (TdWizard *self, const char *text)
{
  gtk_widget_set_visible (GTK_WIDGET (self->said), *text != '\0');
  gtk_label_set_label (self->said, text);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->said), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
}

/* Who acts: one of the crew, or any technician of the book. */
static void
show_person (TdWizard *self, const TdStepView *view)
{
  TdMasters *masters = td_session_get_masters (self->session);
  g_autoptr (GMenu) menu = g_menu_new ();
  g_autofree char *label = g_strdup_printf (_ ("I am %s"), td_visit_get_person_name (view->visit, view->person));

  for (guint i = 0; i < masters->n_technicians; i++)
    {
      g_autoptr (GMenuItem) item = g_menu_item_new (masters->technicians[i].name, NULL);

      g_menu_item_set_action_and_target (item, "wizard.person", "s", masters->technicians[i].id);
      g_menu_append_item (menu, item);
    }
  gtk_menu_button_set_menu_model (self->person, G_MENU_MODEL (menu));
  gtk_label_set_label (self->person_label, td_visit_get_person_name (view->visit, view->person));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->person), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
}

/* The plan and what stands in the way of signing are to be looked at first; they stand above the list. */
static gboolean
looks_above (TdWizard *self)
{
  return gtk_widget_get_visible (GTK_WIDGET (self->ahead))
         || (gtk_widget_get_visible (GTK_WIDGET (self->plan))
             && td_session_get_visit (self->session)->plan_adopted.seq == 0);
}

/* The row that is worked on: the one with the focus, else the next act's. */
static GtkWidget *
find_worked_on (TdWizard *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  if (self->session == NULL || looks_above (self))
    return NULL;
  if (focus != NULL && gtk_widget_is_ancestor (focus, GTK_WIDGET (self->list)))
    return focus;
  return self->next_key != NULL ? td_wizard_list_find (self->list, self->next_key) : NULL;
}

static gboolean
reveal_cb (GtkWidget *scroller, GdkFrameClock *clock, gpointer data)
{
  TdWizard *self = data;
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (self->scroller);
  GtkWidget *content = gtk_widget_get_parent (GTK_WIDGET (self->list));
  GtkWidget *row = find_worked_on (self);
  graphene_rect_t bounds;

  if (--self->reveal_frames > 0)
    return G_SOURCE_CONTINUE;
  if (row != NULL && gtk_widget_compute_bounds (row, content, &bounds))
    gtk_adjustment_clamp_page (adjustment, bounds.origin.y - REVEAL_PX,
                               bounds.origin.y + bounds.size.height + REVEAL_PX);
  return G_SOURCE_REMOVE;
}

/* Rows have their places only after the next frame: what scrolls before goes by where they were. */
static void
queue_reveal (TdWizard *self)
{
  if (self->reveal_frames == 0)
    gtk_widget_add_tick_callback (GTK_WIDGET (self->scroller), reveal_cb, self, NULL);
  self->reveal_frames = 2;
}

/* Pages beside the list are made when somebody looks at them. */
static void
show_aside (TdWizard *self)
{
  const char *page = gtk_stack_get_visible_child_name (self->stack);

  if (g_strcmp0 (page, "stops") == 0)
    td_wizard_stops_show (self->stops, self->session);
  else if (g_strcmp0 (page, "opening") == 0)
    td_wizard_opening_show (self->opening, self->session);
}

/* Measured against predicted flow, above the circuits' cards. */
static void
show_flow (TdWizard *self, const TdStepView *view)
{
  gboolean shown = self->step == TD_STEP_CONTACT && !view->visit->closed;

  if (shown && self->flow_seq != view->visit->last_seq)
    {
      g_autofree char *words = td_visit_diagnose (view->visit);

      gtk_label_set_label (self->flow_words, words != NULL ? words : "");
      self->flow_seq = view->visit->last_seq;
    }
  gtk_widget_set_visible (GTK_WIDGET (self->flow_words), shown && *gtk_label_get_label (self->flow_words) != '\0');
}

void
td_wizard_focus_act (TdWizard *self, const char *key)
{
  if ((looks_above (self) || !td_wizard_list_focus (self->list, key)) && !gtk_widget_grab_focus (self->next))
    gtk_widget_grab_focus (self->stops_button);
}

static gboolean
has_focus_inside (GtkWidget *widget)
{
  GtkRoot *root = gtk_widget_get_root (widget);
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  return focus != NULL && gtk_widget_is_ancestor (focus, widget);
}

void
td_wizard_show (TdWizard *self)
{
  TdStepView view;
  gboolean in_list = has_focus_inside (GTK_WIDGET (self->list));

  if (self->session == NULL)
    return;
  view = td_wizard_get_view (self);
  show_strip (self, &view);
  gtk_widget_set_visible (GTK_WIDGET (self->plan), self->step == TD_STEP_PLAN && !view.visit->closed);
  gtk_widget_set_visible (GTK_WIDGET (self->ahead), self->step == TD_STEP_SIGN && !view.visit->closed);
  show_flow (self, &view);
  td_wizard_list_show (self->list, &view, self->step);
  if (gtk_widget_get_visible (GTK_WIDGET (self->ahead)))
    td_wizard_stops_show (self->ahead, self->session);
  show_aside (self);
  show_next (self, &view);
  if (in_list && (looks_above (self) || !has_focus_inside (GTK_WIDGET (self->list))))
    td_wizard_focus_act (self, self->next_key);
  queue_reveal (self);
  show_leave (self, &view);
  show_stops (self);
  show_person (self, &view);
}

void
td_wizard_go (TdWizard *self, TdStep step)
{
  gboolean other = step != self->step;

  self->step = step;
  if (self->session == NULL)
    return;
  if (other)
    gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (self->scroller), 0);
  gtk_stack_set_visible_child_name (self->stack, "list");
  td_wizard_show (self);
  if (other)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_STEP]);
}

void
td_wizard_show_page (TdWizard *self, const char *name)
{
  gtk_stack_set_visible_child_name (self->stack, name);
  show_aside (self);
  if (g_strcmp0 (name, "list") == 0)
    td_wizard_focus_act (self, NULL);
  else
    gtk_widget_child_focus (gtk_stack_get_visible_child (self->stack), GTK_DIR_TAB_FORWARD);
}

/* Follows the work, also to where it goes on while a clock runs, unless somebody is looking at another step on
 * purpose. */
static void
session_changed_cb (TdWizard *self)
{
  TdStepView view = td_wizard_get_view (self);
  TdStep first = td_steps_find_current (&view), current = first;
  g_autoptr (TdAct) next = view.visit->closed ? NULL : td_steps_find_next (&view, first, &current);

  /* What was refused, or was up, belongs to the state before. */
  td_wizard_announce (self, "");
  if (next == NULL)
    current = first;

  if (current == self->step)
    self->step_chosen = FALSE;
  if (!self->step_chosen && current != self->step)
    {
      self->step = current;
      gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (self->scroller), 0);
      g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_STEP]);
    }
  td_wizard_show (self);
}

/* What the clock holds back comes free when it is up. */
static void
tick_cb (TdWizard *self)
{
  TdStepView view = td_wizard_get_view (self);
  g_autoptr (TdAct) act = td_steps_find_next (&view, td_steps_find_current (&view), NULL);

  if (g_strcmp0 (act != NULL ? act->key : NULL, self->next_key) != 0)
    td_wizard_show (self);
}

static void
contact_reached_cb (TdWizard *self, guint circuit, int outlet)
{
  const TdVisit *visit = td_session_get_visit (self->session);
  g_autofree char *title
    = circuit != 0 ? g_strdup_printf (_ ("Circuit %u"), circuit) : td_outlet_get_title (visit->site, (guint) outlet);
  g_autofree char *text = g_strdup_printf (_ ("%s: contact time is up"), title);

  td_wizard_announce (self, text);
  td_wizard_show (self);
}

static void
form_left_cb (TdWizard *self)
{
  td_wizard_show_page (self, "list");
}

/* @source: the form or the table. */
static void
form_done_cb (GtkWidget *source, const char *what, guint n, const char *key, TdWizard *self)
{
  td_wizard_say_done (self, what, td_session_get_visit (self->session)->last_seq, n);
  td_wizard_follow (self, key);
}

static void
entry_chosen_cb (TdRecordView *view, guint seq, TdWizard *self)
{
  td_wizard_correct (self, seq);
}

void
td_wizard_correct (TdWizard *self, guint seq)
{
  g_return_if_fail (TD_IS_WIZARD (self) && self->session != NULL);
  if (td_wizard_form_show_correction (self->form, self->session, seq))
    gtk_stack_set_visible_child_name (self->stack, "form");
}

void
td_wizard_say_done (TdWizard *self, const char *what, guint seq, guint n)
{
  TdVisit *visit = td_session_get_visit (self->session);
  const TdEntry *entry = seq > 0 ? td_visit_get_effective (visit, seq) : NULL;
  g_autofree char *clock = entry != NULL ? td_moment_to_clock (&entry->envelope.happened, FALSE) : NULL;
  g_autofree char *text = clock != NULL ? g_strdup_printf ("%s · %s", what, clock) : g_strdup (what);

  td_notice_clear (self->notice);
  td_wizard_announce (self, "");
  self->undo_seq = entry != NULL && !visit->closed && entry->envelope.kind != TD_KIND_ARRIVAL ? seq : 0;
  self->undo_n = n;
  gtk_label_set_label (self->done_label, text);
  gtk_widget_set_visible (self->done_bar, TRUE);
  gtk_widget_set_visible (self->undo, self->undo_seq != 0);
}

/* Not the class's grab_focus: with one of its own the Tab key would never come to the steps above. */
void
td_wizard_focus (TdWizard *self)
{
  g_return_if_fail (TD_IS_WIZARD (self));
  td_wizard_focus_act (self, self->next_key);
}

TdStep
td_wizard_get_step (TdWizard *self)
{
  g_return_val_if_fail (TD_IS_WIZARD (self), TD_STEP_ARRIVE);
  return self->step;
}

void
td_wizard_set_session (TdWizard *self, TdSession *session)
{
  g_return_if_fail (TD_IS_WIZARD (self));
  if (self->session != NULL)
    g_signal_handlers_disconnect_by_data (self->session, self);
  self->flow_seq = 0;
  g_set_object (&self->session, session);
  td_wizard_clocks_set_session (self->clocks, session);
  td_wizard_plan_set_session (self->plan, session);
  td_record_view_set_session (self->record, session);
  if (session == NULL)
    return;
  self->step_chosen = FALSE;
  g_signal_connect_object (session, "changed", G_CALLBACK (session_changed_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (session, "tick", G_CALLBACK (tick_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (session, "contact-reached", G_CALLBACK (contact_reached_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (session, "notify::person", G_CALLBACK (td_wizard_show), self, G_CONNECT_SWAPPED);
  session_changed_cb (self);
}

static void
td_wizard_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_STEP)
    g_value_set_int (value, (int) TD_WIZARD (object)->step);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_wizard_dispose (GObject *object)
{
  TdWizard *self = TD_WIZARD (object);

  g_clear_pointer (&self->root, gtk_widget_unparent);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (td_wizard_parent_class)->dispose (object);
}

static void
td_wizard_finalize (GObject *object)
{
  g_free (TD_WIZARD (object)->next_key);
  G_OBJECT_CLASS (td_wizard_parent_class)->finalize (object);
}

/* Between providers of one priority the later goes before the more exact: the rules of the window are read anew
 * with each window, these once. */
static void
load_style (void)
{
  g_autoptr (GtkCssProvider) provider = gtk_css_provider_new ();

  gtk_css_provider_load_from_resource (provider, "/tundish/wizard.css");
  gtk_style_context_add_provider_for_display (gdk_display_get_default (), GTK_STYLE_PROVIDER (provider),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION + 1);
}

#define BIND(name) gtk_widget_class_bind_template_child (widget_class, TdWizard, name)

static void
bind_children (GtkWidgetClass *widget_class)
{
  BIND (root);
  BIND (strip);
  BIND (notice);
  BIND (stack);
  BIND (scroller);
  BIND (plan);
  BIND (ahead);
  BIND (flow_words);
  BIND (list);
  BIND (form);
  BIND (sheet);
  BIND (stops);
  BIND (record);
  BIND (opening);
  BIND (side);
  BIND (next);
  BIND (next_title);
  BIND (next_detail);
  BIND (leave);
  BIND (said);
  BIND (clocks);
  BIND (stops_button);
  BIND (stops_label);
  BIND (person);
  BIND (person_label);
  BIND (done_bar);
  BIND (done_label);
  BIND (undo);
  gtk_widget_class_bind_template_callback (widget_class, form_left_cb);
  gtk_widget_class_bind_template_callback (widget_class, form_done_cb);
  gtk_widget_class_bind_template_callback (widget_class, entry_chosen_cb);
}

static void
td_wizard_class_init (TdWizardClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->get_property = td_wizard_get_property;
  G_OBJECT_CLASS (klass)->dispose = td_wizard_dispose;
  G_OBJECT_CLASS (klass)->finalize = td_wizard_finalize;
  properties[PROP_STEP] = g_param_spec_int ("step", NULL, NULL, 0, TD_N_STEPS - 1, 0,
                                            G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (G_OBJECT_CLASS (klass), N_PROPS, properties);
  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_RECORD_VIEW);
  g_type_ensure (TD_TYPE_WIZARD_CLOCKS);
  g_type_ensure (TD_TYPE_WIZARD_FORM);
  g_type_ensure (TD_TYPE_WIZARD_LIST);
  g_type_ensure (TD_TYPE_WIZARD_OPENING);
  g_type_ensure (TD_TYPE_WIZARD_PLAN);
  g_type_ensure (TD_TYPE_WIZARD_SHEET);
  g_type_ensure (TD_TYPE_WIZARD_STOPS);
  load_style ();
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/wizard-page.ui");
  bind_children (widget_class);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  td_wizard_install_acts (widget_class);
}

static void
td_wizard_init (TdWizard *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  make_strip (self);
  td_wizard_add_keys (self);
}

GtkWidget *
td_wizard_new (void)
{
  return g_object_new (TD_TYPE_WIZARD, NULL);
}
