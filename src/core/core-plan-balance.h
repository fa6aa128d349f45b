/* core-plan-balance.h: what balance alone asks for, whatever the pump can do. */
#pragma once

#include "core-plan-part.h"

G_BEGIN_DECLS

/* The least number of reversals with which the lines of a part, but for @statics of them at most, can be
 * balanced at every tower and cooler; neither loss nor connection counts, so this is a lower bound for
 * any plan. A dynamic program over cells; its state is the coolers' surplus of lines in over lines out.
 * @least_out: takes @statics + 1 numbers, for 0, 1, ... static lines at most; -1 where so few static
 * lines leave no balance.
 * Returns: FALSE where the program would grow too large; @least_out is then not set. */
gboolean td_plan_balance (const TdPlanPart *part, guint statics, int *least_out);

/* What is to be done with the lines of one cell, whichever they are. */
typedef struct
{
  guint statics; /* one-way lines first, then reversible ones, then the others */
  guint ins;     /* of the rest, so many run in: those that need no reversal first */
} TdPlanShare;

/* The choice behind td_plan_balance(): with @statics static lines at most, as few of them as balance
 * allows, and then the fewest reversals.
 * @shares_out: towers x coolers of the part.
 * Returns: FALSE where the program would grow too large or so few static lines leave no balance. */
gboolean td_plan_balance_share (const TdPlanPart *part, guint statics, TdPlanShare *shares_out);

G_END_DECLS
