/* Plans: which can be run at the site at all, and what a later plan leaves of an earlier one. */
#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-plan-make.h"
#include "visit-bench.h"

#define LEG(line, direction, reversal)                                                             \
  "{\"line\":\"" line "\",\"direction\":\"" direction "\",\"reversal\":\"" reversal "\"}"
#define CIRCUIT(number, station, legs)                                                             \
  "{\"number\":" #number ",\"station\":\"" station "\",\"legs\":[" legs "]}"
#define STATIC(line, cooler) "{\"line\":\"" line "\",\"cooler\":\"" cooler "\"}"
#define FED(line, cooler, circuit)                                                                 \
  "{\"line\":\"" line "\",\"cooler\":\"" cooler "\",\"fed_by\":" #circuit "}"
#define ADOPT(circuits, statics)                                                                   \
  "plan-adopted source=hand plan='{\"circuits\":[" circuits "],\"static\":[" statics "]}'"
#define A4_A2 LEG ("A4", "in", "yes") "," LEG ("A2", "out", "no")
#define B7_B5 LEG ("B7", "in", "no") "," LEG ("B5", "out", "no")

/* clang-format off */
static const struct
{
  const char *what;
  const char *plan;
  int code; /* -1: possible */
  const char *says;
} plans[] = {
  { "two lines of a tower", ADOPT (CIRCUIT (1, "TA", A4_A2), ""), -1, NULL },
  { "from the cooler", ADOPT (CIRCUIT (1, "C1", LEG ("A2", "out", "no") "," LEG ("A4", "in", "yes")), ""), -1, NULL },
  { "two towers and two coolers", ADOPT (CIRCUIT (1, "TA", LEG ("A9", "in", "no") "," LEG ("B8", "out", "no") ","
    LEG ("B5", "in", "no") "," LEG ("A1", "out", "no")), ""), -1, NULL },
  { "a figure of eight through one tower", ADOPT (CIRCUIT (1, "TA", LEG ("A4", "in", "yes") "," LEG ("A1", "out", "no") ","
    LEG ("A2", "in", "no") "," LEG ("A3", "out", "no")), ""), -1, NULL },
  { "two loops through the cooler, one within the other", ADOPT (CIRCUIT (1, "TA", LEG ("A4", "in", "yes") ","
    LEG ("B5", "out", "no") "," LEG ("B7", "in", "no") "," LEG ("A2", "out", "no")), ""), -1, NULL },
  { "two circuits and static lines", ADOPT (CIRCUIT (1, "TA", A4_A2) "," CIRCUIT (2, "TB", B7_B5),
    FED ("B6", "C1", 2) "," FED ("B7s", "C1", 2) "," STATIC ("B8", "C2")), -1, NULL },
  { "static lines alone", ADOPT ("", STATIC ("A1", "C1")), -1, NULL },

  { "a line not there", ADOPT (CIRCUIT (1, "TA", LEG ("Z9", "in", "no") "," LEG ("A2", "out", "no")), ""), TD_ERROR_REFERENCE, "Z9" },
  { "a static line not there", ADOPT ("", STATIC ("Z9", "C1")), TD_ERROR_REFERENCE, "Z9" },
  { "a station not there", ADOPT (CIRCUIT (1, "TX", A4_A2), ""), TD_ERROR_REFERENCE, "TX" },
  { "a line twice", ADOPT (CIRCUIT (1, "TA", A4_A2), FED ("A2", "C1", 1)), TD_ERROR_SHAPE, "A2" },
  { "a circuit twice", ADOPT (CIRCUIT (1, "TA", A4_A2) "," CIRCUIT (1, "TB", B7_B5), ""), TD_ERROR_SHAPE, "twice" },
  { "no line", ADOPT ("", ""), TD_ERROR_SHAPE, "no line" },
  { "fed by nothing", ADOPT ("", FED ("B6", "C1", 4)), TD_ERROR_SHAPE, "fed_by" },
  { "a side faucet as a leg", ADOPT (CIRCUIT (1, "TA", LEG ("B7s", "in", "no") "," LEG ("A2", "out", "no")), ""),
    TD_ERROR_IMPOSSIBLE, "side faucet" },
  { "a one-way pump run in", ADOPT (CIRCUIT (1, "TA", LEG ("A3", "in", "no") "," LEG ("A2", "out", "no")), ""),
    TD_ERROR_IMPOSSIBLE, "one-way part" },
  { "a reversible pump run in without reversal", ADOPT (CIRCUIT (1, "TA", LEG ("A4", "in", "no") "," LEG ("A2", "out", "no")), ""),
    TD_ERROR_IMPOSSIBLE, "needs the reversal" },
  { "a reversal of a line that runs out", ADOPT (CIRCUIT (1, "TA", LEG ("A2", "in", "no") "," LEG ("A4", "out", "yes")), ""),
    TD_ERROR_IMPOSSIBLE, "has no reversal" },
  { "a reversal without a pump", ADOPT (CIRCUIT (1, "TA", LEG ("A2", "in", "yes") "," LEG ("A1", "out", "no")), ""),
    TD_ERROR_IMPOSSIBLE, "has no reversal" },
  { "one line", ADOPT (CIRCUIT (1, "TA", LEG ("A2", "in", "no")), ""), TD_ERROR_IMPOSSIBLE, "not closed: at Cold room" },
  { "both out", ADOPT (CIRCUIT (1, "C1", LEG ("A1", "out", "no") "," LEG ("A2", "out", "no")), ""),
    TD_ERROR_IMPOSSIBLE, "not closed" },
  { "balanced at the cooler, not at the towers", ADOPT (CIRCUIT (1, "TA", LEG ("A2", "in", "no") "," LEG ("B5", "out", "no")), ""),
    TD_ERROR_IMPOSSIBLE, "not closed: at Front bar" },
  { "two loops through the cooler, one after the other", ADOPT (CIRCUIT (1, "TA", A4_A2 "," B7_B5), ""), TD_ERROR_IMPOSSIBLE,
    "leg 3 does not begin where the one before" },
  { "in another order than it flows", ADOPT (CIRCUIT (1, "TA", LEG ("A2", "out", "no") "," LEG ("A4", "in", "yes")), ""),
    TD_ERROR_IMPOSSIBLE, "leg 1 does not begin where the pump stands" },
  { "in another order further on", ADOPT (CIRCUIT (1, "TA", LEG ("A9", "in", "no") "," LEG ("A1", "out", "no") ","
    LEG ("B5", "in", "no") "," LEG ("B8", "out", "no")), ""), TD_ERROR_IMPOSSIBLE, "leg 2 does not begin where the one before" },
  { "the pump where the circuit does not come", ADOPT (CIRCUIT (1, "TB", A4_A2), ""), TD_ERROR_IMPOSSIBLE, "leg 1" },
  { "a static line from another cooler", ADOPT ("", STATIC ("B8", "C1")), TD_ERROR_IMPOSSIBLE, "starts at cooler" },
  { "fed by a circuit elsewhere", ADOPT (CIRCUIT (1, "TA", A4_A2), FED ("B8", "C2", 1)), TD_ERROR_IMPOSSIBLE,
    "does not touch Cellar" },
};
/* clang-format on */

