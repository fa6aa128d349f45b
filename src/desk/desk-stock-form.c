#include "desk-stock-form.h"

#include "desk-chem-view.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-moment-button.h"
#include "desk-notice.h"

#include "core-money.h"
#include "core-slug.h"
#include "store-zone.h"

#include <string.h>


enum
{
  FIELD_AMOUNT,
  FIELD_CODE,
  FIELD_EXPIRY,
  FIELD_PACKAGE,
  FIELD_COST,
  FIELD_REASON,
  FIELD_PERSON,
  N_FIELDS
};

static const char *const field_names[N_FIELDS] = {
  [FIELD_AMOUNT] = N_ ("How much, with its unit: 5 L"),
  [FIELD_CODE] = N_ ("Code on the container of a new lot"),
  [FIELD_EXPIRY] = N_ ("Use by, as 2027-06-30"),
  [FIELD_PACKAGE] = N_ ("Size of one package, with its unit"),
  [FIELD_COST] = N_ ("Cost, as 45.00 EUR"),
  [FIELD_REASON] = N_ ("Reason"),
  [FIELD_PERSON] = N_ ("By whom"),
};

struct _TdStockForm
{
  GtkWidget parent;
  TdContext *context;
  TdMasters *masters;
  char **places;     /* ids */
  char **lots;       /* ids of the lots offered, the last one "" for a new one */
  TdMoveKind kind;
  TdZone *zone;

  GtkWidget *box;
  TdNotice *notice;
  GtkLabel *title;
  GtkDropDown *product, *lot, *place, *to;
  GtkWidget *rows[4];   /* of the drop-downs, with their labels */
  GtkEntry *fields[N_FIELDS];
  GtkWidget *field_rows[N_FIELDS];
  TdMomentButton *moment;
};

G_DEFINE_FINAL_TYPE (TdStockForm, td_stock_form, GTK_TYPE_WIDGET)

static guint finished_signal;

static char *
get_field (TdStockForm *self, guint field)
{
  char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->fields[field]))));

  if (*text == '\0')
    g_clear_pointer (&text, g_free);
  return text;
}

static const TdProduct *
get_product (TdStockForm *self)
{
  guint i = gtk_drop_down_get_selected (self->product);

  return self->masters != NULL && i < self->masters->n_products ? &self->masters->products[i] : NULL;
}

/* ---- what is chosen ---- */

static void
show_fields (TdStockForm *self)
{
  gboolean receipt = self->kind == TD_MOVE_RECEIPT;
  guint lot = gtk_drop_down_get_selected (self->lot);
  gboolean new_lot = receipt && self->lots != NULL && lot < g_strv_length (self->lots) && *self->lots[lot] == '\0';

  gtk_widget_set_visible (self->rows[3], self->kind == TD_MOVE_TRANSFER);
  gtk_widget_set_visible (self->field_rows[FIELD_CODE], new_lot);
  gtk_widget_set_visible (self->field_rows[FIELD_EXPIRY], new_lot);
  gtk_widget_set_visible (self->field_rows[FIELD_PACKAGE], receipt);
  gtk_widget_set_visible (self->field_rows[FIELD_COST], receipt);
  gtk_widget_set_visible (self->field_rows[FIELD_REASON], !receipt && self->kind != TD_MOVE_TRANSFER);
}

/* The lots of the chosen product; of a receipt also a new one. */
static void
show_lots (TdStockForm *self)
{
  const TdProduct *product = get_product (self);
  g_autoptr (GPtrArray) ids = g_ptr_array_new ();
  g_autoptr (GPtrArray) words = g_ptr_array_new ();

  for (guint i = 0; product != NULL && i < self->masters->n_lots; i++)
    if (strcmp (self->masters->lots[i].product, product->id) == 0 && !self->masters->lots[i].retired)
      {
        g_ptr_array_add (ids, g_strdup (self->masters->lots[i].id));
        g_ptr_array_add (words, self->masters->lots[i].code);
      }
  if (self->kind == TD_MOVE_RECEIPT || ids->len == 0)
    {
      g_ptr_array_add (ids, g_strdup (""));
      g_ptr_array_add (words, (gpointer) _ ("A new lot"));
    }
  g_ptr_array_add (ids, NULL);
  g_ptr_array_add (words, NULL);
  g_strfreev (self->lots);
  self->lots = (char **) g_ptr_array_free (g_steal_pointer (&ids), FALSE);
  td_chem_choice_set (self->lot, (const char *const *) words->pdata);
  show_fields (self);
}

