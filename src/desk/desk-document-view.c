#include "desk-document-view.h"

#include "desk-choose.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-paper.h"
#include "desk-print.h"

/* Pixels to a point: the least and the most that is of use on a screen, and one step. */
#define ZOOM_MIN 0.5
#define ZOOM_MAX 4.0
#define ZOOM_STEP 1.25
/* A page that is fitted to a wide window grows no larger than this: easily read at arm's length. */
#define FIT_MAX 1.7
/* Margin around a page, pixels, on both sides together. */
#define MARGIN_PX 32

struct _TdDocumentView
{
  GtkWidget parent;
  GPtrArray *documents; /* TdPages; NULL where nothing is shown */
  char *name;
  TdDocumentWrite write;
  gpointer document;
  GDestroyNotify free_document;
  double zoom; /* 0: fitted */
  guint fit_source;

  GtkWidget *root;
  TdNotice *notice;
  GtkLabel *place;
  GtkScrolledWindow *scroller;
  GtkBox *papers;
};

G_DEFINE_FINAL_TYPE (TdDocumentView, td_document_view, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_ZOOM,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
draw_page (gpointer document, guint index, cairo_t *cr)
{
  td_pages_draw (document, index, cr);
}

static double
get_scale (TdDocumentView *self)
{
  int width = gtk_widget_get_width (GTK_WIDGET (self->scroller));
  const TdPaper *paper;

  if (self->zoom > 0 || self->documents == NULL)
    return MAX (self->zoom, ZOOM_MIN);
  paper = td_pages_get_paper (g_ptr_array_index (self->documents, 0));
  return CLAMP ((width - MARGIN_PX) / paper->width, ZOOM_MIN, FIT_MAX);
}

/* Only pages in sight, and one above and below, are painted and kept as pictures. */
static void
update_sight (TdDocumentView *self)
{
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (self->scroller);
  double top = gtk_adjustment_get_value (adjustment);
  double height = gtk_adjustment_get_page_size (adjustment);
  guint index = 0, shown = 0;
  double middle = top + height / 2;

  for (GtkWidget *paper = gtk_widget_get_first_child (GTK_WIDGET (self->papers)); paper != NULL;
       paper = gtk_widget_get_next_sibling (paper), index++)
    {
      graphene_rect_t bounds;

      if (!gtk_widget_compute_bounds (paper, GTK_WIDGET (self->papers), &bounds))
        continue;
      td_paper_widget_set_near (TD_PAPER_WIDGET (paper), bounds.origin.y < top + 2 * height
                                                           && bounds.origin.y + bounds.size.height > top - height);
      if (bounds.origin.y <= middle)
        shown = index;
    }
  if (self->documents != NULL)
    {
      g_autofree char *text
        = g_strdup_printf (_ ("Page %u of %u"), shown + 1, td_print_count_pages (self->documents));

      gtk_label_set_label (self->place, text);
    }
}

static void
apply_zoom (TdDocumentView *self)
{
  double scale = get_scale (self);

  for (GtkWidget *paper = gtk_widget_get_first_child (GTK_WIDGET (self->papers)); paper != NULL;
       paper = gtk_widget_get_next_sibling (paper))
    td_paper_widget_set_zoom (TD_PAPER_WIDGET (paper), scale);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "document.zoom-in",
                                 self->documents != NULL && scale < ZOOM_MAX);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "document.zoom-out",
                                 self->documents != NULL && scale > ZOOM_MIN);
  update_sight (self);
}

static gboolean
fit_later (gpointer user_data)
{
  TdDocumentView *self = user_data;

  self->fit_source = 0;
  apply_zoom (self);
  return G_SOURCE_REMOVE;
}

/* Sizes of children must not change while sizes are being handed out: fitted right after. */
static void
td_document_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  TdDocumentView *self = TD_DOCUMENT_VIEW (widget);

  gtk_widget_allocate (self->root, width, height, baseline, NULL);
  if (self->fit_source == 0)
    self->fit_source = g_idle_add_full (GTK_PRIORITY_RESIZE + 1, fit_later, self, NULL);
}

static void
td_document_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                          int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (TD_DOCUMENT_VIEW (widget)->root, orientation, for_size, minimum, natural, minimum_baseline,
                      natural_baseline);
}

static void
set_zoom (TdDocumentView *self, double zoom)
{
  double clamped = zoom > 0 ? CLAMP (zoom, ZOOM_MIN, ZOOM_MAX) : 0;

  if (self->zoom == clamped)
    return;
  self->zoom = clamped;
  apply_zoom (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ZOOM]);
}

