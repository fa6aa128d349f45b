#include "wizard-field.h"

#include "core-error.h"
#include "core-json-build.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "model-value.h"
#include "wizard-choices.h"
#include "wizard-pad.h"
#include "wizard-photo.h"
#include "wizard-toggles.h"

#include <string.h>

struct _TdWizardField
{
  GtkWidget parent;
  TdKind kind;
  const TdField *field;
  TdVisit *visit;
  TdMasters *masters;

  GtkWidget *box;
  GtkWidget *editor; /* TdWizardToggles, GtkEntry, TdWizardPad or TdWizardPhoto */
  GtkLabel *error;
  GtkWidget *clear;
};

G_DEFINE_FINAL_TYPE (TdWizardField, td_wizard_field, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_CHANGED,
  SIGNAL_ACTIVATE,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

static void
changed_cb (TdWizardField *self)
{
  td_wizard_field_set_error (self, NULL);
  g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
}

static void
activate_cb (TdWizardField *self)
{
  g_signal_emit (self, signals[SIGNAL_ACTIVATE], 0);
}

static GtkWidget *
make_entry (TdWizardField *self, const char *label)
{
  GtkWidget *entry = gtk_entry_new ();

  gtk_entry_set_max_length (GTK_ENTRY (entry), self->field->type == TD_FIELD_PROSE ? 4000 : 500);
  gtk_widget_set_hexpand (entry, TRUE);
  if (self->field->type == TD_FIELD_INTEGER)
    gtk_entry_set_input_purpose (GTK_ENTRY (entry), GTK_INPUT_PURPOSE_NUMBER);
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  g_signal_connect_object (entry, "changed", G_CALLBACK (changed_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (entry, "activate", G_CALLBACK (activate_cb), self, G_CONNECT_SWAPPED);
  return entry;
}

static void
clear_pad_cb (TdWizardField *self)
{
  td_wizard_pad_clear (TD_WIZARD_PAD (self->editor));
}

static GtkWidget *
make_editor (TdWizardField *self, const char *label, const GArray *outlets)
{
  GtkWidget *editor;

  if (self->field->type == TD_FIELD_STROKES)
    editor = td_wizard_pad_new ();
  else if (self->kind == TD_KIND_PHOTO && strcmp (self->field->key, "file") == 0)
    editor = td_wizard_photo_new ();
  else
    {
      editor = td_wizard_choices_new (self->kind, self->field, self->visit, self->masters, outlets, label);
      if (editor == NULL)
        return make_entry (self, label);
    }
  g_signal_connect_object (editor, "changed", G_CALLBACK (changed_cb), self, G_CONNECT_SWAPPED);
  return editor;
}

static void
td_wizard_field_dispose (GObject *object)
{
  TdWizardField *self = TD_WIZARD_FIELD (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_wizard_field_parent_class)->dispose (object);
}

static void
td_wizard_field_finalize (GObject *object)
{
  TdWizardField *self = TD_WIZARD_FIELD (object);

  g_clear_pointer (&self->visit, td_visit_unref);
  g_clear_pointer (&self->masters, td_masters_unref);
  G_OBJECT_CLASS (td_wizard_field_parent_class)->finalize (object);
}

static gboolean
td_wizard_field_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (TD_WIZARD_FIELD (widget)->editor);
}

static void
td_wizard_field_class_init (TdWizardFieldClass *klass)
{
  GType type = G_TYPE_FROM_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_wizard_field_dispose;
  G_OBJECT_CLASS (klass)->finalize = td_wizard_field_finalize;
  GTK_WIDGET_CLASS (klass)->grab_focus = td_wizard_field_grab_focus;
  signals[SIGNAL_CHANGED]
    = g_signal_new ("changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_ACTIVATE]
    = g_signal_new ("activate", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
td_wizard_field_init (TdWizardField *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

static gboolean
is_filled_in (TdKind kind, const TdField *field)
{
  switch (field->type)
    {
    case TD_FIELD_UUID:
    case TD_FIELD_HASH:
    case TD_FIELD_MOMENT:
    case TD_FIELD_PLAN:
    case TD_FIELD_OBJECT:
      return FALSE;
    case TD_FIELD_TEXT:
      return !(kind == TD_KIND_ARRIVAL && strcmp (field->key, "site") == 0) && strcmp (field->key, "media") != 0;
    default:
      return TRUE;
    }
}

/* Label, and behind a pad the button that empties it. */
static void
add_title (TdWizardField *self, const char *label)
{
  const char *symbol = td_field_get_symbol (self->field, td_format_get_style ());
  g_autofree char *text = symbol != NULL && strcmp (symbol, label) != 0 ? g_strdup_printf ("%s, %s", label, symbol)
                                                                        : g_strdup (label);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *title = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (title), 0);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_widget_add_css_class (title, "strong");
  gtk_widget_set_tooltip_text (title, self->field->text);
  gtk_box_append (GTK_BOX (row), title);
  if (self->field->type == TD_FIELD_STROKES)
    {
      self->clear = gtk_button_new_with_label (_ ("Clear the pad"));
      g_signal_connect_object (self->clear, "clicked", G_CALLBACK (clear_pad_cb), self, G_CONNECT_SWAPPED);
      gtk_box_append (GTK_BOX (row), self->clear);
    }
  gtk_box_append (GTK_BOX (self->box), row);
}

GtkWidget *
td_wizard_field_new (TdKind kind, const TdField *field, TdVisit *visit, TdMasters *masters, const GArray *outlets)
{
  TdWizardField *self;
  const char *label;

  g_return_val_if_fail (field != NULL && visit != NULL && masters != NULL, NULL);
  if (!is_filled_in (kind, field))
    return NULL;
  self = g_object_new (TD_TYPE_WIZARD_FIELD, NULL);
  self->kind = kind;
  self->field = field;
  self->visit = td_visit_ref (visit);
  self->masters = td_masters_ref (masters);
  label = td_field_get_label (kind, field);
  gtk_widget_set_name (GTK_WIDGET (self), field->key);
  add_title (self, label);
  self->editor = make_editor (self, label, outlets);
  gtk_box_append (GTK_BOX (self->box), self->editor);
  self->error = GTK_LABEL (gtk_label_new (NULL));
  gtk_label_set_xalign (self->error, 0);
  gtk_label_set_wrap (self->error, TRUE);
  gtk_widget_add_css_class (GTK_WIDGET (self->error), "field-error");
  gtk_widget_set_visible (GTK_WIDGET (self->error), FALSE);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->error));
  return GTK_WIDGET (self);
}

const TdField *
td_wizard_field_get_field (TdWizardField *self)
{
  g_return_val_if_fail (TD_IS_WIZARD_FIELD (self), NULL);
  return self->field;
}

gboolean
td_wizard_field_is_wide (TdWizardField *self)
{
  g_return_val_if_fail (TD_IS_WIZARD_FIELD (self), TRUE);
  return !GTK_IS_ENTRY (self->editor) || self->field->type == TD_FIELD_PROSE
         || strcmp (self->field->key, "legend") == 0;
}

static TdJson *
make_text (const char *text)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_string (builder, text);
  return td_json_builder_finish (builder);
}

static TdJson *
make_integer (gint64 value)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_integer (builder, value);
  return td_json_builder_finish (builder);
}

static TdJson *
make_choice (TdWizardField *self)
{
  g_auto (GStrv) chosen = td_wizard_toggles_get_chosen (TD_WIZARD_TOGGLES (self->editor));
  g_autoptr (TdJsonBuilder) builder = NULL;

  if (chosen[0] == NULL)
    return NULL;
  if (self->field->type == TD_FIELD_CIRCUIT)
    return make_integer (g_ascii_strtoll (chosen[0], NULL, 10));
  if (self->field->type != TD_FIELD_LINES && self->field->type != TD_FIELD_TEXTS)
    return make_text (chosen[0]);
  builder = td_json_builder_new ();
  td_json_builder_begin_array (builder);
  for (guint i = 0; chosen[i] != NULL; i++)
    td_json_builder_string (builder, chosen[i]);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

gboolean
td_wizard_field_get_value (TdWizardField *self, TdJson **value_out, GError **error)
{
  g_autofree char *typed = NULL;
  g_autoptr (GError) local = NULL;
  gint64 value = 0;

  g_return_val_if_fail (TD_IS_WIZARD_FIELD (self) && value_out != NULL, FALSE);
  *value_out = NULL;
  if (TD_IS_WIZARD_TOGGLES (self->editor))
    *value_out = make_choice (self);
  else if (TD_IS_WIZARD_PAD (self->editor))
    *value_out = td_wizard_pad_get_strokes (TD_WIZARD_PAD (self->editor));
  else if (TD_IS_WIZARD_PHOTO (self->editor))
    {
      const char *path = td_wizard_photo_get_path (TD_WIZARD_PHOTO (self->editor));

      *value_out = path != NULL ? make_text (path) : NULL;
    }
  else
    {
      typed = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->editor))));
      if (*typed == '\0')
        return TRUE;
      if (self->field->type != TD_FIELD_INTEGER)
        *value_out = make_text (typed);
      else if (td_field_parse (self->field, typed, td_format_get_style (), &value, &local))
        *value_out = make_integer (value);
      else
        {
          td_wizard_field_set_error (self, local->message);
          g_propagate_error (error, g_steal_pointer (&local));
          return FALSE;
        }
    }
  return TRUE;
}

