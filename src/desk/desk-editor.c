#include "desk-editor.h"

#include "desk-form-view.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "model-form-ledger.h"

struct _TdEditor
{
  GtkWidget parent;
  TdContext *context;
  TdRecords records;
  char *id;
  guint rev;
  gboolean retired;
  gboolean warned; /* that leaving loses something */
  gboolean busy;
  TdForm *form;
  TdJson *before;
  TdSettings *settings;

  GtkWidget *box;
  TdNotice *notice;
  GtkLabel *trail;
  GtkStack *views; /* TdFormView, the one on top last */
  GtkButton *retire;
  GtkButton *again;
};

G_DEFINE_FINAL_TYPE (TdEditor, td_editor, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_KEPT,
  SIGNAL_LEFT,
  SIGNAL_AGAIN,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

const TdFormType *
td_records_get_form_type (TdRecords records)
{
  static const TdFormType *const types[]
    = { &td_form_company,    &td_form_account, &td_form_site, &td_form_technician,
        &td_form_instrument, &td_form_product, &td_form_lot };

  if (records == TD_RECORDS_LEDGER)
    return td_form_get_ledger ();
  return records == TD_RECORDS_FIGURES ? td_form_get_figures () : types[records];
}

static TdFormView *
get_top (TdEditor *self)
{
  GtkWidget *top = gtk_stack_get_visible_child (self->views);

  return top != NULL ? TD_FORM_VIEW (top) : NULL;
}

/* "The Weir › Line L3 › Piece of tube" */
static void
show_trail (TdEditor *self)
{
  g_autoptr (GString) trail = g_string_new (NULL);
  TdFormView *top = get_top (self);

  for (TdForm *form = top != NULL ? td_form_view_get_form (top) : NULL; form != NULL; form = td_form_get_parent (form))
    {
      const TdFormType *type = td_form_get_form_type (form);
      g_autofree char *title = NULL, *step = NULL;

      g_object_get (form, "title", &title, NULL);
      if (td_form_get_parent (form) == NULL)
        step = self->id == NULL ? g_strdup (_ (type->new_title)) : g_strdup (title);
      else
        step = g_strdup_printf ("%s %s", _ (type->title), title);
      g_string_prepend (trail, trail->len > 0 ? " › " : "");
      g_string_prepend (trail, step);
    }
  gtk_label_set_label (self->trail, trail->str);
  /* What is retired is the whole row, so only where the whole is on show. */
  gtk_widget_set_visible (GTK_WIDGET (self->retire),
                          self->id != NULL && !td_records_is_single (self->records) && top != NULL
                            && td_form_view_get_form (top) == self->form);
}

static void
open_form (TdEditor *self, TdForm *form);

static void
open_cb (TdFormView *view, TdForm *form, TdEditor *self)
{
  open_form (self, form);
}

/* Puts a form on top. */
static void
open_form (TdEditor *self, TdForm *form)
{
  GtkWidget *view = td_form_view_new (form, self->settings);

  g_signal_connect_object (view, "open", G_CALLBACK (open_cb), self, 0);
  gtk_stack_add_child (self->views, view);
  gtk_stack_set_visible_child (self->views, view);
  show_trail (self);
  td_form_view_focus (TD_FORM_VIEW (view), -1);
}

/* Takes the top form away; the one below gets the focus. FALSE where it is the last. */
static gboolean
close_form (TdEditor *self)
{
  GtkWidget *top = gtk_stack_get_visible_child (self->views);
  GtkWidget *below = top != NULL ? gtk_widget_get_prev_sibling (top) : NULL;

  if (below == NULL)
    return FALSE;
  gtk_stack_set_visible_child (self->views, below);
  gtk_widget_child_focus (below, GTK_DIR_TAB_FORWARD);
  gtk_stack_remove (self->views, top);
  show_trail (self);
  return TRUE;
}

static void
clear_views (TdEditor *self)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->views))) != NULL)
    gtk_stack_remove (self->views, child);
}

