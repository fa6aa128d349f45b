#include "draw-path.h"

#include <math.h>

#define HEAD_LENGTH_MM 2.9
#define HEAD_HALF_MM 1.35

static void
trace (cairo_t *cr, const TdPoint *points, guint n)
{
  cairo_new_path (cr);
  for (guint i = 0; i < n; i++)
    cairo_line_to (cr, points[i].x, points[i].y);
}

/* The stretch from @a to @b without its last millimetre at either end, where panels have their
 * edges. */
static void
trace_shortened (cairo_t *cr, const TdPoint *a, const TdPoint *b)
{
  double length = hypot (b->x - a->x, b->y - a->y), t = length > 2.5 ? 1.0 / length : 0.0;

  cairo_new_path (cr);
  cairo_move_to (cr, a->x + t * (b->x - a->x), a->y + t * (b->y - a->y));
  cairo_line_to (cr, b->x - t * (b->x - a->x), b->y - t * (b->y - a->y));
}

/* A polyline whose corners are rounded, as a hose bends. */
static void
trace_bent (cairo_t *cr, const TdPoint *points, guint n, double radius)
{
  cairo_new_path (cr);
  cairo_move_to (cr, points[0].x, points[0].y);
  for (guint i = 1; i + 1 < n; i++)
    {
      const TdPoint *a = &points[i - 1], *b = &points[i], *c = &points[i + 1];
      double in = hypot (b->x - a->x, b->y - a->y), out = hypot (c->x - b->x, c->y - b->y);
      double r = MIN (radius, MIN (in, out) / 2);

      if (in < 0.01 || out < 0.01)
        continue;
      cairo_line_to (cr, b->x - (b->x - a->x) / in * r, b->y - (b->y - a->y) / in * r);
      cairo_curve_to (cr, b->x, b->y, b->x, b->y, b->x + (c->x - b->x) / out * r,
                      b->y + (c->y - b->y) / out * r);
    }
  cairo_line_to (cr, points[n - 1].x, points[n - 1].y);
}

static guint
longest_segment (const TdItem *item, double *length_out)
{
  guint longest = 0;

  *length_out = -1;
  for (guint i = 0; i + 1 < item->n_points; i++)
    {
      double length = hypot (item->points[i + 1].x - item->points[i].x,
                             item->points[i + 1].y - item->points[i].y);

      /* The stretch between the panels is the line's own; ties go to it. */
      if (length > *length_out + 0.01 || (i == 1 && length > 8.0))
        {
          *length_out = length;
          longest = i;
        }
      if (i == 1 && length > 8.0)
        break;
    }
  return longest;
}

/* A head whose tip lies half its length past (@x, @y), pointing along the unit vector (@dx, @dy).
 */
static void
trace_head (cairo_t *cr, double x, double y, double dx, double dy, double scale)
{
  double length = HEAD_LENGTH_MM * scale, half = HEAD_HALF_MM * scale;
  double tip_x = x + dx * length / 2, tip_y = y + dy * length / 2;
  double back_x = x - dx * length / 2, back_y = y - dy * length / 2;

  cairo_new_path (cr);
  cairo_move_to (cr, tip_x, tip_y);
  cairo_line_to (cr, back_x - dy * half, back_y + dx * half);
  cairo_line_to (cr, back_x + dy * half, back_y - dx * half);
  cairo_close_path (cr);
}

static void
paint_heads (TdGlyphPen *pen, const TdItem *item)
{
  double length;
  guint at = longest_segment (item, &length);
  const TdPoint *a = &item->points[at], *b = &item->points[at + 1];
  /* Points run from the faucet to the keg end. */
  double sign = item->way == TD_RUN_OUT ? -1.0 : 1.0;
  double dx = sign * (b->x - a->x) / length, dy = sign * (b->y - a->y) / length;
  guint heads = length > 20.0 ? 2 : 1;

  for (guint i = 0; i < heads; i++)
    {
      double t = heads == 1 ? 0.58 : i == 0 ? 0.27 : 0.73;

      trace_head (pen->cr, a->x + t * (b->x - a->x), a->y + t * (b->y - a->y), dx, dy, 1.0);
      if (item->way == TD_RUN_OUT)
        {
          td_colour_set (&pen->palette->out, pen->cr);
          cairo_fill (pen->cr);
          continue;
        }
      td_colour_set (&pen->palette->ground, pen->cr);
      cairo_fill_preserve (pen->cr);
      td_colour_set (&pen->palette->in, pen->cr);
      cairo_set_line_width (pen->cr, 0.5);
      cairo_set_line_join (pen->cr, CAIRO_LINE_JOIN_ROUND);
      cairo_stroke (pen->cr);
    }
}

