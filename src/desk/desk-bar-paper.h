/* desk-bar-paper.h: the papers that hang in a bar, shown where documents are read, printed and exported. */
#pragma once

#include "desk-document-view.h"
#include "document-bar.h"

G_BEGIN_DECLS

/* @settings: for the paper's size. @now_ms: UTC. The words are in the language of the site's staff, in the
 * program's where the site names none. Returns FALSE with the error of td_bar_to_pages(). */
gboolean td_bar_paper_show (TdDocumentView *view,
                            TdBarPaper what,
                            TdSite *site,
                            TdMasters *masters,
                            GSettings *settings,
                            gint64 now_ms,
                            GError **error);

G_END_DECLS
