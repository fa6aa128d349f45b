#include "desk-window.h"

#include "desk-account-page.h"
#include "desk-bill-page.h"
#include "desk-bills-page.h"
#include "desk-book-acts.h"
#include "desk-chem-page.h"
#include "desk-bundle-acts.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-preview-page.h"
#include "desk-records-page.h"
#include "desk-round-page.h"
#include "desk-site-page.h"
#include "desk-start-page.h"
#include "desk-visit-page.h"

#include <string.h>

struct _TdWindow
{
  GtkApplicationWindow parent;
  TdContext *context;
  char *place;
  GListModel *import; /* files that are looked at before they are taken in */
  char *parent_place; /* where "win.back" leads; NULL at the top */
  GtkWidget *page;
  TdRoundPage *round; /* kept while a site is shown, with its search and its scrolling */
  TdBillsPage *bills; /* the same while an invoice or an account is shown */

  GtkLabel *title_label;
  GtkLabel *subtitle_label;
  GtkButton *back;
  GtkWidget *places;
  GtkStack *pages;
  TdNotice *notice;
};

G_DEFINE_FINAL_TYPE (TdWindow, td_window, GTK_TYPE_APPLICATION_WINDOW)

enum
{
  PROP_0,
  PROP_PLACE,
  PROP_TOP,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
show_title (TdWindow *self, const char *title, const char *subtitle)
{
  gtk_label_set_label (self->title_label, title);
  gtk_label_set_label (self->subtitle_label, subtitle != NULL ? subtitle : "");
  gtk_widget_set_visible (GTK_WIDGET (self->subtitle_label), subtitle != NULL && *subtitle != '\0');
}

/* A page that has a title of its own tells it, now and when it has been read. */
static void
page_title_cb (TdWindow *self)
{
  g_autofree char *title = NULL;
  g_autofree char *subtitle = NULL;

  if (self->page == NULL || g_object_class_find_property (G_OBJECT_GET_CLASS (self->page), "title") == NULL)
    return;
  g_object_get (self->page, "title", &title, "subtitle", &subtitle, NULL);
  if (title != NULL)
    show_title (self, title, subtitle);
}

/* Where a visit lies is known when it has been read. */
static void
page_parent_cb (TdWindow *self)
{
  const char *site_id = td_visit_page_get_site_id (TD_VISIT_PAGE (self->page));

  g_free (self->parent_place);
  self->parent_place = site_id != NULL ? g_strconcat ("site:", site_id, NULL) : g_strdup ("round");
}

static GtkWidget *
make_page (TdWindow *self, const char *place)
{
  if (g_str_has_prefix (place, "site:"))
    return td_site_page_new (self->context, place + strlen ("site:"));
  if (g_str_has_prefix (place, "visit:"))
    return td_visit_page_new (self->context, place + strlen ("visit:"));
  if (g_str_equal (place, "import"))
    return td_preview_page_new (self->context, self->import);
  if (g_str_has_prefix (place, "records:"))
    return td_records_page_new (self->context, place + strlen ("records:"));
  if (g_str_has_prefix (place, "invoice:"))
    return td_bill_page_new (self->context, place + strlen ("invoice:"), NULL);
  if (g_str_has_prefix (place, "draft:"))
    return td_bill_page_new (self->context, NULL, place + strlen ("draft:"));
  if (g_str_has_prefix (place, "account:"))
    return td_account_page_new (self->context, place + strlen ("account:"));
  if (g_str_equal (place, "chemicals"))
    return td_chem_page_new (self->context);
  if (g_str_equal (place, "start"))
    return td_start_page_new (self->context);
  if (g_str_equal (place, "invoices") && self->bills == NULL)
    self->bills = TD_BILLS_PAGE (g_object_ref_sink (td_bills_page_new (self->context)));
  if (g_str_equal (place, "invoices"))
    return GTK_WIDGET (self->bills);
  if (self->round == NULL)
    self->round = TD_ROUND_PAGE (g_object_ref_sink (td_round_page_new (self->context)));
  return GTK_WIDGET (self->round);
}

static gboolean
is_kept (TdWindow *self, GtkWidget *page)
{
  return page == (GtkWidget *) self->round || page == (GtkWidget *) self->bills;
}

static void
let_kept_go (TdWindow *self)
{
  GtkWidget *kept[] = { (GtkWidget *) self->round, (GtkWidget *) self->bills };

  for (guint i = 0; i < G_N_ELEMENTS (kept); i++)
    if (kept[i] != NULL && gtk_widget_get_parent (kept[i]) != NULL)
      gtk_stack_remove (self->pages, kept[i]);
  g_clear_object (&self->round);
  g_clear_object (&self->bills);
}

/* Pages are made when they are gone to and die when they are left, except the round and the invoices. */
static void
replace_page (TdWindow *self, GtkWidget *page)
{
  GtkWidget *old = self->page;

  if (gtk_widget_get_parent (page) == NULL)
    gtk_stack_add_child (self->pages, page);
  self->page = page;
  gtk_stack_set_visible_child (self->pages, page);
  if (old != NULL && old != page && !is_kept (self, old))
    gtk_stack_remove (self->pages, old);
}

static void
remember_place (TdWindow *self)
{
  TdQueue *queue = td_context_get_queue (self->context);

  if (queue != NULL)
    td_state_set_place (td_context_get_state (self->context), td_queue_get_path (queue), self->place);
}

/* Which of the places in the header a place belongs to. */
static const char *
get_top (const char *place)
{
  static const char *const billing[] = { "invoices", "invoice:", "draft:", "account:" };

  for (guint i = 0; place != NULL && i < G_N_ELEMENTS (billing); i++)
    if (g_str_has_prefix (place, billing[i]))
      return "invoices";
  if (g_strcmp0 (place, "chemicals") == 0)
    return "chemicals";
  return place == NULL || g_str_equal (place, "start") ? "" : "round";
}

static gboolean
is_top (const char *place)
{
  return g_str_equal (place, "start") || g_str_equal (place, get_top (place));
}

/* What the header says of a page: one that is read tells it later. */
static void
show_page_title (TdWindow *self)
{
  if (g_str_equal (self->place, "start"))
    show_title (self, _ ("Tundish"), NULL);
  else if (g_str_equal (self->place, "round"))
    show_title (self, _ ("Round"), NULL);
  else if (g_str_equal (self->place, "invoices"))
    show_title (self, _ ("Invoices"), NULL);
  else
    {
      show_title (self, "", NULL);
      g_signal_connect_object (self->page, "notify::title", G_CALLBACK (page_title_cb), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (self->page, "notify::subtitle", G_CALLBACK (page_title_cb), self, G_CONNECT_SWAPPED);
      if (TD_IS_VISIT_PAGE (self->page))
        g_signal_connect_object (self->page, "notify::title", G_CALLBACK (page_parent_cb), self, G_CONNECT_SWAPPED);
      page_title_cb (self);
    }
}

/* Where "win.back" leads from @place, NULL at the top: an account that was come to from a site leads back there. */
static char *
get_parent (const char *place, const char *before)
{
  if (is_top (place))
    return NULL;
  if (g_str_has_prefix (place, "account:") && before != NULL && g_str_has_prefix (before, "site:"))
    return g_strdup (before);
  return g_strdup (get_top (place));
}

/* Shows a place whatever is on show now. */
static void
go_anyway (TdWindow *self, const char *place)
{
  g_autofree char *before = g_steal_pointer (&self->place);
  GtkWidget *page;

  self->place = g_strdup (place);
  if (g_strcmp0 (before, place) == 0)
    return;
  g_free (self->parent_place);
  self->parent_place = get_parent (place, before);

  page = make_page (self, place);
  replace_page (self, page);
  td_notice_clear (self->notice);
  show_page_title (self);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "win.back", self->parent_place != NULL);
  gtk_widget_set_visible (GTK_WIDGET (self->back), self->parent_place != NULL);
  gtk_widget_set_visible (self->places, *get_top (place) != '\0');
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "win.search", is_kept (self, page) || TD_IS_RECORDS_PAGE (page));
  if (!g_str_equal (place, "import"))
    remember_place (self);
  gtk_widget_child_focus (page, GTK_DIR_TAB_FORWARD);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_PLACE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TOP]);
}