static void
test_possible (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (plans); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_autoptr (GError) error = NULL;
      g_autofree char *line = g_strconcat ("06:10 ", plans[i].plan, NULL);
      gboolean taken;

      bench_add (bench, bench_good_visit[0]);
      taken = bench_try (bench, line, &error);
      g_test_message ("%s: %s", plans[i].what, error != NULL ? error->message : "taken");
      if (plans[i].code < 0)
        {
          g_assert_no_error (error);
          g_assert_true (taken);
          continue;
        }
      g_assert_error (error, TD_ERROR, plans[i].code);
      g_assert_nonnull (strstr (error->message, plans[i].says));
    }
}

static Bench *
make_bench_with (const char *const *lines)
{
  Bench *bench = bench_new ();

  bench_fill (bench, bench_good_visit, BENCH_UP_TO_MIX);
  bench_add_lines (bench, lines);
  return bench;
}

static void
test_adopted (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  const TdVisitCircuit *circuit;
  const TdLeg *leg;

  bench_add (bench, bench_good_visit[0]);
  bench_add (
      bench,
      "06:10 " ADOPT (
          CIRCUIT (2, "TB", B7_B5) "," CIRCUIT (1, "TA", A4_A2),
          FED (
              "B6", "C1",
              1)) " predicted='{\"circuits\":[{\"number\":2,\"flow_ml_min\":4100,\"fill_s\":60}]}'");
  visit = bench_fold (bench);
  g_assert_cmpint (visit->plan_adopted.at_ms, ==, bench_time ("06:10"));
  g_assert_cmpuint (visit->circuits->len, ==, 2);
  circuit = &g_array_index (visit->circuits, TdVisitCircuit, 0);
  g_assert_cmpint (circuit->number, ==, 1);
  g_assert_cmpint (circuit->predicted_flow_ml_min, ==, 0);
  leg = &g_array_index (circuit->legs, TdLeg, 0);
  g_assert_cmpstr (visit->site->outlets[leg->outlet].id, ==, "A4");
  g_assert_true (leg->reversal);
  g_assert_cmpint (td_visit_find_circuit (visit, 2)->predicted_flow_ml_min, ==, 4100);
  g_assert_cmpint (bench_line (visit, "B6")->method, ==, TD_METHOD_STATIC);
  g_assert_cmpint (bench_line (visit, "A1")->method, ==, TD_METHOD_NONE);
  /* The side faucet of a line that is cleaned is held static at its own outlet. */
  g_assert_cmpint (bench_line (visit, "B7")->method, ==, TD_METHOD_CIRCULATING);
  g_assert_cmpint (bench_line (visit, "B7s")->method, ==, TD_METHOD_STATIC);
}

