/* document-body.h: the body of a journal entry in words, for the timeline. */
#pragma once

#include "document-units.h"

#include "core-visit.h"

G_BEGIN_DECLS

/* Returns: (transfer full): what the entry says beyond its kind: "Tower A 2, 4 · pH 7.42 ·
 * measured". Every field is named; of a signature's strokes and a closing's snapshot only that they
 * are there. */
char *td_body_to_words (const TdVisit *visit, TdKind kind, const TdJson *body, TdUnits units);
/* Outlets by their towers: "Tower A 2, 4; Tower B 6". @lines: an array of ids. (transfer full) */
char *td_lines_to_words (const TdSite *site, const TdJson *lines);

G_END_DECLS
