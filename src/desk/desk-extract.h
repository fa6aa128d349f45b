/* desk-extract.h: the inspector's extract of a site in a document view. */
#pragma once

#include "desk-context.h"
#include "desk-document-view.h"

G_BEGIN_DECLS

/* Reads the cleaning record of the year that ends today and shows it; says in the view what went wrong.
 * @cancellable: of whoever owns @view. */
void td_extract_show (TdDocumentView *view, TdContext *context, const char *site_id, GCancellable *cancellable);

G_END_DECLS
