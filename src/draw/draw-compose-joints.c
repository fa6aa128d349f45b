#include "draw-compose.h"

static double
lane_y (const TdComposer *b, const TdJoint *joint)
{
  const TdBands *bands = &b->bands[joint->panel->row];

  if (joint->top)
    return bands->lanes_end - (joint->lane + 0.5) * TD_LANE_MM;
  return bands->keg_end + (joint->lane + 0.7) * TD_LANE_MM;
}

static double
end_y (const TdComposer *b, const TdJoint *joint)
{
  const TdBands *bands = &b->bands[joint->panel->row];

  return joint->top ? bands->faucet : bands->keg_end;
}

static void
add_jumper (TdComposer *b, const TdJoint *joint)
{
  double y = lane_y (b, joint), end = end_y (b, joint);
  TdPoint path[]
      = { { joint->from_x, end }, { joint->from_x, y }, { joint->to_x, y }, { joint->to_x, end } };
  TdItem *item = td_scene_add_path (b->scene, TD_ITEM_JUMPER, (int)joint->panel->row, path, 4);

  item->circuit = joint->circuit;
  item->outlet = joint->from;
}

static void
add_manifold (TdComposer *b, const TdJoint *joint)
{
  double y = lane_y (b, joint), end = end_y (b, joint);
  double pump = b->bands[joint->panel->row].cooler_station + 4.3;
  double low = MIN (joint->from_x, joint->to_x), high = MAX (joint->from_x, joint->to_x);
  int row = (int)joint->panel->row;
  g_autoptr (GArray) taps = g_array_new (FALSE, FALSE, sizeof (double));
  TdPoint bar[2];
  TdItem *item;

  g_array_append_val (taps, joint->from_x);
  if (joint->to_x != joint->from_x)
    g_array_append_val (taps, joint->to_x);
  for (guint i = 0; i < joint->taps->len; i++)
    {
      guint outlet = g_array_index (joint->taps, guint, i);
      double x = b->layout->slots[outlet].keg_x;

      low = MIN (low, x);
      high = MAX (high, x);
      if (outlet != (guint)joint->from)
        g_array_append_val (taps, x);
    }
  bar[0] = (TdPoint){ low - 1.2, y };
  bar[1] = (TdPoint){ high + 1.2, y };
  for (guint i = 0; i < taps->len; i++)
    {
      double x = g_array_index (taps, double, i);
      TdPoint tail[] = { { x, joint->from < 0 && i == 0 ? pump : end }, { x, y } };

      td_scene_add_path (b->scene, TD_ITEM_JUMPER, row, tail, 2)->circuit = joint->circuit;
    }
  item = td_scene_add_path (b->scene, TD_ITEM_MANIFOLD, row, bar, 2);
  item->circuit = joint->circuit;
  item->place = (int)joint->panel->place;
}

static double
station_y (const TdComposer *b, const TdPanel *panel, gboolean top)
{
  return top ? b->bands[panel->row].station : b->bands[panel->row].cooler_station;
}

/* Delivery leaves the pump by the shortest way; the return bends over the rim of the bucket. */
static void
add_hose (TdComposer *b, const TdJoint *joint)
{
  gboolean delivery = joint->kind == TD_JOINT_DELIVERY;
  double y = lane_y (b, joint), end = end_y (b, joint);
  double station = station_y (b, joint->panel, joint->top);
  int row = (int)joint->panel->row;
  TdItem *item;

  if (delivery)
    {
      double port = joint->top ? station + 6.2 : station + 2.4;
      TdPoint path[] = {
        { joint->from_x, port }, { joint->from_x, y }, { joint->to_x, y }, { joint->to_x, end }
      };

      item = td_scene_add_path (b->scene, TD_ITEM_HOSE, row, path, 4);
      item->outlet = joint->to;
      item->way = TD_RUN_OUT;
    }
  else if (joint->top)
    {
      /* Up beside the bucket, over the rim and in. */
      TdPoint path[] = { { joint->from_x, end },
                         { joint->from_x, y },
                         { joint->to_x, y },
                         { joint->to_x, station + 0.8 },
                         { joint->rim_x, station + 0.8 },
                         { joint->rim_x, station + 4.4 } };

      item = td_scene_add_path (b->scene, TD_ITEM_HOSE, row, path, 6);
      item->outlet = joint->from;
    }
  else
    {
      TdPoint path[] = { { joint->from_x, end },
                         { joint->from_x, y },
                         { joint->to_x, y },
                         { joint->to_x, station + 4.6 } };

      item = td_scene_add_path (b->scene, TD_ITEM_HOSE, row, path, 4);
      item->outlet = joint->from;
    }
  item->circuit = joint->circuit;
}

static void
add_link (TdComposer *b, const TdJoint *joint)
{
  double end = end_y (b, joint), y = joint->top ? lane_y (b, joint) - 0.9 : lane_y (b, joint) + 0.7;
  int row = (int)joint->panel->row;
  char letter[2] = { joint->letter, '\0' };
  TdPoint tail[] = { { joint->from_x, end }, { joint->from_x, y } };
  TdItem *item;

  /* The pump's own end of a link stands right over its bucket. */
  if (joint->from < 0)
    {
      y = station_y (b, joint->panel, joint->top) + 1.5;
      tail[0].y = y;
      tail[1].y = y + 3.0;
    }
  td_scene_add_path (b->scene, TD_ITEM_JUMPER, row, tail, 2)->circuit = joint->circuit;
  item = td_scene_add (b->scene, TD_ITEM_LINK, row,
                       (TdBox){ joint->from_x - 1.7, y - 1.7, 3.4, 3.4 });
  item->text = g_strdup (letter);
  item->text_mm = TD_TEXT_SMALL_MM;
  item->bold = TRUE;
  item->circuit = joint->circuit;
  item->outlet = joint->from;
}

void
td_compose_joints (TdComposer *b)
{
  for (guint i = 0; i < b->joints->joints->len; i++)
    {
      const TdJoint *joint = &g_array_index (b->joints->joints, TdJoint, i);

      switch (joint->kind)
        {
        case TD_JOINT_JUMPER:
          add_jumper (b, joint);
          break;
        case TD_JOINT_MANIFOLD:
          add_manifold (b, joint);
          break;
        case TD_JOINT_LINK:
          add_link (b, joint);
          break;
        case TD_JOINT_DELIVERY:
        case TD_JOINT_RETURN:
        default:
          add_hose (b, joint);
          break;
        }
    }
  for (guint i = 0; i < b->joints->pumps->len; i++)
    {
      const TdPumpSpot *spot = &g_array_index (b->joints->pumps, TdPumpSpot, i);
      TdBox box = { spot->x - TD_PUMP_WIDTH_MM / 2, station_y (b, spot->panel, spot->top),
                    TD_PUMP_WIDTH_MM, 9.0 };
      TdItem *item = td_scene_add (b->scene, TD_ITEM_CLEANING_PUMP, (int)spot->panel->row, box);

      item->circuit = spot->circuit;
      item->text = spot->circuit > 0 ? g_strdup_printf ("%d", spot->circuit) : NULL;
      item->text_mm = TD_TEXT_NUMBER_MM;
      item->bold = TRUE;
      /* The outlet of the pump: left or, mirrored, right; told through the alignment. */
      item->align = spot->mirrored ? TD_ALIGN_RIGHT : TD_ALIGN_LEFT;
      item->place = (int)spot->panel->place;
    }
}
