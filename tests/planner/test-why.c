/* Every reason given is true: with the cause taken away from the sheet, the plan is better. */
#include "core-json-build.h"
#include "planner-bench.h"

#define N_STATIC 500
#define N_REVERSED 200

/* The line as it is, but for what the causes say. */
static void
write_line (TdJsonBuilder *b, const TdJson *line, TdPlanCause causes)
{
  gboolean either_way = (causes & TD_PLAN_CAUSE_ONE_WAY) != 0;
  td_json_builder_begin_object (b);
  for (guint i = 0; i < td_json_get_length (line); i++)
    {
      const char *key = td_json_get_key (line, i);
      if (either_way && (g_str_equal (key, "beer_pump") || g_str_equal (key, "check_valve")))
        continue;
      td_json_builder_key (b, key);
      if ((causes & TD_PLAN_CAUSE_LOSS) != 0 && g_str_equal (key, "head_loss_m"))
        td_json_builder_real (b, 1e-6, -1);
      else
        td_json_builder_value (b, td_json_get_element (line, i));
    }
  td_json_builder_end (b);
}

static void
write_partner (TdJsonBuilder *b, const TdJson *line)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "id", "partner");
  td_json_builder_member_value (b, "tower", td_json_get_member (line, "tower"));
  td_json_builder_member_value (b, "cooler", td_json_get_member (line, "cooler"));
  td_json_builder_member_real (b, "head_loss_m", 1e-6, -1);
  td_json_builder_member_integer (b, "volume_ml", 1);
  td_json_builder_end (b);
}

/* The sheet without the causes of a line. */
static TdJson *
take_away (const TdJson *sheet, const char *id, TdPlanCause causes)
{
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  td_json_builder_begin_object (b);
  for (guint i = 0; i < td_json_get_length (sheet); i++)
    {
      const TdJson *member = td_json_get_element (sheet, i);
      td_json_builder_key (b, td_json_get_key (sheet, i));
      if (!g_str_equal (td_json_get_key (sheet, i), "lines"))
        {
          td_json_builder_value (b, td_json_get_element (sheet, i));
          continue;
        }
      td_json_builder_begin_array (b);
      for (guint k = 0; k < td_json_get_length (member); k++)
        {
          const TdJson *line = td_json_get_element (member, k);
          gboolean is = g_str_equal (td_json_get_string (td_json_get_member (line, "id")), id);
          write_line (b, line, is ? causes : TD_PLAN_CAUSE_UNKNOWN);
          if (is && (causes & TD_PLAN_CAUSE_PARTNER) != 0)
            write_partner (b, line);
        }
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}

static TdPlan *
plan_sheet (const TdJson *sheet, const TdPlanPins *pins)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSite) site = td_site_from_json (sheet, &error);
  g_assert_no_error (error);
  TdPlan *plan = td_plan_make (site, pins, &error);
  g_assert_no_error (error);
  return plan;
}

static guint
count_bits (guint bits)
{
  return bits == 0 ? 0 : 1 + count_bits (bits & (bits - 1));
}

/* Fewer static without the causes, and not fewer without a part of them. */
static void
check_static (const TdJson *sheet,
              const TdPlan *plan,
              const TdPlanStatic *still,
              const TdPlanPins *pins)
{
  TdPlanCause all = still->cause;
  g_assert_nonnull (still->why);
  g_assert_cmpint (all, !=, TD_PLAN_CAUSE_UNKNOWN);
  for (guint causes = 1; causes <= (guint)all; causes++)
    {
      if ((causes & ~(guint)all) != 0)
        continue;
      gboolean free_pump = (causes & TD_PLAN_CAUSE_STATION) != 0;
      g_autoptr (TdJson) without = take_away (sheet, still->line, (TdPlanCause)causes);
      g_autoptr (TdPlan) better = plan_sheet (without, free_pump ? NULL : pins);
      if (causes == (guint)all)
        g_assert_cmpuint (better->n_statics, <, plan->n_statics);
      else
        g_assert_cmpuint (better->n_statics, >=, plan->n_statics);
    }
}

static void
check_reversal (const TdJson *sheet, const TdPlan *plan, const TdPlanLeg *leg)
{
  g_assert_nonnull (leg->why);
  /* Without its beer pump the line runs in as it is. */
  g_autoptr (TdJson) without = take_away (sheet, leg->line, TD_PLAN_CAUSE_ONE_WAY);
  g_autoptr (TdPlan) better = plan_sheet (without, NULL);
  g_assert_cmpuint (better->n_statics, <=, plan->n_statics);
  if (better->n_statics == plan->n_statics)
    g_assert_cmpuint (better->n_circuits, <=, plan->n_circuits);
  if (better->n_statics == plan->n_statics && better->n_circuits == plan->n_circuits)
    g_assert_cmpuint (better->reversals, <, plan->reversals);
}

