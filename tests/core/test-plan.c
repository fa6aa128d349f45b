/* Plans as values: read, written, kept as a journal body; orientation of a circuit's lines; pins.
 */
#include <math.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-kind.h"
#include "core-plan-orient.h"
#include "core-plan-pins.h"
#include "core-plan.h"

static const char whole[]
    = "{\"format\":\"tundish-plan/1\",\"circuits\":[{\"number\":1,\"station\":\"T1\",\"flow_l_min\":5.1,"
      "\"pump_head_m\":31,\"max_pressure_kpa\":310,\"volume_l\":4.3,\"fill_s\":51,\"turnovers\":17.8,"
      "\"legs\":[{\"line\":\"A4\",\"direction\":\"in\",\"reversal\":true,\"velocity_m_s\":2.7,"
      "\"reynolds\":23000,\"why\":\"Because.\"},{\"line\":\"A2\",\"direction\":\"out\",\"reversal\":false,"
      "\"velocity_m_s\":null,\"reynolds\":null}]}],\"static\":[{\"line\":\"B6\",\"cooler\":\"C1\","
      "\"fed_by\":1},{\"line\":\"B7\",\"cooler\":\"C2\",\"fed_by\":null,\"why\":\"Odd.\"}],"
      "\"left_out\":[\"B8\"],\"totals\":{\"static\":2,\"circuits\":1,\"reversals\":1,\"solution_l\":9,"
      "\"minutes\":74},\"proven\":false,\"bound\":{\"static\":1,\"circuits\":1},\"gap\":\"One.\","
      "\"warnings\":[\"Look.\"]}";

static TdPlan *
read_plan (const char *text, GError **error)
{
  g_autoptr (GError) parse_error = NULL;
  g_autoptr (TdJson) json = td_json_parse (text, -1, &parse_error);
  g_assert_no_error (parse_error);
  return td_plan_from_json (json, error);
}

static void
test_round_trip (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdPlan) plan = read_plan (whole, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (plan->n_circuits, ==, 1);
  g_assert_cmpuint (plan->reversals, ==, 1);
  g_assert_false (plan->circuits[0].at_cooler);
  g_assert_true (isnan (plan->circuits[0].legs[1].velocity_m_s));
  g_assert_cmpuint (plan->statics[1].fed_by, ==, 0);
  g_assert_true (td_plan_find_leg (plan, "A4")->reversal);
  g_assert_true (td_plan_find_circuit (plan, "A2") == &plan->circuits[0]);
  g_assert_null (td_plan_find_circuit (plan, "B6"));
  g_assert_true (td_plan_find_static (plan, "B6") == &plan->statics[0]);
  g_assert_null (td_plan_find_static (plan, "A2"));
  g_assert_null (td_plan_certificate_to_json (plan));

  g_autoptr (TdJson) json = td_plan_to_json (plan);
  g_autofree char *text = td_json_to_text (json, FALSE);
  g_autoptr (TdJson) again = td_json_parse (whole, -1, NULL);
  g_autofree char *expected = td_json_to_text (again, FALSE);
  g_assert_cmpstr (text, ==, expected);

  g_autoptr (TdPlan) other = td_plan_ref (plan);
  g_assert_true (other == plan);
}

