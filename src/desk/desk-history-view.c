#include "desk-history-view.h"

#include "desk-chart-view.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-listing-view.h"
#include "document-units.h"

/* So many visits fit beside each other with their figures; the table has all. */
#define CHART_VISITS 8
#define N_CHARTS 4

struct _TdHistoryView
{
  GtkWidget parent;
  TdSite *site;
  TdHistory *history;
  gboolean filling;

  GtkWidget *box;
  GtkDropDown *line;
  GtkBox *charts_box;
  GtkBox *tables_box;
  TdChartView *charts[N_CHARTS];
  GtkWidget *titles[N_CHARTS];
  GtkWidget *nothing; /* instead of charts without a figure */
  TdListingView *table;
  TdListingView *follow_ups;
};

G_DEFINE_FINAL_TYPE (TdHistoryView, td_history_view, GTK_TYPE_WIDGET)

/* What a chart shows of a point: a figure, and hollow beside it what it is held against. */
typedef struct
{
  const char *title;
  gsize value, beside; /* offsets of gint64; beside 0: none */
  char *(*format) (gint64 value);
} Trend;

static char *
format_contact (gint64 value)
{
  return td_figure_minutes (value);
}

static char *
format_ph (gint64 value)
{
  return td_figure_ph (value);
}

static char *
format_flow (gint64 value)
{
  return td_quantity_format (TD_QUANTITY_FLOW, td_quantity_from_stored (TD_QUANTITY_FLOW, value),
                             td_format_get_style ());
}

static char *
format_temperature (gint64 value)
{
  return td_quantity_format (TD_QUANTITY_TEMPERATURE, td_quantity_from_stored (TD_QUANTITY_TEMPERATURE, value),
                             td_format_get_style ());
}

static const Trend trends[N_CHARTS] = {
  { N_ ("Contact in minutes, and what was required"), G_STRUCT_OFFSET (TdHistoryPoint, contact_s),
    G_STRUCT_OFFSET (TdHistoryPoint, required_s), format_contact },
  { N_ ("pH of the rinse, and of the tap water"), G_STRUCT_OFFSET (TdHistoryPoint, rinse_ph_milli),
    G_STRUCT_OFFSET (TdHistoryPoint, tap_ph_milli), format_ph },
  { N_ ("Flow in the circuit"), G_STRUCT_OFFSET (TdHistoryPoint, flow_ml_min), 0, format_flow },
  { N_ ("Temperature of the beer"), G_STRUCT_OFFSET (TdHistoryPoint, beer_c_milli), 0, format_temperature },
};

static gint64
get_value (const TdHistoryPoint *point, gsize offset)
{
  return offset != 0 ? G_STRUCT_MEMBER (gint64, point, offset) : TD_HISTORY_NONE;
}

static char *
format_value (const Trend *trend, const TdHistoryPoint *point, gsize offset)
{
  gint64 value = get_value (point, offset);

  return value != TD_HISTORY_NONE ? trend->format (value) : NULL;
}

/* A bar begins at nothing: below it (a beer that is nearly frozen) it has no height, its figure tells. */
static double
get_height (const TdHistoryPoint *point, gsize offset)
{
  gint64 value = get_value (point, offset);

  return value != TD_HISTORY_NONE && value > 0 ? (double) value : 0;
}

static const char *
get_line_id (TdHistoryView *self)
{
  guint chosen = gtk_drop_down_get_selected (self->line);

  return self->site != NULL && chosen < self->site->n_outlets ? self->site->outlets[chosen].id : NULL;
}

/* FALSE where nobody read the figure. */
static gboolean
show_chart (TdHistoryView *self, guint index, const char *line)
{
  const Trend *trend = &trends[index];
  GPtrArray *groups = g_ptr_array_new_with_free_func ((GDestroyNotify) td_chart_group_free);
  guint n = self->history->visits->len;
  gboolean has;

  for (guint i = n > CHART_VISITS ? n - CHART_VISITS : 0; i < n; i++)
    {
      const TdHistoryVisit *visit = g_ptr_array_index (self->history->visits, i);
      const TdHistoryPoint *point = td_history_visit_find (visit, line);
      char label[16] = "";
      char *figure = point != NULL ? format_value (trend, point, trend->value) : NULL;
      char *beside = point != NULL ? format_value (trend, point, trend->beside) : NULL;
      GDate date;

      if (figure == NULL && beside == NULL)
        continue;
      g_date_clear (&date, 1);
      g_date_set_julian (&date, (guint32) (visit->date + 719163)); /* days before 1970, as GDate counts */
      /* Translators: day and month below a bar, as strftime() writes them. */
      g_date_strftime (label, sizeof label, _ ("%d %b"), &date);
      g_ptr_array_add (groups, td_chart_group_new (label, get_height (point, trend->value), figure,
                                                   get_height (point, trend->beside), beside));
    }
  has = groups->len > 0;
  gtk_widget_set_visible (self->titles[index], has);
  td_chart_view_set_groups (self->charts[index], TD_CHART_COLUMNS, groups, _ (trend->title));
  return has;
}

