/* Run sheets: what a visit and a plan put into the picture, and how far a line is said to have
 * come. */
#include "draw-run-sheet.h"

#include <string.h>

#define SITE                                                                                                       \
  "{\"format\":\"tundish-site/1\",\"site\":{\"name\":\"x\"},\"coolers\":[{\"id\":\"C1\"}],"                        \
  "\"towers\":[{\"id\":\"T1\"},{\"id\":\"T2\"}],\"lines\":["                                                       \
  "{\"id\":\"a\",\"number\":1,\"tower\":\"T1\",\"cooler\":\"C1\",\"beer_pump\":\"none\",\"head_loss_m\":1},"       \
  "{\"id\":\"b\",\"number\":2,\"tower\":\"T1\",\"cooler\":\"C1\",\"beer_pump\":\"reversible\",\"head_loss_m\":1}," \
  "{\"id\":\"c\",\"number\":3,\"tower\":\"T2\",\"cooler\":\"C1\",\"beer_pump\":\"none\",\"head_loss_m\":1},"       \
  "{\"id\":\"d\",\"number\":4,\"tower\":\"T2\",\"cooler\":\"C1\",\"beer_pump\":\"none\",\"head_loss_m\":1}]}"

static TdSite *
make_site (void)
{
  g_autoptr (GError) error = NULL;
  TdSite *site = td_site_parse (SITE, -1, &error);

  g_assert_no_error (error);
  return site;
}

/* Times in ms of the stamps of one line; 0: it never happened. */
typedef struct
{
  const char *stage;
  gboolean in_scope, passed;
  gint64 in, clock, contact_end, rinse, reading, beer, left_out, out_of_service;
} StageCase;

static const StageCase stage_cases[] = {
  { "not-due" },
  { "waiting", .in_scope = TRUE },
  { "filling", .in_scope = TRUE, .in = 1 },
  { "contact", .in_scope = TRUE, .in = 1, .clock = 2 },
  { "rinsing", .in_scope = TRUE, .in = 1, .clock = 2, .contact_end = 3 },
  { "rinsing", .in_scope = TRUE, .in = 1, .clock = 2, .rinse = 3 },
  { "rinsing", .in_scope = TRUE, .in = 1, .clock = 2, .rinse = 3, .reading = 4 },
  { "rinsed", .in_scope = TRUE, .in = 1, .clock = 2, .rinse = 3, .reading = 4, .passed = TRUE },
  /* Beer that ran clear before the rinse says nothing. */
  { "rinsed", .in_scope = TRUE, .in = 1, .clock = 2, .rinse = 3, .reading = 4, .passed = TRUE,
    .beer = 2 },
  { "pours", .in_scope = TRUE, .in = 1, .clock = 2, .rinse = 3, .reading = 4, .passed = TRUE,
    .beer = 5 },
  { "left-out", .in_scope = TRUE, .left_out = 1 },
  { "out-of-service", .in_scope = TRUE, .in = 1, .clock = 2, .out_of_service = 3 },
  { "out-of-service", .in_scope = TRUE, .left_out = 1, .out_of_service = 2 },
};

static TdStamp
stamp (gint64 at_ms)
{
  return (TdStamp){ at_ms, at_ms > 0 ? (guint)at_ms : 0 };
}

static void
test_stages (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (stage_cases); i++)
    {
      const StageCase *one = &stage_cases[i];
      TdVisitLine line = { .passes = g_array_new (FALSE, TRUE, sizeof (TdPass)) };
      TdPass pass = { .chemical_in = stamp (one->in),
                      .clock_start = stamp (one->clock),
                      .contact_end = stamp (one->contact_end),
                      .rinse_start = stamp (one->rinse),
                      .rinse_ph.stamp = stamp (one->reading),
                      .rinse_passed = one->passed };

      line.in_scope[TD_CLEAN_CAUSTIC] = one->in_scope;
      line.beer_clear_last = stamp (one->beer);
      line.left_out = stamp (one->left_out);
      line.out_of_service = stamp (one->out_of_service);
      if (one->in > 0)
        g_array_append_val (line.passes, pass);
      g_assert_cmpstr (td_stage_to_text (td_stage_of_line (&line)), ==, one->stage);
      g_array_unref (line.passes);
    }
}

