#include "wizard-plan.h"

#include "core-error.h"
#include "core-plan-make.h"
#include "core-plan-outlook.h"
#include "desk-hours-view.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-tower-view.h"
#include "model-act.h"
#include "model-plan.h"
#include "wizard-toggles.h"

struct _TdWizardPlan
{
  GtkWidget parent;
  TdSession *session;
  GCancellable *cancellable;
  TdPlanWishes *wishes;
  TdPlan *plan;     /* as proposed; NULL while it is made or where none is possible */
  TdPlanOutlook *outlook; /* of that plan */
  GArray *marked;   /* guint: for a circuit by hand */
  gboolean replan;  /* the adopted plan is to be replaced */
  gboolean asking;  /* another plan is being made: the one shown may not be adopted */
  guint asked_seq;  /* state of the visit that the proposal was asked for */
  gboolean showing;

  GtkWidget *root;
  TdNotice *notice;
  GtkLabel *summary;
  GtkLabel *hours_words;
  GtkLabel *warnings;
  TdHoursView *hours;
  GtkLabel *marked_words;
  GtkWidget *adopt;
  GtkWidget *again;
  TdTowerView *drawing;
  GtkWidget *controls;
  GtkLabel *line;
  GtkLabel *words;
  GtkToggleButton *pin_none;
  GtkToggleButton *pin_static;
  GtkToggleButton *pin_no_reversal;
  GtkToggleButton *pin_leave_out;
  GtkToggleButton *mark;
  GtkBox *station_box;
  GtkWidget *reason_box;
  GtkEntry *reason;
  GtkWidget *station; /* TdWizardToggles */
};

G_DEFINE_FINAL_TYPE (TdWizardPlan, td_wizard_plan, GTK_TYPE_WIDGET)

typedef struct
{
  TdSite *site;
  TdSettings *settings;
  TdPlanPins *pins;
} Job;

static void
free_job (gpointer data)
{
  Job *job = data;

  td_site_unref (job->site);
  td_settings_unref (job->settings);
  td_plan_pins_free (job->pins);
  g_free (job);
}

/* A plan and what it will be like. */
typedef struct
{
  TdPlan *plan;
  TdPlanOutlook *outlook;
} Proposal;

static void
free_proposal (gpointer data)
{
  Proposal *proposal = data;

  g_clear_pointer (&proposal->outlook, td_plan_outlook_free);
  g_clear_pointer (&proposal->plan, td_plan_unref);
  g_free (proposal);
}

/* Off the main thread: a large site takes seconds. */
static void
plan_job (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Job *job = data;
  GError *error = NULL;
  Proposal *proposal = g_new0 (Proposal, 1);

  proposal->plan = td_plan_make_with (job->site, job->settings, job->pins, &error);
  if (proposal->plan != NULL)
    proposal->outlook = td_plan_outlook_new (job->site, proposal->plan, job->settings, 1, &error);
  if (proposal->outlook != NULL)
    {
      g_task_return_pointer (task, proposal, free_proposal);
      return;
    }
  free_proposal (proposal);
  g_task_return_error (task, error);
}

static gboolean
is_adopted (TdWizardPlan *self)
{
  TdVisit *visit = td_session_get_visit (self->session);

  return visit->plan_adopted.seq != 0 && !self->replan;
}

static int
get_chosen (TdWizardPlan *self)
{
  int chosen = td_tower_view_get_chosen (self->drawing);

  return chosen >= 0 && (guint) chosen < self->wishes->n_outlets ? chosen : -1;
}

static gboolean
is_marked (TdWizardPlan *self, guint outlet)
{
  for (guint i = 0; i < self->marked->len; i++)
    if (g_array_index (self->marked, guint, i) == outlet)
      return TRUE;
  return FALSE;
}

/* A circuit by hand is judged while it is put together. */
static void
show_marked (TdWizardPlan *self)
{
  g_autofree char *words = td_plan_marked_to_words (td_session_get_visit (self->session), self->marked);

  gtk_label_set_label (self->marked_words, words);
  gtk_widget_set_visible (GTK_WIDGET (self->marked_words), self->marked->len > 0);
}

