#include "draw-glyph.h"

static void
trace_tag (cairo_t *cr, double width, double height)
{
  double corner = width * 0.3, top = 1.0;

  cairo_new_path (cr);
  cairo_move_to (cr, -width / 2 + corner, top);
  cairo_line_to (cr, width / 2 - corner, top);
  cairo_line_to (cr, width / 2, top + corner);
  cairo_line_to (cr, width / 2, height);
  cairo_line_to (cr, -width / 2, height);
  cairo_line_to (cr, -width / 2, top + corner);
  cairo_close_path (cr);
}

/* On the face of a tag: a ring with a bar, "do not". */
static void
paint_ring (cairo_t *cr, double y)
{
  cairo_new_path (cr);
  cairo_arc (cr, 0, y, 1.15, 0, 2 * G_PI);
  cairo_set_line_width (cr, 0.5);
  cairo_stroke (cr);
  cairo_move_to (cr, -0.8, y - 0.8);
  cairo_line_to (cr, 0.8, y + 0.8);
  cairo_stroke (cr);
}

static void
paint_tick (cairo_t *cr, double y)
{
  cairo_set_line_width (cr, 0.55);
  cairo_move_to (cr, -1.0, y);
  cairo_line_to (cr, -0.25, y + 0.8);
  cairo_line_to (cr, 1.1, y - 0.9);
  cairo_stroke (cr);
}

/* Hangs by a string from the outlet; lifted it is turned aside, and dashed. */
void
td_glyph_paint_tag (TdGlyphPen *pen, const TdItem *item)
{
  static const double dashes[] = { 0.8, 0.6 };
  cairo_t *cr = pen->cr;
  gboolean lifted = item->tag_state == TD_TAG_LIFTED, gone = item->tag_state == TD_TAG_GONE;
  double width = item->box.width - 0.4, height = item->box.height - 0.2;

  cairo_save (cr);
  cairo_translate (cr, item->box.x + item->box.width / 2, item->box.y);
  if (lifted)
    cairo_rotate (cr, -G_PI / 5);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  trace_tag (cr, width, height);
  td_colour_set (gone || lifted ? &pen->palette->panel : &pen->palette->tag, cr);
  cairo_fill_preserve (cr);
  td_colour_set (gone || lifted ? &pen->palette->ink : &pen->palette->tag_ink, cr);
  cairo_set_line_width (cr, 0.4);
  if (lifted)
    cairo_set_dash (cr, dashes, 2, 0);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
  if (gone)
    paint_tick (cr, height * 0.62);
  else
    paint_ring (cr, height * 0.64);
  td_colour_set (&pen->palette->ink, cr);
  cairo_new_path (cr);
  cairo_arc (cr, 0, 1.9, 0.32, 0, 2 * G_PI);
  cairo_fill (cr);
  cairo_set_line_width (cr, 0.3);
  cairo_move_to (cr, 0, 1.9);
  cairo_line_to (cr, 0, -0.2);
  cairo_stroke (cr);
  cairo_restore (cr);
}

static void
paint_bucket (TdGlyphPen *pen, double x, double y)
{
  cairo_t *cr = pen->cr;

  cairo_new_path (cr);
  cairo_move_to (cr, x - 2.1, y + 4.7);
  cairo_line_to (cr, x + 2.1, y + 4.7);
  cairo_line_to (cr, x + 1.7, y + 8.5);
  cairo_line_to (cr, x - 1.7, y + 8.5);
  cairo_close_path (cr);
  td_colour_set (&pen->palette->band, cr);
  cairo_fill (cr);
  cairo_move_to (cr, x - 2.4, y + 3.2);
  cairo_line_to (cr, x - 1.8, y + 8.6);
  cairo_line_to (cr, x + 1.8, y + 8.6);
  cairo_line_to (cr, x + 2.4, y + 3.2);
  td_colour_set (&pen->palette->hose, cr);
  cairo_set_line_width (cr, 0.55);
  cairo_stroke (cr);
  cairo_move_to (cr, x - 2.2, y + 4.7);
  cairo_line_to (cr, x + 2.2, y + 4.7);
  cairo_set_line_width (cr, 0.25);
  cairo_stroke (cr);
}

/* The pump draws from its bucket; the ring bears the number of the circuit. */
void
td_glyph_paint_cleaning_pump (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  double side = item->align == TD_ALIGN_RIGHT ? -1.0 : 1.0;
  double x = item->box.x + item->box.width / 2, y = item->box.y;
  double pump = x - side * 2.6, bucket = x + side * 2.6;
  TdBox number = { pump - 2.2, y + 2.1, 4.4, 4.4 };

  cairo_save (cr);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  paint_bucket (pen, bucket, y);
  cairo_move_to (cr, pump, y + 5.7);
  cairo_line_to (cr, bucket - side * 2.0, y + 5.7);
  cairo_set_line_width (cr, 1.0);
  td_colour_set (&pen->palette->hose, cr);
  cairo_stroke (cr);
  cairo_new_path (cr);
  cairo_arc (cr, pump, y + 4.3, 2.15, 0, 2 * G_PI);
  td_colour_set (&pen->palette->panel, cr);
  cairo_fill_preserve (cr);
  td_colour_set (&pen->palette->hose, cr);
  cairo_set_line_width (cr, 0.8);
  cairo_stroke (cr);
  if (item->text != NULL)
    td_text_pen_write (pen->text, item->text, &number, item->text_mm, TD_ALIGN_CENTRE, TRUE, FALSE);
  cairo_restore (cr);
}
