#include "draw-compose.h"

static double
middle_of_channel (const TdComposer *b, guint row)
{
  return b->bands[row].tail_end + (b->bands[row].cooler - b->bands[row].tail_end) * 0.22;
}

/* A side faucet's tube ends at the tee of its line, or at a link where the line is drawn elsewhere.
 */
static void
add_side_path (TdComposer *b, guint outlet)
{
  const TdOutlet *from = &b->sheet->site->outlets[outlet];
  const TdSlot *slot = &b->layout->slots[outlet];
  const TdBands *bands = &b->bands[slot->row];
  double y = middle_of_channel (b, slot->row), t;
  guint parent = 0;
  const TdSlot *main_slot;
  TdItem *item;

  while (b->sheet->site->outlets[parent].line != from->line
         || b->sheet->site->outlets[parent].side >= 0)
    parent++;
  main_slot = &b->layout->slots[parent];
  if (main_slot->row != slot->row)
    {
      TdPoint tail[]
          = { { slot->faucet_x, bands->faucet_end }, { slot->faucet_x, bands->tail_end + 3.0 } };

      item = td_scene_add_path (b->scene, TD_ITEM_LINE, (int)slot->row, tail, 2);
    }
  else
    {
      TdPoint path[3]
          = { { slot->faucet_x, bands->faucet_end }, { slot->faucet_x, bands->tail_end } };

      t = (y - bands->tail_end) / (bands->cooler - bands->tail_end);
      path[2] = (TdPoint){ main_slot->faucet_x + t * (main_slot->keg_x - main_slot->faucet_x), y };
      item = td_scene_add_path (b->scene, TD_ITEM_LINE, (int)slot->row, path, 3);
      td_scene_add (b->scene, TD_ITEM_TEE, (int)slot->row,
                    (TdBox){ path[2].x - 0.9, path[2].y - 0.9, 1.8, 1.8 })
          ->outlet
          = (int)outlet;
    }
  item->outlet = (int)outlet;
  item->way = b->sheet->outlets[outlet].way;
}

static void
add_line_path (TdComposer *b, guint outlet)
{
  const TdSlot *slot = &b->layout->slots[outlet];
  const TdBands *bands = &b->bands[slot->row];
  TdPoint path[4] = { { slot->faucet_x, bands->faucet_end },
                      { slot->faucet_x, bands->tail_end },
                      { slot->keg_x, bands->cooler },
                      { slot->keg_x, bands->keg } };
  TdItem *item;

  item = td_scene_add_path (b->scene, TD_ITEM_LINE, (int)slot->row, path, 4);
  item->outlet = (int)outlet;
  item->way = b->sheet->outlets[outlet].way;
  item->circuit = b->sheet->outlets[outlet].circuit;
}

/* Idle lines first, so that what runs lies on top of them; side branches last, with their tees. */
void
td_compose_lines (TdComposer *b)
{
  const TdSite *site = b->sheet->site;

  for (guint round = 0; round < 3; round++)
    for (guint i = 0; i < site->n_outlets; i++)
      {
        gboolean idle = b->sheet->outlets[i].way == TD_RUN_IDLE;

        if (site->outlets[i].side >= 0 && round == 2)
          add_side_path (b, i);
        else if (site->outlets[i].side < 0 && round < 2 && idle == (round == 0))
          add_line_path (b, i);
      }
}
