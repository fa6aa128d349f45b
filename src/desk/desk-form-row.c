#include "desk-form-row.h"

#include "desk-form-list.h"
#include "desk-i18n.h"

#include <string.h>

/* Least height of a field of several lines, pixels: three of them. */
#define PROSE_HEIGHT 84
/* Names stand in a column of their own. */
#define NAME_WIDTH 250

struct _TdFormRow
{
  GtkWidget parent;
  TdForm *form;
  guint field;
  gboolean syncing;
  char **ids; /* behind the entries of a drop-down; "" for none */

  GtkWidget *box;
  GtkWidget *control; /* GtkEntry, GtkTextView, GtkDropDown, GtkSwitch, TdFormList */
  GtkLabel *error;
};

G_DEFINE_FINAL_TYPE (TdFormRow, td_form_row, GTK_TYPE_WIDGET)

static guint open_signal;

static const TdFormField *
get_field (TdFormRow *self)
{
  return &td_form_get_form_type (self->form)->fields[self->field];
}

static void
entry_changed_cb (GtkEditable *entry, TdFormRow *self)
{
  if (!self->syncing)
    td_form_set_text (self->form, self->field, gtk_editable_get_text (entry));
}

static void
buffer_changed_cb (GtkTextBuffer *buffer, TdFormRow *self)
{
  g_autofree char *text = NULL;

  if (self->syncing)
    return;
  g_object_get (buffer, "text", &text, NULL);
  td_form_set_text (self->form, self->field, text);
}

static void
selected_cb (GtkDropDown *drop, GParamSpec *pspec, TdFormRow *self)
{
  guint selected = gtk_drop_down_get_selected (drop);

  if (!self->syncing && self->ids != NULL && selected < g_strv_length (self->ids))
    td_form_set_text (self->form, self->field, self->ids[selected]);
}

static void
active_cb (GtkSwitch *toggle, GParamSpec *pspec, TdFormRow *self)
{
  if (!self->syncing)
    td_form_set_text (self->form, self->field, gtk_switch_get_active (toggle) ? "yes" : "");
}

static void
open_cb (TdFormList *list, TdForm *item, TdFormRow *self)
{
  g_signal_emit (self, open_signal, 0, item);
}

/* In which unit a bare number is taken, or how a date is written. (transfer full) (nullable) */
static char *
make_placeholder (const TdFormField *field)
{
  if (field->fallback != NULL)
    return g_strdup (field->fallback);
  if (field->kind == TD_FORM_DATE)
    return g_strdup (_ ("YYYY-MM-DD"));
  if (field->kind == TD_FORM_QUANTITY && field->quantity == TD_QUANTITY_VOLUME)
    return g_strdup ("350 mL");
  return NULL;
}

static GtkWidget *
make_entry (TdFormRow *self)
{
  const TdFormField *field = get_field (self);
  GtkWidget *entry = gtk_entry_new ();
  g_autofree char *placeholder = make_placeholder (field);

  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), placeholder);
  gtk_entry_set_activates_default (GTK_ENTRY (entry), FALSE);
  /* The record names it: what is in the book keeps it. */
  if (field->kind == TD_FORM_ID)
    gtk_editable_set_editable (GTK_EDITABLE (entry), td_form_is_new (self->form));
  g_signal_connect_object (entry, "changed", G_CALLBACK (entry_changed_cb), self, 0);
  return entry;
}

static GtkWidget *
make_prose (TdFormRow *self, GtkWidget **frame_out)
{
  GtkWidget *view = gtk_text_view_new ();
  GtkWidget *scroll = gtk_scrolled_window_new ();

  gtk_text_view_set_wrap_mode (GTK_TEXT_VIEW (view), GTK_WRAP_WORD_CHAR);
  gtk_text_view_set_accepts_tab (GTK_TEXT_VIEW (view), FALSE);
  gtk_text_view_set_left_margin (GTK_TEXT_VIEW (view), 8);
  gtk_text_view_set_right_margin (GTK_TEXT_VIEW (view), 8);
  gtk_text_view_set_top_margin (GTK_TEXT_VIEW (view), 8);
  gtk_text_view_set_bottom_margin (GTK_TEXT_VIEW (view), 8);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroll), view);
  gtk_scrolled_window_set_min_content_height (GTK_SCROLLED_WINDOW (scroll), PROSE_HEIGHT);
  gtk_widget_add_css_class (scroll, "prose");
  g_signal_connect_object (gtk_text_view_get_buffer (GTK_TEXT_VIEW (view)), "changed", G_CALLBACK (buffer_changed_cb),
                           self, 0);
  *frame_out = scroll;
  return view;
}

