#include "desk-site-page.h"

#include "core-json-build.h"
#include "desk-ask-form.h"
#include "desk-bar-paper.h"
#include "desk-begin-form.h"
#include "desk-chip.h"
#include "desk-choose.h"
#include "desk-clamp.h"
#include "desk-document-view.h"
#include "desk-extract.h"
#include "desk-format.h"
#include "desk-history-job.h"
#include "desk-history-view.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-page.h"
#include "desk-round-note.h"
#include "desk-row-box.h"
#include "desk-site-job.h"
#include "desk-tower-view.h"
#include "model-line.h"
#include "model-visit.h"

struct _TdSitePage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  char *site_id;
  TdSiteLoaded *loaded;
  TdRoundItem *round; /* what the strip at the top is bound to */
  int chosen;

  GtkWidget *box;
  TdNotice *notice;
  TdAskForm *ask;
  GtkStack *stack;
  GtkSingleSelection *lines;
  GtkNoSelection *visits;
  GtkColumnView *line_view;
  TdTowerView *drawing;
  TdBeginForm *form;
  GtkStack *act;
  TdDocumentView *extract;
  gboolean extract_stale;
  TdHistoryView *history;
  TdDocumentView *paper;
};

G_DEFINE_FINAL_TYPE (TdSitePage, td_site_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUBTITLE,
  PROP_CHOSEN,
  PROP_LOADED,
  PROP_ROUND,
  PROP_ASKING,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

/* Position of an outlet in the line list, or GTK_INVALID_LIST_POSITION. */
static guint
find_position (TdSitePage *self, int outlet)
{
  GListModel *model = G_LIST_MODEL (self->lines);
  guint n = g_list_model_get_n_items (model);

  for (guint i = 0; outlet >= 0 && i < n; i++)
    {
      g_autoptr (TdLineItem) item = g_list_model_get_item (model, i);

      if ((int) td_line_item_get_outlet (item) == outlet)
        return i;
    }
  return GTK_INVALID_LIST_POSITION;
}

/* The list itself, which alone knows this action, is the last child of the column view. */
static void
scroll_to (TdSitePage *self, guint position)
{
  gtk_widget_activate_action (gtk_widget_get_last_child (GTK_WIDGET (self->line_view)), "list.scroll-to-item", "u",
                              position);
}

/* The one choice that list and drawing share. */
static void
choose (TdSitePage *self, int outlet)
{
  guint position = find_position (self, outlet);

  if (self->chosen == outlet)
    return;
  self->chosen = outlet;
  gtk_single_selection_set_selected (self->lines, position);
  td_tower_view_set_chosen (self->drawing, outlet);
  if (position != GTK_INVALID_LIST_POSITION)
    scroll_to (self, position);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_CHOSEN]);
}

static void
line_selected_cb (GtkSingleSelection *lines, GParamSpec *pspec, TdSitePage *self)
{
  TdLineItem *item = gtk_single_selection_get_selected_item (lines);

  choose (self, item != NULL ? (int) td_line_item_get_outlet (item) : -1);
}

static void
drawing_chosen_cb (TdTowerView *drawing, GParamSpec *pspec, TdSitePage *self)
{
  choose (self, td_tower_view_get_chosen (drawing));
}

static void
show_lines (TdSitePage *self)
{
  g_autoptr (GListModel) lines = td_line_list_new (self->loaded->site);
  int chosen = self->chosen < (int) self->loaded->site->n_outlets ? self->chosen : -1;

  gtk_single_selection_set_model (self->lines, lines);
  td_tower_view_set_sheet (self->drawing, td_run_sheet_new (self->loaded->site));
  self->chosen = -2; /* neither list nor drawing shows a choice now */
  choose (self, chosen);
}

static void
show_visits (TdSitePage *self)
{
  g_autoptr (GListStore) store = g_list_store_new (TD_TYPE_VISIT_ITEM);

  for (guint i = 0; i < self->loaded->visits->len; i++)
    {
      TdVisitBrief *brief = g_ptr_array_index (self->loaded->visits, i);
      g_autoptr (TdRow) item = g_object_new (TD_TYPE_VISIT_ITEM, "key", brief->key, NULL);

      td_row_set_value (item, brief);
      g_list_store_append (store, item);
    }
  gtk_no_selection_set_model (self->visits, G_LIST_MODEL (store));
}

/* Read when somebody looks at it. */
static void
update_extract (TdSitePage *self)
{
  if (!self->extract_stale || td_context_get_queue (self->context) == NULL
      || g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "extract") != 0)
    return;
  self->extract_stale = FALSE;
  td_extract_show (self->extract, self->context, self->site_id, self->cancellable);
}

