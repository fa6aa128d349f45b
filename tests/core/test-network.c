#include "core-network-read.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-network-private.h"

#include "deviation.h"

static char *
read_data (const char *name, const char *ending)
{
  g_autofree char *file = g_strconcat (name, ending, NULL);
  g_autofree char *path
      = g_build_filename (g_test_get_dir (G_TEST_DIST), "data", "hydraulics", file, NULL);
  g_autoptr (GError) error = NULL;
  char *text;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);

  return text;
}

static TdNetworkAnswer *
solve_text (const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdNetwork) network = td_network_parse (text, -1, &error);
  TdNetworkAnswer *answer;

  g_assert_no_error (error);
  answer = td_network_solve (network, &error);
  g_assert_no_error (error);

  return answer;
}

static double
get_number (const TdJson *json, const char *key)
{
  TdJson *member = td_json_get_member (json, key);

  g_assert_nonnull (member);

  return td_json_get_number (member);
}

/* The answers of EPANET 2.3.5, made by tests/data/hydraulics/regenerate.mjs.  Tolerances: laminar
 * 0.3 %; turbulent flow 1 %, branch flow 1.5 %, pressure 1 %; 2000 < Re < 4000 flow 12 %, pressure
 * 5 %. */
static void
test_epanet (void)
{
  static const char *const names[] = {
    "02_lam_14_series", "03_trans_cold_316",  "07_turb_14_10",      "10_mixed_4lines",
    "12_par4_unequal",  "13_nested",          "14_open_manifold",   "18_hot60",
    "30_open_in_open",  "31_kpa_five_points", "32_branch_too_high", "33_hair_and_pipe",
  };
  Deviation laminar = { .source = "EPANET 2.3.5, laminar" };
  Deviation transitional = { .source = "EPANET 2.3.5, 2000 < Re < 4000, flow" };
  Deviation turbulent = { .source = "EPANET 2.3.5, turbulent, pump flow" };
  Deviation branch = { .source = "EPANET 2.3.5, turbulent, tube flow" };
  Deviation pressure = { .source = "EPANET 2.3.5, pressure and head" };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *text = read_data (names[i], ".network.json");
      g_autofree char *reference = read_data (names[i], ".epanet.json");
      g_autoptr (TdNetworkAnswer) answer = solve_text (text);
      g_autoptr (TdJson) epanet = td_json_parse (reference, -1, NULL);
      TdJson *tubes = td_json_get_member (epanet, "tubes");
      gboolean still = get_number (td_json_get_element (tubes, 0), "reynolds") < 2000;
      double allowed = still ? 0.3 : answer->uncertain ? 5 : 1;

      deviation_check (answer->uncertain ? &transitional
                       : still           ? &laminar
                                         : &turbulent,
                       names[i], answer->pump_flow_l_min, get_number (epanet, "pump_flow_l_min"),
                       still               ? 0.3
                       : answer->uncertain ? 12
                                           : 1);
      deviation_check (&pressure, names[i], answer->pump_head_m, get_number (epanet, "pump_head_m"),
                       allowed);
      deviation_check (&pressure, names[i], answer->max_pressure_kpa,
                       get_number (epanet, "max_pressure_kpa"), allowed);
      g_assert_cmpuint (answer->n_tubes, ==, td_json_get_length (tubes));
      for (guint t = 0; t < answer->n_tubes; t++)
        {
          TdJson *tube = td_json_get_element (tubes, t);

          g_assert_cmpstr (answer->tubes[t].id, ==,
                           td_json_get_string (td_json_get_member (tube, "id")));
          /* EPANET's check valves leak 1e-5 L/min. */
          if (fabs (get_number (tube, "flow_l_min")) < 1e-3)
            {
              g_assert_cmpfloat (answer->tubes[t].flow_l_min, ==, 0);
              continue;
            }
          deviation_check (answer->uncertain ? &transitional
                           : still           ? &laminar
                                             : &branch,
                           answer->tubes[t].id, answer->tubes[t].flow_l_min,
                           get_number (tube, "flow_l_min"),
                           still               ? 0.3
                           : answer->uncertain ? 12
                                               : 1.5);
          deviation_check (&pressure, answer->tubes[t].id, answer->tubes[t].velocity_m_s,
                           get_number (tube, "velocity_m_s"), answer->uncertain ? 12 : 1.5);
        }
    }
  deviation_tell (&laminar, "%");
  deviation_tell (&transitional, "%");
  deviation_tell (&turbulent, "%");
  deviation_tell (&branch, "%");
  deviation_tell (&pressure, "%");
}

