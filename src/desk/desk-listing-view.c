#include "desk-listing-view.h"

#include "desk-i18n.h"
#include "model-lazy-list.h"

/* Pixels that a digit takes at most, and what a cell keeps free beside it. */
#define DIGIT_PX 9
#define CELL_PX 18

struct _TdListingView
{
  GtkWidget parent;
  GtkStack *stack;
  GtkColumnView *view;
  GtkLabel *nothing;
  TdLazyList *list;
  GPtrArray *rows; /* TdListing */
};

G_DEFINE_FINAL_TYPE (TdListingView, td_listing_view, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_ROW_ACTIVATED,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

/* Keys are places in the array. */
static void
fetch (TdLazyList *list, TdLazyRequest *request, gpointer user_data)
{
  TdListingView *self = user_data;
  guint n = 0;
  const gint64 *keys = td_lazy_request_get_keys (request, &n);
  g_autoptr (GPtrArray) values = g_ptr_array_sized_new (n);

  for (guint i = 0; i < n; i++)
    g_ptr_array_add (values, self->rows != NULL && keys[i] < (gint64) self->rows->len
                               ? g_ptr_array_index (self->rows, (guint) keys[i])
                               : NULL);
  td_lazy_list_answer (list, request, values);
}

/* ---- cells ---- */

static guint
get_column (GObject *factory)
{
  return GPOINTER_TO_UINT (g_object_get_data (factory, "column"));
}

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer data)
{
  GtkWidget *text = gtk_inscription_new (NULL);
  gboolean figure = GPOINTER_TO_INT (data);

  gtk_inscription_set_xalign (GTK_INSCRIPTION (text), figure ? 1 : 0);
  gtk_inscription_set_text_overflow (GTK_INSCRIPTION (text), GTK_INSCRIPTION_OVERFLOW_ELLIPSIZE_END);
  gtk_inscription_set_min_chars (GTK_INSCRIPTION (text), 3);
  if (figure)
    gtk_widget_add_css_class (text, "figure");
  gtk_list_item_set_child (cell, text);
}

static void
update_cell (GtkListItem *cell, guint column)
{
  TdListingItem *item = gtk_list_item_get_item (cell);
  GtkWidget *text = gtk_list_item_get_child (cell);
  const TdListing *listing = td_row_get_value (TD_ROW (item));

  gtk_inscription_set_text (GTK_INSCRIPTION (text), td_listing_item_get_cell (item, column));
  gtk_accessible_update_property (GTK_ACCESSIBLE (text), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  td_listing_item_get_cell (item, column), -1);
  if (listing != NULL && listing->marked)
    gtk_widget_add_css_class (text, "strong");
  else
    gtk_widget_remove_css_class (text, "strong");
}

static void
bind_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer data)
{
  update_cell (cell, get_column (G_OBJECT (factory)));
}

static void
add_column (TdListingView *self, const TdListingColumn *column, guint index)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  g_autoptr (GtkColumnViewColumn) added = NULL;

  g_object_set_data (G_OBJECT (factory), "column", GUINT_TO_POINTER (index));
  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), GINT_TO_POINTER (column->figure));
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), NULL);
  added = gtk_column_view_column_new (column->title, factory);
  if (column->chars > 0)
    gtk_column_view_column_set_fixed_width (added, column->chars * DIGIT_PX + CELL_PX);
  gtk_column_view_column_set_expand (added, column->chars == 0);
  gtk_column_view_append_column (self->view, added);
}

void
td_listing_view_set_columns (TdListingView *self, const char *label, const TdListingColumn *columns, guint n_columns)
{
  GListModel *old;

  g_return_if_fail (TD_IS_LISTING_VIEW (self) && label != NULL && n_columns <= TD_LISTING_CELLS);
  old = gtk_column_view_get_columns (self->view);
  while (g_list_model_get_n_items (old) > 0)
    {
      g_autoptr (GtkColumnViewColumn) column = g_list_model_get_item (old, 0);

      gtk_column_view_remove_column (self->view, column);
    }
  for (guint i = 0; i < n_columns; i++)
    add_column (self, &columns[i], i);
  /* The list inside is what a screen reader comes to; it does not take the column view's name. */
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (gtk_widget_get_last_child (GTK_WIDGET (self->view))),
                                  GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
}

