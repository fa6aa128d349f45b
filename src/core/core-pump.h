/* core-pump.h: the cleaning pump's curve: head over flow. */
#pragma once

#include "core-site.h"

G_BEGIN_DECLS

/* Immutable and reference counted. */
typedef struct _TdPump TdPump;

/* @points: at least two, flows rising from >= 0, heads not rising and not below zero, the first above
 * it.  Exactly three points of which the first is at zero flow mean H = A - B Q^C through all three, and
 * their heads must fall strictly.  Any other curve is piecewise linear; past its last point it goes on
 * with its last slope, and before its first it is level.
 * Returns: (transfer full): the pump, or NULL with TD_ERROR_RANGE that names the point. */
TdPump *td_pump_new (const TdCurvePoint *points, guint n_points, GError **error);
/* The pump that stands in where a sheet gives none: (0 L/min, 40 m), (6, 30), (10, 10); a small
 * electric circulation pump, common practice, no source.  Its shut-off pressure, 398 kPa with 2 % NaOH,
 * stays below the usual line limit of 414 kPa. */
TdPump *td_pump_new_default (void);
TdPump *td_pump_ref (TdPump *pump);
void td_pump_unref (TdPump *pump);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPump, td_pump_unref)

/* Head in m at @flow_l_min >= 0; negative past the flow where the curve reaches zero. */
double td_pump_get_head_m (const TdPump *pump, double flow_l_min);
/* dH/dQ in m per L/min at @flow_l_min, <= 0; at a kink the slope to the right. */
double td_pump_get_slope (const TdPump *pump, double flow_l_min);
/* The greatest flow in L/min at which the head is still @head_m; 0 where the shut-off head is below
 * it. */
double td_pump_get_flow_l_min (const TdPump *pump, double head_m);
/* Head in m at zero flow. */
double td_pump_get_shut_off_m (const TdPump *pump);
/* The flow in L/min at which the head falls to zero; INFINITY for a level curve. */
double td_pump_get_max_flow_l_min (const TdPump *pump);

G_END_DECLS
