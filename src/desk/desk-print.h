/* desk-print.h: printing: a thin caller of the pages. */
#pragma once

#include "document-pages.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* @documents: (element-type TdPages): one after the other, at least one; a reference is taken. @name: of the job.
 * Returns: (transfer full): the operation that prints them, each page on a sheet of the first one's size. */
GtkPrintOperation *td_print_new (GPtrArray *documents, const char *name);
/* Pages of all of them. */
guint td_print_count_pages (const GPtrArray *documents);

G_END_DECLS
