#include "desk-chem-view.h"

#include "desk-chart-view.h"
#include "desk-chem-rows.h"
#include "desk-i18n.h"
#include "desk-notice.h"

#define CHART_PX 150

struct _TdChemExceptions
{
  GtkWidget parent;
  TdContext *context;
  const TdChemLoaded *loaded;
  GArray *ids; /* of the bars and, from the second on, of the choice */
  int chosen;  /* in audit->exceptions, -1 */

  GtkWidget *box;
  TdNotice *notice;
  GtkDropDown *rule;
  GtkToggleButton *open;
  TdChartView *chart;
  TdListingView *table;
  GtkWidget *bars; /* makes room for the table while one is chosen */
  GtkWidget *act;
  GtkLabel *says;
  GtkEntry *reason, *person;
  GtkWidget *acknowledge, *visit;
};

G_DEFINE_FINAL_TYPE (TdChemExceptions, td_chem_exceptions, GTK_TYPE_WIDGET)

static guint changed_signal;

static const TdAuditException *
get_chosen (TdChemExceptions *self)
{
  return self->loaded != NULL && self->chosen >= 0 && self->chosen < (int) self->loaded->audit->exceptions->len
             ? g_ptr_array_index (self->loaded->audit->exceptions, self->chosen)
             : NULL;
}

/* What is chosen, what was found out about it, and what can be done. */
static void
show_chosen (TdChemExceptions *self)
{
  const TdAuditException *chosen = get_chosen (self);
  g_autofree char *text = NULL;

  gtk_widget_set_visible (self->act, chosen != NULL);
  gtk_widget_set_visible (self->bars, chosen == NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "exception.show-visit", chosen != NULL && chosen->visit != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "exception.acknowledge", chosen != NULL);
  if (chosen == NULL)
    return;
  text = chosen->acknowledged ? g_strdup_printf (_ ("%s Looked into by %s: %s"), chosen->text, chosen->by, chosen->reason)
                              : g_strdup (chosen->text);
  gtk_label_set_label (self->says, text);
}

static void
show_rows (TdChemExceptions *self)
{
  guint rule = gtk_drop_down_get_selected (self->rule);
  TdExceptionId only = TD_N_EXCEPTIONS;

  if (self->loaded == NULL)
    return;
  if (rule != GTK_INVALID_LIST_POSITION && rule > 0 && rule <= self->ids->len)
    only = g_array_index (self->ids, guint, rule - 1);
  self->chosen = -1;
  td_listing_view_set_rows (self->table,
                            td_chem_make_exceptions (self->loaded, only, gtk_toggle_button_get_active (self->open)),
                            _ ("Nothing departs from the rules here."));
  show_chosen (self);
}

void
td_chem_exceptions_show (TdChemExceptions *self, const TdChemLoaded *loaded)
{
  g_autoptr (GPtrArray) words = g_ptr_array_new ();
  GPtrArray *bars;

  g_return_if_fail (TD_IS_CHEM_EXCEPTIONS (self));
  self->loaded = loaded;
  if (loaded == NULL)
    return;
  g_clear_pointer (&self->ids, g_array_unref);
  bars = td_chem_make_rule_bars (loaded, &self->ids);
  g_ptr_array_add (words, (gpointer) _ ("All rules"));
  for (guint i = 0; i < self->ids->len; i++)
    g_ptr_array_add (words, (gpointer) _ (td_exception_get_info (g_array_index (self->ids, guint, i))->text));
  g_ptr_array_add (words, NULL);
  td_chart_view_set_groups (self->chart, TD_CHART_ROWS, bars, _ ("Exceptions by rule; the table has each of them"));
  td_chem_choice_set (self->rule, (const char *const *) words->pdata);
  show_rows (self);
}

static void
bar_cb (TdChartView *chart, guint group, TdChemExceptions *self)
{
  gtk_drop_down_set_selected (self->rule, group + 1);
}

static void
row_cb (TdListingView *table, gint64 key, TdChemExceptions *self)
{
  self->chosen = (int) key;
  show_chosen (self);
}

static void
show_visit_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  const TdAuditException *chosen = get_chosen (TD_CHEM_EXCEPTIONS (widget));

  if (chosen != NULL && chosen->visit != NULL)
    gtk_widget_activate_action (widget, "win.show-visit", "s", chosen->visit);
}

static void
acknowledged_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdChemExceptions) self = user_data;
  g_autoptr (GError) error = NULL;

  if (!td_queue_run_finish (result, NULL, &error))
    {
      td_notice_show_error (self->notice, _ ("The exception could not be acknowledged."), error);
      return;
    }
  gtk_editable_set_text (GTK_EDITABLE (self->reason), "");
  td_notice_show_done (self->notice, _ ("Acknowledged."));
}

static char *
get_text (GtkEntry *entry)
{
  return g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));
}

