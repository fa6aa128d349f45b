#include "draw-glyph.h"

static void
hatch (cairo_t *cr, const TdBox *box, double step, double lean)
{
  for (double at = -box->height; at < box->width + box->height; at += step)
    {
      cairo_move_to (cr, box->x + at, box->y + box->height);
      cairo_line_to (cr, box->x + at + lean * box->height, box->y);
    }
  cairo_stroke (cr);
}

static void
dots (cairo_t *cr, const TdBox *box)
{
  for (guint row = 0; row * 1.1 < box->height; row++)
    for (guint column = 0; column * 1.1 < box->width + 1.1; column++)
      {
        double x = box->x + 0.55 + column * 1.1 - (row % 2 == 1 ? 0.55 : 0.0);

        cairo_new_path (cr);
        cairo_arc (cr, x, box->y + 0.6 + row * 1.1, 0.3, 0, 2 * G_PI);
        cairo_fill (cr);
      }
}

static void
tick (cairo_t *cr, const TdBox *box)
{
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_width (cr, 0.7);
  cairo_move_to (cr, box->x + box->width * 0.22, box->y + box->height * 0.52);
  cairo_line_to (cr, box->x + box->width * 0.43, box->y + box->height * 0.68);
  cairo_line_to (cr, box->x + box->width * 0.8, box->y + box->height * 0.3);
  cairo_stroke (cr);
}

static void
cross (cairo_t *cr, const TdBox *box)
{
  cairo_set_line_width (cr, 0.8);
  cairo_move_to (cr, box->x, box->y);
  cairo_line_to (cr, box->x + box->width, box->y + box->height);
  cairo_move_to (cr, box->x + box->width, box->y);
  cairo_line_to (cr, box->x, box->y + box->height);
  cairo_stroke (cr);
}

/* The fuller the glass, the less it may be drawn from; what pours is solid and ticked. */
static void
fill_glass (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  const TdBox *box = &item->box;
  TdBox half = { box->x, box->y + box->height / 2, box->width, box->height / 2 };

  td_colour_set (&pen->palette->ink, cr);
  cairo_set_line_width (cr, 0.4);
  switch (item->stage)
    {
    case TD_STAGE_FILLING:
      cairo_rectangle (cr, half.x, half.y, half.width, half.height);
      cairo_clip (cr);
      hatch (cr, &half, 0.9, 1.0);
      break;
    case TD_STAGE_CONTACT:
      hatch (cr, box, 0.9, 0.6);
      hatch (cr, box, 0.9, -0.6);
      break;
    case TD_STAGE_RINSING:
      dots (cr, box);
      break;
    case TD_STAGE_RINSED:
      for (double y = 1.1; y < box->height; y += 1.7)
        {
          cairo_move_to (cr, box->x, box->y + y);
          cairo_line_to (cr, box->x + box->width, box->y + y);
        }
      cairo_set_line_width (cr, 0.3);
      cairo_stroke (cr);
      break;
    case TD_STAGE_POURS:
      td_colour_set (&pen->palette->beer, cr);
      cairo_paint (cr);
      td_colour_set (&pen->palette->tag_ink, cr);
      tick (cr, box);
      break;
    case TD_STAGE_OUT_OF_SERVICE:
      cross (cr, box);
      break;
    case TD_STAGE_LEFT_OUT:
      cairo_move_to (cr, box->x, box->y + box->height);
      cairo_line_to (cr, box->x + box->width, box->y);
      cairo_set_line_width (cr, 0.6);
      cairo_stroke (cr);
      break;
    case TD_STAGE_NOT_DUE:
      cairo_move_to (cr, box->x + 0.9, box->y + box->height / 2);
      cairo_line_to (cr, box->x + box->width - 0.9, box->y + box->height / 2);
      cairo_stroke (cr);
      break;
    case TD_STAGE_UNSAID:
    case TD_STAGE_WAITING:
    case TD_N_STAGES:
    default:
      break;
    }
}

void
td_glyph_paint_stage (TdGlyphPen *pen, const TdItem *item)
{
  gboolean quiet = item->stage == TD_STAGE_NOT_DUE || item->stage == TD_STAGE_LEFT_OUT;

  cairo_save (pen->cr);
  td_glyph_round_box (pen->cr, &item->box, 1.0);
  cairo_clip_preserve (pen->cr);
  td_colour_set (&pen->palette->panel, pen->cr);
  cairo_fill (pen->cr);
  fill_glass (pen, item);
  cairo_restore (pen->cr);
  td_glyph_round_box (pen->cr, &item->box, 1.0);
  td_colour_set (quiet ? &pen->palette->faint : &pen->palette->ink, pen->cr);
  cairo_set_line_width (pen->cr, 0.45);
  cairo_stroke (pen->cr);
}
