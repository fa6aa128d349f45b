#include "desk-ask-form.h"

#include "desk-i18n.h"

/* Width of an entry, characters: a reason is a sentence. */
#define ENTRY_CHARS 26

struct _TdAskForm
{
  GtkWidget parent;
  char *name;
  GHashTable *answers; /* id -> GtkWidget */
  GtkWidget *first;

  GtkWidget *root;
  GtkLabel *title;
  GtkLabel *complaint;
  GtkFlowBox *questions;
  GtkWidget *scroller;
  GtkBox *marks;
  GtkButton *answer;
};

G_DEFINE_FINAL_TYPE (TdAskForm, td_ask_form, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_ASKING,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];
static guint answered_signal;

static void
complain (TdAskForm *self, const char *what)
{
  gtk_label_set_label (self->complaint, what != NULL ? what : "");
  gtk_widget_set_visible (GTK_WIDGET (self->complaint), what != NULL);
}

void
td_ask_form_complain (TdAskForm *self, const char *what)
{
  g_return_if_fail (TD_IS_ASK_FORM (self) && what != NULL);
  complain (self, what);
}

static void
answer (TdAskForm *self)
{
  complain (self, NULL);
  g_signal_emit (self, answered_signal, 0, self->name);
}

static void
clear (TdAskForm *self)
{
  GtkFlowBoxChild *child;
  GtkWidget *mark;

  self->first = NULL;
  g_hash_table_remove_all (self->answers);
  while ((child = gtk_flow_box_get_child_at_index (self->questions, 0)) != NULL)
    gtk_flow_box_remove (self->questions, GTK_WIDGET (child));
  while ((mark = gtk_widget_get_first_child (GTK_WIDGET (self->marks))) != NULL)
    gtk_box_remove (self->marks, mark);
  gtk_widget_set_visible (self->scroller, FALSE);
  complain (self, NULL);
}

void
td_ask_form_begin (TdAskForm *self, const char *name, const char *title, const char *done)
{
  g_return_if_fail (TD_IS_ASK_FORM (self) && name != NULL && title != NULL && done != NULL);
  clear (self);
  g_free (self->name);
  self->name = g_strdup (name);
  gtk_label_set_label (self->title, title);
  gtk_button_set_label (self->answer, done);
}

static void
keep (TdAskForm *self, const char *id, GtkWidget *widget)
{
  gtk_widget_set_name (widget, id);
  g_hash_table_insert (self->answers, g_strdup (id), widget);
  if (self->first == NULL)
    self->first = widget;
}

void
td_ask_form_add_entry (TdAskForm *self, const char *id, const char *label, const char *value)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  GtkWidget *name = gtk_label_new (label);
  GtkWidget *entry = gtk_entry_new ();

  g_return_if_fail (TD_IS_ASK_FORM (self) && id != NULL && label != NULL);
  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_widget_add_css_class (name, "faint");
  gtk_editable_set_text (GTK_EDITABLE (entry), value != NULL ? value : "");
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), ENTRY_CHARS);
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  g_signal_connect_object (entry, "activate", G_CALLBACK (answer), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (box), name);
  gtk_box_append (GTK_BOX (box), entry);
  gtk_flow_box_append (self->questions, box);
  /* The child of the flow box is no stop for the keyboard: the entry in it is. */
  gtk_widget_set_focusable (gtk_widget_get_parent (box), FALSE);
  keep (self, id, entry);
}

void
td_ask_form_add_date (TdAskForm *self, const char *id, const char *label, TdDate value)
{
  g_autofree char *text = td_date_to_text (value);

  td_ask_form_add_entry (self, id, label, text);
}

void
td_ask_form_add_check (TdAskForm *self, const char *id, const char *label, gboolean active)
{
  GtkWidget *check = gtk_check_button_new_with_label (label);

  g_return_if_fail (TD_IS_ASK_FORM (self) && id != NULL && label != NULL);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (check), active);
  gtk_box_append (self->marks, check);
  gtk_widget_set_visible (self->scroller, TRUE);
  keep (self, id, check);
}

void
td_ask_form_bar_check (TdAskForm *self, const char *id, const char *by)
{
  GtkWidget *check = g_hash_table_lookup (self->answers, id);
  GtkWidget *over = g_hash_table_lookup (self->answers, by);

  g_return_if_fail (GTK_IS_CHECK_BUTTON (check) && GTK_IS_CHECK_BUTTON (over));
  g_object_bind_property (over, "active", check, "sensitive", G_BINDING_SYNC_CREATE | G_BINDING_INVERT_BOOLEAN);
}

