#include "core-diagnose.h"

#include "core-error.h"
#include "core-pipe.h"

#include <math.h>

/* A reading this many standard errors off its prediction wants a cause. */
#define WITHIN 2.0
/* A cause explains the readings when what it leaves is no more than this, of one standard error
 * squared a reading, and this much more for chance. */
#define CHANCE 6.0
/* Two causes whose misfits differ by less are alike: odds of less than 20 to 1 (e^3). */
#define ALIKE 6.0

/* Nothing smaller in extra head makes a difference that is worth a word, m. */
#define LEAST_M 1e-3

/* A cause at some strength: head besides the prediction. */
typedef struct
{
  TdCauseKind kind;
  guint line;
  double extra_m; /* at the limiting flow; a pump's as a share of its curve */
} Trial;

typedef struct
{
  const TdLegModel *model;
  const TdFlowReading *readings;
  guint n_readings;
} Task;

static gboolean
runs_through (const TdFlowReading *reading, guint line)
{
  for (guint i = 0; i < reading->n_lines; i++)
    if (reading->lines[i] == line)
      return TRUE;

  return FALSE;
}

static double
get_pump_head (const TdLegModel *model, const Trial *trial, double flow)
{
  double head = td_pump_get_head_m (td_leg_model_get_pump (model), flow);

  return trial->kind == TD_CAUSE_PUMP ? head * (1.0 - trial->extra_m) : head;
}

/* Head left over at @flow: falls with it. */
static double
get_surplus (const TdLegModel *model, const TdFlowReading *reading, const Trial *trial, double flow)
{
  double share = flow / td_leg_model_get_min_flow_l_min (model);
  double head = get_pump_head (model, trial, flow) - reading->lift_m;

  for (guint i = 0; i < reading->n_lines; i++)
    head -= td_leg_model_get_loss_m (model, reading->lines[i], flow);
  if (trial->kind == TD_CAUSE_LINE && runs_through (reading, trial->line))
    head -= trial->extra_m * share * share;

  return head;
}

/* False position between two flows on either side, with the Illinois rule against a side that
 * stays; from the flow that was read, which is seldom far. */
static double
find_flow (const TdLegModel *model, const TdFlowReading *reading, const Trial *trial)
{
  double low = reading->flow_l_min, high = low, left = get_surplus (model, reading, trial, low);
  double right = left;

  if (get_surplus (model, reading, trial, 0.0) <= 0.0)
    return 0.0;
  while (right > 0.0 && high < 1e6)
    {
      low = high;
      left = right;
      high *= 1.5;
      right = get_surplus (model, reading, trial, high);
    }
  while (left <= 0.0)
    {
      high = low;
      right = left;
      low /= 1.5;
      left = get_surplus (model, reading, trial, low);
    }
  for (int side = 0, i = 0; i < 60; i++)
    {
      double flow = (low * right - high * left) / (right - left);
      double surplus = get_surplus (model, reading, trial, flow);

      if (fabs (flow - (surplus > 0.0 ? low : high)) <= 1e-11 * flow)
        return flow;
      if (surplus > 0.0)
        {
          low = flow;
          left = surplus;
          right = side > 0 ? 0.5 * right : right;
          side = 1;
        }
      else
        {
          high = flow;
          right = surplus;
          left = side < 0 ? 0.5 * left : left;
          side = -1;
        }
    }

  return 0.5 * (low + high);
}

/* Squared errors of all readings, each in its standard errors. */
static double
get_misfit (const Task *task, const Trial *trial)
{
  double weight = td_leg_model_get_fluid (task->model)->density_kg_m3 * TD_GRAVITY / 1e3;
  double sum = 0.0;

  for (guint i = 0; i < task->n_readings; i++)
    {
      const TdFlowReading *reading = &task->readings[i];
      double flow = find_flow (task->model, reading, trial);
      double off = (reading->flow_l_min - flow) / (reading->flow_error * reading->flow_l_min);

      sum += off * off;
      if (isnan (reading->pump_kpa))
        continue;
      off = (reading->pump_kpa - weight * get_pump_head (task->model, trial, flow))
            / reading->kpa_error;
      sum += off * off;
    }

  return sum;
}

