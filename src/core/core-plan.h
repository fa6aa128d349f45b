/* core-plan.h: a plan: which lines of a site are cleaned together in which circuits, and which alone.
 *
 * Immutable and reference counted.  A plan names lines, towers and coolers by their ids, so that it can
 * be read, kept and shown without its site; its parts are plain structs to be read, never written.  A
 * figure that is not known is NAN, a text that is not known is NULL. */
#pragma once

#include "core-json.h"

G_BEGIN_DECLS

#define TD_PLAN_FORMAT "tundish-plan/1"

/* One line as a leg of a circuit. */
typedef struct
{
  char *line;          /* id of a line */
  gboolean runs_in;    /* faucet to keg, against the dispense direction */
  gboolean reversal;   /* the lever of the line's beer pump is to be set inwards, and back */
  double velocity_m_s; /* at the circuit's flow in the line's widest tube, where it is slowest */
  double reynolds;     /* there */
  char *why;           /* why the lever has to be set: one sentence; NULL without a reversal */
} TdPlanLeg;

typedef struct
{
  guint number;           /* from 1, the order in which the circuits are run */
  char *station;          /* id of the tower or cooler where the cleaning pump stands */
  gboolean at_cooler;     /* the station is a cooler: the first leg runs out and the last one in */
  TdPlanLeg *legs;        /* in the order of flow from the bucket round to the bucket */
  guint n_legs;
  double flow_l_min;
  double pump_head_m;
  double max_pressure_kpa; /* gauge, at the circuit's lowest point while it flows */
  double volume_l;         /* of lines and jumpers */
  double fill_s;           /* from the bucket to the return at that flow */
  double turnovers;        /* of that volume within the contact time */
} TdPlanCircuit;

/* Why a line is static: what would have to be otherwise for one faucet fewer to be static; several where
 * only all of them together would do. */
typedef enum
{
  TD_PLAN_CAUSE_UNKNOWN = 0,
  TD_PLAN_CAUSE_STATION = 1 << 0,  /* the pump is pinned to a place */
  TD_PLAN_CAUSE_PRESSURE = 1 << 1, /* the pressure limit */
  TD_PLAN_CAUSE_ONE_WAY = 1 << 2,  /* it can only run out */
  TD_PLAN_CAUSE_LOSS = 1 << 3,     /* it loses too much of the pump's head */
  TD_PLAN_CAUSE_PARTNER = 1 << 4,  /* it has no partner: an odd number of lines */
  TD_PLAN_CAUSE_PIN = 1 << 5,      /* a pin holds it static */
  TD_PLAN_CAUSE_SIDE = 1 << 6      /* it is a side faucet */
} TdPlanCause;

/* A faucet whose line is filled, shut and held. */
typedef struct
{
  char *line;    /* id of an outlet: a line or a side faucet */
  char *cooler;  /* id of the cooler whose manifold feeds it */
  guint fed_by;  /* number of the circuit that feeds it; 0: it needs a set-up of its own */
  TdPlanCause cause; /* for a plan that was made, not read */
  char *why;     /* why it does not circulate, one sentence */
} TdPlanStatic;

struct _TdPlanOutlook; /* core-plan-outlook.h */

typedef struct _TdPlan
{
  TdPlanCircuit *circuits; /* by number */
  guint n_circuits;
  TdPlanStatic *statics; /* in the order of their ids */
  guint n_statics;
  char **left_out; /* ids of outlets that a pin leaves out, NULL-terminated, sorted */

  guint reversals;
  double solution_l; /* to be mixed for the whole site */
  double minutes;    /* for one technician, whole ones, rounded up */

  gboolean proven;      /* no plan is better: fewer static, then fewer circuits, then fewer reversals */
  guint bound_static;   /* no plan has fewer static faucets */
  guint bound_circuits; /* no plan with as few static faucets as this one has fewer circuits */
  char *gap;            /* what is not proven, in a sentence; NULL where proven */
  char **warnings;      /* sentences, NULL-terminated */
  TdJson *certificate;  /* what shows the claim; NULL for a plan that was read */
} TdPlan;

/* Reads a plan as td_plan_to_json() or td_plan_to_body() writes it.  Figures, totals, bounds and words
 * may be missing or null; totals that are given must agree with the circuits; an "outlook"
 * (core-plan-outlook.h) is passed over.  Whether the plan fits a
 * site is td_plan_check()'s matter.
 * Returns: (transfer full): the plan, or NULL with TD_ERROR_SHAPE or TD_ERROR_RANGE at its place. */
TdPlan *td_plan_from_json (const TdJson *json, GError **error);
/* Returns: (transfer full): "tundish-plan/1". */
TdJson *td_plan_to_json (const TdPlan *plan);
/* The plan as the member "plan" of a journal body: {"circuits", "static"} of ids, integers and "yes" or
 * "no" alone, so that it has a canonical form.  Figures stand in td_plan_to_predicted(), lines left out in
 * entries of their own.  Returns: (transfer full): the object. */
TdJson *td_plan_to_body (const TdPlan *plan);
/* The figures of the circuits as the member "predicted" of a journal body: {"circuits": [{"number",
 * "flow_ml_min", "fill_s", "volume_ml", "velocity_mm_s", "rinse_s", "rinse_ml"}]}; what is not known is left
 * out.  @outlook: (nullable): of the same plan, for the rinse.  Returns: (transfer full) (nullable): the
 * object, or NULL where no circuit's flow is known. */
TdJson *td_plan_to_predicted (const TdPlan *plan, const struct _TdPlanOutlook *outlook);
/* Returns: (transfer full): "tundish-certificate/1" of a plan that was made by td_plan_make(); NULL for a
 * plan that was read. */
TdJson *td_plan_certificate_to_json (const TdPlan *plan);

TdPlan *td_plan_ref (TdPlan *plan);
void td_plan_unref (TdPlan *plan);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlan, td_plan_unref)

/* Takes what is filled in: a plan under construction, of which nobody else holds a reference.
 * Returns: (transfer full): an empty plan. */
TdPlan *td_plan_new (void);

/* The circuit or static faucet of an outlet's id, or NULL. */
const TdPlanCircuit *td_plan_find_circuit (const TdPlan *plan, const char *line);
const TdPlanLeg *td_plan_find_leg (const TdPlan *plan, const char *line);
const TdPlanStatic *td_plan_find_static (const TdPlan *plan, const char *line);

G_END_DECLS