/* A draft may be gone when the window comes back, and records are left where a page of them was open. */
static gboolean
can_come_back (const char *place)
{
  return place != NULL && *get_top (place) != '\0' && !g_str_has_prefix (place, "draft:")
         && !g_str_has_prefix (place, "records:")
         && (is_top (place) || strchr (place, ':') != NULL);
}

/* The same, where what is typed on the page on show has been kept or may be let go. */
static void
go (TdWindow *self, const char *place)
{
  if (TD_IS_RECORDS_PAGE (self->page) && g_strcmp0 (self->place, place) != 0
      && !td_records_page_may_leave (TD_RECORDS_PAGE (self->page)))
    return;
  go_anyway (self, place);
}

static void
book_replaced_cb (TdWindow *self)
{
  TdQueue *queue = td_context_get_queue (self->context);
  g_autofree char *place = NULL;

  td_book_acts_update (GTK_WIDGET (self), self->context);
  if (queue != NULL)
    place = td_state_get_place (td_context_get_state (self->context), td_queue_get_path (queue));
  if (queue == NULL)
    place = g_strdup ("start");
  else if (!can_come_back (place))
    {
      g_free (place);
      place = g_strdup ("round");
    }
  g_clear_pointer (&self->place, g_free); /* a page of the old book is never the one wanted */
  if (is_kept (self, self->page))
    self->page = NULL;
  let_kept_go (self);
  go_anyway (self, place);
}

