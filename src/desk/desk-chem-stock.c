#include "desk-chem-view.h"

#include "desk-ask-form.h"
#include "desk-chem-rows.h"
#include "desk-chem-safety.h"
#include "desk-choose.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-stock-form.h"


struct _TdChemStock
{
  GtkWidget parent;
  TdContext *context;
  const TdChemLoaded *loaded;
  int chosen; /* in loaded->cells, -1 */

  GtkWidget *box; /* the stack of lists and form */
  GtkDropDown *what, *place;
  TdListingView *table;
  TdStockForm *form;
  TdNotice *notice;
  TdAskForm *ask;
  char *sheet_product, *sheet_path; /* of the safety data sheet that is asked about */
};

G_DEFINE_FINAL_TYPE (TdChemStock, td_chem_stock, GTK_TYPE_WIDGET)

static const char *
get_place (TdChemStock *self)
{
  guint i = gtk_drop_down_get_selected (self->place);

  if (i == 0 || self->loaded == NULL || i == GTK_INVALID_LIST_POSITION || i > self->loaded->places->len)
    return NULL;
  return ((const TdStockPlace *) g_ptr_array_index (self->loaded->places, i - 1))->id;
}

static void
show (TdChemStock *self)
{
  gboolean ledger = gtk_drop_down_get_selected (self->what) == 1;
  guint n = 0;
  const TdListingColumn *columns = ledger ? td_chem_get_ledger_columns (&n) : td_chem_get_stock_columns (&n);

  self->chosen = -1;
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "stock.sheet", FALSE);
  if (self->loaded == NULL)
    return;
  td_listing_view_set_columns (self->table, ledger ? _ ("What came and went") : _ ("What is there"), columns, n);
  td_listing_view_set_rows (self->table,
                            ledger ? td_chem_make_ledger (self->loaded, get_place (self))
                                   : td_chem_make_stock (self->loaded, get_place (self)),
                            _ ("Nothing is there. Write down what came."));
}

void
td_chem_stock_show (TdChemStock *self, const TdChemLoaded *loaded)
{
  g_autoptr (GPtrArray) words = g_ptr_array_new ();

  g_return_if_fail (TD_IS_CHEM_STOCK (self));
  self->loaded = loaded;
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "stock.enter", loaded != NULL);
  if (loaded == NULL)
    return;
  g_ptr_array_add (words, (gpointer) _ ("All places"));
  for (guint i = 0; i < loaded->places->len; i++)
    g_ptr_array_add (words, ((const TdStockPlace *) g_ptr_array_index (loaded->places, i))->name);
  g_ptr_array_add (words, NULL);
  td_chem_choice_set (self->place, (const char *const *) words->pdata);
  show (self);
}

/* What is there of the chosen row, or NULL. */
static const TdStockCell *
get_cell (TdChemStock *self)
{
  return self->loaded != NULL && self->chosen >= 0 && self->chosen < (int) self->loaded->cells->len
           ? &g_array_index (self->loaded->cells, TdStockCell, self->chosen)
           : NULL;
}

static void
row_cb (TdListingView *table, gint64 key, TdChemStock *self)
{
  self->chosen = gtk_drop_down_get_selected (self->what) == 0 ? (int) key : -1;
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "stock.sheet", get_cell (self) != NULL);
}

/* ---- the safety data sheet of the chosen row's product ---- */

static void
kept_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdChemStock) self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    {
      td_ask_form_close (self->ask);
      td_notice_show_done (self->notice, _ ("The safety data sheet is kept."));
    }
  else
    td_notice_show_error (self->notice, _ ("The safety data sheet was not kept."), error);
}

static void
answered_cb (TdAskForm *ask, const char *name, TdChemStock *self)
{
  gpointer held = g_object_ref (self);

  if (!td_chem_safety_keep_sheet (ask, self->context, self->sheet_product, self->sheet_path, kept_cb, held))
    g_object_unref (held);
}

void
td_chem_stock_take_sheet (TdChemStock *self, const char *product, const char *path)
{
  const TdProduct *known;

  g_return_if_fail (TD_IS_CHEM_STOCK (self) && product != NULL && path != NULL);
  if (self->loaded == NULL)
    return;
  g_free (self->sheet_product);
  g_free (self->sheet_path);
  self->sheet_product = g_strdup (product);
  self->sheet_path = g_strdup (path);
  known = td_masters_find_product (self->loaded->masters, product);
  td_chem_safety_ask_sheet (self->ask, known != NULL ? known->name : product, path);
}

static void
sheet_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autoptr (GFile) file = g_list_model_get_item (files, 0);
  g_autofree char *path = g_file_get_path (file);

  if (path != NULL)
    td_chem_stock_take_sheet (TD_CHEM_STOCK (widget), user_data, path);
}

