#include "core-plan-simplex.h"

#include <math.h>
#include <string.h>

/* Entries smaller than this are no pivots. */
#define LEAST_PIVOT 1e-7

struct _TdSimplex
{
  guint n;
  double *inverse; /* n x n, of the basis */
  double *values;  /* of the basic columns */
  double *costs;   /* of the basic columns */
  double *prices;
  double *entering; /* inverse times the column that comes in */
  int *names;
};

TdSimplex *
td_simplex_new (guint n_rows, const double *right, const double *costs)
{
  g_return_val_if_fail (n_rows > 0 && right != NULL && costs != NULL, NULL);
  TdSimplex *simplex = g_new0 (TdSimplex, 1);
  simplex->n = n_rows;
  simplex->inverse = g_new0 (double, (gsize)n_rows *n_rows);
  simplex->values = g_memdup2 (right, n_rows * sizeof (double));
  simplex->costs = g_memdup2 (costs, n_rows * sizeof (double));
  simplex->prices = g_memdup2 (costs, n_rows * sizeof (double));
  simplex->entering = g_new0 (double, n_rows);
  simplex->names = g_new (int, n_rows);
  for (guint i = 0; i < n_rows; i++)
    {
      simplex->inverse[(gsize)i * n_rows + i] = 1.0;
      simplex->names[i] = -1;
    }
  return simplex;
}

void
td_simplex_free (TdSimplex *simplex)
{
  g_return_if_fail (simplex != NULL);
  g_free (simplex->inverse);
  g_free (simplex->values);
  g_free (simplex->costs);
  g_free (simplex->prices);
  g_free (simplex->entering);
  g_free (simplex->names);
  g_free (simplex);
}

const double *
td_simplex_get_prices (const TdSimplex *simplex)
{
  g_return_val_if_fail (simplex != NULL, NULL);
  return simplex->prices;
}

int
td_simplex_get_basic (const TdSimplex *simplex, guint row, double *value_out)
{
  g_return_val_if_fail (simplex != NULL && row < simplex->n && value_out != NULL, -1);
  *value_out = simplex->values[row];
  return simplex->names[row];
}

double
td_simplex_get_sum (const TdSimplex *simplex)
{
  g_return_val_if_fail (simplex != NULL, 0.0);
  double sum = 0.0;
  for (guint i = 0; i < simplex->n; i++)
    sum += simplex->values[i] * simplex->costs[i];
  return sum;
}

/* The row whose column is driven to zero first; of equal ones that of the greatest pivot. */
static int
find_leaving (const TdSimplex *simplex)
{
  int best = -1;
  double least = INFINITY;
  for (guint i = 0; i < simplex->n; i++)
    {
      double pivot = simplex->entering[i];
      if (pivot <= LEAST_PIVOT)
        continue;
      double ratio = MAX (simplex->values[i], 0.0) / pivot;
      if (ratio < least - 1e-12 || (ratio < least + 1e-12 && pivot > simplex->entering[best]))
        {
          least = MIN (ratio, least);
          best = (int)i;
        }
    }
  return best;
}

/* Multiplies the inverse with the column; entries that are zero are common. */
static void
set_entering (TdSimplex *simplex, const double *column)
{
  guint n = simplex->n;
  memset (simplex->entering, 0, n * sizeof (double));
  for (guint k = 0; k < n; k++)
    if (column[k] != 0.0)
      for (guint i = 0; i < n; i++)
        simplex->entering[i] += simplex->inverse[(gsize)i * n + k] * column[k];
}

gboolean
td_simplex_enter (TdSimplex *simplex, const double *column, double cost, int name)
{
  g_return_val_if_fail (simplex != NULL && column != NULL && name >= 0, FALSE);
  guint n = simplex->n;
  double price = 0.0;

  for (guint k = 0; k < n; k++)
    price += simplex->prices[k] * column[k];
  set_entering (simplex, column);
  int leaving = find_leaving (simplex);
  if (leaving < 0)
    return FALSE;

  double *pivot_row = simplex->inverse + (gsize)leaving * n;
  double pivot = simplex->entering[leaving], step = MAX (simplex->values[leaving], 0.0) / pivot;
  for (guint k = 0; k < n; k++)
    pivot_row[k] /= pivot;
  for (guint i = 0; i < n; i++)
    {
      double factor = simplex->entering[i];
      if ((int)i == leaving || factor == 0.0)
        continue;
      double *row = simplex->inverse + (gsize)i * n;
      for (guint k = 0; k < n; k++)
        row[k] -= factor * pivot_row[k];
      simplex->values[i] = MAX (simplex->values[i] - factor * step, 0.0);
    }
  /* Prices move by the reduced cost along the pivot row. */
  for (guint k = 0; k < n; k++)
    simplex->prices[k] += (cost - price) * pivot_row[k];
  simplex->values[leaving] = step;
  simplex->costs[leaving] = cost;
  simplex->names[leaving] = name;
  return TRUE;
}
