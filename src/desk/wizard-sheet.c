#include "wizard-sheet.h"

#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "model-reading.h"
#include "model-value.h"

struct _TdWizardSheet
{
  GtkWidget parent;
  TdSession *session;
  TdAct *act;
  TdReadings *readings;
  guint n_entries; /* on their way to the disk */

  GtkWidget *root;
  TdNotice *notice;
  GtkLabel *title;
  GtkScrolledWindow *scroller;
  GtkGrid *grid;
  GtkWidget *commit;
  GPtrArray *cells;    /* GtkWidget (transfer none), row by row; NULL where nothing is asked */
  GPtrArray *verdicts; /* GtkLabel (transfer none), one for each row */
};

G_DEFINE_FINAL_TYPE (TdWizardSheet, td_wizard_sheet, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_LEAVE,
  SIGNAL_DONE,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

GtkWidget *
td_wizard_sheet_get_cell (TdWizardSheet *self, guint row, guint column)
{
  guint index;

  g_return_val_if_fail (TD_IS_WIZARD_SHEET (self) && self->readings != NULL, NULL);
  index = row * td_readings_get_n_columns (self->readings) + column;
  return index < self->cells->len ? g_ptr_array_index (self->cells, index) : NULL;
}

static void
show_verdict (TdWizardSheet *self, guint row)
{
  static const char *const classes[] = { "hint-plain", "hint-good", "hint-off" };
  GtkWidget *label = g_ptr_array_index (self->verdicts, row);
  TdHint *hint
    = td_readings_judge (self->readings, td_session_get_visit (self->session), row, td_format_get_style ());

  for (gsize i = 0; i < G_N_ELEMENTS (classes); i++)
    gtk_widget_remove_css_class (label, classes[i]);
  gtk_label_set_label (GTK_LABEL (label), hint != NULL ? hint->text : "");
  if (hint != NULL)
    gtk_widget_add_css_class (label, classes[hint->tone]);
  td_hint_free (hint);
}

/* Takes what is typed in a cell. FALSE with @error (nullable) where it makes no sense. */
static gboolean
take_cell (TdWizardSheet *self, guint row, guint column, GError **error)
{
  GtkWidget *cell = td_wizard_sheet_get_cell (self, row, column);
  const TdField *field = NULL;
  g_autofree char *typed = NULL;
  gint64 value = 0;

  if (cell == NULL)
    return TRUE;
  td_readings_get_column (self->readings, column, &field);
  typed = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (cell))));
  td_readings_unset (self->readings, row, column);
  gtk_widget_remove_css_class (cell, "wrong-cell");
  if (*typed == '\0')
    return TRUE;
  if (!td_field_parse (field, typed, td_format_get_style (), &value, error))
    {
      gtk_widget_add_css_class (cell, "wrong-cell");
      return FALSE;
    }
  td_readings_set (self->readings, row, column, value);
  return TRUE;
}

static guint
find_row (TdWizardSheet *self, GtkWidget *cell)
{
  guint index = 0;

  g_ptr_array_find (self->cells, cell, &index);
  return index / MAX (td_readings_get_n_columns (self->readings), 1);
}

static void
changed_cb (GtkEditable *cell, TdWizardSheet *self)
{
  guint row = find_row (self, GTK_WIDGET (cell));

  for (guint column = 0; column < td_readings_get_n_columns (self->readings); column++)
    take_cell (self, row, column, NULL);
  show_verdict (self, row);
}

static void
activate_cb (GtkEntry *cell, TdWizardSheet *self)
{
  guint index = 0;

  g_ptr_array_find (self->cells, cell, &index);
  while (++index < self->cells->len)
    if (g_ptr_array_index (self->cells, index) != NULL)
      {
        gtk_widget_grab_focus (g_ptr_array_index (self->cells, index));
        return;
      }
  gtk_widget_activate_action (GTK_WIDGET (self), "sheet.commit", NULL);
}

static void
leak_toggled_cb (GtkToggleButton *button, TdWizardSheet *self)
{
  guint row = (guint) g_ascii_strtoull (gtk_widget_get_name (GTK_WIDGET (button)), NULL, 10);
  gboolean leaks = gtk_toggle_button_get_active (button);

  td_readings_set_leak (self->readings, row, leaks);
  gtk_button_set_label (GTK_BUTTON (button), leaks ? _ ("Leaks") : _ ("Tight"));
  show_verdict (self, row);
}

static GtkWidget *
make_label (const char *text, const char *style)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  if (style != NULL)
    gtk_widget_add_css_class (label, style);
  return label;
}

