/* The run of a plan: what the rules of core-plan-time.h ask of every run, and a few by hand. */
#include "core-plan-time.h"

#include "planner-bench.h"

typedef struct
{
  const TdPlan *plan;
  const TdPlanTime *time;
} Checked;

/* The bar of a circuit's or a static line's work; the first where there are several. */
static const TdPlanBar *
find_bar (const TdPlanTime *time, TdPlanWork work, guint circuit, const char *line)
{
  for (guint i = 0; i < time->n_bars; i++)
    if (time->bars[i].work == work && (line != NULL || time->bars[i].circuit == circuit)
        && g_strcmp0 (time->bars[i].line, line) == 0)
      return &time->bars[i];
  return NULL;
}

static void
check_nobody_twice (const TdPlanTime *time)
{
  for (guint who = 1; who <= 2; who++)
    {
      gint64 free_s = 0;
      for (guint i = 0; i < time->n_bars; i++)
        if (time->bars[i].technician == who)
          {
            g_assert_cmpint (time->bars[i].from_s, >=, free_s);
            free_s = time->bars[i].to_s;
          }
    }
}

static void
check_circuits (const TdPlan *plan, const TdPlanTime *time)
{
  gint64 pump_free_s = 0;
  for (guint c = 1; c <= plan->n_circuits; c++)
    {
      const TdPlanBar *pump = find_bar (time, TD_PLAN_WORK_PUMP, c, NULL);
      const TdPlanBar *fill = find_bar (time, TD_PLAN_WORK_FILL, c, NULL);
      const TdPlanBar *contact = find_bar (time, TD_PLAN_WORK_CONTACT, c, NULL);
      const TdPlanBar *rinse = find_bar (time, TD_PLAN_WORK_RINSE, c, NULL);
      g_assert_cmpint (pump->from_s, >=, pump_free_s);
      g_assert_cmpint (fill->from_s, >=, pump->to_s);
      g_assert_cmpint (contact->from_s, ==, fill->to_s);
      g_assert_cmpint (contact->to_s - contact->from_s, ==, 900);
      g_assert_cmpint (rinse->from_s, >=, contact->to_s);
      g_assert_cmpint (time->chemical_s[c - 1], ==, fill->from_s);
      pump_free_s = rinse->to_s;
      for (guint i = 0; i < time->n_bars; i++)
        {
          const TdPlanBar *bar = &time->bars[i];
          if (bar->circuit != c || bar->work == TD_PLAN_WORK_WALK || bar->work == TD_PLAN_WORK_WAIT)
            continue;
          if (bar->work == TD_PLAN_WORK_SET_UP)
            g_assert_cmpint (bar->to_s, <=, fill->from_s);
          if (bar->work == TD_PLAN_WORK_PUT_BACK && bar->line == NULL)
            g_assert_cmpint (bar->from_s, >=, rinse->to_s);
          if (bar->work == TD_PLAN_WORK_FAUCET)
            g_assert_cmpint (bar->from_s, >=, contact->from_s);
          g_assert_cmpint (bar->to_s, <=, time->done_s[c - 1]);
        }
    }
}

static void
check_statics (const TdPlan *plan, const TdPlanTime *time)
{
  for (guint i = 0; i < plan->n_statics; i++)
    {
      const char *line = plan->statics[i].line;
      guint c = plan->statics[i].fed_by;
      const TdPlanBar *fill = find_bar (time, TD_PLAN_WORK_FILL, 0, line);
      const TdPlanBar *hold = find_bar (time, TD_PLAN_WORK_HOLD, 0, line);
      const TdPlanBar *rinse = find_bar (time, TD_PLAN_WORK_RINSE, 0, line);
      const TdPlanBar *faucet = find_bar (time, TD_PLAN_WORK_FAUCET, 0, line);
      const TdPlanBar *back = find_bar (time, TD_PLAN_WORK_PUT_BACK, 0, line);
      g_assert_cmpint (hold->from_s, ==, fill->to_s);
      g_assert_cmpint (hold->to_s - hold->from_s, ==, 1200);
      g_assert_cmpint (rinse->from_s, >=, hold->to_s);
      g_assert_cmpint (faucet->from_s, >=, rinse->to_s);
      g_assert_cmpint (back->from_s, >=, rinse->to_s);
      if (c == 0)
        continue;
      /* Filled while its circuit holds solution, rinsed when that has been rinsed. */
      g_assert_cmpint (fill->from_s, >=, find_bar (time, TD_PLAN_WORK_FILL, c, NULL)->to_s);
      g_assert_cmpint (fill->to_s, <=, find_bar (time, TD_PLAN_WORK_RINSE, c, NULL)->from_s);
      g_assert_cmpint (rinse->from_s, >=, find_bar (time, TD_PLAN_WORK_RINSE, c, NULL)->to_s);
    }
}

