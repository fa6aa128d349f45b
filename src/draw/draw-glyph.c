#include "draw-glyph.h"

const TdColour *
td_glyph_way_colour (const TdPalette *palette, TdRunWay way)
{
  switch (way)
    {
    case TD_RUN_OUT:
      return &palette->out;
    case TD_RUN_IN:
      return &palette->in;
    case TD_RUN_STATIC:
      return &palette->still;
    case TD_RUN_IDLE:
    default:
      return &palette->faint;
    }
}

void
td_glyph_round_box (cairo_t *cr, const TdBox *box, double radius)
{
  double r = MIN (radius, MIN (box->width, box->height) / 2);

  cairo_new_path (cr);
  cairo_arc (cr, box->x + box->width - r, box->y + r, r, -G_PI / 2, 0);
  cairo_arc (cr, box->x + box->width - r, box->y + box->height - r, r, 0, G_PI / 2);
  cairo_arc (cr, box->x + r, box->y + box->height - r, r, G_PI / 2, G_PI);
  cairo_arc (cr, box->x + r, box->y + r, r, G_PI, 3 * G_PI / 2);
  cairo_close_path (cr);
}

static void
fill_and_edge (TdGlyphPen *pen, const TdColour *fill, const TdColour *edge, double width)
{
  td_colour_set (fill, pen->cr);
  cairo_fill_preserve (pen->cr);
  td_colour_set (edge, pen->cr);
  cairo_set_line_width (pen->cr, width);
  cairo_stroke (pen->cr);
}

/* A handle that bears the number, the body under it and a spout to the left. */
static void
paint_faucet (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  double x = item->box.x + item->box.width / 2, y = item->box.y, half = item->box.width / 2;
  TdBox badge = { item->box.x, y, item->box.width, 4.6 };

  cairo_new_path (cr);
  cairo_move_to (cr, x - half, y + 1.3);
  cairo_curve_to (cr, x - half, y + 0.2, x - half + 0.6, y, x - half + 1.3, y);
  cairo_line_to (cr, x + half - 1.3, y);
  cairo_curve_to (cr, x + half - 0.6, y, x + half, y + 0.2, x + half, y + 1.3);
  cairo_line_to (cr, x + half - 0.5, y + 4.0);
  cairo_curve_to (cr, x + half - 0.7, y + 4.9, x + 0.9, y + 4.8, x + 0.7, y + 5.8);
  cairo_line_to (cr, x - 0.7, y + 5.8);
  cairo_curve_to (cr, x - 0.9, y + 4.8, x - half + 0.7, y + 4.9, x - half + 0.5, y + 4.0);
  cairo_close_path (cr);
  td_colour_set (item->quiet ? &pen->palette->panel : &pen->palette->ink, cr);
  cairo_fill_preserve (cr);
  td_colour_set (item->quiet ? &pen->palette->faint : &pen->palette->ink, cr);
  cairo_set_line_width (cr, 0.4);
  cairo_stroke (cr);
  cairo_set_line_width (cr, 1.2);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_move_to (cr, x + 0.9, y + 6.5);
  cairo_line_to (cr, x - 1.4, y + 6.5);
  cairo_line_to (cr, x - 2.1, y + 8.1);
  cairo_stroke (cr);
  cairo_set_line_width (cr, 1.4);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_BUTT);
  cairo_move_to (cr, x, y + 5.6);
  cairo_line_to (cr, x, y + item->box.height);
  cairo_stroke (cr);
  td_colour_set (item->quiet ? &pen->palette->ink : &pen->palette->panel, cr);
  td_text_pen_write (pen->text, item->text, &badge, item->text_mm, TD_ALIGN_CENTRE, TRUE, FALSE);
}

