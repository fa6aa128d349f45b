#include "desk-form-view.h"

#include "desk-clamp.h"
#include "desk-form-row.h"
#include "desk-i18n.h"

/* Greatest width of a form, pixels: beyond it the eye loses the line from a name to its field. */
#define FORM_WIDTH 1000

struct _TdFormView
{
  GtkWidget parent;
  TdForm *form;
  TdSettings *settings;
  GPtrArray *rows; /* TdFormRow (transfer none), by field; NULL for those that nobody sees */
  guint source;    /* of the next look at the form */

  GtkWidget *scroll;
  GtkLabel *figures;
  GtkLabel *error;
};

G_DEFINE_FINAL_TYPE (TdFormView, td_form_view, GTK_TYPE_WIDGET)

static guint open_signal;

static void
sync_figures (TdFormView *self)
{
  g_autofree char *figures = td_form_make_figures (self->form, self->settings);

  gtk_label_set_label (self->figures, figures != NULL ? figures : _ ("Volume and loss show once the line is complete."));
}

static void
show_form (TdFormView *self)
{
  const char *error = td_form_get_whole_error (self->form);

  for (guint i = 0; i < self->rows->len; i++)
    if (g_ptr_array_index (self->rows, i) != NULL)
      td_form_row_sync (g_ptr_array_index (self->rows, i));
  gtk_label_set_label (self->error, error != NULL ? error : "");
  gtk_widget_set_visible (GTK_WIDGET (self->error), error != NULL);
  if (gtk_widget_get_visible (GTK_WIDGET (self->figures)))
    sync_figures (self);
}

static gboolean
sync_cb (gpointer data)
{
  TdFormView *self = TD_FORM_VIEW (data);

  self->source = 0;
  show_form (self);
  return G_SOURCE_REMOVE;
}

/* One look for many changes: a preset changes several fields at once. */
static void
changed_cb (TdForm *form, TdFormView *self)
{
  if (self->source == 0)
    self->source = g_idle_add_full (G_PRIORITY_HIGH_IDLE, sync_cb, self, NULL);
}

static void
open_cb (TdFormRow *row, TdForm *item, TdFormView *self)
{
  g_signal_emit (self, open_signal, 0, item);
}

static void
preset_cb (GtkDropDown *drop, GParamSpec *pspec, TdFormView *self)
{
  guint selected = gtk_drop_down_get_selected (drop), n = 0;
  const TdFormPreset *presets = td_form_get_form_type (self->form)->get_presets (&n);

  if (selected >= 1 && selected <= n)
    td_form_apply_preset (self->form, &presets[selected - 1]);
}

static void
add_presets (TdFormView *self, GtkBox *box)
{
  const TdFormType *type = td_form_get_form_type (self->form);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *label = gtk_label_new (_ (type->presets_label));
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  GtkWidget *drop;
  guint n = 0;
  const TdFormPreset *presets = type->get_presets (&n);

  gtk_string_list_append (titles, _ ("Fill in…"));
  for (guint i = 0; i < n; i++)
    gtk_string_list_append (titles, presets[i].label);
  drop = gtk_drop_down_new (G_LIST_MODEL (g_steal_pointer (&titles)), NULL);
  gtk_widget_set_name (drop, "presets");
  gtk_widget_set_hexpand (drop, TRUE);
  g_signal_connect_object (drop, "notify::selected", G_CALLBACK (preset_cb), self, 0);
  gtk_accessible_update_property (GTK_ACCESSIBLE (drop), GTK_ACCESSIBLE_PROPERTY_LABEL, _ (type->presets_label), -1);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_set_size_request (label, 250, -1);
  gtk_widget_add_css_class (label, "strong");
  gtk_widget_add_css_class (row, "form-row");
  gtk_box_append (GTK_BOX (row), label);
  gtk_box_append (GTK_BOX (row), drop);
  gtk_box_append (box, row);
}

static gboolean
has_figures (TdForm *form)
{
  for (; form != NULL; form = td_form_get_parent (form))
    if (td_form_get_form_type (form) == &td_form_line)
      return TRUE;
  return FALSE;
}