/* F. M. White, Fluid Mechanics (7th ed.), examples 6.17 and 6.18, as whole networks: a pump of
 * level head stands for the given loss of 20.3 m. */
static void
test_white (void)
{
  static const char frame[]
      = "{\"format\":\"tundish-network/1\",\"fluid\":{\"density_kg_m3\":1000,\"viscosity_pa_s\":0.00102},"
        "\"pump\":{\"curve\":[[0,20.3],[9000,20.3]]},\"return\":\"submerged\",\"chain\":[%s]}";
  static const char *const tubes[] = {
    "{\"type\":\"tube\",\"id\":\"1\",\"length_m\":100,\"bore_mm\":80,\"roughness_mm\":0.24}",
    "{\"type\":\"tube\",\"id\":\"2\",\"length_m\":150,\"bore_mm\":60,\"roughness_mm\":0.12}",
    "{\"type\":\"tube\",\"id\":\"3\",\"length_m\":80,\"bore_mm\":40,\"roughness_mm\":0.20}",
  };
  Deviation deviation = { .source = "White, examples 6.17 and 6.18, as networks" };
  g_autofree char *series = g_strjoin (",", tubes[0], tubes[1], tubes[2], NULL);
  g_autofree char *parallel = g_strdup_printf (
      "{\"type\":\"parallel\",\"branches\":[[%s],[%s],[%s]]}", tubes[0], tubes[1], tubes[2]);
  g_autofree char *first = g_strdup_printf (frame, series);
  g_autofree char *second = g_strdup_printf (frame, parallel);
  g_autoptr (TdNetworkAnswer) in_series = solve_text (first);
  g_autoptr (TdNetworkAnswer) in_parallel = solve_text (second);

  deviation_check (&deviation, "series", in_series->pump_flow_l_min * 0.06, 10.2, 1);
  deviation_check (&deviation, "parallel 1", in_parallel->tubes[0].flow_l_min * 0.06, 62.5, 1);
  deviation_check (&deviation, "parallel 2", in_parallel->tubes[1].flow_l_min * 0.06, 25.9, 1);
  deviation_check (&deviation, "parallel 3", in_parallel->tubes[2].flow_l_min * 0.06, 11.4, 1);
  deviation_check (&deviation, "parallel total", in_parallel->pump_flow_l_min * 0.06, 99.8, 1);
  deviation_tell (&deviation, "%");
}

/* A random network, kept beside the builder so that its laws can be checked part by part. */
typedef struct
{
  TdNetworkBuilder *builder;
  guint n_tubes;
  gboolean extreme;
} Maker;

static double
random_log (double low, double high)
{
  return exp (g_test_rand_double_range (log (low), log (high)));
}

static void
make_tube (Maker *maker, double rise)
{
  g_autofree char *id = g_strdup_printf ("t%u", maker->n_tubes++);
  TdPipeShape tube;
  g_autoptr (GError) error = NULL;

  tube.bore_mm = maker->extreme ? random_log (0.8, 50) : random_log (3, 13);
  tube.length_m = maker->extreme ? random_log (0.02, 400) : random_log (0.5, 60);
  tube.roughness_mm = g_test_rand_double_range (0, 0.02);
  tube.k = g_test_rand_double_range (0, 8);
  td_network_builder_tube (maker->builder, id, &tube, rise, &error);
  g_assert_no_error (error);
}

static void make_chain (Maker *maker, int depth, double rise, gboolean open);

static void
make_group (Maker *maker, int depth, double rise, gboolean open)
{
  gboolean (*begin) (TdNetworkBuilder *, GError **)
      = open ? td_network_builder_begin_open : td_network_builder_begin_parallel;
  int n = g_test_rand_int_range (2, 5);

  g_assert_true (begin (maker->builder, NULL));
  for (int i = 0; i < n; i++)
    {
      g_assert_true (td_network_builder_begin_branch (maker->builder, NULL));
      make_chain (maker, depth - 1, open ? g_test_rand_double_range (-2, 6) : rise,
                  open && g_test_rand_int_range (0, 3) == 0);
      g_assert_true (td_network_builder_end (maker->builder, NULL));
    }
  g_assert_true (td_network_builder_end (maker->builder, NULL));
}