/* The strongest cause of this kind that makes sense, and the weakest (below zero). */
static void
get_limits (const Task *task, const Trial *trial, double *low_out, double *high_out)
{
  double least = td_leg_model_get_min_flow_l_min (task->model), slowest = INFINITY;

  if (trial->kind == TD_CAUSE_PUMP)
    {
      *low_out = -0.5;
      *high_out = 0.95;
      return;
    }
  for (guint i = 0; i < task->n_readings; i++)
    slowest = MIN (slowest, task->readings[i].flow_l_min);
  /* All the pump's head lost at half the slowest flow seen. */
  *high_out = td_pump_get_shut_off_m (td_leg_model_get_pump (task->model))
              * pow (2.0 * least / slowest, 2.0);
  *low_out = -0.9 * td_leg_model_get_loss_m (task->model, trial->line, least);
}

/* Golden section between @low and @high; keeps the best in @trial. */
static void
refine (const Task *task, Trial *trial, double low, double high, double *best)
{
  const double ratio = 0.6180339887498949;
  double a = high - ratio * (high - low), b = low + ratio * (high - low);
  Trial left = *trial, right = *trial;
  double at_left, at_right;

  left.extra_m = a;
  right.extra_m = b;
  at_left = get_misfit (task, &left);
  at_right = get_misfit (task, &right);
  for (int i = 0; i < 40; i++)
    {
      if (at_left < at_right)
        {
          high = right.extra_m;
          right = left;
          at_right = at_left;
          left.extra_m = high - ratio * (high - low);
          at_left = get_misfit (task, &left);
        }
      else
        {
          low = left.extra_m;
          left = right;
          at_left = at_right;
          right.extra_m = low + ratio * (high - low);
          at_right = get_misfit (task, &right);
        }
    }
  if (MIN (at_left, at_right) < *best)
    {
      *best = MIN (at_left, at_right);
      trial->extra_m = at_left < at_right ? left.extra_m : right.extra_m;
    }
}

/* Steps that widen away from zero on either side, then a closer look around the best of them. */
static TdCause
fit (const Task *task, TdCauseKind kind, guint line)
{
  enum
  {
    STEPS = 24
  };
  Trial trial = { kind, line, 0.0 }, best = trial;
  double low, high, least, points[2 * STEPS + 1];
  guint at = STEPS;

  get_limits (task, &trial, &low, &high);
  for (int i = -STEPS; i <= STEPS; i++)
    points[STEPS + i] = (i < 0 ? low : high) * pow (ABS (i) / (double)STEPS, 3.0);
  least = get_misfit (task, &best);
  for (guint i = 0; i < G_N_ELEMENTS (points); i++)
    {
      double misfit;

      trial.extra_m = points[i];
      misfit = get_misfit (task, &trial);
      if (misfit < least)
        {
          least = misfit;
          best = trial;
          at = i;
        }
    }
  refine (task, &best, points[at > 0 ? at - 1 : 0], points[MIN (at + 1, G_N_ELEMENTS (points) - 1)],
          &least);
  if (kind == TD_CAUSE_PUMP)
    best.extra_m *= td_pump_get_head_m (td_leg_model_get_pump (task->model),
                                        td_leg_model_get_min_flow_l_min (task->model));

  return (TdCause){ kind, line, best.extra_m, least };
}

static int
compare_causes (gconstpointer a, gconstpointer b)
{
  const TdCause *first = a, *second = b;

  if (first->misfit != second->misfit)
    return first->misfit < second->misfit ? -1 : 1;
  if (first->kind != second->kind)
    return first->kind < second->kind ? -1 : 1;

  return first->line < second->line ? -1 : first->line > second->line;
}

static void
rank (const Task *task, TdDiagnosis *diagnosis)
{
  g_autoptr (GArray) causes = g_array_new (FALSE, FALSE, sizeof (TdCause));
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);
  TdCause cause = fit (task, TD_CAUSE_PUMP, 0);

  g_array_append_val (causes, cause);
  for (guint i = 0; i < task->n_readings; i++)
    for (guint l = 0; l < task->readings[i].n_lines; l++)
      {
        guint line = task->readings[i].lines[l];

        if (!g_hash_table_add (seen, GUINT_TO_POINTER (line + 1)))
          continue;
        cause = fit (task, TD_CAUSE_LINE, line);
        g_array_append_val (causes, cause);
      }
  g_array_sort (causes, compare_causes);
  diagnosis->n_causes = causes->len;
  diagnosis->causes = (TdCause *)g_array_steal (causes, NULL);
  for (guint i = 0; i < diagnosis->n_causes; i++)
    if (diagnosis->causes[i].misfit < diagnosis->causes[0].misfit + ALIKE)
      diagnosis->n_alike++;
}

