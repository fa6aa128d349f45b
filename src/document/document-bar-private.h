/* document-bar-private.h: what the papers of a bar share. */
#pragma once

#include "document-bar.h"

G_BEGIN_DECLS

void td_bar_paint_map (TdFlow *flow, const TdSite *site, const TdLanguage *language);
void td_bar_paint_labels (TdFlow *flow, const TdSite *site, const TdMasters *masters, const TdLanguage *language);

G_END_DECLS
