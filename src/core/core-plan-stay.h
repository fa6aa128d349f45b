/* core-plan-stay.h: which lines of a set can be held static, as far as balance tells. */
#pragma once

#include "core-plan-part.h"

G_BEGIN_DECLS

/* Room for what td_plan_stay_count() finds; by node: towers, then coolers. */
typedef struct
{
  guint *lines;
  guint *oneway;   /* of them, lines that only run out */
  guint *plain;    /* of them, lines that run both ways as they are */
  guint *quota;    /* lines that have to be held static at the node, whatever else is */
  guint *left;     /* room for the work */
  guint least[2];  /* sum of the quotas at towers, at coolers */
  guint spare[2];  /* lines that may be held static beyond the quotas */
  guint reversals[2]; /* that the nodes ask for with no line static beyond the quotas */
} TdPlanStay;

TdPlanStay *td_plan_stay_new (const TdPlanPart *part);
void td_plan_stay_free (TdPlanStay *stay);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanStay, td_plan_stay_free)

/* Counts lines and quotas of @free, a number of lines by type.  A node with an odd number of lines holds
 * one of them static at least; one with more one-way lines than others holds as many static as there
 * are more, one-way lines themselves.
 * Returns: FALSE where @statics are too few, or @reversals: two lines static beyond the quotas spare one
 * reversal at most. */
gboolean td_plan_stay_count (const TdPlanPart *part, const TdPlanCount *free, guint statics,
                             guint reversals, TdPlanStay *stay);

/* The most that the static lines can weigh: every node's quota, and the spare ones wherever they weigh
 * most; the lesser of what towers and coolers allow.  @order: types from the heaviest on.  Call
 * td_plan_stay_count() first. */
gint64 td_plan_stay_weigh (const TdPlanPart *part, const TdPlanCount *free, TdPlanStay *stay,
                           const gint64 *weights, const guint *order);

/* Returns: (transfer full): the types from the heaviest on, equal ones by rank. */
guint *td_plan_order_types (const TdPlanPart *part, const gint64 *weights);

G_END_DECLS
