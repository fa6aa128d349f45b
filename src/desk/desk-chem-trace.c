#include "desk-chem-view.h"

#include "desk-ask-form.h"
#include "desk-chem-rows.h"
#include "desk-chem-safety.h"
#include "desk-i18n.h"
#include "desk-moment-button.h"
#include "desk-notice.h"

#include "store-zone.h"

struct _TdChemTraceView
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable; /* of the question that is on its way */
  const TdChemLoaded *loaded;
  TdSite *site;
  TdZone *zone;
  TdChemTrace *trace;
  gboolean filling; /* the choices are being set by us */

  GtkWidget *box;
  TdNotice *notice;
  GtkDropDown *lot, *where, *line;
  TdMomentButton *moment;
  GtkLabel *answer;
  TdListingView *table;
  TdAskForm *form;
};

G_DEFINE_FINAL_TYPE (TdChemTraceView, td_chem_trace, GTK_TYPE_WIDGET)

static const char *
get_line_title (TdChemTraceView *self, char **title_out)
{
  guint i = gtk_drop_down_get_selected (self->line);

  if (self->site == NULL || i == 0 || i == GTK_INVALID_LIST_POSITION || i > self->site->n_outlets)
    return NULL;
  if (title_out != NULL)
    *title_out = td_outlet_get_title (self->site, i - 1);
  return self->site->outlets[i - 1].id;
}

static void
show_trace (TdChemTraceView *self)
{
  g_autofree char *title = NULL;
  g_autofree char *answer = NULL;

  td_listing_view_set_rows (self->table, td_chem_make_trace (self->trace->rows), _ ("Nothing is on record."));
  get_line_title (self, &title);
  if (self->trace->moment != NULL && title != NULL)
    answer = td_chem_say_moment (self->trace->moment, self->loaded, title, self->zone);
  gtk_label_set_label (self->answer,
                       answer != NULL ? answer : _ ("Choose a site, a line and a time to see what stood in the line then."));
}

static void
traced_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdChemTraceView *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer trace = NULL;

  if (!td_queue_run_finish (result, &trace, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The trace could not be read."), error);
      return;
    }
  g_clear_pointer (&self->trace, td_chem_trace_free);
  self->trace = trace;
  show_trace (self);
}

static void
ask_again (TdChemTraceView *self)
{
  g_cancellable_cancel (self->cancellable);
  g_clear_object (&self->cancellable);
  self->cancellable = g_cancellable_new ();
}

/* The lot that is chosen, or NULL. */
static const TdLot *
get_lot (TdChemTraceView *self)
{
  guint lot = gtk_drop_down_get_selected (self->lot);

  return self->loaded != NULL && lot > 0 && lot <= self->loaded->masters->n_lots
           ? &self->loaded->masters->lots[lot - 1]
           : NULL;
}

static TdChemAsk *
make_ask (TdChemTraceView *self)
{
  TdChemAsk *ask = td_chem_ask_new (0, 0, td_context_get_now_ms (self->context));
  const TdLot *lot = get_lot (self);
  guint site = gtk_drop_down_get_selected (self->where);
  gint64 at_ms = td_moment_button_get_utc_ms (self->moment);

  if (lot != NULL)
    ask->lot = g_strdup (lot->id);
  if (site > 0 && site <= self->loaded->sites->len)
    ask->site = g_strdup (((const TdSiteRow *) g_ptr_array_index (self->loaded->sites, site - 1))->id);
  ask->line = g_strdup (get_line_title (self, NULL));
  ask->at_ms = ask->line == NULL ? 0 : at_ms != 0 ? at_ms : ask->now_ms;
  return ask;
}

static void
trace (TdChemTraceView *self)
{
  TdChemAsk *ask;

  if (self->loaded == NULL || self->filling || td_context_get_queue (self->context) == NULL)
    return;
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "trace.recall", get_lot (self) != NULL);
  td_ask_form_close (self->form);
  ask = make_ask (self);
  if (ask->lot == NULL && ask->line == NULL)
    {
      td_chem_ask_free (ask);
      td_listing_view_set_rows (self->table, g_ptr_array_new (), _ ("Choose a lot, or a site and a line."));
      return;
    }
  ask_again (self);
  td_context_run_async (self->context, TD_JOB_READ, td_chem_job_trace, ask, td_chem_ask_free, td_chem_trace_free,
                        self->cancellable, traced_cb, self);
}

