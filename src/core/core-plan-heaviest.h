/* core-plan-heaviest.h: the heaviest circuit under given weights of lines. */
#pragma once

#include "core-plan-part.h"

G_BEGIN_DECLS

typedef struct
{
  const gint64 *out_weights;  /* by type, of a line that runs out; >= 0 */
  const gint64 *in_weights;   /* by type, of a line that runs in; may be negative */
  const TdPlanCount *free;    /* (nullable): lines that may be taken, by type; NULL for all */
  const TdPlanCount *ins;     /* (nullable): so many of the free lines of a type run in and the others
                                 out; NULL where each runs as it may */
  int must;                   /* a type of which one line has to be in, or -1 */
  gint64 capacity_um;         /* the circuit may lose so much at the least flow */
} TdPlanScale;

/* Largest table, in states, that is worked through; a larger one gives up balance first. */
#define TD_PLAN_MAX_STATES 4000000

/* Finds the greatest weight of a set of lines that is balanced at every tower and cooler and loses no
 * more than the capacity; it need not hang together (so that with several coolers the weight is an upper
 * bound on that of a circuit). A dynamic program, tower by tower, over the coolers' balance and the
 * weight, keeps the least loss of each state; exact in whole numbers.  Where its table would grow too
 * large, balance is left out of account, and the weight is an upper bound again.
 * @counts_out: (nullable): takes the lines, by type; @ins_out: (nullable with @counts_out): how many of
 * them run in; @exact_out: (nullable): whether balance was kept.
 * Returns: the weight; 0 and no lines where nothing weighs more than the empty set, or, with @must, -1
 * where no set holds that line. */
gint64 td_plan_find_heaviest (const TdPlanPart *part,
                              const TdPlanScale *scale,
                              TdPlanCount *counts_out,
                              TdPlanCount *ins_out,
                              gboolean *exact_out);

/* Steps that td_plan_find_heaviest() would take, roughly a nanosecond each. */
gint64 td_plan_count_work (const TdPlanPart *part, const TdPlanScale *scale);

/* The most lines that the capacity allows in one circuit, balance left out of account. */
guint td_plan_count_most_legs (const TdPlanPart *part, gint64 capacity_um);

G_END_DECLS
