#include "core-diagnose.h"

#include <string.h>

#include "core-error.h"
#include "core-network.h"

#include "deviation.h"

#define SITE                                                                                               \
  "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C1\",\"height_m\":0}],"                           \
  "\"towers\":[{\"id\":\"T1\",\"height_m\":3}],\"lines\":["                                                \
  "{\"id\":\"A\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":25}]},"  \
  "{\"id\":\"B\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":7.9375,\"length_m\":12}]}," \
  "{\"id\":\"C\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":32}]},"  \
  "{\"id\":\"D\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":28}]},"  \
  "{\"id\":\"X\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":6,\"volume_ml\":1500}],"               \
  "\"cleaning_pump\":{\"curve\":[[0,45],[6,32],[9.5,10]]}}"

static const guint whole[] = { 0, 1, 2, 3 };
static const guint alone[][1] = { { 0 }, { 1 }, { 2 }, { 3 } };

typedef struct
{
  TdSite *site;
  TdLegModel *model;
} Bench;

static void
set_up (Bench *bench, gconstpointer data)
{
  bench->site = td_site_parse (SITE, -1, NULL);
  g_assert_nonnull (bench->site);
  bench->model = td_leg_model_new (bench->site, NULL, NULL);
  g_assert_nonnull (bench->model);
}

static void
tear_down (Bench *bench, gconstpointer data)
{
  td_leg_model_unref (bench->model);
  td_site_unref (bench->site);
}

/* What the world would show: the network solver of core-network.h with a throttle of @k in one
 * line's tube, and a pump that gives @strength of its curve.  @throttled: index of a line, -1 for
 * none. */
static TdNetworkAnswer *
run (const Bench *bench,
     const guint *lines,
     guint n_lines,
     double lift,
     int throttled,
     double k,
     double strength)
{
  TdCurvePoint points[3];
  g_autoptr (TdPump) pump = NULL;
  g_autoptr (TdNetworkBuilder) builder = NULL;
  g_autoptr (TdNetwork) network = NULL;
  TdNetworkFrame frame
      = { .fluid = *td_leg_model_get_fluid (bench->model), .submerged = lift == 0 };
  const TdSegment *jumper = td_leg_model_get_jumper (bench->model);
  g_autoptr (GError) error = NULL;
  TdNetworkAnswer *answer;

  for (guint i = 0; i < 3; i++)
    points[i] = (TdCurvePoint){ bench->site->curve[i].flow_l_min,
                                bench->site->curve[i].head_m * strength };
  pump = td_pump_new (points, 3, NULL);
  frame.pump = pump;
  builder = td_network_builder_new (&frame);
  for (guint i = 0; i < n_lines; i++)
    {
      const TdLine *line = &bench->site->lines[lines[i]];
      TdPipeShape hose = { jumper->bore_mm, jumper->length_m, jumper->roughness_mm, jumper->k };
      TdPipeShape tube
          = { line->segments[0].bore_mm, line->segments[0].length_m, line->segments[0].roughness_mm,
              line->segments[0].k + ((int)lines[i] == throttled ? k : 0) };
      g_autofree char *name = g_strdup_printf ("%u-jumper", i);
      g_autofree char *id = g_strdup_printf ("%u-tube", i);

      g_assert_true (td_network_builder_tube (builder, name, &hose, 0, NULL));
      g_assert_true (td_network_builder_tube (builder, id, &tube, i == 0 ? lift : 0, NULL));
    }
  network = td_network_builder_finish (builder, NULL);
  answer = td_network_solve (network, &error);
  g_assert_no_error (error);

  return answer;
}

/* A reading of that world with a slip of @slip standard errors of 2 % in the flow. */
static TdFlowReading
read_flow (const Bench *bench,
           const guint *lines,
           guint n_lines,
           int throttled,
           double k,
           double strength,
           double slip,
           gboolean gauge)
{
  double lift = n_lines == 1 ? 3 : 0;
  g_autoptr (TdNetworkAnswer) answer = run (bench, lines, n_lines, lift, throttled, k, strength);
  double weight = td_leg_model_get_fluid (bench->model)->density_kg_m3 * TD_GRAVITY / 1e3;

  return (TdFlowReading){ lines, n_lines,
                          lift,  answer->pump_flow_l_min * (1 + 0.02 * slip),
                          0.02,  gauge ? answer->pump_head_m * weight : NAN,
                          5 };
}

static TdDiagnosis *
diagnose (const Bench *bench, const TdFlowReading *readings, guint n)
{
  g_autoptr (GError) error = NULL;
  TdDiagnosis *diagnosis = td_diagnose (bench->model, readings, n, &error);

  g_assert_no_error (error);

  return diagnosis;
}

/* The prediction by leg sums and the one by the network solver are one. */
static void
test_predict (Bench *bench, gconstpointer data)
{
  for (guint n = 1; n <= 4; n++)
    {
      TdFlowReading reading = read_flow (bench, whole, n, -1, 0, 1, 0, FALSE);

      g_assert_cmpfloat (
          fabs (td_diagnose_predict (bench->model, &reading) / reading.flow_l_min - 1), <, 1e-9);
    }
}

static void
test_agrees (Bench *bench, gconstpointer data)
{
  TdFlowReading reading = read_flow (bench, whole, 4, -1, 0, 1, 0.8, TRUE);
  g_autoptr (TdDiagnosis) diagnosis = diagnose (bench, &reading, 1);
  g_autofree char *text = td_diagnosis_explain (diagnosis, bench->site);

  g_assert_true (diagnosis->kind == TD_DIAGNOSIS_AGREES);
  g_assert_cmpstr (text, ==, "The flows measured agree with those predicted.");
}

/* One flow through a whole circuit: every line and the pump explain it, and that is said.  With the
 * pump's pressure the pump is out, or in. */
static void
test_whole_circuit (Bench *bench, gconstpointer data)
{
  TdFlowReading bare = read_flow (bench, whole, 4, 2, 150, 1, 0, FALSE);
  TdFlowReading gauge = read_flow (bench, whole, 4, 2, 150, 1, 0, TRUE);
  TdFlowReading weak = read_flow (bench, whole, 4, -1, 0, 0.6, 0, TRUE);
  g_autoptr (TdDiagnosis) first = diagnose (bench, &bare, 1);
  g_autoptr (TdDiagnosis) second = diagnose (bench, &gauge, 1);
  g_autoptr (TdDiagnosis) third = diagnose (bench, &weak, 1);
  g_autofree char *text = td_diagnosis_explain (first, bench->site);

  g_assert_true (first->kind == TD_DIAGNOSIS_CANNOT_TELL);
  g_assert_cmpuint (first->n_alike, ==, 5);
  g_assert_nonnull (strstr (text, "Cannot tell"));
  g_assert_nonnull (strstr (text, "pump's outlet"));
  g_assert_true (second->kind == TD_DIAGNOSIS_CANNOT_TELL);
  g_assert_cmpuint (second->n_alike, ==, 4);
  for (guint i = 0; i < 4; i++)
    g_assert_true (second->causes[i].kind == TD_CAUSE_LINE);
  g_assert_true (third->kind == TD_DIAGNOSIS_EXPLAINED);
  g_assert_true (third->causes[0].kind == TD_CAUSE_PUMP);
  /* 40 % of the head at the limiting flow is lacking. */
  g_assert_cmpfloat (
      fabs (third->causes[0].extra_m / (td_leg_model_get_pump_head_um (bench->model) / 1e6) - 0.4),
      <, 0.03);
}

/* Known legs throttled, two hundred times, by more and by less, with slips of reading: with the
 * circuit and every line alone the right leg is named; it is never another one; where the throttle
 * is within the slips it may be missed. */
static void
test_throttled (Bench *bench, gconstpointer data)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20);
  guint right = 0, wrong = 0, weak = 0, n = 200;

  for (guint trial = 0; trial < n; trial++)
    {
      int line = g_rand_int_range (rand, 0, 4);
      double k = exp (g_rand_double_range (rand, log (40), log (1500)));
      TdFlowReading readings[5];
      g_autoptr (TdDiagnosis) diagnosis = NULL;

      for (guint i = 0; i < 5; i++)
        {
          double slip = 0;

          for (guint s = 0; s < 12; s++)
            slip += g_rand_double_range (rand, -0.5, 0.5);
          readings[i] = i < 4 ? read_flow (bench, alone[i], 1, line, k, 1, slip, FALSE)
                              : read_flow (bench, whole, 4, line, k, 1, slip, FALSE);
        }
      diagnosis = diagnose (bench, readings, 5);
      if (diagnosis->kind == TD_DIAGNOSIS_EXPLAINED)
        {
          if (diagnosis->causes[0].kind == TD_CAUSE_LINE && (int)diagnosis->causes[0].line == line)
            right++;
          else
            wrong++;
        }
      else
        weak++;
    }
  g_test_message ("throttled legs: %u named rightly, %u wrongly, %u not told, of %u", right, wrong,
                  weak, n);
  g_assert_cmpuint (wrong, <=, n / 100);
  g_assert_cmpuint (right, >=, n * 9 / 10);
}

