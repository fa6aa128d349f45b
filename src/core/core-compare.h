/* core-compare.h: how a circuit ran, beside what its plan expected of it.
 *
 * Planned figures are those that the entry "plan adopted" carries, so that a report shows what was expected
 * then and not what another version would expect now.  What was run comes from the acts: flow by bucket
 * and watch, times from chemical in to full strength seen, from there to the contact's end, from the
 * rinse's start to the reading that passed it. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

typedef enum
{
  TD_COMPARED_FLOW,     /* mL/min */
  TD_COMPARED_FILL,     /* s, from chemical in until it is seen at the end and in the bucket */
  TD_COMPARED_VOLUME,   /* mL: planned, of lines and jumpers; run, flow times the time to fill */
  TD_COMPARED_VELOCITY, /* mm/s in the circuit's widest tube, where it is slowest */
  TD_COMPARED_CONTACT,  /* s: required; counted, the least of its lines, rounded down */
  TD_COMPARED_RINSE,    /* s, from the rinse's start to the pH that passed it, the last of its lines */
  TD_COMPARED_WATER,    /* mL of rinse water */
  TD_N_COMPARED
} TdCompared;

#define TD_COMPARED_UNKNOWN (-1)

typedef struct
{
  gint64 planned[TD_N_COMPARED]; /* TD_COMPARED_UNKNOWN where the plan does not say */
  gint64 run[TD_N_COMPARED];     /* TD_COMPARED_UNKNOWN where no act tells */
} TdComparison;

/* "flow_ml_min", ...: the key of a figure, its unit at the end. */
const char *td_compared_get_key (TdCompared compared);

/* Fills in the comparison of one circuit of the visit; of a line that was cleaned twice the last clean
 * counts. */
void td_visit_compare (const TdVisit *visit, const TdVisitCircuit *circuit, TdComparison *comparison_out);

/* What the flows measured in the visit's circuits say against those that its site's sheet predicts, in
 * sentences (core-diagnose.h): which line, or the pump, explains a difference, or that it cannot be told.
 * A flow is as sure as the setting flow-reading-error-percent says.
 * Returns: (transfer full) (nullable): NULL where no flow was measured. */
char *td_visit_diagnose (const TdVisit *visit);

G_END_DECLS
