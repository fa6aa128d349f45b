#include "desk-chem-view.h"

#include "desk-chart-view.h"
#include "desk-chem-rows.h"
#include "desk-choose.h"
#include "desk-i18n.h"
#include "desk-notice.h"

#define CHART_PX 210

struct _TdChemSums
{
  GtkWidget parent;
  const TdChemLoaded *loaded;
  GtkWidget *box;
  TdNotice *notice;
  GtkDropDown *by;
  GtkLabel *says;
  TdChartView *chart;
  TdListingView *table;
};

G_DEFINE_FINAL_TYPE (TdChemSums, td_chem_sums, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_BY,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
show (TdChemSums *self)
{
  TdChemBy by = gtk_drop_down_get_selected (self->by);
  TdChartShape shape = TD_CHART_ROWS;
  guint n = 0;
  const TdListingColumn *columns;
  GPtrArray *bars;

  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_BY]);
  if (self->loaded == NULL || (guint) by >= TD_N_CHEM_BY)
    return;
  columns = td_chem_get_columns (by, &n);
  td_listing_view_set_columns (self->table, _ ("Chemical account"), columns, n);
  td_listing_view_set_rows (self->table, td_chem_make_rows (self->loaded, by),
                            _ ("Nothing came, went or was counted in this period."));
  bars = td_chem_make_bars (self->loaded, by, &shape);
  td_chart_view_set_groups (self->chart, shape, bars, _ ("Used against expected; the table has the figures"));
}

void
td_chem_sums_show (TdChemSums *self, const TdChemLoaded *loaded)
{
  g_return_if_fail (TD_IS_CHEM_SUMS (self));
  self->loaded = loaded;
  show (self);
}

gboolean
td_chem_sums_save (TdChemSums *self, const char *path, GError **error)
{
  g_autofree char *csv = NULL;

  g_return_val_if_fail (TD_IS_CHEM_SUMS (self) && self->loaded != NULL, FALSE);
  csv = td_audit_to_csv (self->loaded->audit);
  return g_file_set_contents (path, csv, -1, error);
}

static void
chosen_cb (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  TdChemSums *self = TD_CHEM_SUMS (widget);
  g_autoptr (GFile) file = g_list_model_get_item (files, 0);
  g_autofree char *path = g_file_get_path (file);
  g_autoptr (GError) error = NULL;

  if (path != NULL && td_chem_sums_save (self, path, &error))
    td_notice_show_done (self->notice, _ ("The account was saved."));
  else if (error != NULL)
    td_notice_show_error (self->notice, _ ("The account could not be saved."), error);
}

static void
save_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdChemSums *self = TD_CHEM_SUMS (widget);

  if (self->loaded != NULL)
    td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_SHEETS, _ ("Save the Account"), "account.csv", chosen_cb, NULL, NULL);
}

static void
td_chem_sums_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_BY)
    g_value_set_uint (value, gtk_drop_down_get_selected (TD_CHEM_SUMS (object)->by));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_chem_sums_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_BY)
    gtk_drop_down_set_selected (TD_CHEM_SUMS (object)->by, g_value_get_uint (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_chem_sums_dispose (GObject *object)
{
  g_clear_pointer (&TD_CHEM_SUMS (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_chem_sums_parent_class)->dispose (object);
}

static void
td_chem_sums_class_init (TdChemSumsClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->get_property = td_chem_sums_get_property;
  object_class->set_property = td_chem_sums_set_property;
  object_class->dispose = td_chem_sums_dispose;
  properties[PROP_BY] = g_param_spec_uint ("by", NULL, NULL, 0, TD_N_CHEM_BY - 1, 0,
                                           G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (GTK_WIDGET_CLASS (klass), "sums.save", NULL, save_action);
}

static void
td_chem_sums_init (TdChemSums *self)
{
  const char *words[TD_N_CHEM_BY + 1] = { NULL };
  GtkWidget *bar = td_chem_bar_new ();
  GtkWidget *save = gtk_button_new_with_label (_ ("Save as CSV…"));

  for (guint by = 0; by < TD_N_CHEM_BY; by++)
    words[by] = td_chem_by_get_name (by);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->notice = g_object_new (TD_TYPE_NOTICE, NULL);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->notice));
  self->by = td_chem_choice_new (_ ("Shown by"));
  td_chem_choice_set (self->by, words);
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->by));
  self->says = GTK_LABEL (gtk_label_new (_ ("Filled bars were used, hollow bars expected.")));
  gtk_label_set_ellipsize (self->says, PANGO_ELLIPSIZE_END);
  gtk_label_set_xalign (self->says, 0);
  gtk_widget_set_hexpand (GTK_WIDGET (self->says), TRUE);
  gtk_widget_add_css_class (GTK_WIDGET (self->says), "faint");
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->says));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (save), "sums.save");
  gtk_box_append (GTK_BOX (bar), save);
  gtk_box_append (GTK_BOX (self->box), bar);
  self->chart = TD_CHART_VIEW (td_chart_view_new ());
  gtk_box_append (GTK_BOX (self->box), td_chart_view_in_scroller (self->chart, CHART_PX));
  self->table = TD_LISTING_VIEW (td_listing_view_new ());
  gtk_widget_set_vexpand (GTK_WIDGET (self->table), TRUE);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->table));
  g_signal_connect_object (self->by, "notify::selected", G_CALLBACK (show), self, G_CONNECT_SWAPPED);
}
