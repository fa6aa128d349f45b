/* document-pages.h: a flow cut into pages, and what stands around the text of each.
 *
 * A value that can be drawn any number of times: a PDF, a printer and a preview are thin callers of
 * the same td_pages_draw(). */
#pragma once

#include "document-flow.h"

G_BEGIN_DECLS

/* Head and foot of every page; NULL leaves a place empty. */
typedef struct
{
  const char *head_left; /* from the second page on: the first has a head of its own */
  const char *head_right;
  const char *foot_left;
  const char *stamp; /* across every page: "DRAFT" */
  const char *page;  /* "Page %u of %u" in the language of the document; NULL: in that of the program */
} TdFurniture;

typedef struct _TdPages TdPages;

/* Cuts @flow into pages and takes it over. A strip that is higher than a page is drawn all the same
 * and runs over the lower edge. Returns: (transfer full): the pages, or NULL with
 * TD_DOCUMENT_ERROR_FONTS where a letter cannot be shown. */
TdPages *td_pages_new (TdFlow *flow, const TdFurniture *furniture, GError **error);
void td_pages_free (TdPages *pages);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPages, td_pages_free)

const TdPaper *td_pages_get_paper (const TdPages *pages);
guint td_pages_get_count (const TdPages *pages);
/* Draws page @index (from 0) with its upper left corner at the origin of @cr, in points. */
void td_pages_draw (const TdPages *pages, guint index, cairo_t *cr);

G_END_DECLS
