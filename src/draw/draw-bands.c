#include "draw-bands.h"

#include <math.h>

typedef struct
{
  gboolean tag, shut, check, beer_pump, fob, station, cooler_station;
  guint lanes, cooler_lanes;
  double stage_mm; /* longest word of a stage */
  double shift;    /* greatest sideways way of a line */
  gboolean long_name;
} Needs;

gboolean
td_bands_tell_stages (const TdRunSheet *sheet)
{
  for (guint i = 0; i < sheet->site->n_outlets; i++)
    if (sheet->outlets[i].stage != TD_STAGE_UNSAID)
      return TRUE;
  return FALSE;
}

gboolean
td_bands_tell_ways (const TdRunSheet *sheet)
{
  for (guint i = 0; i < sheet->site->n_outlets; i++)
    if (sheet->outlets[i].way != TD_RUN_IDLE)
      return TRUE;
  return FALSE;
}

static void
look_at_line (const TdLayout *layout, guint outlet, Needs *needs)
{
  const TdSite *site = layout->sheet->site;
  const TdLine *line = &site->lines[site->outlets[outlet].line];
  const TdSlot *slot = &layout->slots[outlet];

  needs->stage_mm
      = MAX (needs->stage_mm,
             td_text_estimate_mm (td_stage_get_word (layout->sheet->outlets[outlet].stage),
                                  TD_TEXT_SMALL_MM));
  needs->shut |= layout->sheet->outlets[outlet].way == TD_RUN_STATIC;
  if (site->outlets[outlet].side >= 0)
    return;
  needs->check |= line->check_valve;
  needs->beer_pump |= line->beer_pump != TD_BEER_PUMP_NONE;
  needs->fob |= line->fob;
  needs->shift = MAX (needs->shift, fabs (slot->faucet_x - slot->keg_x));
}

static Needs
look_at_row (const TdLayout *layout, const TdJoints *joints, guint row)
{
  const TdRunSheet *sheet = layout->sheet;
  Needs needs = { 0 };

  for (guint i = 0; i < sheet->site->n_outlets; i++)
    if (layout->slots[i].row == row)
      look_at_line (layout, i, &needs);
  for (guint i = 0; i < sheet->n_tags; i++)
    if (sheet->tags[i].outlet >= 0 && layout->slots[sheet->tags[i].outlet].row == row)
      needs.tag = TRUE;
  for (guint side = 0; side < 2; side++)
    {
      const GArray *panels = side == 0 ? layout->towers : layout->coolers;

      for (guint i = 0; i < panels->len; i++)
        {
          const TdPanel *panel = &g_array_index (panels, TdPanel, i);
          g_autofree char *title = td_panel_get_title (layout, panel, side == 0);
          guint *lanes = side == 0 ? &needs.lanes : &needs.cooler_lanes;
          gboolean *station = side == 0 ? &needs.station : &needs.cooler_station;

          if (panel->row != row)
            continue;
          *lanes = MAX (*lanes, td_joints_count_lanes (joints, panel));
          *station |= td_joints_has_pump (joints, panel);
          needs.long_name |= td_text_estimate_mm (title, TD_TEXT_NAME_MM) > panel->width - 4.0;
        }
    }
  return needs;
}

/* Between the panels' edge and the slanting part: the word for the way, then the glass with its
 * word. Beside the line where there is room, else upright, the one above the other, so that words
 * of neighbours never meet. */
static void
set_tail (const TdLayout *layout, const Needs *needs, TdBands *bands)
{
  gboolean stages = td_bands_tell_stages (layout->sheet), ways = td_bands_tell_ways (layout->sheet);
  double top = bands->tower_end + 0.6;

  bands->glass = top;
  bands->tail_end = top + 2.4;
  if (layout->pitch >= TD_WORD_PITCH_MM)
    {
      if (ways || stages)
        bands->glass = top + 4.8;
      if (ways || stages)
        bands->tail_end = stages ? top + 11.9 : top + 5.4;
      return;
    }
  /* "REVERSED" upright, bold: 8 letters of 0.74 em at 2.3 mm. */
  if (ways)
    bands->glass = bands->tail_end = top + 14.4;
  if (stages)
    bands->tail_end = bands->glass + MAX (6.2, needs->stage_mm + 0.8);
}

TdBands
td_bands_make (const TdLayout *layout, const TdJoints *joints, guint row, double top)
{
  const Needs needs = look_at_row (layout, joints, row);
  TdBands bands = { .top = top, .name_height = needs.long_name ? 8.4 : 5.4 };

  bands.station = top + bands.name_height + 0.8;
  bands.lanes = bands.station + (needs.station ? 9.4 : 0.0);
  bands.lanes_end = bands.lanes + needs.lanes * TD_LANE_MM;
  bands.faucet = bands.lanes_end + 0.9;
  bands.faucet_end = bands.faucet + 8.6;
  bands.tag = bands.faucet_end;
  bands.shut = bands.tag + (needs.tag ? 6.6 : 0.0);
  bands.tower_end = bands.shut + (needs.shut ? 4.8 : 0.0) + 1.4;
  set_tail (layout, &needs, &bands);
  /* A line that goes far sideways needs depth, or it lies flat and its heads are lost. */
  bands.cooler = bands.tail_end + CLAMP (needs.shift * 0.5, 13.0, 46.0);
  bands.check = bands.cooler + 1.8;
  bands.beer_pump = bands.check + (needs.check ? 5.0 : 0.0);
  bands.fob = bands.beer_pump + (needs.beer_pump ? 6.4 : 0.0);
  bands.keg = bands.fob + (needs.fob ? 7.2 : 0.0);
  bands.keg_end = bands.keg + 8.0;
  bands.cooler_station = bands.keg_end + needs.cooler_lanes * TD_LANE_MM + 1.0;
  bands.cooler_name = bands.cooler_station + (needs.cooler_station ? 9.4 : 0.0) + 0.6;
  bands.end = bands.cooler_name + bands.name_height;
  return bands;
}
