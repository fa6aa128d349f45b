#include "desk-records-page.h"

#include "desk-clamp.h"
#include "desk-editor.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-page.h"
#include "model-master.h"
#include "store-edit.h"
#include "store-master.h"

#include <string.h>

struct _TdRecordsPage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  TdRecords records;
  TdMasterList *list;   /* NULL until it is read */
  TdSettings *settings; /* the company's */
  char *wanted;         /* id to be opened once the list is read; "" for a new row; NULL for none */
  GListStore *items;    /* TdMasterItem */

  GtkWidget *box;
  TdNotice *notice;
  GtkListBox *kinds;
  GtkStack *stack;
  GtkSearchEntry *search;
  GtkToggleButton *retired;
  GtkButton *add;
  GtkFilterListModel *filtered;
  GtkLabel *count;
  GtkStack *lists;
  TdEditor *editor;
};

G_DEFINE_FINAL_TYPE (TdRecordsPage, td_records_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUBTITLE,
  PROP_LOADED,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static gboolean
passes (gpointer item, gpointer user_data)
{
  TdRecordsPage *self = TD_RECORDS_PAGE (user_data);

  if (td_master_item_get_retired (item) && !gtk_toggle_button_get_active (self->retired))
    return FALSE;
  return td_master_item_matches (item, gtk_editable_get_text (GTK_EDITABLE (self->search)));
}

static void
show_count (TdRecordsPage *self)
{
  guint shown = g_list_model_get_n_items (G_LIST_MODEL (self->filtered));
  g_autofree char *text = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u row", "%u rows", shown), shown);

  gtk_label_set_label (self->count, text);
  gtk_stack_set_visible_child_name (self->lists, shown > 0 ? "rows" : "none");
}

static void
filter_cb (TdRecordsPage *self)
{
  gtk_filter_changed (gtk_filter_list_model_get_filter (self->filtered), GTK_FILTER_CHANGE_DIFFERENT);
  show_count (self);
}

static TdDate
get_today (TdRecordsPage *self)
{
  return (TdDate) (td_context_get_now_ms (self->context) / (24 * 60 * 60 * 1000));
}

static void
show_rows (TdRecordsPage *self)
{
  const TdFormType *type = td_records_get_form_type (self->records);
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; i < self->list->masters->len; i++)
    {
      const TdMaster *master = g_ptr_array_index (self->list->masters, i);

      g_ptr_array_add (items, td_master_item_new (type, master->id, master->rev, master->retired, master->json,
                                                  get_today (self), td_format_get_style ()));
    }
  g_list_store_splice (self->items, 0, g_list_model_get_n_items (G_LIST_MODEL (self->items)), items->pdata, items->len);
  gtk_button_set_label (self->add, _ (type->new_title));
  show_count (self);
}

static const TdMaster *
find_master (TdRecordsPage *self, const char *id)
{
  for (guint i = 0; self->list != NULL && i < self->list->masters->len; i++)
    {
      const TdMaster *master = g_ptr_array_index (self->list->masters, i);

      if (strcmp (master->id, id) == 0)
        return master;
    }
  return NULL;
}

static void
open_row (TdRecordsPage *self, const char *id)
{
  const TdMaster *master = find_master (self, id);

  if (master == NULL)
    return;
  td_editor_show (self->editor, self->records, master->id, master->rev, master->retired, master->json, self->list,
                  self->settings);
  gtk_stack_set_visible_child_name (self->stack, "editor");
}

static void
open_new (TdRecordsPage *self)
{
  if (self->list == NULL || td_records_is_single (self->records))
    return;
  td_editor_show (self->editor, self->records, NULL, 0, FALSE, NULL, self->list, self->settings);
  gtk_stack_set_visible_child_name (self->stack, "editor");
}

typedef struct
{
  TdMasterList *list;
  TdSettings *settings;
} Loaded;

static void
free_loaded (gpointer data)
{
  Loaded *loaded = data;

  g_clear_pointer (&loaded->list, td_master_list_free);
  g_clear_pointer (&loaded->settings, td_settings_unref);
  g_free (loaded);
}

static gboolean
load_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  Loaded *loaded = g_new0 (Loaded, 1);
  gpointer list = NULL;

  loaded->settings = td_book_get_settings (book, NULL, error);
  if (loaded->settings == NULL || !td_master_list_job (book, data, &list, error))
    {
      free_loaded (loaded);
      return FALSE;
    }
  loaded->list = list;
  *result_out = loaded;
  return TRUE;
}

