#include "desk-round-page.h"

#include "desk-chip.h"
#include "desk-clamp.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-lazy.h"
#include "desk-notice.h"
#include "desk-round-job.h"
#include "desk-row-box.h"
#include "desk-setup-form.h"
#include "model-lazy-list.h"

struct _TdRoundPage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  TdRowKeys *keys;
  GPtrArray *rounds; /* TdRound, everything read; NULL before the first time */
  GHashTable *by_key; /* gint64 in a TdRound of rounds -> that */
  TdLazyList *list;
  char *filter;

  GtkWidget *box;
  GtkWidget *tools;
  TdNotice *notice;
  TdSetupForm *setup; /* made for an empty book only */
  GtkSearchEntry *search;
  GtkLabel *count;
  GtkStack *stack;
  GtkListView *view;
};

G_DEFINE_FINAL_TYPE (TdRoundPage, td_round_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_FILTER,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
fetch (TdLazyList *list, TdLazyRequest *request, gpointer user_data)
{
  td_lazy_answer_from_table (list, request, ((TdRoundPage *) user_data)->by_key);
}

static gboolean
passes_filter (TdRoundPage *self, const TdRound *round)
{
  TdRoundState state = td_round_get_state (round);

  if (g_str_equal (self->filter, "open"))
    return state == TD_ROUND_OPEN;
  if (g_str_equal (self->filter, "due"))
    return state <= TD_ROUND_TODAY;
  return TRUE;
}

static void
show_count (TdRoundPage *self, guint shown)
{
  g_autofree char *sites
    = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u site", "%u sites", shown), shown);

  gtk_label_set_label (self->count, sites);
  gtk_widget_set_visible (self->tools, self->rounds->len > 0);
  if (self->rounds->len == 0)
    {
      if (self->setup == NULL)
        {
          self->setup = TD_SETUP_FORM (td_setup_form_new (self->context));
          gtk_stack_add_named (self->stack, GTK_WIDGET (self->setup), "empty");
        }
      gtk_stack_set_visible_child_name (self->stack, "empty");
    }
  else
    gtk_stack_set_visible_child_name (self->stack, shown > 0 ? "list" : "nothing");
}

/* Shows what search and filter let through. A hundred thousand rows take some milliseconds. */
static void
show_rounds (TdRoundPage *self)
{
  g_auto (GStrv) words = td_round_fold_search (gtk_editable_get_text (GTK_EDITABLE (self->search)));
  GArray *keys;

  if (self->rounds == NULL)
    return;
  keys = g_array_sized_new (FALSE, FALSE, sizeof (gint64), self->rounds->len);
  for (guint i = 0; i < self->rounds->len; i++)
    {
      const TdRound *round = g_ptr_array_index (self->rounds, i);

      if (passes_filter (self, round) && td_round_matches (round, words))
        g_array_append_val (keys, round->key);
    }
  show_count (self, keys->len);
  td_lazy_list_set_keys (self->list, keys);
}

static void
loaded_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdRoundPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer rounds = NULL;

  if (!td_queue_run_finish (result, &rounds, &error))
    {
      /* Cancelled: the page is gone, and must not be looked at. */
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The round could not be read."), error);
      return;
    }
  g_hash_table_remove_all (self->by_key);
  g_clear_pointer (&self->rounds, g_ptr_array_unref);
  self->rounds = rounds;
  for (guint i = 0; i < self->rounds->len; i++)
    {
      TdRound *round = g_ptr_array_index (self->rounds, i);

      g_hash_table_insert (self->by_key, &round->key, round);
    }
  show_rounds (self);
}

void
td_round_page_reload (TdRoundPage *self)
{
  g_return_if_fail (TD_IS_ROUND_PAGE (self));
  if (td_context_get_queue (self->context) == NULL)
    return;
  td_context_run_async (self->context, TD_JOB_READ, td_round_job_run,
                        td_round_job_new (self->keys, td_context_get_now_ms (self->context)),
                        td_round_job_free, (GDestroyNotify) g_ptr_array_unref, self->cancellable, loaded_cb,
                        self);
}

static void
search_changed_cb (GtkSearchEntry *entry, TdRoundPage *self)
{
  show_rounds (self);
}

/* Return in the search opens the first site found, as a person expects who has typed its name. */
static void
search_activate_cb (GtkSearchEntry *entry, TdRoundPage *self)
{
  if (g_list_model_get_n_items (G_LIST_MODEL (self->list)) > 0)
    g_signal_emit_by_name (self->view, "activate", 0);
}