static void
set_choice (TdWizardField *self, const TdJson *value)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) ids = NULL;

  if (value != NULL && td_json_get_kind (value) == TD_JSON_STRING)
    g_strv_builder_add (builder, td_json_get_string (value));
  else if (value != NULL && td_json_get_kind (value) == TD_JSON_INTEGER)
    {
      g_autofree char *number = g_strdup_printf ("%" G_GINT64_FORMAT, td_json_get_integer (value));

      g_strv_builder_add (builder, number);
    }
  else if (value != NULL && td_json_get_kind (value) == TD_JSON_ARRAY)
    for (guint i = 0; i < td_json_get_length (value); i++)
      g_strv_builder_add (builder, td_json_get_string (td_json_get_element (value, i)));
  ids = g_strv_builder_end (builder);
  td_wizard_toggles_set_chosen (TD_WIZARD_TOGGLES (self->editor), (const char *const *) ids);
}

void
td_wizard_field_set_value (TdWizardField *self, const TdJson *value)
{
  g_autofree char *text = NULL;

  g_return_if_fail (TD_IS_WIZARD_FIELD (self));
  if (TD_IS_WIZARD_TOGGLES (self->editor))
    set_choice (self, value);
  else if (GTK_IS_ENTRY (self->editor))
    {
      if (value != NULL && td_json_get_kind (value) == TD_JSON_INTEGER)
        text = td_field_format (self->field, td_json_get_integer (value), td_format_get_style ());
      else if (value != NULL && td_json_get_kind (value) == TD_JSON_STRING)
        text = g_strdup (td_json_get_string (value));
      gtk_editable_set_text (GTK_EDITABLE (self->editor), text != NULL ? text : "");
    }
}