/* ---- the lines of a site ---- */

static void
show_lines (TdChemTraceView *self)
{
  g_autoptr (GPtrArray) words = g_ptr_array_new_with_free_func (g_free);

  g_ptr_array_add (words, g_strdup (_ ("No line")));
  for (guint i = 0; self->site != NULL && i < self->site->n_outlets; i++)
    g_ptr_array_add (words, td_outlet_get_title (self->site, i));
  g_ptr_array_add (words, NULL);
  self->filling = TRUE;
  td_chem_choice_set (self->line, (const char *const *) words->pdata);
  gtk_drop_down_set_selected (self->line, 0);
  self->filling = FALSE;
  td_moment_button_set_clock (self->moment, self->zone, td_context_get_now_ms (self->context));
}

static void
site_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdChemTraceView *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer site = NULL;

  if (!td_queue_run_finish (result, &site, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The site could not be read."), error);
      return;
    }
  g_clear_pointer (&self->site, td_site_unref);
  g_clear_pointer (&self->zone, td_zone_unref);
  self->site = site;
  self->zone = td_zone_load (self->site->zone, NULL);
  show_lines (self);
}

static void
where_cb (TdChemTraceView *self)
{
  TdChemAsk *ask;

  if (self->loaded == NULL || self->filling)
    return;
  ask = make_ask (self);
  if (ask->site == NULL)
    {
      td_chem_ask_free (ask);
      g_clear_pointer (&self->site, td_site_unref);
      show_lines (self);
      trace (self);
      return;
    }
  ask_again (self);
  td_context_run_async (self->context, TD_JOB_READ, td_chem_job_site, ask, td_chem_ask_free,
                        (GDestroyNotify) td_site_unref, self->cancellable, site_cb, self);
}

void
td_chem_trace_show (TdChemTraceView *self, const TdChemLoaded *loaded)
{
  g_autoptr (GPtrArray) lots = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GPtrArray) sites = g_ptr_array_new ();

  g_return_if_fail (TD_IS_CHEM_TRACE (self));
  self->loaded = loaded;
  if (loaded == NULL)
    return;
  g_ptr_array_add (lots, g_strdup (_ ("No lot")));
  for (guint i = 0; i < loaded->masters->n_lots; i++)
    {
      const TdProduct *product = td_masters_find_product (loaded->masters, loaded->masters->lots[i].product);

      g_ptr_array_add (lots, g_strdup_printf ("%s, %s", loaded->masters->lots[i].code,
                                              product != NULL ? product->name : loaded->masters->lots[i].product));
    }
  g_ptr_array_add (lots, NULL);
  g_ptr_array_add (sites, (gpointer) _ ("No site"));
  for (guint i = 0; i < loaded->sites->len; i++)
    g_ptr_array_add (sites, ((const TdSiteRow *) g_ptr_array_index (loaded->sites, i))->name);
  g_ptr_array_add (sites, NULL);
  self->filling = TRUE;
  td_chem_choice_set (self->lot, (const char *const *) lots->pdata);
  td_chem_choice_set (self->where, (const char *const *) sites->pdata);
  self->filling = FALSE;
  trace (self);
}

static void
row_cb (TdListingView *table, gint64 key, TdChemTraceView *self)
{
  const TdTraceRow *row;
  g_autofree char *id = NULL;

  if (self->trace == NULL || key < 0 || key >= (gint64) self->trace->rows->len)
    return;
  row = g_ptr_array_index (self->trace->rows, (guint) key);
  if (!row->has_visit)
    return;
  id = td_uuid_to_text (&row->visit);
  gtk_widget_activate_action (GTK_WIDGET (self), "win.show-visit", "s", id);
}

static void
recalled_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdChemTraceView) self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    td_notice_show_done (self->notice, _ ("Written down. Its uses, and what is left of it, are among the exceptions."));
  else
    td_notice_show_error (self->notice, _ ("The lot was not marked."), error);
}

