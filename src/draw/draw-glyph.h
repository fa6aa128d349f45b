/* draw-glyph.h: the signs of a picture, one function a sign. Private to draw. */
#pragma once

#include "draw-palette.h"
#include "draw-text.h"

G_BEGIN_DECLS

typedef struct
{
  cairo_t *cr;
  const TdPalette *palette;
  TdTextPen *text;
} TdGlyphPen;

/* Paints an item that is neither a path nor a panel nor a label. */
void td_glyph_paint (TdGlyphPen *pen, const TdItem *item);
/* The pattern of a stage. */
void td_glyph_paint_stage (TdGlyphPen *pen, const TdItem *item);
void td_glyph_paint_tag (TdGlyphPen *pen, const TdItem *item);
void td_glyph_paint_cleaning_pump (TdGlyphPen *pen, const TdItem *item);

/* Paths: a panel's outline, and shafts with heads. */
void td_glyph_round_box (cairo_t *cr, const TdBox *box, double radius);
const TdColour *td_glyph_way_colour (const TdPalette *palette, TdRunWay way);

G_END_DECLS
