#include "core-plan-round.h"

#include <math.h>
#include <string.h>

/* Lines that are left to the search, at most, in turn. */
static const guint rests[] = { 14, 20, 28, 36, 48 };

typedef struct
{
  const TdPlanPart *part;
  const TdPlanFractions *fractions;
  guint *order;      /* circuits, the most used first */
  TdPlanCount *left; /* lines by type */
  guint n_left;
  guint n_taken;
  TdPlanPacking *packing;
} Rounding;

static int
compare_amounts (gconstpointer a, gconstpointer b, gpointer data)
{
  const double *amounts = data;
  guint i = *(const guint *)a, j = *(const guint *)b;
  if (amounts[i] != amounts[j])
    return amounts[i] > amounts[j] ? -1 : 1;
  return i < j ? -1 : 1;
}

static inline const TdPlanCount *
get_circuit (const Rounding *rounding, guint at)
{
  return rounding->fractions->circuits + (gsize)at * rounding->part->n_types;
}

/* Takes one copy of the circuit where its lines are left and @rest lines stay for the search. */
static gboolean
take (Rounding *rounding, guint at, guint rest)
{
  const TdPlanPart *part = rounding->part;
  const TdPlanCount *counts = get_circuit (rounding, at);
  guint n = 0;
  for (guint i = 0; i < part->n_types; i++)
    {
      if (counts[i] > rounding->left[i])
        return FALSE;
      n += counts[i];
    }
  if (rounding->n_left < n + rest)
    return FALSE;
  int reversals = td_plan_part_orient (part, counts);
  if (reversals < 0 || !td_plan_part_fits (part, counts))
    return FALSE;
  for (guint i = 0; i < part->n_types; i++)
    rounding->left[i] = (TdPlanCount)(rounding->left[i] - counts[i]);
  rounding->n_left -= n;
  rounding->n_taken++;
  td_plan_packing_add (rounding->packing, part, counts, (guint)reversals);
  return TRUE;
}

static void
take_circuits (Rounding *rounding, guint rest)
{
  const TdPlanFractions *fractions = rounding->fractions;
  for (guint k = 0; k < fractions->n_circuits; k++)
    for (guint copies = (guint)floor (fractions->amounts[rounding->order[k]] + 1e-6); copies > 0;
         copies--)
      take (rounding, rounding->order[k], rest);
  for (guint k = 0; k < fractions->n_circuits; k++)
    take (rounding, rounding->order[k], rest);
}

static TdPlanPacking *
round_once (const TdPlanPart *part,
            const TdPlanFractions *fractions,
            const TdPlanQuestion *question,
            guint rest,
            gint64 *budget)
{
  g_autofree guint *order = g_new (guint, fractions->n_circuits + 1);
  g_autofree TdPlanCount *left = g_new (TdPlanCount, part->n_types + 1);
  g_autoptr (TdPlanPacking) packing = td_plan_packing_new (part);
  Rounding rounding = { part, fractions, order, left, part->n_lines, 0, packing };
  TdPlanPacking *found = NULL;
  TdPlanQuestion remainder = *question;

  for (guint i = 0; i < part->n_types; i++)
    left[i] = (TdPlanCount)part->types[i].count;
  for (guint k = 0; k < fractions->n_circuits; k++)
    order[k] = k;
  g_qsort_with_data (order, (int)fractions->n_circuits, sizeof (guint), compare_amounts,
                     fractions->amounts);
  take_circuits (&rounding, rest);
  if (rounding.n_taken > question->circuits || packing->reversals > question->reversals)
    return NULL;
  remainder.free = left;
  remainder.circuits -= rounding.n_taken;
  remainder.reversals -= packing->reversals;
  if (td_plan_search (part, &remainder, budget, &found) != TD_PLAN_FOUND)
    return NULL;
  /* What was found counts the lines already taken as static; only its circuits are of use. */
  for (guint c = 0; c < found->n_circuits; c++)
    {
      const TdPlanCount *counts = found->circuits + (gsize)c * part->n_types;
      td_plan_packing_add (packing, part, counts, (guint)td_plan_part_orient (part, counts));
    }
  td_plan_packing_free (found);
  td_plan_packing_finish (packing, part);
  return g_steal_pointer (&packing);
}

TdPlanPacking *
td_plan_round (const TdPlanPart *part,
               const TdPlanFractions *fractions,
               const TdPlanQuestion *question,
               gint64 *budget)
{
  g_return_val_if_fail (part != NULL && fractions != NULL && question != NULL, NULL);
  g_return_val_if_fail (budget != NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (rests); i++)
    {
      gint64 given = *budget / (gint64)(G_N_ELEMENTS (rests) - i), left = given;
      TdPlanPacking *packing = round_once (part, fractions, question, rests[i], &left);
      *budget -= given - left;
      if (packing != NULL)
        return packing;
    }
  return NULL;
}