/* A page that asks something has its question closed first. */
static gboolean
close_question (GtkWidget *page)
{
  gboolean asking = FALSE;

  if (page == NULL || g_object_class_find_property (G_OBJECT_GET_CLASS (page), "asking") == NULL)
    return FALSE;
  g_object_get (page, "asking", &asking, NULL);
  if (asking)
    g_object_set (page, "asking", FALSE, NULL);
  return asking;
}

static void
back_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWindow *self = TD_WINDOW (widget);
  g_autofree char *place = g_strdup (self->parent_place);

  if (TD_IS_RECORDS_PAGE (self->page) && td_records_page_go_back (TD_RECORDS_PAGE (self->page)))
    return;
  if (!close_question (self->page) && place != NULL)
    go (TD_WINDOW (widget), place);
}

static void
show_round_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWindow *self = TD_WINDOW (widget);

  go (self, td_context_get_queue (self->context) != NULL ? "round" : "start");
}

/* The actions that lead to one of many: the prefix of its place stands for it. */
static void
show_one_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autofree char *place = g_strconcat (name + strlen ("win.show-"), ":", g_variant_get_string (parameter, NULL), NULL);

  if (td_context_get_queue (TD_WINDOW (widget)->context) != NULL)
    go (TD_WINDOW (widget), place);
}

static void
show_invoices_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  if (td_context_get_queue (TD_WINDOW (widget)->context) != NULL)
    go (TD_WINDOW (widget), "invoices");
}

static void
show_chemicals_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  if (td_context_get_queue (TD_WINDOW (widget)->context) != NULL)
    go (TD_WINDOW (widget), "chemicals");
}

static void
show_records_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWindow *self = TD_WINDOW (widget);
  g_autofree char *place = g_strconcat ("records:", g_variant_get_string (parameter, NULL), NULL);

  if (td_context_get_queue (self->context) == NULL)
    return;
  /* The same page again, but another row of it. */
  if (g_strcmp0 (self->place, place) == 0)
    g_clear_pointer (&self->place, g_free);
  go (self, place);
}

