#include "draw-scene.h"

#include "draw-compose.h"

#include <math.h>

static void
item_free (gpointer data)
{
  TdItem *item = data;

  g_free (item->points);
  g_free (item->text);
  g_free (item);
}

void
td_scene_free (TdScene *scene)
{
  if (scene == NULL)
    return;
  g_ptr_array_unref (scene->items);
  g_free (scene->rows);
  g_free (scene);
}

TdItem *
td_scene_add (TdScene *scene, TdItemKind kind, int row, TdBox box)
{
  TdItem *item = g_new0 (TdItem, 1);

  g_assert (kind < TD_N_ITEM_KINDS);
  item->kind = kind;
  item->row = row;
  item->box = box;
  item->outlet = item->place = item->tag = -1;
  g_ptr_array_add (scene->items, item);
  return item;
}

TdItem *
td_scene_add_path (TdScene *scene, TdItemKind kind, int row, const TdPoint *points, guint n_points)
{
  TdItem *item = td_scene_add (scene, kind, row, (TdBox){ 0 });
  double left = INFINITY, top = INFINITY, right = -INFINITY, bottom = -INFINITY;

  g_assert (n_points >= 2);
  for (guint i = 0; i < n_points; i++)
    {
      left = MIN (left, points[i].x);
      right = MAX (right, points[i].x);
      top = MIN (top, points[i].y);
      bottom = MAX (bottom, points[i].y);
    }
  item->box = (TdBox){ left, top, right - left, bottom - top };
  item->points = g_memdup2 (points, n_points * sizeof *points);
  item->n_points = n_points;
  return item;
}

TdItem *
td_scene_add_label (TdScene *scene,
                    int row,
                    TdBox box,
                    const char *text,
                    double size_mm,
                    TdAlign align)
{
  TdItem *item = td_scene_add (scene, TD_ITEM_LABEL, row, box);

  item->text = g_strdup (text);
  item->text_mm = size_mm;
  item->align = align;
  return item;
}

static void
add_panel (TdComposer *b, const TdPanel *panel, gboolean top)
{
  const TdBands *bands = &b->bands[panel->row];
  TdBox box = { panel->x, top ? bands->top : bands->cooler, panel->width, 0 };
  TdItem *item;

  box.height = (top ? bands->tower_end : bands->end) - box.y;
  item = td_scene_add (b->scene, top ? TD_ITEM_TOWER : TD_ITEM_COOLER, (int)panel->row, box);
  item->place = (int)panel->place;
  item->strip = bands->name_height;
  item->text = td_panel_get_title (b->layout, panel, top);
  item->text_mm = TD_TEXT_NAME_MM;
  item->bold = TRUE;
}

static void
fill_scene (TdComposer *b)
{
  const TdLayout *layout = b->layout;

  for (guint i = 0; i < layout->towers->len; i++)
    add_panel (b, &g_array_index (layout->towers, TdPanel, i), TRUE);
  for (guint i = 0; i < layout->coolers->len; i++)
    add_panel (b, &g_array_index (layout->coolers, TdPanel, i), FALSE);
  td_compose_lines (b);
  td_compose_joints (b);
  for (guint i = 0; i < b->sheet->site->n_outlets; i++)
    td_compose_outlet (b, i);
}

TdScene *
td_scene_new (const TdRunSheet *sheet, const TdSceneOptions *options)
{
  double width = options != NULL && options->width_mm > 0 ? options->width_mm : 180.0;
  g_autoptr (TdLayout) layout = td_layout_new (sheet, width);
  g_autoptr (TdJoints) joints = td_joints_new (layout);
  TdScene *scene = g_new0 (TdScene, 1);
  g_autofree TdBands *bands = g_new0 (TdBands, MAX (layout->n_rows, 1));
  TdComposer composer
      = { .scene = scene, .sheet = sheet, .layout = layout, .joints = joints, .bands = bands };
  double y = 0.5;

  scene->width = width;
  scene->pitch = layout->pitch;
  scene->items = g_ptr_array_new_with_free_func (item_free);
  scene->n_rows = layout->n_rows;
  scene->rows = g_new0 (TdSceneRow, MAX (layout->n_rows, 1));
  for (guint row = 0; row < layout->n_rows; row++)
    {
      bands[row] = td_bands_make (layout, joints, row, y);
      scene->rows[row] = (TdSceneRow){ y, bands[row].end - y };
      y = bands[row].end + 6.0;
    }
  scene->height = layout->n_rows > 0 ? y - 5.5 : 1.0;
  composer.ways = td_bands_tell_ways (sheet);
  fill_scene (&composer);
  if (options != NULL && options->legend)
    td_scene_add_legend (scene, scene->height + 2.5);
  return scene;
}
