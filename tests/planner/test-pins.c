/* What the technician decides first, and what becomes of it. */
#include <string.h>

#include "core-error.h"
#include "planner-bench.h"

/* Six lines in one circuit at most: T1 has L1 to L4, L4 with a lever; T2 has L5, L6; L6 one-way; L2
 * has a side faucet.  38.8 m at 3.785 L/min. */
static const char sheet[]
    = "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C1\"}],"
      "\"towers\":[{\"id\":\"T1\"},{\"id\":\"T2\"},{\"id\":\"T3\"}],\"lines\":["
      "{\"id\":\"L1\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":6,\"volume_ml\":900},"
      "{\"id\":\"L2\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":6,\"volume_ml\":900,"
      "\"side_faucets\":[{\"id\":\"L2b\",\"number\":9,\"tower\":\"T1\",\"segments\":[]}]},"
      "{\"id\":\"L3\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":6,\"volume_ml\":900,"
      "\"check_valve\":true},"
      "{\"id\":\"L4\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":6,\"volume_ml\":900,"
      "\"beer_pump\":\"reversible\"},"
      "{\"id\":\"L5\",\"tower\":\"T2\",\"cooler\":\"C1\",\"head_loss_m\":6,\"volume_ml\":900},"
      "{\"id\":\"L6\",\"tower\":\"T2\",\"cooler\":\"C1\",\"head_loss_m\":6,\"volume_ml\":900,"
      "\"beer_pump\":\"one-way\"}],\"cleaning_pump\":{\"curve\":[[0,45],[4,38],[8,15]]}}";

static TdPlan *
plan_with (const char *pins_text, GError **error)
{
  g_autoptr (TdSite) site = td_site_parse (sheet, -1, error);
  g_autoptr (TdPlanPins) pins = td_plan_pins_new ();
  g_auto (GStrv) words = g_strsplit (pins_text, " ", -1);
  g_assert_nonnull (site);
  for (guint i = 0; words[i] != NULL; i++)
    if (words[i][0] != '\0')
      g_assert_true (td_plan_pins_add_text (pins, words[i], NULL));
  return td_plan_make (site, pins, error);
}

static void
test_kept (void)
{
  static const struct
  {
    const char *pins;
    guint statics, circuits, reversals;
  } cases[] = {
    { "", 1, 1, 0 },
    { "static=L5", 3, 1, 0 }, /* L6 has no partner any more */
    { "static=L5 static=L5", 3, 1, 0 },
    { "static=L2b", 1, 1, 0 }, /* static anyway */
    { "leave-out=L5", 2, 1, 0 },
    { "leave-out=L2b", 0, 1, 0 },
    { "leave-out=L2", 1, 1, 0 },        /* with its side faucet; of L1, L3, L4 one is left over */
    { "static=L1", 3, 1, 0 },           /* L2 runs in, L3 or L4 out, the other is left over */
    { "static=L1 static=L2", 3, 1, 1 }, /* L3 out, L4 in by its lever */
    { "static=L1 static=L2 no-reversal=L4", 5, 1, 0 },
    { "no-reversal=L4", 1, 1, 0 },
    { "no-reversal=L1 no-reversal=L6 no-reversal=L2b", 1, 1, 0 },
    { "station=T1", 1, 1, 0 },
    { "station=T2", 1, 1, 0 },
    { "station=C1", 1, 1, 0 },
    { "station=T3", 7, 0, 0 },    /* no line ends there */
    { "circuit=L1,L3", 1, 2, 0 }, /* L2 in, L4 out beside T2's pair */
    { "circuit=L3,L4", 1, 2, 1 },
    { "circuit=L1,L3 circuit=L6,L5", 1, 3, 0 },
    { "circuit=L1,L3 station=T1", 1, 2, 0 }, /* T2's pair joins what is left at T1 */
  };
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdPlan) plan = plan_with (cases[i].pins, &error);
      g_test_message ("%s", cases[i].pins);
      g_assert_no_error (error);
      g_assert_cmpuint (plan->n_statics, ==, cases[i].statics);
      g_assert_cmpuint (plan->n_circuits, ==, cases[i].circuits);
      g_assert_cmpuint (plan->reversals, ==, cases[i].reversals);
      g_assert_true (plan->proven);
      g_assert_cmpuint (plan->bound_static, ==, cases[i].statics);
      g_assert_cmpuint (plan->bound_circuits, ==, cases[i].circuits);
    }
}