static char *
make_heading (TdWizardSheet *self, guint column)
{
  const TdField *field = NULL;
  const TdActPart *part = td_readings_get_column (self->readings, column, &field);
  const TdJson *gas = td_json_get_member (part->fields, "gas");
  const char *symbol = td_field_get_symbol (field, td_format_get_style ());
  const char *label = gas != NULL ? td_choice_get_label ("gas", td_json_get_string (gas)) : td_field_get_label (part->kind, field);

  return symbol != NULL ? g_strdup_printf ("%s, %s", label, symbol) : g_strdup (label);
}

static void
add_row (TdWizardSheet *self, guint row)
{
  TdVisit *visit = td_session_get_visit (self->session);
  guint n_columns = td_readings_get_n_columns (self->readings);
  g_autofree char *title = td_outlet_get_title (visit->site, td_readings_get_outlet (self->readings, row));
  GtkWidget *verdict = make_label (NULL, "hint");
  int at = (int) row + 1;

  gtk_grid_attach (self->grid, make_label (title, "strong"), 0, at, 1, 1);
  for (guint column = 0; column < n_columns; column++)
    {
      g_autofree char *heading = make_heading (self, column);
      g_autofree char *name = g_strdup_printf ("%s: %s", title, heading);
      GtkWidget *cell = NULL;

      if (td_readings_asks (self->readings, row, column))
        {
          cell = gtk_entry_new ();
          gtk_editable_set_max_width_chars (GTK_EDITABLE (cell), 7);
          gtk_editable_set_width_chars (GTK_EDITABLE (cell), 7);
          gtk_entry_set_input_purpose (GTK_ENTRY (cell), GTK_INPUT_PURPOSE_NUMBER);
          gtk_widget_set_valign (cell, GTK_ALIGN_CENTER);
          gtk_accessible_update_property (GTK_ACCESSIBLE (cell), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
          g_signal_connect_object (cell, "changed", G_CALLBACK (changed_cb), self, 0);
          g_signal_connect_object (cell, "activate", G_CALLBACK (activate_cb), self, 0);
          gtk_grid_attach (self->grid, cell, (int) column + 1, at, 1, 1);
        }
      g_ptr_array_add (self->cells, cell);
    }
  if (td_readings_asks_leaks (self->readings))
    {
      GtkWidget *leak = gtk_toggle_button_new_with_label (_ ("Tight"));
      g_autofree char *number = g_strdup_printf ("%u", row);
      g_autofree char *name = g_strdup_printf (_ ("%s leaks"), title);

      gtk_widget_set_name (leak, number);
      gtk_widget_set_valign (leak, GTK_ALIGN_CENTER);
      gtk_accessible_update_property (GTK_ACCESSIBLE (leak), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
      g_signal_connect_object (leak, "toggled", G_CALLBACK (leak_toggled_cb), self, 0);
      gtk_grid_attach (self->grid, leak, (int) n_columns + 1, at, 1, 1);
    }
  gtk_widget_set_hexpand (verdict, TRUE);
  gtk_widget_set_valign (verdict, GTK_ALIGN_CENTER);
  gtk_label_set_width_chars (GTK_LABEL (verdict), 18);
  gtk_grid_attach (self->grid, verdict, (int) n_columns + 2, at, 1, 1);
  g_ptr_array_add (self->verdicts, verdict);
}

static void
clear (TdWizardSheet *self)
{
  GtkWidget *child;

  g_ptr_array_set_size (self->cells, 0);
  g_ptr_array_set_size (self->verdicts, 0);
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->grid))) != NULL)
    gtk_grid_remove (self->grid, child);
  g_clear_pointer (&self->readings, td_readings_free);
  g_clear_pointer (&self->act, td_act_unref);
  td_notice_clear (self->notice);
}

void
td_wizard_sheet_show (TdWizardSheet *self, TdSession *session, TdAct *act)
{
  g_return_if_fail (TD_IS_WIZARD_SHEET (self) && TD_IS_SESSION (session) && act != NULL && act->table);
  clear (self);
  g_set_object (&self->session, session);
  self->act = td_act_ref (act);
  self->readings = td_readings_new (act);
  gtk_label_set_label (self->title, act->title);
  for (guint column = 0; column < td_readings_get_n_columns (self->readings); column++)
    {
      g_autofree char *heading = make_heading (self, column);

      gtk_grid_attach (self->grid, make_label (heading, "faint"), (int) column + 1, 0, 1, 1);
    }
  for (guint row = 0; row < td_readings_get_n_rows (self->readings); row++)
    {
      add_row (self, row);
      show_verdict (self, row);
    }
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "sheet.commit", TRUE);
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (self->scroller), 0);
  for (guint i = 0; i < self->cells->len; i++)
    if (g_ptr_array_index (self->cells, i) != NULL)
      {
        gtk_widget_grab_focus (g_ptr_array_index (self->cells, i));
        return;
      }
  gtk_widget_grab_focus (self->commit);
}