/* Tubes and groups that rise by @rise in all, an open group at the end where @open. */
static void
make_chain (Maker *maker, int depth, double rise, gboolean open)
{
  int n = g_test_rand_int_range (1, 4);

  for (int i = 0; i < n; i++)
    {
      double part = i + 1 < n ? g_test_rand_double_range (-3, 3) : rise;

      rise -= part;
      if (depth > 0 && g_test_rand_int_range (0, 2) == 0)
        make_group (maker, depth, part, FALSE);
      else
        make_tube (maker, part);
    }
  if (open && depth > 0)
    make_group (maker, depth, 0, TRUE);
}

static TdNetwork *
make_network (gboolean extreme)
{
  TdCurvePoint curve[3] = { { 0, random_log (1, 80) } };
  guint n = g_test_rand_int_range (2, 4);
  TdNetworkFrame frame
      = { .fluid = { g_test_rand_double_range (960, 1300), random_log (3e-4, 3e-3) } };
  g_autoptr (TdPump) pump = NULL;
  g_autoptr (TdNetworkBuilder) builder = NULL;
  Maker maker = { .extreme = extreme };

  curve[1] = (TdCurvePoint){ random_log (0.5, 8),
                             curve[0].head_m * g_test_rand_double_range (0.5, 0.95) };
  curve[2] = (TdCurvePoint){ curve[1].flow_l_min * g_test_rand_double_range (1.2, 3),
                             curve[1].head_m * g_test_rand_double_range (0.1, 0.9) };
  pump = td_pump_new (curve, n, NULL);
  frame.pump = pump;
  frame.pump_height_m = g_test_rand_double_range (-2, 2);
  frame.bucket_height_m = frame.pump_height_m + g_test_rand_double_range (-0.4, 0.4);
  frame.submerged = g_test_rand_bit ();
  builder = td_network_builder_new (&frame);
  maker.builder = builder;
  make_chain (&maker, g_test_rand_int_range (0, 4),
              frame.submerged ? 0 : g_test_rand_double_range (-2, 6), !frame.submerged);

  return td_network_builder_finish (builder, NULL);
}

/* Mass and energy of an answer, from the laws and not from the solver's sums: walks the parts and
 * compares the flow out of every group with the flow into it, and the heads at which branches meet.
 * Returns the flow into @part; *head_inout goes from the head at its start to that at its end. */
static double
check_part (const TdNetwork *network,
            const TdNetworkAnswer *answer,
            guint i,
            guint *tube_inout,
            double *head_inout,
            double scale)
{
  const Part *part = &network->parts[i];
  double flow = 0, start = *head_inout, end = NAN, largest = 0, member = 0;

  if (part->kind == PART_TUBE)
    {
      const TdTubeFlow *tube = &answer->tubes[(*tube_inout)++];

      *head_inout -= td_pipe_get_loss_m (&part->pipe, tube->flow_l_min, NULL);
      return tube->flow_l_min;
    }
  for (guint m = i + 1; m < part->end; m = network->parts[m].end)
    {
      double head = part->kind == PART_BRANCH ? *head_inout : start;

      member = check_part (network, answer, m, tube_inout, &head, scale);
      if (part->kind == PART_BRANCH)
        {
          if (m > i + 1)
            g_assert_cmpfloat (fabs (member - flow), <=,
                               1e-9 * MAX (flow, answer->pump_flow_l_min * 1e-3));
          *head_inout = head;
          flow = member;
          continue;
        }
      flow += member;
      largest = MAX (largest, member);
      if (part->kind == PART_PARALLEL)
        {
          if (!isnan (end))
            g_assert_cmpfloat (fabs (head - end), <=, 1e-9 * scale);
          end = head;
        }
    }
  if (part->kind == PART_PARALLEL)
    *head_inout = end;
  if (part->terminal && flow > 0)
    g_assert_cmpfloat (fabs (*head_inout - part->terminal_m), <=, 1e-9 * scale);
  if (part->terminal && flow == 0)
    g_assert_cmpfloat (start, <=, part->terminal_m + 1e-9 * scale);

  return flow;
}

