/* draw-text.h: text in a picture whose unit is the millimetre. Private to draw. */
#pragma once

#include "draw-scene.h"

#include <pango/pangocairo.h>

G_BEGIN_DECLS

/* Lays texts out on one cairo context. */
typedef struct _TdTextPen TdTextPen;

/* @map: (nullable): NULL for the thread's own font map. @family: (nullable): NULL for "Sans". */
TdTextPen *td_text_pen_new (cairo_t *cr, PangoFontMap *map, const char *family);
void td_text_pen_free (TdTextPen *pen);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdTextPen, td_text_pen_free)

/* Writes @text into @box in the current colour, in the middle of its height: wrapped to as many
 * lines as the box holds, then shortened by an ellipsis. An upright text reads from below upwards.
 */
void td_text_pen_write (TdTextPen *pen,
                        const char *text,
                        const TdBox *box,
                        double size_mm,
                        TdAlign align,
                        gboolean bold,
                        gboolean upright);

G_END_DECLS
