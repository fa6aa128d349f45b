/* document-bar.h: what hangs in the bar itself: the map of its lines and the labels of its lockout tags.
 *
 * Both speak the language of the bar's staff. */
#pragma once

#include "core-masters.h"
#include "core-site.h"
#include "document-language.h"
#include "document-pages.h"
#include "document-pdf.h"

G_BEGIN_DECLS

typedef enum
{
  TD_BAR_LINE_MAP, /* every line with faucet, tower, beer and keg place, and the drawing */
  TD_BAR_LABELS    /* a label to be folded over for each faucet */
} TdBarPaper;

/* @masters: (nullable): the company, for name and telephones. @language: of the words.
 * @day: printed on the map as its date; TD_DATE_NONE leaves it out.
 * Returns: (transfer full): the pages, or NULL with TD_DOCUMENT_ERROR_FONTS. */
TdPages *td_bar_to_pages (TdBarPaper what,
                          const TdSite *site,
                          const TdMasters *masters,
                          const TdLanguage *language,
                          TdDate day,
                          TdPaperKind paper,
                          GError **error);
/* What its file tells of itself; @title_out: (out) (transfer full): what info.title points at. */
TdPdfInfo td_bar_make_info (TdBarPaper what,
                            const TdSite *site,
                            const TdMasters *masters,
                            const TdLanguage *language,
                            gint64 utc_ms,
                            char **title_out);

G_END_DECLS