static void
zoom_in_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  set_zoom (TD_DOCUMENT_VIEW (widget), get_scale (TD_DOCUMENT_VIEW (widget)) * ZOOM_STEP);
}

static void
zoom_out_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  set_zoom (TD_DOCUMENT_VIEW (widget), get_scale (TD_DOCUMENT_VIEW (widget)) / ZOOM_STEP);
}

static void
fit_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  set_zoom (TD_DOCUMENT_VIEW (widget), 0);
}

static void
export_chosen (GtkWidget *widget, GListModel *files, gpointer user_data)
{
  g_autoptr (GFile) file = g_list_model_get_item (files, 0);
  g_autofree char *path = g_file_get_path (file);

  if (path != NULL)
    td_document_view_export (TD_DOCUMENT_VIEW (widget), path);
}

static void
export_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdDocumentView *self = TD_DOCUMENT_VIEW (widget);
  g_autofree char *file_name = g_strconcat (self->name, ".pdf", NULL);

  td_choose_files (widget, TD_CHOOSE_SAVE, TD_CHOOSE_PDF, _ ("Export as PDF"), file_name, export_chosen, NULL, NULL);
}

GtkPrintOperation *
td_document_view_make_print (TdDocumentView *self)
{
  g_return_val_if_fail (TD_IS_DOCUMENT_VIEW (self), NULL);
  return self->documents != NULL ? td_print_new (self->documents, self->name) : NULL;
}

static void
print_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdDocumentView *self = TD_DOCUMENT_VIEW (widget);
  g_autoptr (GtkPrintOperation) print = td_document_view_make_print (self);
  g_autoptr (GError) error = NULL;
  GtkRoot *root = gtk_widget_get_root (widget);

  /* Runs a loop of its own until the dialog is answered and the pages are drawn; the pages must last. */
  g_object_ref (self);
  if (gtk_print_operation_run (print, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG,
                               GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, &error)
      == GTK_PRINT_OPERATION_RESULT_ERROR)
    td_notice_show_error (self->notice, _ ("It was not printed."), error);
  g_object_unref (self);
}

gboolean
td_document_view_export (TdDocumentView *self, const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  g_autofree char *base = NULL;

  g_return_val_if_fail (TD_IS_DOCUMENT_VIEW (self) && path != NULL, FALSE);
  g_return_val_if_fail (self->documents != NULL, FALSE);
  if (!self->write (self->document, path, &error))
    {
      td_notice_show_error (self->notice, _ ("The PDF was not written."), error);
      return FALSE;
    }
  base = g_path_get_basename (path);
  text = g_strdup_printf (_ ("Written: %s"), base);
  td_notice_show_done (self->notice, text);
  return TRUE;
}

static void
clear_document (TdDocumentView *self)
{
  GtkWidget *paper;

  while ((paper = gtk_widget_get_first_child (GTK_WIDGET (self->papers))) != NULL)
    gtk_box_remove (self->papers, paper);
  g_clear_pointer (&self->documents, g_ptr_array_unref);
  g_clear_pointer (&self->name, g_free);
  if (self->document != NULL)
    self->free_document (g_steal_pointer (&self->document));
}

static void
add_papers (TdDocumentView *self)
{
  guint n = td_print_count_pages (self->documents), shown = 0;

  for (guint d = 0; d < self->documents->len; d++)
    {
      TdPages *pages = g_ptr_array_index (self->documents, d);
      const TdPaper *size = td_pages_get_paper (pages);

      for (guint i = 0; i < td_pages_get_count (pages); i++)
        {
          GtkWidget *paper = td_paper_widget_new ();
          g_autofree char *title = g_strdup_printf (_ ("Page %u of %u"), ++shown, n);

          td_paper_widget_set_page (TD_PAPER_WIDGET (paper), draw_page, pages, i, size->width, size->height, title);
          gtk_box_append (self->papers, paper);
        }
    }
}

