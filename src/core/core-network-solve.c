#include "core-network.h"

#include "core-error.h"
#include "core-network-private.h"

#include <math.h>

/* How the flow is found.
 *
 * At given flows every tube is replaced by its tangent, head = a + s q.  Tangents in series add,
 * and parallel ones combine to one tangent again, so the whole network shrinks to a single one that
 * is cut with the pump's; going back out gives every flow.  That is one Newton step on all tubes at
 * once, in time proportional to their number.
 *
 * The flows sought are the minimum of a strictly convex function (the content of E. C. Cherry,
 * 1951: the sum over all tubes of the integral of loss over flow, less that of the pump), because
 * every loss rises with its flow and the pump's head never does.  A Newton step always leads
 * downhill on it, so a step along which its slope has turned up by more than half is cut back. With
 * that it converges from any start, also across the transition where losses are not convex. */

/* A faucet does not suck: below NOTHING_L_MIN an open end resists further fall of its flow with
 * this many m per L/min, so that an outlet too high settles a trace below that, away from the kink,
 * where rounding cannot throw it about.  When all stands still such branches are shut and the rest
 * is settled anew. */
#define CHECK_SLOPE 1e13
#define NOTHING_L_MIN 1e-10

/* m per L/min, no pump falls faster. */
#define STEEPEST 1e12

#define CONVERGED 1e-9
#define WHOLE 1e-6
#define MAX_STEPS 200

/* Flows of all parts and what belongs to them; each array has one entry a part. */
typedef struct
{
  const TdNetwork *network;
  double *flow;  /* L/min */
  double *step;  /* the Newton step */
  double *trial; /* flow + a share of step */
  double *loss;  /* of tubes, at flow; m */
  double *slope; /* of tubes, at flow */
  double *a;     /* the tangents' constants, m; while summing up a group, the sum of a / s */
  double *s;     /* the tangents' slopes; while summing up a group, the sum of 1 / s */
  double pump_head;
  double pump_slope;
  gboolean *shut; /* parts of branches that carry nothing */
} State;

static gboolean
has_check (const Part *parts, guint i)
{
  return parts[i].kind == PART_BRANCH && i > 0 && parts[parts[i].parent].kind == PART_OPEN;
}

/* Half of what the pump can give, shared equally at every group; some L/min where its curve does
 * not say how much that is. */
static void
start (State *state)
{
  const Part *parts = state->network->parts;
  double most = td_pump_get_max_flow_l_min (state->network->frame.pump);

  state->flow[0] = most < 1e6 ? 0.5 * most : 10.0;
  for (guint i = 1; i < state->network->n_parts; i++)
    {
      const Part *parent = &parts[parts[i].parent];

      state->flow[i] = state->flow[parts[i].parent]
                       / (parent->kind == PART_BRANCH ? 1.0 : (double)parent->n_members);
    }
}

/* Losses and slopes at @flow, into the state. */
static void
evaluate (State *state, const double *flow)
{
  const TdNetwork *network = state->network;

  for (guint i = 0; i < network->n_parts; i++)
    {
      if (network->parts[i].kind != PART_TUBE)
        continue;
      state->loss[i]
          = td_pipe_get_loss_m (&network->parts[i].pipe, fabs (flow[i]), &state->slope[i]);
      if (flow[i] < 0.0)
        state->loss[i] = -state->loss[i];
    }
  state->pump_head = td_pump_get_head_m (network->frame.pump, MAX (flow[0], 0.0));
  /* A power law with C < 1 falls from its shut-off head with no end of slope. */
  state->pump_slope
      = flow[0] > 0.0 ? MAX (td_pump_get_slope (network->frame.pump, flow[0]), -STEEPEST) : 0.0;
}

/* The slope of the content along the step, at the flows last evaluated. */
static double
get_content_slope (const State *state, const double *flow)
{
  const TdNetwork *network = state->network;
  const Part *parts = network->parts;
  double sum = -(network->frame.bucket_height_m + state->pump_head) * state->step[0];

  for (guint i = 0; i < network->n_parts; i++)
    {
      if (parts[i].kind == PART_TUBE)
        sum += state->loss[i] * state->step[i];
      if (parts[i].terminal)
        sum += parts[i].terminal_m * state->step[i];
      if (flow[i] < NOTHING_L_MIN && !state->shut[i] && has_check (parts, i))
        sum += CHECK_SLOPE * (flow[i] - NOTHING_L_MIN) * state->step[i];
    }

  return sum;
}