static void
check_answer (const TdNetwork *network, const TdNetworkAnswer *answer)
{
  double head = network->frame.bucket_height_m
                + td_pump_get_head_m (network->frame.pump, answer->pump_flow_l_min);
  double scale = 100 + fabs (head), flow;
  guint tube = 0;

  g_assert_cmpfloat (answer->pump_flow_l_min, >, 0);
  g_assert_cmpfloat (fabs (head - network->frame.bucket_height_m - answer->pump_head_m), <=,
                     1e-9 * scale);
  flow = check_part (network, answer, 0, &tube, &head, scale);
  g_assert_cmpfloat (fabs (flow / answer->pump_flow_l_min - 1), <=, 1e-9);
  g_assert_cmpuint (tube, ==, answer->n_tubes);
  g_assert_cmpfloat (answer->max_pressure_kpa, <=, answer->shut_off_kpa * (1 + 1e-9) + 1e-9);
  g_assert_cmpfloat (answer->min_pressure_kpa, <=, answer->max_pressure_kpa);
}

static void
test_random (void)
{
  guint flows = 0, most = 0, still = 0, uncertain = 0;

  for (int i = 0; i < 2000; i++)
    {
      g_autoptr (TdNetwork) network = make_network (i % 4 == 0);
      g_autoptr (GError) error = NULL;
      g_autoptr (TdNetworkAnswer) answer = td_network_solve (network, &error);

      if (answer == NULL)
        {
          g_assert_error (error, TD_ERROR, TD_ERROR_INFEASIBLE);
          g_assert_true (
              g_str_has_prefix (error->message, "Nothing flows: the lowest outlet stands"));
          continue;
        }
      check_answer (network, answer);
      flows++;
      most = MAX (most, answer->iterations);
      uncertain += answer->uncertain;
      for (guint t = 0; t < answer->n_tubes; t++)
        still += answer->tubes[t].regime == TD_REGIME_STILL;
    }
  g_test_message ("%u networks flow, %u with an uncertain tube, %u tubes still, at most %u steps",
                  flows, uncertain, still, most);
  g_assert_cmpuint (flows, >, 1500);
  g_assert_cmpuint (still, >, 200);
  g_assert_cmpuint (uncertain, >, 200);
}

/* hose, group of plain tubes, return: solved a second time by halving intervals, without tangents.
 */
static double
solve_by_halving (const TdPipe *hose, const TdPipe *branches, guint n, const TdPump *pump)
{
  double low = 0, high = td_pump_get_max_flow_l_min (pump);

  for (int i = 0; i < 90; i++)
    {
      double flow = 0.5 * (low + high), sum = 0;
      double left = td_pump_get_head_m (pump, flow) - td_pipe_get_loss_m (hose, flow, NULL);

      for (guint b = 0; b < n && left > 0; b++)
        sum += td_pipe_get_flow_l_min (&branches[b], left);
      *(sum > flow ? &low : &high) = flow;
    }

  return low;
}

static void
test_second_solver (void)
{
  const TdCurvePoint points[] = { { 0, 45 }, { 6, 32 }, { 9.5, 10 } };
  g_autoptr (TdPump) pump = td_pump_new (points, 3, NULL);
  TdNetworkFrame frame = { .fluid = { 992.2, 0.000653 }, .pump = pump, .submerged = TRUE };
  double worst = 0;

  for (int i = 0; i < 300; i++)
    {
      g_autoptr (TdNetworkBuilder) builder = td_network_builder_new (&frame);
      g_autoptr (TdNetwork) network = NULL;
      g_autoptr (TdNetworkAnswer) answer = NULL;
      guint n = g_test_rand_int_range (1, 6);
      TdPipe pipes[6];

      for (guint t = 0; t <= n; t++)
        {
          TdPipeShape tube = { random_log (2, 13), random_log (0.5, 80), 0.0015,
                               g_test_rand_double_range (0, 5) };
          g_autofree char *id = g_strdup_printf ("%u", t);

          td_pipe_init (&pipes[t], &tube, &frame.fluid, NULL);
          if (t == 1)
            td_network_builder_begin_parallel (builder, NULL);
          if (t >= 1)
            td_network_builder_begin_branch (builder, NULL);
          g_assert_true (td_network_builder_tube (builder, id, &tube, t == 0 ? -1 : 1, NULL));
          if (t >= 1)
            td_network_builder_end (builder, NULL);
        }
      td_network_builder_end (builder, NULL);
      network = td_network_builder_finish (builder, NULL);
      answer = td_network_solve (network, NULL);
      worst = MAX (
          worst,
          fabs (answer->pump_flow_l_min / solve_by_halving (&pipes[0], &pipes[1], n, pump) - 1));
    }
  g_test_message ("largest deviation | bisection of the same networks | 300 figures | %.2g %%",
                  100 * worst);
  g_assert_cmpfloat (worst, <, 1e-9);
}