/* A barrel with two rolling rings and the coupler on top. */
static void
paint_keg (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  const TdBox *b = &item->box;
  double x = b->x + b->width / 2;
  TdBox body = { b->x, b->y + 1.3, b->width, b->height - 1.3 };
  const TdColour *edge = item->quiet ? &pen->palette->faint : &pen->palette->ink;

  td_colour_set (edge, cr);
  cairo_rectangle (cr, x - 1.0, b->y, 2.0, 1.4);
  cairo_fill (cr);
  td_glyph_round_box (cr, &body, 1.3);
  fill_and_edge (pen, &pen->palette->panel, edge, 0.5);
  for (guint i = 0; i < 2; i++)
    {
      double y = i == 0 ? body.y + 1.5 : body.y + body.height - 1.5;

      cairo_move_to (cr, body.x - 0.35, y);
      cairo_line_to (cr, body.x + body.width + 0.35, y);
      cairo_set_line_width (cr, 0.5);
      cairo_stroke (cr);
    }
  td_colour_set (&pen->palette->ink, cr);
  td_text_pen_write (pen->text, item->text, &body, item->text_mm * 0.93, TD_ALIGN_CENTRE, FALSE,
                     FALSE);
}

/* A chamber with its float, and the vent at its side. */
static void
paint_fob (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  TdBox chamber
      = { item->box.x + 0.2, item->box.y + 0.5, item->box.width - 0.4, item->box.height - 1.0 };
  const TdColour *edge = item->quiet ? &pen->palette->faint : &pen->palette->ink;

  td_glyph_round_box (cr, &chamber, 1.5);
  fill_and_edge (pen, &pen->palette->panel, edge, 0.45);
  cairo_new_path (cr);
  cairo_arc (cr, chamber.x + chamber.width / 2, chamber.y + chamber.height * 0.64, 0.85, 0,
             2 * G_PI);
  cairo_fill (cr);
  cairo_set_line_width (cr, 0.6);
  cairo_move_to (cr, chamber.x + chamber.width - 0.1, chamber.y + 1.2);
  cairo_line_to (cr, chamber.x + chamber.width + 0.8, chamber.y + 0.4);
  cairo_stroke (cr);
}

/* A triangle in a circle of which the tip tells where it drives; a bar at the tip lets nothing
 * back, a lever at the side can turn it. */
static void
paint_beer_pump (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  double r = item->box.width / 2 - 0.25, x = item->box.x + item->box.width / 2;
  double y = item->box.y + item->box.height / 2, up = item->reversal ? -1.0 : 1.0;
  const TdColour *edge = item->quiet ? &pen->palette->faint : &pen->palette->ink;

  cairo_new_path (cr);
  cairo_arc (cr, x, y, r, 0, 2 * G_PI);
  fill_and_edge (pen, &pen->palette->panel, edge, 0.45);
  if (item->beer_pump == TD_BEER_PUMP_REVERSIBLE)
    {
      cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
      cairo_set_line_width (cr, 0.7);
      cairo_move_to (cr, x + r * 0.7, y - up * r * 0.7);
      cairo_line_to (cr, x + r * 1.3, y - up * r * 1.25);
      cairo_stroke (cr);
    }
  cairo_move_to (cr, x, y - up * r * 0.72);
  cairo_line_to (cr, x - r * 0.68, y + up * r * 0.52);
  cairo_line_to (cr, x + r * 0.68, y + up * r * 0.52);
  cairo_close_path (cr);
  if (item->reversal)
    fill_and_edge (pen, &pen->palette->panel, edge, 0.45);
  else
    cairo_fill (cr);
  if (item->beer_pump == TD_BEER_PUMP_ONE_WAY)
    {
      cairo_set_line_width (cr, 0.55);
      cairo_move_to (cr, x - r * 0.55, y - r * 0.72);
      cairo_line_to (cr, x + r * 0.55, y - r * 0.72);
      cairo_stroke (cr);
    }
}

