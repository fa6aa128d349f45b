/* Plans made by hand, held against their site: every kind of fault, by its place. */
#include "core-plan-check.h"
#include "planner-bench.h"

/* Two towers, two coolers; A1 A2 A3 from cold room C1 to T1, B1 B2 from C1 to T2, D1 D2 from C2 to
 * T1, D3 from C2 to T2; A3 one-way, B2 with a lever, D3 with a side faucet.  The pump gives 38.8 m
 * at 3.785 L/min. */
static const char sheet[]
    = "{\"format\":\"tundish-site/1\","
      "\"coolers\":[{\"id\":\"C1\"},{\"id\":\"C2\"}],\"towers\":[{\"id\":\"T1\"},{\"id\":\"T2\"}],\"lines\":["
      "{\"id\":\"A1\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":900},"
      "{\"id\":\"A2\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":900},"
      "{\"id\":\"A3\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":900,"
      "\"check_valve\":true},"
      "{\"id\":\"B1\",\"tower\":\"T2\",\"cooler\":\"C1\",\"head_loss_m\":15,\"volume_ml\":900},"
      "{\"id\":\"B2\",\"tower\":\"T2\",\"cooler\":\"C1\",\"head_loss_m\":15,\"volume_ml\":900,"
      "\"beer_pump\":\"reversible\"},"
      "{\"id\":\"D1\",\"tower\":\"T1\",\"cooler\":\"C2\",\"head_loss_m\":5,\"volume_ml\":900},"
      "{\"id\":\"D2\",\"tower\":\"T1\",\"cooler\":\"C2\",\"head_loss_m\":5,\"volume_ml\":900},"
      "{\"id\":\"D3\",\"tower\":\"T2\",\"cooler\":\"C2\",\"head_loss_m\":5,\"volume_ml\":900,"
      "\"side_faucets\":[{\"id\":\"D3b\",\"number\":9,\"tower\":\"T2\",\"segments\":[]}]}],"
      "\"cleaning_pump\":{\"curve\":[[0,45],[4,38],[8,15]]}}";

#define LEG(line, direction) "{\"line\":\"" line "\",\"direction\":\"" direction "\"}"
#define LEVER(line) "{\"line\":\"" line "\",\"direction\":\"in\",\"reversal\":true}"
#define CIRCUIT(number, station, legs)                                                             \
  "{\"number\":" number ",\"station\":\"" station "\",\"legs\":[" legs "]}"
#define STATIC(line, cooler, fed)                                                                  \
  "{\"line\":\"" line "\",\"cooler\":\"" cooler "\",\"fed_by\":" fed "}"
#define PLAN(circuits, statics) "{\"circuits\":[" circuits "],\"static\":[" statics "]}"
/* What is left when one circuit of the first lines is made. */
#define REST_B STATIC ("B1", "C1", "1") "," STATIC ("B2", "C1", "1")
#define REST_D STATIC ("D1", "C2", "null") "," STATIC ("D2", "C2", "null")
#define REST_3 STATIC ("D3", "C2", "null") "," STATIC ("D3b", "C2", "null")
#define REST REST_B "," REST_D "," REST_3
#define GOOD CIRCUIT ("1", "T1", LEG ("A1", "in") "," LEG ("A2", "out"))
#define A3 STATIC ("A3", "C1", "1")

typedef struct
{
  const char *plan;
  int code; /* of the first fault, -1 for none */
  const char *line;
  guint circuit;
} Case;

static TdSite *
read_site (void)
{
  g_autoptr (GError) error = NULL;
  TdSite *site = td_site_parse (sheet, -1, &error);
  g_assert_no_error (error);
  return site;
}