/* When, how much, what is to be minded. */
static void
show_outlook (TdWizardPlan *self, gboolean adopted)
{
  const TdPlanOutlook *outlook = adopted ? NULL : self->outlook;
  g_autofree char *hours = outlook != NULL ? td_plan_hours_to_words (outlook) : NULL;
  g_autofree char *amounts = outlook != NULL ? td_plan_amounts_to_words (outlook) : NULL;
  g_autofree char *words = outlook != NULL ? g_strdup_printf ("%s.\n%s.", hours, amounts) : NULL;
  g_autofree char *warnings = outlook != NULL ? g_strjoinv ("\n", self->plan->warnings) : NULL;

  gtk_label_set_label (self->hours_words, words != NULL ? words : "");
  gtk_label_set_label (self->warnings, warnings != NULL ? warnings : "");
  gtk_widget_set_visible (GTK_WIDGET (self->hours_words), outlook != NULL);
  gtk_widget_set_visible (GTK_WIDGET (self->warnings), warnings != NULL && *warnings != '\0');
  gtk_widget_set_visible (GTK_WIDGET (self->hours), outlook != NULL);
  td_hours_view_set_outlook (self->hours, td_session_get_visit (self->session)->site, outlook, hours);
}

/* Pressed is the wish for the chosen line; the buttons' action has no state to follow. */
static void
show_pins (TdWizardPlan *self, int chosen)
{
  const struct
  {
    GtkToggleButton *button;
    TdWish wish;
  } pins[] = { { self->pin_none, TD_WISH_NONE },
               { self->pin_static, TD_WISH_STATIC },
               { self->pin_no_reversal, TD_WISH_NO_REVERSAL },
               { self->pin_leave_out, TD_WISH_LEAVE_OUT } };

  for (gsize i = 0; i < G_N_ELEMENTS (pins); i++)
    gtk_toggle_button_set_active (pins[i].button, chosen >= 0 && self->wishes->wishes[chosen] == pins[i].wish);
}

static void
show_line (TdWizardPlan *self)
{
  TdVisit *visit = td_session_get_visit (self->session);
  int chosen = get_chosen (self);
  g_autofree char *title = chosen >= 0 ? td_outlet_get_title (visit->site, (guint) chosen) : NULL;
  g_autofree char *words = NULL;

  if (chosen >= 0 && self->plan != NULL && !is_adopted (self))
    words = td_plan_line_to_words (self->plan, visit->site->outlets[chosen].id);
  gtk_label_set_label (self->line, title != NULL ? title : _ ("Choose a line in the drawing"));
  gtk_label_set_label (self->words, words != NULL ? words : "");
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "plan.pin", chosen >= 0);
  gtk_widget_set_sensitive (GTK_WIDGET (self->mark), chosen >= 0);
  self->showing = TRUE;
  show_pins (self, chosen);
  gtk_toggle_button_set_active (self->mark, chosen >= 0 && is_marked (self, (guint) chosen));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "plan.circuit", self->marked->len >= 2);
  show_marked (self);
  self->showing = FALSE;
}

static gboolean
leaves_out (TdWizardPlan *self)
{
  for (guint i = 0; i < self->wishes->n_outlets; i++)
    if (self->wishes->wishes[i] == TD_WISH_LEAVE_OUT)
      return TRUE;
  return FALSE;
}

static void
show (TdWizardPlan *self)
{
  TdVisit *visit = td_session_get_visit (self->session);
  gboolean adopted = is_adopted (self);
  g_autofree char *words = NULL;
  int chosen = td_tower_view_get_chosen (self->drawing);

  if (adopted)
    {
      words = g_strdup (_ ("This plan was adopted."));
      td_tower_view_set_sheet (self->drawing, td_run_sheet_new_visit (visit, TD_SHOW_NOW));
    }
  else if (self->plan != NULL)
    {
      words = td_plan_to_words (self->plan);
      td_tower_view_set_sheet (self->drawing, td_run_sheet_new_plan (visit->site, self->plan));
    }
  else
    td_tower_view_set_sheet (self->drawing, td_run_sheet_new (visit->site));
  td_tower_view_set_chosen (self->drawing, chosen);
  gtk_label_set_label (self->summary, words != NULL ? words : _ ("Planning…"));
  gtk_widget_set_visible (self->adopt, !adopted);
  gtk_widget_set_visible (self->again, adopted);
  gtk_widget_set_visible (self->controls, !adopted);
  gtk_widget_set_visible (GTK_WIDGET (self->station_box), !adopted);
  gtk_widget_set_visible (self->reason_box, !adopted && leaves_out (self));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "plan.adopt", self->plan != NULL && !adopted && !self->asking);
  show_outlook (self, adopted);
  show_line (self);
}

