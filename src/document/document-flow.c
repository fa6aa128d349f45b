#include "document-flow.h"

#include "document-flow-private.h"

const TdStyle td_style_text = { .size = 8.6 };
const TdStyle td_style_small = { .size = 7.2 };
const TdStyle td_style_strong = { .size = 8.6, .bold = TRUE };

static const TdStyle heading_styles[]
    = { { .size = 12.0, .bold = TRUE }, { .size = 9.2, .bold = TRUE } };

/* A line of a paragraph, or several that stay together. */
typedef struct
{
  PangoLayout *layout;
  int first, last; /* lines, last not included */
  double indent;
  double top; /* of the first line within the layout */
  double grey;
  PangoLayout *sign; /* hangs left of the first line; NULL where none */
} Lines;

static void
strip_free (gpointer data)
{
  TdStrip *strip = data;

  if (strip->destroy != NULL)
    strip->destroy (strip->data);
  g_free (strip);
}

TdFlow *
td_flow_new (const TdPaper *paper, TdFonts *fonts)
{
  TdFlow *flow = g_new0 (TdFlow, 1);

  flow->paper = *paper;
  flow->fonts = td_fonts_ref (fonts);
  flow->strips = g_ptr_array_new_with_free_func (strip_free);
  flow->heads = g_ptr_array_new_with_free_func (strip_free);
  flow->breaks = g_array_new (FALSE, FALSE, sizeof (guint));
  return flow;
}

void
td_flow_free (TdFlow *flow)
{
  g_ptr_array_unref (flow->strips);
  g_ptr_array_unref (flow->heads);
  g_array_unref (flow->breaks);
  td_fonts_unref (flow->fonts);
  g_free (flow);
}

const TdPaper *
td_flow_get_paper (const TdFlow *flow)
{
  return &flow->paper;
}

TdFonts *
td_flow_get_fonts (const TdFlow *flow)
{
  return flow->fonts;
}

double
td_flow_get_width (const TdFlow *flow)
{
  return td_paper_get_text_width (&flow->paper);
}

static TdStrip *
strip_new (double height, TdStripDraw draw, gpointer data, GDestroyNotify destroy)
{
  TdStrip *strip = g_new0 (TdStrip, 1);

  g_assert (height >= 0);
  strip->height = height;
  strip->draw = draw;
  strip->data = data;
  strip->destroy = destroy;
  return strip;
}

TdStrip *
td_flow_add (TdFlow *flow, double height, TdStripDraw draw, gpointer data, GDestroyNotify destroy)
{
  TdStrip *strip = strip_new (height, draw, data, destroy);

  strip->space = flow->space;
  flow->space = 0;
  g_ptr_array_add (flow->strips, strip);
  return strip;
}

const TdStrip *
td_flow_add_head (TdFlow *flow,
                  double height,
                  TdStripDraw draw,
                  gpointer data,
                  GDestroyNotify destroy)
{
  TdStrip *strip = strip_new (height, draw, data, destroy);

  g_ptr_array_add (flow->heads, strip);
  return strip;
}

void
td_flow_add_space (TdFlow *flow, double points)
{
  g_assert (points >= 0);
  flow->space += points;
}

void
td_flow_break_page (TdFlow *flow)
{
  guint next = flow->strips->len;

  g_array_append_val (flow->breaks, next);
}

guint
td_flow_count (const TdFlow *flow)
{
  return flow->strips->len;
}

void
td_flow_keep_from (TdFlow *flow, guint first)
{
  for (guint i = first; i + 1 < flow->strips->len; i++)
    ((TdStrip *)g_ptr_array_index (flow->strips, i))->keep = TRUE;
}

static void
lines_free (gpointer data)
{
  Lines *lines = data;

  g_object_unref (lines->layout);
  g_clear_object (&lines->sign);
  g_free (lines);
}