static void
search_stopped_cb (GtkSearchEntry *entry, TdRoundPage *self)
{
  gtk_editable_set_text (GTK_EDITABLE (entry), "");
}

static void
row_activated_cb (GtkListView *view, guint position, TdRoundPage *self)
{
  g_autoptr (TdRow) item = g_list_model_get_item (G_LIST_MODEL (self->list), position);
  const TdRound *round = item != NULL ? td_row_get_value (item) : NULL;

  if (round != NULL)
    gtk_widget_activate_action (GTK_WIDGET (self), "win.show-site", "s", round->site_id);
}

static void
td_round_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_FILTER)
    g_value_set_string (value, TD_ROUND_PAGE (object)->filter);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_round_page_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdRoundPage *self = TD_ROUND_PAGE (object);

  if (id != PROP_FILTER)
    {
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
      return;
    }
  if (g_strcmp0 (self->filter, g_value_get_string (value)) == 0)
    return;
  g_free (self->filter);
  self->filter = g_value_dup_string (value);
  show_rounds (self);
  g_object_notify_by_pspec (object, properties[PROP_FILTER]);
}

static void
td_round_page_dispose (GObject *object)
{
  TdRoundPage *self = TD_ROUND_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  if (self->view != NULL)
    gtk_list_view_set_model (self->view, NULL);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  self->view = NULL;
  g_clear_object (&self->list);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_round_page_parent_class)->dispose (object);
}

static void
td_round_page_finalize (GObject *object)
{
  TdRoundPage *self = TD_ROUND_PAGE (object);

  g_clear_object (&self->cancellable);
  g_clear_pointer (&self->keys, td_row_keys_unref);
  g_clear_pointer (&self->by_key, g_hash_table_unref);
  g_clear_pointer (&self->rounds, g_ptr_array_unref);
  g_free (self->filter);
  G_OBJECT_CLASS (td_round_page_parent_class)->finalize (object);
}

static void
td_round_page_class_init (TdRoundPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_round_page_get_property;
  object_class->set_property = td_round_page_set_property;
  object_class->dispose = td_round_page_dispose;
  object_class->finalize = td_round_page_finalize;
  properties[PROP_FILTER]
    = g_param_spec_string ("filter", NULL, NULL, "all",
                           G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);

  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_CHIP);
  g_type_ensure (TD_TYPE_CLAMP);
  g_type_ensure (TD_TYPE_ROW_BOX);
  g_type_ensure (TD_TYPE_ROUND_ITEM);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/round-page.ui");
  td_format_bind (widget_class);
  gtk_widget_class_bind_template_child (widget_class, TdRoundPage, box);
  gtk_widget_class_bind_template_child (widget_class, TdRoundPage, tools);
  gtk_widget_class_bind_template_child (widget_class, TdRoundPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdRoundPage, search);
  gtk_widget_class_bind_template_child (widget_class, TdRoundPage, count);
  gtk_widget_class_bind_template_child (widget_class, TdRoundPage, stack);
  gtk_widget_class_bind_template_child (widget_class, TdRoundPage, view);
  gtk_widget_class_bind_template_callback (widget_class, search_changed_cb);
  gtk_widget_class_bind_template_callback (widget_class, search_activate_cb);
  gtk_widget_class_bind_template_callback (widget_class, search_stopped_cb);
  gtk_widget_class_bind_template_callback (widget_class, row_activated_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_property_action (widget_class, "round.filter", "filter");
}

static void
td_round_page_init (TdRoundPage *self)
{
  self->cancellable = g_cancellable_new ();
  self->keys = td_row_keys_new ();
  self->by_key = g_hash_table_new (g_int64_hash, g_int64_equal);
  self->filter = g_strdup ("all");
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_round_page_new (TdContext *context)
{
  TdRoundPage *self = g_object_new (TD_TYPE_ROUND_PAGE, NULL);

  g_return_val_if_fail (TD_IS_CONTEXT (context), GTK_WIDGET (self));
  self->context = g_object_ref (context);
  self->list = td_lazy_list_new (TD_TYPE_ROUND_ITEM, fetch, self, NULL);
  gtk_list_view_set_model (
    self->view, GTK_SELECTION_MODEL (gtk_no_selection_new (g_object_ref (G_LIST_MODEL (self->list)))));
  g_signal_connect_object (context, "book-changed", G_CALLBACK (td_round_page_reload), self,
                           G_CONNECT_SWAPPED);
  td_round_page_reload (self);
  return GTK_WIDGET (self);
}

void
td_round_page_focus_search (TdRoundPage *self)
{
  g_return_if_fail (TD_IS_ROUND_PAGE (self));
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
}
