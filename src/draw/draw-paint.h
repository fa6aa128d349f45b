/* draw-paint.h: a scene onto cairo. */
#pragma once

#include "draw-palette.h"
#include "draw-scene.h"

#include <pango/pangocairo.h>

G_BEGIN_DECLS

typedef struct
{
  TdPaletteKind palette;
  PangoFontMap *font_map; /* NULL: the thread's own */
  const char *family;     /* NULL: "Sans" */
  gboolean ground;        /* fill the ground first */
  int chosen;             /* outlet to be marked, -1 for none */
  int chosen_circuit;     /* circuit whose pump is marked, 0 for none */
} TdPaintOptions;

#define TD_PAINT_OPTIONS_INIT                                                                      \
  {                                                                                                \
    .palette = TD_PALETTE_LIGHT, .ground = TRUE, .chosen = -1                                      \
  }

/* Paints the whole scene with its upper left corner at the origin; one unit of @cr is a millimetre.
 * @options: (nullable). */
void td_scene_paint (const TdScene *scene, cairo_t *cr, const TdPaintOptions *options);
/* Paints one row, or the legend with @row -1, moved so that its top lies at the origin: pages take
 * a big scene row by row. */
void td_scene_paint_row (const TdScene *scene, int row, cairo_t *cr, const TdPaintOptions *options);

G_END_DECLS