static GtkWidget *
make_drop (TdFormRow *self)
{
  GtkWidget *drop = gtk_drop_down_new (NULL, NULL);

  g_signal_connect_object (drop, "notify::selected", G_CALLBACK (selected_cb), self, 0);
  return drop;
}

static GtkWidget *
make_switch (TdFormRow *self)
{
  GtkWidget *toggle = gtk_switch_new ();

  gtk_widget_set_halign (toggle, GTK_ALIGN_START);
  gtk_widget_set_valign (toggle, GTK_ALIGN_CENTER);
  g_signal_connect_object (toggle, "notify::active", G_CALLBACK (active_cb), self, 0);
  return toggle;
}

/* Makes the control. Returns: what is put into the row. */
static GtkWidget *
make_control (TdFormRow *self)
{
  GtkWidget *frame = NULL;

  switch (get_field (self)->kind)
    {
    case TD_FORM_PROSE:
      self->control = make_prose (self, &frame);
      return frame;
    case TD_FORM_CHOICE:
    case TD_FORM_REFERENCE:
      self->control = make_drop (self);
      break;
    case TD_FORM_SWITCH:
      self->control = make_switch (self);
      break;
    case TD_FORM_ITEMS:
      self->control = td_form_list_new (self->form, self->field);
      g_signal_connect_object (self->control, "open", G_CALLBACK (open_cb), self, 0);
      break;
    default:
      self->control = make_entry (self);
    }
  return self->control;
}

/* Entries of the drop-down: nothing, then the choices, and what stands there where it is none of them. */
static void
sync_drop (TdFormRow *self)
{
  const TdFormField *field = get_field (self);
  const char *text = td_form_get_text (self->form, self->field);
  GtkDropDown *drop = GTK_DROP_DOWN (self->control);
  g_autoptr (GStrvBuilder) ids = g_strv_builder_new ();
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  guint selected = 0, n = 1;
  g_auto (GStrv) found = NULL, names = NULL;

  g_strv_builder_add (ids, "");
  gtk_string_list_append (titles, "–");
  if (field->kind == TD_FORM_REFERENCE)
    found = td_form_list_choices (self->form, self->field, &names);
  for (guint i = 0; field->kind == TD_FORM_REFERENCE ? found[i] != NULL : field->codes[i] != NULL; i++, n++)
    {
      const char *id = found != NULL ? found[i] : field->codes[i];

      g_strv_builder_add (ids, id);
      gtk_string_list_append (titles, found != NULL ? names[i] : _ (field->words[i]));
      if (strcmp (id, text) == 0)
        selected = n;
    }
  if (*text != '\0' && selected == 0)
    {
      g_strv_builder_add (ids, text);
      gtk_string_list_append (titles, text);
      selected = n;
    }
  g_strfreev (self->ids);
  self->ids = g_strv_builder_end (ids);
  gtk_drop_down_set_model (drop, G_LIST_MODEL (titles));
  gtk_drop_down_set_selected (drop, selected);
}

static gboolean
drop_is_stale (TdFormRow *self)
{
  const TdFormField *field = get_field (self);
  g_auto (GStrv) names = NULL, found = NULL;
  guint n = 1;

  if (self->ids == NULL)
    return TRUE;
  if (strcmp (self->ids[gtk_drop_down_get_selected (GTK_DROP_DOWN (self->control))],
              td_form_get_text (self->form, self->field)) != 0)
    return TRUE;
  if (field->kind != TD_FORM_REFERENCE)
    return FALSE;
  found = td_form_list_choices (self->form, self->field, &names);
  for (guint i = 0; found[i] != NULL; i++, n++)
    if (self->ids[n] == NULL || strcmp (self->ids[n], found[i]) != 0)
      return TRUE;
  return FALSE;
}

static void
sync_text (TdFormRow *self)
{
  const char *text = td_form_get_text (self->form, self->field);

  if (GTK_IS_TEXT_VIEW (self->control))
    {
      GtkTextBuffer *buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->control));
      g_autofree char *shown = NULL;

      g_object_get (buffer, "text", &shown, NULL);
      if (g_strcmp0 (shown, text) != 0)
        gtk_text_buffer_set_text (buffer, text, -1);
    }
  else if (GTK_IS_SWITCH (self->control))
    gtk_switch_set_active (GTK_SWITCH (self->control), *text != '\0');
  else if (GTK_IS_DROP_DOWN (self->control))
    {
      if (drop_is_stale (self))
        sync_drop (self);
    }
  else if (GTK_IS_EDITABLE (self->control) && strcmp (gtk_editable_get_text (GTK_EDITABLE (self->control)), text) != 0)
    gtk_editable_set_text (GTK_EDITABLE (self->control), text);
}