static void
paint_check (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  double x = item->box.x + item->box.width / 2, half = item->box.width / 2, y = item->box.y;
  const TdColour *edge = item->quiet ? &pen->palette->faint : &pen->palette->ink;

  cairo_move_to (cr, x, y + 0.6);
  cairo_line_to (cr, x - half, y + item->box.height - 0.4);
  cairo_line_to (cr, x + half, y + item->box.height - 0.4);
  cairo_close_path (cr);
  fill_and_edge (pen, &pen->palette->panel, edge, 0.45);
  cairo_set_line_width (cr, 0.7);
  cairo_move_to (cr, x - half, y + 0.5);
  cairo_line_to (cr, x + half, y + 0.5);
  cairo_stroke (cr);
}

/* A bar across the line, and the clock that has to run out. */
static void
paint_shut (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  double x = item->box.x + item->box.width / 2, y = item->box.y, clock_x = x + 2.15,
         clock_y = y + 2.75;

  td_colour_set (&pen->palette->ink, cr);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_BUTT);
  cairo_set_line_width (cr, 1.1);
  cairo_move_to (cr, x - 2.2, y + 0.7);
  cairo_line_to (cr, x + 2.2, y + 0.7);
  cairo_stroke (cr);
  cairo_new_path (cr);
  cairo_arc (cr, clock_x, clock_y, 1.3, 0, 2 * G_PI);
  fill_and_edge (pen, &pen->palette->panel, &pen->palette->ink, 0.35);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_width (cr, 0.3);
  cairo_move_to (cr, clock_x, clock_y - 0.9);
  cairo_line_to (cr, clock_x, clock_y);
  cairo_line_to (cr, clock_x + 0.65, clock_y + 0.3);
  cairo_stroke (cr);
}

static void
paint_tee (TdGlyphPen *pen, const TdItem *item)
{
  cairo_new_path (pen->cr);
  cairo_arc (pen->cr, item->box.x + item->box.width / 2, item->box.y + item->box.height / 2,
             item->box.width / 2, 0, 2 * G_PI);
  td_colour_set (&pen->palette->ink, pen->cr);
  cairo_fill (pen->cr);
}

static void
paint_link (TdGlyphPen *pen, const TdItem *item)
{
  cairo_new_path (pen->cr);
  cairo_arc (pen->cr, item->box.x + item->box.width / 2, item->box.y + item->box.height / 2,
             item->box.width / 2, 0, 2 * G_PI);
  fill_and_edge (pen, &pen->palette->panel, &pen->palette->hose, 0.45);
  td_colour_set (&pen->palette->ink, pen->cr);
  td_text_pen_write (pen->text, item->text, &item->box, item->text_mm, TD_ALIGN_CENTRE, TRUE,
                     FALSE);
}

void
td_glyph_paint (TdGlyphPen *pen, const TdItem *item)
{
  cairo_save (pen->cr);
  cairo_new_path (pen->cr);
  switch (item->kind)
    {
    case TD_ITEM_FAUCET:
      paint_faucet (pen, item);
      break;
    case TD_ITEM_KEG:
      paint_keg (pen, item);
      break;
    case TD_ITEM_FOB:
      paint_fob (pen, item);
      break;
    case TD_ITEM_BEER_PUMP:
      paint_beer_pump (pen, item);
      break;
    case TD_ITEM_CHECK:
      paint_check (pen, item);
      break;
    case TD_ITEM_TEE:
      paint_tee (pen, item);
      break;
    case TD_ITEM_SHUT:
      paint_shut (pen, item);
      break;
    case TD_ITEM_STAGE:
      td_glyph_paint_stage (pen, item);
      break;
    case TD_ITEM_TAG:
      td_glyph_paint_tag (pen, item);
      break;
    case TD_ITEM_CLEANING_PUMP:
      td_glyph_paint_cleaning_pump (pen, item);
      break;
    case TD_ITEM_LINK:
      paint_link (pen, item);
      break;
    case TD_ITEM_TOWER:
    case TD_ITEM_COOLER:
    case TD_ITEM_LINE:
    case TD_ITEM_JUMPER:
    case TD_ITEM_HOSE:
    case TD_ITEM_MANIFOLD:
    case TD_ITEM_LABEL:
    case TD_N_ITEM_KINDS:
    default:
      g_assert_not_reached ();
    }
  cairo_restore (pen->cr);
}
