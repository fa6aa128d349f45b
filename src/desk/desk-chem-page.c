#include "desk-chem-page.h"

#include "desk-chem-view.h"
#include "desk-document-view.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-page.h"
#include "desk-period.h"
#include "document-account-pages.h"
#include "document-words.h"

#define MS_PER_DAY G_GINT64_CONSTANT (86400000)

struct _TdChemPage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  TdChemLoaded *loaded;
  gboolean pages_stale;

  GtkWidget *box;
  TdNotice *notice;
  TdPeriod *period;
  GtkStack *stack;
  TdChemSums *sums;
  TdDocumentView *pages;
  TdChemStock *stock;
  TdChemExceptions *exceptions;
  TdChemTraceView *trace;
};

G_DEFINE_FINAL_TYPE (TdChemPage, td_chem_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUBTITLE,
  PROP_LOADED,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

/* ---- the account as pages ---- */

/* What a file is written from: the same reading that is shown. */
typedef struct
{
  TdChemLoaded *loaded;
  TdPaperKind paper;
  gint64 now_ms;
} Kept;

static void
free_kept (gpointer data)
{
  td_chem_loaded_unref (((Kept *) data)->loaded);
  g_free (data);
}

static gboolean
write_account (gpointer document, const char *path, GError **error)
{
  Kept *kept = document;

  return td_account_write_pdf (kept->loaded->audit, path, kept->paper, kept->now_ms, error);
}

static TdPaperKind
get_paper (TdChemPage *self)
{
  g_autofree char *paper = g_settings_get_string (td_context_get_settings (self->context), "paper");
  TdPaperKind kind = TD_PAPER_A4;

  td_paper_kind_from_text (paper, &kind);
  return kind;
}

/* Laid out when somebody looks at it. */
static void
update_pages (TdChemPage *self)
{
  g_autoptr (GError) error = NULL;
  TdPages *pages;
  Kept *kept;

  if (!self->pages_stale || self->loaded == NULL
      || g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "pages") != 0)
    return;
  self->pages_stale = FALSE;
  pages = td_account_to_pages (self->loaded->audit, get_paper (self), &error);
  if (pages == NULL)
    {
      td_document_view_set_error (self->pages, error);
      return;
    }
  kept = g_new0 (Kept, 1);
  kept->loaded = td_chem_loaded_ref (self->loaded);
  kept->paper = get_paper (self);
  kept->now_ms = td_context_get_now_ms (self->context);
  td_document_view_set_document (self->pages, pages, _ ("Chemical account"), write_account, kept, free_kept);
}

/* ---- reading ---- */

static void
loaded_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdChemPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer loaded = NULL;
  TdChemLoaded *old;

  if (!td_queue_run_finish (result, &loaded, &error))
    {
      /* Cancelled: the page is gone, or asks for another period. */
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The account could not be read."), error);
      return;
    }
  old = self->loaded;
  self->loaded = loaded;
  self->pages_stale = TRUE;
  td_chem_sums_show (self->sums, loaded);
  td_chem_stock_show (self->stock, loaded);
  td_chem_exceptions_show (self->exceptions, loaded);
  td_chem_trace_show (self->trace, loaded);
  g_clear_pointer (&old, td_chem_loaded_unref);
  update_pages (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_SUBTITLE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
}

static void
reload (TdChemPage *self)
{
  if (td_context_get_queue (self->context) == NULL)
    return;
  g_cancellable_cancel (self->cancellable);
  g_clear_object (&self->cancellable);
  self->cancellable = g_cancellable_new ();
  td_context_run_async (self->context, TD_JOB_READ, td_chem_job_load,
                        td_chem_ask_new (td_period_get_from (self->period), td_period_get_to (self->period),
                                         td_context_get_now_ms (self->context)),
                        td_chem_ask_free, td_chem_loaded_unref, self->cancellable, loaded_cb, self);
}

static void
show_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdChemPage *self = TD_CHEM_PAGE (widget);
  GtkWidget *child = gtk_stack_get_child_by_name (self->stack, g_variant_get_string (parameter, NULL));

  if (child != NULL)
    gtk_stack_set_visible_child (self->stack, child);
}

static void
td_chem_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdChemPage *self = TD_CHEM_PAGE (object);

  switch (id)
    {
    case PROP_TITLE:
      g_value_set_string (value, _ ("Chemicals"));
      break;
    case PROP_SUBTITLE:
      if (self->loaded != NULL)
        g_value_take_string (value, td_document_period (self->loaded->audit->from, self->loaded->audit->to));
      break;
    case PROP_LOADED:
      g_value_set_boolean (value, self->loaded != NULL);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_chem_page_dispose (GObject *object)
{
  TdChemPage *self = TD_CHEM_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->cancellable);
  g_clear_pointer (&self->loaded, td_chem_loaded_unref);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_chem_page_parent_class)->dispose (object);
}

static void
td_chem_page_class_init (TdChemPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_chem_page_get_property;
  object_class->dispose = td_chem_page_dispose;
  td_page_make_title_properties (&properties[PROP_TITLE], &properties[PROP_SUBTITLE]);
  properties[PROP_LOADED] = td_page_make_loaded_property ();
  g_object_class_install_properties (object_class, N_PROPS, properties);

  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_PERIOD);
  g_type_ensure (TD_TYPE_DOCUMENT_VIEW);
  g_type_ensure (TD_TYPE_CHEM_SUMS);
  g_type_ensure (TD_TYPE_CHEM_STOCK);
  g_type_ensure (TD_TYPE_CHEM_EXCEPTIONS);
  g_type_ensure (TD_TYPE_CHEM_TRACE);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/chem-page.ui");
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, box);
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, period);
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, stack);
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, sums);
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, pages);
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, stock);
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, exceptions);
  gtk_widget_class_bind_template_child (widget_class, TdChemPage, trace);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "chem.show", "s", show_action);
}

static void
td_chem_page_init (TdChemPage *self)
{
  self->cancellable = g_cancellable_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_chem_page_new (TdContext *context)
{
  TdChemPage *self = g_object_new (TD_TYPE_CHEM_PAGE, NULL);

  g_return_val_if_fail (TD_IS_CONTEXT (context), GTK_WIDGET (self));
  self->context = g_object_ref (context);
  td_chem_stock_set_context (self->stock, context);
  td_chem_exceptions_set_context (self->exceptions, context);
  td_chem_trace_set_context (self->trace, context);
  g_object_set (self->period, "choice", 3, NULL); /* this year */
  td_period_set_today (self->period, (TdDate) (td_context_get_now_ms (context) / MS_PER_DAY));
  g_signal_connect_object (self->period, "changed", G_CALLBACK (reload), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->stack, "notify::visible-child", G_CALLBACK (update_pages), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (context, "book-changed", G_CALLBACK (reload), self, G_CONNECT_SWAPPED);
  reload (self);
  return GTK_WIDGET (self);
}
