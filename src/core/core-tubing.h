/* core-tubing.h: the tubes of the trade: what they hold and how they hold back beer.
 *
 * Two figures a tube stand beside each other on purpose.  What a tube holds is geometry (pi/4 d2); the
 * handbook's rounded fractions are for reproducing its printed examples.  The restriction is the
 * handbook's rule of thumb for beer at its pour rate, and no friction law: never use it for cleaning. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* How well a figure is known. */
typedef enum
{
  TD_TUBE_PRINTED, /* read in the handbook's published summaries */
  TD_TUBE_MEMORY   /* from memory, not confirmed */
} TdTubeMark;

/* Source of the handbook's figures. */
#define TD_TUBING_SOURCE "Brewers Association, Draught Beer Quality Manual, 4th ed. 2019"

typedef struct
{
  const char *material; /* "vinyl", "barrier", "stainless" */
  const char *size;     /* as it is sold: "1/4 in inside" */
  double bore_mm;       /* NAN where the size is the outside diameter */
  double handbook_fl_oz_ft; /* US fl oz in a foot, a rounded fraction */
  TdTubeMark volume_mark;
  double restriction_psi_ft; /* psi in a foot; "lb/ft" in the trade */
  TdTubeMark restriction_mark;
} TdTube;

/* Returns: (transfer none): the table, @n_out rows. */
const TdTube *td_tubing_get_table (guint *n_out);

/* The tube of that material whose bore is nearest to @bore_mm, at most 0.1 mm away, since metric lists
 * round inch sizes.  Returns: (transfer none) (nullable): the tube; NULL where the handbook has none. */
const TdTube *td_tubing_find (const char *material, double bore_mm);

/* Millilitres in a metre of a bore in mm: pi/4 d2, exact geometry. */
double td_tubing_get_ml_m (double bore_mm);

/* Elevation in the handbook's pour balance, psi per foot of rise; rounded there from 0.433 (beer's own
 * weight). */
#define TD_TUBING_HANDBOOK_RISE_PSI_FT 0.5

G_END_DECLS
