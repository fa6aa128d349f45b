#include "document-fonts.h"

#include "document-error.h"
#include "document-i18n.h"

#include <string.h>

struct _TdFonts
{
  gatomicrefcount ref_count;
  PangoFontMap *map;
  PangoContext *context;
  char *language;
  gunichar missing; /* first letter that no font shows, 0 where all are shown */
};

/* Regular and bold of the family have to be there: without bold, headings would be faked. */
static gboolean
has_family (PangoFontMap *map)
{
  PangoFontFamily **families;
  int n;
  gboolean found = FALSE;

  pango_font_map_list_families (map, &families, &n);
  for (int i = 0; i < n && !found; i++)
    found = g_ascii_strcasecmp (pango_font_family_get_name (families[i]), TD_FONTS_FAMILY) == 0;
  g_free (families);
  return found;
}

static PangoContext *
make_context (PangoFontMap *map, const char *language)
{
  PangoContext *context = pango_font_map_create_context (map);
  cairo_font_options_t *options = cairo_font_options_create ();

  /* Paper has no pixels: the same text breaks the same way on every device. */
  cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options (context, options);
  cairo_font_options_destroy (options);
  pango_cairo_context_set_resolution (context, 72.0);
  pango_context_set_round_glyph_positions (context, FALSE);
  pango_context_set_language (context, pango_language_from_string (language));
  pango_context_set_base_dir (context, PANGO_DIRECTION_WEAK_LTR);
  return context;
}

TdFonts *
td_fonts_new (const char *language, GError **error)
{
  TdFonts *fonts;
  g_autoptr (PangoFontMap) map = pango_cairo_font_map_new ();

  g_assert (language != NULL);
  if (!has_family (map))
    {
      g_set_error (
          error, TD_DOCUMENT_ERROR, TD_DOCUMENT_ERROR_FONTS,
          _ ("The font %s is not installed, so that no page can be printed. Install the package "
             "fonts-dejavu-core and try again."),
          TD_FONTS_FAMILY);
      return NULL;
    }
  fonts = g_new0 (TdFonts, 1);
  g_atomic_ref_count_init (&fonts->ref_count);
  fonts->context = make_context (map, language);
  fonts->map = g_steal_pointer (&map);
  fonts->language = g_strdup (language);
  return fonts;
}

TdFonts *
td_fonts_ref (TdFonts *fonts)
{
  g_atomic_ref_count_inc (&fonts->ref_count);
  return fonts;
}

void
td_fonts_unref (TdFonts *fonts)
{
  if (!g_atomic_ref_count_dec (&fonts->ref_count))
    return;
  g_object_unref (fonts->context);
  g_object_unref (fonts->map);
  g_free (fonts->language);
  g_free (fonts);
}

PangoFontMap *
td_fonts_get_map (TdFonts *fonts)
{
  return fonts->map;
}

const char *
td_fonts_get_language (const TdFonts *fonts)
{
  return fonts->language;
}

/* The character at which a run of the layout has a glyph that stands for "unknown". */
static gunichar
find_unknown (PangoLayout *layout)
{
  const char *text = pango_layout_get_text (layout);
  PangoLayoutIter *iter = pango_layout_get_iter (layout);
  gunichar found = 0;

  do
    {
      PangoLayoutRun *run = pango_layout_iter_get_run_readonly (iter);

      for (int i = 0; run != NULL && i < run->glyphs->num_glyphs; i++)
        {
          gunichar u = g_utf8_get_char (text + run->item->offset + run->glyphs->log_clusters[i]);

          if ((run->glyphs->glyphs[i].glyph & PANGO_GLYPH_UNKNOWN_FLAG) != 0
              && g_unichar_isalnum (u))
            found = found != 0 ? found : u;
        }
    }
  while (found == 0 && pango_layout_iter_next_run (iter));
  pango_layout_iter_free (iter);
  return found;
}

PangoLayout *
td_fonts_layout (TdFonts *fonts, const char *text, const TdStyle *style, double width)
{
  PangoLayout *layout = pango_layout_new (fonts->context);
  PangoFontDescription *font = pango_font_description_from_string (TD_FONTS_FAMILY);
  PangoAttrList *attributes;

  g_assert (style->size > 0);
  pango_font_description_set_absolute_size (font, style->size * PANGO_SCALE);
  pango_font_description_set_weight (font, style->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  /* A hyphen that was not in a lot, a name or a seal must not come into it where a line ends. */
  attributes = pango_attr_list_new ();
  pango_attr_list_insert (attributes, pango_attr_insert_hyphens_new (FALSE));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  pango_layout_set_text (layout, text != NULL ? text : "", -1);
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_alignment (layout, style->align);
  if (width >= 0)
    pango_layout_set_width (layout, (int)(width * PANGO_SCALE));
  if (fonts->missing == 0 && pango_layout_get_unknown_glyphs_count (layout) > 0)
    fonts->missing = find_unknown (layout);
  return layout;
}

gboolean
td_fonts_check (const TdFonts *fonts, GError **error)
{
  char letter[7] = { 0 };

  if (fonts->missing == 0)
    return TRUE;
  g_unichar_to_utf8 (fonts->missing, letter);
  g_set_error (
      error, TD_DOCUMENT_ERROR, TD_DOCUMENT_ERROR_FONTS,
      _ ("No installed font shows the letter %s (U+%04X), so that a name or a text would come out "
         "unreadable. Install a font for its script (fonts-noto-cjk, fonts-noto-core) and try again."),
      letter, fonts->missing);
  return FALSE;
}

void
td_layout_get_points (PangoLayout *layout, double *width_out, double *height_out)
{
  PangoRectangle extent;

  pango_layout_get_extents (layout, NULL, &extent);
  if (width_out != NULL)
    *width_out = (double)extent.width / PANGO_SCALE;
  if (height_out != NULL)
    *height_out = (double)extent.height / PANGO_SCALE;
}