/* From the last part to the first: every tangent into that of the part around it. */
static void
shrink (State *state)
{
  const Part *parts = state->network->parts;

  for (guint i = 0; i < state->network->n_parts; i++)
    state->a[i] = state->s[i] = 0.0;
  for (guint i = state->network->n_parts; i-- > 0;)
    {
      if (state->shut[i])
        continue;
      if (parts[i].kind == PART_TUBE)
        {
          state->s[i] = state->slope[i];
          state->a[i] = state->loss[i] - state->slope[i] * state->flow[i];
        }
      else if (parts[i].kind != PART_BRANCH)
        {
          state->s[i] = 1.0 / state->s[i];
          state->a[i] *= state->s[i];
        }
      if (parts[i].terminal)
        state->a[i] += parts[i].terminal_m;
      if (state->flow[i] < NOTHING_L_MIN && has_check (parts, i))
        {
          state->s[i] += CHECK_SLOPE;
          state->a[i] -= CHECK_SLOPE * NOTHING_L_MIN;
        }
      if (i == 0)
        continue;
      if (parts[parts[i].parent].kind == PART_BRANCH)
        {
          state->a[parts[i].parent] += state->a[i];
          state->s[parts[i].parent] += state->s[i];
        }
      else
        {
          state->a[parts[i].parent] += state->a[i] / state->s[i];
          state->s[parts[i].parent] += 1.0 / state->s[i];
        }
    }
}

/* Shares the flow wanted through a group out to its branches by their tangents.  The heads that
 * they are cut at may be far above the losses, so the sum is made good afterwards. */
static void
share_out (State *state, guint group)
{
  const Part *parts = state->network->parts;
  double *wanted = state->trial;
  double head = state->a[group] + state->s[group] * wanted[group], rest = wanted[group];

  for (guint i = group + 1; i < parts[group].end; i = parts[i].end)
    {
      wanted[i] = state->shut[i] ? 0.0 : (head - state->a[i]) / state->s[i];
      rest -= wanted[i];
    }
  for (guint i = group + 1; i < parts[group].end; i = parts[i].end)
    if (!state->shut[i])
      wanted[i] += rest * state->s[group] / state->s[i];
}

/* The Newton step, and the largest share of a tube's flow in it. */
static double
find_step (State *state)
{
  const TdNetwork *network = state->network;
  const Part *parts = network->parts;
  double *wanted = state->trial, head, largest = 0.0;

  shrink (state);
  head = network->frame.bucket_height_m + state->pump_head
         - state->pump_slope * MAX (state->flow[0], 0.0);
  wanted[0] = (head - state->a[0]) / (state->s[0] - state->pump_slope);
  for (guint i = 0; i < network->n_parts; i++)
    {
      double scale;

      if (state->shut[i])
        wanted[i] = 0.0;
      if (parts[i].kind == PART_BRANCH)
        for (guint m = i + 1; m < parts[i].end; m = parts[m].end)
          wanted[m] = wanted[i];
      else if (parts[i].kind != PART_TUBE && !state->shut[i])
        share_out (state, i);
      state->step[i] = wanted[i] - state->flow[i];
      scale = MAX (fabs (wanted[i]), 1e-6 * fabs (wanted[0]));
      if (fabs (wanted[i]) > 2.0 * NOTHING_L_MIN || fabs (state->flow[i]) > 2.0 * NOTHING_L_MIN)
        largest = MAX (largest, fabs (state->step[i]) / scale);
    }

  return largest;
}

static void
move (State *state, double share)
{
  for (guint i = 0; i < state->network->n_parts; i++)
    state->trial[i] = state->flow[i] + share * state->step[i];
  evaluate (state, state->trial);
}

/* Takes the step, or as much of it as keeps the content falling.  @whole: without looking, where
 * the step is so small that the content's slope is lost in rounding. */
static void
take_step (State *state, gboolean whole)
{
  double before = get_content_slope (state, state->flow);
  double low = 0.0, high = 1.0, share = 1.0, after;
  double *old;

  move (state, share);
  after = get_content_slope (state, state->trial);
  for (int i = 0; i < 60 && !whole && before < 0.0 && fabs (after) > -0.5 * before; i++)
    {
      if (after < 0.0 && share == 1.0)
        break;
      *(after > 0.0 ? &high : &low) = share;
      share = 0.5 * (low + high);
      move (state, share);
      after = get_content_slope (state, state->trial);
    }
  old = state->flow;
  state->flow = state->trial;
  state->trial = old;
}