static void
history_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdSitePage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer history = NULL;

  if (td_queue_run_finish (result, &history, &error))
    td_history_view_set_history (self->history, self->loaded->site, history);
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    td_notice_show_error (self->notice, _ ("The history could not be read."), error);
}

/* Whole visits are read for it: only while somebody looks. */
static void
shown_cb (TdSitePage *self)
{
  if (self->ask != NULL && g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "ask") != 0)
    td_ask_form_close (self->ask);
  if (self->loaded == NULL || td_context_get_queue (self->context) == NULL
      || g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "history") != 0)
    return;
  td_context_run_async (self->context, TD_JOB_READ, td_history_job, g_strdup (self->site_id), g_free,
                        td_history_free, self->cancellable, history_cb, self);
}

static void
loaded_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdSitePage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer loaded = NULL;

  if (!td_queue_run_finish (result, &loaded, &error))
    {
      /* Cancelled: the page is gone, and must not be looked at. */
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The site could not be read."), error);
      return;
    }
  g_clear_pointer (&self->loaded, td_site_loaded_free);
  self->loaded = loaded;
  td_row_set_value (TD_ROW (self->round), self->loaded->round);
  show_lines (self);
  show_visits (self);
  self->extract_stale = TRUE;
  update_extract (self);
  shown_cb (self);
  td_begin_form_set_site (self->form, self->site_id, self->loaded->site, self->loaded->masters);
  gtk_stack_set_visible_child_name (self->act, self->loaded->round->open ? "continue" : "begin");
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "site.begin", !self->loaded->round->open);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "site.continue", self->loaded->round->open);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "site.account", self->loaded->account_id != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "site.miss", TRUE);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "site.move", TRUE);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TITLE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_SUBTITLE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
}

static void
reload (TdSitePage *self)
{
  if (td_context_get_queue (self->context) == NULL)
    return;
  td_context_run_async (self->context, TD_JOB_READ, td_site_job_run,
                        td_site_job_new (self->site_id, td_context_get_now_ms (self->context)),
                        td_site_job_free, td_site_loaded_free, self->cancellable, loaded_cb, self);
}

/* Units changed: every figure is written anew. */
static void
units_changed_cb (TdSitePage *self)
{
  if (self->loaded != NULL)
    show_lines (self);
}

static void
visit_activated_cb (GtkListView *view, guint position, TdSitePage *self)
{
  g_autoptr (TdRow) item = g_list_model_get_item (G_LIST_MODEL (self->visits), position);
  const TdVisitBrief *brief = td_row_get_value (item);
  g_autofree char *id = td_uuid_to_text (&brief->id);

  gtk_widget_activate_action (GTK_WIDGET (self), "win.show-visit", "s", id);
}

static void
begun_cb (TdBeginForm *form, const char *visit, TdSitePage *self)
{
  gtk_stack_set_visible_child_name (self->stack, "lines");
  gtk_widget_activate_action (GTK_WIDGET (self), "win.show-visit", "s", visit);
}

static void
given_up_cb (TdBeginForm *form, TdSitePage *self)
{
  gtk_stack_set_visible_child_name (self->stack, "lines");
}

static void
begin_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdSitePage *self = TD_SITE_PAGE (widget);

  gtk_stack_set_visible_child_name (self->stack, "begin");
  td_begin_form_start (self->form);
}

static void
continue_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdSitePage *self = TD_SITE_PAGE (widget);
  g_autofree char *id = td_uuid_to_text (&self->loaded->round->open_visit);

  gtk_widget_activate_action (widget, "win.show-visit", "s", id);
}

static void
show_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  const char *child = g_variant_get_string (parameter, NULL);

  if (g_str_equal (child, "lines") || g_str_equal (child, "visits") || g_str_equal (child, "history")
      || g_str_equal (child, "extract"))
    gtk_stack_set_visible_child_name (TD_SITE_PAGE (widget)->stack, child);
}

static void
edit_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autofree char *where = g_strconcat ("sites:", TD_SITE_PAGE (widget)->site_id, NULL);

  gtk_widget_activate_action (widget, "win.show-records", "s", where);
}

static void
account_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  gtk_widget_activate_action (widget, "win.show-account", "s", TD_SITE_PAGE (widget)->loaded->account_id);
}

static void
note_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdSitePage *self = TD_SITE_PAGE (widget);

  gtk_stack_set_visible_child_name (self->stack, "ask");
  td_round_note_ask (self->ask, self->context, self->loaded->round, g_str_equal (name, "site.move"));
}