void
td_wizard_field_set_error (TdWizardField *self, const char *text)
{
  g_return_if_fail (TD_IS_WIZARD_FIELD (self));
  gtk_label_set_label (self->error, text != NULL ? text : "");
  gtk_widget_set_visible (GTK_WIDGET (self->error), text != NULL);
  if (text != NULL)
    gtk_widget_add_css_class (GTK_WIDGET (self), "wrong");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self), "wrong");
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->editor), GTK_ACCESSIBLE_STATE_INVALID,
                               text != NULL ? GTK_ACCESSIBLE_INVALID_TRUE : GTK_ACCESSIBLE_INVALID_FALSE, -1);
}

static void
suggestion_clicked_cb (GtkButton *button, TdWizardField *self)
{
  gtk_editable_set_text (GTK_EDITABLE (self->editor), gtk_button_get_label (button));
  gtk_widget_grab_focus (self->editor);
}

void
td_wizard_field_suggest (TdWizardField *self, const char *const *words)
{
  GtkWidget *flow;

  g_return_if_fail (TD_IS_WIZARD_FIELD (self) && words != NULL);
  if (!GTK_IS_ENTRY (self->editor) || words[0] == NULL)
    return;
  flow = gtk_flow_box_new ();
  gtk_flow_box_set_selection_mode (GTK_FLOW_BOX (flow), GTK_SELECTION_NONE);
  gtk_flow_box_set_max_children_per_line (GTK_FLOW_BOX (flow), 6);
  for (guint i = 0; words[i] != NULL; i++)
    {
      GtkWidget *button = gtk_button_new_with_label (words[i]);

      gtk_widget_set_name (button, "suggestion");
      g_signal_connect_object (button, "clicked", G_CALLBACK (suggestion_clicked_cb), self, 0);
      gtk_flow_box_append (GTK_FLOW_BOX (flow), button);
      gtk_widget_set_focusable (gtk_widget_get_parent (button), FALSE);
      gtk_accessible_update_property (GTK_ACCESSIBLE (gtk_widget_get_parent (button)), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                      words[i], -1);
    }
  gtk_box_insert_child_after (GTK_BOX (self->box), flow, self->editor);
}

gboolean
td_wizard_field_is_empty (TdWizardField *self)
{
  g_autoptr (TdJson) value = NULL;

  g_return_val_if_fail (TD_IS_WIZARD_FIELD (self), TRUE);
  return td_wizard_field_get_value (self, &value, NULL) && value == NULL;
}

void
td_wizard_field_set_product (TdWizardField *self, const char *product)
{
  g_return_if_fail (TD_IS_WIZARD_FIELD (self) && self->field->type == TD_FIELD_LOT);
  td_wizard_choices_fill_lots (TD_WIZARD_TOGGLES (self->editor), self->masters, product);
}
