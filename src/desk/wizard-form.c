#include "wizard-form.h"

#include "wizard-form-private.h"

#include "core-error.h"
#include "desk-i18n.h"
#include "wizard-form-body.h"
#include "wizard-toggles.h"

#include <string.h>

G_DEFINE_FINAL_TYPE (TdWizardForm, td_wizard_form, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_LEAVE,
  SIGNAL_DONE,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

static void
show_fields (TdWizardForm *self)
{
  g_autoptr (TdJson) body = td_form_body_make (self->fields, self->preset, NULL);

  for (guint i = 0; i < self->fields->len; i++)
    {
      GtkWidget *field = g_ptr_array_index (self->fields, i);

      gtk_widget_set_visible (field, !td_form_body_is_idle (self->kind, td_wizard_field_get_field (TD_WIZARD_FIELD (field)), body));
    }
}

static void
field_changed_cb (TdWizardForm *self)
{
  if (self->filling)
    return;
  show_fields (self);
  self->filling = TRUE;
  if (self->kind == TD_KIND_SOLUTION_MIXED && self->of == 0)
    td_wizard_form_follow_product (self);
  self->filling = FALSE;
  td_wizard_form_show_hints (self);
}

static void
commit_cb (TdWizardForm *self)
{
  gtk_widget_activate_action (GTK_WIDGET (self), "form.commit", NULL);
}

static void
void_toggled_cb (GtkToggleButton *button, TdWizardForm *self)
{
  gtk_widget_set_sensitive (GTK_WIDGET (self->grid), !gtk_toggle_button_get_active (button));
}

static void
appended_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWizardForm) self = user_data;
  g_autoptr (GError) error = NULL;
  g_autofree char *said = g_strdup (self->of != 0  ? _ ("Corrected")
                                    : self->whole ? self->act->title
                                                  : td_kind_get_text (self->kind));

  gtk_widget_action_set_enabled (GTK_WIDGET (self), "form.commit", TRUE);
  if (td_session_append_finish (TD_SESSION (source), result, NULL, &error))
    g_signal_emit (self, signals[SIGNAL_DONE], 0, said, self->n_entries, self->act != NULL ? self->act->key : "");
  else
    td_notice_show_error (self->notice, _ ("This was not recorded."), error);
}

static TdDraft *
make_draft (TdWizardForm *self, GError **error)
{
  TdVisit *visit = td_session_get_visit (self->session);
  gboolean voids = self->of != 0 && gtk_toggle_button_get_active (self->void_it);
  g_autoptr (TdJson) body = voids ? NULL : td_form_body_make (self->fields, self->preset, error);
  g_autofree char *why = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->why))));

  if (!voids && body == NULL)
    return NULL;
  if (self->of == 0)
    {
      g_autoptr (TdJson) whole = td_form_body_fold_circuit (self->act, visit, self->kind, body);

      return td_kind_check_body (self->kind, whole, error)
               ? td_session_draft (self->session, self->kind, g_steal_pointer (&whole))
               : NULL;
    }
  if (*why == '\0')
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE, _ ("Say why it is corrected."));
      gtk_widget_grab_focus (GTK_WIDGET (self->why));
      return NULL;
    }
  if (!voids)
    {
      gint64 utc_ms = td_moment_button_get_utc_ms (self->moment);
      g_autoptr (TdJson) set = td_form_body_diff (self->session, self->of, body, utc_ms, error);

      return set != NULL ? td_session_draft_correction (self->session, self->of, g_steal_pointer (&set), why) : NULL;
    }
  return td_session_draft_correction (self->session, self->of, NULL, why);
}