/* ---- rows ---- */

void
td_listing_view_set_rows (TdListingView *self, GPtrArray *rows, const char *nothing)
{
  GArray *keys;

  g_return_if_fail (TD_IS_LISTING_VIEW (self) && rows != NULL && nothing != NULL);
  keys = g_array_sized_new (FALSE, FALSE, sizeof (gint64), rows->len);
  for (gint64 i = 0; i < (gint64) rows->len; i++)
    g_array_append_val (keys, i);
  g_clear_pointer (&self->rows, g_ptr_array_unref);
  self->rows = rows;
  gtk_label_set_label (self->nothing, nothing);
  gtk_stack_set_visible_child_name (self->stack, rows->len > 0 ? "list" : "nothing");
  /* Keys are places: what stood there before is another row now. */
  td_lazy_list_set_keys (self->list, g_array_new (FALSE, FALSE, sizeof (gint64)));
  td_lazy_list_set_keys (self->list, keys);
}

guint
td_listing_view_get_length (TdListingView *self)
{
  g_return_val_if_fail (TD_IS_LISTING_VIEW (self), 0);
  return self->rows != NULL ? self->rows->len : 0;
}

static void
activate_cb (GtkColumnView *view, guint position, TdListingView *self)
{
  g_autoptr (TdRow) item = g_list_model_get_item (G_LIST_MODEL (self->list), position);

  const TdListing *listing = item != NULL ? td_row_get_value (item) : NULL;

  if (listing != NULL)
    g_signal_emit (self, signals[SIGNAL_ROW_ACTIVATED], 0, listing->key);
}

static void
td_listing_view_dispose (GObject *object)
{
  TdListingView *self = TD_LISTING_VIEW (object);

  if (self->view != NULL)
    gtk_column_view_set_model (self->view, NULL);
  self->view = NULL;
  if (self->stack != NULL)
    gtk_widget_unparent (GTK_WIDGET (self->stack));
  self->stack = NULL;
  g_clear_object (&self->list);
  g_clear_pointer (&self->rows, g_ptr_array_unref);
  G_OBJECT_CLASS (td_listing_view_parent_class)->dispose (object);
}

static void
td_listing_view_class_init (TdListingViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = td_listing_view_dispose;
  signals[SIGNAL_ROW_ACTIVATED] = g_signal_new ("row-activated", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                                NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT64);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
td_listing_view_init (TdListingView *self)
{
  GtkWidget *scroller = gtk_scrolled_window_new ();
  GtkSelectionModel *selection;

  self->list = td_lazy_list_new (TD_TYPE_LISTING_ITEM, fetch, self, NULL);
  selection = GTK_SELECTION_MODEL (gtk_single_selection_new (g_object_ref (G_LIST_MODEL (self->list))));
  gtk_single_selection_set_autoselect (GTK_SINGLE_SELECTION (selection), FALSE);
  gtk_single_selection_set_can_unselect (GTK_SINGLE_SELECTION (selection), TRUE);
  self->view = GTK_COLUMN_VIEW (gtk_column_view_new (selection));
  gtk_column_view_set_single_click_activate (self->view, TRUE);
  gtk_widget_add_css_class (GTK_WIDGET (self->view), "lines");
  g_signal_connect_object (self->view, "activate", G_CALLBACK (activate_cb), self, 0);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), GTK_WIDGET (self->view));
  gtk_widget_add_css_class (scroller, "card");
  gtk_widget_set_overflow (scroller, GTK_OVERFLOW_HIDDEN);
  self->nothing = GTK_LABEL (gtk_label_new (NULL));
  gtk_label_set_wrap (self->nothing, TRUE);
  gtk_widget_add_css_class (GTK_WIDGET (self->nothing), "faint");
  self->stack = GTK_STACK (gtk_stack_new ());
  gtk_stack_add_named (self->stack, scroller, "list");
  gtk_stack_add_named (self->stack, GTK_WIDGET (self->nothing), "nothing");
  gtk_widget_set_parent (GTK_WIDGET (self->stack), GTK_WIDGET (self));
}

GtkWidget *
td_listing_view_new (void)
{
  return g_object_new (TD_TYPE_LISTING_VIEW, NULL);
}