static void
drop_plan (TdWizardPlan *self)
{
  g_clear_pointer (&self->outlook, td_plan_outlook_free);
  g_clear_pointer (&self->plan, td_plan_unref);
}

static void
planned_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdWizardPlan *self = TD_WIZARD_PLAN (source);
  g_autoptr (GError) error = NULL;
  Proposal *proposal = g_task_propagate_pointer (G_TASK (result), &error);

  if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED) || self->session == NULL)
    {
      g_clear_pointer (&proposal, free_proposal);
      return;
    }
  self->asking = FALSE;
  drop_plan (self);
  if (proposal != NULL)
    {
      self->plan = g_steal_pointer (&proposal->plan);
      self->outlook = g_steal_pointer (&proposal->outlook);
    }
  g_clear_pointer (&proposal, free_proposal);
  if (self->plan == NULL)
    td_notice_show_error (self->notice, _ ("No plan keeps all of these wishes."), error);
  else
    td_notice_clear (self->notice);
  show (self);
  if (self->plan == NULL)
    gtk_label_set_label (self->summary, _ ("No plan is possible so."));
}

static gboolean
has_scope (const TdVisit *visit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    if (visit->lines[i].in_scope[TD_CLEAN_CAUSTIC] || visit->lines[i].in_scope[TD_CLEAN_ACID])
      return TRUE;
  return FALSE;
}

static void
ask (TdWizardPlan *self)
{
  TdVisit *visit = td_session_get_visit (self->session);
  g_autoptr (GTask) task = NULL;
  Job *job;

  g_cancellable_cancel (self->cancellable);
  g_object_unref (self->cancellable);
  self->cancellable = g_cancellable_new ();
  self->asked_seq = visit->last_seq;
  /* The plan before stays on the screen until the next one is there: nothing flickers. */
  self->asking = has_scope (visit);
  if (!self->asking)
    drop_plan (self);
  show (self);
  gtk_label_set_label (self->summary, _ ("Planning…"));
  if (!self->asking)
    {
      gtk_label_set_label (self->summary, _ ("First agree the scope: which lines get which clean."));
      return;
    }
  job = g_new0 (Job, 1);
  job->site = td_site_ref (visit->site);
  job->settings = td_settings_ref (visit->settings);
  job->pins = td_plan_wishes_to_pins (self->wishes, visit);
  task = g_task_new (self, self->cancellable, planned_cb, NULL);
  g_task_set_task_data (task, job, free_job);
  g_task_run_in_thread (task, plan_job);
}

/* A proposal is made when somebody looks, and for the visit as it stands then. */
static void
refresh (TdWizardPlan *self)
{
  if (self->session == NULL || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    return;
  if (is_adopted (self))
    show (self);
  else if (self->asked_seq != td_session_get_visit (self->session)->last_seq)
    ask (self);
}

static void
changed_cb (TdWizardPlan *self)
{
  refresh (self);
}

static void
td_wizard_plan_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (td_wizard_plan_parent_class)->map (widget);
  refresh (TD_WIZARD_PLAN (widget));
}

static void
chosen_cb (TdTowerView *view, GParamSpec *pspec, TdWizardPlan *self)
{
  if (self->session != NULL)
    show_line (self);
}