static void
noted_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdSitePage *self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    {
      td_ask_form_close (self->ask);
      td_notice_show_done (self->notice, _ ("Written down. It is shown until somebody arrives at the site."));
    }
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    td_notice_show_error (self->notice, _ ("It was not written down."), error);
}

static void
asking_cb (TdSitePage *self)
{
  if (!gtk_widget_get_visible (GTK_WIDGET (self->ask))
      && g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "ask") == 0)
    gtk_stack_set_visible_child_name (self->stack, "lines");
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ASKING]);
}

static void
answered_cb (TdAskForm *form, const char *name, TdSitePage *self)
{
  td_round_note_write (form, self->context, self->site_id, g_str_equal (name, "move"), self->cancellable, noted_cb, self);
}

static void
show_paper (TdSitePage *self, TdBarPaper what)
{
  g_autoptr (GError) error = NULL;

  if (self->loaded == NULL)
    return;
  if (!td_bar_paper_show (self->paper, what, self->loaded->site, self->loaded->masters,
                          td_context_get_settings (self->context), td_context_get_now_ms (self->context), &error))
    td_document_view_set_error (self->paper, error);
  gtk_stack_set_visible_child_name (self->stack, "paper");
}

static void
line_map_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  show_paper (TD_SITE_PAGE (widget), TD_BAR_LINE_MAP);
}

static void
labels_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  show_paper (TD_SITE_PAGE (widget), TD_BAR_LABELS);
}

gboolean
td_site_page_export (TdSitePage *self, const char *path)
{
  g_autoptr (TdJson) json = NULL;
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_return_val_if_fail (TD_IS_SITE_PAGE (self) && path != NULL, FALSE);
  if (self->loaded == NULL)
    return FALSE;
  json = td_site_to_json (self->loaded->site);
  text = td_json_to_text (json, TRUE);
  if (g_file_set_contents (path, text, -1, &error))
    td_notice_show_done (self->notice, _ ("The sheet is exported."));
  else
    td_notice_show_error (self->notice, _ ("The sheet was not exported."), error);
  return error == NULL;
}

static void
export_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autoptr (GFile) file = g_list_model_get_item (files, 0);
  g_autofree char *path = g_file_get_path (file);

  if (path != NULL)
    td_site_page_export (TD_SITE_PAGE (widget), path);
}

static void
export_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autofree char *file = g_strconcat (TD_SITE_PAGE (widget)->site_id, ".site.json", NULL);

  td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_SHEETS, _ ("Where to Put the Sheet"), file, export_chosen, NULL,
                   NULL);
}

static void
td_site_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdSitePage *self = TD_SITE_PAGE (object);

  switch (id)
    {
    case PROP_TITLE:
      g_value_set_string (value, self->loaded != NULL ? self->loaded->site->name : NULL);
      break;
    case PROP_SUBTITLE:
      if (self->loaded != NULL)
        g_value_take_string (value, td_format_pair (self, self->loaded->site->account_name,
                                                    self->loaded->site->address));
      break;
    case PROP_CHOSEN:
      g_value_set_int (value, self->chosen);
      break;
    case PROP_LOADED:
      g_value_set_boolean (value, self->loaded != NULL);
      break;
    case PROP_ROUND:
      g_value_set_object (value, self->round);
      break;
    case PROP_ASKING:
      g_value_set_boolean (value, gtk_widget_get_visible (GTK_WIDGET (self->ask)));
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_site_page_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_CHOSEN)
    choose (TD_SITE_PAGE (object), g_value_get_int (value));
  else if (id == PROP_ASKING && !g_value_get_boolean (value))
    td_ask_form_close (TD_SITE_PAGE (object)->ask);
  else if (id != PROP_ASKING)
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_site_page_dispose (GObject *object)
{
  TdSitePage *self = TD_SITE_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_site_page_parent_class)->dispose (object);
}

static void
td_site_page_finalize (GObject *object)
{
  TdSitePage *self = TD_SITE_PAGE (object);

  g_clear_object (&self->cancellable);
  g_clear_object (&self->round);
  g_clear_pointer (&self->loaded, td_site_loaded_free);
  g_free (self->site_id);
  G_OBJECT_CLASS (td_site_page_parent_class)->finalize (object);
}

