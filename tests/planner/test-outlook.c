/* What a plan is like when it is run: what must hold of every outlook, and one by hand. */
#include "core-plan-outlook.h"

#include <math.h>
#include <string.h>

#include "core-plan-figures.h"
#include "core-transport.h"
#include "planner-bench.h"

/* Five lines with known tubes; the pump that stands in. */
static const char tubes[]
    = "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C1\"}],\"towers\":[{\"id\":\"T1\",\"height_m\":3.2},"
      "{\"id\":\"T2\",\"height_m\":3.2}],\"lines\":["
      "{\"id\":\"L1\",\"tower\":\"T1\",\"cooler\":\"C1\",\"fob\":true,\"segments\":[{\"bore_mm\":9.525,\"length_m\":30}]},"
      "{\"id\":\"L2\",\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":32}]},"
      "{\"id\":\"L3\",\"tower\":\"T1\",\"cooler\":\"C1\",\"beer_pump\":\"one-way\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":28}]},"
      "{\"id\":\"L4\",\"tower\":\"T2\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":7.9,\"length_m\":20}]},"
      "{\"id\":\"L5\",\"tower\":\"T2\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":7.9,\"length_m\":20}]}]%s}";

typedef struct
{
  TdSite *site;
  TdPlan *plan;
  TdPlanOutlook *outlook;
} Ahead;

static Ahead
look (TdSite *site, const TdSettings *settings)
{
  g_autoptr (GError) error = NULL;
  Ahead ahead = { .site = site };

  g_assert_nonnull (site);
  ahead.plan = td_plan_make_with (site, settings, NULL, &error);
  g_assert_no_error (error);
  ahead.outlook = td_plan_outlook_new (site, ahead.plan, settings, 1, &error);
  g_assert_no_error (error);
  return ahead;
}

static Ahead
look_at_tubes (const char *more, const TdSettings *settings)
{
  g_autofree char *sheet = g_strdup_printf (tubes, more);
  g_autoptr (GError) error = NULL;
  TdSite *site = td_site_parse (sheet, -1, &error);

  g_assert_no_error (error);
  return look (site, settings);
}

static void
clear (Ahead *ahead)
{
  td_plan_outlook_free (ahead->outlook);
  td_plan_unref (ahead->plan);
  td_site_unref (ahead->site);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Ahead, clear)

/* The last front closes the circuit; sums are of parts; re-used solution is never more than fresh. */
static void
test_any (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (41);

  for (guint n = 0; n < 60; n++)
    {
      BenchShape shape = bench_make_shape (rand, 16);
      g_autoptr (TdJson) sheet = bench_make_sheet (rand, &shape);
      g_auto (Ahead) ahead = look (td_site_from_json (sheet, NULL), NULL);
      double water_l = 0.0;

      for (guint i = 0; i < ahead.outlook->n_circuits; i++)
        {
          const TdOutlookCircuit *circuit = &ahead.outlook->circuits[i];

          for (guint k = 1; k < circuit->circuit->n_legs; k++)
            g_assert_cmpfloat (circuit->fronts_s[k], >, circuit->fronts_s[k - 1]);
          /* Nothing but a head loss is known of these lines. */
          g_assert_true (circuit->rinse.reckoned);
          g_assert_cmpfloat_with_epsilon (circuit->rinse.volumes, 4.0, 1e-12);
          g_assert_cmpint (ahead.outlook->time->latest_s[i], ==,
                           ahead.outlook->time->done_s[i] - ahead.outlook->time->chemical_s[i] + 900);
          water_l += circuit->rinse.water_l;
        }
      for (guint i = 0; i < ahead.outlook->n_statics; i++)
        water_l += isnan (ahead.outlook->statics[i].rinse.water_l) ? 0.0 : ahead.outlook->statics[i].rinse.water_l;
      g_assert_cmpfloat_with_epsilon (ahead.outlook->rinse_l, water_l, 1e-9);
      g_assert_cmpfloat (ahead.outlook->reused_l, <=, ahead.outlook->fresh_l + 1e-9);
      g_assert_cmpint (ahead.outlook->beer_minor, ==, -1);
    }
}