static const Case PLAN_CASES[] = {
  { PLAN (GOOD, A3 "," REST), -1, NULL, 0 },
  /* At a cooler the first leg runs out. */
  { PLAN (CIRCUIT ("1", "C1", LEG ("A2", "out") "," LEG ("A1", "in")), A3 "," REST), -1, NULL,
    0 },
  /* Two towers and two coolers are one circuit. */
  { PLAN (CIRCUIT (
              "1", "T1",
              LEG ("A1", "in") "," LEG ("B1", "out") "," LEG ("D3", "in") "," LEG ("D1", "out")),
          STATIC ("A2", "C1", "1") "," A3 "," STATIC ("B2", "C1", "1") "," STATIC (
              "D2", "C2", "1") "," STATIC ("D3b", "C2", "1")),
    -1, NULL, 0 },
  { PLAN (CIRCUIT ("1", "T2", LEVER ("B2") "," LEG ("B1", "out")),
          STATIC ("A1", "C1", "1") "," STATIC ("A2", "C1", "1") "," A3 "," REST_D "," REST_3),
    -1, NULL, 0 },
  { PLAN (CIRCUIT ("1", "T1", LEG ("A1", "in") "," LEG ("A9", "out")), REST),
    TD_PLAN_FAULT_UNKNOWN, "A9", 1 },
  { PLAN (CIRCUIT ("1", "T9", LEG ("A1", "in") "," LEG ("A2", "out")), A3 "," REST),
    TD_PLAN_FAULT_UNKNOWN, NULL, 1 },
  { PLAN (GOOD, A3 "," REST "," STATIC ("X", "C1", "1")), TD_PLAN_FAULT_UNKNOWN, "X", 0 },
  { PLAN (GOOD, A3 "," A3 "," REST), TD_PLAN_FAULT_TWICE, "A3", 0 },
  { PLAN (GOOD, REST), TD_PLAN_FAULT_MISSING, "A3", 0 },
  { PLAN (GOOD, A3 "," REST_B "," REST_D "," STATIC ("D3", "C2", "null")), TD_PLAN_FAULT_MISSING,
    "D3b", 0 },
  { PLAN (CIRCUIT ("1", "T1", LEG ("A1", "in") "," LEG ("D3b", "out")), REST), TD_PLAN_FAULT_SIDE,
    "D3b", 1 },
  { PLAN (CIRCUIT ("1", "T1", LEG ("A3", "in") "," LEG ("A2", "out")),
          STATIC ("A1", "C1", "1") "," REST),
    TD_PLAN_FAULT_ONE_WAY, "A3", 1 },
  { PLAN (CIRCUIT ("1", "T2", LEG ("B2", "in") "," LEG ("B1", "out")),
          STATIC ("A1", "C1", "1") "," STATIC ("A2", "C1", "1") "," A3 "," REST_D "," REST_3),
    TD_PLAN_FAULT_REVERSAL, "B2", 1 },
  { PLAN (CIRCUIT ("1", "T1", LEVER ("A1") "," LEG ("A2", "out")), A3 "," REST),
    TD_PLAN_FAULT_REVERSAL, "A1", 1 },
  { PLAN (CIRCUIT ("1", "T1", LEG ("A1", "in") "," LEG ("A2", "in")), A3 "," REST),
    TD_PLAN_FAULT_TOWER, NULL, 1 },
  /* Balanced at the cooler alone is not enough. */
  { PLAN (CIRCUIT ("1", "T1", LEG ("A1", "in") "," LEG ("B1", "out")),
          STATIC ("A2", "C1", "1") "," A3 "," STATIC ("B2", "C1", "1") "," REST_D "," REST_3),
    TD_PLAN_FAULT_TOWER, NULL, 1 },
  /* Balanced at the tower alone neither. */
  { PLAN (CIRCUIT ("1", "T1", LEG ("A1", "in") "," LEG ("D1", "out")),
          STATIC ("A2", "C1", "1") "," A3 "," REST_B "," STATIC ("D2", "C2", "1") "," REST_3),
    TD_PLAN_FAULT_COOLER, NULL, 1 },
  { PLAN (CIRCUIT ("1", "T1",
                   LEG ("D1", "in") "," LEG ("D2", "out") "," LEVER ("B2") "," LEG ("B1", "out")),
          STATIC ("A1", "C1", "1") "," STATIC ("A2", "C1", "1") "," A3 "," REST_3),
    TD_PLAN_FAULT_APART, NULL, 1 },
  { PLAN (CIRCUIT ("1", "T1",
                   LEG ("A1", "in") "," LEG ("D3", "in") "," LEG ("B1", "out") "," LEG ("D1",
                                                                                        "out")),
          STATIC ("A2", "C1", "1") "," A3 "," STATIC ("B2", "C1", "1") "," STATIC (
              "D2", "C2", "1") "," STATIC ("D3b", "C2", "1")),
    TD_PLAN_FAULT_ORDER, "D3", 1 },
  { PLAN (CIRCUIT ("1", "T2", LEG ("A1", "in") "," LEG ("A2", "out")), A3 "," REST),
    TD_PLAN_FAULT_STATION, NULL, 1 },
  { PLAN (CIRCUIT ("1", "T1",
                   LEG ("A1", "in") "," LEG ("A2", "out") "," LEG ("A1", "in") "," LEG ("A3",
                                                                                        "out")),
          REST),
    TD_PLAN_FAULT_TWICE, "A1", 0 },
  /* 5 + 5 + 15 + 15 = 40 m. */
  { PLAN (CIRCUIT ("1", "T1",
                   LEG ("A1", "in") "," LEG ("B1", "out") "," LEVER ("B2") "," LEG ("A2", "out")),
          A3 "," REST_D "," REST_3),
    TD_PLAN_FAULT_FLOW, NULL, 1 },
  { PLAN (GOOD, STATIC ("A3", "C2", "1") "," REST), TD_PLAN_FAULT_FEED, "A3", 0 },
  { PLAN (GOOD,
          A3 "," REST_B "," STATIC ("D1", "C2", "1") "," STATIC ("D2", "C2", "null") "," REST_3),
    TD_PLAN_FAULT_FEED, "D1", 0 },
};

