#include "draw-scene.h"

#include <math.h>

/* How far a point lies outside a box; 0 inside. mm. */
static double
distance_to_box (const TdBox *box, double x, double y)
{
  double dx = MAX (0, MAX (box->x - x, x - box->x - box->width));
  double dy = MAX (0, MAX (box->y - y, y - box->y - box->height));

  return hypot (dx, dy);
}

static double
distance_to_segment (const TdPoint *a, const TdPoint *b, double x, double y)
{
  double dx = b->x - a->x, dy = b->y - a->y, squared = dx * dx + dy * dy;
  double t = squared > 0 ? ((x - a->x) * dx + (y - a->y) * dy) / squared : 0;

  t = CLAMP (t, 0, 1);
  return hypot (x - a->x - t * dx, y - a->y - t * dy);
}

static double
distance_to_item (const TdItem *item, double x, double y)
{
  double least = INFINITY;

  if (item->points == NULL)
    return distance_to_box (&item->box, x, y);
  for (guint i = 0; i + 1 < item->n_points; i++)
    least = MIN (least, distance_to_segment (&item->points[i], &item->points[i + 1], x, y));
  return least;
}

/* What an item answers with, and how small a thing it is: of several under a finger the smaller
 * wins. */
static TdHit
hit_of_item (const TdItem *item, int *rank_out)
{
  switch (item->kind)
    {
    case TD_ITEM_TAG:
      *rank_out = 0;
      return (TdHit){ TD_HIT_TAG, item->tag };
    case TD_ITEM_BEER_PUMP:
      *rank_out = 1;
      return (TdHit){ TD_HIT_BEER_PUMP, item->outlet };
    case TD_ITEM_CLEANING_PUMP:
      *rank_out = 2;
      return (TdHit){ TD_HIT_CLEANING_PUMP, item->circuit };
    case TD_ITEM_FAUCET:
    case TD_ITEM_KEG:
    case TD_ITEM_FOB:
    case TD_ITEM_CHECK:
    case TD_ITEM_SHUT:
    case TD_ITEM_STAGE:
      *rank_out = 3;
      return (TdHit){ TD_HIT_OUTLET, item->outlet };
    case TD_ITEM_LINE:
    case TD_ITEM_LABEL:
      *rank_out = 4;
      return (TdHit){ item->outlet >= 0 ? TD_HIT_OUTLET : TD_HIT_NOTHING, item->outlet };
    case TD_ITEM_TOWER:
    case TD_ITEM_COOLER:
    case TD_ITEM_JUMPER:
    case TD_ITEM_HOSE:
    case TD_ITEM_MANIFOLD:
    case TD_ITEM_TEE:
    case TD_ITEM_LINK:
    case TD_N_ITEM_KINDS:
    default:
      *rank_out = 5;
      return (TdHit){ TD_HIT_NOTHING, -1 };
    }
}

TdHit
td_scene_hit (const TdScene *scene, double x, double y, double slop_mm)
{
  TdHit best = { TD_HIT_NOTHING, -1 };
  int best_rank = G_MAXINT;
  double best_distance = INFINITY;

  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);
      double distance = distance_to_item (item, x, y);
      int rank;
      TdHit hit = hit_of_item (item, &rank);

      if (hit.kind == TD_HIT_NOTHING || item->row < 0 || distance > slop_mm)
        continue;
      /* A thing right under the point beats a smaller one beside it. */
      if (distance > 0 && best_distance <= 0)
        continue;
      if ((distance <= 0 && best_distance > 0) || rank < best_rank
          || (rank == best_rank && distance < best_distance))
        {
          best = hit;
          best_rank = rank;
          best_distance = distance;
        }
    }
  return best;
}