static char *
tube_text (const char *id, double bore, double length, double rise)
{
  return g_strdup_printf ("{\"type\":\"tube\",\"id\":\"%s\",\"bore_mm\":%.17g,\"length_m\":%.17g,"
                          "\"rise_m\":%.17g}",
                          id, bore, length, rise);
}

/* An open manifold of three outlets at the heights given. */
static TdNetworkAnswer *
solve_manifold (double z1, double z2, double z3, double length)
{
  g_autofree char *hose = tube_text ("hose", 9.525, 3, 0.5);
  g_autofree char *a = tube_text ("a", 6.35, length, z1 - 0.5);
  g_autofree char *b = tube_text ("b", 6.35, 12, z2 - 0.5);
  g_autofree char *c = tube_text ("c", 6.35, 12, z3 - 0.5);
  g_autofree char *text = g_strdup_printf (
      "{\"format\":\"tundish-network/1\",\"fluid\":{\"density_kg_m3\":992.2,\"viscosity_pa_s\":0.000653},"
      "\"pump\":{\"curve\":[[0,12],[6,9],[10,2]]},"
      "\"chain\":[%s,{\"type\":\"open\",\"branches\":[[%s],[%s],[%s]]}]}",
      hose, a, b, c);

  return solve_text (text);
}

static void
test_manifold (void)
{
  g_autoptr (TdNetworkAnswer) alike = solve_manifold (2, 2, 2, 12);
  g_autoptr (TdNetworkAnswer) high = solve_manifold (2, 2, 11.5, 12);
  g_autoptr (TdNetworkAnswer) one = solve_manifold (2, 11.9, 11.5, 12);
  g_autoptr (TdNetworkAnswer) swapped = solve_manifold (11.5, 2, 2, 12);
  g_autoptr (TdNetworkAnswer) shorter = solve_manifold (2, 2, 2, 6);
  g_autoptr (TdJson) json = td_network_answer_to_json (one);
  g_autofree char *text = td_json_to_text (json, FALSE);

  /* Symmetry: like branches carry like flows, whatever their order. */
  g_assert_cmpfloat_with_epsilon (alike->tubes[1].flow_l_min, alike->tubes[3].flow_l_min, 1e-9);
  g_assert_cmpfloat_with_epsilon (high->tubes[1].flow_l_min, swapped->tubes[3].flow_l_min, 1e-9);
  g_assert_cmpfloat_with_epsilon (high->pump_flow_l_min, swapped->pump_flow_l_min, 1e-9);
  /* A branch too high carries nothing, exactly, and the others more. */
  g_assert_cmpfloat (high->tubes[3].flow_l_min, ==, 0);
  g_assert_cmpfloat (high->tubes[3].head_loss_m, ==, 0);
  g_assert_true (high->tubes[3].regime == TD_REGIME_STILL);
  g_assert_cmpfloat (high->tubes[1].flow_l_min, >, alike->tubes[1].flow_l_min);
  g_assert_cmpfloat (one->tubes[1].flow_l_min, >, high->tubes[1].flow_l_min);
  g_assert_cmpfloat_with_epsilon (one->pump_flow_l_min, one->tubes[1].flow_l_min, 1e-9);
  g_assert_nonnull (strstr (text, "Nothing flows in b: its outlet is too high."));
  /* A shorter branch takes more, from its sisters too. */
  g_assert_cmpfloat (shorter->tubes[1].flow_l_min, >, alike->tubes[1].flow_l_min);
  g_assert_cmpfloat (shorter->tubes[2].flow_l_min, <, alike->tubes[2].flow_l_min);
  g_assert_cmpfloat (shorter->pump_flow_l_min, >, alike->pump_flow_l_min);
}