static void
test_seen (void)
{
  g_autoptr (TdPlan) still = plan_with ("static=L5", NULL);
  g_assert_cmpint (td_plan_find_static (still, "L5")->cause, ==, TD_PLAN_CAUSE_PIN);
  g_assert_cmpstr (td_plan_find_static (still, "L5")->why, ==, "A pin holds it static.");
  g_assert_cmpint (td_plan_find_static (still, "L6")->cause, ==, TD_PLAN_CAUSE_PARTNER);
  g_assert_cmpint (td_plan_find_static (still, "L2b")->cause, ==, TD_PLAN_CAUSE_SIDE);

  g_autoptr (TdPlan) left = plan_with ("leave-out=L2", NULL);
  g_assert_cmpuint (g_strv_length (left->left_out), ==, 2);
  g_assert_cmpstr (left->left_out[0], ==, "L2");
  g_assert_cmpstr (left->left_out[1], ==, "L2b");
  g_assert_null (td_plan_find_static (left, "L2"));
  g_assert_null (td_plan_find_leg (left, "L2"));

  g_autoptr (TdPlan) placed = plan_with ("station=C1", NULL);
  g_assert_cmpstr (placed->circuits[0].station, ==, "C1");
  g_assert_true (placed->circuits[0].at_cooler);
  g_assert_false (placed->circuits[0].legs[0].runs_in);

  g_autoptr (TdPlan) made = plan_with ("circuit=L3,L4", NULL);
  g_assert_true (td_plan_find_circuit (made, "L3") == td_plan_find_circuit (made, "L4"));
  g_assert_true (td_plan_find_leg (made, "L4")->reversal);
  g_assert_cmpuint (td_plan_find_circuit (made, "L3")->n_legs, ==, 2);
}

static void
test_refused (void)
{
  static const struct
  {
    const char *pins;
    const char *named; /* the pin that cannot be kept */
    int code;
  } cases[] = {
    { "static=L9", "static=L9", TD_ERROR_REFERENCE },
    { "leave-out=T1", "leave-out=T1", TD_ERROR_REFERENCE },
    { "no-reversal=L0", "no-reversal=L0", TD_ERROR_REFERENCE },
    { "station=L1", "station=L1", TD_ERROR_REFERENCE },
    { "circuit=L1,L9", "circuit=L1,L9", TD_ERROR_REFERENCE },
    { "circuit=L1,L2b", "circuit=L1,L2b", TD_ERROR_REFERENCE },
    { "static=L1 leave-out=L1", "leave-out=L1", TD_ERROR_INFEASIBLE },
    { "leave-out=L1 static=L1", "static=L1", TD_ERROR_INFEASIBLE },
    { "leave-out=L2b static=L2b", "static=L2b", TD_ERROR_INFEASIBLE },
    { "station=T1 station=T2", "station=T2", TD_ERROR_INFEASIBLE },
    { "static=L1 circuit=L1,L3", "circuit=L1,L3", TD_ERROR_INFEASIBLE },
    { "circuit=L1,L3 static=L1", "static=L1", TD_ERROR_INFEASIBLE },
    { "circuit=L1,L3 circuit=L1,L2", "circuit=L1,L2", TD_ERROR_INFEASIBLE },
    { "circuit=L1", "circuit=L1", TD_ERROR_INFEASIBLE },
    { "circuit=L1,L1", "circuit=L1,L1", TD_ERROR_INFEASIBLE },
    { "circuit=L1,L5", "circuit=L1,L5", TD_ERROR_INFEASIBLE },
    { "circuit=L3,L4 no-reversal=L4", "circuit=L3,L4", TD_ERROR_INFEASIBLE },
    { "circuit=L5,L6 station=T1", "circuit=L5,L6", TD_ERROR_INFEASIBLE },
    { "circuit=L1,L2 station=T3", "circuit=L1,L2", TD_ERROR_INFEASIBLE },
  };
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdPlan) plan = plan_with (cases[i].pins, &error);
      g_autofree char *start = g_strdup_printf ("pin %s cannot be kept: ", cases[i].named);
      g_test_message ("%s: %s", cases[i].pins, error != NULL ? error->message : "kept");
      g_assert_null (plan);
      g_assert_error (error, TD_ERROR, cases[i].code);
      g_assert_true (g_str_has_prefix (error->message, start));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/planner/pins/kept", test_kept);
  g_test_add_func ("/planner/pins/seen", test_seen);
  g_test_add_func ("/planner/pins/refused", test_refused);
  return g_test_run ();
}
