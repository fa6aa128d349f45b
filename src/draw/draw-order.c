#include "draw-order.h"

static int
compare_numbers (gconstpointer a, gconstpointer b, gpointer data)
{
  const TdSite *site = data;
  guint left = *(const guint *)a, right = *(const guint *)b;
  int left_number = site->outlets[left].number, right_number = site->outlets[right].number;

  if ((left_number == 0) != (right_number == 0))
    return left_number == 0 ? 1 : -1;
  if (left_number != right_number)
    return left_number < right_number ? -1 : 1;
  return left < right ? -1 : 1;
}

guint *
td_order_outlets (const TdSite *site, guint tower, guint *n_out)
{
  guint *outlets = g_new (guint, MAX (site->n_outlets, 1));
  guint n = 0;

  g_assert (tower < site->n_towers);
  for (guint i = 0; i < site->n_outlets; i++)
    if (site->outlets[i].tower == tower)
      outlets[n++] = i;
  g_qsort_with_data (outlets, (int)n, sizeof *outlets, compare_numbers, (gpointer)site);
  *n_out = n;
  return outlets;
}

guint
td_order_count_crossings (const TdSite *site, const guint *towers, const guint *coolers)
{
  g_autofree guint *rank = g_new (guint, MAX (site->n_coolers, 1));
  g_autofree guint *seen = g_new0 (guint, MAX (site->n_coolers, 1));
  guint crossings = 0;

  for (guint i = 0; i < site->n_coolers; i++)
    rank[coolers[i]] = i;
  for (guint i = 0; i < site->n_towers; i++)
    {
      guint n;
      g_autofree guint *outlets = td_order_outlets (site, towers[i], &n);

      for (guint j = 0; j < n; j++)
        {
          const TdOutlet *outlet = &site->outlets[outlets[j]];

          if (outlet->side >= 0)
            continue;
          /* Every line further left that ends further right crosses this one. */
          for (guint k = rank[outlet->cooler] + 1; k < site->n_coolers; k++)
            crossings += seen[k];
          seen[rank[outlet->cooler]]++;
        }
    }
  return crossings;
}

static void
swap (guint *a, guint *b)
{
  guint kept = *a;

  *a = *b;
  *b = kept;
}

/* One round over all pairs of @items; TRUE where a swap took crossings away. */
static gboolean
improve (const TdSite *site,
         guint *items,
         guint n,
         const guint *towers,
         const guint *coolers,
         guint *best)
{
  gboolean better = FALSE;

  for (guint i = 0; i + 1 < n && *best > 0; i++)
    for (guint j = i + 1; j<n && * best> 0; j++)
      {
        guint crossings;

        swap (&items[i], &items[j]);
        crossings = td_order_count_crossings (site, towers, coolers);
        if (crossings < *best)
          {
            *best = crossings;
            better = TRUE;
          }
        else
          swap (&items[i], &items[j]);
      }
  return better;
}

void
td_order_places (const TdSite *site, guint *towers, guint *coolers)
{
  guint best;
  gboolean better = TRUE;

  for (guint i = 0; i < site->n_towers; i++)
    towers[i] = i;
  for (guint i = 0; i < site->n_coolers; i++)
    coolers[i] = i;
  best = td_order_count_crossings (site, towers, coolers);
  while (better)
    {
      better = improve (site, coolers, site->n_coolers, towers, coolers, &best);
      better |= improve (site, towers, site->n_towers, towers, coolers, &best);
    }
}
