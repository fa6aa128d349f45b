#include "draw-paint.h"

#include "draw-path.h"

static void
paint_panel (TdGlyphPen *pen, const TdItem *item)
{
  cairo_t *cr = pen->cr;
  gboolean tower = item->kind == TD_ITEM_TOWER;
  double strip = item->strip;
  TdBox band, words;

  band = (TdBox){ item->box.x, tower ? item->box.y : item->box.y + item->box.height - strip,
                  item->box.width, strip };
  words = (TdBox){ band.x + 1.2, band.y, band.width - 2.4, band.height };
  td_glyph_round_box (cr, &item->box, 1.6);
  td_colour_set (&pen->palette->panel, cr);
  cairo_fill_preserve (cr);
  cairo_save (cr);
  cairo_clip (cr);
  cairo_rectangle (cr, band.x, band.y, band.width, band.height);
  td_colour_set (&pen->palette->band, cr);
  cairo_fill (cr);
  cairo_restore (cr);
  td_glyph_round_box (cr, &item->box, 1.6);
  td_colour_set (&pen->palette->edge, cr);
  cairo_set_line_width (cr, tower ? 0.4 : 0.7);
  cairo_stroke (cr);
  td_colour_set (&pen->palette->ink, cr);
  td_text_pen_write (pen->text, item->text, &words, item->text_mm, TD_ALIGN_CENTRE, TRUE, FALSE);
}

static void
paint_label (TdGlyphPen *pen, const TdItem *item)
{
  td_colour_set (&pen->palette->ink, pen->cr);
  td_text_pen_write (pen->text, item->text, &item->box, item->text_mm, item->align, item->bold,
                     item->upright);
}

static void
paint_mark (TdGlyphPen *pen, const TdItem *item)
{
  TdBox around
      = { item->box.x - 0.8, item->box.y - 0.8, item->box.width + 1.6, item->box.height + 1.6 };

  td_glyph_round_box (pen->cr, &around, 1.6);
  td_colour_set (&pen->palette->mark, pen->cr);
  cairo_set_line_width (pen->cr, 0.9);
  cairo_stroke (pen->cr);
}

static void
paint_item (TdGlyphPen *pen, const TdItem *item)
{
  switch (item->kind)
    {
    case TD_ITEM_TOWER:
    case TD_ITEM_COOLER:
      paint_panel (pen, item);
      break;
    case TD_ITEM_LINE:
      td_path_paint_line (pen, item);
      break;
    case TD_ITEM_JUMPER:
    case TD_ITEM_HOSE:
      td_path_paint_hose (pen, item);
      break;
    case TD_ITEM_MANIFOLD:
      td_path_paint_manifold (pen, item);
      break;
    case TD_ITEM_LABEL:
      paint_label (pen, item);
      break;
    case TD_ITEM_FAUCET:
    case TD_ITEM_KEG:
    case TD_ITEM_FOB:
    case TD_ITEM_BEER_PUMP:
    case TD_ITEM_CHECK:
    case TD_ITEM_TEE:
    case TD_ITEM_SHUT:
    case TD_ITEM_STAGE:
    case TD_ITEM_TAG:
    case TD_ITEM_CLEANING_PUMP:
    case TD_ITEM_LINK:
    case TD_N_ITEM_KINDS:
    default:
      td_glyph_paint (pen, item);
      break;
    }
}

static gboolean
is_chosen (const TdItem *item, const TdPaintOptions *options)
{
  if (item->row < 0)
    return FALSE;
  if (item->kind == TD_ITEM_CLEANING_PUMP)
    return options->chosen_circuit > 0 && item->circuit == options->chosen_circuit;
  return options->chosen >= 0 && item->outlet == options->chosen
         && (item->kind == TD_ITEM_FAUCET || item->kind == TD_ITEM_KEG);
}

/* Paints the items of one row, or of all with @row -2. */
static void
paint_rows (const TdScene *scene, int row, cairo_t *cr, const TdPaintOptions *options)
{
  TdGlyphPen pen = { .cr = cr, .palette = td_palette_get (options->palette) };

  pen.text = td_text_pen_new (cr, options->font_map, options->family);
  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);

      if (row != -2 && item->row != row)
        continue;
      paint_item (&pen, item);
      if (is_chosen (item, options))
        paint_mark (&pen, item);
    }
  td_text_pen_free (pen.text);
}

void
td_scene_paint (const TdScene *scene, cairo_t *cr, const TdPaintOptions *options)
{
  const TdPaintOptions standard = TD_PAINT_OPTIONS_INIT;

  options = options != NULL ? options : &standard;
  cairo_save (cr);
  if (options->ground)
    {
      td_colour_set (&td_palette_get (options->palette)->ground, cr);
      cairo_rectangle (cr, 0, 0, scene->width, scene->height);
      cairo_fill (cr);
    }
  paint_rows (scene, -2, cr, options);
  cairo_restore (cr);
}

void
td_scene_paint_row (const TdScene *scene, int row, cairo_t *cr, const TdPaintOptions *options)
{
  const TdPaintOptions standard = TD_PAINT_OPTIONS_INIT;

  g_assert (row >= -1 && row < (int)scene->n_rows);
  cairo_save (cr);
  cairo_translate (cr, 0, row < 0 ? -scene->legend.y : -scene->rows[row].y);
  paint_rows (scene, row, cr, options != NULL ? options : &standard);
  cairo_restore (cr);
}