static void
test_tubes (void)
{
  g_autoptr (TdSettings) standard = td_settings_new ();
  g_autoptr (TdSettings) priced = td_settings_with (standard, TD_SETTING_BEER_PRICE, 480, NULL);
  g_auto (Ahead) ahead = look_at_tubes ("", priced);
  const TdOutlookCircuit *circuit = &ahead.outlook->circuits[0];
  /* pi/4 d2 L, and a metre of 3/8 in for each leg. */
  double expected_ml = 71.2557 * (30 + 32 + 4) + 49.0167 * 40;

  g_assert_cmpuint (ahead.outlook->n_circuits, ==, 1);
  g_assert_cmpuint (ahead.outlook->n_statics, ==, 1);
  g_assert_cmpfloat_with_epsilon (circuit->rinse.volume_ml, expected_ml, 1.0);
  g_assert_cmpfloat_with_epsilon (circuit->fronts_s[3], circuit->circuit->fill_s, 1e-6);
  g_assert_false (circuit->rinse.reckoned || circuit->rinse.laminar);
  /* One FOB of 60 mL: V ln (1 / eps) on top of theta volumes, theta a little above one. */
  g_assert_cmpfloat (circuit->rinse.volumes, >, 1.0 + 60 * log (1 / ahead.outlook->end_share) / expected_ml);
  g_assert_cmpfloat (circuit->rinse.volumes, <, 1.15 + 60 * log (1 / ahead.outlook->end_share) / expected_ml);
  /* The share that holds for 100 mg/L (core-transport.h), at pH 7.5 instead of an unknown one. */
  g_assert_cmpfloat (fabs (log (ahead.outlook->end_share / TD_RINSE_SHARE_HARD)), <, 0.3);
  g_assert_cmpint (ahead.outlook->beer_minor, ==, llround (ahead.outlook->beer_lost_ml * 0.48));
  g_assert_cmpfloat (ahead.outlook->beer_lost_ml, >, circuit->rinse.volume_ml - 4 * 71.26);
}

/* Softer water asks for more, a slow pump flows laminar and says so. */
static void
test_water (void)
{
  g_autoptr (TdSettings) standard = td_settings_new ();
  g_autoptr (TdSettings) soft = td_settings_with (standard, TD_SETTING_TAP_ALKALINITY, 20, NULL);
  g_auto (Ahead) hard_water = look_at_tubes ("", NULL);
  g_auto (Ahead) soft_water = look_at_tubes ("", soft);
  g_auto (Ahead) slow = look_at_tubes (",\"cleaning_pump\":{\"curve\":[[0,4],[1,1]]},"
                                       "\"limits\":{\"min_flow_l_min\":0.3}",
                                       NULL);

  g_assert_cmpfloat (soft_water.outlook->end_share, <, hard_water.outlook->end_share);
  g_assert_cmpfloat (soft_water.outlook->rinse_l, >, hard_water.outlook->rinse_l);
  g_assert_cmpuint (slow.outlook->n_circuits, >, 0);
  g_assert_true (slow.outlook->circuits[0].rinse.laminar);
  g_assert_cmpfloat (slow.outlook->circuits[0].rinse.volumes, >=, TD_LAMINAR_MAX_VOLUMES);
}

/* All that the chart shows stands in the JSON, too, and the text has a row for each. */
static void
test_written (void)
{
  g_auto (Ahead) ahead = look_at_tubes ("", NULL);
  g_autoptr (TdJson) json = td_plan_outlook_to_json (ahead.outlook);
  g_autofree char *text = td_plan_outlook_to_text (ahead.outlook, 100);
  const TdJson *bars = td_json_get_member (json, "bars");

  g_assert_cmpuint (td_json_get_length (bars), ==, ahead.outlook->time->n_bars);
  g_assert_cmpint (td_json_get_integer (td_json_get_member (json, "minutes")), ==, (gint64)ahead.plan->minutes);
  g_assert_nonnull (strstr (text, "\ncircuit 1     |"));
  g_assert_nonnull (strstr (text, "\nstatic L3     |"));
  g_assert_nonnull (strstr (text, "\ntechnician 1  |"));
  g_assert_nonnull (strstr (text, "min before opening"));
}

/* A sheet without a pump is planned with the documented one, and says so; with one it does not. */
static void
test_no_pump (void)
{
  g_auto (Ahead) without = look_at_tubes ("", NULL);
  g_auto (Ahead) with = look_at_tubes (",\"cleaning_pump\":{\"curve\":[[0,40],[6,30],[10,10]]}", NULL);

  g_assert_nonnull (strstr (without.plan->warnings[0], "no cleaning pump: a small circulation pump"));
  g_assert_nonnull (strstr (without.plan->warnings[0], "40 m shut off, 30 m at 6 L/min, 10 m at 10 L/min"));
  g_assert_null (strstr (with.plan->warnings[0], "no cleaning pump"));
  g_assert_cmpfloat_with_epsilon (without.plan->circuits[0].flow_l_min, with.plan->circuits[0].flow_l_min, 1e-9);
}

static void
test_ranges (void)
{
  static const guint numbers[] = { 1, 2, 3, 4, 6, 7, 9, 11, 12, 13 };
  g_autofree char *all = td_plan_write_ranges (numbers, G_N_ELEMENTS (numbers));
  g_autofree char *one = td_plan_write_ranges (numbers, 1);
  g_autofree char *none = td_plan_write_ranges (numbers, 0);

  g_assert_cmpstr (all, ==, "1\xe2\x80\x93" "4, 6, 7, 9, 11\xe2\x80\x93" "13");
  g_assert_cmpstr (one, ==, "1");
  g_assert_cmpstr (none, ==, "");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/outlook/any", test_any);
  g_test_add_func ("/outlook/tubes", test_tubes);
  g_test_add_func ("/outlook/water", test_water);
  g_test_add_func ("/outlook/written", test_written);
  g_test_add_func ("/outlook/no-pump", test_no_pump);
  g_test_add_func ("/outlook/ranges", test_ranges);
  return g_test_run ();
}