static void
sheet_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdChemStock *self = TD_CHEM_STOCK (widget);
  const TdStockCell *cell = get_cell (self);

  /* The list may be read anew while the desktop asks for the file: the product's name is copied. */
  if (cell != NULL)
    td_choose_files (widget, TD_CHOOSE_OPEN, TD_CHOOSE_PDF, _ ("Safety Data Sheet"), NULL, sheet_chosen,
                     g_strdup (cell->product), g_free);
}

static void
enter_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdChemStock *self = TD_CHEM_STOCK (widget);
  const TdStockCell *cell = get_cell (self);
  TdMoveKind kind;

  if (self->loaded == NULL || !td_move_kind_from_text (g_variant_get_string (parameter, NULL), &kind)
      || kind == TD_MOVE_USE)
    return;
  gtk_stack_set_visible_child_name (GTK_STACK (self->box), "form");
  td_stock_form_start (self->form, self->loaded, kind, cell != NULL ? cell->place : get_place (self),
                       cell != NULL ? cell->product : NULL, cell != NULL ? cell->lot : NULL);
}

static void
finished_cb (TdStockForm *form, TdChemStock *self)
{
  gtk_stack_set_visible_child_name (GTK_STACK (self->box), "list");
}

void
td_chem_stock_set_context (TdChemStock *self, TdContext *context)
{
  g_return_if_fail (TD_IS_CHEM_STOCK (self));
  g_set_object (&self->context, context);
  td_stock_form_set_context (self->form, context);
}

static void
td_chem_stock_dispose (GObject *object)
{
  TdChemStock *self = TD_CHEM_STOCK (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->context);
  g_clear_pointer (&self->sheet_product, g_free);
  g_clear_pointer (&self->sheet_path, g_free);
  G_OBJECT_CLASS (td_chem_stock_parent_class)->dispose (object);
}

static void
td_chem_stock_class_init (TdChemStockClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_chem_stock_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "stock.enter", "s", enter_action);
  gtk_widget_class_install_action (widget_class, "stock.sheet", NULL, sheet_action);
}

static GtkWidget *
make_buttons (void)
{
  static const struct
  {
    const char *label;
    const char *kind;
  } buttons[] = { { N_ ("Came…"), "receipt" },
                  { N_ ("Moved…"), "transfer" },
                  { N_ ("Disposed…"), "disposal" },
                  { N_ ("Counted…"), "count" } };
  GtkWidget *bar = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_box_set_homogeneous (GTK_BOX (bar), TRUE);
  gtk_widget_add_css_class (bar, "act-bar");
  for (gsize i = 0; i < G_N_ELEMENTS (buttons); i++)
    {
      GtkWidget *button = gtk_button_new_with_label (_ (buttons[i].label));

      gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", buttons[i].kind);
      gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "stock.enter");
      gtk_widget_add_css_class (button, "act");
      gtk_box_append (GTK_BOX (bar), button);
    }
  return bar;
}

static void
td_chem_stock_init (TdChemStock *self)
{
  const char *what[] = { _ ("What is there"), _ ("What came and went"), NULL };
  GtkWidget *list = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *bar = td_chem_bar_new ();
  GtkWidget *sheet = gtk_button_new_with_label (_ ("Safety Data Sheet…"));

  self->chosen = -1;
  self->box = gtk_stack_new ();
  gtk_stack_set_vhomogeneous (GTK_STACK (self->box), FALSE);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->what = td_chem_choice_new (_ ("List"));
  td_chem_choice_set (self->what, what);
  self->place = td_chem_choice_new (_ ("Place"));
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->what));
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->place));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (sheet), "stock.sheet");
  gtk_widget_set_tooltip_text (sheet, _ ("Keeps the sheet of the chosen row's product"));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "stock.sheet", FALSE);
  gtk_box_append (GTK_BOX (bar), sheet);
  self->notice = g_object_new (TD_TYPE_NOTICE, NULL);
  gtk_box_append (GTK_BOX (list), GTK_WIDGET (self->notice));
  gtk_box_append (GTK_BOX (list), bar);
  self->table = TD_LISTING_VIEW (td_listing_view_new ());
  gtk_widget_set_vexpand (GTK_WIDGET (self->table), TRUE);
  gtk_box_append (GTK_BOX (list), GTK_WIDGET (self->table));
  self->ask = TD_ASK_FORM (td_ask_form_new ());
  gtk_box_append (GTK_BOX (list), GTK_WIDGET (self->ask));
  g_signal_connect_object (self->ask, "answered", G_CALLBACK (answered_cb), self, 0);
  gtk_box_append (GTK_BOX (list), make_buttons ());
  gtk_stack_add_named (GTK_STACK (self->box), list, "list");
  self->form = TD_STOCK_FORM (td_stock_form_new ());
  gtk_stack_add_named (GTK_STACK (self->box), GTK_WIDGET (self->form), "form");
  g_signal_connect_object (self->what, "notify::selected", G_CALLBACK (show), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->place, "notify::selected", G_CALLBACK (show), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->table, "row-activated", G_CALLBACK (row_cb), self, 0);
  g_signal_connect_object (self->form, "finished", G_CALLBACK (finished_cb), self, 0);
}