void
td_form_row_sync (TdFormRow *self)
{
  const char *error;

  g_return_if_fail (TD_IS_FORM_ROW (self));
  self->syncing = TRUE;
  sync_text (self);
  self->syncing = FALSE;
  error = td_form_get_error (self->form, self->field);
  gtk_label_set_label (self->error, error != NULL ? error : "");
  gtk_widget_set_visible (GTK_WIDGET (self->error), error != NULL);
  if (error != NULL)
    gtk_widget_add_css_class (self->box, "wrong");
  else
    gtk_widget_remove_css_class (self->box, "wrong");
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->control), GTK_ACCESSIBLE_STATE_INVALID,
                               error != NULL ? GTK_ACCESSIBLE_INVALID_TRUE : GTK_ACCESSIBLE_INVALID_FALSE, -1);
}

void
td_form_row_focus (TdFormRow *self)
{
  g_return_if_fail (TD_IS_FORM_ROW (self));
  if (!gtk_widget_grab_focus (self->control))
    gtk_widget_child_focus (self->control, GTK_DIR_TAB_FORWARD);
}

static void
td_form_row_dispose (GObject *object)
{
  TdFormRow *self = TD_FORM_ROW (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  self->control = NULL;
  G_OBJECT_CLASS (td_form_row_parent_class)->dispose (object);
}

static void
td_form_row_finalize (GObject *object)
{
  TdFormRow *self = TD_FORM_ROW (object);

  g_clear_object (&self->form);
  g_strfreev (self->ids);
  G_OBJECT_CLASS (td_form_row_parent_class)->finalize (object);
}

static void
td_form_row_class_init (TdFormRowClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->dispose = td_form_row_dispose;
  object_class->finalize = td_form_row_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  open_signal = g_signal_new ("open", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                              1, TD_TYPE_FORM);
}

static void
td_form_row_init (TdFormRow *self)
{
}

static GtkWidget *
make_label (const char *text, const char *style)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  if (style != NULL)
    gtk_widget_add_css_class (label, style);
  return label;
}

/* Name on the left, the rest beside it; a list takes the whole width. */
GtkWidget *
td_form_row_new (TdForm *form, guint field)
{
  TdFormRow *self = g_object_new (TD_TYPE_FORM_ROW, NULL);
  const TdFormField *info;
  GtkWidget *name, *column, *line, *shown;
  gboolean list;

  g_return_val_if_fail (TD_IS_FORM (form), GTK_WIDGET (self));
  self->form = g_object_ref (form);
  self->field = field;
  info = get_field (self);
  list = info->kind == TD_FORM_ITEMS;
  self->box = gtk_box_new (list ? GTK_ORIENTATION_VERTICAL : GTK_ORIENTATION_HORIZONTAL, list ? 6 : 12);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_add_css_class (self->box, "form-row");
  name = make_label (_ (info->label), "strong");
  gtk_widget_set_valign (name, list ? GTK_ALIGN_END : GTK_ALIGN_START);
  gtk_widget_set_size_request (name, list ? -1 : NAME_WIDTH, list ? -1 : 44);
  gtk_label_set_max_width_chars (GTK_LABEL (name), 26);
  gtk_box_append (GTK_BOX (self->box), name);
  column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gtk_widget_set_hexpand (column, TRUE);
  gtk_box_append (GTK_BOX (self->box), column);
  line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  shown = make_control (self);
  gtk_widget_set_name (self->control, info->key);
  gtk_widget_set_hexpand (shown, info->kind != TD_FORM_SWITCH);
  gtk_box_append (GTK_BOX (line), shown);
  if (info->unit != NULL)
    gtk_box_append (GTK_BOX (line), make_label (info->unit, "faint"));
  gtk_box_append (GTK_BOX (column), line);
  if (info->hint != NULL)
    gtk_box_append (GTK_BOX (column), make_label (_ (info->hint), "faint"));
  self->error = GTK_LABEL (make_label ("", "field-error"));
  gtk_box_append (GTK_BOX (column), GTK_WIDGET (self->error));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->control), GTK_ACCESSIBLE_PROPERTY_LABEL, _ (info->label), -1);
  td_form_row_sync (self);
  return GTK_WIDGET (self);
}