/* Shows the way down to a form, and the field that is wrong there. */
static void
reveal (TdEditor *self, TdForm *wrong, int field)
{
  g_autoptr (GPtrArray) path = g_ptr_array_new ();

  for (TdForm *form = wrong; form != NULL; form = td_form_get_parent (form))
    g_ptr_array_insert (path, 0, form);
  if (get_top (self) == NULL || td_form_view_get_form (get_top (self)) != wrong)
    {
      while (close_form (self))
        ;
      for (guint i = 1; i < path->len; i++)
        open_form (self, g_ptr_array_index (path, i));
    }
  td_form_view_focus (get_top (self), field);
}

static void
fail (TdEditor *self, const GError *error)
{
  gboolean conflict = g_error_matches (error, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT);

  gtk_widget_set_visible (GTK_WIDGET (self->again), conflict);
  td_notice_show_error (self->notice, _ ("It was not kept."), error);
  if (error->domain != TD_BOOK_ERROR)
    td_form_take_error (self->form, error->message);
}

static void
put_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdEditor) self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer id = NULL;

  self->busy = FALSE;
  if (!td_queue_run_finish (result, &id, &error))
    {
      if (self->form != NULL)
        fail (self, error);
      return;
    }
  g_signal_emit (self, signals[SIGNAL_KEPT], 0, id);
  g_free (id);
}

static void
put (TdEditor *self, TdJson *json, gboolean retired)
{
  TdMasterPut *job = g_new0 (TdMasterPut, 1);

  job->records = self->records;
  job->id = g_strdup (self->id);
  job->rev = self->rev;
  job->retired = retired;
  job->json = json;
  job->before = self->before != NULL ? td_json_ref (self->before) : NULL;
  self->busy = TRUE;
  td_context_run_async (self->context, TD_JOB_WRITE, td_master_put_job, job, td_master_put_free, g_free, NULL, put_cb,
                        g_object_ref (self));
}

/* Checks and writes; what is wrong is shown where it is. */
static void
keep (TdEditor *self, gboolean retired)
{
  TdForm *wrong = NULL;
  int field = -1;
  TdJson *json;

  if (self->form == NULL || self->busy || td_context_get_queue (self->context) == NULL)
    return;
  json = td_form_check (self->form, &wrong, &field);
  if (json != NULL)
    {
      put (self, json, retired);
      return;
    }
  reveal (self, wrong, field);
  {
    const char *message = field >= 0 ? td_form_get_error (wrong, (guint) field) : td_form_get_whole_error (wrong);
    const char *label = field >= 0 ? _ (td_form_get_form_type (wrong)->fields[field].label) : "";
    g_autoptr (GError) error = g_error_new (G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "%s%s%s", label,
                                            *label != '\0' ? ": " : "", message != NULL ? message : "");

    td_notice_show_error (self->notice, _ ("It was not kept."), error);
  }
}

static void
keep_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  keep (TD_EDITOR (widget), TD_EDITOR (widget)->retired);
}

static void
retire_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  if (TD_EDITOR (widget)->id != NULL)
    keep (TD_EDITOR (widget), !TD_EDITOR (widget)->retired);
}

gboolean
td_editor_may_leave (TdEditor *self)
{
  g_autoptr (GError) error = NULL;

  g_return_val_if_fail (TD_IS_EDITOR (self), TRUE);
  if (!td_editor_is_changed (self) || self->warned)
    return TRUE;
  error = g_error_new_literal (G_IO_ERROR, G_IO_ERROR_PENDING, _ ("Go away once more to let it go, or keep it."));
  self->warned = TRUE;
  td_notice_show_error (self->notice, _ ("What you typed is not kept yet."), error);
  return FALSE;
}

gboolean
td_editor_go_back (TdEditor *self)
{
  g_return_val_if_fail (TD_IS_EDITOR (self), FALSE);
  return close_form (self) || !td_editor_may_leave (self);
}

static void
back_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  if (!td_editor_go_back (TD_EDITOR (widget)))
    g_signal_emit (widget, signals[SIGNAL_LEFT], 0);
}

static void
again_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_signal_emit (widget, signals[SIGNAL_AGAIN], 0);
}