/* What the journal keeps has a canonical form and passes the check of its kind. */
static void
test_body (void)
{
  g_autoptr (TdPlan) plan = read_plan (whole, NULL);
  g_autoptr (TdJson) body = td_plan_to_body (plan);
  g_autoptr (TdJson) predicted = td_plan_to_predicted (plan, NULL);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (GError) error = NULL;
  g_autofree char *text = td_json_to_canonical (body, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (
      text, ==,
      "{\"circuits\":[{\"legs\":[{\"direction\":\"in\",\"line\":\"A4\","
      "\"reversal\":\"yes\"},{\"direction\":\"out\",\"line\":\"A2\",\"reversal\":\"no\"}],"
      "\"number\":1,\"station\":\"T1\"}],\"static\":[{\"cooler\":\"C1\","
      "\"fed_by\":1,\"line\":\"B6\"},{\"cooler\":\"C2\",\"line\":\"B7\"}]}");
  g_autofree char *figures = td_json_to_canonical (predicted, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (figures, ==,
                   "{\"circuits\":[{\"fill_s\":51,\"flow_ml_min\":5100,\"number\":1,"
                   "\"velocity_mm_s\":2700,\"volume_ml\":4300}]}");
  td_json_builder_begin_object (builder);
  td_json_builder_member_value (builder, "plan", body);
  td_json_builder_member_value (builder, "predicted", predicted);
  td_json_builder_member_string (builder, "source", "planner");
  td_json_builder_end (builder);
  g_autoptr (TdJson) entry = td_json_builder_finish (builder);
  td_kind_check_body (TD_KIND_PLAN_ADOPTED, entry, &error);
  g_assert_no_error (error);

  g_autoptr (TdPlan) back = td_plan_from_json (body, &error);
  g_assert_no_error (error);
  g_assert_true (back->circuits[0].legs[0].reversal);
  g_assert_false (back->circuits[0].legs[1].reversal);
  g_assert_cmpuint (back->statics[1].fed_by, ==, 0);
  g_assert_null (td_plan_to_predicted (back, NULL));
}

static void
test_refused (void)
{
  static const struct
  {
    const char *text;
    int code;
  } cases[] = {
    { "[]", TD_ERROR_SHAPE },
    { "{}", TD_ERROR_SHAPE },
    { "{\"circuits\":[]}", TD_ERROR_SHAPE },
    { "{\"circuits\":[],\"static\":[],\"colour\":1}", TD_ERROR_SHAPE },
    { "{\"format\":\"tundish-plan/2\",\"circuits\":[],\"static\":[]}", TD_ERROR_SHAPE },
    { "{\"circuits\":[],\"static\":{}}", TD_ERROR_SHAPE },
    { "{\"circuits\":[{\"number\":2,\"station\":\"T\",\"legs\":[]}],\"static\":[]}",
      TD_ERROR_RANGE },
    { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[]}],\"static\":[]}",
      TD_ERROR_SHAPE },
    { "{\"circuits\":[{\"number\":1,\"legs\":[]}],\"static\":[]}", TD_ERROR_SHAPE },
    { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[{\"line\":\"A\"}]}],\"static\":[]}",
      TD_ERROR_SHAPE },
    { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[{\"line\":\"A\",\"direction\":\"up\"}]}],"
      "\"static\":[]}",
      TD_ERROR_SHAPE },
    { "{\"circuits\":[{\"number\":1,\"station\":\"T\",\"legs\":[{\"line\":\"A\",\"direction\":\"in\","
      "\"reversal\":2}]}],\"static\":[]}",
      TD_ERROR_SHAPE },
    { "{\"circuits\":[],\"static\":[{\"line\":\"A\",\"cooler\":\"C\",\"fed_by\":1}]}",
      TD_ERROR_RANGE },
    { "{\"circuits\":[],\"static\":[{\"line\":\"\",\"cooler\":\"C\"}]}", TD_ERROR_SHAPE },
    { "{\"circuits\":[],\"static\":[],\"totals\":{\"static\":1}}", TD_ERROR_RANGE },
    { "{\"circuits\":[],\"static\":[],\"totals\":{\"minutes\":-1}}", TD_ERROR_RANGE },
    { "{\"circuits\":[],\"static\":[],\"warnings\":[1]}", TD_ERROR_SHAPE },
    { "{\"circuits\":[],\"static\":[],\"bound\":{\"static\":-1}}", TD_ERROR_RANGE },
  };
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdPlan) plan = read_plan (cases[i].text, &error);
      g_test_message ("%s: %s", cases[i].text, error != NULL ? error->message : "accepted");
      g_assert_null (plan);
      g_assert_error (error, TD_ERROR, cases[i].code);
      g_assert_nonnull (strstr (error->message, "line 1, column"));
    }
}

/* Tries every number of lines running in of every cell. */
static int
orient_by_trying (guint n_towers,
                  guint n_coolers,
                  const TdPlanCell *cells,
                  guint cell,
                  int *surplus)
{
  guint n = n_towers + n_coolers;
  if (cell == n_towers * n_coolers)
    {
      for (guint i = 0; i < n; i++)
        if (surplus[i] != 0)
          return -1;
      return 0;
    }
  guint can = cells[cell].plain + cells[cell].reversible, all = can + cells[cell].out_only;
  int best = -1;
  for (guint in = 0; in <= can; in++)
    {
      int step = (int)in - (int)(all - in), extra = (int)in - (int)cells[cell].plain;
      surplus[cell / n_coolers] += step;
      surplus[n_towers + cell % n_coolers] += step;
      int rest = orient_by_trying (n_towers, n_coolers, cells, cell + 1, surplus);
      if (rest >= 0 && (best < 0 || rest + MAX (extra, 0) < best))
        best = rest + MAX (extra, 0);
      surplus[cell / n_coolers] -= step;
      surplus[n_towers + cell % n_coolers] -= step;
    }
  return best;
}

static void
test_orient (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);
  guint n_possible = 0;
  for (guint round = 0; round < 3000; round++)
    {
      TdPlanCell cells[9] = { 0 };
      int surplus[6] = { 0 };
      guint in[9];
      guint n_towers = 1 + round % 3, n_coolers = 1 + round / 3 % 3, n_cells = n_towers * n_coolers;
      for (guint i = 0; i < n_cells; i++)
        if (g_rand_int_range (rand, 0, 3) > 0)
          cells[i] = (TdPlanCell){ (guint)g_rand_int_range (rand, 0, 2),
                                   (guint)g_rand_int_range (rand, 0, 3),
                                   (guint)g_rand_int_range (rand, 0, 3) };
      int expected = orient_by_trying (n_towers, n_coolers, cells, 0, surplus);
      g_assert_cmpint (td_plan_orient (n_towers, n_coolers, cells, in), ==, expected);
      int cost = 0;
      for (guint i = 0; expected >= 0 && i < n_cells; i++)
        {
          guint all = cells[i].out_only + cells[i].plain + cells[i].reversible;
          g_assert_cmpuint (in[i], <=, cells[i].plain + cells[i].reversible);
          surplus[i / n_coolers] += 2 * (int)in[i] - (int)all;
          surplus[n_towers + i % n_coolers] += 2 * (int)in[i] - (int)all;
          cost += MAX ((int)in[i] - (int)cells[i].plain, 0);
        }
      for (guint i = 0; i < n_towers + n_coolers; i++)
        g_assert_cmpint (surplus[i], ==, 0);
      if (expected >= 0)
        g_assert_cmpint (cost, ==, expected);
      n_possible += expected > 0 ? 1 : 0;
    }
  g_assert_cmpuint (n_possible, >, 100);
}

static void
test_hangs_together (void)
{
  TdPlanCell cells[4] = { { 0, 2, 0 }, { 0, 0, 0 }, { 0, 0, 0 }, { 0, 2, 0 } };
  g_assert_false (td_plan_hangs_together (2, 2, cells));
  cells[1].plain = 2;
  g_assert_true (td_plan_hangs_together (2, 2, cells));
  cells[0].plain = cells[1].plain = 0;
  g_assert_true (td_plan_hangs_together (2, 2, cells));
  cells[3].plain = 0;
  g_assert_false (td_plan_hangs_together (2, 2, cells));
}

static void
test_pins (void)
{
  g_autoptr (TdPlanPins) pins = td_plan_pins_new ();
  g_autoptr (GError) error = NULL;
  static const char *const good[]
      = { "static=L1", "leave-out=L=2", "no-reversal=L3", "station=T1", "circuit=L1,L2,L3" };
  static const char *const bad[] = { "", "static", "static=", "statics=L1", "=L1", "Static=L1" };
  for (guint i = 0; i < G_N_ELEMENTS (good); i++)
    {
      g_assert_true (td_plan_pins_add_text (pins, good[i], &error));
      g_assert_cmpstr (td_plan_pins_get (pins, i)->text, ==, good[i]);
      g_assert_cmpint (td_plan_pins_get (pins, i)->kind, ==, i);
    }
  g_assert_cmpstr (td_plan_pins_get (pins, 1)->ids[0], ==, "L=2");
  g_assert_cmpuint (g_strv_length (td_plan_pins_get (pins, 4)->ids), ==, 3);
  for (guint i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_assert_false (td_plan_pins_add_text (pins, bad[i], &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
      g_clear_error (&error);
    }
  g_assert_cmpuint (td_plan_pins_get_length (pins), ==, G_N_ELEMENTS (good));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/plan/round-trip", test_round_trip);
  g_test_add_func ("/core/plan/body", test_body);
  g_test_add_func ("/core/plan/refused", test_refused);
  g_test_add_func ("/core/plan/orient", test_orient);
  g_test_add_func ("/core/plan/hangs-together", test_hangs_together);
  g_test_add_func ("/core/plan/pins", test_pins);
  return g_test_run ();
}