static void
mark_toggled_cb (GtkToggleButton *button, TdWizardPlan *self)
{
  int chosen = self->session != NULL && !self->showing ? get_chosen (self) : -1;
  guint outlet = (guint) chosen;

  if (chosen < 0)
    return;
  if (gtk_toggle_button_get_active (button) && !is_marked (self, outlet))
    g_array_append_val (self->marked, outlet);
  for (guint i = 0; !gtk_toggle_button_get_active (button) && i < self->marked->len; i++)
    if (g_array_index (self->marked, guint, i) == outlet)
      g_array_remove_index (self->marked, i--);
  show_line (self);
}

static void
pin_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizardPlan *self = TD_WIZARD_PLAN (widget);
  int chosen = self->session != NULL ? get_chosen (self) : -1;
  TdWish wish;

  if (chosen < 0 || !td_wish_from_text (g_variant_get_string (parameter, NULL), &wish))
    return;
  self->wishes->wishes[chosen] = wish;
  ask (self);
}

static void
station_changed_cb (TdWizardPlan *self)
{
  g_auto (GStrv) chosen = td_wizard_toggles_get_chosen (TD_WIZARD_TOGGLES (self->station));

  g_free (self->wishes->station);
  self->wishes->station = g_strdup (chosen[0]);
  ask (self);
}

static void
circuit_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizardPlan *self = TD_WIZARD_PLAN (widget);

  if (self->session == NULL || self->marked->len < 2)
    return;
  g_ptr_array_add (self->wishes->circuits, g_array_ref (self->marked));
  g_array_unref (self->marked);
  self->marked = g_array_new (FALSE, FALSE, sizeof (guint));
  ask (self);
}

static void
again_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizardPlan *self = TD_WIZARD_PLAN (widget);

  if (self->session == NULL)
    return;
  self->replan = TRUE;
  ask (self);
}

static void
adopted_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWizardPlan) self = user_data;
  g_autoptr (GError) error = NULL;

  if (!td_session_append_finish (TD_SESSION (source), result, NULL, &error))
    td_notice_show_error (self->notice, _ ("The plan was not recorded."), error);
  else
    self->replan = FALSE;
  if (self->session != NULL)
    show (self);
}

/* Lines that were pinned out get their reason with the plan. */
static gboolean
add_left_out (TdWizardPlan *self, GPtrArray *drafts)
{
  TdVisit *visit = td_session_get_visit (self->session);
  g_autofree char *why = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->reason))));
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (TdJson) fields = NULL;

  for (guint i = 0; i < visit->n_lines; i++)
    if (self->wishes->wishes[i] == TD_WISH_LEAVE_OUT && visit->lines[i].left_out.seq == 0)
      g_array_append_val (lines, i);
  if (lines->len == 0)
    return TRUE;
  if (*why == '\0')
    {
      g_autoptr (GError) error = g_error_new_literal (TD_ERROR, TD_ERROR_SHAPE, _ ("Say why those lines are left out."));

      td_notice_show_error (self->notice, _ ("This is not complete."), error);
      gtk_widget_grab_focus (GTK_WIDGET (self->reason));
      return FALSE;
    }
  fields = td_fields_new ("reason", why, NULL);
  g_ptr_array_add (drafts, td_session_draft (self->session, TD_KIND_LINE_LEFT_OUT,
                                             td_body_make (TD_KIND_LINE_LEFT_OUT, visit, 0, lines, fields)));
  return TRUE;
}

static void
adopt_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizardPlan *self = TD_WIZARD_PLAN (widget);
  g_autoptr (GPtrArray) drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);

  if (self->session == NULL || self->plan == NULL || self->asking || !add_left_out (self, drafts))
    return;
  g_ptr_array_add (drafts, td_session_draft (self->session, TD_KIND_PLAN_ADOPTED,
                                             td_plan_to_adoption (self->plan, self->outlook,
                                                                  self->wishes->circuits->len > 0)));
  gtk_widget_action_set_enabled (widget, "plan.adopt", FALSE);
  td_session_append_many_async (self->session, g_steal_pointer (&drafts), adopted_cb, g_object_ref (self));
}