static void
restored_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdChemTraceView) self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    td_notice_show_done (self->notice, _ ("Written down. The lot is no longer marked as called back."));
  else
    td_notice_show_error (self->notice, _ ("The lot was not marked."), error);
}

static void
answered_cb (TdAskForm *form, const char *name, TdChemTraceView *self)
{
  const TdLot *lot = get_lot (self);
  gboolean recalled = g_str_equal (name, "recall");

  if (lot != NULL)
    td_chem_safety_recall (self->context, lot->id, recalled, recalled ? recalled_cb : restored_cb, g_object_ref (self));
  td_ask_form_close (form);
}

static void
recall_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdChemTraceView *self = TD_CHEM_TRACE (widget);
  const TdLot *lot = get_lot (self);
  const TdProduct *product = lot != NULL ? td_masters_find_product (self->loaded->masters, lot->product) : NULL;

  if (lot != NULL)
    td_chem_safety_ask_recall (self->form, lot, product != NULL ? product->name : lot->product);
}

void
td_chem_trace_set_context (TdChemTraceView *self, TdContext *context)
{
  g_return_if_fail (TD_IS_CHEM_TRACE (self));
  g_set_object (&self->context, context);
}

static void
td_chem_trace_dispose (GObject *object)
{
  TdChemTraceView *self = TD_CHEM_TRACE (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->cancellable);
  g_clear_object (&self->context);
  g_clear_pointer (&self->site, td_site_unref);
  g_clear_pointer (&self->zone, td_zone_unref);
  g_clear_pointer (&self->trace, td_chem_trace_free);
  G_OBJECT_CLASS (td_chem_trace_parent_class)->dispose (object);
}

static void
td_chem_trace_class_init (TdChemTraceViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = td_chem_trace_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (GTK_WIDGET_CLASS (klass), "trace.recall", NULL, recall_action);
}

static void
td_chem_trace_init (TdChemTraceView *self)
{
  const char *none[] = { _ ("No line"), NULL };
  GtkWidget *bar = td_chem_bar_new ();
  GtkWidget *recall = gtk_button_new_with_label (_ ("Called Back…"));
  guint n = 0;
  const TdListingColumn *columns = td_chem_get_trace_columns (&n);

  self->cancellable = g_cancellable_new ();
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->notice = g_object_new (TD_TYPE_NOTICE, NULL);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->notice));
  self->lot = td_chem_choice_new (_ ("Lot"));
  self->where = td_chem_choice_new (_ ("Site"));
  self->line = td_chem_choice_new (_ ("Line"));
  td_chem_choice_set (self->line, none);
  self->moment = g_object_new (TD_TYPE_MOMENT_BUTTON, NULL);
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->lot));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (recall), "trace.recall");
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "trace.recall", FALSE);
  gtk_box_append (GTK_BOX (bar), recall);
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->where));
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->line));
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->moment));
  gtk_box_append (GTK_BOX (self->box), bar);
  self->answer = GTK_LABEL (gtk_label_new (_ ("Choose a site, a line and a time to see what stood in the line then.")));
  gtk_label_set_wrap (self->answer, TRUE);
  gtk_label_set_xalign (self->answer, 0);
  gtk_widget_set_margin_start (GTK_WIDGET (self->answer), 16);
  gtk_widget_set_margin_end (GTK_WIDGET (self->answer), 16);
  gtk_widget_set_margin_bottom (GTK_WIDGET (self->answer), 8);
  gtk_widget_add_css_class (GTK_WIDGET (self->answer), "strong");
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->answer));
  self->table = TD_LISTING_VIEW (td_listing_view_new ());
  td_listing_view_set_columns (self->table, _ ("Trace"), columns, n);
  gtk_widget_set_vexpand (GTK_WIDGET (self->table), TRUE);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->table));
  self->form = TD_ASK_FORM (td_ask_form_new ());
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->form));
  g_signal_connect_object (self->form, "answered", G_CALLBACK (answered_cb), self, 0);
  g_signal_connect_object (self->lot, "notify::selected", G_CALLBACK (trace), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->where, "notify::selected", G_CALLBACK (where_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->line, "notify::selected", G_CALLBACK (trace), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->moment, "notify::utc-ms", G_CALLBACK (trace), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->table, "row-activated", G_CALLBACK (row_cb), self, 0);
}