static void
select_id (GtkDropDown *choice, char *const *ids, const char *id)
{
  for (guint i = 0; ids != NULL && id != NULL && ids[i] != NULL; i++)
    if (strcmp (ids[i], id) == 0)
      gtk_drop_down_set_selected (choice, i);
}

static void
fill_places (TdStockForm *self, const TdChemLoaded *loaded)
{
  g_autoptr (GPtrArray) ids = g_ptr_array_new ();
  g_autoptr (GPtrArray) words = g_ptr_array_new ();

  for (guint i = 0; i < loaded->places->len; i++)
    {
      const TdStockPlace *place = g_ptr_array_index (loaded->places, i);

      g_ptr_array_add (ids, g_strdup (place->id));
      g_ptr_array_add (words, place->name);
    }
  if (ids->len == 0)
    {
      g_ptr_array_add (ids, g_strdup (TD_STORE_ID));
      g_ptr_array_add (words, (gpointer) _ ("Store"));
    }
  g_ptr_array_add (ids, NULL);
  g_ptr_array_add (words, NULL);
  g_strfreev (self->places);
  self->places = (char **) g_ptr_array_free (g_steal_pointer (&ids), FALSE);
  td_chem_choice_set (self->place, (const char *const *) words->pdata);
  td_chem_choice_set (self->to, (const char *const *) words->pdata);
}

static void
fill_products (TdStockForm *self)
{
  g_autoptr (GPtrArray) words = g_ptr_array_new ();

  for (guint i = 0; i < self->masters->n_products; i++)
    g_ptr_array_add (words, self->masters->products[i].name);
  g_ptr_array_add (words, NULL);
  td_chem_choice_set (self->product, (const char *const *) words->pdata);
}

void
td_stock_form_start (TdStockForm *self, const TdChemLoaded *loaded, TdMoveKind kind, const char *place,
                     const char *product, const char *lot)
{
  static const char *const titles[TD_N_MOVES] = {
    [TD_MOVE_RECEIPT] = N_ ("What came"),
    [TD_MOVE_TRANSFER] = N_ ("What goes to another place"),
    [TD_MOVE_DISPOSAL] = N_ ("What was disposed of"),
    [TD_MOVE_COUNT] = N_ ("What was counted"),
  };

  g_return_if_fail (TD_IS_STOCK_FORM (self) && loaded != NULL && kind != TD_MOVE_USE);
  self->kind = kind;
  g_clear_pointer (&self->masters, td_masters_unref);
  self->masters = td_masters_ref (loaded->masters);
  td_notice_clear (self->notice);
  gtk_label_set_label (self->title, _ (titles[kind]));
  for (guint i = 0; i < N_FIELDS; i++)
    if (i != FIELD_PERSON)
      gtk_editable_set_text (GTK_EDITABLE (self->fields[i]), "");
  fill_places (self, loaded);
  fill_products (self);
  for (guint i = 0; product != NULL && i < self->masters->n_products; i++)
    if (strcmp (self->masters->products[i].id, product) == 0)
      gtk_drop_down_set_selected (self->product, i);
  show_lots (self);
  select_id (self->place, self->places, place);
  select_id (self->lot, self->lots, lot);
  td_moment_button_set_clock (self->moment, self->zone, td_context_get_now_ms (self->context));
  td_moment_button_set_utc_ms (self->moment, 0);
  gtk_widget_grab_focus (GTK_WIDGET (self->fields[FIELD_AMOUNT]));
}

/* ---- writing ---- */

typedef struct
{
  TdStockDraft draft;
  GStringChunk *texts;
} Job;

static void
job_free (gpointer data)
{
  g_string_chunk_free (((Job *) data)->texts);
  g_free (data);
}

static gboolean
job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  return td_book_add_movement (book, &((Job *) data)->draft, NULL, error);
}

static void
written_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdStockForm) self = user_data;
  g_autoptr (GError) error = NULL;

  gtk_widget_action_set_enabled (GTK_WIDGET (self), "stock-form.save", TRUE);
  if (td_queue_run_finish (result, NULL, &error))
    g_signal_emit (self, finished_signal, 0);
  else
    td_notice_show_error (self->notice, _ ("Nothing was written."), error);
}

static const char *
keep (Job *job, const char *text)
{
  return text != NULL ? g_string_chunk_insert (job->texts, text) : NULL;
}

/* The name of a technician as typed stands for the id. */
static const char *
find_person (TdStockForm *self, const char *typed)
{
  for (guint i = 0; typed != NULL && i < self->masters->n_technicians; i++)
    if (g_utf8_collate (self->masters->technicians[i].name, typed) == 0)
      return self->masters->technicians[i].id;
  return typed;
}

