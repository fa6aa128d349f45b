/* desk-document-view.h: a document as it will come out of the printer: to be read, printed and exported. */
#pragma once

#include "document-pdf.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_DOCUMENT_VIEW (td_document_view_get_type ())
/* Actions: "document.zoom-in", "document.zoom-out", "document.fit", "document.export" (asks where),
 * "document.print" (asks the printer). Property "zoom" (double): pixels to a point; 0 while the page is
 * fitted to the width. */
G_DECLARE_FINAL_TYPE (TdDocumentView, td_document_view, TD, DOCUMENT_VIEW, GtkWidget)

GtkWidget *td_document_view_new (void);
/* @pages: (transfer full) (nullable). @info: copied. @name: what the file is called by default, without
 * ".pdf". */
void td_document_view_set_document (TdDocumentView *self, TdPages *pages, const TdPdfInfo *info, const char *name);
/* Says in place why there is no document. */
void td_document_view_set_error (TdDocumentView *self, const GError *error);
guint td_document_view_get_n_pages (TdDocumentView *self);

/* Writes the PDF; says in the view how it went. */
gboolean td_document_view_export (TdDocumentView *self, const char *path);
/* Returns: (transfer full): the operation that prints the pages, each on a sheet of its own size; without a
 * document NULL. */
GtkPrintOperation *td_document_view_make_print (TdDocumentView *self);

G_END_DECLS