/* Every stage has its own word for people; what nobody said has none. */
static void
test_stage_words (void)
{
  g_assert_cmpstr (td_stage_get_word (TD_STAGE_UNSAID), ==, "");
  for (int a = TD_STAGE_NOT_DUE; a < TD_N_STAGES; a++)
    {
      g_assert_cmpuint (strlen (td_stage_get_word ((TdStage)a)), >, 0);
      /* Short enough to stand upright beside a line. */
      g_assert_cmpuint (strlen (td_stage_get_word ((TdStage)a)), <=, 10);
      for (int b = a + 1; b < TD_N_STAGES; b++)
        g_assert_cmpstr (td_stage_get_word ((TdStage)a), !=, td_stage_get_word ((TdStage)b));
    }
}

static TdPlan *
make_plan (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (
      "{\"format\":\"tundish-plan/1\",\"circuits\":[{\"number\":1,\"station\":\"T1\",\"legs\":["
      "{\"line\":\"b\",\"direction\":\"in\",\"reversal\":true},"
      "{\"line\":\"a\",\"direction\":\"out\",\"reversal\":false}]}],"
      "\"static\":[{\"line\":\"c\",\"cooler\":\"C1\",\"fed_by\":1}],\"left_out\":[\"d\"]}",
      -1, &error);
  TdPlan *plan;

  g_assert_no_error (error);
  plan = td_plan_from_json (json, &error);
  g_assert_no_error (error);
  return plan;
}

static void
test_plan (void)
{
  g_autoptr (TdSite) site = make_site ();
  g_autoptr (TdPlan) plan = make_plan ();
  g_autoptr (TdRunSheet) sheet = td_run_sheet_new_plan (site, plan);

  g_assert_cmpuint (sheet->n_circuits, ==, 1);
  g_assert_cmpint (sheet->circuits[0].tower, ==, 0);
  g_assert_cmpint (sheet->circuits[0].cooler, ==, -1);
  g_assert_cmpuint (sheet->circuits[0].n_legs, ==, 2);
  g_assert_cmpuint (sheet->circuits[0].legs[0].outlet, ==, 1);
  g_assert_cmpint (sheet->outlets[0].way, ==, TD_RUN_OUT);
  g_assert_cmpint (sheet->outlets[1].way, ==, TD_RUN_IN);
  g_assert_true (sheet->outlets[1].reversal);
  g_assert_false (sheet->outlets[0].reversal);
  g_assert_cmpint (sheet->outlets[2].way, ==, TD_RUN_STATIC);
  g_assert_cmpint (sheet->statics[0].fed_by, ==, 1);
  g_assert_cmpint (sheet->outlets[3].stage, ==, TD_STAGE_LEFT_OUT);
  g_assert_cmpint (sheet->outlets[3].way, ==, TD_RUN_IDLE);
}

/* A plan of another site draws what fits and leaves the rest out. */
static void
test_foreign_plan (void)
{
  g_autoptr (GError) error G_GNUC_UNUSED = NULL;
  g_autoptr (TdSite) site = make_site ();
  g_autoptr (TdPlan) plan = make_plan ();
  g_autoptr (TdRunSheet) sheet = NULL;

  g_free (plan->circuits[0].legs[0].line);
  plan->circuits[0].legs[0].line = g_strdup ("elsewhere");
  g_free (plan->statics[0].line);
  plan->statics[0].line = g_strdup ("elsewhere too");
  sheet = td_run_sheet_new_plan (site, plan);
  g_assert_cmpuint (sheet->circuits[0].n_legs, ==, 1);
  g_assert_cmpuint (sheet->n_statics, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/run-sheet/stages", test_stages);
  g_test_add_func ("/run-sheet/stage-words", test_stage_words);
  g_test_add_func ("/run-sheet/plan", test_plan);
  g_test_add_func ("/run-sheet/foreign-plan", test_foreign_plan);
  return g_test_run ();
}