static gboolean
read_volume (TdStockForm *self, guint field, gint64 *ml_out, GError **error)
{
  g_autofree char *text = get_field (self, field);
  double value = 0;

  *ml_out = 0;
  if (text == NULL && field != FIELD_AMOUNT)
    return TRUE;
  if (!td_quantity_parse (TD_QUANTITY_VOLUME, text != NULL ? text : "", td_format_get_style (), &value, error))
    return FALSE;
  *ml_out = td_quantity_to_stored (TD_QUANTITY_VOLUME, value);
  return TRUE;
}

/* "45.00 EUR": the figure, then the currency. */
static gboolean
read_cost (TdStockForm *self, Job *job, GError **error)
{
  g_autofree char *text = get_field (self, FIELD_COST);
  g_auto (GStrv) words = NULL;

  job->draft.cost_minor = -1;
  if (text == NULL)
    return TRUE;
  words = g_strsplit_set (text, " ", 2);
  job->draft.currency = keep (job, words[1] != NULL ? g_strstrip (words[1]) : "EUR");
  return td_money_parse (words[0], job->draft.currency, &job->draft.cost_minor, error);
}

static gboolean
read_lot (TdStockForm *self, Job *job, GError **error)
{
  guint i = gtk_drop_down_get_selected (self->lot);
  g_autofree char *code = get_field (self, FIELD_CODE);
  g_autofree char *expiry = get_field (self, FIELD_EXPIRY);
  g_autofree char *id = NULL;

  job->draft.lot_expiry = TD_DATE_NONE;
  if (self->lots != NULL && i < g_strv_length (self->lots) && *self->lots[i] != '\0')
    {
      job->draft.lot = keep (job, self->lots[i]);
      return TRUE;
    }
  if (code == NULL)
    return TRUE; /* the book says what is missing */
  id = td_slug_from_text (code);
  job->draft.lot = keep (job, id);
  job->draft.lot_code = keep (job, code);
  return expiry == NULL || td_date_parse (expiry, &job->draft.lot_expiry, error);
}

static gboolean
fill_job (TdStockForm *self, Job *job, GError **error)
{
  const TdProduct *product = get_product (self);
  g_autofree char *reason = get_field (self, FIELD_REASON);
  g_autofree char *person = get_field (self, FIELD_PERSON);
  guint place = gtk_drop_down_get_selected (self->place), to = gtk_drop_down_get_selected (self->to);
  gint64 at_ms = td_moment_button_get_utc_ms (self->moment);

  job->draft.kind = self->kind;
  job->draft.product = keep (job, product != NULL ? product->id : "");
  job->draft.place = keep (job, self->places[place]);
  job->draft.to = self->kind == TD_MOVE_TRANSFER ? keep (job, self->places[to]) : NULL;
  job->draft.reason = keep (job, reason);
  job->draft.person = keep (job, person != NULL ? find_person (self, person) : _ ("not said"));
  job->draft.happened.utc_ms = at_ms != 0 ? at_ms : td_context_get_now_ms (self->context);
  job->draft.happened.offset_min = self->zone != NULL ? td_zone_get_offset (self->zone, job->draft.happened.utc_ms) : 0;
  return read_volume (self, FIELD_AMOUNT, &job->draft.amount_ml, error)
         && read_volume (self, FIELD_PACKAGE, &job->draft.container_ml, error) && read_cost (self, job, error)
         && read_lot (self, job, error);
}

static void
save_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdStockForm *self = TD_STOCK_FORM (widget);
  Job *job = g_new0 (Job, 1);
  g_autoptr (GError) error = NULL;

  job->texts = g_string_chunk_new (128);
  if (!fill_job (self, job, &error))
    {
      job_free (job);
      td_notice_show_error (self->notice, _ ("Nothing was written."), error);
      return;
    }
  gtk_widget_action_set_enabled (widget, "stock-form.save", FALSE);
  td_context_run_async (self->context, TD_JOB_WRITE, job_run, job, job_free, NULL, NULL, written_cb,
                        g_object_ref (self));
}

static void
give_up_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_signal_emit (widget, finished_signal, 0);
}

/* ---- the widget ---- */

static GtkWidget *
make_row (const char *label, GtkWidget *field)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  GtkWidget *words = gtk_label_new (label);

  gtk_label_set_xalign (GTK_LABEL (words), 0);
  gtk_widget_add_css_class (words, "strong");
  gtk_accessible_update_property (GTK_ACCESSIBLE (field), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_widget_set_tooltip_text (field, NULL);
  gtk_box_append (GTK_BOX (row), words);
  gtk_box_append (GTK_BOX (row), field);
  return row;
}

