#include "desk-form-list.h"

#include "desk-i18n.h"

struct _TdFormList
{
  GtkWidget parent;
  TdForm *form;
  guint field;
  GtkWidget *box;
  GtkListBox *rows;
};

G_DEFINE_FINAL_TYPE (TdFormList, td_form_list, GTK_TYPE_WIDGET)

static guint open_signal;

/* Position of the row that the button stands in, or -1. */
static int
find_position (GtkWidget *button)
{
  GtkWidget *row = gtk_widget_get_ancestor (button, GTK_TYPE_LIST_BOX_ROW);

  return row != NULL ? gtk_list_box_row_get_index (GTK_LIST_BOX_ROW (row)) : -1;
}

static void
open_cb (GtkButton *button, TdFormList *self)
{
  int position = find_position (GTK_WIDGET (button));
  g_autoptr (TdForm) item = NULL;

  if (position < 0)
    return;
  item = g_list_model_get_item (td_form_get_items (self->form, self->field), (guint) position);
  g_signal_emit (self, open_signal, 0, item);
}

/* The row that stands at @position now gets the focus, so that it is not lost. */
static void
focus_row (TdFormList *self, int position)
{
  int n = (int) g_list_model_get_n_items (td_form_get_items (self->form, self->field));
  GtkListBoxRow *row = n > 0 ? gtk_list_box_get_row_at_index (self->rows, CLAMP (position, 0, n - 1)) : NULL;

  if (row != NULL)
    gtk_widget_child_focus (GTK_WIDGET (row), GTK_DIR_TAB_FORWARD);
  else
    gtk_widget_grab_focus (gtk_widget_get_last_child (self->box));
}

static void
up_cb (GtkButton *button, TdFormList *self)
{
  int position = find_position (GTK_WIDGET (button));

  if (position <= 0)
    return;
  td_form_move_item (self->form, self->field, (guint) position, -1);
  focus_row (self, position - 1);
}

static void
remove_cb (GtkButton *button, TdFormList *self)
{
  int position = find_position (GTK_WIDGET (button));

  if (position < 0)
    return;
  td_form_remove_item (self->form, self->field, (guint) position);
  focus_row (self, position);
}

static void
add_cb (GtkButton *button, TdFormList *self)
{
  g_signal_emit (self, open_signal, 0, td_form_add_item (self->form, self->field));
}

static GtkWidget *
make_tool (TdFormList *self, TdForm *item, const char *icon, const char *words, GCallback clicked)
{
  GtkWidget *button = gtk_button_new_from_icon_name (icon);
  g_autofree char *title = NULL, *name = NULL;

  g_object_get (item, "title", &title, NULL);
  name = g_strdup_printf ("%s: %s", words, title);
  gtk_widget_set_tooltip_text (button, words);
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  g_signal_connect_object (button, "clicked", clicked, self, 0);
  return button;
}

static GtkWidget *
make_text (TdForm *item)
{
  GtkWidget *text = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *title = gtk_label_new (NULL), *summary = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (title), 0);
  gtk_label_set_xalign (GTK_LABEL (summary), 0);
  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_label_set_ellipsize (GTK_LABEL (summary), PANGO_ELLIPSIZE_END);
  gtk_widget_add_css_class (title, "strong");
  gtk_widget_add_css_class (summary, "faint");
  g_object_bind_property (item, "title", title, "label", G_BINDING_SYNC_CREATE);
  g_object_bind_property (item, "summary", summary, "label", G_BINDING_SYNC_CREATE);
  gtk_widget_set_hexpand (text, TRUE);
  gtk_widget_set_valign (text, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (text), title);
  gtk_box_append (GTK_BOX (text), summary);
  return text;
}

static GtkWidget *
make_row (gpointer data, gpointer user_data)
{
  TdForm *item = TD_FORM (data);
  TdFormList *self = TD_FORM_LIST (user_data);
  GtkWidget *row = gtk_list_box_row_new ();
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *open = gtk_button_new ();
  GtkWidget *inside = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *stop = gtk_image_new_from_icon_name ("td-stop-symbolic");

  gtk_widget_add_css_class (stop, "severity");
  gtk_widget_add_css_class (stop, "stop");
  g_object_bind_property (item, "faulty", stop, "visible", G_BINDING_SYNC_CREATE);
  gtk_box_append (GTK_BOX (inside), stop);
  gtk_box_append (GTK_BOX (inside), make_text (item));
  gtk_button_set_child (GTK_BUTTON (open), inside);
  gtk_widget_set_hexpand (open, TRUE);
  gtk_widget_add_css_class (open, "row-button");
  g_signal_connect_object (open, "clicked", G_CALLBACK (open_cb), self, 0);
  gtk_box_append (GTK_BOX (box), open);
  gtk_box_append (GTK_BOX (box), make_tool (self, item, "go-up-symbolic", _ ("Move up"), G_CALLBACK (up_cb)));
  gtk_box_append (GTK_BOX (box),
                  make_tool (self, item, "user-trash-symbolic", _ ("Take away"), G_CALLBACK (remove_cb)));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_list_box_row_set_activatable (GTK_LIST_BOX_ROW (row), FALSE);
  gtk_list_box_row_set_selectable (GTK_LIST_BOX_ROW (row), FALSE);
  gtk_widget_set_focusable (row, FALSE);
  return row;
}

static void
td_form_list_dispose (GObject *object)
{
  g_clear_pointer (&TD_FORM_LIST (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_form_list_parent_class)->dispose (object);
}

static void
td_form_list_finalize (GObject *object)
{
  g_clear_object (&TD_FORM_LIST (object)->form);
  G_OBJECT_CLASS (td_form_list_parent_class)->finalize (object);
}

static void
td_form_list_class_init (TdFormListClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->dispose = td_form_list_dispose;
  object_class->finalize = td_form_list_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  open_signal = g_signal_new ("open", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                              1, TD_TYPE_FORM);
}

static void
td_form_list_init (TdFormList *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  self->rows = GTK_LIST_BOX (gtk_list_box_new ());
  gtk_list_box_set_selection_mode (self->rows, GTK_SELECTION_NONE);
  gtk_widget_add_css_class (GTK_WIDGET (self->rows), "form-list");
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->rows));
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

GtkWidget *
td_form_list_new (TdForm *form, guint field)
{
  TdFormList *self = g_object_new (TD_TYPE_FORM_LIST, NULL);
  const TdFormField *info;
  GtkWidget *add;
  g_autofree char *name = NULL;

  g_return_val_if_fail (TD_IS_FORM (form), GTK_WIDGET (self));
  self->form = g_object_ref (form);
  self->field = field;
  info = &td_form_get_form_type (form)->fields[field];
  gtk_list_box_bind_model (self->rows, td_form_get_items (form, field), make_row, self, NULL);
  add = gtk_button_new_with_label (_ (info->items->new_title));
  name = g_strconcat ("add-", info->key, NULL);
  gtk_widget_set_name (add, name);
  gtk_widget_set_halign (add, GTK_ALIGN_START);
  g_signal_connect_object (add, "clicked", G_CALLBACK (add_cb), self, 0);
  gtk_box_append (GTK_BOX (self->box), add);
  return GTK_WIDGET (self);
}
