/* draw-joints.h: hoses between ends: jumpers, manifolds, the cleaning pump's hoses. Private to
 * draw. */
#pragma once

#include "draw-layout.h"

G_BEGIN_DECLS

typedef enum
{
  TD_JOINT_JUMPER,
  TD_JOINT_DELIVERY, /* from the cleaning pump to the first leg */
  TD_JOINT_RETURN,   /* from the last leg into the bucket */
  TD_JOINT_MANIFOLD,
  TD_JOINT_LINK /* goes on at the other end with the same letter */
} TdJointKind;

typedef struct
{
  TdJointKind kind;
  gboolean top; /* at faucets, else at keg ends */
  const TdPanel *panel;
  int circuit;
  int from, to; /* outlets in the order of flow; -1 stands for the cleaning pump */
  double from_x, to_x;
  double rim_x; /* of a return: where it bends into the bucket */
  GArray *taps; /* guint: further outlets on a manifold; NULL else */
  guint lane;   /* from 0, the one nearest to the ends */
  char letter;  /* of a link */
} TdJoint;

/* Where a cleaning pump stands. */
typedef struct
{
  int circuit; /* 0: a set-up of its own for static lines */
  gboolean top;
  const TdPanel *panel;
  double x;          /* middle of bucket and pump together */
  gboolean mirrored; /* the pump stands right of its bucket */
} TdPumpSpot;

typedef struct
{
  GArray *joints; /* TdJoint */
  GArray *pumps;  /* TdPumpSpot */
} TdJoints;

/* From the middle of the set to the pump's outlet, and to the bucket's mouth on the other side;
 * from there to where the return comes up beside the bucket; mm. */
#define TD_PUMP_PORT_MM 2.6
#define TD_PUMP_RETURN_MM 3.0
#define TD_PUMP_WIDTH_MM 10.4

TdJoints *td_joints_new (const TdLayout *layout);
void td_joints_free (TdJoints *joints);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdJoints, td_joints_free)

/* Lanes that hoses take in a panel. */
guint td_joints_count_lanes (const TdJoints *joints, const TdPanel *panel);
gboolean td_joints_has_pump (const TdJoints *joints, const TdPanel *panel);

G_END_DECLS