/* Steps until all flows stand still. Returns the number of steps, 0 where they do not. */
static guint
settle (State *state)
{
  double last = INFINITY;

  evaluate (state, state->flow);
  for (guint step = 1; step <= MAX_STEPS; step++)
    {
      double largest = find_step (state);

      take_step (state, largest < WHOLE);
      /* The rounding of sums of heads far above the losses can keep tiny flows from standing still
       * to the last digits; then no step gets better than the one before. */
      if (largest <= CONVERGED || (largest <= 1e3 * CONVERGED && largest >= last && step > 50))
        return step;
      last = largest;
    }

  return 0;
}

/* Shuts the branches that carry nothing: those with no more than a trace, and those all of whose
 * outlets are shut. Returns: whether there are any. */
static gboolean
shut_still_branches (State *state)
{
  const Part *parts = state->network->parts;
  g_autofree guint *outlets = g_new0 (guint, state->network->n_parts);
  gboolean any = FALSE;

  for (guint i = 1; i < state->network->n_parts; i++)
    state->shut[i] = state->shut[parts[i].parent]
                     || (has_check (parts, i) && state->flow[i] < 2.0 * NOTHING_L_MIN);
  for (guint i = state->network->n_parts; i-- > 1;)
    {
      outlets[i] += parts[i].terminal && !state->shut[i];
      outlets[parts[i].parent] += outlets[i];
      if (has_check (parts, i) && outlets[i] == 0)
        state->shut[i] = TRUE;
    }
  for (guint i = 1; i < state->network->n_parts; i++)
    {
      state->shut[i] |= state->shut[parts[i].parent];
      if (state->shut[i])
        state->flow[i] = 0.0;
      any |= state->shut[i];
    }
  state->shut[0] = any && outlets[0] == 0;

  return any;
}

/* Returns: the number of steps, 0 where the flows do not stand still.  Where hardly anything flows,
 * the flow into the network is left as zero. */
static guint
find_flows (State *state)
{
  guint steps, more;

  start (state);
  steps = settle (state);
  if (steps == 0 || !shut_still_branches (state))
    return steps;
  if (state->shut[0])
    {
      state->flow[0] = 0.0;
      return steps;
    }
  more = settle (state);

  return more > 0 ? steps + more : 0;
}

/* Sets the error for a network in which nothing flows. */
static void
refuse_still (const TdNetwork *network, GError **error)
{
  g_set_error (
      error, TD_ERROR, TD_ERROR_INFEASIBLE,
      "Nothing flows: the lowest outlet stands %.2f m above the bucket and the pump lifts %.2f m "
      "at most",
      network->lowest_terminal_m - network->frame.bucket_height_m,
      td_pump_get_shut_off_m (network->frame.pump));
}

static gboolean
is_within_reach (const TdNetwork *network)
{
  return td_pump_get_shut_off_m (network->frame.pump) + network->frame.bucket_height_m
         > network->lowest_terminal_m;
}

/* Flows into the answer. */
static void
report_flows (const State *state, TdNetworkAnswer *answer)
{
  const TdNetwork *network = state->network;
  guint tube = 0;

  for (guint i = 0; i < network->n_parts; i++)
    {
      const Part *part = &network->parts[i];
      TdTubeFlow *out = &answer->tubes[tube];
      double flow = state->flow[i];

      if (part->kind != PART_TUBE)
        continue;
      out->id = part->id;
      out->flow_l_min = flow;
      out->velocity_m_s = td_pipe_get_velocity_m_s (&part->pipe, flow);
      out->reynolds = td_pipe_get_reynolds (&part->pipe, flow);
      out->head_loss_m = td_pipe_get_loss_m (&part->pipe, flow, NULL);
      out->regime = td_pipe_get_regime (&part->pipe, flow);
      answer->uncertain |= out->regime == TD_REGIME_TRANSITIONAL;
      tube++;
    }
}