static void
appended_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWizardSheet) self = user_data;
  g_autoptr (GError) error = NULL;

  gtk_widget_action_set_enabled (GTK_WIDGET (self), "sheet.commit", TRUE);
  if (td_session_append_finish (TD_SESSION (source), result, NULL, &error))
    g_signal_emit (self, signals[SIGNAL_DONE], 0, self->act->title, self->n_entries, self->act->key);
  else
    td_notice_show_error (self->notice, _ ("This was not recorded."), error);
}

static void
commit_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWizardSheet *self = TD_WIZARD_SHEET (widget);
  g_autoptr (GPtrArray) drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_autoptr (GPtrArray) bodies = NULL;
  g_autoptr (GArray) kinds = NULL;
  g_autoptr (GError) error = NULL;

  if (self->readings == NULL)
    return;
  td_notice_clear (self->notice);
  for (guint row = 0; row < td_readings_get_n_rows (self->readings); row++)
    for (guint column = 0; column < td_readings_get_n_columns (self->readings); column++)
      if (!take_cell (self, row, column, &error))
        {
          td_notice_show_error (self->notice, _ ("This is not complete."), error);
          gtk_widget_grab_focus (td_wizard_sheet_get_cell (self, row, column));
          return;
        }
  bodies = td_readings_make_bodies (self->readings, td_session_get_visit (self->session), &kinds);
  for (guint i = 0; i < bodies->len; i++)
    g_ptr_array_add (drafts, td_session_draft (self->session, g_array_index (kinds, TdKind, i),
                                               td_json_ref (g_ptr_array_index (bodies, i))));
  if (drafts->len == 0)
    return;
  self->n_entries = drafts->len;
  gtk_widget_action_set_enabled (widget, "sheet.commit", FALSE);
  td_session_append_many_async (self->session, g_steal_pointer (&drafts), appended_cb, g_object_ref (self));
}

static void
leave_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_signal_emit (widget, signals[SIGNAL_LEAVE], 0);
}

static void
td_wizard_sheet_dispose (GObject *object)
{
  TdWizardSheet *self = TD_WIZARD_SHEET (object);

  g_clear_pointer (&self->root, gtk_widget_unparent);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (td_wizard_sheet_parent_class)->dispose (object);
}

static void
td_wizard_sheet_finalize (GObject *object)
{
  TdWizardSheet *self = TD_WIZARD_SHEET (object);

  g_clear_pointer (&self->readings, td_readings_free);
  g_clear_pointer (&self->act, td_act_unref);
  g_ptr_array_unref (self->cells);
  g_ptr_array_unref (self->verdicts);
  G_OBJECT_CLASS (td_wizard_sheet_parent_class)->finalize (object);
}

static void
td_wizard_sheet_class_init (TdWizardSheetClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_wizard_sheet_dispose;
  G_OBJECT_CLASS (klass)->finalize = td_wizard_sheet_finalize;
  signals[SIGNAL_LEAVE] = g_signal_new ("leave", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                        G_TYPE_NONE, 0);
  signals[SIGNAL_DONE] = g_signal_new ("done", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                       G_TYPE_NONE, 3, G_TYPE_STRING, G_TYPE_UINT, G_TYPE_STRING);
  g_type_ensure (TD_TYPE_NOTICE);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/wizard-sheet.ui");
  gtk_widget_class_bind_template_child (widget_class, TdWizardSheet, root);
  gtk_widget_class_bind_template_child (widget_class, TdWizardSheet, notice);
  gtk_widget_class_bind_template_child (widget_class, TdWizardSheet, title);
  gtk_widget_class_bind_template_child (widget_class, TdWizardSheet, scroller);
  gtk_widget_class_bind_template_child (widget_class, TdWizardSheet, grid);
  gtk_widget_class_bind_template_child (widget_class, TdWizardSheet, commit);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "sheet.commit", NULL, commit_action);
  gtk_widget_class_install_action (widget_class, "sheet.leave", NULL, leave_action);
}

static void
td_wizard_sheet_init (TdWizardSheet *self)
{
  self->cells = g_ptr_array_new ();
  self->verdicts = g_ptr_array_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_wizard_sheet_new (void)
{
  return g_object_new (TD_TYPE_WIZARD_SHEET, NULL);
}