static void
draw_lines (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  const Lines *lines = data;

  cairo_set_source_rgb (cr, lines->grey, lines->grey, lines->grey);
  if (lines->sign != NULL)
    {
      cairo_move_to (cr, x, y);
      pango_cairo_show_layout (cr, lines->sign);
    }
  for (int i = lines->first; i < lines->last; i++)
    {
      PangoLayoutLine *line = pango_layout_get_line_readonly (lines->layout, i);
      PangoLayoutIter *iter = pango_layout_get_iter (lines->layout);
      PangoRectangle extent;
      double baseline;

      for (int j = 0; j < i; j++)
        pango_layout_iter_next_line (iter);
      pango_layout_iter_get_line_extents (iter, NULL, &extent);
      baseline = (double)pango_layout_iter_get_baseline (iter) / PANGO_SCALE;
      pango_layout_iter_free (iter);
      cairo_move_to (cr, x + lines->indent + (double)extent.x / PANGO_SCALE,
                     y + baseline - lines->top);
      pango_cairo_show_layout_line (cr, line);
    }
}

static double
line_top (PangoLayout *layout, int line)
{
  PangoLayoutIter *iter = pango_layout_get_iter (layout);
  PangoRectangle extent;
  double top;

  for (int i = 0; i < line; i++)
    if (!pango_layout_iter_next_line (iter))
      break;
  pango_layout_iter_get_line_extents (iter, NULL, &extent);
  top = (double)(line < pango_layout_get_line_count (layout) ? extent.y : extent.y + extent.height)
        / PANGO_SCALE;
  pango_layout_iter_free (iter);
  return top;
}

static void
add_layout (TdFlow *flow, PangoLayout *layout, double indent, PangoLayout *sign, double grey)
{
  int n = pango_layout_get_line_count (layout);

  for (int i = 0; i < n; i++)
    {
      Lines *lines = g_new0 (Lines, 1);
      TdStrip *strip;

      lines->layout = g_object_ref (layout);
      lines->first = i;
      lines->last = i + 1;
      lines->indent = indent;
      lines->grey = grey;
      lines->top = line_top (layout, i);
      if (i == 0 && sign != NULL)
        lines->sign = g_object_ref (sign);
      strip = td_flow_add (flow, line_top (layout, i + 1) - lines->top, draw_lines, lines,
                           lines_free);
      /* Neither a first nor a last line alone. */
      strip->keep = n > 1 && (i == 0 || i == n - 2);
    }
}

void
td_flow_add_paragraph (TdFlow *flow, const char *text, const TdStyle *style)
{
  g_autoptr (PangoLayout) layout
      = td_fonts_layout (flow->fonts, text, style, td_flow_get_width (flow));

  pango_layout_set_spacing (layout, (int)(style->size * 0.12 * PANGO_SCALE));
  add_layout (flow, layout, 0, NULL, style->grey);
  td_flow_add_space (flow, style->size * 0.4);
}

void
td_flow_add_item (TdFlow *flow, const char *sign, const char *text, const TdStyle *style)
{
  const double indent = style->size * 1.9;
  g_autoptr (PangoLayout) layout
      = td_fonts_layout (flow->fonts, text, style, td_flow_get_width (flow) - indent);
  g_autoptr (PangoLayout) hanging = td_fonts_layout (flow->fonts, sign, style, -1);

  pango_layout_set_spacing (layout, (int)(style->size * 0.12 * PANGO_SCALE));
  add_layout (flow, layout, indent, hanging, style->grey);
  td_flow_add_space (flow, style->size * 0.35);
}

typedef struct
{
  PangoLayout *layout;
  gboolean ruled;
} Heading;

static void
heading_free (gpointer data)
{
  g_object_unref (((Heading *)data)->layout);
  g_free (data);
}

static void
draw_heading (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  const Heading *heading = data;

  if (heading->ruled)
    {
      cairo_set_line_width (cr, 1.4);
      cairo_move_to (cr, x, y + 0.7);
      cairo_line_to (cr, x + width, y + 0.7);
      cairo_stroke (cr);
    }
  cairo_move_to (cr, x, y + (heading->ruled ? 4.5 : 0.0));
  pango_cairo_show_layout (cr, heading->layout);
}

void
td_flow_add_heading (TdFlow *flow, int level, const char *text)
{
  Heading *heading = g_new0 (Heading, 1);
  double height;

  g_assert (level == 1 || level == 2);
  heading->ruled = level == 1;
  heading->layout
      = td_fonts_layout (flow->fonts, text, &heading_styles[level - 1], td_flow_get_width (flow));
  td_layout_get_points (heading->layout, NULL, &height);
  td_flow_add_space (flow, level == 1 ? 13.0 : 7.0);
  td_flow_add (flow, height + (level == 1 ? 7.5 : 2.5), draw_heading, heading, heading_free)->keep
      = TRUE;
}
