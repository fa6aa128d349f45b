/* core-plan-orient.h: which of the lines of a circuit run in. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* The lines of a circuit that join one tower to one cooler, by what they can do. */
typedef struct
{
  guint out_only;   /* hold a one-way part, or may not be reversed */
  guint plain;      /* run either way as they are */
  guint reversible; /* run in only after their lever is set */
} TdPlanCell;

/* Chooses how many lines of each cell run in, so that at every tower and every cooler as many run in as
 * out, with the fewest reversals.  @cells: n_towers x n_coolers, row by row of a tower.  @in_out:
 * (nullable): takes the number that runs in for each cell; plain lines come first.
 * The choice is a transportation problem (as many in as out at every node means half of its lines in)
 * with a convex cost: solved exactly by shortest augmenting paths.
 * Returns: the least number of reversals, or -1 where no choice balances. */
int td_plan_orient (guint n_towers, guint n_coolers, const TdPlanCell *cells, guint *in_out);

/* TRUE where the cells that hold lines hang together through their towers and coolers; FALSE for no
 * lines at all. */
gboolean td_plan_hangs_together (guint n_towers, guint n_coolers, const TdPlanCell *cells);

G_END_DECLS