static void
check_site (const TdSite *site)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);
  g_assert_no_error (error);
  for (guint technicians = 1; technicians <= 2; technicians++)
    {
      g_autoptr (TdPlanTime) time = td_plan_time_new (site, plan, NULL, technicians);
      check_nobody_twice (time);
      check_circuits (plan, time);
      check_statics (plan, time);
      g_assert_cmpint (time->total_s, >=, time->bound_s);
      g_assert_cmpint (time->bound_s, >, 0);
      if (technicians == 1)
        g_assert_cmpfloat (plan->minutes, ==, (double)((time->total_s + 59) / 60));
    }
}

static void
test_rules (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (3);
  for (guint i = 0; i < 200; i++)
    {
      g_autoptr (GError) error = NULL;
      BenchShape shape = bench_make_shape (rand, 20);
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      g_autoptr (TdSite) site = td_site_from_json (sheet, &error);
      g_assert_no_error (error);
      check_site (site);
    }
}

/* One circuit of two lines of 3.8 L together at 3.8 L/min (volumes known, flow not), all places at
 * hand: by hand from the settings' defaults.  Set-up: two keg ends 2 x 45 s in the cooler, two
 * faucet ends 2 x 40 s at the tower, the pump 240 s; two walks of 60 s.  Push-out and fill: one
 * volume each. */
static void
test_by_hand (void)
{
  static const char sheet[]
      = "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C1\"}],\"towers\":[{\"id\":\"T1\"}],"
        "\"lines\":[{\"id\":\"A\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":1900},"
        "{\"id\":\"B\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":5,\"volume_ml\":1900}],"
        "\"cleaning_pump\":{\"curve\":[[0,45],[4,38],[8,15]]},\"limits\":{\"min_flow_l_min\":3.8}}";
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSite) site = td_site_parse (sheet, -1, &error);
  g_assert_no_error (error);
  g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (TdPlanTime) time = td_plan_time_new (site, plan, NULL, 1);

  /* Two jumpers of 1 m, 9.525 mm: 2 x 71.256 mL beside the lines' 3800 mL. */
  gint64 once_s = 63;        /* 3.942512 L at 3.8 L/min: 62.25 s, rounded up */
  gint64 rinse_s = 250 + 60; /* four volumes: 249.001 s */
  gint64 set_up_s = 2 * 40 + 60 + 2 * 45 + 60 + 240;
  g_assert_cmpint (time->chemical_s[0], ==, set_up_s + once_s);
  const TdPlanBar *contact = find_bar (time, TD_PLAN_WORK_CONTACT, 1, NULL);
  g_assert_cmpint (contact->from_s, ==, set_up_s + 2 * once_s);
  /* Both faucets are done within contact, then the technician waits for it; after the rinse the
   * tower is put back, then the cooler. */
  gint64 total_s = contact->to_s + rinse_s + 2 * 60 + 60 + 2 * 45;
  g_assert_cmpint (time->total_s, ==, total_s);
  g_assert_cmpint (time->done_s[0], ==, total_s);
  g_assert_cmpint (time->latest_s[0], ==, total_s - time->chemical_s[0] + 900);
  const TdPlanBar *waiting = find_bar (time, TD_PLAN_WORK_WAIT, 1, NULL);
  g_assert_cmpint (waiting->from_s, ==, contact->from_s + 2 * 90);
  g_assert_cmpint (waiting->to_s, ==, contact->to_s);
}

/* Published rules of thumb (secondary, from the trade's pages): ten lines take about 90 minutes
 * when they are circulated.  The defaults of the settings have to come out somewhere there. */
static void
test_ten_lines (void)
{
  BenchShape shape = { 10, 1, 1, 0.0, 0.0, 401.0, 4, 0.0 };
  g_autoptr (GRand) rand = g_rand_new_with_seed (4);
  g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
  g_autoptr (TdSite) site = td_site_from_json (sheet, NULL);
  g_autoptr (TdPlan) plan = td_plan_make (site, NULL, NULL);
  g_test_message ("%u circuits, %.0f min", plan->n_circuits, plan->minutes);
  g_assert_cmpfloat (plan->minutes, >, 75.0);
  g_assert_cmpfloat (plan->minutes, <, 110.0);
}

static void
test_texts (void)
{
  for (TdPlanWork work = TD_PLAN_WORK_WALK; work <= TD_PLAN_WORK_PUT_BACK; work++)
    g_assert_nonnull (td_plan_work_get_text (work));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/planner/time/rules", test_rules);
  g_test_add_func ("/planner/time/by-hand", test_by_hand);
  g_test_add_func ("/planner/time/ten-lines", test_ten_lines);
  g_test_add_func ("/planner/time/texts", test_texts);
  return g_test_run ();
}
