/* core-diagnose.h: measured flows against predicted ones: which leg, or the pump, explains the difference.
 *
 * Each reading is the flow through some lines in series.  One cause at a time is tried: extra head
 * c Q^2 in one line (a kink, a blocked fitting, a forgotten FOB; below zero where a line loses less than
 * its sheet says), or a pump that gives a share less than its curve.  The cause is fitted to all readings
 * by least squares weighed by their errors, and causes are ranked by what is left.  Where two explain the
 * readings alike the answer is that it cannot be told, and which reading would tell: one flow through a
 * whole circuit never can.  That a single cause is looked for is an assumption; when none fits, that is
 * said. */
#pragma once

#include "core-leg.h"

G_BEGIN_DECLS

typedef struct
{
  const guint *lines; /* indices into TdSite.lines, run through in series */
  guint n_lines;
  double lift_m;      /* from the bucket to the end where it runs out in the air; 0 back into the bucket */
  double flow_l_min;  /* measured, > 0 */
  double flow_error;  /* its standard error as a share, such as 0.03 by bucket and watch; > 0 */
  double pump_kpa;    /* gauge at the pump's outlet at that flow, NAN where not read */
  double kpa_error;   /* its standard error, kPa; > 0 where read */
} TdFlowReading;

typedef enum
{
  TD_CAUSE_LINE,
  TD_CAUSE_PUMP
} TdCauseKind;

typedef struct
{
  TdCauseKind kind;
  guint line;     /* of TD_CAUSE_LINE */
  double extra_m; /* head lost besides the prediction, of a pump head lacking, at the limiting flow */
  double misfit;  /* what is left of the squared errors, in standard errors */
} TdCause;

typedef enum
{
  TD_DIAGNOSIS_AGREES,      /* every reading within two standard errors of its prediction */
  TD_DIAGNOSIS_EXPLAINED,   /* the first cause, and no other, explains the readings */
  TD_DIAGNOSIS_CANNOT_TELL, /* n_alike causes explain them alike */
  TD_DIAGNOSIS_NO_CAUSE,    /* no single cause explains them */
  TD_DIAGNOSIS_UNKNOWN      /* a line's tubes are not known: nothing can be predicted */
} TdDiagnosisKind;

typedef struct
{
  TdDiagnosisKind kind;
  guint unknown_line;   /* of TD_DIAGNOSIS_UNKNOWN */
  guint n_readings;
  double *predicted_l_min; /* of every reading without any cause; NULL where unknown */
  double misfit;        /* without any cause */
  guint n_causes;
  TdCause *causes;      /* best first */
  guint n_alike;        /* of the first causes: those that explain the readings about as well as the best */
} TdDiagnosis;

/* Returns: (transfer full): the diagnosis, or NULL with TD_ERROR_RANGE for a reading that is not possible
 * or none, TD_ERROR_INFEASIBLE where a reading says flow and the pump cannot reach so high. */
TdDiagnosis *td_diagnose (const TdLegModel *model,
                          const TdFlowReading *readings,
                          guint n_readings,
                          GError **error);
void td_diagnosis_free (TdDiagnosis *diagnosis);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdDiagnosis, td_diagnosis_free)

/* The flow in L/min that a reading should have shown, without any cause; 0 where the pump cannot reach
 * its end.  All its lines must be known. */
double td_diagnose_predict (const TdLegModel *model, const TdFlowReading *reading);

/* Returns: (transfer full): the diagnosis in sentences, naming lines by their ids, with the next reading
 * to take where it cannot be told. */
char *td_diagnosis_explain (const TdDiagnosis *diagnosis, const TdSite *site);

G_END_DECLS
