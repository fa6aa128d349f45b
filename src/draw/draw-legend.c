#include "draw-bands.h"
#include "draw-build.h"
#include "draw-i18n.h"

#define ENTRY_HEIGHT_MM 7.0
#define SAMPLE_MM 11.0
#define COLUMN_MM 56.0

/* What occurs in the scene. */
typedef struct
{
  gboolean kinds[TD_N_ITEM_KINDS];
  gboolean ways[TD_RUN_STATIC + 1];
  gboolean stages[TD_N_STAGES];
  gboolean tags[TD_TAG_GONE + 1];
  gboolean pumps[TD_BEER_PUMP_REVERSIBLE + 1];
} Seen;

typedef struct
{
  TdScene *scene;
  double y;
  double step; /* from one column to the next */
  guint columns, column;
} Pen;

static Seen
look_at_scene (const TdScene *scene)
{
  Seen seen = { 0 };

  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);

      seen.kinds[item->kind] = TRUE;
      if (item->kind == TD_ITEM_LINE)
        seen.ways[item->way] = TRUE;
      if (item->kind == TD_ITEM_STAGE)
        seen.stages[item->stage] = TRUE;
      if (item->kind == TD_ITEM_TAG)
        seen.tags[item->tag_state] = TRUE;
      if (item->kind == TD_ITEM_BEER_PUMP)
        seen.pumps[item->beer_pump] = TRUE;
    }
  return seen;
}

/* Entries stand in columns of equal width: a reader looks a sign up, and rows of uneven length are
 * hard to search. Writes the words of an entry and moves on; returns the box for its sign. */
static TdBox
add_entry (Pen *pen, const char *words)
{
  TdBox box = { 0.6 + pen->column * pen->step, pen->y, SAMPLE_MM, ENTRY_HEIGHT_MM };

  td_scene_add_label (pen->scene, -1,
                      (TdBox){ box.x + SAMPLE_MM + 1.6, pen->y + 0.4, pen->step - SAMPLE_MM - 3.0,
                               ENTRY_HEIGHT_MM - 0.8 },
                      words, TD_TEXT_SMALL_MM, TD_ALIGN_LEFT);
  pen->column++;
  if (pen->column == pen->columns)
    {
      pen->column = 0;
      pen->y += ENTRY_HEIGHT_MM;
    }
  return box;
}

static TdItem *
add_glyph_entry (Pen *pen, TdItemKind kind, const char *words, double width, double height)
{
  TdBox box = add_entry (pen, words);

  return td_scene_add (pen->scene, kind, -1,
                       (TdBox){ box.x + (SAMPLE_MM - width) / 2,
                                box.y + (ENTRY_HEIGHT_MM - height) / 2, width, height });
}

static TdItem *
add_path_entry (Pen *pen, TdItemKind kind, const char *words)
{
  TdBox box = add_entry (pen, words);
  double y = box.y + ENTRY_HEIGHT_MM / 2;
  TdPoint path[] = { { box.x + SAMPLE_MM, y }, { box.x, y } };

  return td_scene_add_path (pen->scene, kind, -1, path, 2);
}

static void
add_lines (Pen *pen, const Seen *seen)
{
  gboolean runs = seen->ways[TD_RUN_OUT] || seen->ways[TD_RUN_IN] || seen->ways[TD_RUN_STATIC];

  if (seen->ways[TD_RUN_OUT])
    add_path_entry (pen, TD_ITEM_LINE, _ ("runs out, keg to faucet"))->way = TD_RUN_OUT;
  if (seen->ways[TD_RUN_IN])
    add_path_entry (pen, TD_ITEM_LINE, _ ("REVERSED: runs in, faucet to keg"))->way = TD_RUN_IN;
  if (seen->ways[TD_RUN_STATIC])
    {
      TdItem *item = add_path_entry (pen, TD_ITEM_LINE, _ ("static: filled, shut, held"));
      TdBox box = item->box;

      item->way = TD_RUN_STATIC;
      td_scene_add (pen->scene, TD_ITEM_SHUT, -1, (TdBox){ box.x + 2.3, box.y - 0.7, 6.4, 4.2 });
    }
  if (runs && seen->ways[TD_RUN_IDLE])
    add_path_entry (pen, TD_ITEM_LINE, _ ("not cleaned"));
  if (seen->kinds[TD_ITEM_JUMPER])
    add_path_entry (pen, TD_ITEM_JUMPER, _ ("jumper"));
  if (seen->kinds[TD_ITEM_MANIFOLD])
    add_path_entry (pen, TD_ITEM_MANIFOLD, _ ("manifold"));
}