/* The extra head that is told is the throttle's: k v^2 / 2g. */
static void
test_amount (Bench *bench, gconstpointer data)
{
  Deviation deviation = { .source = "throttle put into a known leg" };
  const double ks[] = { 60, 200, 800 };

  for (guint i = 0; i < G_N_ELEMENTS (ks); i++)
    {
      TdFlowReading readings[] = { read_flow (bench, alone[1], 1, 1, ks[i], 1, 0, FALSE),
                                   read_flow (bench, alone[0], 1, 1, ks[i], 1, 0, FALSE),
                                   read_flow (bench, whole, 4, 1, ks[i], 1, 0, FALSE) };
      g_autoptr (TdDiagnosis) diagnosis = diagnose (bench, readings, 3);
      g_autofree char *text = td_diagnosis_explain (diagnosis, bench->site);
      double v = 3.785 / 60000 / (G_PI / 4 * 7.9375e-3 * 7.9375e-3);

      g_assert_true (diagnosis->kind == TD_DIAGNOSIS_EXPLAINED);
      g_assert_cmpuint (diagnosis->causes[0].line, ==, 1);
      deviation_check (&deviation, "extra head", diagnosis->causes[0].extra_m,
                       ks[i] * v * v / (2 * 9.80665), 0.1);
      g_assert_true (g_str_has_prefix (text, "Line B explains it: it loses "));
    }
  deviation_tell (&deviation, "%");
}