static void
loaded_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdRecordsPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer answer = NULL;
  Loaded *loaded;

  if (!td_queue_run_finish (result, &answer, &error))
    {
      /* Cancelled: the page is gone, and must not be looked at. */
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The records could not be read."), error);
      return;
    }
  loaded = answer;
  if (loaded->list->records != self->records)
    {
      free_loaded (loaded);
      return;
    }
  g_clear_pointer (&self->list, td_master_list_free);
  g_clear_pointer (&self->settings, td_settings_unref);
  self->list = g_steal_pointer (&loaded->list);
  self->settings = g_steal_pointer (&loaded->settings);
  free_loaded (loaded);
  show_rows (self);
  if (self->wanted != NULL)
    {
      g_autofree char *wanted = g_steal_pointer (&self->wanted);

      if (*wanted == '\0' && !td_records_is_single (self->records))
        open_new (self);
      else
        open_row (self, wanted);
    }
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
}

static void
reload (TdRecordsPage *self)
{
  if (td_context_get_queue (self->context) == NULL)
    return;
  td_context_run_async (self->context, TD_JOB_READ, load_job, GUINT_TO_POINTER (self->records), NULL, free_loaded,
                        self->cancellable, loaded_cb, self);
}

/* @wanted: (nullable): as in the struct. */
static void
show_records (TdRecordsPage *self, TdRecords records, const char *wanted)
{
  self->records = records;
  g_free (self->wanted);
  self->wanted = g_strdup (td_records_is_single (records) ? "" : wanted);
  g_clear_pointer (&self->list, td_master_list_free);
  g_list_store_remove_all (self->items);
  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
  gtk_stack_set_visible_child_name (self->stack, "list");
  gtk_list_box_select_row (self->kinds, gtk_list_box_get_row_at_index (self->kinds, (int) records));
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
  reload (self);
}

static void
kind_cb (GtkListBox *kinds, GtkListBoxRow *row, TdRecordsPage *self)
{
  if (td_records_page_may_leave (self))
    show_records (self, (TdRecords) gtk_list_box_row_get_index (row), NULL);
  else
    gtk_list_box_select_row (kinds, gtk_list_box_get_row_at_index (kinds, (int) self->records));
}

static void
activated_cb (GtkListView *view, guint position, TdRecordsPage *self)
{
  g_autoptr (TdMasterItem) item = g_list_model_get_item (G_LIST_MODEL (self->filtered), position);

  if (item != NULL)
    open_row (self, td_master_item_get_id (item));
}

static void
kept_cb (TdEditor *editor, const char *id, TdRecordsPage *self)
{
  td_notice_show_done (self->notice, _ ("Kept."));
  if (!td_records_is_single (self->records))
    {
      gtk_stack_set_visible_child_name (self->stack, "list");
      gtk_widget_grab_focus (GTK_WIDGET (self->search));
    }
  else
    self->wanted = g_strdup ("");
  reload (self);
}

static gboolean
shows_editor (TdRecordsPage *self)
{
  return g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "editor") == 0;
}

static void
show_list (TdRecordsPage *self)
{
  td_notice_clear (self->notice);
  gtk_stack_set_visible_child_name (self->stack, "list");
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
}

static void
left_cb (TdEditor *editor, TdRecordsPage *self)
{
  if (td_records_is_single (self->records))
    gtk_widget_activate_action (GTK_WIDGET (self), "win.back", NULL);
  else
    show_list (self);
}

gboolean
td_records_page_go_back (TdRecordsPage *self)
{
  g_return_val_if_fail (TD_IS_RECORDS_PAGE (self), FALSE);
  if (!shows_editor (self))
    return FALSE;
  if (td_editor_go_back (self->editor))
    return TRUE;
  if (td_records_is_single (self->records))
    return FALSE;
  show_list (self);
  return TRUE;
}

gboolean
td_records_page_may_leave (TdRecordsPage *self)
{
  g_return_val_if_fail (TD_IS_RECORDS_PAGE (self), TRUE);
  return !shows_editor (self) || td_editor_may_leave (self->editor);
}

static void
again_cb (TdEditor *editor, TdRecordsPage *self)
{
  g_free (self->wanted);
  self->wanted = g_strdup (td_editor_get_id (self->editor));
  reload (self);
}

static void
show_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdRecords records;

  if (td_records_from_text (g_variant_get_string (parameter, NULL), &records))
    show_records (TD_RECORDS_PAGE (widget), records, NULL);
}

static void
new_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  open_new (TD_RECORDS_PAGE (widget));
}

static void
open_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  open_row (TD_RECORDS_PAGE (widget), g_variant_get_string (parameter, NULL));
}