static void
fill (TdFormView *self, GtkBox *box)
{
  const TdFormType *type = td_form_get_form_type (self->form);

  gtk_widget_set_visible (GTK_WIDGET (self->figures), has_figures (self->form));
  gtk_box_append (box, GTK_WIDGET (self->error));
  gtk_box_append (box, GTK_WIDGET (self->figures));
  if (type->get_presets != NULL)
    add_presets (self, box);
  for (guint i = 0; i < type->n_fields; i++)
    {
      GtkWidget *row = NULL;

      if (type->fields[i].kind != TD_FORM_KEY)
        {
          row = td_form_row_new (self->form, i);
          g_signal_connect_object (row, "open", G_CALLBACK (open_cb), self, 0);
          gtk_box_append (box, row);
        }
      g_ptr_array_add (self->rows, row);
    }
}

static void
td_form_view_dispose (GObject *object)
{
  TdFormView *self = TD_FORM_VIEW (object);

  g_clear_handle_id (&self->source, g_source_remove);
  g_ptr_array_set_size (self->rows, 0);
  g_clear_pointer (&self->scroll, gtk_widget_unparent);
  G_OBJECT_CLASS (td_form_view_parent_class)->dispose (object);
}

static void
td_form_view_finalize (GObject *object)
{
  TdFormView *self = TD_FORM_VIEW (object);

  g_clear_object (&self->form);
  g_clear_pointer (&self->settings, td_settings_unref);
  g_ptr_array_unref (self->rows);
  G_OBJECT_CLASS (td_form_view_parent_class)->finalize (object);
}

static void
td_form_view_class_init (TdFormViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->dispose = td_form_view_dispose;
  object_class->finalize = td_form_view_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  open_signal = g_signal_new ("open", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                              1, TD_TYPE_FORM);
}

static void
td_form_view_init (TdFormView *self)
{
  self->rows = g_ptr_array_new ();
  self->scroll = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scroll), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_widget_set_parent (self->scroll, GTK_WIDGET (self));
  self->figures = GTK_LABEL (gtk_label_new (NULL));
  self->error = GTK_LABEL (gtk_label_new (NULL));
  gtk_label_set_xalign (self->figures, 0);
  gtk_label_set_wrap (self->figures, TRUE);
  gtk_widget_set_name (GTK_WIDGET (self->figures), "line-figures");
  gtk_widget_add_css_class (GTK_WIDGET (self->figures), "hint");
  gtk_widget_add_css_class (GTK_WIDGET (self->figures), "hint-plain");
  gtk_label_set_xalign (self->error, 0);
  gtk_label_set_wrap (self->error, TRUE);
  gtk_widget_add_css_class (GTK_WIDGET (self->error), "field-error");
}

GtkWidget *
td_form_view_new (TdForm *form, TdSettings *settings)
{
  TdFormView *self = g_object_new (TD_TYPE_FORM_VIEW, NULL);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 10);

  g_return_val_if_fail (TD_IS_FORM (form), GTK_WIDGET (self));
  self->form = g_object_ref (form);
  self->settings = settings != NULL ? td_settings_ref (settings) : NULL;
  gtk_widget_add_css_class (box, "form");
  fill (self, GTK_BOX (box));
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroll), td_clamp_new (box, FORM_WIDTH));
  g_signal_connect_object (td_form_get_root (form), "changed", G_CALLBACK (changed_cb), self, 0);
  show_form (self);
  return GTK_WIDGET (self);
}

TdForm *
td_form_view_get_form (TdFormView *self)
{
  g_return_val_if_fail (TD_IS_FORM_VIEW (self), NULL);
  return self->form;
}

void
td_form_view_focus (TdFormView *self, int field)
{
  g_return_if_fail (TD_IS_FORM_VIEW (self));
  for (guint i = 0; i < self->rows->len; i++)
    if (g_ptr_array_index (self->rows, i) != NULL && (field < 0 || i == (guint) field))
      {
        td_form_row_focus (g_ptr_array_index (self->rows, i));
        return;
      }
}
