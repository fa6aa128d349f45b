/* document-fonts.h: the fonts of a document, checked before anything is laid out.
 *
 * Where no font is installed, pango draws nothing and says nothing: a report would come out empty.
 * So a document asks for its fonts first, and remembers every letter that no font could show.  A
 * TdFonts has a font map of its own and may be used in any one thread. */
#pragma once

#include <pango/pangocairo.h>

G_BEGIN_DECLS

/* The family of every document; other scripts come from whatever the machine has. */
#define TD_FONTS_FAMILY "DejaVu Sans"

typedef struct _TdFonts TdFonts;

/* How a text looks. Sizes in points. */
typedef struct
{
  double size;
  gboolean bold;
  double grey; /* 0 black to 1 white */
  PangoAlignment align;
} TdStyle;

/* @language: BCP 47 tag of the document, "en"; it decides the shapes of Han characters.
 * Returns: (transfer full): the fonts, or NULL with TD_DOCUMENT_ERROR_FONTS where the family is not
 * installed. */
TdFonts *td_fonts_new (const char *language, GError **error);
TdFonts *td_fonts_ref (TdFonts *fonts);
void td_fonts_unref (TdFonts *fonts);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdFonts, td_fonts_unref)

PangoFontMap *td_fonts_get_map (TdFonts *fonts);
const char *td_fonts_get_language (const TdFonts *fonts);

/* Lays a text out; words that are longer than a line are broken. @width: points, or -1 for one line
 * of any length. Returns: (transfer full): the layout. */
PangoLayout *td_fonts_layout (TdFonts *fonts, const char *text, const TdStyle *style, double width);

/* FALSE with TD_DOCUMENT_ERROR_FONTS where some text laid out so far has a letter that no installed
 * font shows. Other signs (pictograms) come out as a box with their number and are no error. */
gboolean td_fonts_check (const TdFonts *fonts, GError **error);

/* Size of a layout in points. */
void td_layout_get_points (PangoLayout *layout, double *width_out, double *height_out);

G_END_DECLS