/* Before any chemical a plan is only paper. */
static void
test_replaced (void)
{
  static const char *const lines[] = {
    "06:40 " ADOPT (CIRCUIT (1, "TA", LEG ("A1", "in", "no") "," LEG ("A2", "out", "no")), ""), NULL
  };
  g_autoptr (Bench) bench = make_bench_with (lines);
  g_autoptr (TdVisit) visit = bench_fold (bench);
  const TdVisitCircuit *circuit = td_visit_find_circuit (visit, 1);

  g_assert_cmpuint (visit->circuits->len, ==, 1);
  g_assert_cmpuint (visit->statics->len, ==, 0);
  g_assert_cmpint (bench_line (visit, "A4")->method, ==, TD_METHOD_NONE);
  g_assert_cmpint (bench_line (visit, "B6")->method, ==, TD_METHOD_NONE);
  g_assert_cmpint (bench_line (visit, "A1")->direction, ==, TD_DIRECTION_IN);
  /* The pump goes on; the flow was that of other lines. */
  g_assert_cmpuint (circuit->pump->len, ==, 1);
  g_assert_cmpuint (circuit->flow.stamp.seq, ==, 0);
}

/* A circuit that never ran goes with the plan that named it. */
static void
test_unrun_circuit_goes (void)
{
  static const char *const lines[] = { "06:40 " ADOPT (CIRCUIT (2, "TB", B7_B5), ""), NULL };
  g_autoptr (Bench) bench = make_bench_with (lines);
  g_autoptr (TdVisit) visit = bench_fold (bench);
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (visit->circuits->len, ==, 1);
  g_assert_null (td_visit_find_circuit (visit, 1));
  g_assert_false (bench_try (bench, "06:45 chemical-in circuit=1 batch=K1", &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_REFERENCE);
}

/* What had chemical keeps what it ran by. */
static void
test_run_circuit_stays (void)
{
  static const char *const lines[] = {
    "06:40 chemical-in circuit=1 batch=K1",
    "06:41 chemical-seen circuit=1 batch=K1",
    "06:42 return-in-bucket circuit=1",
    "06:45 " ADOPT (CIRCUIT (2, "TB", B7_B5), FED ("B6", "C1", 2)),
    "06:50 cleaning-pump-on circuit=2",
    "06:58 contact-ended circuit=1",
    NULL,
  };
  g_autoptr (Bench) bench = make_bench_with (lines);
  g_autoptr (TdVisit) visit = bench_fold (bench);

  g_assert_cmpuint (visit->circuits->len, ==, 2);
  g_assert_cmpint (bench_line (visit, "A4")->circuit, ==, 1);
  g_assert_cmpint (bench_line (visit, "A4")->direction, ==, TD_DIRECTION_IN);
  g_assert_cmpint (bench_pass (visit, "A4")->contact_ms, ==, 16 * 60000);
  g_assert_cmpint (bench_line (visit, "B7")->circuit, ==, 2);
  g_assert_cmpint (g_array_index (visit->statics, TdVisitStatic, 0).fed_by, ==, 2);
}

static void
test_number_taken (void)
{
  static const char *const lines[] = { "06:40 chemical-in circuit=1 batch=K1", NULL };
  g_autoptr (Bench) bench = make_bench_with (lines);
  g_autoptr (GError) error = NULL;

  g_assert_false (bench_try (bench, "06:45 " ADOPT (CIRCUIT (1, "TB", B7_B5), ""), &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
  g_assert_nonnull (strstr (error->message, "another number"));
  /* With the lines that it had, it is the same circuit still. */
  bench_add (bench, "06:45 " ADOPT (CIRCUIT (1, "TA", A4_A2) "," CIRCUIT (2, "TB", B7_B5), ""));
  bench_add (bench, "06:50 chemical-seen circuit=1 batch=K1");
}

/* What the planner makes for the site can be run there, by the checks of the journal too. */
static void
test_planner (void)
{
  static const char *const pins[]
      = { "", "static=A2", "no-reversal=A4", "station=C1", "leave-out=B7" };

  for (gsize i = 0; i < G_N_ELEMENTS (pins); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_autoptr (TdPlanPins) list = td_plan_pins_new ();
      g_autoptr (GError) error = NULL;
      g_autoptr (TdPlan) plan = NULL;
      g_autoptr (TdJson) body = NULL;
      g_autofree char *text = NULL;
      g_autofree char *line = NULL;

      if (*pins[i] != '\0')
        g_assert_true (td_plan_pins_add_text (list, pins[i], &error));
      plan = td_plan_make (bench->context.site, list, &error);
      g_assert_no_error (error);
      body = td_plan_to_body (plan);
      text = td_json_to_canonical (body, &error);
      g_assert_no_error (error);
      line = g_strdup_printf ("06:10 plan-adopted source=planner plan='%s'", text);
      bench_add (bench, bench_good_visit[0]);
      bench_add (bench, line);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fold-plan/possible", test_possible);
  g_test_add_func ("/fold-plan/planner", test_planner);
  g_test_add_func ("/fold-plan/adopted", test_adopted);
  g_test_add_func ("/fold-plan/replaced", test_replaced);
  g_test_add_func ("/fold-plan/unrun-circuit-goes", test_unrun_circuit_goes);
  g_test_add_func ("/fold-plan/run-circuit-stays", test_run_circuit_stays);
  g_test_add_func ("/fold-plan/number-taken", test_number_taken);
  return g_test_run ();
}
