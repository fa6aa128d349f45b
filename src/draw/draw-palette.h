/* draw-palette.h: the colours of a picture, for light and dark screens and for print.
 *
 * Hues: M. Okabe and K. Ito, "Color Universal Design" (2002, revised 2008): a set that people with
 * any common colour vision tell apart.  Nothing is told by colour alone. */
#pragma once

#include <cairo.h>
#include <glib.h>

G_BEGIN_DECLS

typedef enum
{
  TD_PALETTE_LIGHT,
  TD_PALETTE_DARK,
  TD_PALETTE_PRINT,
  TD_N_PALETTES
} TdPaletteKind;

typedef struct
{
  double red, green, blue; /* sRGB, 0..1 */
} TdColour;

typedef struct
{
  TdColour ground;  /* what the picture stands on */
  TdColour panel;   /* towers and coolers */
  TdColour edge;    /* their outline */
  TdColour band;    /* their name strip */
  TdColour ink;     /* text and glyphs */
  TdColour faint;   /* idle lines, lesser glyphs */
  TdColour out;     /* runs with the dispense direction */
  TdColour in;      /* runs against it */
  TdColour still;   /* static */
  TdColour hose;    /* jumpers, the pump's hoses */
  TdColour tag;     /* face of a tag */
  TdColour tag_ink; /* on it */
  TdColour beer;    /* a line that pours */
  TdColour mark;    /* what is chosen or pointed at */
} TdPalette;

const TdPalette *td_palette_get (TdPaletteKind kind);
void td_colour_set (const TdColour *colour, cairo_t *cr);

/* Relative luminance, 0 (black) to 1 (white), of an sRGB colour: WCAG 2.1, "relative luminance". */
double td_colour_get_luminance (const TdColour *colour);
/* Contrast ratio 1..21: WCAG 2.1, "contrast ratio". */
double td_colour_get_contrast (const TdColour *a, const TdColour *b);

G_END_DECLS