void
td_document_view_set_bound (TdDocumentView *self, GPtrArray *documents, const char *name, TdDocumentWrite write,
                            gpointer document, GDestroyNotify free_document)
{
  g_return_if_fail (TD_IS_DOCUMENT_VIEW (self));
  g_return_if_fail (documents == NULL
                    || (documents->len > 0 && name != NULL && write != NULL && document != NULL
                        && free_document != NULL));
  clear_document (self);
  if (documents != NULL)
    {
      self->documents = g_ptr_array_ref (documents);
      self->name = g_strdup (name);
      self->write = write;
      self->document = document;
      self->free_document = free_document;
      add_papers (self);
      td_notice_clear (self->notice);
    }
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "document.export", documents != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "document.print", documents != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "document.fit", documents != NULL);
  apply_zoom (self);
}

void
td_document_view_set_document (TdDocumentView *self, TdPages *pages, const char *name, TdDocumentWrite write,
                               gpointer document, GDestroyNotify free_document)
{
  g_autoptr (GPtrArray) documents = NULL;

  if (pages != NULL)
    {
      documents = g_ptr_array_new_with_free_func ((GDestroyNotify) td_pages_free);
      g_ptr_array_add (documents, pages);
    }
  td_document_view_set_bound (self, documents, name, write, document, free_document);
}

void
td_document_view_set_error (TdDocumentView *self, const GError *error)
{
  g_return_if_fail (TD_IS_DOCUMENT_VIEW (self) && error != NULL);
  td_document_view_set_document (self, NULL, NULL, NULL, NULL, NULL);
  td_notice_show_error (self->notice, _ ("The document cannot be shown."), error);
}

guint
td_document_view_get_n_pages (TdDocumentView *self)
{
  g_return_val_if_fail (TD_IS_DOCUMENT_VIEW (self), 0);
  return self->documents != NULL ? td_print_count_pages (self->documents) : 0;
}

static void
td_document_view_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_ZOOM)
    g_value_set_double (value, TD_DOCUMENT_VIEW (object)->zoom);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_document_view_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_ZOOM)
    set_zoom (TD_DOCUMENT_VIEW (object), g_value_get_double (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_document_view_dispose (GObject *object)
{
  TdDocumentView *self = TD_DOCUMENT_VIEW (object);

  g_clear_handle_id (&self->fit_source, g_source_remove);
  if (self->root != NULL)
    clear_document (self);
  g_clear_pointer (&self->root, gtk_widget_unparent);
  G_OBJECT_CLASS (td_document_view_parent_class)->dispose (object);
}

static void
td_document_view_class_init (TdDocumentViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  const GdkModifierType ctrl = GDK_CONTROL_MASK;

  object_class->get_property = td_document_view_get_property;
  object_class->set_property = td_document_view_set_property;
  object_class->dispose = td_document_view_dispose;
  widget_class->size_allocate = td_document_view_size_allocate;
  widget_class->measure = td_document_view_measure;
  properties[PROP_ZOOM]
    = g_param_spec_double ("zoom", NULL, NULL, 0, ZOOM_MAX, 0,
                           G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);

  g_type_ensure (TD_TYPE_NOTICE);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/document-view.ui");
  gtk_widget_class_bind_template_child (widget_class, TdDocumentView, root);
  gtk_widget_class_bind_template_child (widget_class, TdDocumentView, notice);
  gtk_widget_class_bind_template_child (widget_class, TdDocumentView, place);
  gtk_widget_class_bind_template_child (widget_class, TdDocumentView, scroller);
  gtk_widget_class_bind_template_child (widget_class, TdDocumentView, papers);
  gtk_widget_class_bind_template_callback (widget_class, update_sight);
  gtk_widget_class_install_action (widget_class, "document.zoom-in", NULL, zoom_in_action);
  gtk_widget_class_install_action (widget_class, "document.zoom-out", NULL, zoom_out_action);
  gtk_widget_class_install_action (widget_class, "document.fit", NULL, fit_action);
  gtk_widget_class_install_action (widget_class, "document.export", NULL, export_action);
  gtk_widget_class_install_action (widget_class, "document.print", NULL, print_action);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_plus, ctrl, "document.zoom-in", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_equal, ctrl, "document.zoom-in", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_KP_Add, ctrl, "document.zoom-in", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_minus, ctrl, "document.zoom-out", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_KP_Subtract, ctrl, "document.zoom-out", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_0, ctrl, "document.fit", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_p, ctrl, "document.print", NULL);
}

static void
td_document_view_init (TdDocumentView *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  td_document_view_set_document (self, NULL, NULL, NULL, NULL, NULL);
}

GtkWidget *
td_document_view_new (void)
{
  return g_object_new (TD_TYPE_DOCUMENT_VIEW, NULL);
}
