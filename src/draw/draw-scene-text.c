#include "draw-scene.h"

static const char *const kinds[TD_N_ITEM_KINDS] = {
  [TD_ITEM_TOWER] = "tower",   [TD_ITEM_COOLER] = "cooler",
  [TD_ITEM_LINE] = "line",     [TD_ITEM_JUMPER] = "jumper",
  [TD_ITEM_HOSE] = "hose",     [TD_ITEM_MANIFOLD] = "manifold",
  [TD_ITEM_FAUCET] = "faucet", [TD_ITEM_KEG] = "keg",
  [TD_ITEM_FOB] = "fob",       [TD_ITEM_BEER_PUMP] = "beer-pump",
  [TD_ITEM_CHECK] = "check",   [TD_ITEM_TEE] = "tee",
  [TD_ITEM_SHUT] = "shut",     [TD_ITEM_STAGE] = "stage",
  [TD_ITEM_TAG] = "tag",       [TD_ITEM_CLEANING_PUMP] = "cleaning-pump",
  [TD_ITEM_LINK] = "link",     [TD_ITEM_LABEL] = "label",
};

const char *
td_item_kind_to_text (TdItemKind kind)
{
  g_assert (kind < TD_N_ITEM_KINDS);
  return kinds[kind];
}

static void
append_number (GString *text, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  /* "-0.0" would be a difference that no eye sees. */
  g_ascii_formatd (buffer, sizeof buffer, "%.1f", value > -0.05 && value < 0.05 ? 0.0 : value);
  g_string_append_printf (text, " %s", buffer);
}

static void
append_item (GString *text, const TdItem *item)
{
  static const char *const states[] = { "hangs", "lifted", "gone" };
  static const char *const pumps[] = { "none", "one-way", "reversible" };

  g_string_append (text, td_item_kind_to_text (item->kind));
  if (item->points != NULL)
    for (guint i = 0; i < item->n_points; i++)
      {
        append_number (text, item->points[i].x);
        append_number (text, item->points[i].y);
      }
  else
    {
      append_number (text, item->box.x);
      append_number (text, item->box.y);
      append_number (text, item->box.width);
      append_number (text, item->box.height);
    }
  if (item->outlet >= 0)
    g_string_append_printf (text, " outlet=%d", item->outlet);
  if (item->place >= 0)
    g_string_append_printf (text, " place=%d", item->place);
  if (item->circuit != 0)
    g_string_append_printf (text, " circuit=%d", item->circuit);
  if (item->way != TD_RUN_IDLE)
    g_string_append_printf (text, " way=%s", td_run_way_to_text (item->way));
  if (item->stage != TD_STAGE_UNSAID)
    g_string_append_printf (text, " stage=%s", td_stage_to_text (item->stage));
  if (item->tag >= 0)
    g_string_append_printf (text, " tag=%d %s", item->tag, states[item->tag_state]);
  if (item->beer_pump != TD_BEER_PUMP_NONE)
    g_string_append_printf (text, " %s%s", pumps[item->beer_pump],
                            item->reversal ? " reversed" : "");
  if (item->upright)
    g_string_append (text, " upright");
  if (item->text != NULL)
    g_string_append_printf (text, " \"%s\"", item->text);
  g_string_append_c (text, '\n');
}

char *
td_scene_to_text (const TdScene *scene)
{
  GString *text = g_string_new ("scene");

  append_number (text, scene->width);
  append_number (text, scene->height);
  g_string_append (text, "\npitch");
  append_number (text, scene->pitch);
  for (guint i = 0; i < scene->n_rows; i++)
    {
      g_string_append (text, "\nrow");
      append_number (text, scene->rows[i].y);
      append_number (text, scene->rows[i].height);
    }
  g_string_append_c (text, '\n');
  for (guint i = 0; i < scene->items->len; i++)
    append_item (text, g_ptr_array_index (scene->items, i));
  return g_string_free (text, FALSE);
}
