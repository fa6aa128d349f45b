/* draw-bands.h: how a row of the picture is divided from top to bottom. Private to draw. */
#pragma once

#include "draw-joints.h"

G_BEGIN_DECLS

/* Distance of two lanes of hoses. */
#define TD_LANE_MM 2.3
/* Letter heights. */
#define TD_TEXT_SMALL_MM 2.3
#define TD_TEXT_NAME_MM 2.8
#define TD_TEXT_NUMBER_MM 2.9

/* All y in mm from the top of the scene; a band that nothing needs has no height. */
typedef struct
{
  double top;
  double station; /* cleaning pumps at towers */
  double lanes;   /* bottom-most lane's own y is lanes_end - TD_LANE_MM / 2 */
  double lanes_end;
  double faucet; /* faucet glyphs begin */
  double faucet_end;
  double tag;
  double shut;
  double tower_end; /* lower edge of tower panels */
  double glass;     /* stage patterns begin */
  double tail_end;  /* words and stage patterns stand above it */
  double cooler;    /* upper edge of cooler panels */
  double check;
  double beer_pump;
  double fob;
  double keg;
  double keg_end;
  double cooler_station; /* cleaning pumps at coolers */
  double cooler_name;
  double end;
  double name_height;
} TdBands;

/* @show_stages, @show_ways: whether any word stands beside the lines. */
TdBands td_bands_make (const TdLayout *layout, const TdJoints *joints, guint row, double top);

/* TRUE where the run sheet tells a stage of any outlet; a way of any. */
gboolean td_bands_tell_stages (const TdRunSheet *sheet);
gboolean td_bands_tell_ways (const TdRunSheet *sheet);

G_END_DECLS