static char *
join (char *figure, char *beside)
{
  char *both;

  if (figure == NULL || beside == NULL)
    {
      g_free (beside);
      return figure;
    }
  both = g_strdup_printf ("%s (%s)", figure, beside);
  g_free (figure);
  g_free (beside);
  return both;
}

static void
show_table (TdHistoryView *self, const char *line)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_listing_unref);

  for (guint i = self->history->visits->len; i > 0; i--)
    {
      const TdHistoryVisit *visit = g_ptr_array_index (self->history->visits, i - 1);
      const TdHistoryPoint *point = td_history_visit_find (visit, line);
      gboolean brief = point != NULL && point->contact_s != TD_HISTORY_NONE && point->contact_s < point->required_s;
      TdListing *row = td_listing_new ((gint64) rows->len, brief);

      td_listing_set (row, 0, td_format_date (NULL, visit->date));
      for (guint j = 0; point != NULL && j < N_CHARTS; j++)
        td_listing_set (row, j + 1, join (format_value (&trends[j], point, trends[j].value),
                                          format_value (&trends[j], point, trends[j].beside)));
      g_ptr_array_add (rows, row);
    }
  td_listing_view_set_rows (self->table, rows, _ ("No closed visit yet."));
}

static void
show_follow_ups (TdHistoryView *self)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_listing_unref);

  for (guint i = 0; i < self->history->follow_ups->len; i++)
    {
      const TdFollowUp *follow_up = g_ptr_array_index (self->history->follow_ups, i);
      TdListing *row = td_listing_new ((gint64) i, FALSE);

      td_listing_set (row, 0, td_format_date (NULL, follow_up->date));
      td_listing_set (row, 1, g_strdup (follow_up->place));
      td_listing_set (row, 2,
                      follow_up->quote_wanted ? g_strdup_printf (_ ("%s (a price is wanted)"), follow_up->text)
                                              : g_strdup (follow_up->text));
      g_ptr_array_add (rows, row);
    }
  td_listing_view_set_rows (self->follow_ups, rows, _ ("Nothing to follow up."));
}

static void
show_line (TdHistoryView *self)
{
  const char *line = get_line_id (self);
  gboolean any = FALSE;

  if (line == NULL || self->history == NULL)
    return;
  for (guint i = 0; i < N_CHARTS; i++)
    any |= show_chart (self, i, line);
  gtk_widget_set_visible (self->nothing, !any);
  show_table (self, line);
}

static void
line_cb (GtkDropDown *drop, GParamSpec *pspec, TdHistoryView *self)
{
  if (!self->filling)
    show_line (self);
}

static void
show_visit (TdHistoryView *self, const char *id)
{
  gtk_widget_activate_action (GTK_WIDGET (self), "win.show-visit", "s", id);
}

static void
table_cb (TdListingView *table, gint64 key, TdHistoryView *self)
{
  guint n = self->history->visits->len;

  if (key >= 0 && key < (gint64) n)
    show_visit (self, ((TdHistoryVisit *) g_ptr_array_index (self->history->visits, n - 1 - (guint) key))->id);
}

static void
follow_up_cb (TdListingView *table, gint64 key, TdHistoryView *self)
{
  if (key >= 0 && key < (gint64) self->history->follow_ups->len)
    show_visit (self, ((TdFollowUp *) g_ptr_array_index (self->history->follow_ups, (guint) key))->visit);
}

void
td_history_view_set_history (TdHistoryView *self, TdSite *site, TdHistory *history)
{
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  guint chosen;

  g_return_if_fail (TD_IS_HISTORY_VIEW (self) && site != NULL && history != NULL);
  chosen = gtk_drop_down_get_selected (self->line);
  g_clear_pointer (&self->site, td_site_unref);
  g_clear_pointer (&self->history, td_history_free);
  self->site = td_site_ref (site);
  self->history = history;
  for (guint i = 0; i < site->n_outlets; i++)
    {
      g_autofree char *title = td_outlet_get_title (site, i);

      gtk_string_list_append (titles, title);
    }
  self->filling = TRUE;
  gtk_drop_down_set_model (self->line, G_LIST_MODEL (titles));
  gtk_drop_down_set_selected (self->line, chosen < site->n_outlets ? chosen : 0);
  self->filling = FALSE;
  show_line (self);
  show_follow_ups (self);
}