/* Two legs throttled: no single cause, said so. And a line that loses less than its sheet says. */
static void
test_other_causes (Bench *bench, gconstpointer data)
{
  TdFlowReading two[] = { read_flow (bench, alone[0], 1, 0, 500, 1, 0, FALSE),
                          read_flow (bench, alone[1], 1, 1, 500, 1, 0, FALSE),
                          read_flow (bench, alone[2], 1, -1, 0, 1, 0, FALSE) };
  TdFlowReading less[] = { read_flow (bench, alone[0], 1, -1, 0, 1, 0, FALSE),
                           read_flow (bench, alone[1], 1, -1, 0, 1, 0, FALSE) };
  g_autoptr (TdDiagnosis) first = diagnose (bench, two, 3);
  g_autoptr (TdDiagnosis) second = NULL;
  g_autofree char *text = NULL;

  g_assert_true (first->kind == TD_DIAGNOSIS_NO_CAUSE);
  less[1].flow_l_min *= 1.25;
  second = diagnose (bench, less, 2);
  g_assert_true (second->kind == TD_DIAGNOSIS_EXPLAINED);
  g_assert_cmpuint (second->causes[0].line, ==, 1);
  g_assert_cmpfloat (second->causes[0].extra_m, <, 0);
  text = td_diagnosis_explain (second, bench->site);
  g_assert_nonnull (strstr (text, "less than predicted"));
}

static void
test_unknown (Bench *bench, gconstpointer data)
{
  static const guint lines[] = { 0, 4 };
  TdFlowReading reading = { lines, 2, 0, 3, 0.02, NAN, 0 };
  g_autoptr (TdDiagnosis) diagnosis = diagnose (bench, &reading, 1);
  g_autofree char *text = td_diagnosis_explain (diagnosis, bench->site);

  g_assert_true (diagnosis->kind == TD_DIAGNOSIS_UNKNOWN);
  g_assert_nonnull (strstr (text, "tubes of line X"));
}

static void
test_refused (Bench *bench, gconstpointer data)
{
  const struct
  {
    TdFlowReading reading;
    guint n;
    int code;
    const char *says;
  } cases[] = {
    { { whole, 4, 0, 3, 0.02, NAN, 0 }, 0, TD_ERROR_RANGE, "There is no reading*" },
    { { whole, 0, 0, 3, 0.02, NAN, 0 }, 1, TD_ERROR_RANGE, "Reading 1 runs through no line" },
    { { whole, 4, 0, 0, 0.02, NAN, 0 }, 1, TD_ERROR_RANGE, "Reading 1: a flow of 0*" },
    { { whole, 4, 0, 3, 0, NAN, 0 }, 1, TD_ERROR_RANGE, "Reading 1: a flow*" },
    { { whole, 4, 0, 3, 0.02, 200, 0 }, 1, TD_ERROR_RANGE, "*error of its gauge" },
    { { whole, 4, 60, 3, 0.02, NAN, 0 }, 1, TD_ERROR_INFEASIBLE, "*cannot reach*" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      g_assert_null (td_diagnose (bench->model, &cases[i].reading, cases[i].n, &error));
      g_assert_error (error, TD_ERROR, cases[i].code);
      g_assert_true (g_pattern_match_simple (cases[i].says, error->message));
    }
}

int
main (int argc, char **argv)
{
  static const struct
  {
    const char *path;
    void (*test) (Bench *, gconstpointer);
  } tests[] = {
    { "/diagnose/predict", test_predict },
    { "/diagnose/agrees", test_agrees },
    { "/diagnose/whole-circuit", test_whole_circuit },
    { "/diagnose/throttled", test_throttled },
    { "/diagnose/amount", test_amount },
    { "/diagnose/other-causes", test_other_causes },
    { "/diagnose/unknown", test_unknown },
    { "/diagnose/refused", test_refused },
  };

  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (tests); i++)
    g_test_add (tests[i].path, Bench, NULL, set_up, tests[i].test, tear_down);

  return g_test_run ();
}
