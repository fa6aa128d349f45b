/* core-pipe.h: friction and head loss of one round tube that runs full.
 *
 * Darcy and Weisbach: h = (f L / d + k) v^2 / (2 g).  The friction factor f is
 *   Re <= 2000         64 / Re (Hagen and Poiseuille);
 *   Re >= 4000         the exact root of Colebrook and White, J. Inst. Civ. Eng. 11 (1939) 133,
 *                      1 / sqrt f = -2 log10 (e / 3.7 + 2.51 / (Re sqrt f)), e = roughness / bore;
 *   between            a cubic in Re that meets both laws in value and slope, the construction of
 *                      E. Dunlop (1991) as EPANET's manual gives it.  No law is sure there: two tubes
 *                      of one kind may differ by a tenth, so results are marked uncertain.
 * Head is metres of the flowing liquid. */
#pragma once

#include "core-fluid.h"

G_BEGIN_DECLS

/* Standard acceleration of gravity, m/s2 (ISO 80000-3). */
#define TD_GRAVITY 9.80665

#define TD_REYNOLDS_LAMINAR 2000.0   /* below: laminar */
#define TD_REYNOLDS_TURBULENT 4000.0 /* from here: turbulent */

/* L/min in one m3/s. */
#define TD_L_MIN_PER_M3_S 60000.0

typedef enum
{
  TD_REGIME_STILL, /* no flow */
  TD_REGIME_LAMINAR,
  TD_REGIME_TRANSITIONAL, /* uncertain */
  TD_REGIME_TURBULENT
} TdRegime;

typedef struct
{
  double bore_mm;      /* inside diameter, > 0 */
  double length_m;     /* > 0 */
  double roughness_mm; /* of the wall, >= 0 */
  double k;            /* fittings, on the tube's own velocity head, >= 0 */
} TdPipeShape;

/* A tube filled with a liquid, made ready for many evaluations. A plain value. */
typedef struct
{
  double area_m2;
  double velocity_per_flow;  /* (m/s) per (L/min) */
  double reynolds_per_flow;  /* Reynolds number per (L/min) */
  double relative_roughness; /* roughness / bore */
  double slenderness;        /* length / bore */
  double k;
} TdPipe;

/* Checks @shape and @fluid and prepares the pair.
 * Returns: FALSE with TD_ERROR_RANGE that names the figure which is not possible: a bore, a length, a
 * density or a viscosity not above zero, a negative k or roughness, a roughness of a twentieth of the
 * bore or more (Colebrook and White's law ends there). */
gboolean td_pipe_init (TdPipe *pipe, const TdPipeShape *shape, const TdFluid *fluid, GError **error);

/* Darcy friction factor at @reynolds > 0 and @relative_roughness 0 .. 0.05.
 * @slope_out: (nullable): df/dRe. */
double td_pipe_get_friction (double reynolds, double relative_roughness, double *slope_out);

/* Head loss in m at @flow_l_min >= 0; strictly rising with the flow, 0 at 0.
 * @slope_out: (nullable): dh/dq in m per L/min, > 0. */
double td_pipe_get_loss_m (const TdPipe *pipe, double flow_l_min, double *slope_out);

/* The flow in L/min at which the loss is @loss_m >= 0: the inverse, to 1e-12 relative. */
double td_pipe_get_flow_l_min (const TdPipe *pipe, double loss_m);

double td_pipe_get_velocity_m_s (const TdPipe *pipe, double flow_l_min);
double td_pipe_get_reynolds (const TdPipe *pipe, double flow_l_min);
TdRegime td_pipe_get_regime (const TdPipe *pipe, double flow_l_min);
/* "still", "laminar", "transitional", "turbulent". */
const char *td_regime_to_text (TdRegime regime);

G_END_DECLS