static void
td_records_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdRecordsPage *self = TD_RECORDS_PAGE (object);

  switch (id)
    {
    case PROP_TITLE:
      g_value_set_string (value, _ ("Records"));
      break;
    case PROP_SUBTITLE:
      g_value_set_string (value, NULL);
      break;
    case PROP_LOADED:
      g_value_set_boolean (value, self->list != NULL);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_records_page_dispose (GObject *object)
{
  TdRecordsPage *self = TD_RECORDS_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->items);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_records_page_parent_class)->dispose (object);
}

static void
td_records_page_finalize (GObject *object)
{
  TdRecordsPage *self = TD_RECORDS_PAGE (object);

  g_clear_object (&self->cancellable);
  g_clear_pointer (&self->list, td_master_list_free);
  g_clear_pointer (&self->settings, td_settings_unref);
  g_free (self->wanted);
  G_OBJECT_CLASS (td_records_page_parent_class)->finalize (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, box);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, kinds);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, stack);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, search);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, retired);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, add);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, filtered);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, count);
  gtk_widget_class_bind_template_child (widget_class, TdRecordsPage, lists);
  gtk_widget_class_bind_template_callback (widget_class, kind_cb);
  gtk_widget_class_bind_template_callback (widget_class, filter_cb);
  gtk_widget_class_bind_template_callback (widget_class, activated_cb);
}

static void
td_records_page_class_init (TdRecordsPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_records_page_get_property;
  object_class->dispose = td_records_page_dispose;
  object_class->finalize = td_records_page_finalize;
  td_page_make_title_properties (&properties[PROP_TITLE], &properties[PROP_SUBTITLE]);
  properties[PROP_LOADED] = td_page_make_loaded_property ();
  g_object_class_install_properties (object_class, N_PROPS, properties);
  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_CLAMP);
  g_type_ensure (TD_TYPE_MASTER_ITEM);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/records-page.ui");
  td_format_bind (widget_class);
  bind_children (widget_class);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "records.show", "s", show_action);
  gtk_widget_class_install_action (widget_class, "records.new", NULL, new_action);
  gtk_widget_class_install_action (widget_class, "records.open", "s", open_action);
}

static void
add_kinds (TdRecordsPage *self)
{
  for (int i = 0; i < TD_N_RECORDS; i++)
    {
      GtkWidget *label = gtk_label_new (_ (td_records_get_form_type ((TdRecords) i)->plural));
      GtkWidget *row = gtk_list_box_row_new ();

      gtk_label_set_xalign (GTK_LABEL (label), 0);
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), label);
      gtk_widget_set_name (row, td_records_to_text ((TdRecords) i));
      gtk_list_box_append (self->kinds, row);
    }
}

static void
td_records_page_init (TdRecordsPage *self)
{
  self->cancellable = g_cancellable_new ();
  self->items = g_list_store_new (TD_TYPE_MASTER_ITEM);
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_filter_list_model_set_model (self->filtered, G_LIST_MODEL (self->items));
  gtk_filter_list_model_set_filter (self->filtered, GTK_FILTER (gtk_custom_filter_new (passes, self, NULL)));
  add_kinds (self);
}

GtkWidget *
td_records_page_new (TdContext *context, const char *where)
{
  TdRecordsPage *self = g_object_new (TD_TYPE_RECORDS_PAGE, NULL);
  const char *colon = strchr (where, ':');
  g_autofree char *kind = colon != NULL ? g_strndup (where, (gsize) (colon - where)) : g_strdup (where);
  TdRecords records = TD_RECORDS_ACCOUNTS;

  g_return_val_if_fail (TD_IS_CONTEXT (context) && where != NULL, GTK_WIDGET (self));
  self->context = g_object_ref (context);
  self->editor = TD_EDITOR (td_editor_new (context));
  gtk_stack_add_named (self->stack, GTK_WIDGET (self->editor), "editor");
  g_signal_connect_object (self->editor, "kept", G_CALLBACK (kept_cb), self, 0);
  g_signal_connect_object (self->editor, "left", G_CALLBACK (left_cb), self, 0);
  g_signal_connect_object (self->editor, "again", G_CALLBACK (again_cb), self, 0);
  g_signal_connect_object (context, "book-changed", G_CALLBACK (reload), self, G_CONNECT_SWAPPED);
  td_records_from_text (kind, &records);
  show_records (self, records, colon != NULL ? colon + 1 : NULL);
  return GTK_WIDGET (self);
}

void
td_records_page_focus_search (TdRecordsPage *self)
{
  g_return_if_fail (TD_IS_RECORDS_PAGE (self));
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
}