void
td_history_view_choose (TdHistoryView *self, guint outlet)
{
  g_return_if_fail (TD_IS_HISTORY_VIEW (self));
  if (self->site != NULL && outlet < self->site->n_outlets)
    gtk_drop_down_set_selected (self->line, outlet);
}

static void
td_history_view_dispose (GObject *object)
{
  g_clear_pointer (&TD_HISTORY_VIEW (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_history_view_parent_class)->dispose (object);
}

static void
td_history_view_finalize (GObject *object)
{
  TdHistoryView *self = TD_HISTORY_VIEW (object);

  g_clear_pointer (&self->site, td_site_unref);
  g_clear_pointer (&self->history, td_history_free);
  G_OBJECT_CLASS (td_history_view_parent_class)->finalize (object);
}

static void
td_history_view_class_init (TdHistoryViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = td_history_view_dispose;
  object_class->finalize = td_history_view_finalize;
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/history-view.ui");
  gtk_widget_class_bind_template_child (widget_class, TdHistoryView, box);
  gtk_widget_class_bind_template_child (widget_class, TdHistoryView, line);
  gtk_widget_class_bind_template_child (widget_class, TdHistoryView, charts_box);
  gtk_widget_class_bind_template_child (widget_class, TdHistoryView, tables_box);
  gtk_widget_class_bind_template_callback (widget_class, line_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static GtkWidget *
make_title (const char *text)
{
  GtkWidget *title = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (title), 0);
  gtk_label_set_wrap (GTK_LABEL (title), TRUE);
  gtk_widget_add_css_class (title, "strong");
  return title;
}

static void
add_charts (TdHistoryView *self)
{
  for (guint i = 0; i < N_CHARTS; i++)
    {
      self->charts[i] = TD_CHART_VIEW (td_chart_view_new ());
      self->titles[i] = make_title (_ (trends[i].title));
      gtk_box_append (self->charts_box, self->titles[i]);
      gtk_box_append (self->charts_box, GTK_WIDGET (self->charts[i]));
    }
}

static void
add_nothing (TdHistoryView *self)
{
  self->nothing = gtk_label_new (_ ("This line has no figures yet: it was not cleaned or read in a closed visit."));
  gtk_label_set_wrap (GTK_LABEL (self->nothing), TRUE);
  gtk_label_set_xalign (GTK_LABEL (self->nothing), 0);
  gtk_widget_add_css_class (self->nothing, "faint");
  gtk_box_append (self->charts_box, self->nothing);
}

static void
add_tables (TdHistoryView *self)
{
  const TdListingColumn columns[] = { { _ ("Visit"), 11, FALSE },  { _ ("Contact"), 12, TRUE },
                                      { _ ("pH"), 10, TRUE }, { _ ("Flow"), 0, TRUE },
                                      { _ ("Beer"), 0, TRUE } };
  const TdListingColumn follow[] = { { _ ("Visit"), 11, FALSE }, { _ ("Where"), 12, FALSE }, { _ ("What"), 0, FALSE } };

  self->table = TD_LISTING_VIEW (td_listing_view_new ());
  self->follow_ups = TD_LISTING_VIEW (td_listing_view_new ());
  td_listing_view_set_columns (self->table, _ ("Figures of the line by visit"), columns, G_N_ELEMENTS (columns));
  td_listing_view_set_columns (self->follow_ups, _ ("To follow up"), follow, G_N_ELEMENTS (follow));
  gtk_widget_set_vexpand (GTK_WIDGET (self->table), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self->follow_ups), TRUE);
  gtk_box_append (self->tables_box, make_title (_ ("By visit; in brackets what was required, and the tap water")));
  gtk_box_append (self->tables_box, GTK_WIDGET (self->table));
  gtk_box_append (self->tables_box, make_title (_ ("To follow up")));
  gtk_box_append (self->tables_box, GTK_WIDGET (self->follow_ups));
  g_signal_connect_object (self->table, "row-activated", G_CALLBACK (table_cb), self, 0);
  g_signal_connect_object (self->follow_ups, "row-activated", G_CALLBACK (follow_up_cb), self, 0);
}

static void
td_history_view_init (TdHistoryView *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  add_charts (self);
  add_nothing (self);
  add_tables (self);
}

GtkWidget *
td_history_view_new (void)
{
  return g_object_new (TD_TYPE_HISTORY_VIEW, NULL);
}