static void
judge (const Task *task, TdDiagnosis *diagnosis)
{
  guint figures = 0;

  for (guint i = 0; i < task->n_readings; i++)
    figures += isnan (task->readings[i].pump_kpa) ? 1 : 2;
  if (diagnosis->misfit <= WITHIN * WITHIN * sqrt (figures))
    diagnosis->kind = TD_DIAGNOSIS_AGREES;
  else if (diagnosis->causes[0].misfit > figures - 1 + CHANCE
           || fabs (diagnosis->causes[0].extra_m) < LEAST_M)
    diagnosis->kind = TD_DIAGNOSIS_NO_CAUSE;
  else
    diagnosis->kind = diagnosis->n_alike == 1 ? TD_DIAGNOSIS_EXPLAINED : TD_DIAGNOSIS_CANNOT_TELL;
}

static gboolean
check_reading (const TdLegModel *model, const TdFlowReading *reading, guint number, GError **error)
{
  if (reading->n_lines == 0 || !isfinite (reading->lift_m))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "Reading %u runs through no line", number);
      return FALSE;
    }
  if (!(reading->flow_l_min > 0.0 && isfinite (reading->flow_l_min) && reading->flow_error > 0.0))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "Reading %u: a flow of %g L/min with an error of %g is not possible", number,
                   reading->flow_l_min, reading->flow_error);
      return FALSE;
    }
  if (!isnan (reading->pump_kpa) && !(reading->kpa_error > 0.0))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "Reading %u: a pressure needs the error of its gauge", number);
      return FALSE;
    }
  if (td_pump_get_shut_off_m (td_leg_model_get_pump (model)) <= reading->lift_m)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_INFEASIBLE,
                   "Reading %u: the pump cannot reach an end %g m above the bucket, yet something "
                   "flowed: check the curve and the heights",
                   number, reading->lift_m);
      return FALSE;
    }

  return TRUE;
}

/* Returns FALSE where all lines are known. */
static gboolean
find_unknown (const Task *task, guint *line_out)
{
  for (guint i = 0; i < task->n_readings; i++)
    for (guint l = 0; l < task->readings[i].n_lines; l++)
      if (!td_leg_model_is_known (task->model, task->readings[i].lines[l]))
        {
          *line_out = task->readings[i].lines[l];
          return TRUE;
        }

  return FALSE;
}

double
td_diagnose_predict (const TdLegModel *model, const TdFlowReading *reading)
{
  g_return_val_if_fail (model != NULL && reading != NULL, NAN);

  return td_leg_model_get_flow_l_min (model, reading->lines, reading->n_lines, reading->lift_m);
}

TdDiagnosis *
td_diagnose (const TdLegModel *model,
             const TdFlowReading *readings,
             guint n_readings,
             GError **error)
{
  const Trial none = { TD_CAUSE_PUMP, 0, 0.0 };
  Task task = { model, readings, n_readings };
  TdDiagnosis *diagnosis;

  g_return_val_if_fail (model != NULL, NULL);

  if (n_readings == 0)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_RANGE, "There is no reading to judge by");
      return NULL;
    }
  for (guint i = 0; i < n_readings; i++)
    if (!check_reading (model, &readings[i], i + 1, error))
      return NULL;

  diagnosis = g_new0 (TdDiagnosis, 1);
  diagnosis->n_readings = n_readings;
  if (find_unknown (&task, &diagnosis->unknown_line))
    {
      diagnosis->kind = TD_DIAGNOSIS_UNKNOWN;
      return diagnosis;
    }
  diagnosis->predicted_l_min = g_new (double, n_readings);
  for (guint i = 0; i < n_readings; i++)
    diagnosis->predicted_l_min[i] = td_diagnose_predict (model, &readings[i]);
  diagnosis->misfit = get_misfit (&task, &none);
  rank (&task, diagnosis);
  judge (&task, diagnosis);

  return diagnosis;
}

void
td_diagnosis_free (TdDiagnosis *diagnosis)
{
  g_return_if_fail (diagnosis != NULL);
  g_free (diagnosis->predicted_l_min);
  g_free (diagnosis->causes);
  g_free (diagnosis);
}
