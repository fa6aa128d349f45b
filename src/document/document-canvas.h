/* document-canvas.h: a strip that is drawn freely: texts, boxes, rules, signatures, pictures.
 *
 * A canvas collects what is to be drawn, in points from its upper left corner, and becomes one
 * strip of a flow.  Texts are laid out at once, so that what follows can be put beneath them. */
#pragma once

#include "document-flow.h"

#include "core-json.h"

G_BEGIN_DECLS

typedef struct _TdCanvas TdCanvas;

TdCanvas *td_canvas_new (TdFlow *flow);
void td_canvas_free (TdCanvas *canvas);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdCanvas, td_canvas_free)

/* Writes @text (NULL: nothing) with its upper left corner at (@x, @y), wrapped to @width (-1: one
 * line). Returns: the height it takes. */
double td_canvas_text (TdCanvas *canvas,
                       double x,
                       double y,
                       double width,
                       const char *text,
                       const TdStyle *style);
/* The same in white on whatever is there. */
double td_canvas_white_text (TdCanvas *canvas,
                             double x,
                             double y,
                             double width,
                             const char *text,
                             const TdStyle *style);
/* Width of @text on one line. */
double td_canvas_measure (TdCanvas *canvas, const char *text, const TdStyle *style);
/* Fills a box with a grey, 0 black to 1 white. */
void
td_canvas_fill (TdCanvas *canvas, double x, double y, double width, double height, double grey);
/* Draws its outline in black. */
void
td_canvas_frame (TdCanvas *canvas, double x, double y, double width, double height, double line);
/* A straight rule. */
void td_canvas_rule (TdCanvas *canvas,
                     double x,
                     double y,
                     double to_x,
                     double to_y,
                     double line,
                     double grey);
/* A signature as it was drawn (array of strokes, each x, y, ms, ... in 1/100 mm), made to fit the
 * box and never enlarged. */
void td_canvas_strokes (TdCanvas *canvas,
                        double x,
                        double y,
                        double width,
                        double height,
                        const TdJson *strokes);

/* Turns the canvas into a strip of @height points and frees it. Returns: (transfer none): the
 * strip. */
TdStrip *td_flow_add_canvas (TdFlow *flow, TdCanvas *canvas, double height);

G_END_DECLS
