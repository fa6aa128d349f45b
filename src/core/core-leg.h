/* core-leg.h: what a line costs in head and holds in volume as one leg of a circuit.
 *
 * A leg is one line and one jumper hose.  A circuit of n legs needs n - 1 jumpers between its lines and
 * the pump's delivery and return hoses, which count together as the n-th; so the loss of a circuit is
 * the sum of its legs' and no more.  The jumper is a hose of the settings jumper-length-mm,
 * jumper-bore-um, jumper-fittings-k-milli.  A line whose sheet gives head_loss_m has its jumper's share
 * in that figure already: nothing is added, and its loss is known at the limiting flow only. */
#pragma once

#include "core-fluid.h"
#include "core-pump.h"
#include "core-settings.h"
#include "core-site.h"

G_BEGIN_DECLS

/* Everything about a site that the loss of a leg depends on, worked out once: the solution's density and
 * viscosity, the pump, the jumper, every line's loss at the limiting flow.  Immutable and reference
 * counted; safe from any thread. */
typedef struct _TdLegModel TdLegModel;

/* @settings: (nullable): NULL for the defaults.
 * Returns: (transfer full): the model, or NULL with TD_ERROR_RANGE where the site's solution stands
 * outside the tables of core-fluid.h or a number of the sheet outside what can be computed. */
TdLegModel *td_leg_model_new (const TdSite *site, const TdSettings *settings, GError **error);
TdLegModel *td_leg_model_ref (TdLegModel *model);
void td_leg_model_unref (TdLegModel *model);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdLegModel, td_leg_model_unref)

/* The site's limits.min_flow in L/min. */
double td_leg_model_get_min_flow_l_min (const TdLegModel *model);
/* The solution: density kg/m3, viscosity Pa s. */
const TdFluid *td_leg_model_get_fluid (const TdLegModel *model);
/* Returns: (transfer none): the site's cleaning pump, or the default of core-pump.h. */
const TdPump *td_leg_model_get_pump (const TdLegModel *model);
/* The jumper hose as a segment; bore mm, length m. */
const TdSegment *td_leg_model_get_jumper (const TdLegModel *model);

/* Index @line counts in TdSite.lines in all functions below. */

/* TRUE where every tube of the line is known, so that its loss can be told at any flow. */
gboolean td_leg_model_is_known (const TdLegModel *model, guint line);
/* Head loss of the whole leg (tubes, fittings, jumper) at the limiting flow in micrometres of the
 * solution, rounded to the nearest; the same in both directions; > 0. */
gint64 td_leg_model_get_loss_um (const TdLegModel *model, guint line);
/* Head loss of the whole leg in metres at @flow_l_min >= 0.  NAN where the line is not known and
 * @flow_l_min is not the limiting flow. */
double td_leg_model_get_loss_m (const TdLegModel *model, guint line, double flow_l_min);
/* Millilitres of the line's own tube, without the jumper. */
double td_leg_model_get_volume_ml (const TdLegModel *model, guint line);

/* The flow in L/min at which the pump's head is what the lines lose in series and @lift_m besides (0
 * where the return ends in the bucket, so that elevations cancel); 0 where the pump does not reach so
 * high, NAN where a line is not known.  Converged to 1e-12.  @lines: @n_lines > 0 of them. */
double td_leg_model_get_flow_l_min (const TdLegModel *model,
                                    const guint *lines,
                                    guint n_lines,
                                    double lift_m);
/* Velocity m/s and Reynolds number in the line's widest tube, where the liquid is slowest and cleans
 * least; NAN where the line or the flow is not known. */
void td_leg_model_get_slowest (const TdLegModel *model,
                               guint line,
                               double flow_l_min,
                               double *velocity_m_s_out,
                               double *reynolds_out);

/* The pump's head at the limiting flow in micrometres, rounded to the nearest; 0 where the pump cannot
 * give that flow. A set of legs is a circuit at the limiting flow or better if and only if the sum of
 * td_leg_model_get_loss_um() is at most this. */
gint64 td_leg_model_get_pump_head_um (const TdLegModel *model);

/* The second minimum flow, from the pressure limit: the pump's head must not exceed
 * p_max / (rho g) - (bucket - lowest).  @bucket_m, @lowest_m: heights of the bucket and of the lowest
 * point of the circuit.  Returns: the flow in L/min at which the pump's head falls to that; 0 where even
 * the shut-off head keeps within it; INFINITY where no flow does.  A circuit keeps within the pressure
 * if its legs' losses at that flow sum to at most the pump's head at that flow. */
double td_leg_model_get_pressure_flow_l_min (const TdLegModel *model, double bucket_m, double lowest_m);
/* The pump's head at any flow in micrometres, as td_leg_model_get_pump_head_um(). */
gint64 td_leg_model_get_pump_head_um_at (const TdLegModel *model, double flow_l_min);
/* Pressure at the lowest point with the flow shut off, kPa gauge. */
double td_leg_model_get_shut_off_kpa (const TdLegModel *model, double bucket_m, double lowest_m);

G_END_DECLS