static void
install_properties (GObjectClass *object_class)
{
  const GParamFlags readable = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  td_page_make_title_properties (&properties[PROP_TITLE], &properties[PROP_SUBTITLE]);
  properties[PROP_CHOSEN]
    = g_param_spec_int ("chosen", NULL, NULL, -2, G_MAXINT, -1,
                        G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  properties[PROP_LOADED] = td_page_make_loaded_property ();
  properties[PROP_ROUND] = g_param_spec_object ("round", NULL, NULL, TD_TYPE_ROUND_ITEM, readable);
  properties[PROP_ASKING]
    = g_param_spec_boolean ("asking", NULL, NULL, FALSE,
                            G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
td_site_page_class_init (TdSitePageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_site_page_get_property;
  object_class->set_property = td_site_page_set_property;
  object_class->dispose = td_site_page_dispose;
  object_class->finalize = td_site_page_finalize;
  install_properties (object_class);

  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_ASK_FORM);
  g_type_ensure (TD_TYPE_TOWER_VIEW);
  g_type_ensure (TD_TYPE_HISTORY_VIEW);
  g_type_ensure (TD_TYPE_DOCUMENT_VIEW);
  g_type_ensure (TD_TYPE_BEGIN_FORM);
  g_type_ensure (TD_TYPE_CHIP);
  g_type_ensure (TD_TYPE_CLAMP);
  g_type_ensure (TD_TYPE_ROW_BOX);
  g_type_ensure (TD_TYPE_LINE_ITEM);
  g_type_ensure (TD_TYPE_VISIT_ITEM);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/site-page.ui");
  td_format_bind (widget_class);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, box);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, ask);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, stack);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, lines);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, visits);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, line_view);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, drawing);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, form);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, act);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, extract);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, history);
  gtk_widget_class_bind_template_child (widget_class, TdSitePage, paper);
  gtk_widget_class_bind_template_callback (widget_class, shown_cb);
  gtk_widget_class_bind_template_callback (widget_class, line_selected_cb);
  gtk_widget_class_bind_template_callback (widget_class, drawing_chosen_cb);
  gtk_widget_class_bind_template_callback (widget_class, visit_activated_cb);
  gtk_widget_class_bind_template_callback (widget_class, begun_cb);
  gtk_widget_class_bind_template_callback (widget_class, given_up_cb);
  gtk_widget_class_bind_template_callback (widget_class, answered_cb);
  gtk_widget_class_bind_template_callback (widget_class, asking_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "site.begin", NULL, begin_action);
  gtk_widget_class_install_action (widget_class, "site.continue", NULL, continue_action);
  gtk_widget_class_install_action (widget_class, "site.show", "s", show_action);
  gtk_widget_class_install_action (widget_class, "site.edit", NULL, edit_action);
  gtk_widget_class_install_action (widget_class, "site.account", NULL, account_action);
  gtk_widget_class_install_action (widget_class, "site.miss", NULL, note_action);
  gtk_widget_class_install_action (widget_class, "site.move", NULL, note_action);
  gtk_widget_class_install_action (widget_class, "site.line-map", NULL, line_map_action);
  gtk_widget_class_install_action (widget_class, "site.labels", NULL, labels_action);
  gtk_widget_class_install_action (widget_class, "site.export", NULL, export_action);
}

static void
td_site_page_init (TdSitePage *self)
{
  static const char *const once_read[] = { "site.account", "site.miss", "site.move" };

  self->cancellable = g_cancellable_new ();
  self->chosen = -1;
  self->round = g_object_new (TD_TYPE_ROUND_ITEM, NULL);
  gtk_widget_init_template (GTK_WIDGET (self));
  for (gsize i = 0; i < G_N_ELEMENTS (once_read); i++)
    gtk_widget_action_set_enabled (GTK_WIDGET (self), once_read[i], FALSE);
  /* The list inside is what a screen reader comes to; it does not take the column view's name. */
  gtk_accessible_update_property (GTK_ACCESSIBLE (gtk_widget_get_last_child (GTK_WIDGET (self->line_view))),
                                  GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("Lines of the site"), -1);
}

GtkWidget *
td_site_page_new (TdContext *context, const char *site_id)
{
  TdSitePage *self = g_object_new (TD_TYPE_SITE_PAGE, NULL);

  g_return_val_if_fail (TD_IS_CONTEXT (context) && site_id != NULL, GTK_WIDGET (self));
  self->context = g_object_ref (context);
  self->site_id = g_strdup (site_id);
  td_begin_form_set_context (self->form, context);
  g_signal_connect_object (context, "book-changed", G_CALLBACK (reload), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (td_context_get_settings (context), "changed::units", G_CALLBACK (units_changed_cb),
                           self, G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  g_signal_connect_object (self->stack, "notify::visible-child", G_CALLBACK (update_extract), self, G_CONNECT_SWAPPED);
  reload (self);
  return GTK_WIDGET (self);
}

const char *
td_site_page_get_site_id (TdSitePage *self)
{
  g_return_val_if_fail (TD_IS_SITE_PAGE (self), NULL);
  return self->site_id;
}
