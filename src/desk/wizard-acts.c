#include "wizard-page-private.h"

#include "desk-i18n.h"

#include <string.h>

/* What the wizard's buttons do: each is an action, so that keyboard, pointer and assistive tools take the
 * same way. */

typedef struct
{
  TdWizard *self;
  char *what;
  char *key; /* of the act, the last of a list's */
  guint n;   /* entries on their way */
} Errand;

static void
free_errand (Errand *errand)
{
  g_object_unref (errand->self);
  g_free (errand->what);
  g_free (errand->key);
  g_free (errand);
}

static void
appended_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  Errand *errand = user_data;
  g_autoptr (GError) error = NULL;

  if (td_session_append_finish (TD_SESSION (source), result, NULL, &error))
    {
      td_wizard_say_done (errand->self, errand->what, td_session_get_visit (TD_SESSION (source))->last_seq, errand->n);
      if (errand->key != NULL)
        td_wizard_follow (errand->self, errand->key);
    }
  else
    td_notice_show_error (errand->self->notice, _ ("This was not recorded."), error);
  free_errand (errand);
}

/* @drafts: (transfer full). @key: (nullable): of the act. */
static void
send (TdWizard *self, GPtrArray *drafts, const char *what, const char *key)
{
  Errand *errand = g_new0 (Errand, 1);

  errand->self = g_object_ref (self);
  errand->what = g_strdup (what);
  errand->key = g_strdup (key);
  errand->n = drafts->len;
  td_session_append_many_async (self->session, drafts, appended_cb, errand);
}

static void
add_drafts (TdWizard *self, GPtrArray *drafts, const TdAct *act, const GArray *chosen)
{
  g_autoptr (GArray) kinds = NULL;
  g_autoptr (GPtrArray) bodies = td_act_make_bodies (act, td_session_get_visit (self->session), chosen, &kinds);

  for (guint i = 0; i < bodies->len; i++)
    g_ptr_array_add (drafts, td_session_draft (self->session, g_array_index (kinds, TdKind, i),
                                               td_json_ref (g_ptr_array_index (bodies, i))));
}

static gboolean
is_busy (TdWizard *self)
{
  gboolean busy = FALSE;

  /* A second tap while the first is on its way to the disk would record the act twice. */
  g_object_get (self->session, "busy", &busy, NULL);
  return busy;
}

void
td_wizard_do_act (TdWizard *self, TdAct *act, const GArray *chosen)
{
  g_autoptr (GPtrArray) drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);

  if (is_busy (self))
    return;
  add_drafts (self, drafts, act, chosen);
  if (drafts->len > 0)
    send (self, g_steal_pointer (&drafts), act->title, act->key);
}

static gboolean
is_held (TdWizard *self, const TdAct *act, const GArray *chosen)
{
  TdStepView view = td_wizard_get_view (self);
  g_autoptr (GPtrArray) missing = td_act_ask_guard (act, view.visit, chosen, view.person, view.now_ms);

  return td_missing_holds (missing);
}

void
td_wizard_open_form (TdWizard *self, TdAct *act, gboolean late, gboolean all)
{
  if (td_act_get_kind (act) == TD_KIND_PLAN_ADOPTED)
    {
      td_wizard_go (self, TD_STEP_PLAN);
      td_wizard_plan_focus (self->plan);
      return;
    }
  gtk_stack_set_visible_child_name (self->stack, act->table ? "sheet" : "form");
  if (act->table)
    td_wizard_sheet_show (self->sheet, self->session, act);
  else
    td_wizard_form_show_act (self->form, self->session, act, late, all);
}

void
td_wizard_follow (TdWizard *self, const char *done_key)
{
  TdStepView view = td_wizard_get_view (self);
  g_autoptr (TdAct) act = NULL;

  act = *done_key != '\0' && !view.visit->closed ? td_steps_find_follow (&view, done_key) : NULL;
  if (act != NULL)
    td_wizard_open_form (self, act, FALSE, FALSE);
  else if (g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "list") != 0)
    td_wizard_show_page (self, "list");
}

/* Says what stands in the way first. */
static void
refuse (TdWizard *self, const TdAct *act)
{
  TdStepView view = td_wizard_get_view (self);
  g_autoptr (GPtrArray) missing = td_act_ask_guard (act, view.visit, NULL, view.person, view.now_ms);
  g_autofree char *text = NULL;

  if (missing->len == 0)
    return;
  text = g_strdup_printf (_ ("Held back: %s"), ((const TdMissing *) g_ptr_array_index (missing, 0))->text);
  td_wizard_announce (self, text);
}

/* Does it where one tap says all, asks for the rest otherwise. */
static void
do_or_ask (TdWizard *self, TdAct *act)
{
  if (is_held (self, act, NULL))
    {
      refuse (self, act);
      td_wizard_focus_act (self, act->key);
    }
  else if (act->confirm != NULL)
    td_wizard_do_act (self, act, NULL);
  else
    td_wizard_open_form (self, act, FALSE, FALSE);
}

