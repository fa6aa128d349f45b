#include "desk-preview-page.h"

#include "core-change.h"
#include "desk-i18n.h"
#include "desk-listing-view.h"
#include "desk-notice.h"
#include "desk-page.h"
#include "store-preview.h"

struct _TdPreviewPage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  GListModel *files;
  GPtrArray *previews; /* TdPreview; NULL until the files are looked at */

  GtkWidget *box;
  TdNotice *notice;
  GtkLabel *sum;
  GtkButton *take;
  GtkBox *holder;
  TdListingView *rows;
};

G_DEFINE_FINAL_TYPE (TdPreviewPage, td_preview_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUBTITLE,
  PROP_LOADED,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

/* Files as the book's thread reads them. */
typedef struct
{
  GPtrArray *files; /* GFile */
} Job;

static void
free_job (gpointer data)
{
  g_ptr_array_unref (((Job *) data)->files);
  g_free (data);
}

static void
free_previews (gpointer data)
{
  g_ptr_array_unref (data);
}

/* A file that cannot be read is told as such; nothing is looked at then. */
static gboolean
look_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  Job *job = data;
  guint n = job->files->len;
  g_autofree TdPreviewFile *files = g_new0 (TdPreviewFile, n + 1);
  g_auto (GStrv) names = g_new0 (char *, n + 1), texts = g_new0 (char *, n + 1);

  for (guint i = 0; i < n; i++)
    {
      GFile *file = g_ptr_array_index (job->files, i);
      gsize length = 0;

      names[i] = g_file_get_basename (file);
      if (!g_file_load_contents (file, NULL, &texts[i], &length, NULL, error))
        {
          g_prefix_error (error, "%s: ", names[i]);
          return FALSE;
        }
      files[i] = (TdPreviewFile){ names[i], texts[i], length };
    }
  *result_out = td_book_preview (book, files, n, error);
  return *result_out != NULL;
}

static const char *
get_outcome_word (TdPreviewOutcome outcome)
{
  static const char *const words[] = { N_ ("new"), N_ ("changes"), N_ ("as before"), N_ ("refused") };

  return _ (words[outcome]);
}

static const char *
get_kind_word (TdMasterKind kind)
{
  static const char *const words[TD_N_MASTERS] = { N_ ("Company"),    N_ ("Account"), N_ ("Site"), N_ ("Technician"),
                                                   N_ ("Instrument"), N_ ("Product"), N_ ("Lot") };

  return _ (words[kind]);
}

/* One line of the table for a row, one more for each further field that changes. */
static void
add_row (GPtrArray *rows, const TdPreview *file, const TdPreviewRow *row)
{
  guint n = row->changes != NULL ? row->changes->len : 0;

  for (guint i = 0; i < MAX (n, 1); i++)
    {
      TdListing *listing = td_listing_new ((gint64) rows->len, row->outcome == TD_PREVIEW_REFUSED);
      const TdChange *change = i < n ? g_ptr_array_index (row->changes, i) : NULL;

      if (i == 0)
        {
          td_listing_set (listing, 0, g_strdup (file->name));
          td_listing_set (listing, 1, row->line > 0 ? g_strdup_printf ("%u", row->line) : NULL);
          td_listing_set (listing, 2, g_strdup (get_outcome_word (row->outcome)));
          td_listing_set (listing, 3, g_strdup_printf ("%s %s", get_kind_word (row->kind),
                                                       row->title != NULL ? row->title : ""));
        }
      if (change != NULL)
        td_listing_set (listing, 4, g_strdup_printf ("%s: %s → %s", change->path,
                                                     change->old_text != NULL ? change->old_text : "–",
                                                     change->new_text != NULL ? change->new_text : "–"));
      else if (row->message != NULL)
        td_listing_set (listing, 4, g_strdup (row->message));
      g_ptr_array_add (rows, listing);
    }
}

/* TRUE where the file will be taken in. */
static gboolean
is_wanted (const TdPreview *preview)
{
  return preview->counts[TD_PREVIEW_REFUSED] == 0
         && preview->counts[TD_PREVIEW_NEW] + preview->counts[TD_PREVIEW_CHANGED] > 0;
}

static void
show_previews (TdPreviewPage *self)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_listing_unref);
  guint counts[4] = { 0 }, wanted = 0, held = 0;
  g_autofree char *sum = NULL;

  for (guint i = 0; i < self->previews->len; i++)
    {
      const TdPreview *preview = g_ptr_array_index (self->previews, i);

      wanted += is_wanted (preview);
      held += preview->counts[TD_PREVIEW_REFUSED] > 0;
      for (int j = 0; j < 4; j++)
        counts[j] += preview->counts[j];
      for (guint j = 0; j < preview->rows->len; j++)
        add_row (rows, preview, g_ptr_array_index (preview->rows, j));
    }
  td_listing_view_set_rows (self->rows, rows, _ ("The files hold no rows."));
  sum = g_strdup_printf (_ ("%u new, %u changed, %u as before, %u refused"), counts[0], counts[1], counts[2],
                         counts[3]);
  gtk_label_set_label (self->sum, sum);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "preview.take", wanted > 0);
  if (held > 0)
    {
      g_autofree char *what = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u file is not taken in.",
                                                            "%u files are not taken in.", held), held);
      g_autoptr (GError) error = g_error_new_literal (G_IO_ERROR, G_IO_ERROR_INVALID_DATA,
                                                      _ ("A file is taken in as a whole or not at all: mend the lines "
                                                         "that are refused and look again."));

      td_notice_show_error (self->notice, what, error);
    }
}

