#include "document-canvas.h"

#include <math.h>

typedef enum
{
  OP_TEXT,
  OP_FILL,
  OP_FRAME,
  OP_RULE,
  OP_STROKES
} OpKind;

typedef struct
{
  OpKind kind;
  double x, y, width, height; /* a rule: to where */
  double grey, line;
  PangoLayout *layout;
  TdJson *strokes;
} Op;

struct _TdCanvas
{
  TdFonts *fonts;
  GArray *ops; /* Op */
};

static void
op_clear (gpointer data)
{
  Op *op = data;

  g_clear_object (&op->layout);
  g_clear_pointer (&op->strokes, td_json_unref);
}

TdCanvas *
td_canvas_new (TdFlow *flow)
{
  TdCanvas *canvas = g_new0 (TdCanvas, 1);

  canvas->fonts = td_fonts_ref (td_flow_get_fonts (flow));
  canvas->ops = g_array_new (FALSE, TRUE, sizeof (Op));
  g_array_set_clear_func (canvas->ops, op_clear);
  return canvas;
}

void
td_canvas_free (TdCanvas *canvas)
{
  td_fonts_unref (canvas->fonts);
  g_array_unref (canvas->ops);
  g_free (canvas);
}

static double
add_text (TdCanvas *canvas,
          double x,
          double y,
          double width,
          const char *text,
          const TdStyle *style,
          double grey)
{
  Op op = { .kind = OP_TEXT, .x = x, .y = y, .grey = grey };
  double height;

  if (text == NULL || *text == '\0')
    return 0;
  op.layout = td_fonts_layout (canvas->fonts, text, style, width);
  td_layout_get_points (op.layout, NULL, &height);
  g_array_append_val (canvas->ops, op);
  return height;
}

double
td_canvas_text (TdCanvas *canvas,
                double x,
                double y,
                double width,
                const char *text,
                const TdStyle *style)
{
  return add_text (canvas, x, y, width, text, style, style->grey);
}

double
td_canvas_white_text (TdCanvas *canvas,
                      double x,
                      double y,
                      double width,
                      const char *text,
                      const TdStyle *style)
{
  return add_text (canvas, x, y, width, text, style, 1.0);
}

double
td_canvas_measure (TdCanvas *canvas, const char *text, const TdStyle *style)
{
  g_autoptr (PangoLayout) layout = td_fonts_layout (canvas->fonts, text, style, -1);
  double width;

  td_layout_get_points (layout, &width, NULL);
  return width;
}

void
td_canvas_fill (TdCanvas *canvas, double x, double y, double width, double height, double grey)
{
  Op op = { .kind = OP_FILL, .x = x, .y = y, .width = width, .height = height, .grey = grey };

  g_array_append_val (canvas->ops, op);
}

void
td_canvas_frame (TdCanvas *canvas, double x, double y, double width, double height, double line)
{
  Op op = { .kind = OP_FRAME, .x = x, .y = y, .width = width, .height = height, .line = line };

  g_array_append_val (canvas->ops, op);
}

void
td_canvas_rule (TdCanvas *canvas,
                double x,
                double y,
                double to_x,
                double to_y,
                double line,
                double grey)
{
  Op op = {
    .kind = OP_RULE, .x = x, .y = y, .width = to_x, .height = to_y, .line = line, .grey = grey
  };

  g_array_append_val (canvas->ops, op);
}

void
td_canvas_strokes (TdCanvas *canvas,
                   double x,
                   double y,
                   double width,
                   double height,
                   const TdJson *strokes)
{
  Op op = { .kind = OP_STROKES, .x = x, .y = y, .width = width, .height = height };

  if (strokes == NULL)
    return;
  op.strokes = td_json_ref ((TdJson *)strokes);
  g_array_append_val (canvas->ops, op);
}

static double
coordinate (const TdJson *stroke, guint index)
{
  return td_json_get_number (td_json_get_element (stroke, index)) / 100.0 * TD_POINTS_PER_MM;
}

typedef struct
{
  double left, top, right, bottom;
} Extent;

static Extent
measure_strokes (const TdJson *strokes)
{
  Extent extent = { INFINITY, INFINITY, -INFINITY, -INFINITY };

  for (guint i = 0; i < td_json_get_length (strokes); i++)
    {
      const TdJson *stroke = td_json_get_element (strokes, i);

      for (guint j = 0; j + 2 < td_json_get_length (stroke); j += 3)
        {
          extent.left = MIN (extent.left, coordinate (stroke, j));
          extent.right = MAX (extent.right, coordinate (stroke, j));
          extent.top = MIN (extent.top, coordinate (stroke, j + 1));
          extent.bottom = MAX (extent.bottom, coordinate (stroke, j + 1));
        }
    }
  return extent;
}

static void
draw_strokes (cairo_t *cr, const Op *op, double x, double y)
{
  const Extent extent = measure_strokes (op->strokes);
  double width = extent.right - extent.left, height = extent.bottom - extent.top;
  double scale = MIN (1.0, MIN (op->width / MAX (width, 0.01), op->height / MAX (height, 0.01)));

  if (extent.left > extent.right)
    return;
  cairo_translate (cr, x + op->x, y + op->y + (op->height - height * scale) / 2);
  cairo_scale (cr, scale, scale);
  cairo_translate (cr, -extent.left, -extent.top);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_width (cr, 1.1 / scale);
  for (guint i = 0; i < td_json_get_length (op->strokes); i++)
    {
      const TdJson *stroke = td_json_get_element (op->strokes, i);

      cairo_new_sub_path (cr);
      for (guint j = 0; j + 2 < td_json_get_length (stroke); j += 3)
        cairo_line_to (cr, coordinate (stroke, j), coordinate (stroke, j + 1));
      /* A dot is a stroke of one point. */
      if (td_json_get_length (stroke) == 3)
        cairo_rel_line_to (cr, 0.01, 0);
    }
  cairo_stroke (cr);
}

static void
draw_op (cairo_t *cr, const Op *op, double x, double y)
{
  cairo_save (cr);
  cairo_set_source_rgb (cr, op->grey, op->grey, op->grey);
  cairo_set_line_width (cr, op->line);
  switch (op->kind)
    {
    case OP_TEXT:
      cairo_move_to (cr, x + op->x, y + op->y);
      pango_cairo_show_layout (cr, op->layout);
      break;
    case OP_FILL:
      cairo_rectangle (cr, x + op->x, y + op->y, op->width, op->height);
      cairo_fill (cr);
      break;
    case OP_FRAME:
      cairo_rectangle (cr, x + op->x, y + op->y, op->width, op->height);
      cairo_stroke (cr);
      break;
    case OP_RULE:
      cairo_move_to (cr, x + op->x, y + op->y);
      cairo_line_to (cr, x + op->width, y + op->height);
      cairo_stroke (cr);
      break;
    case OP_STROKES:
    default:
      draw_strokes (cr, op, x, y);
      break;
    }
  cairo_restore (cr);
}

static void
draw_canvas (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  const TdCanvas *canvas = data;

  for (guint i = 0; i < canvas->ops->len; i++)
    draw_op (cr, &g_array_index (canvas->ops, Op, i), x, y);
}

TdStrip *
td_flow_add_canvas (TdFlow *flow, TdCanvas *canvas, double height)
{
  return td_flow_add (flow, height, draw_canvas, canvas, (GDestroyNotify)td_canvas_free);
}