static void
step_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  int step = g_variant_get_int32 (parameter);

  if (step < 0 || step >= TD_N_STEPS || self->session == NULL || !gtk_widget_get_mapped (widget))
    return;
  self->step_chosen = TRUE;
  td_wizard_go (self, (TdStep) step);
  td_wizard_focus_act (self, NULL);
}

static void
next_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  TdStepView view;
  g_autoptr (TdAct) act = NULL;

  /* The key is heard while another page of the visit is in sight. */
  if (self->session == NULL || self->next_key == NULL || !gtk_widget_get_mapped (widget))
    return;
  view = td_wizard_get_view (self);
  act = td_steps_find_act (&view, self->next_key);
  self->step_chosen = FALSE;
  if (act == NULL)
    return;
  if (self->step != self->next_step && td_steps_find_current (&view) == self->next_step)
    td_wizard_go (self, self->next_step);
  do_or_ask (self, act);
}

static GArray *
find_outlets (TdWizard *self, char **ids)
{
  TdVisit *visit = td_session_get_visit (self->session);
  GArray *outlets = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; ids[i] != NULL; i++)
    {
      int found = td_site_find_outlet (visit->site, ids[i]);
      guint outlet = (guint) found;

      if (found >= 0)
        g_array_append_val (outlets, outlet);
    }
  return outlets;
}

static void
act_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  TdStepView view;
  const char *key;
  g_auto (GStrv) ids = NULL;
  g_autoptr (GArray) chosen = NULL;
  g_autoptr (TdAct) act = NULL;

  if (self->session == NULL)
    return;
  g_variant_get (parameter, "(&s^as)", &key, &ids);
  view = td_wizard_get_view (self);
  act = td_steps_find_act (&view, key);
  if (ids[0] != NULL)
    chosen = find_outlets (self, ids);
  if (act != NULL && is_held (self, act, chosen))
    refuse (self, act);
  else if (act != NULL && act->confirm != NULL)
    td_wizard_do_act (self, act, chosen);
}

static void
form_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  TdStepView view;
  const char *key;
  gboolean late = FALSE, all = FALSE;
  g_autoptr (TdAct) act = NULL;

  if (self->session == NULL)
    return;
  g_variant_get (parameter, "(&sbb)", &key, &late, &all);
  view = td_wizard_get_view (self);
  act = td_steps_find_act (&view, key);
  if (act != NULL)
    td_wizard_open_form (self, act, late, all);
}

static void
kind_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  TdKind kind;

  if (self->session == NULL || !td_kind_from_code (g_variant_get_string (parameter, NULL), &kind))
    return;
  gtk_stack_set_visible_child_name (self->stack, "form");
  td_wizard_form_show_kind (self->form, self->session, kind, NULL);
}

static void
stand_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  g_autoptr (GPtrArray) drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_autoptr (TdStepSheet) sheet = NULL;
  TdStepView view;

  if (self->session == NULL || is_busy (self))
    return;
  view = td_wizard_get_view (self);
  sheet = td_step_sheet_new (self->step, &view);
  for (guint i = 0; i < sheet->stands->len; i++)
    {
      const TdStand *stand = g_ptr_array_index (sheet->stands, i);
      g_autoptr (GPtrArray) acts = NULL;

      if (strcmp (stand->key, g_variant_get_string (parameter, NULL)) != 0)
        continue;
      acts = td_stand_get_confirmable (stand, &view);
      for (guint j = 0; j < acts->len; j++)
        add_drafts (self, drafts, g_ptr_array_index (acts, j), NULL);
      if (drafts->len > 0)
        {
          send (self, g_steal_pointer (&drafts), stand->title, ((TdAct *) g_ptr_array_index (acts, acts->len - 1))->key);
          return;
        }
    }
}

static void
remedy_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  TdMissing missing = { .text = NULL };
  TdStepView view;
  const char *code;
  g_autoptr (TdAct) act = NULL;

  if (self->session == NULL)
    return;
  g_variant_get (parameter, "(&sii)", &code, &missing.outlet, &missing.circuit);
  if (!td_kind_from_code (code, &missing.remedy))
    return;
  view = td_wizard_get_view (self);
  act = td_steps_find_remedy (&view, &missing, NULL);
  if (act != NULL && !is_held (self, act, NULL))
    do_or_ask (self, act);
  else if (act != NULL && act->confirm != NULL)
    {
      /* What holds the remedy back stands with it. */
      self->step_chosen = TRUE;
      td_wizard_go (self, td_kind_get_step (missing.remedy));
      td_wizard_focus_act (self, act->key);
    }
  else
    {
      const TdSite *site = view.visit->site;
      GArray *outlets = g_array_new (FALSE, FALSE, sizeof (guint));
      g_autoptr (TdJson) fields = NULL;
      guint outlet = (guint) missing.outlet;

      if (missing.outlet >= 0 && outlet < site->n_outlets)
        g_array_append_val (outlets, outlet);
      fields = td_body_make (missing.remedy, view.visit, missing.circuit, outlets, NULL);
      g_array_unref (outlets);
      gtk_stack_set_visible_child_name (self->stack, "form");
      td_wizard_form_show_kind (self->form, self->session, missing.remedy, fields);
    }
}

