#include "draw-text.h"

/* Height of a line over the height of its letters' em; DejaVu Sans has 1.164. */
#define LINE_RATIO 1.17

struct _TdTextPen
{
  cairo_t *cr;
  PangoContext *context;
  char *family;
};

TdTextPen *
td_text_pen_new (cairo_t *cr, PangoFontMap *map, const char *family)
{
  TdTextPen *pen = g_new0 (TdTextPen, 1);
  cairo_font_options_t *options = cairo_font_options_create ();

  pen->cr = cr;
  pen->context
      = pango_font_map_create_context (map != NULL ? map : pango_cairo_font_map_get_default ());
  pen->family = g_strdup (family != NULL ? family : "Sans");
  /* With the millimetre as unit, rounding to whole units would tear words apart. */
  cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options (pen->context, options);
  pango_context_set_round_glyph_positions (pen->context, FALSE);
  cairo_font_options_destroy (options);
  return pen;
}

void
td_text_pen_free (TdTextPen *pen)
{
  g_object_unref (pen->context);
  g_free (pen->family);
  g_free (pen);
}

static PangoLayout *
make_layout (TdTextPen *pen,
             const char *text,
             double size_mm,
             gboolean bold,
             double width,
             double height)
{
  PangoLayout *layout;
  PangoFontDescription *font = pango_font_description_from_string (pen->family);
  PangoAttrList *attributes;
  int lines = MAX (1, (int)(height / (size_mm * LINE_RATIO)));

  pango_cairo_update_context (pen->cr, pen->context);
  layout = pango_layout_new (pen->context);
  pango_font_description_set_absolute_size (font, size_mm * PANGO_SCALE);
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  /* A name keeps the letters it has. */
  attributes = pango_attr_list_new ();
  pango_attr_list_insert (attributes, pango_attr_insert_hyphens_new (FALSE));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  pango_layout_set_text (layout, text, -1);
  pango_layout_set_width (layout, (int)(width * PANGO_SCALE));
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_height (layout, -lines);
  return layout;
}

void
td_text_pen_write (TdTextPen *pen,
                   const char *text,
                   const TdBox *box,
                   double size_mm,
                   TdAlign align,
                   gboolean bold,
                   gboolean upright)
{
  double along = upright ? box->height : box->width, across = upright ? box->width : box->height;
  g_autoptr (PangoLayout) layout = make_layout (pen, text, size_mm, bold, along, across);
  PangoRectangle extent;

  g_assert (size_mm > 0);
  pango_layout_set_alignment (layout, align == TD_ALIGN_CENTRE  ? PANGO_ALIGN_CENTER
                                      : align == TD_ALIGN_RIGHT ? PANGO_ALIGN_RIGHT
                                                                : PANGO_ALIGN_LEFT);
  pango_layout_get_extents (layout, NULL, &extent);
  cairo_save (pen->cr);
  if (upright)
    {
      cairo_translate (pen->cr, box->x, box->y + box->height);
      cairo_rotate (pen->cr, -G_PI / 2);
    }
  else
    cairo_translate (pen->cr, box->x, box->y);
  cairo_move_to (pen->cr, 0, (across - (double)extent.height / PANGO_SCALE) / 2);
  pango_cairo_show_layout (pen->cr, layout);
  cairo_restore (pen->cr);
}
