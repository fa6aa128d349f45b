/* core-plan-part.h: a problem taken apart: parts that hang together, each with its lines by type.
 *
 * Circuits never leave a part, so parts are planned by themselves.  Within a part lines that join the
 * same places, can do the same and lose the same are interchangeable; they are one type with a count. */
#pragma once

#include "core-plan-problem.h"

G_BEGIN_DECLS

/* A number of lines of one type. */
typedef guint16 TdPlanCount;

typedef struct
{
  guint tower;    /* within the part */
  guint cooler;   /* within the part */
  TdPlanKind kind;
  gint64 loss_um; /* at the least flow */
  guint count;
  guint *lines;   /* of the problem, in the order of their ids */
} TdPlanType;

typedef struct
{
  const TdPlanProblem *problem; /* outlives the part */
  guint n_towers;
  guint n_coolers;
  guint *towers;  /* of the problem, in the order of their ids */
  guint *coolers; /* of the problem, in the order of their ids */
  guint n_lines;
  guint n_types;
  TdPlanType *types; /* greatest loss first, then by tower, cooler, kind, first line's id */
  gint64 capacity_um;
  /* Only the least flow limits circuits here: no pressure limit bites and the pump's place is free, so
   * that whatever a circuit falls apart into are circuits, too. */
  gboolean splits;
} TdPlanPart;

/* Takes the free lines apart.  @alone_out: guint, lines that are in no circuit whatever the plan: their
 * tower or cooler offers no partner that the flow allows, or the pinned pump stands outside their part.
 * Returns: (transfer full): TdPlanPart, in the order of their first tower's id. */
GPtrArray *td_plan_parts_new (const TdPlanProblem *problem, GArray **alone_out);
void td_plan_part_free (TdPlanPart *part);

/* Is the balanced, connected set of @counts lines of each type within every limit and at the pinned
 * station?  @counts: by type. */
gboolean td_plan_part_fits (const TdPlanPart *part, const TdPlanCount *counts);

/* Fewest reversals of a set of lines as one circuit, or -1 where it is none (limits apart). */
int td_plan_part_orient (const TdPlanPart *part, const TdPlanCount *counts);

/* What the planner finds for one part. */
typedef struct
{
  guint n_circuits;
  TdPlanCount *circuits; /* counts by type, circuit after circuit */
  TdPlanCount *statics;  /* counts by type */
  guint n_statics;
  guint reversals;
} TdPlanPacking;

TdPlanPacking *td_plan_packing_new (const TdPlanPart *part);
void td_plan_packing_free (TdPlanPacking *packing);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanPacking, td_plan_packing_free)
/* Adds a circuit of @counts, which needs @reversals. */
void td_plan_packing_add (TdPlanPacking *packing, const TdPlanPart *part, const TdPlanCount *counts,
                          guint reversals);
/* Fewer static lines, or as many and fewer circuits, or as many of both and fewer reversals. */
gboolean td_plan_packing_is_better (const TdPlanPacking *a, const TdPlanPacking *b);
/* Everything not in a circuit is static. */
void td_plan_packing_finish (TdPlanPacking *packing, const TdPlanPart *part);

G_END_DECLS