static void
search_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdWindow *self = TD_WINDOW (widget);

  if (self->round != NULL && self->page == GTK_WIDGET (self->round))
    td_round_page_focus_search (self->round);
  else if (TD_IS_RECORDS_PAGE (self->page))
    td_records_page_focus_search (TD_RECORDS_PAGE (self->page));
  else if (self->bills != NULL && self->page == GTK_WIDGET (self->bills))
    td_bills_page_focus_search (self->bills);
}

/* Made when it is asked for: it is the costliest part of a window and seldom looked at. */
static void
show_shortcuts_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autoptr (GtkBuilder) builder = gtk_builder_new_from_resource ("/tundish/shortcuts.ui");
  GtkWindow *shortcuts = GTK_WINDOW (gtk_builder_get_object (builder, "shortcuts"));

  gtk_window_set_transient_for (shortcuts, GTK_WINDOW (widget));
  gtk_window_set_destroy_with_parent (shortcuts, TRUE);
  gtk_window_present (shortcuts);
}

static void
opened_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdWindow) self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_context_open_finish (TD_CONTEXT (source), result, &error))
    return;
  if (self->place == NULL)
    go (self, "start");
  td_window_tell (self, _ ("The book could not be opened."), error);
}

void
td_window_open_book (TdWindow *self, const char *path, TdOpenHow how)
{
  g_return_if_fail (TD_IS_WINDOW (self) && path != NULL);
  td_context_open_async (self->context, path, how, opened_cb, g_object_ref (self));
}

void
td_window_tell (TdWindow *self, const char *what, const GError *error)
{
  g_return_if_fail (TD_IS_WINDOW (self) && what != NULL);
  if (error != NULL)
    td_notice_show_error (self->notice, what, error);
  else
    td_notice_show_done (self->notice, what);
}

static void
td_window_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_PLACE)
    g_value_set_string (value, TD_WINDOW (object)->place);
  else if (id == PROP_TOP)
    g_value_set_string (value, get_top (TD_WINDOW (object)->place));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_window_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdWindow *self = TD_WINDOW (object);
  const char *top = g_value_get_string (value);

  if (id != PROP_TOP)
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  else if (top != NULL && td_context_get_queue (self->context) != NULL && g_str_equal (top, get_top (top)))
    go (self, top);
}

static void
keep_size (TdWindow *self)
{
  GSettings *settings = td_context_get_settings (self->context);
  int width = 0, height = 0;

  gtk_window_get_default_size (GTK_WINDOW (self), &width, &height);
  g_settings_set_boolean (settings, "window-maximized", gtk_window_is_maximized (GTK_WINDOW (self)));
  if (width >= 640 && height >= 480 && !gtk_window_is_maximized (GTK_WINDOW (self)))
    {
      g_settings_set_int (settings, "window-width", width);
      g_settings_set_int (settings, "window-height", height);
    }
}

static gboolean
td_window_close_request (GtkWindow *window)
{
  keep_size (TD_WINDOW (window));
  return GTK_WINDOW_CLASS (td_window_parent_class)->close_request (window);
}

static void
td_window_dispose (GObject *object)
{
  TdWindow *self = TD_WINDOW (object);

  self->page = NULL;
  g_clear_object (&self->round);
  g_clear_object (&self->bills);
  g_clear_object (&self->import);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_window_parent_class)->dispose (object);
}

static void
td_window_finalize (GObject *object)
{
  TdWindow *self = TD_WINDOW (object);

  g_free (self->place);
  g_free (self->parent_place);
  G_OBJECT_CLASS (td_window_parent_class)->finalize (object);
}

