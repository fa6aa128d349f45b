/* core-plan-problem.h: what is to be planned, in whole numbers: lines, places, limits, pins.
 *
 * Losses and heads are micrometres of the solution.  A circuit has to give the least flow, and, where
 * every tube in it is known, a second least flow that keeps the pump's head within the pressure limit;
 * that one depends on the heights of the bucket and of the circuit's lowest place.  Each such flow is a
 * level; level 0 is the least flow of the site. */
#pragma once

#include "core-leg.h"
#include "core-plan-orient.h"
#include "core-plan-pins.h"

G_BEGIN_DECLS

typedef enum
{
  TD_PLAN_OUT_ONLY,  /* a one-way part, or a pin that forbids the reversal */
  TD_PLAN_PLAIN,     /* runs either way as it is */
  TD_PLAN_REVERSIBLE /* runs in after a reversal */
} TdPlanKind;

typedef enum
{
  TD_PLAN_FREE,    /* the planner's choice */
  TD_PLAN_STATIC,  /* pinned: held static */
  TD_PLAN_FIXED,   /* pinned: in a circuit made by hand */
  TD_PLAN_LEFT_OUT /* pinned: not cleaned at all */
} TdPlanStatus;

typedef struct
{
  guint tower;     /* index into the site's towers */
  guint cooler;    /* index into the site's coolers */
  TdPlanKind kind;
  TdPlanStatus status;
  gboolean known;  /* its loss is known at every level */
  gint64 *loss_um; /* by level; those above 0 only where it is known */
  double volume_ml; /* of its own tube */
} TdPlanLine;

/* The capacity of a level that no circuit can reach. */
#define TD_PLAN_NO_LEVEL G_MAXUINT

typedef struct _TdPlanProblem
{
  guint n_towers;
  guint n_coolers;
  guint n_lines;
  TdPlanLine *lines; /* by index in the site */
  guint *order;      /* the lines' indices in the byte order of their ids */
  guint *node_order; /* nodes (towers, then coolers from n_towers on) in the byte order of their ids */
  guint n_levels;
  double *flow_l_min;  /* by level; NULL in a problem changed for a question */
  gint64 *capacity_um; /* by level */
  guint *levels;       /* level by bucket node and lowest node, or TD_PLAN_NO_LEVEL */
  guint *lowest;       /* nodes from the lowest to the highest */
  int station;         /* node that a pin gives the pump, or -1 */
  const TdPin **fixed_pins; /* the pins of circuits made by hand; borrowed */
  guint **fixed;            /* lines of each of them */
  guint *fixed_n;           /* their number */
  guint n_fixed;
  gboolean *left_out;       /* by index in the site's outlets: not cleaned */
  guint n_outlets;
} TdPlanProblem;

/* @pins: (nullable).  @model: of the same site.
 * Returns: (transfer full): the problem, or NULL with TD_ERROR_REFERENCE or TD_ERROR_INFEASIBLE that names
 * the pin which cannot be kept. */
TdPlanProblem *td_plan_problem_new (const TdSite *site,
                                    const TdLegModel *model,
                                    const TdPlanPins *pins,
                                    GError **error);
void td_plan_problem_free (TdPlanProblem *problem);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanProblem, td_plan_problem_free)

/* The pump's head at @flow_l_min as a capacity: every sum of losses in micrometres that is not greater
 * than the head by more than one part in 1e9 is at most this.  -1 where the pump does not reach the flow. */
gint64 td_plan_get_capacity_um (const TdLegModel *model, double flow_l_min);

/* Adds the lines of a circuit into cells (n_towers x n_coolers, zeroed first). */
void td_plan_problem_count_cells (const TdPlanProblem *problem,
                                  const guint *lines,
                                  guint n_lines,
                                  TdPlanCell *cells_out);

/* What a set of lines, balanced or not, does to the limits. */
typedef struct
{
  gint64 loss_um;         /* at the least flow */
  gboolean flow_fits;     /* at most the pump's head there */
  gboolean pressure_fits; /* from the station; TRUE where it cannot be told */
  gboolean pressure_told; /* every tube is known */
  int station;            /* the node for the pump, or -1 where no place keeps the limits */
} TdPlanFit;

/* Holds the limits against a circuit and finds its station: the pinned one, else of the places where the
 * limits are kept the tower with most legs, then by id, and failing a tower the cooler likewise. */
void td_plan_problem_fit (const TdPlanProblem *problem,
                          const guint *lines,
                          guint n_lines,
                          TdPlanFit *fit_out);

G_END_DECLS