static void
add_fittings (Pen *pen, const Seen *seen)
{
  TdItem *item;

  if (seen->kinds[TD_ITEM_CLEANING_PUMP])
    {
      item = add_glyph_entry (pen, TD_ITEM_CLEANING_PUMP,
                              _ ("cleaning pump, number of the circuit"), 10.4, 9.0);
      item->box.y -= 0.9;
    }
  if (seen->tags[TD_TAG_HANGS])
    add_glyph_entry (pen, TD_ITEM_TAG, _ ("lockout tag hangs"), 4.2, 6.6)->tag_state = TD_TAG_HANGS;
  if (seen->tags[TD_TAG_LIFTED])
    add_glyph_entry (pen, TD_ITEM_TAG, _ ("tag lifted, its owner is here"), 4.2, 6.6)->tag_state
        = TD_TAG_LIFTED;
  if (seen->tags[TD_TAG_GONE])
    add_glyph_entry (pen, TD_ITEM_TAG, _ ("tag hung, since removed"), 4.2, 6.6)->tag_state
        = TD_TAG_GONE;
  if (seen->pumps[TD_BEER_PUMP_REVERSIBLE])
    {
      item = add_glyph_entry (pen, TD_ITEM_BEER_PUMP, _ ("beer pump with lever"), 5.2, 5.2);
      item->beer_pump = TD_BEER_PUMP_REVERSIBLE;
      item->way = TD_RUN_OUT;
    }
  if (seen->pumps[TD_BEER_PUMP_ONE_WAY])
    {
      item = add_glyph_entry (pen, TD_ITEM_BEER_PUMP, _ ("beer pump, out only"), 5.2, 5.2);
      item->beer_pump = TD_BEER_PUMP_ONE_WAY;
      item->way = TD_RUN_OUT;
    }
  if (seen->kinds[TD_ITEM_CHECK])
    add_glyph_entry (pen, TD_ITEM_CHECK, _ ("check valve, out only"), 3.6, 4.0);
  if (seen->kinds[TD_ITEM_FOB])
    add_glyph_entry (pen, TD_ITEM_FOB, _ ("FOB"), 3.4, 6.0);
  if (seen->kinds[TD_ITEM_LINK])
    {
      item = add_glyph_entry (pen, TD_ITEM_LINK, _ ("goes on at the same letter"), 3.4, 3.4);
      item->text = g_strdup ("A");
      item->text_mm = TD_TEXT_SMALL_MM;
      item->bold = TRUE;
    }
}

static const char *
explain_stage (TdStage stage)
{
  switch (stage)
    {
    case TD_STAGE_NOT_DUE:
      return _ ("not in today's work");
    case TD_STAGE_WAITING:
      return _ ("waiting");
    case TD_STAGE_FILLING:
      return _ ("filling: DO NOT DRAW");
    case TD_STAGE_CONTACT:
      return _ ("contact: DO NOT DRAW");
    case TD_STAGE_RINSING:
      return _ ("rinsing: DO NOT DRAW");
    case TD_STAGE_RINSED:
      return _ ("rinse passed, no beer yet");
    case TD_STAGE_POURS:
      return _ ("pours clear beer");
    case TD_STAGE_LEFT_OUT:
      return _ ("left out");
    case TD_STAGE_OUT_OF_SERVICE:
      return _ ("out of use: DO NOT DRAW");
    case TD_STAGE_UNSAID:
    case TD_N_STAGES:
    default:
      return "";
    }
}

void
td_scene_add_legend (TdScene *scene, double y)
{
  const Seen seen = look_at_scene (scene);
  guint columns = MAX (1, (guint)(scene->width / COLUMN_MM));
  Pen pen = { scene, y, scene->width / columns, columns, 0 };

  add_lines (&pen, &seen);
  for (int i = TD_STAGE_NOT_DUE; i < TD_N_STAGES; i++)
    if (seen.stages[i])
      {
        TdItem *item = add_glyph_entry (&pen, TD_ITEM_STAGE, explain_stage ((TdStage)i), 3.4, 5.6);
        item->stage = (TdStage)i;
      }
  add_fittings (&pen, &seen);
  if (pen.column > 0)
    pen.y += ENTRY_HEIGHT_MM;
  if (pen.y <= y)
    return;
  scene->legend = (TdSceneRow){ y, pen.y - y };
  scene->height = pen.y + 0.5;
}