static void
test_causes (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (5);
  guint n_static = 0, n_reversed = 0, n_together = 0, n_by_cause[5] = { 0 };
  while (n_static < N_STATIC || n_reversed < N_REVERSED)
    {
      BenchShape shape = bench_make_shape (rand, 14);
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      g_autoptr (TdPlan) plan = plan_sheet (sheet, NULL);
      for (guint i = 0; i < plan->n_statics; i++)
        {
          const TdPlanStatic *still = &plan->statics[i];
          if (still->cause == TD_PLAN_CAUSE_SIDE)
            {
              g_assert_true (g_str_has_suffix (still->line, "b"));
              continue;
            }
          check_static (sheet, plan, still, NULL);
          n_static++;
          n_together += count_bits (still->cause) > 1 ? 1 : 0;
          for (guint k = 0; k < G_N_ELEMENTS (n_by_cause); k++)
            n_by_cause[k] += ((guint)still->cause >> k & 1) != 0 ? 1 : 0;
        }
      for (guint c = 0; c < plan->n_circuits; c++)
        for (guint i = 0; i < plan->circuits[c].n_legs; i++)
          if (plan->circuits[c].legs[i].reversal)
            {
              check_reversal (sheet, plan, &plan->circuits[c].legs[i]);
              n_reversed++;
            }
    }
  g_test_message ("%u static, %u of several causes; one-way %u, loss %u, partner %u; %u reversals",
                  n_static, n_together, n_by_cause[2], n_by_cause[3], n_by_cause[4], n_reversed);
  g_assert_cmpuint (n_by_cause[2], >, 50);
  g_assert_cmpuint (n_by_cause[3], >, 10);
  g_assert_cmpuint (n_by_cause[4], >, 50);
}

/* The pump pinned to a place that some lines cannot reach. */
static void
test_station (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (6);
  guint n_station = 0;
  for (guint round = 0; round < 150; round++)
    {
      g_autoptr (TdPlanPins) pins = td_plan_pins_new ();
      BenchShape shape = bench_make_shape (rand, 9);
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      td_plan_pins_add_text (pins, round % 2 == 0 ? "station=T1" : "station=C1", NULL);
      g_autoptr (TdPlan) plan = plan_sheet (sheet, pins);
      for (guint c = 0; c < plan->n_circuits; c++)
        g_assert_cmpstr (plan->circuits[c].station, ==, round % 2 == 0 ? "T1" : "C1");
      for (guint i = 0; i < plan->n_statics; i++)
        if (plan->statics[i].cause != TD_PLAN_CAUSE_SIDE)
          {
            check_static (sheet, plan, &plan->statics[i], pins);
            n_station += (plan->statics[i].cause & TD_PLAN_CAUSE_STATION) != 0 ? 1 : 0;
          }
    }
  g_assert_cmpuint (n_station, >, 20);
}

/* A line alone at its places that loses more than the pump gives: only both together keep it
 * static. */
static void
test_together (void)
{
  static const char text[]
      = "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C1\"}],\"towers\":[{\"id\":\"T1\"}],"
        "\"lines\":[{\"id\":\"A\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":50,"
        "\"volume_ml\":1900}],\"cleaning_pump\":{\"curve\":[[0,45],[4,38],[8,15]]}}";
  g_autoptr (TdJson) sheet = td_json_parse (text, -1, NULL);
  g_autoptr (TdPlan) plan = plan_sheet (sheet, NULL);
  g_assert_cmpuint (plan->n_statics, ==, 1);
  g_assert_cmpint (plan->statics[0].cause, ==, TD_PLAN_CAUSE_LOSS | TD_PLAN_CAUSE_PARTNER);
  check_static (sheet, plan, &plan->statics[0], NULL);
  g_assert_cmpstr (
      plan->statics[0].why, ==,
      "It loses 50.0 m at 3.785 L/min, and the pump gives 38.8 m there for a whole circuit; "
      "and it is the only line at T1 that could circulate, and a circuit takes an even number "
      "at every tower and cooler; did it lose next to nothing and with a further line beside "
      "it, but not with less, one faucet fewer would be static.");
}

/* Two lines that the flow allows as a circuit, but not the pressure: known tubes, a pump that holds
 * 45 m at no flow (441 kPa of water), a limit of 300 kPa. */
static void
test_pressure (void)
{
  static const char text[]
      = "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C1\"}],\"towers\":[{\"id\":\"T1\"}],"
        "\"lines\":[{\"id\":\"A\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,"
        "\"length_m\":60}]},{\"id\":\"B\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":"
        "9.525,\"length_m\":60}]}],\"cleaning_pump\":{\"curve\":[[0,45],[4,38],[8,15]]},"
        "\"limits\":{\"max_pressure_kpa\":200}}";
  g_autoptr (TdJson) sheet = td_json_parse (text, -1, NULL);
  g_autoptr (TdPlan) plan = plan_sheet (sheet, NULL);
  g_assert_cmpuint (plan->n_statics, ==, 2);
  g_assert_cmpint (plan->statics[0].cause, ==, TD_PLAN_CAUSE_PRESSURE);
  g_assert_cmpstr (
      plan->statics[0].why, ==,
      "The pressure must stay below 200 kPa; without that limit, one faucet fewer would be "
      "static.");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/planner/why/causes", test_causes);
  g_test_add_func ("/planner/why/station", test_station);
  g_test_add_func ("/planner/why/together", test_together);
  g_test_add_func ("/planner/why/pressure", test_pressure);
  return g_test_run ();
}