static void
note_pressure (TdNetworkAnswer *answer, double pressure_kpa, const char *at)
{
  if (pressure_kpa > answer->max_pressure_kpa)
    {
      answer->max_pressure_kpa = pressure_kpa;
      answer->max_at = at;
    }
  if (pressure_kpa < answer->min_pressure_kpa)
    {
      answer->min_pressure_kpa = pressure_kpa;
      answer->min_at = at;
    }
}

/* Walks from the pump outwards with head and height, both kept at the start of every part. */
static void
report_pressures (const TdNetwork *network, TdNetworkAnswer *answer)
{
  const Part *parts = network->parts;
  double weight = network->frame.fluid.density_kg_m3 * TD_GRAVITY / 1e3; /* kPa per m */
  g_autofree double *head = g_new0 (double, 2 * network->n_parts);
  double *z = head + network->n_parts;
  guint tube = answer->n_tubes;
  g_autofree double *drop = g_new0 (double, network->n_parts);

  /* What each part loses from start to end; a group, what its first branch that flows loses. */
  for (guint i = network->n_parts; i-- > 0;)
    {
      if (parts[i].kind == PART_TUBE)
        drop[i] = answer->tubes[--tube].head_loss_m;
      if (i == 0)
        continue;
      if (parts[parts[i].parent].kind == PART_BRANCH)
        drop[parts[i].parent] += drop[i];
      else if (drop[i] > 0.0)
        drop[parts[i].parent] = drop[i];
    }
  head[0] = network->frame.bucket_height_m + answer->pump_head_m;
  z[0] = network->frame.pump_height_m;
  answer->max_pressure_kpa = answer->min_pressure_kpa = weight * (head[0] - z[0]);
  for (guint i = 0; i < network->n_parts; i++)
    {
      double h = head[i], height = z[i];

      for (guint m = i + 1; m < parts[i].end; m = parts[m].end)
        {
          head[m] = h;
          z[m] = height;
          if (parts[i].kind != PART_BRANCH)
            continue;
          h -= drop[m];
          height += parts[m].rise_m;
        }
      /* The far part of a branch that does not flow holds liquid only as high as its head reaches.
       */
      if (parts[i].kind == PART_TUBE && (drop[i] > 0.0 || head[i] >= z[i] + parts[i].rise_m))
        note_pressure (answer, weight * (head[i] - drop[i] - z[i] - parts[i].rise_m), parts[i].id);
    }
}

TdNetworkAnswer *
td_network_solve (TdNetwork *network, GError **error)
{
  g_autoptr (TdNetworkAnswer) answer = NULL;
  g_autofree double *room = NULL;
  g_autofree gboolean *shut = NULL;
  State state = { .network = network };
  guint n;

  g_return_val_if_fail (network != NULL, NULL);

  if (!is_within_reach (network))
    {
      refuse_still (network, error);
      return NULL;
    }

  n = network->n_parts;
  room = g_new0 (double, 7 * n);
  state.flow = room;
  state.step = room + n;
  state.trial = room + 2 * n;
  state.loss = room + 3 * n;
  state.slope = room + 4 * n;
  state.a = room + 5 * n;
  state.s = room + 6 * n;
  state.shut = shut = g_new0 (gboolean, n);

  answer = g_malloc0 (sizeof *answer + network->n_tubes * sizeof *answer->tubes);
  answer->network = td_network_ref (network);
  answer->n_tubes = network->n_tubes;
  answer->iterations = find_flows (&state);
  if (answer->iterations == 0)
    {
      g_set_error_literal (
          error, TD_ERROR, TD_ERROR_INFEASIBLE,
          "The flow could not be found: look for a tube whose length or bore is out of "
          "all proportion");
      return NULL;
    }
  if (state.flow[0] < 10.0 * NOTHING_L_MIN)
    {
      refuse_still (network, error);
      return NULL;
    }
  answer->pump_flow_l_min = state.flow[0];
  answer->pump_head_m = state.pump_head;
  answer->shut_off_kpa = network->frame.fluid.density_kg_m3 * TD_GRAVITY / 1e3
                         * (td_pump_get_shut_off_m (network->frame.pump)
                            + network->frame.bucket_height_m - network->lowest_m);
  report_flows (&state, answer);
  report_pressures (network, answer);

  return g_steal_pointer (&answer);
}

void
td_network_answer_free (TdNetworkAnswer *answer)
{
  g_return_if_fail (answer != NULL);
  td_network_unref (answer->network);
  g_free (answer);
}