static void
test_plans (void)
{
  g_autoptr (TdSite) site = read_site ();
  g_autoptr (TdLegModel) model = td_leg_model_new (site, NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (PLAN_CASES); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdJson) json = td_json_parse (PLAN_CASES[i].plan, -1, &error);
      g_assert_no_error (error);
      g_autoptr (TdPlan) plan = td_plan_from_json (json, &error);
      g_assert_no_error (error);
      g_autoptr (GPtrArray) faults = td_plan_check (site, model, plan);
      g_test_message ("%s", PLAN_CASES[i].plan);
      for (guint k = 0; k < faults->len; k++)
        g_test_message ("  %s", ((TdPlanFault *)g_ptr_array_index (faults, k))->text);
      if (PLAN_CASES[i].code < 0)
        {
          g_assert_cmpuint (faults->len, ==, 0);
          continue;
        }
      g_assert_cmpuint (faults->len, >, 0);
      const TdPlanFault *fault = g_ptr_array_index (faults, 0);
      g_assert_cmpint (fault->code, ==, PLAN_CASES[i].code);
      g_assert_cmpstr (fault->line, ==, PLAN_CASES[i].line);
      g_assert_cmpuint (fault->circuit, ==, PLAN_CASES[i].circuit);
    }
}

/* A set of lines, as it is put together by hand. */
static void
test_lines (void)
{
  static const struct
  {
    const char *lines;
    int code;
  } cases[] = {
    { "A1 A2", -1 },
    { "A2 A1", -1 },
    { "A1 A3", -1 },
    { "A1 A2 D1 D2", -1 },
    { "A1 B1 D1 D3", -1 },
    { "", TD_PLAN_FAULT_APART },
    { "A1", TD_PLAN_FAULT_TOWER },
    { "A1 A2 A3", TD_PLAN_FAULT_TOWER },
    { "A1 B1", TD_PLAN_FAULT_TOWER },
    { "A1 D1", TD_PLAN_FAULT_COOLER },
    { "A1 A1", TD_PLAN_FAULT_TWICE },
    { "D1 D2 B1 B2", TD_PLAN_FAULT_APART },
    { "A1 A2 B1 B2", TD_PLAN_FAULT_FLOW },
  };
  g_autoptr (TdSite) site = read_site ();
  g_autoptr (TdLegModel) model = td_leg_model_new (site, NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_auto (GStrv) ids = g_strsplit (cases[i].lines, " ", -1);
      guint lines[8], n = 0;
      for (; ids[n] != NULL; n++)
        lines[n] = (guint)td_site_find_line (site, ids[n]);
      g_autoptr (GPtrArray) faults = td_plan_check_lines (site, model, lines, n);
      g_test_message ("%s: %s", cases[i].lines,
                      faults->len > 0 ? ((TdPlanFault *)g_ptr_array_index (faults, 0))->text
                                      : "none");
      g_assert_cmpint (faults->len > 0, ==, cases[i].code >= 0);
      if (faults->len > 0)
        g_assert_cmpint (((TdPlanFault *)g_ptr_array_index (faults, 0))->code, ==, cases[i].code);
    }
}