static void
looked_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdPreviewPage *self = user_data;
  g_autoptr (GError) error = NULL;
  gpointer previews = NULL;

  if (!td_queue_run_finish (result, &previews, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The files could not be looked at."), error);
      return;
    }
  self->previews = previews;
  show_previews (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
}

/* The files that pass go the way of every import. */
static void
take_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdPreviewPage *self = TD_PREVIEW_PAGE (widget);
  g_autoptr (GVariantBuilder) uris = g_variant_builder_new (G_VARIANT_TYPE ("as"));

  for (guint i = 0; self->previews != NULL && i < self->previews->len; i++)
    {
      g_autoptr (GFile) file = g_list_model_get_item (self->files, i);
      g_autofree char *uri = g_file_get_uri (file);

      if (is_wanted (g_ptr_array_index (self->previews, i)))
        g_variant_builder_add (uris, "s", uri);
    }
  gtk_widget_activate_action (widget, "win.take-in", "as", uris);
}

static void
td_preview_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  switch (id)
    {
    case PROP_TITLE:
      g_value_set_string (value, _ ("Import"));
      break;
    case PROP_SUBTITLE:
      g_value_set_string (value, _ ("What the files would change"));
      break;
    case PROP_LOADED:
      g_value_set_boolean (value, TD_PREVIEW_PAGE (object)->previews != NULL);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_preview_page_dispose (GObject *object)
{
  TdPreviewPage *self = TD_PREVIEW_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_preview_page_parent_class)->dispose (object);
}

static void
td_preview_page_finalize (GObject *object)
{
  TdPreviewPage *self = TD_PREVIEW_PAGE (object);

  g_clear_object (&self->cancellable);
  g_clear_object (&self->files);
  g_clear_pointer (&self->previews, g_ptr_array_unref);
  G_OBJECT_CLASS (td_preview_page_parent_class)->finalize (object);
}

static void
td_preview_page_class_init (TdPreviewPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_preview_page_get_property;
  object_class->dispose = td_preview_page_dispose;
  object_class->finalize = td_preview_page_finalize;
  td_page_make_title_properties (&properties[PROP_TITLE], &properties[PROP_SUBTITLE]);
  properties[PROP_LOADED] = td_page_make_loaded_property ();
  g_object_class_install_properties (object_class, N_PROPS, properties);
  g_type_ensure (TD_TYPE_NOTICE);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/preview-page.ui");
  gtk_widget_class_bind_template_child (widget_class, TdPreviewPage, box);
  gtk_widget_class_bind_template_child (widget_class, TdPreviewPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdPreviewPage, sum);
  gtk_widget_class_bind_template_child (widget_class, TdPreviewPage, take);
  gtk_widget_class_bind_template_child (widget_class, TdPreviewPage, holder);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "preview.take", NULL, take_action);
}

static void
td_preview_page_init (TdPreviewPage *self)
{
  const TdListingColumn columns[] = { { _ ("File"), 20, FALSE },  { _ ("Line"), 5, TRUE }, { _ ("Outcome"), 10, FALSE },
                                      { _ ("Row"), 0, FALSE }, { _ ("What changes"), 0, FALSE } };

  self->cancellable = g_cancellable_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
  self->rows = TD_LISTING_VIEW (td_listing_view_new ());
  td_listing_view_set_columns (self->rows, _ ("What the files would change"), columns, G_N_ELEMENTS (columns));
  gtk_widget_set_vexpand (GTK_WIDGET (self->rows), TRUE);
  gtk_widget_set_hexpand (GTK_WIDGET (self->rows), TRUE);
  gtk_box_append (self->holder, GTK_WIDGET (self->rows));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "preview.take", FALSE);
}

GtkWidget *
td_preview_page_new (TdContext *context, GListModel *files)
{
  TdPreviewPage *self = g_object_new (TD_TYPE_PREVIEW_PAGE, NULL);
  Job *job = g_new0 (Job, 1);

  g_return_val_if_fail (TD_IS_CONTEXT (context) && G_IS_LIST_MODEL (files), GTK_WIDGET (self));
  self->context = g_object_ref (context);
  self->files = g_object_ref (files);
  job->files = g_ptr_array_new_with_free_func (g_object_unref);
  for (guint i = 0; i < g_list_model_get_n_items (files); i++)
    g_ptr_array_add (job->files, g_list_model_get_item (files, i));
  td_context_run_async (context, TD_JOB_READ, look_job, job, free_job, free_previews, self->cancellable, looked_cb,
                        self);
  return GTK_WIDGET (self);
}