/* All entries of the act for the lines that are still chosen. (transfer full) */
static GPtrArray *
make_whole_drafts (TdWizardForm *self)
{
  TdVisit *visit = td_session_get_visit (self->session);
  GPtrArray *drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_auto (GStrv) ids = self->lines != NULL ? td_wizard_toggles_get_chosen (TD_WIZARD_TOGGLES (self->lines)) : NULL;
  g_autoptr (GArray) chosen = ids != NULL ? g_array_new (FALSE, FALSE, sizeof (guint)) : NULL;
  g_autoptr (GArray) kinds = NULL;
  g_autoptr (GPtrArray) bodies = NULL;

  for (guint i = 0; ids != NULL && ids[i] != NULL; i++)
    {
      guint outlet = (guint) td_site_find_outlet (visit->site, ids[i]);

      g_array_append_val (chosen, outlet);
    }
  bodies = td_act_make_bodies (self->act, visit, chosen, &kinds);
  for (guint i = 0; i < bodies->len; i++)
    g_ptr_array_add (drafts, td_session_draft (self->session, g_array_index (kinds, TdKind, i),
                                               td_json_ref (g_ptr_array_index (bodies, i))));
  return drafts;
}

/* The entries that the form says; none, with @error, where something is missing. (transfer full) */
static GPtrArray *
make_drafts (TdWizardForm *self, GError **error)
{
  GPtrArray *drafts;
  TdDraft *draft;

  if (self->whole)
    {
      drafts = make_whole_drafts (self);
      if (drafts->len == 0)
        g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE, _ ("No line is chosen."));
      return drafts;
    }
  draft = make_draft (self, error);
  drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  if (draft != NULL)
    g_ptr_array_add (drafts, draft);
  return drafts;
}

static void
commit_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizardForm *self = TD_WIZARD_FORM (widget);
  g_autoptr (GPtrArray) drafts = NULL;
  g_autoptr (GError) error = NULL;

  td_notice_clear (self->notice);
  /* When the correction itself is made is now; when the act happened is one of its fields. */
  if (self->of == 0)
    td_session_set_happened_ms (self->session, td_moment_button_get_utc_ms (self->moment));
  drafts = make_drafts (self, &error);
  td_session_set_happened_ms (self->session, 0);
  if (drafts->len == 0)
    {
      td_notice_show_error (self->notice, _ ("This is not complete."), error);
      return;
    }
  gtk_widget_action_set_enabled (widget, "form.commit", FALSE);
  self->n_entries = drafts->len;
  td_session_append_many_async (self->session, g_steal_pointer (&drafts), appended_cb, g_object_ref (self));
}

static void
leave_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_signal_emit (widget, signals[SIGNAL_LEAVE], 0);
}

static void
clear (TdWizardForm *self)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->grid))) != NULL)
    gtk_grid_remove (self->grid, child);
  g_ptr_array_set_size (self->fields, 0);
  g_clear_pointer (&self->act, td_act_unref);
  g_clear_pointer (&self->preset, td_json_unref);
  g_clear_pointer (&self->product, g_free);
  self->of = 0;
  self->late = FALSE;
  self->whole = FALSE;
  self->lines = NULL;
  gtk_toggle_button_set_active (self->void_it, FALSE);
  gtk_editable_set_text (GTK_EDITABLE (self->why), "");
  gtk_widget_set_visible (self->correction, FALSE);
  gtk_widget_set_sensitive (GTK_WIDGET (self->grid), TRUE);
  td_notice_clear (self->notice);
}

static void
take_session (TdWizardForm *self, TdSession *session)
{
  g_autoptr (TdZone) zone = td_zone_load (td_session_get_visit (session)->site->zone, NULL);

  g_set_object (&self->session, session);
  td_moment_button_set_clock (self->moment, zone, td_session_get_now_ms (session));
  td_moment_button_set_utc_ms (self->moment, 0);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "form.commit", TRUE);
}

static void
suggest (TdWizardForm *self, TdWizardField *field)
{
  g_auto (GStrv) words
    = td_habits_suggest (td_session_get_habits (self->session), td_session_get_visit (self->session), self->kind,
                         td_wizard_field_get_field (field)->key, self->preset);

  td_wizard_field_suggest (field, (const char *const *) words);
}