static void
acknowledge_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdChemExceptions *self = TD_CHEM_EXCEPTIONS (widget);
  const TdAuditException *chosen = get_chosen (self);
  g_autofree char *reason = get_text (self->reason);
  g_autofree char *person = get_text (self->person);
  TdChemAsk *ask;

  if (chosen == NULL)
    return;
  if (*reason == '\0' || *person == '\0')
    {
      gtk_widget_grab_focus (GTK_WIDGET (*reason == '\0' ? self->reason : self->person));
      td_notice_show_done (self->notice, _ ("Say what was found out, and who you are."));
      return;
    }
  ask = td_chem_ask_new (self->loaded->audit->from, self->loaded->audit->to, td_context_get_now_ms (self->context));
  ask->key = g_strdup (chosen->key);
  ask->reason = g_steal_pointer (&reason);
  ask->person = g_steal_pointer (&person);
  td_context_run_async (self->context, TD_JOB_WRITE, td_chem_job_acknowledge, ask, td_chem_ask_free, NULL, NULL,
                        acknowledged_cb, g_object_ref (self));
}

void
td_chem_exceptions_set_context (TdChemExceptions *self, TdContext *context)
{
  g_return_if_fail (TD_IS_CHEM_EXCEPTIONS (self));
  g_set_object (&self->context, context);
}

static void
td_chem_exceptions_dispose (GObject *object)
{
  TdChemExceptions *self = TD_CHEM_EXCEPTIONS (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->context);
  g_clear_pointer (&self->ids, g_array_unref);
  G_OBJECT_CLASS (td_chem_exceptions_parent_class)->dispose (object);
}

static void
td_chem_exceptions_class_init (TdChemExceptionsClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_chem_exceptions_dispose;
  changed_signal
    = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "exception.acknowledge", NULL, acknowledge_action);
  gtk_widget_class_install_action (widget_class, "exception.show-visit", NULL, show_visit_action);
}

static GtkEntry *
make_entry (const char *label, int chars)
{
  GtkWidget *entry = gtk_entry_new ();

  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), label);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), chars);
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  return GTK_ENTRY (entry);
}

/* The bar at the foot: the chosen exception and what can be done about it. */
static void
make_act (TdChemExceptions *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->act = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_add_css_class (self->act, "act-bar");
  self->says = GTK_LABEL (gtk_label_new (NULL));
  gtk_label_set_wrap (self->says, TRUE);
  gtk_label_set_xalign (self->says, 0);
  gtk_label_set_lines (self->says, 2);
  gtk_label_set_ellipsize (self->says, PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (self->act), GTK_WIDGET (self->says));
  self->reason = make_entry (_ ("What was found out"), 20);
  gtk_widget_set_hexpand (GTK_WIDGET (self->reason), TRUE);
  self->person = make_entry (_ ("By whom"), 14);
  self->acknowledge = gtk_button_new_with_label (_ ("Acknowledge"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->acknowledge), "exception.acknowledge");
  gtk_widget_add_css_class (self->acknowledge, "act");
  self->visit = gtk_button_new_with_label (_ ("Show the visit"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->visit), "exception.show-visit");
  gtk_box_append (GTK_BOX (row), GTK_WIDGET (self->reason));
  gtk_box_append (GTK_BOX (row), GTK_WIDGET (self->person));
  gtk_box_append (GTK_BOX (row), self->acknowledge);
  gtk_box_append (GTK_BOX (row), self->visit);
  gtk_box_append (GTK_BOX (self->act), row);
}

static void
td_chem_exceptions_init (TdChemExceptions *self)
{
  GtkWidget *bar = td_chem_bar_new ();
  guint n = 0;
  const TdListingColumn *columns = td_chem_get_exception_columns (&n);

  self->chosen = -1;
  self->ids = g_array_new (FALSE, FALSE, sizeof (guint));
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->notice = g_object_new (TD_TYPE_NOTICE, NULL);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->notice));
  self->rule = td_chem_choice_new (_ ("Rule"));
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->rule));
  self->open = GTK_TOGGLE_BUTTON (gtk_toggle_button_new_with_label (_ ("Not looked into")));
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->open));
  gtk_box_append (GTK_BOX (self->box), bar);
  self->chart = TD_CHART_VIEW (td_chart_view_new ());
  self->bars = td_chart_view_in_scroller (self->chart, CHART_PX);
  gtk_box_append (GTK_BOX (self->box), self->bars);
  self->table = TD_LISTING_VIEW (td_listing_view_new ());
  td_listing_view_set_columns (self->table, _ ("Exceptions"), columns, n);
  gtk_widget_set_vexpand (GTK_WIDGET (self->table), TRUE);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->table));
  make_act (self);
  gtk_box_append (GTK_BOX (self->box), self->act);
  show_chosen (self);
  g_signal_connect_object (self->rule, "notify::selected", G_CALLBACK (show_rows), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->open, "toggled", G_CALLBACK (show_rows), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->chart, "group-activated", G_CALLBACK (bar_cb), self, 0);
  g_signal_connect_object (self->table, "row-activated", G_CALLBACK (row_cb), self, 0);
}
