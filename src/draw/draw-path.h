/* draw-path.h: lines, hoses and manifolds with their heads. Private to draw. */
#pragma once

#include "draw-glyph.h"

G_BEGIN_DECLS

void td_path_paint_line (TdGlyphPen *pen, const TdItem *item);
void td_path_paint_hose (TdGlyphPen *pen, const TdItem *item);
void td_path_paint_manifold (TdGlyphPen *pen, const TdItem *item);

G_END_DECLS