void
td_ask_form_show (TdAskForm *self)
{
  g_return_if_fail (TD_IS_ASK_FORM (self) && self->name != NULL);
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  gtk_widget_grab_focus (self->first != NULL ? self->first : GTK_WIDGET (self->answer));
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ASKING]);
}

/* A hidden widget that holds the focus stays somebody's focus child: it is passed on first. */
void
td_ask_form_close (TdAskForm *self)
{
  g_return_if_fail (TD_IS_ASK_FORM (self));
  if (!gtk_widget_get_visible (GTK_WIDGET (self)))
    return;
  if (gtk_widget_get_focus_child (GTK_WIDGET (self)) != NULL && gtk_widget_get_parent (GTK_WIDGET (self)) != NULL)
    {
      GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));

      gtk_widget_set_focus_child (GTK_WIDGET (self), NULL);
      if (root != NULL)
        gtk_root_set_focus (root, NULL);
    }
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ASKING]);
}

char *
td_ask_form_get_text (TdAskForm *self, const char *id)
{
  GtkWidget *answer = g_hash_table_lookup (self->answers, id);

  g_return_val_if_fail (GTK_IS_EDITABLE (answer), g_strdup (""));
  return g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (answer))));
}

gboolean
td_ask_form_get_active (TdAskForm *self, const char *id)
{
  GtkWidget *answer = g_hash_table_lookup (self->answers, id);

  g_return_val_if_fail (GTK_IS_CHECK_BUTTON (answer), FALSE);
  return gtk_check_button_get_active (GTK_CHECK_BUTTON (answer));
}

gboolean
td_ask_form_get_date (TdAskForm *self, const char *id, TdDate *date_out)
{
  g_autofree char *text = td_ask_form_get_text (self, id);

  if (td_date_parse (text, date_out, NULL))
    return TRUE;
  complain (self, _ ("That is no date. Write year, month and day: 2026-03-02."));
  gtk_widget_grab_focus (g_hash_table_lookup (self->answers, id));
  return FALSE;
}

gboolean
td_ask_form_require_text (TdAskForm *self, const char *id, char **text_out)
{
  g_autofree char *text = td_ask_form_get_text (self, id);

  if (*text != '\0')
    {
      *text_out = g_steal_pointer (&text);
      return TRUE;
    }
  complain (self, _ ("This cannot be left empty."));
  gtk_widget_grab_focus (g_hash_table_lookup (self->answers, id));
  return FALSE;
}

static void
answer_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  answer (TD_ASK_FORM (widget));
}

static void
give_up_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_ask_form_close (TD_ASK_FORM (widget));
}

static void
td_ask_form_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_ASKING)
    g_value_set_boolean (value, gtk_widget_get_visible (GTK_WIDGET (object)));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_ask_form_dispose (GObject *object)
{
  TdAskForm *self = TD_ASK_FORM (object);

  g_hash_table_remove_all (self->answers);
  g_clear_pointer (&self->root, gtk_widget_unparent);
  G_OBJECT_CLASS (td_ask_form_parent_class)->dispose (object);
}

static void
td_ask_form_finalize (GObject *object)
{
  TdAskForm *self = TD_ASK_FORM (object);

  g_hash_table_unref (self->answers);
  g_free (self->name);
  G_OBJECT_CLASS (td_ask_form_parent_class)->finalize (object);
}

static void
td_ask_form_class_init (TdAskFormClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_ask_form_get_property;
  object_class->dispose = td_ask_form_dispose;
  object_class->finalize = td_ask_form_finalize;
  properties[PROP_ASKING]
    = g_param_spec_boolean ("asking", NULL, NULL, FALSE, G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  answered_signal = g_signal_new ("answered", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                  G_TYPE_NONE, 1, G_TYPE_STRING);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/ask-form.ui");
  gtk_widget_class_bind_template_child (widget_class, TdAskForm, root);
  gtk_widget_class_bind_template_child (widget_class, TdAskForm, title);
  gtk_widget_class_bind_template_child (widget_class, TdAskForm, complaint);
  gtk_widget_class_bind_template_child (widget_class, TdAskForm, scroller);
  gtk_widget_class_bind_template_child (widget_class, TdAskForm, questions);
  gtk_widget_class_bind_template_child (widget_class, TdAskForm, marks);
  gtk_widget_class_bind_template_child (widget_class, TdAskForm, answer);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "ask.answer", NULL, answer_action);
  gtk_widget_class_install_action (widget_class, "ask.give-up", NULL, give_up_action);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "ask.give-up", NULL);
}

static void
td_ask_form_init (TdAskForm *self)
{
  self->answers = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

GtkWidget *
td_ask_form_new (void)
{
  return g_object_new (TD_TYPE_ASK_FORM, NULL);
}