static void
build (TdWizardForm *self, const GArray *outlets, gboolean all)
{
  TdVisit *visit = td_session_get_visit (self->session);

  self->filling = TRUE;
  for (const TdField *field = td_kind_get_fields (self->kind); field->key != NULL; field++)
    {
      const TdJson *known = td_json_get_member (self->preset, field->key);
      GtkWidget *widget;

      if ((!all && known != NULL && td_form_body_is_settled (field)) || td_form_body_is_hidden (self->kind, field, self->act))
        continue;
      widget = td_wizard_field_new (self->kind, field, visit, td_session_get_masters (self->session),
                                    field->type == TD_FIELD_LINES ? outlets : NULL);
      if (widget == NULL)
        continue;
      g_ptr_array_add (self->fields, widget);
      if (field->type == TD_FIELD_LOT && td_json_get_member (self->preset, "product") != NULL)
        td_wizard_field_set_product (TD_WIZARD_FIELD (widget),
                                     td_json_get_string (td_json_get_member (self->preset, "product")));
      td_wizard_field_set_value (TD_WIZARD_FIELD (widget), known);
      suggest (self, TD_WIZARD_FIELD (widget));
      g_signal_connect_object (widget, "changed", G_CALLBACK (field_changed_cb), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (widget, "activate", G_CALLBACK (commit_cb), self, G_CONNECT_SWAPPED);
    }
  td_wizard_form_place (self);
  self->filling = FALSE;
  show_fields (self);
  if (td_json_get_member (self->preset, "product") != NULL)
    self->product = td_json_get_kind (td_json_get_member (self->preset, "product")) == TD_JSON_STRING
                      ? g_strdup (td_json_get_string (td_json_get_member (self->preset, "product"))) : NULL;
  td_wizard_form_show_hints (self);
}

/* Only which lines and when; what the entries say is known. */
static void
build_whole (TdWizardForm *self, const GArray *outlets)
{
  TdVisit *visit = td_session_get_visit (self->session);
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) all = NULL;

  td_wizard_form_show_hints (self);
  if (!td_act_has_exceptions (self->act))
    return;
  self->lines = td_wizard_toggles_new (TRUE, _ ("Done to"));
  for (guint i = 0; i < outlets->len; i++)
    {
      guint outlet = g_array_index (outlets, guint, i);
      g_autofree char *title = td_outlet_get_title (visit->site, outlet);

      td_wizard_toggles_add (TD_WIZARD_TOGGLES (self->lines), visit->site->outlets[outlet].id, title);
      g_strv_builder_add (builder, visit->site->outlets[outlet].id);
    }
  all = g_strv_builder_end (builder);
  td_wizard_toggles_set_chosen (TD_WIZARD_TOGGLES (self->lines), (const char *const *) all);
  gtk_grid_attach (self->grid, self->lines, 0, 0, 2, 1);
}

void
td_wizard_form_show_act (TdWizardForm *self, TdSession *session, TdAct *act, gboolean late, gboolean all)
{
  const TdActPart *part;
  g_autoptr (GArray) outlets = NULL;

  g_return_if_fail (TD_IS_WIZARD_FORM (self) && TD_IS_SESSION (session) && act != NULL && act->parts->len > 0);
  clear (self);
  take_session (self, session);
  part = g_ptr_array_index (act->parts, 0);
  outlets = td_act_get_outlets (act);
  self->act = td_act_ref (act);
  self->kind = part->kind;
  self->late = late;
  self->preset = td_body_make (part->kind, td_session_get_visit (session), 0, act->parts->len > 1 ? part->outlets : outlets,
                               part->fields);
  gtk_label_set_label (self->title, act->title);
  self->whole = act->confirm != NULL && act->parts->len > 1;
  if (self->whole)
    {
      build_whole (self, outlets);
      gtk_widget_grab_focus (self->commit);
      return;
    }
  build (self, outlets->len > 0 ? outlets : NULL, all);
  td_wizard_form_focus_first (self);
}

void
td_wizard_form_show_kind (TdWizardForm *self, TdSession *session, TdKind kind, const TdJson *fields)
{
  g_return_if_fail (TD_IS_WIZARD_FORM (self) && TD_IS_SESSION (session) && (guint) kind < TD_N_KINDS);
  clear (self);
  take_session (self, session);
  self->kind = kind;
  self->preset = fields != NULL ? td_json_ref ((TdJson *) fields) : td_fields_new (NULL, NULL);
  gtk_label_set_label (self->title, td_kind_get_text (kind));
  build (self, NULL, TRUE);
  td_wizard_form_focus_first (self);
}

