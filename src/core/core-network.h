/* core-network.h: tubes, pump and bucket as one network, and its steady flow.
 *
 * A network is a chain from the pump to the return: tubes in series, parallel groups whose branches
 * rejoin, and, as the last member only, an open group whose branches end in the air (faucets held open
 * on a manifold).  Branches are chains again.  Everything runs full of one liquid; k is the only loss
 * besides wall friction; heads leave out the velocity head.
 *
 * A branch of an open group that ends too high carries nothing: a faucet does not suck. */
#pragma once

#include "core-pipe.h"
#include "core-pump.h"

G_BEGIN_DECLS

/* Immutable and reference counted. */
typedef struct _TdNetwork TdNetwork;

/* Builds a network member by member, in the order of flow. */
typedef struct _TdNetworkBuilder TdNetworkBuilder;

typedef struct
{
  TdFluid fluid;
  TdPump *pump;           /* (transfer none) */
  double pump_height_m;   /* of its outlet, above the site's zero */
  double bucket_height_m; /* of the liquid's surface */
  gboolean submerged;     /* the return ends under that surface; else in the air at its own height */
} TdNetworkFrame;

TdNetworkBuilder *td_network_builder_new (const TdNetworkFrame *frame);
void td_network_builder_free (TdNetworkBuilder *builder);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdNetworkBuilder, td_network_builder_free)

/* Each of these returns FALSE with TD_ERROR_SHAPE or TD_ERROR_RANGE, naming the tube or the group, and
 * leaves the builder as it was.
 * @id: of the tube, not empty, once in a network; @rise_m: how much its end stands above its start. */
gboolean td_network_builder_tube (TdNetworkBuilder *builder,
                                  const char *id,
                                  const TdPipeShape *shape,
                                  double rise_m,
                                  GError **error);
/* Opens a group; members are added between begin_branch and end. Nothing may follow an open group in its
 * chain, and none may stand inside a parallel one. */
gboolean td_network_builder_begin_parallel (TdNetworkBuilder *builder, GError **error);
gboolean td_network_builder_begin_open (TdNetworkBuilder *builder, GError **error);
gboolean td_network_builder_begin_branch (TdNetworkBuilder *builder, GError **error);
/* Ends the innermost branch or group. An empty one is refused, and a parallel group whose branches rise
 * unequally, by more than a micrometre: their ends could not meet. */
gboolean td_network_builder_end (TdNetworkBuilder *builder, GError **error);
/* Returns: (transfer full): the network, or NULL with TD_ERROR_SHAPE where a group is still open or
 * nothing was added. */
TdNetwork *td_network_builder_finish (TdNetworkBuilder *builder, GError **error);

TdNetwork *td_network_ref (TdNetwork *network);
void td_network_unref (TdNetwork *network);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdNetwork, td_network_unref)

guint td_network_get_n_tubes (const TdNetwork *network);
/* TRUE where the chain ends in an open group. */
gboolean td_network_ends_open (const TdNetwork *network);
/* Height of the chain's end; of the lowest outlet where it ends in an open group. */
double td_network_get_end_height_m (const TdNetwork *network);

typedef struct
{
  const char *id; /* owned by the answer's network */
  double flow_l_min;
  double velocity_m_s;
  double reynolds;
  double head_loss_m;
  TdRegime regime;
} TdTubeFlow;

typedef struct
{
  TdNetwork *network;
  double pump_flow_l_min;
  double pump_head_m;
  /* Static gauge pressures rho g (H - z) at the pump's outlet and at both ends of every tube that holds
   * liquid. Below zero at a high point, the tube stands below the atmosphere there. */
  double max_pressure_kpa;
  double min_pressure_kpa;
  const char *max_at;  /* tube whose end has it, NULL for the pump's outlet */
  const char *min_at;
  double shut_off_kpa; /* at the lowest point, with every outlet shut and the pump running */
  gboolean uncertain;  /* some tube flows at 2000 < Re < 4000: its flow may be off by a tenth */
  guint iterations;
  guint n_tubes;
  TdTubeFlow tubes[];  /* in the order in which they were added */
} TdNetworkAnswer;

/* The steady flow, converged to 1e-9 of every tube's flow or better.
 * Returns: (transfer full): the answer, or NULL with TD_ERROR_INFEASIBLE where nothing flows because
 * the pump cannot reach the lowest outlet; the message says by how much. */
TdNetworkAnswer *td_network_solve (TdNetwork *network, GError **error);
void td_network_answer_free (TdNetworkAnswer *answer);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdNetworkAnswer, td_network_answer_free)

G_END_DECLS