/* One-way lines at one place, and a balance that fails although every place by itself could be
 * balanced: with A and E out, C1 wants both C and H in, and T2 only one of them. */
static void
test_one_way (void)
{
  static const char text[]
      = "{\"format\":\"tundish-site/1\","
        "\"coolers\":[{\"id\":\"C1\"},{\"id\":\"C2\"}],\"towers\":[{\"id\":\"T1\"},{\"id\":\"T2\"}],\"lines\":["
        "{\"id\":\"A\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":9,\"check_valve\":true},"
        "{\"id\":\"B\",\"tower\":\"T1\",\"cooler\":\"C2\",\"head_loss_m\":5,\"volume_ml\":9},"
        "{\"id\":\"C\",\"tower\":\"T2\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":9},"
        "{\"id\":\"D\",\"tower\":\"T2\",\"cooler\":\"C2\",\"head_loss_m\":5,\"volume_ml\":9},"
        "{\"id\":\"E\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":9,\"check_valve\":true},"
        "{\"id\":\"F\",\"tower\":\"T2\",\"cooler\":\"C2\",\"head_loss_m\":5,\"volume_ml\":9,"
        "\"beer_pump\":\"one-way\"},"
        "{\"id\":\"G\",\"tower\":\"T1\",\"cooler\":\"C2\",\"head_loss_m\":5,\"volume_ml\":9},"
        "{\"id\":\"H\",\"tower\":\"T2\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":9}]}";
  g_autoptr (TdSite) site = td_site_parse (text, -1, NULL);
  g_autoptr (TdLegModel) model = td_leg_model_new (site, NULL, NULL);
  static const struct
  {
    guint lines[6];
    guint n;
    int code;
  } cases[] = {
    { { 0, 4 }, 2, TD_PLAN_FAULT_TOWER }, /* A E */
    { { 0, 1, 2, 3 }, 4, -1 },            /* A B C D */
    { { 0, 1, 2, 5 }, 4, -1 },            /* A B C F: opposite sides of the square run out */
    { { 0, 4, 1, 6, 2, 7 }, 6, TD_PLAN_FAULT_ONE_WAY },
  };
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GPtrArray) faults = td_plan_check_lines (site, model, cases[i].lines, cases[i].n);
      g_assert_cmpint (faults->len > 0 ? (int)((TdPlanFault *)g_ptr_array_index (faults, 0))->code
                                       : -1,
                       ==, cases[i].code);
    }
}

static void
test_planned (void)
{
  g_autoptr (TdSite) site = read_site ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);
  g_assert_no_error (error);
  bench_check_plan (site, plan);
  g_assert_cmpuint (plan->n_statics, ==, 3);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/planner/check/plans", test_plans);
  g_test_add_func ("/planner/check/lines", test_lines);
  g_test_add_func ("/planner/check/one-way", test_one_way);
  g_test_add_func ("/planner/check/planned", test_planned);
  return g_test_run ();
}
