/* draw-layout.h: where every line stands: rows, panels and columns. Private to draw. */
#pragma once

#include "draw-scene.h"

G_BEGIN_DECLS

/* Air inside a panel left and right of its outermost columns, and between two panels; mm. */
#define TD_LAYOUT_PAD 1.2
#define TD_LAYOUT_GAP 2.2
/* From this pitch on, words stand beside their line; closer, they stand upright. */
#define TD_WORD_PITCH_MM 17.5
/* Room right of the last panel for words that stand beside the last line. */
#define TD_WORD_ROOM_MM 9.0

typedef struct
{
  guint row;
  double faucet_x;
  double keg_x; /* NAN for a side faucet */
} TdSlot;

/* A tower, or as much of it as stands in one row; or a cooler as far as it serves that row. */
typedef struct
{
  guint place; /* index into towers or coolers */
  guint row;
  gboolean continued; /* an earlier row has shown a part of it */
  double x, width;
  guint *outlets; /* tower: as they stand; cooler: as their kegs stand */
  guint n_outlets;
} TdPanel;

typedef struct
{
  const TdRunSheet *sheet;
  double width;
  double room; /* of it for panels: less where words stand beside the last line */
  double pitch;
  guint n_rows;
  TdSlot *slots;   /* by outlet */
  GArray *towers;  /* TdPanel, by row, from left to right */
  GArray *coolers; /* TdPanel, by row, from left to right */
} TdLayout;

TdLayout *td_layout_new (const TdRunSheet *sheet, double width);
void td_layout_free (TdLayout *layout);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdLayout, td_layout_free)

/* The panel that holds an outlet's faucet (@top) or its keg end; NULL for the keg end of a side
 * faucet. */
const TdPanel *td_layout_find_panel (const TdLayout *layout, guint outlet, gboolean top);

/* What stands in the strip of a panel. (transfer full) */
char *td_panel_get_title (const TdLayout *layout, const TdPanel *panel, gboolean top);

/* Rough width of a text in mm at that letter height: good enough to reserve room, not to place
 * letters. */
double td_text_estimate_mm (const char *text, double size_mm);

G_END_DECLS