static void
form_changed_cb (TdForm *form, TdEditor *self)
{
  self->warned = FALSE;
  show_trail (self);
}

static void
let_go (TdEditor *self)
{
  clear_views (self);
  if (self->form != NULL)
    g_signal_handlers_disconnect_by_func (self->form, form_changed_cb, self);
  g_clear_object (&self->form);
  g_clear_pointer (&self->before, td_json_unref);
  g_clear_pointer (&self->settings, td_settings_unref);
  g_clear_pointer (&self->id, g_free);
}

void
td_editor_show (TdEditor *self, TdRecords records, const char *id, guint rev, gboolean retired, const TdJson *json,
                const TdMasterList *list, TdSettings *settings)
{
  g_return_if_fail (TD_IS_EDITOR (self));
  let_go (self);
  self->records = records;
  self->id = g_strdup (id);
  self->rev = rev;
  self->retired = retired;
  self->warned = FALSE;
  self->before = json != NULL ? td_json_ref ((TdJson *) json) : NULL;
  self->settings = settings != NULL ? td_settings_ref (settings) : NULL;
  self->form = td_form_new (td_records_get_form_type (records), json, td_format_get_style ());
  if (list != NULL && list->refers != NULL)
    td_form_set_choices (self->form, list->refers, (const char *const *) list->ids,
                         (const char *const *) list->titles);
  g_signal_connect_object (self->form, "changed", G_CALLBACK (form_changed_cb), self, 0);
  td_notice_clear (self->notice);
  gtk_widget_set_visible (GTK_WIDGET (self->again), FALSE);
  gtk_button_set_label (self->retire, retired ? _ ("Take back into use") : _ ("Retire"));
  open_form (self, self->form);
}

TdForm *
td_editor_get_form (TdEditor *self)
{
  g_return_val_if_fail (TD_IS_EDITOR (self), NULL);
  return self->form;
}

const char *
td_editor_get_id (TdEditor *self)
{
  g_return_val_if_fail (TD_IS_EDITOR (self), NULL);
  return self->id;
}

gboolean
td_editor_is_changed (TdEditor *self)
{
  g_return_val_if_fail (TD_IS_EDITOR (self), FALSE);
  return self->form != NULL && td_form_is_changed (self->form);
}

static void
td_editor_dispose (GObject *object)
{
  TdEditor *self = TD_EDITOR (object);

  if (self->box != NULL)
    let_go (self);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_editor_parent_class)->dispose (object);
}

static void
td_editor_class_init (TdEditorClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_editor_dispose;
  g_type_ensure (TD_TYPE_NOTICE);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/editor.ui");
  gtk_widget_class_bind_template_child (widget_class, TdEditor, box);
  gtk_widget_class_bind_template_child (widget_class, TdEditor, notice);
  gtk_widget_class_bind_template_child (widget_class, TdEditor, trail);
  gtk_widget_class_bind_template_child (widget_class, TdEditor, views);
  gtk_widget_class_bind_template_child (widget_class, TdEditor, retire);
  gtk_widget_class_bind_template_child (widget_class, TdEditor, again);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "editor.keep", NULL, keep_action);
  gtk_widget_class_install_action (widget_class, "editor.retire", NULL, retire_action);
  gtk_widget_class_install_action (widget_class, "editor.back", NULL, back_action);
  gtk_widget_class_install_action (widget_class, "editor.again", NULL, again_action);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_s, GDK_CONTROL_MASK, "editor.keep", NULL);
  signals[SIGNAL_KEPT] = g_signal_new ("kept", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                       G_TYPE_NONE, 1, G_TYPE_STRING);
  signals[SIGNAL_LEFT]
    = g_signal_new ("left", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_AGAIN]
    = g_signal_new ("again", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
td_editor_init (TdEditor *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_editor_new (TdContext *context)
{
  TdEditor *self = g_object_new (TD_TYPE_EDITOR, NULL);

  g_return_val_if_fail (TD_IS_CONTEXT (context), GTK_WIDGET (self));
  self->context = g_object_ref (context);
  return GTK_WIDGET (self);
}