gboolean
td_wizard_form_show_correction (TdWizardForm *self, TdSession *session, guint seq)
{
  TdVisit *visit;
  const TdEntry *entry;
  g_autofree char *clock = NULL;
  g_autofree char *title = NULL;

  g_return_val_if_fail (TD_IS_WIZARD_FORM (self) && TD_IS_SESSION (session), FALSE);
  visit = td_session_get_visit (session);
  entry = td_visit_get_effective (visit, seq);
  if (entry == NULL || visit->closed || entry->envelope.kind == TD_KIND_CLOSING)
    return FALSE;
  clear (self);
  take_session (self, session);
  self->of = seq;
  self->kind = entry->envelope.kind;
  self->preset = td_json_ref (entry->body);
  clock = td_moment_to_clock (&entry->envelope.happened, FALSE);
  title = g_strdup_printf (_ ("Correct: %s, %s"), td_kind_get_text (self->kind), clock);
  gtk_label_set_label (self->title, title);
  td_moment_button_set_utc_ms (self->moment, entry->envelope.happened.utc_ms);
  gtk_widget_set_visible (self->correction, TRUE);
  build (self, NULL, TRUE);
  gtk_widget_grab_focus (GTK_WIDGET (self->why));
  return TRUE;
}

const char *
td_wizard_form_get_key (TdWizardForm *self)
{
  g_return_val_if_fail (TD_IS_WIZARD_FORM (self), "");
  return self->act != NULL ? self->act->key : "";
}

TdKind
td_wizard_form_get_kind (TdWizardForm *self)
{
  g_return_val_if_fail (TD_IS_WIZARD_FORM (self), TD_KIND_NOTE);
  return self->kind;
}

GtkWidget *
td_wizard_form_get_field (TdWizardForm *self, const char *key)
{
  g_return_val_if_fail (TD_IS_WIZARD_FORM (self) && key != NULL, NULL);
  return (GtkWidget *) td_wizard_form_find (self, key);
}

static void
td_wizard_form_dispose (GObject *object)
{
  TdWizardForm *self = TD_WIZARD_FORM (object);

  g_clear_pointer (&self->root, gtk_widget_unparent);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (td_wizard_form_parent_class)->dispose (object);
}

static void
td_wizard_form_finalize (GObject *object)
{
  TdWizardForm *self = TD_WIZARD_FORM (object);

  g_ptr_array_unref (self->fields);
  g_clear_pointer (&self->act, td_act_unref);
  g_clear_pointer (&self->preset, td_json_unref);
  g_free (self->product);
  G_OBJECT_CLASS (td_wizard_form_parent_class)->finalize (object);
}

static void
td_wizard_form_class_init (TdWizardFormClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_wizard_form_dispose;
  G_OBJECT_CLASS (klass)->finalize = td_wizard_form_finalize;
  signals[SIGNAL_LEAVE] = g_signal_new ("leave", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                        G_TYPE_NONE, 0);
  signals[SIGNAL_DONE] = g_signal_new ("done", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                       G_TYPE_NONE, 3, G_TYPE_STRING, G_TYPE_UINT, G_TYPE_STRING);
  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_MOMENT_BUTTON);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/wizard-form.ui");
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, root);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, notice);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, title);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, scroller);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, hints);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, more_hints);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, grid);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, correction);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, void_it);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, why);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, moment);
  gtk_widget_class_bind_template_child (widget_class, TdWizardForm, commit);
  gtk_widget_class_bind_template_callback (widget_class, commit_cb);
  gtk_widget_class_bind_template_callback (widget_class, void_toggled_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "form.commit", NULL, commit_action);
  gtk_widget_class_install_action (widget_class, "form.leave", NULL, leave_action);
}

static void
td_wizard_form_init (TdWizardForm *self)
{
  self->fields = g_ptr_array_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_wizard_form_new (void)
{
  return g_object_new (TD_TYPE_WIZARD_FORM, NULL);
}
