/* desk-document-view.h: a document as it will come out of the printer: to be read, printed and exported. */
#pragma once

#include "document-pages.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_DOCUMENT_VIEW (td_document_view_get_type ())
/* Actions: "document.zoom-in", "document.zoom-out", "document.fit", "document.export" (asks where),
 * "document.print" (asks the printer). Property "zoom" (double): pixels to a point; 0 while the page is
 * fitted to the width. */
G_DECLARE_FINAL_TYPE (TdDocumentView, td_document_view, TD, DOCUMENT_VIEW, GtkWidget)

GtkWidget *td_document_view_new (void);
/* Writes the document as a PDF to @path; FALSE with @error. */
typedef gboolean (*TdDocumentWrite) (gpointer document, const char *path, GError **error);

/* @pages: (transfer full) (nullable): NULL shows nothing; the rest is then not looked at. @name: what the
 * file is called by default, without ".pdf". @document: (transfer full): what @write is called with, freed
 * by @free_document. */
void td_document_view_set_document (TdDocumentView *self,
                                    TdPages *pages,
                                    const char *name,
                                    TdDocumentWrite write,
                                    gpointer document,
                                    GDestroyNotify free_document);
/* The same of several documents, each numbered by itself, one under the other. @documents: (element-type TdPages)
 * (nullable): a reference is taken. */
void td_document_view_set_bound (TdDocumentView *self,
                                 GPtrArray *documents,
                                 const char *name,
                                 TdDocumentWrite write,
                                 gpointer document,
                                 GDestroyNotify free_document);
/* Says in place why there is no document. */
void td_document_view_set_error (TdDocumentView *self, const GError *error);
guint td_document_view_get_n_pages (TdDocumentView *self);

/* Writes the PDF; says in the view how it went. */
gboolean td_document_view_export (TdDocumentView *self, const char *path);
/* Returns: (transfer full): the operation that prints the pages, each on a sheet of its own size; without a
 * document NULL. */
GtkPrintOperation *td_document_view_make_print (TdDocumentView *self);

G_END_DECLS