static void
stroke_way (TdGlyphPen *pen, const TdItem *item)
{
  static const double dashes[] = { 1.9, 1.1 };

  td_colour_set (td_glyph_way_colour (pen->palette, item->way), pen->cr);
  switch (item->way)
    {
    case TD_RUN_IN:
      cairo_set_dash (pen->cr, dashes, 2, 0);
      cairo_set_line_width (pen->cr, 1.0);
      cairo_stroke (pen->cr);
      break;
    case TD_RUN_STATIC:
      /* A tube seen from outside: two walls and what stands still between them. */
      cairo_set_line_width (pen->cr, 1.7);
      cairo_stroke_preserve (pen->cr);
      td_colour_set (&pen->palette->ground, pen->cr);
      cairo_set_line_width (pen->cr, 0.8);
      cairo_stroke (pen->cr);
      break;
    case TD_RUN_OUT:
      cairo_set_line_width (pen->cr, 1.0);
      cairo_stroke (pen->cr);
      break;
    case TD_RUN_IDLE:
    default:
      cairo_set_line_width (pen->cr, 0.45);
      cairo_stroke (pen->cr);
      break;
    }
}

void
td_path_paint_line (TdGlyphPen *pen, const TdItem *item)
{
  cairo_save (pen->cr);
  cairo_set_line_cap (pen->cr, CAIRO_LINE_CAP_BUTT);
  cairo_set_line_join (pen->cr, CAIRO_LINE_JOIN_ROUND);
  if (item->n_points >= 3)
    {
      /* What lies below is cut away, so that a crossing reads as over and under. */
      trace_shortened (pen->cr, &item->points[1], &item->points[2]);
      td_colour_set (&pen->palette->ground, pen->cr);
      cairo_set_line_width (pen->cr, item->way == TD_RUN_IDLE ? 1.3 : 2.6);
      cairo_stroke (pen->cr);
    }
  trace (pen->cr, item->points, item->n_points);
  stroke_way (pen, item);
  cairo_restore (pen->cr);
  if (item->way == TD_RUN_OUT || item->way == TD_RUN_IN)
    paint_heads (pen, item);
}

void
td_path_paint_hose (TdGlyphPen *pen, const TdItem *item)
{
  double longest;
  guint at = longest_segment (item, &longest);
  const TdPoint *a = &item->points[at], *b = &item->points[at + 1];

  cairo_save (pen->cr);
  cairo_set_line_cap (pen->cr, CAIRO_LINE_CAP_BUTT);
  trace_bent (pen->cr, item->points, item->n_points, 1.3);
  td_colour_set (&pen->palette->panel, pen->cr);
  cairo_set_line_width (pen->cr, item->n_points > 2 ? 1.7 : 0.7);
  cairo_stroke_preserve (pen->cr);
  td_colour_set (&pen->palette->hose, pen->cr);
  cairo_set_line_width (pen->cr, 0.7);
  cairo_stroke (pen->cr);
  if (longest > 5.0 && item->n_points > 2)
    {
      trace_head (pen->cr, (a->x + b->x) / 2, (a->y + b->y) / 2, (b->x - a->x) / longest,
                  (b->y - a->y) / longest, 0.72);
      cairo_fill (pen->cr);
    }
  cairo_restore (pen->cr);
}

void
td_path_paint_manifold (TdGlyphPen *pen, const TdItem *item)
{
  cairo_save (pen->cr);
  trace (pen->cr, item->points, item->n_points);
  cairo_set_line_cap (pen->cr, CAIRO_LINE_CAP_ROUND);
  td_colour_set (&pen->palette->hose, pen->cr);
  cairo_set_line_width (pen->cr, 2.0);
  cairo_stroke_preserve (pen->cr);
  td_colour_set (&pen->palette->panel, pen->cr);
  cairo_set_line_width (pen->cr, 0.9);
  cairo_stroke (pen->cr);
  cairo_restore (pen->cr);
}