/* A loop that hangs lower or stands higher flows the same: elevations cancel, pressures do not. */
static void
test_elevation (void)
{
  static const char frame[]
      = "{\"format\":\"tundish-network/1\",\"fluid\":{\"density_kg_m3\":1000,\"viscosity_pa_s\":0.001},"
        "\"pump\":{\"height_m\":1,\"%s\":[[0,%g],[4,%g],[8,%g]]},\"bucket\":{\"height_m\":1},"
        "\"return\":\"submerged\",\"chain\":[%s,%s]}";
  double flow[3], pressure[3];
  const double rises[] = { 0, 4, -4 };
  const double kpa = 9.80665;

  for (guint i = 0; i < 3; i++)
    {
      g_autofree char *up = tube_text ("up", 6.35, 20, rises[i]);
      g_autofree char *down = tube_text ("down", 6.35, 20, -rises[i]);
      g_autofree char *text = g_strdup_printf (frame, "curve", 3.0, 2.0, 1.0, up, down);
      g_autofree char *in_kpa
          = g_strdup_printf (frame, "curve_kpa", 3.0 * kpa, 2.0 * kpa, 1.0 * kpa, up, down);
      g_autoptr (TdNetworkAnswer) answer = solve_text (text);
      g_autoptr (TdNetworkAnswer) same = solve_text (in_kpa);

      flow[i] = answer->pump_flow_l_min;
      pressure[i] = answer->max_pressure_kpa;
      g_assert_cmpfloat_with_epsilon (same->pump_flow_l_min, flow[i], 1e-4);
      if (i == 1)
        {
          g_assert_cmpfloat (answer->min_pressure_kpa, <, 0);
          g_assert_cmpstr (answer->min_at, ==, "up");
        }
    }
  g_assert_cmpfloat_with_epsilon (flow[1], flow[0], 1e-9);
  g_assert_cmpfloat_with_epsilon (flow[2], flow[0], 1e-9);
  g_assert_cmpfloat_with_epsilon (pressure[1], pressure[0], 1e-6);
  g_assert_cmpfloat (pressure[2], >, pressure[0]);
}

