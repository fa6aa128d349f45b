/* desk-window.h: the one window: it shows a page and routes to the next; the pages do the rest. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WINDOW (td_window_get_type ())
/* Actions: "win.back", "win.show-round", "win.show-site" (s: its id), "win.show-visit" (s: its id),
 * "win.show-chemicals", "win.show-invoices", "win.show-invoice" (s: its number), "win.show-draft" (s: its key), "win.show-account" (s: its
 * id), "win.show-records" (s: as td_records_page_new() takes it),
 * "win.top" (s), "win.search", "win.show-shortcuts"; those of desk-book-acts.h.
 * Properties: "place" (string): "start", "round", "chemicals", "site:ID", "visit:ID", "records:WHERE", "import",
 * "invoices", "invoice:NUMBER", "draft:KEY",
 * "account:ID"; "top" (string): the place in the header that this belongs to, "round",
 * "invoices" or "chemicals". */
G_DECLARE_FINAL_TYPE (TdWindow, td_window, TD, WINDOW, GtkApplicationWindow)

/* Shows no page yet where no book is open: td_window_open_book() or td_window_show_start() comes next. */
GtkWidget *td_window_new (GtkApplication *application, TdContext *context);
/* The ways to a book, where none is open. */
void td_window_show_start (TdWindow *self);
TdContext *td_window_get_context (TdWindow *self);
const char *td_window_get_place (TdWindow *self);
/* The page on show. (transfer none) (nullable) */
GtkWidget *td_window_get_page (TdWindow *self);
/* Shows what files would change; from there they are taken in. @files: (element-type GFile). */
void td_window_preview (TdWindow *self, GListModel *files);
/* Opens a book; what goes wrong is said in the window. The place where the book was last left is shown. */
void td_window_open_book (TdWindow *self, const char *path, TdOpenHow how);
/* Says something in the bar under the header. @error: (nullable): NULL for good news. */
void td_window_tell (TdWindow *self, const char *what, const GError *error);

G_END_DECLS