static void
reason_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  TdVisit *visit;
  const char *code;
  int outlet = -1;
  g_autoptr (TdJson) fields = NULL;

  if (self->session == NULL)
    return;
  visit = td_session_get_visit (self->session);
  g_variant_get (parameter, "(&si)", &code, &outlet);
  fields = td_fields_new ("code", code, outlet >= 0 ? "line" : NULL,
                          outlet >= 0 ? visit->site->outlets[outlet].id : NULL, NULL);
  gtk_stack_set_visible_child_name (self->stack, "form");
  td_wizard_form_show_kind (self->form, self->session, TD_KIND_FINDING_REASON, fields);
}

static void
correct_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  if (TD_WIZARD (widget)->session != NULL)
    td_wizard_correct (TD_WIZARD (widget), g_variant_get_uint32 (parameter));
}

/* Taking back is an entry like any other: what was done stays, with its correction beside it. */
static void
undo_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  g_autoptr (GPtrArray) drafts = NULL;

  if (self->session == NULL || self->undo_seq == 0 || is_busy (self))
    return;
  drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  for (guint i = 0; i < self->undo_n && i < self->undo_seq; i++)
    g_ptr_array_add (drafts, td_session_draft_correction (self->session, self->undo_seq - i, NULL, _ ("Taken back at once.")));
  self->undo_seq = 0;
  send (self, g_steal_pointer (&drafts), _ ("Taken back"), NULL);
}

static void
show_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizard *self = TD_WIZARD (widget);
  const char *page = g_variant_get_string (parameter, NULL);

  if (self->session == NULL)
    return;
  if (g_strcmp0 (page, gtk_stack_get_visible_child_name (self->stack)) == 0)
    page = "list";
  td_wizard_show_page (self, page);
}

static void
person_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  if (TD_WIZARD (widget)->session != NULL)
    td_session_set_person (TD_WIZARD (widget)->session, g_variant_get_string (parameter, NULL));
}

static void
leave_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_wizard_show_page (TD_WIZARD (widget), "list");
}

/* Escape leads back to the list; from the list it is the window's. */
static gboolean
escape_cb (GtkWidget *widget, GVariant *args, gpointer data)
{
  TdWizard *self = TD_WIZARD (widget);

  if (g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "list") == 0)
    return FALSE;
  td_wizard_show_page (self, "list");
  return TRUE;
}

/* The keys hold wherever the focus is: it may stand in the window's bar. */
void
td_wizard_add_keys (TdWizard *self)
{
  GtkEventController *keys = gtk_shortcut_controller_new ();

  gtk_shortcut_controller_set_scope (GTK_SHORTCUT_CONTROLLER (keys), GTK_SHORTCUT_SCOPE_GLOBAL);
  for (guint i = 0; i < TD_N_STEPS; i++)
    gtk_shortcut_controller_add_shortcut (
      GTK_SHORTCUT_CONTROLLER (keys),
      gtk_shortcut_new_with_arguments (gtk_keyval_trigger_new (GDK_KEY_1 + i, GDK_CONTROL_MASK),
                                       gtk_named_action_new ("wizard.step"), "i", (int) i));
  gtk_shortcut_controller_add_shortcut (GTK_SHORTCUT_CONTROLLER (keys),
                                        gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Return, GDK_CONTROL_MASK),
                                                          gtk_named_action_new ("wizard.next")));
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

void
td_wizard_install_acts (GtkWidgetClass *klass)
{
  gtk_widget_class_install_action (klass, "wizard.step", "i", step_action);
  gtk_widget_class_install_action (klass, "wizard.next", NULL, next_action);
  gtk_widget_class_install_action (klass, "wizard.act", "(sas)", act_action);
  gtk_widget_class_install_action (klass, "wizard.form", "(sbb)", form_action);
  gtk_widget_class_install_action (klass, "wizard.kind", "s", kind_action);
  gtk_widget_class_install_action (klass, "wizard.stand", "s", stand_action);
  gtk_widget_class_install_action (klass, "wizard.remedy", "(sii)", remedy_action);
  gtk_widget_class_install_action (klass, "wizard.reason", "(si)", reason_action);
  gtk_widget_class_install_action (klass, "wizard.correct", "u", correct_action);
  gtk_widget_class_install_action (klass, "wizard.undo", NULL, undo_action);
  gtk_widget_class_install_action (klass, "wizard.show", "s", show_action);
  gtk_widget_class_install_action (klass, "wizard.person", "s", person_action);
  gtk_widget_class_install_action (klass, "wizard.leave", NULL, leave_action);
  gtk_widget_class_add_binding (klass, GDK_KEY_Escape, 0, escape_cb, NULL);
  gtk_widget_class_add_binding_action (klass, GDK_KEY_z, GDK_CONTROL_MASK, "wizard.undo", NULL);
}
