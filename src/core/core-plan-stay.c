#include "core-plan-stay.h"

#include <string.h>

TdPlanStay *
td_plan_stay_new (const TdPlanPart *part)
{
  guint n_nodes = part->n_towers + part->n_coolers;
  TdPlanStay *stay = g_new0 (TdPlanStay, 1);
  stay->lines = g_new0 (guint, 5 * n_nodes);
  stay->oneway = stay->lines + n_nodes;
  stay->plain = stay->oneway + n_nodes;
  stay->quota = stay->plain + n_nodes;
  stay->left = stay->quota + n_nodes;
  return stay;
}

void
td_plan_stay_free (TdPlanStay *stay)
{
  g_return_if_fail (stay != NULL);
  g_free (stay->lines);
  g_free (stay);
}

static void
count_lines (const TdPlanPart *part, const TdPlanCount *free, TdPlanStay *stay)
{
  memset (stay->lines, 0, 3 * (part->n_towers + part->n_coolers) * sizeof (guint));
  for (guint i = 0; i < part->n_types; i++)
    {
      const TdPlanType *type = &part->types[i];
      guint cooler = part->n_towers + type->cooler, n = free[i];
      guint oneway = type->kind == TD_PLAN_OUT_ONLY ? n : 0;
      guint plain = type->kind == TD_PLAN_PLAIN ? n : 0;
      stay->lines[type->tower] += n;
      stay->lines[cooler] += n;
      stay->oneway[type->tower] += oneway;
      stay->oneway[cooler] += oneway;
      stay->plain[type->tower] += plain;
      stay->plain[cooler] += plain;
    }
}

gboolean
td_plan_stay_count (const TdPlanPart *part,
                    const TdPlanCount *free,
                    guint statics,
                    guint reversals,
                    TdPlanStay *stay)
{
  guint n_nodes = part->n_towers + part->n_coolers;
  count_lines (part, free, stay);
  memset (stay->least, 0, sizeof stay->least);
  memset (stay->reversals, 0, sizeof stay->reversals);
  for (guint node = 0; node < n_nodes; node++)
    {
      guint side = node < part->n_towers ? 0 : 1, n = stay->lines[node];
      guint can_run_in = n - stay->oneway[node];
      stay->quota[node] = n - 2 * MIN (can_run_in, n / 2);
      stay->least[side] += stay->quota[node];
      guint in = (n - stay->quota[node]) / 2;
      stay->reversals[side] += in > stay->plain[node] ? in - stay->plain[node] : 0;
    }
  for (guint side = 0; side < 2; side++)
    {
      if (stay->least[side] > statics)
        return FALSE;
      stay->spare[side] = statics - stay->least[side];
      if (stay->reversals[side] > reversals + stay->spare[side] / 2)
        return FALSE;
    }
  return TRUE;
}

static gint64
weigh_side (const TdPlanPart *part,
            const TdPlanCount *free,
            TdPlanStay *stay,
            const gint64 *weights,
            const guint *order,
            guint side)
{
  guint spare = stay->spare[side], open = stay->least[side] + spare;
  gint64 sum = 0;
  memcpy (stay->left, stay->quota, (part->n_towers + part->n_coolers) * sizeof (guint));
  for (guint i = 0; i < part->n_types && open > 0; i++)
    {
      const TdPlanType *type = &part->types[order[i]];
      guint n = free[order[i]], node = side == 0 ? type->tower : part->n_towers + type->cooler;
      /* Where one-way lines are too many, the quota is theirs alone. */
      gboolean strict = 2 * stay->oneway[node] > stay->lines[node];
      guint by_quota = strict && type->kind != TD_PLAN_OUT_ONLY ? 0 : MIN (n, stay->left[node]);
      guint by_spare = MIN (n - by_quota, spare);
      stay->left[node] -= by_quota;
      spare -= by_spare;
      open -= by_quota + by_spare;
      sum += weights[order[i]] * (by_quota + by_spare);
    }
  return sum;
}

gint64
td_plan_stay_weigh (const TdPlanPart *part,
                    const TdPlanCount *free,
                    TdPlanStay *stay,
                    const gint64 *weights,
                    const guint *order)
{
  gint64 towers = weigh_side (part, free, stay, weights, order, 0);
  gint64 coolers = weigh_side (part, free, stay, weights, order, 1);
  return MIN (towers, coolers);
}

static int
compare_weights (gconstpointer a, gconstpointer b, gpointer data)
{
  const gint64 *weights = data;
  guint i = *(const guint *)a, j = *(const guint *)b;
  if (weights[i] != weights[j])
    return weights[i] > weights[j] ? -1 : 1;
  return i < j ? -1 : 1;
}

guint *
td_plan_order_types (const TdPlanPart *part, const gint64 *weights)
{
  guint *order = g_new (guint, part->n_types + 1);
  for (guint i = 0; i < part->n_types; i++)
    order[i] = i;
  g_qsort_with_data (order, (int)part->n_types, sizeof (guint), compare_weights, (gpointer)weights);
  return order;
}
