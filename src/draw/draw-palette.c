#include "draw-palette.h"

#include <math.h>

#define RGB(hex)                                                                                   \
  {                                                                                                \
    ((hex) >> 16) / 255.0, (((hex) >> 8) & 0xff) / 255.0, ((hex)&0xff) / 255.0                     \
  }

/* Okabe and Ito's own eight, of which six are used here. */
#define ORANGE 0xe69f00
#define SKY_BLUE 0x56b4e9
#define YELLOW 0xf0e442
#define BLUE 0x0072b2
#define VERMILLION 0xd55e00
#define REDDISH_PURPLE 0xcc79a7

static const TdPalette palettes[TD_N_PALETTES] = {
  [TD_PALETTE_LIGHT] = {
    .ground = RGB (0xfafafa), .panel = RGB (0xffffff), .edge = RGB (0x77767b), .band = RGB (0xebebed),
    .ink = RGB (0x1e1e1e), .faint = RGB (0x8b8a90),
    .out = RGB (BLUE), .in = RGB (VERMILLION), .still = RGB (REDDISH_PURPLE), .hose = RGB (0x3d3c41),
    .tag = RGB (YELLOW), .tag_ink = RGB (0x000000), .beer = RGB (ORANGE), .mark = RGB (SKY_BLUE),
  },
  [TD_PALETTE_DARK] = {
    .ground = RGB (0x1e1e1e), .panel = RGB (0x262626), .edge = RGB (0x8b8a90), .band = RGB (0x38373b),
    .ink = RGB (0xf2f2f2), .faint = RGB (0x86858b),
    .out = RGB (SKY_BLUE), .in = RGB (ORANGE), .still = RGB (REDDISH_PURPLE), .hose = RGB (0xd0cfd4),
    .tag = RGB (YELLOW), .tag_ink = RGB (0x000000), .beer = RGB (ORANGE), .mark = RGB (BLUE),
  },
  [TD_PALETTE_PRINT] = {
    .ground = RGB (0xffffff), .panel = RGB (0xffffff), .edge = RGB (0x5e5e5e), .band = RGB (0xe6e6e6),
    .ink = RGB (0x000000), .faint = RGB (0x8c8c8c),
    .out = RGB (BLUE), .in = RGB (VERMILLION), .still = RGB (REDDISH_PURPLE), .hose = RGB (0x303030),
    .tag = RGB (YELLOW), .tag_ink = RGB (0x000000), .beer = RGB (ORANGE), .mark = RGB (SKY_BLUE),
  },
};

const TdPalette *
td_palette_get (TdPaletteKind kind)
{
  g_assert (kind < TD_N_PALETTES);
  return &palettes[kind];
}

void
td_colour_set (const TdColour *colour, cairo_t *cr)
{
  cairo_set_source_rgb (cr, colour->red, colour->green, colour->blue);
}

static double
linear (double channel)
{
  return channel <= 0.03928 ? channel / 12.92 : pow ((channel + 0.055) / 1.055, 2.4);
}

double
td_colour_get_luminance (const TdColour *colour)
{
  return 0.2126 * linear (colour->red) + 0.7152 * linear (colour->green)
         + 0.0722 * linear (colour->blue);
}

double
td_colour_get_contrast (const TdColour *a, const TdColour *b)
{
  double left = td_colour_get_luminance (a), right = td_colour_get_luminance (b);

  return (MAX (left, right) + 0.05) / (MIN (left, right) + 0.05);
}
