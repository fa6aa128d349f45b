/* document-day.h: a technician's day on paper. */
#pragma once

#include "document-pages.h"

#include "core-day-sheet.h"

G_BEGIN_DECLS

/* Returns: (transfer full): the pages, or NULL with TD_DOCUMENT_ERROR_FONTS. */
TdPages *td_day_to_pages (const TdDaySheet *sheet, TdFonts *fonts, TdPaperKind paper, GError **error);
/* "Day sheet, Nora Quill, 2026-06-16": title of its file. (transfer full) */
char *td_day_make_title (const TdDaySheet *sheet);

G_END_DECLS
