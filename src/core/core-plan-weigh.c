#include "core-plan-weigh.h"

#include "core-plan-heaviest.h"
#include "core-plan-stay.h"

/* Parts that the capacity is cut into at most. */
#define MAX_PARTS 24

/* Weight of the lines that are in circuits, at least. */
static gint64
weigh_staying (const TdPlanPart *part, guint statics, const gint64 *weights)
{
  g_autoptr (TdPlanStay) stay = td_plan_stay_new (part);
  g_autofree guint *order = td_plan_order_types (part, weights);
  g_autofree TdPlanCount *all = g_new (TdPlanCount, part->n_types + 1);
  gint64 sum = 0;
  for (guint i = 0; i < part->n_types; i++)
    {
      all[i] = (TdPlanCount)part->types[i].count;
      sum += weights[i] * all[i];
    }
  /* So few static lines that no plan has them: any bound holds, the plainest will do. */
  if (!td_plan_stay_count (part, all, statics, part->n_lines, stay))
    return 0;
  return sum - td_plan_stay_weigh (part, all, stay, weights, order);
}

static guint
divide_up (gint64 sum, gint64 most)
{
  return sum <= 0 ? 0 : (guint)((sum + most - 1) / most);
}

guint
td_plan_weigh_bound (const TdPlanPart *part, guint statics, const TdPlanWeights *weights)
{
  g_return_val_if_fail (part != NULL && weights != NULL && weights->most > 0, 0);
  return divide_up (weigh_staying (part, statics, weights->weights), weights->most);
}

double
td_plan_weigh_ratio (const TdPlanPart *part, guint statics, const gint64 *weights, gint64 most)
{
  g_return_val_if_fail (part != NULL && weights != NULL && most > 0, 0.0);
  return (double)weigh_staying (part, statics, weights) / (double)most;
}

guint
td_plan_loss_bound (const TdPlanPart *part, guint statics)
{
  g_return_val_if_fail (part != NULL, 0);
  g_autofree gint64 *losses = g_new (gint64, part->n_types + 1);
  for (guint i = 0; i < part->n_types; i++)
    losses[i] = part->types[i].loss_um;
  return divide_up (weigh_staying (part, statics, losses), MAX (part->capacity_um, 1));
}

/* @parts of 0 weighs every line 1.  NULL where the weights are those of fewer parts or all zero. */
static TdPlanWeights *
make_steps (const TdPlanPart *part, guint parts)
{
  g_autoptr (TdPlanWeights) weights = td_plan_weights_new (part->n_types);
  gint64 most = 0;
  for (guint i = 0; i < part->n_types; i++)
    {
      weights->weights[i]
          = parts == 0 ? 1 : part->types[i].loss_um * (gint64)parts / MAX (part->capacity_um, 1);
      most = MAX (most, weights->weights[i]);
    }
  TdPlanScale scale = { .out_weights = weights->weights,
                        .in_weights = weights->weights,
                        .must = -1,
                        .capacity_um = part->capacity_um };
  weights->most = most > 0 ? td_plan_find_heaviest (part, &scale, NULL, NULL, NULL) : 0;
  return weights->most > 0 ? g_steal_pointer (&weights) : NULL;
}

/* Compares bound, then how close the weights come to the next one. */
static int
compare_bounds (gconstpointer a, gconstpointer b, gpointer data)
{
  const double *ratios = data;
  guint i = *(const guint *)a, j = *(const guint *)b;
  if (ratios[i] != ratios[j])
    return ratios[i] > ratios[j] ? -1 : 1;
  return i < j ? -1 : 1;
}

GPtrArray *
td_plan_weigh_steps (const TdPlanPart *part, guint statics, guint n)
{
  g_return_val_if_fail (part != NULL, NULL);
  g_autoptr (GPtrArray) all = g_ptr_array_new_with_free_func ((GDestroyNotify)td_plan_weights_free);
  double ratios[MAX_PARTS + 1];
  guint order[MAX_PARTS + 1];

  for (guint parts = 0; parts <= MAX_PARTS; parts++)
    {
      TdPlanWeights *weights = parts == 1 ? NULL : make_steps (part, parts);
      if (weights == NULL)
        continue;
      order[all->len] = all->len;
      ratios[all->len]
          = (double)weigh_staying (part, statics, weights->weights) / (double)weights->most;
      g_ptr_array_add (all, weights);
    }
  g_qsort_with_data (order, (int)all->len, sizeof (guint), compare_bounds, ratios);

  GPtrArray *best = g_ptr_array_new_with_free_func ((GDestroyNotify)td_plan_weights_free);
  for (guint i = 0; i < MIN (n, all->len); i++)
    {
      g_ptr_array_add (best, g_ptr_array_index (all, order[i]));
      g_ptr_array_index (all, order[i]) = NULL;
    }
  g_ptr_array_set_free_func (all, NULL);
  for (guint i = 0; i < all->len; i++)
    g_clear_pointer (&g_ptr_array_index (all, i), td_plan_weights_free);
  return best;
}