static GtkWidget *
make_fields (TdStockForm *self)
{
  static const char *const choices[4] = { N_ ("Product"), N_ ("Lot"), N_ ("Place"), N_ ("To") };
  GtkDropDown **drops[4] = { &self->product, &self->lot, &self->place, &self->to };
  GtkWidget *columns = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 32);
  GtkWidget *sides[2];

  gtk_box_set_homogeneous (GTK_BOX (columns), TRUE);
  gtk_widget_set_margin_start (columns, 24);
  gtk_widget_set_margin_end (columns, 24);
  for (guint i = 0; i < 2; i++)
    {
      sides[i] = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
      gtk_box_append (GTK_BOX (columns), sides[i]);
    }
  for (guint i = 0; i < 4; i++)
    {
      *drops[i] = td_chem_choice_new (_ (choices[i]));
      self->rows[i] = make_row (_ (choices[i]), GTK_WIDGET (*drops[i]));
      gtk_box_append (GTK_BOX (sides[0]), self->rows[i]);
    }
  for (guint i = 0; i < N_FIELDS; i++)
    {
      self->fields[i] = GTK_ENTRY (gtk_entry_new ());
      self->field_rows[i] = make_row (_ (field_names[i]), GTK_WIDGET (self->fields[i]));
      gtk_box_append (GTK_BOX (sides[i <= FIELD_EXPIRY && i != FIELD_AMOUNT ? 0 : 1]), self->field_rows[i]);
    }
  self->moment = g_object_new (TD_TYPE_MOMENT_BUTTON, "prefix", _ ("When"), NULL);
  gtk_box_append (GTK_BOX (sides[1]), GTK_WIDGET (self->moment));
  return columns;
}

static void
td_stock_form_dispose (GObject *object)
{
  TdStockForm *self = TD_STOCK_FORM (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->context);
  g_clear_pointer (&self->masters, td_masters_unref);
  g_clear_pointer (&self->places, g_strfreev);
  g_clear_pointer (&self->lots, g_strfreev);
  g_clear_pointer (&self->zone, td_zone_unref);
  G_OBJECT_CLASS (td_stock_form_parent_class)->dispose (object);
}

static void
td_stock_form_class_init (TdStockFormClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_stock_form_dispose;
  finished_signal
    = g_signal_new ("finished", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "stock-form.save", NULL, save_action);
  gtk_widget_class_install_action (widget_class, "stock-form.give-up", NULL, give_up_action);
}

/* The zone of the machine: movements happen where the book is. */
static TdZone *
load_zone (void)
{
  g_autoptr (GTimeZone) local = g_time_zone_new_local ();

  return td_zone_load (g_time_zone_get_identifier (local), NULL);
}

static void
td_stock_form_init (TdStockForm *self)
{
  GtkWidget *scroller = gtk_scrolled_window_new ();
  GtkWidget *bar = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *save = gtk_button_new_with_label (_ ("Write it down"));
  GtkWidget *give_up = gtk_button_new_with_label (_ ("Give up"));

  self->zone = load_zone ();
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->notice = g_object_new (TD_TYPE_NOTICE, NULL);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->notice));
  self->title = GTK_LABEL (gtk_label_new (NULL));
  gtk_widget_add_css_class (GTK_WIDGET (self->title), "strong");
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->title));
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), make_fields (self));
  gtk_widget_set_vexpand (scroller, TRUE);
  gtk_box_append (GTK_BOX (self->box), scroller);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (save), "stock-form.save");
  gtk_widget_add_css_class (save, "act");
  gtk_widget_set_hexpand (save, TRUE);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (give_up), "stock-form.give-up");
  gtk_widget_add_css_class (bar, "act-bar");
  gtk_box_append (GTK_BOX (bar), give_up);
  gtk_box_append (GTK_BOX (bar), save);
  gtk_box_append (GTK_BOX (self->box), bar);
  g_signal_connect_object (self->product, "notify::selected", G_CALLBACK (show_lots), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->lot, "notify::selected", G_CALLBACK (show_fields), self, G_CONNECT_SWAPPED);
}

GtkWidget *
td_stock_form_new (void)
{
  return g_object_new (TD_TYPE_STOCK_FORM, NULL);
}

void
td_stock_form_set_context (TdStockForm *self, TdContext *context)
{
  g_return_if_fail (TD_IS_STOCK_FORM (self));
  g_set_object (&self->context, context);
}
