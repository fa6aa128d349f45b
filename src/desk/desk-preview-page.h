/* desk-preview-page.h: what files would change in the book, row by row, before they are taken in. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_PREVIEW_PAGE (td_preview_page_get_type ())
/* Properties: "title", "subtitle" (string), "loaded" (boolean): the files have been looked at.
 * Action: "preview.take": takes in every file without a refused row, then leads to the round. */
G_DECLARE_FINAL_TYPE (TdPreviewPage, td_preview_page, TD, PREVIEW_PAGE, GtkWidget)

/* @files: (element-type GFile). */
GtkWidget *td_preview_page_new (TdContext *context, GListModel *files);

G_END_DECLS