static void
test_no_flow (void)
{
  g_autofree char *tube = tube_text ("a", 6.35, 20, 5);
  g_autofree char *text = g_strdup_printf (
      "{\"format\":\"tundish-network/1\",\"fluid\":{\"density_kg_m3\":1000,\"viscosity_pa_s\":0.001},"
      "\"pump\":{\"curve\":[[0,4],[4,2],[8,1]]},\"return\":\"open\",\"chain\":[%s]}",
      tube);
  g_autoptr (TdNetwork) network = td_network_parse (text, -1, NULL);
  g_autoptr (GError) error = NULL;

  g_assert_null (td_network_solve (network, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_INFEASIBLE);
  g_assert_cmpstr (
      error->message, ==,
      "Nothing flows: the lowest outlet stands 5.00 m above the bucket and the pump lifts "
      "4.00 m at most");
}

#define FLUID "\"fluid\":{\"density_kg_m3\":1000,\"viscosity_pa_s\":0.001}"
#define PUMP "\"pump\":{\"curve\":[[0,4],[4,2],[8,1]]}"
#define HEAD "{\"format\":\"tundish-network/1\"," FLUID "," PUMP ",\"return\":\"open\","
#define TUBE(id, rise)                                                                             \
  "{\"type\":\"tube\",\"id\":\"" id "\",\"bore_mm\":6,\"length_m\":2,\"rise_m\":" rise "}"

static void
test_refused (void)
{
  const struct
  {
    const char *text;
    int code;
    const char *says;
  } cases[] = {
    { "[]", TD_ERROR_SHAPE, "*" },
    { "{\"format\":\"tundish-network/2\"}", TD_ERROR_SHAPE,
      "line 1, column 11: *tundish-network/*" },
    { HEAD "\"chain\":[]}", TD_ERROR_SHAPE, "*no tube" },
    { HEAD "\"chains\":[" TUBE ("a", "0") "]}", TD_ERROR_SHAPE, "*chains*" },
    { HEAD "\"chain\":[" TUBE ("a", "0") "," TUBE ("a", "0") "]}", TD_ERROR_SHAPE,
      "*have the id a" },
    { HEAD "\"chain\":[\n{\"type\":\"tube\",\"id\":\"a\",\"bore_mm\":6,\"length_m\":0}]}",
      TD_ERROR_RANGE, "line 2, column 48: *length_m*" },
    { HEAD "\"chain\":[{\"type\":\"tube\",\"id\":\"a\",\"bore_mm\":6}]}", TD_ERROR_SHAPE,
      "*length_m*" },
    { HEAD "\"chain\":[{\"type\":\"tube\",\"id\":\"a\",\"bore_mm\":0,\"length_m\":2}]}",
      TD_ERROR_RANGE, "*bore_mm*" },
    { HEAD
      "\"chain\":[{\"type\":\"tube\",\"id\":\"a\",\"bore_mm\":1,\"length_m\":2,\"roughness_mm\":1}]}",
      TD_ERROR_RANGE, "*roughness*" },
    { HEAD "\"chain\":[{\"type\":\"hose\",\"id\":\"a\"}]}", TD_ERROR_SHAPE, "*hose*" },
    { HEAD "\"chain\":[{\"type\":\"parallel\",\"branches\":[]}]}", TD_ERROR_SHAPE, "*no branches" },
    { HEAD "\"chain\":[{\"type\":\"parallel\",\"branches\":[[]]}]}", TD_ERROR_SHAPE,
      "*branch is empty*" },
    { HEAD "\"chain\":[{\"type\":\"parallel\",\"branches\":[[" TUBE ("a", "1") "],[" TUBE (
          "b", "2") "]]}]}",
      TD_ERROR_SHAPE, "*rise by 1 to 2 m*" },
    { HEAD
      "\"chain\":[{\"type\":\"open\",\"branches\":[[" TUBE ("a", "1") "]]}," TUBE ("b", "0") "]}",
      TD_ERROR_SHAPE, "*Tube b follows an open group*" },
    { HEAD
      "\"chain\":[{\"type\":\"parallel\",\"branches\":[[{\"type\":\"open\",\"branches\":[[" TUBE (
          "a", "1") "]]}]]}]}",
      TD_ERROR_SHAPE, "*inside a parallel one*" },
    { "{\"format\":\"tundish-network/1\"," FLUID "," PUMP ",\"chain\":[" TUBE ("a", "0") "]}",
      TD_ERROR_SHAPE, "*\"return\"*" },
    { "{\"format\":\"tundish-network/1\"," FLUID
      ",\"pump\":{},\"return\":\"open\",\"chain\":[" TUBE ("a", "0") "]}",
      TD_ERROR_SHAPE, "*one of \"curve\" and \"curve_kpa\"*" },
    { "{\"format\":\"tundish-network/1\"," FLUID
      ",\"pump\":{\"curve\":[[0,4],[4,5]]},\"return\":\"open\",\"chain\":[" TUBE ("a", "0") "]}",
      TD_ERROR_RANGE, "*Point 2*" },
    { "{\"format\":\"tundish-network/1\"," FLUID
      ",\"pump\":{\"curve\":[[0,4],[4]]},\"return\":\"open\",\"chain\":[" TUBE ("a", "0") "]}",
      TD_ERROR_SHAPE, "*two numbers*" },
    { "{\"format\":\"tundish-network/1\",\"fluid\":{\"density_kg_m3\":1000,\"viscosity_pa_s\":0}," PUMP
      ",\"return\":\"open\",\"chain\":[" TUBE ("a", "0") "]}",
      TD_ERROR_RANGE, "*viscosity_pa_s*" },
    { HEAD "\"bucket\":{\"height\":1},\"chain\":[" TUBE ("a", "0") "]}", TD_ERROR_SHAPE,
      "*height*" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      g_assert_null (td_network_parse (cases[i].text, -1, &error));
      g_assert_error (error, TD_ERROR, cases[i].code);
      if (!g_str_has_prefix (error->message, "line ")
          || !g_pattern_match_simple (cases[i].says, error->message))
        g_error ("case %u says: %s", i, error->message);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/network/epanet", test_epanet);
  g_test_add_func ("/network/white", test_white);
  g_test_add_func ("/network/random", test_random);
  g_test_add_func ("/network/second-solver", test_second_solver);
  g_test_add_func ("/network/manifold", test_manifold);
  g_test_add_func ("/network/elevation", test_elevation);
  g_test_add_func ("/network/no-flow", test_no_flow);
  g_test_add_func ("/network/refused", test_refused);

  return g_test_run ();
}