static void
td_window_class_init (TdWindowClass *klass)
{
  static const char *const one_of_many[]
    = { "win.show-site", "win.show-visit", "win.show-invoice", "win.show-draft", "win.show-account" };
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_window_get_property;
  object_class->set_property = td_window_set_property;
  object_class->dispose = td_window_dispose;
  object_class->finalize = td_window_finalize;
  GTK_WINDOW_CLASS (klass)->close_request = td_window_close_request;
  properties[PROP_PLACE]
    = g_param_spec_string ("place", NULL, NULL, NULL, G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  properties[PROP_TOP] = g_param_spec_string ("top", NULL, NULL, NULL,
                                              G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);

  g_type_ensure (TD_TYPE_NOTICE);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/window.ui");
  gtk_widget_class_bind_template_child (widget_class, TdWindow, title_label);
  gtk_widget_class_bind_template_child (widget_class, TdWindow, subtitle_label);
  gtk_widget_class_bind_template_child (widget_class, TdWindow, back);
  gtk_widget_class_bind_template_child (widget_class, TdWindow, pages);
  gtk_widget_class_bind_template_child (widget_class, TdWindow, places);
  gtk_widget_class_bind_template_child (widget_class, TdWindow, notice);
  gtk_widget_class_install_action (widget_class, "win.back", NULL, back_action);
  gtk_widget_class_install_action (widget_class, "win.show-round", NULL, show_round_action);
  gtk_widget_class_install_action (widget_class, "win.show-invoices", NULL, show_invoices_action);
  gtk_widget_class_install_property_action (widget_class, "win.top", "top");
  for (guint i = 0; i < G_N_ELEMENTS (one_of_many); i++)
    gtk_widget_class_install_action (widget_class, one_of_many[i], "s", show_one_action);
  gtk_widget_class_install_action (widget_class, "win.show-chemicals", NULL, show_chemicals_action);
  gtk_widget_class_install_action (widget_class, "win.show-records", "s", show_records_action);
  gtk_widget_class_install_action (widget_class, "win.search", NULL, search_action);
  gtk_widget_class_install_action (widget_class, "win.show-shortcuts", NULL, show_shortcuts_action);
  td_book_acts_install (widget_class);
}

static void
td_window_init (TdWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_window_new (GtkApplication *application, TdContext *context)
{
  TdWindow *self = g_object_new (TD_TYPE_WINDOW, "application", application, NULL);
  GSettings *settings;

  g_return_val_if_fail (TD_IS_CONTEXT (context), GTK_WIDGET (self));
  self->context = g_object_ref (context);
  settings = td_context_get_settings (context);
  gtk_window_set_default_size (GTK_WINDOW (self), g_settings_get_int (settings, "window-width"),
                               g_settings_get_int (settings, "window-height"));
  if (g_settings_get_boolean (settings, "window-maximized"))
    gtk_window_maximize (GTK_WINDOW (self));
  g_signal_connect_object (context, "notify::queue", G_CALLBACK (book_replaced_cb), self, G_CONNECT_SWAPPED);
  td_book_acts_update (GTK_WIDGET (self), context);
  td_bundle_acts_watch (GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self->back), FALSE);
  if (td_context_get_queue (context) != NULL)
    book_replaced_cb (self);
  return GTK_WIDGET (self);
}

void
td_window_show_start (TdWindow *self)
{
  g_return_if_fail (TD_IS_WINDOW (self));
  if (td_context_get_queue (self->context) == NULL)
    go (self, "start");
}

void
td_window_preview (TdWindow *self, GListModel *files)
{
  g_return_if_fail (TD_IS_WINDOW (self) && G_IS_LIST_MODEL (files));
  if (td_context_get_queue (self->context) == NULL)
    return;
  g_set_object (&self->import, files);
  if (g_strcmp0 (self->place, "import") == 0)
    g_clear_pointer (&self->place, g_free);
  go (self, "import");
}

TdContext *
td_window_get_context (TdWindow *self)
{
  g_return_val_if_fail (TD_IS_WINDOW (self), NULL);
  return self->context;
}

const char *
td_window_get_place (TdWindow *self)
{
  g_return_val_if_fail (TD_IS_WINDOW (self), NULL);
  return self->place;
}

GtkWidget *
td_window_get_page (TdWindow *self)
{
  g_return_val_if_fail (TD_IS_WINDOW (self), NULL);
  return self->page;
}
