/* core-plan-simplex.h: a linear program whose columns come one by one.
 *
 * Minimise cost x with A x = b, x >= 0, from a basis of unit columns; the revised simplex method with an
 * explicit inverse, in doubles.  What it finds is advice only: prices that are made whole numbers and
 * checked, columns that are tried. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef struct _TdSimplex TdSimplex;

/* @right: n_rows numbers >= 0; @costs: of the unit columns that the basis begins with, one by row. */
TdSimplex *td_simplex_new (guint n_rows, const double *right, const double *costs);
void td_simplex_free (TdSimplex *simplex);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdSimplex, td_simplex_free)

/* Prices of the rows under the basis: cost of the basis times its inverse. */
const double *td_simplex_get_prices (const TdSimplex *simplex);

/* Brings a column of @cost into the basis in place of one that it drives to zero.  @column: by row;
 * @name: to know it by, >= 0.  Only a column whose cost is below its price makes the sum smaller.
 * Returns: FALSE where nothing bounds it or the numbers are too small to go on. */
gboolean td_simplex_enter (TdSimplex *simplex, const double *column, double cost, int name);

/* The name and value of the column that stands for a row in the basis; the name is -1 for one of the
 * unit columns. */
int td_simplex_get_basic (const TdSimplex *simplex, guint row, double *value_out);

/* The sum of costs. */
double td_simplex_get_sum (const TdSimplex *simplex);

G_END_DECLS
