/* core-fluid-tables.h: the measured figures behind core-fluid.h; private to it and its tests. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* A solution at 20 C. */
typedef struct
{
  double percent_w_w;
  double density_g_cm3;
  double viscosity_mpa_s; /* NAN where the source has none */
} TdSolutionPoint;

/* Densities of one strength at four temperatures, ascending. */
typedef struct
{
  double percent_w_w;
  const double *temperatures_c;
  double density_g_cm3[4];
} TdDensityRow;

/* Coefficients of Laliberte's correlations: M. Laliberte, W. E. Cooper, J. Chem. Eng. Data 49 (2004)
 * 1141 (density) and M. Laliberte, J. Chem. Eng. Data 52 (2007) 321 (viscosity), as revised in J. Chem.
 * Eng. Data 54 (2009) 1725; read from the data file of the open-source library "chemicals". */
typedef struct
{
  double density[5];   /* c0 .. c4 */
  double density_min_c;
  double density_max_c;
  double viscosity[6]; /* v1 .. v6 */
  double viscosity_min_c;
  double viscosity_max_c;
} TdLaliberte;

typedef struct
{
  const char *substance;
  const TdSolutionPoint *points; /* percent ascending, from 0.5 up */
  guint n_points;
  const TdDensityRow *rows; /* percent ascending; NULL where there are none */
  guint n_rows;
  TdLaliberte laliberte;
} TdSolutionTable;

/* Returns: (transfer none) (nullable): the table of "naoh", "koh" or "h3po4". */
const TdSolutionTable *td_solution_table_find (const char *substance);

G_END_DECLS
