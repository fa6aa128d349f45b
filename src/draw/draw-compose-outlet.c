#include "draw-compose.h"

#include "draw-i18n.h"

#define KEG_WIDTH_MM 5.8
#define FAUCET_WIDTH_MM 5.6

static char *
number_text (const TdOutlet *outlet)
{
  return outlet->number > 0 ? g_strdup_printf ("%d", outlet->number) : g_strdup (outlet->id);
}

static TdItem *
add_glyph (TdComposer *b,
           TdItemKind kind,
           guint outlet,
           double x,
           double y,
           double width,
           double height)
{
  TdItem *item = td_scene_add (b->scene, kind, (int)b->layout->slots[outlet].row,
                               (TdBox){ x - width / 2, y, width, height });

  item->outlet = (int)outlet;
  item->way = b->sheet->outlets[outlet].way;
  item->quiet = b->ways && item->way == TD_RUN_IDLE;
  return item;
}

static void
add_keg_side (TdComposer *b, guint outlet)
{
  const TdOutlet *what = &b->sheet->site->outlets[outlet];
  const TdLine *line = &b->sheet->site->lines[what->line];
  const TdBands *bands = &b->bands[b->layout->slots[outlet].row];
  double x = b->layout->slots[outlet].keg_x;
  TdItem *item;

  if (line->check_valve)
    add_glyph (b, TD_ITEM_CHECK, outlet, x, bands->check + 0.4, 3.6, 4.0);
  if (line->beer_pump != TD_BEER_PUMP_NONE)
    {
      item = add_glyph (b, TD_ITEM_BEER_PUMP, outlet, x, bands->beer_pump + 0.5, 5.2, 5.2);
      item->beer_pump = line->beer_pump;
      item->reversal = b->sheet->outlets[outlet].reversal;
    }
  if (line->fob)
    add_glyph (b, TD_ITEM_FOB, outlet, x, bands->fob + 0.5, 3.4, 6.0);
  item = add_glyph (b, TD_ITEM_KEG, outlet, x, bands->keg, KEG_WIDTH_MM,
                    bands->keg_end - bands->keg);
  item->text = number_text (what);
  item->text_mm = TD_TEXT_NUMBER_MM;
}

/* Tags of one outlet hang over each other, a little aside, so that two are seen as two. */
static void
add_tags (TdComposer *b, guint outlet)
{
  const TdBands *bands = &b->bands[b->layout->slots[outlet].row];
  double x = b->layout->slots[outlet].faucet_x;
  guint n = 0;

  for (guint i = 0; i < b->sheet->n_tags; i++)
    {
      const TdRunTag *tag = &b->sheet->tags[i];
      TdItem *item;

      if (tag->outlet != (int)outlet)
        continue;
      item = add_glyph (b, TD_ITEM_TAG, outlet, x + 0.8 * n, bands->tag - 0.6 + 0.4 * n, 4.2, 6.6);
      item->tag = (int)i;
      item->tag_state = tag->state;
      n++;
    }
}

static void
add_words (TdComposer *b, guint outlet)
{
  static const char *const ways[] = { NULL, N_ ("OUT"), N_ ("REVERSED"), N_ ("STATIC") };
  const TdRunOutlet *run = &b->sheet->outlets[outlet];
  const TdSlot *slot = &b->layout->slots[outlet];
  const TdBands *bands = &b->bands[slot->row];
  gboolean beside = b->layout->pitch >= TD_WORD_PITCH_MM;
  double top = bands->tower_end + 0.6, x = slot->faucet_x, room = b->layout->pitch - 2.6;
  const char *way = ways[run->way] != NULL ? _ (ways[run->way]) : NULL;
  const char *stage = td_stage_get_word (run->stage);
  TdItem *item;

  if (run->stage != TD_STAGE_UNSAID)
    {
      item = add_glyph (b, TD_ITEM_STAGE, outlet, x, bands->glass, 3.4, 5.6);
      item->stage = run->stage;
    }
  if (way != NULL)
    {
      TdBox box = beside ? (TdBox){ x + 1.7, top + 0.3, room, 3.2 }
                         : (TdBox){ x - 3.9, top, 3.0, bands->glass - top - 0.6 };

      item = td_scene_add_label (b->scene, (int)slot->row, box, way, TD_TEXT_SMALL_MM,
                                 beside ? TD_ALIGN_LEFT : TD_ALIGN_RIGHT);
      item->bold = TRUE;
      item->upright = !beside;
      item->way = run->way;
      item->outlet = (int)outlet;
    }
  if (*stage != '\0')
    {
      TdBox box = beside ? (TdBox){ x + 2.5, bands->glass + 1.2, room - 1.9, 3.2 }
                         : (TdBox){ x + 1.9, bands->glass, 2.8, bands->tail_end - bands->glass };

      item = td_scene_add_label (b->scene, (int)slot->row, box, stage, TD_TEXT_SMALL_MM,
                                 beside ? TD_ALIGN_LEFT : TD_ALIGN_RIGHT);
      item->upright = !beside;
      item->stage = run->stage;
      item->outlet = (int)outlet;
    }
}

static void
add_faucet_side (TdComposer *b, guint outlet)
{
  const TdSlot *slot = &b->layout->slots[outlet];
  const TdBands *bands = &b->bands[slot->row];
  TdItem *item;

  if (b->sheet->outlets[outlet].way == TD_RUN_STATIC)
    add_glyph (b, TD_ITEM_SHUT, outlet, slot->faucet_x, bands->shut + 0.4, 6.4, 4.2);
  item = add_glyph (b, TD_ITEM_FAUCET, outlet, slot->faucet_x, bands->faucet, FAUCET_WIDTH_MM,
                    bands->faucet_end - bands->faucet);
  item->text = number_text (&b->sheet->site->outlets[outlet]);
  item->text_mm = TD_TEXT_NUMBER_MM;
  item->bold = TRUE;
  add_words (b, outlet);
  add_tags (b, outlet);
}

void
td_compose_outlet (TdComposer *b, guint outlet)
{
  if (b->sheet->site->outlets[outlet].side < 0)
    add_keg_side (b, outlet);
  add_faucet_side (b, outlet);
}