static void
make_station (TdWizardPlan *self)
{
  const TdSite *site = td_session_get_visit (self->session)->site;

  if (self->station != NULL)
    gtk_box_remove (self->station_box, self->station);
  self->station = td_wizard_toggles_new (FALSE, _ ("The cleaning pump stands at"));
  gtk_widget_set_hexpand (self->station, TRUE);
  for (guint i = 0; i < site->n_towers; i++)
    td_wizard_toggles_add (TD_WIZARD_TOGGLES (self->station), site->towers[i].id, site->towers[i].name);
  for (guint i = 0; i < site->n_coolers; i++)
    td_wizard_toggles_add (TD_WIZARD_TOGGLES (self->station), site->coolers[i].id, site->coolers[i].name);
  g_signal_connect_object (self->station, "changed", G_CALLBACK (station_changed_cb), self, G_CONNECT_SWAPPED);
  gtk_box_append (self->station_box, self->station);
}

void
td_wizard_plan_set_session (TdWizardPlan *self, TdSession *session)
{
  g_return_if_fail (TD_IS_WIZARD_PLAN (self));
  if (self->session != NULL)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_set_object (&self->session, session);
  g_clear_pointer (&self->wishes, td_plan_wishes_free);
  drop_plan (self);
  self->asked_seq = 0;
  if (session == NULL)
    return;
  self->wishes = td_plan_wishes_new (td_session_get_visit (session));
  make_station (self);
  g_signal_connect_object (session, "changed", G_CALLBACK (changed_cb), self, G_CONNECT_SWAPPED);
  refresh (self);
}

void
td_wizard_plan_focus (TdWizardPlan *self)
{
  g_return_if_fail (TD_IS_WIZARD_PLAN (self));
  gtk_widget_grab_focus (gtk_widget_get_visible (self->adopt) ? self->adopt : self->again);
}

static void
td_wizard_plan_dispose (GObject *object)
{
  TdWizardPlan *self = TD_WIZARD_PLAN (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->root, gtk_widget_unparent);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (td_wizard_plan_parent_class)->dispose (object);
}

static void
td_wizard_plan_finalize (GObject *object)
{
  TdWizardPlan *self = TD_WIZARD_PLAN (object);

  g_clear_object (&self->cancellable);
  g_clear_pointer (&self->wishes, td_plan_wishes_free);
  drop_plan (self);
  g_array_unref (self->marked);
  G_OBJECT_CLASS (td_wizard_plan_parent_class)->finalize (object);
}

#define BIND(name) gtk_widget_class_bind_template_child (widget_class, TdWizardPlan, name)

static void
td_wizard_plan_class_init (TdWizardPlanClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_wizard_plan_dispose;
  G_OBJECT_CLASS (klass)->finalize = td_wizard_plan_finalize;
  widget_class->map = td_wizard_plan_map;
  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_TOWER_VIEW);
  g_type_ensure (TD_TYPE_HOURS_VIEW);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/wizard-plan.ui");
  BIND (root);
  BIND (notice);
  BIND (summary);
  BIND (hours_words);
  BIND (hours);
  BIND (warnings);
  BIND (marked_words);
  BIND (adopt);
  BIND (again);
  BIND (drawing);
  BIND (controls);
  BIND (line);
  BIND (words);
  BIND (pin_none);
  BIND (pin_static);
  BIND (pin_no_reversal);
  BIND (pin_leave_out);
  BIND (mark);
  BIND (station_box);
  BIND (reason_box);
  BIND (reason);
  gtk_widget_class_bind_template_callback (widget_class, chosen_cb);
  gtk_widget_class_bind_template_callback (widget_class, mark_toggled_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "plan.adopt", NULL, adopt_action);
  gtk_widget_class_install_action (widget_class, "plan.again", NULL, again_action);
  gtk_widget_class_install_action (widget_class, "plan.pin", "s", pin_action);
  gtk_widget_class_install_action (widget_class, "plan.circuit", NULL, circuit_action);
}

static void
td_wizard_plan_init (TdWizardPlan *self)
{
  self->cancellable = g_cancellable_new ();
  self->marked = g_array_new (FALSE, FALSE, sizeof (guint));
  gtk_widget_init_template (GTK_WIDGET (self));
}
