/* The passes of a chemical through a line: clocks, ends, rinses, whatever the order of writing. */
#include <string.h>

#include "visit-bench.h"

/* After the mix of the good visit: the pump of circuit 1 is on, tap pH 7.40 by the meter at 06:28.
 */
static Bench *
make_mixed_bench (void)
{
  Bench *bench = bench_new ();

  bench_fill (bench, bench_good_visit, BENCH_UP_TO_MIX);
  return bench;
}

static void
add_script (Bench *bench, const char *script)
{
  g_auto (GStrv) lines = g_strsplit (script, "\n", -1);

  for (guint i = 0; lines[i] != NULL; i++)
    if (*lines[i] != '\0')
      bench_add (bench, lines[i]);
}

#define IN "07:00 chemical-in circuit=1 batch=K1\n"
#define SEEN(clock) clock " chemical-seen circuit=1 batch=K1\n"
#define RETURN(clock) clock " return-in-bucket circuit=1\n"
#define END(clock) clock " contact-ended circuit=1\n"
#define OFF(clock) clock " cleaning-pump-off circuit=1\n"
#define ON(clock) clock " cleaning-pump-on circuit=1\n"
#define RUN IN SEEN ("07:02") RETURN ("07:03")

/* clang-format off */
static const struct
{
  const char *what;
  const char *script;
  const char *line;
  guint passes;
  double contact_min; /* of the last pass, as of 08:00 where it runs */
  const char *start;  /* NULL: the clock never started */
} clocks[] = {
  { "the later of seen and return: return", RUN END ("07:20"), "A2", 1, 17, "07:03" },
  { "the later of seen and return: seen", IN RETURN ("07:01") SEEN ("07:04") END ("07:20"), "A2", 1, 16, "07:04" },
  { "no return", IN SEEN ("07:02") END ("07:20"), "A2", 1, 0, NULL },
  { "never seen", IN RETURN ("07:02") END ("07:20"), "A2", 1, 0, NULL },
  { "without a chemical-in", SEEN ("07:02") RETURN ("07:03") END ("07:20"), "A2", 1, 17, "07:03" },
  { "still running", RUN, "A2", 1, 57, "07:03" },
  { "to the second", "07:00 chemical-in circuit=1 batch=K1\n07:02:10 chemical-seen circuit=1 batch=K1\n"
    "07:02:40 return-in-bucket circuit=1\n07:15:10 contact-ended circuit=1", "A2", 1, 12.5, "07:02:40" },
  { "a pause", RUN OFF ("07:05") ON ("07:09") END ("07:20"), "A2", 1, 13, "07:03" },
  { "two pauses", RUN OFF ("07:05") ON ("07:06") OFF ("07:10") ON ("07:12") END ("07:20"), "A2", 1, 14, "07:03" },
  { "off twice", RUN OFF ("07:05") OFF ("07:07") ON ("07:09") END ("07:20"), "A2", 1, 13, "07:03" },
  { "off before the start", IN OFF ("07:01") SEEN ("07:02") RETURN ("07:03") ON ("07:10") END ("07:20"), "A2", 1, 10, "07:03" },
  { "off at the end", RUN OFF ("07:15") END ("07:20"), "A2", 1, 12, "07:03" },
  { "off until now", RUN OFF ("07:15"), "A2", 1, 12, "07:03" },
  { "a pause written down late", RUN END ("07:20") OFF ("07:05") ON ("07:09"), "A2", 1, 13, "07:03" },
  { "ended before it started", IN END ("07:01") SEEN ("07:02") RETURN ("07:03"), "A2", 2, 57, "07:03" },
  { "seen, written down after the end", IN RETURN ("07:03") END ("07:20") SEEN ("07:02"), "A2", 1, 17, "07:03" },
  { "all written down backwards", SEEN ("07:02") END ("07:20") RETURN ("07:03") IN, "A2", 1, 17, "07:03" },
  { "seen again: the first counts", RUN SEEN ("07:10") END ("07:20"), "A2", 1, 17, "07:03" },
  { "ended again: the first counts", RUN END ("07:20") END ("07:30"), "A2", 1, 17, "07:03" },
  { "one line ended on its own", RUN "07:12 contact-ended lines=A2\n" END ("07:20"), "A2", 1, 9, "07:03" },
  { "the other line of the circuit goes on", RUN "07:12 contact-ended lines=A2\n" END ("07:20"), "A4", 1, 17, "07:03" },
  { "rinsing ends the contact", RUN "07:19 rinse-started circuit=1", "A2", 1, 16, "07:03" },
  { "a static line", "07:00 chemical-in lines=B6 batch=K1\n07:01 chemical-seen lines=B6 batch=K1 shut=yes\n"
    "07:25 contact-ended lines=B6", "B6", 1, 24, "07:01" },
  { "a static line does not care for the pump", "07:00 chemical-in lines=B6 batch=K1\n"
    "07:01 chemical-seen lines=B6 batch=K1 shut=yes\n" OFF ("07:05") "07:25 contact-ended lines=B6", "B6", 1, 24, "07:01" },
  { "not said to be shut: it starts all the same", "07:00 chemical-in lines=B6 batch=K1\n"
    "07:01 chemical-seen lines=B6 batch=K1\n07:25 contact-ended lines=B6", "B6", 1, 24, "07:01" },
  { "a line of the circuit by its own name", "07:00 chemical-in lines=A2 batch=K1\n07:02 chemical-seen lines=A2 batch=K1\n"
    RETURN ("07:03") "07:20 contact-ended lines=A2", "A2", 1, 17, "07:03" },
  { "a line of the circuit held static", IN "07:02 chemical-seen lines=A2 batch=K1 shut=yes\n07:25 contact-ended lines=A2",
    "A2", 1, 23, "07:02" },
  { "a second pass needs its own return", RUN END ("07:20") "07:30 chemical-in circuit=1 batch=K1\n" SEEN ("07:32")
    END ("07:50"), "A2", 2, 0, NULL },
  { "a second pass with its return", RUN END ("07:20") "07:30 chemical-in circuit=1 batch=K1\n" SEEN ("07:32")
    RETURN ("07:33") END ("07:50"), "A2", 2, 17, "07:33" },
  { "a side faucet is a line of its own", "07:00 chemical-in lines=B7s batch=K1\n"
    "07:01 chemical-seen lines=B7s batch=K1 shut=yes\n07:25 contact-ended lines=B7s", "B7s", 1, 24, "07:01" },
  { "more chemical in the same pass", RUN "07:10 chemical-in circuit=1 batch=K1\n" END ("07:20"), "A2", 1, 17, "07:03" },
};
/* clang-format on */

static void
test_clocks (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (clocks); i++)
    {
      g_autoptr (Bench) bench = make_mixed_bench ();
      g_autoptr (TdVisit) visit = NULL;
      const TdPass *pass;
      gint64 contact_ms;

      add_script (bench, clocks[i].script);
      visit = bench_fold (bench);
      pass = bench_pass (visit, clocks[i].line);
      contact_ms = td_pass_get_contact_ms (visit, pass, bench_time ("08:00"));
      g_test_message ("%s: %" G_GINT64_FORMAT " ms", clocks[i].what, contact_ms);
      g_assert_cmpuint (bench_line (visit, clocks[i].line)->passes->len, ==, clocks[i].passes);
      g_assert_cmpint (contact_ms, ==, (gint64)(clocks[i].contact_min * 60000));
      g_assert_cmpint (pass->contact_ms, ==, pass->contact_end.seq != 0 ? contact_ms : 0);
      g_assert_cmpint (pass->clock_start.at_ms, ==,
                       clocks[i].start != NULL ? bench_time (clocks[i].start) : 0);
      g_assert_cmpint (pass->required_ms, ==, pass->method == TD_METHOD_STATIC ? 1200000 : 900000);
    }
}

#define DONE RUN END ("07:20")
#define PH(clock, value, more) clock " ph-read of=outlet lines=A2 ph_milli=" value " " more "\n"
#define METER "instrument=meter known=measured"
#define STRIP "instrument=strip known=measured"

/* clang-format off */
static const struct
{
  const char *what;
  const char *script;
  int rinse_ph; /* 0: none */
  int tap_ph;
  int band;
  gboolean passed;
} rinses[] = {
  { "equal to the tap", DONE PH ("07:30", "7400", METER), 7400, 7400, 300, TRUE },
  { "at the edge of the meter's band", DONE PH ("07:30", "7700", METER), 7700, 7400, 300, TRUE },
  { "beyond it", DONE PH ("07:30", "7701", METER), 7701, 7400, 300, FALSE },
  { "below it", DONE PH ("07:30", "7099", METER), 7099, 7400, 300, FALSE },
  { "one step of a strip", DONE PH ("07:30", "8400", STRIP), 8400, 7400, 1000, TRUE },
  { "more than a step", DONE PH ("07:30", "8401", STRIP), 8401, 7400, 1000, FALSE },
  { "an instrument left out has the narrow band", DONE PH ("07:30", "7701", "known=measured"), 7701, 7400, 300, FALSE },
  { "not measured opens nothing", DONE PH ("07:30", "7400", "known=estimated"), 7400, 7400, 300, FALSE },
  { "the last one counts", DONE PH ("07:30", "7400", METER) PH ("07:31", "9000", METER), 9000, 7400, 300, FALSE },
  { "by time, not by writing", DONE PH ("07:31", "7400", METER) PH ("07:30", "9000", METER), 7400, 7400, 300, TRUE },
  { "before the contact ended it says nothing", RUN PH ("07:10", "7400", METER) END ("07:20"), 0, 0, 0, FALSE },
  { "while the contact runs it says nothing", RUN PH ("07:10", "7400", METER), 0, 0, 0, FALSE },
  { "after the rinse began it does", RUN "07:19 rinse-started circuit=1\n" PH ("07:25", "7400", METER), 7400, 7400, 300, TRUE },
  { "debris keeps it shut", DONE PH ("07:30", "7400", METER) "07:30 debris-seen lines=A2 debris=some", 7400, 7400, 300, FALSE },
  { "until there is none", DONE PH ("07:30", "7400", METER) "07:30 debris-seen lines=A2 debris=some\n"
    "07:31 debris-seen lines=A2 debris=none", 7400, 7400, 300, TRUE },
  { "the tap reading nearest in time, after", DONE PH ("07:30", "8100", METER)
    "07:32 ph-read of=tap ph_milli=8000 " METER, 8100, 8000, 300, TRUE },
  { "the tap reading nearest in time, before", "07:25 ph-read of=tap ph_milli=8000 " METER "\n" DONE
    PH ("07:30", "8100", METER) "07:45 ph-read of=tap ph_milli=7400 " METER, 8100, 8000, 300, TRUE },
  { "a measured one goes before a nearer guess", DONE PH ("07:30", "7400", METER)
    "07:31 ph-read of=tap ph_milli=9000 known=estimated", 7400, 7400, 300, TRUE },
  { "of two as near the one written first", "07:25 ph-read of=tap ph_milli=8000 " METER "\n" DONE PH ("07:30", "8100", METER)
    "07:35 ph-read of=tap ph_milli=7400 " METER, 8100, 8000, 300, TRUE },
  { "a strip on the tap widens the band", DONE PH ("07:30", "8900", METER) "07:31 ph-read of=tap ph_milli=8000 " STRIP,
    8900, 8000, 1000, TRUE },
  { "of another line it says nothing", DONE "07:30 ph-read of=outlet lines=A4 ph_milli=7400 " METER, 0, 0, 0, FALSE },
  { "a second pass is to be read again", DONE PH ("07:30", "7400", METER) "07:40 chemical-in circuit=1 batch=K1\n",
    0, 0, 0, FALSE },
};
/* clang-format on */

static void
test_rinses (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (rinses); i++)
    {
      g_autoptr (Bench) bench = make_mixed_bench ();
      g_autoptr (TdVisit) visit = NULL;
      const TdPass *pass;

      add_script (bench, rinses[i].script);
      visit = bench_fold (bench);
      pass = bench_pass (visit, "A2");
      g_test_message ("%s", rinses[i].what);
      g_assert_cmpint (pass->rinse_ph.value, ==, rinses[i].rinse_ph);
      g_assert_cmpint (pass->tap_ph.value, ==, rinses[i].tap_ph);
      g_assert_cmpint (pass->rinse_band, ==, rinses[i].band);
      g_assert_cmpint (pass->rinse_passed, ==, rinses[i].passed);
      g_assert_cmpint (td_visit_line_holds_chemical (bench_line (visit, "A2")), ==,
                       !rinses[i].passed);
    }
}

static void
test_no_tap (void)
{
  g_autoptr (Bench) bench = make_mixed_bench ();
  g_autoptr (TdVisit) visit = NULL;
  const TdPass *pass;

  add_script (bench,
              DONE PH ("07:30", "7400", METER) "07:40 correction of=24 void=yes why='not read'");
  visit = bench_fold (bench);
  pass = bench_pass (visit, "A2");
  g_assert_cmpint (pass->rinse_ph.value, ==, 7400);
  g_assert_cmpuint (pass->tap_ph.stamp.seq, ==, 0);
  g_assert_false (pass->rinse_passed);
}

/* A guess at the tap only stands in until somebody measures. */
static void
test_guessed_tap (void)
{
  static const struct
  {
    const char *more;
    int tap_ph;
    gboolean passed;
  } cases[] = {
    { "07:41 note text='no other'", 7300, FALSE },
    { "07:50 ph-read of=tap ph_milli=7400 " METER, 7400, TRUE },
    { "07:50 ph-read of=tap ph_milli=7400 known=estimated", 7300, FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = make_mixed_bench ();
      g_autoptr (TdVisit) visit = NULL;

      add_script (bench, "06:40 correction of=24 void=yes why='not read'\n" DONE
                         "07:29 ph-read of=tap ph_milli=7300 known=estimated\n" PH ("07:30", "7350",
                                                                                    METER));
      bench_add (bench, cases[i].more);
      visit = bench_fold (bench);
      g_assert_cmpint (bench_pass (visit, "A2")->tap_ph.value, ==, cases[i].tap_ph);
      g_assert_cmpint (bench_pass (visit, "A2")->rinse_passed, ==, cases[i].passed);
    }
}

/* The mix that was seen at full strength is the one that the line was in contact with. */
static void
test_batch_seen (void)
{
  g_autoptr (Bench) bench = make_mixed_bench ();
  g_autoptr (TdVisit) visit = NULL;
  g_autoptr (TdVisit) voided = NULL;

  bench_add (bench, "06:50 solution-mixed batch=K2 product=lye known=measured");
  bench_add (bench, "07:00 chemical-in circuit=1 batch=K1");
  bench_add (bench, "07:02 chemical-seen circuit=1 batch=K2");
  visit = bench_fold (bench);
  g_assert_cmpuint (bench_pass (visit, "A2")->batch, ==, 1);
  bench_add (bench, "07:05 correction of=28 void=yes why='was the first mix'");
  voided = bench_fold (bench);
  g_assert_cmpuint (bench_pass (voided, "A2")->batch, ==, 0);
}

/* Rinsed before the contact ended is out of order; a second word on the end is not. */
static void
test_disorder (void)
{
  static const struct
  {
    const char *script;
    gboolean disorder;
  } cases[] = {
    { DONE "07:21 rinse-started circuit=1\n" END ("07:25"), FALSE },
    { RUN "07:21 rinse-started circuit=1\n" END ("07:25"), TRUE },
    { RUN "07:21 rinse-started circuit=1\n", FALSE },
    { SEEN ("07:02") "07:03 chemical-in circuit=1 batch=K1\n", TRUE },
    { SEEN ("07:02") "07:02 chemical-in circuit=1 batch=K1\n", FALSE },
    { IN END ("07:20") SEEN ("07:21"), TRUE },
    { DONE "07:30 chemical-seen circuit=1 batch=K1\n", FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = make_mixed_bench ();
      g_autoptr (TdVisit) visit = NULL;

      add_script (bench, cases[i].script);
      visit = bench_fold (bench);
      g_assert_cmpint (bench_pass (visit, "A2")->disorder, ==, cases[i].disorder);
    }
}

#define ACID_MIX                                                                                   \
  "07:31 solution-mixed batch=S1 product=sour lot=SO1 concentrate_ml=900 known=measured\n"

/* Caustic, then acid: two passes, each with its clean; the rinse between belongs to the first. */
static void
test_two_cleans (void)
{
  g_autoptr (Bench) bench = make_mixed_bench ();
  g_autoptr (TdVisit) visit = NULL;
  const GArray *passes;
  const TdPass *caustic;
  const TdPass *acid;

  add_script (bench, DONE PH ("07:30", "7500", METER) ACID_MIX
              "07:32 chemical-in circuit=1 batch=S1\n"
              "07:34 chemical-seen circuit=1 batch=S1\n" RETURN ("07:35") END ("07:50")
                  PH ("07:55", "7300", METER));
  visit = bench_fold (bench);
  passes = bench_line (visit, "A2")->passes;
  g_assert_cmpuint (passes->len, ==, 2);
  caustic = &g_array_index (passes, TdPass, 0);
  acid = &g_array_index (passes, TdPass, 1);
  g_assert_cmpint (caustic->clean, ==, TD_CLEAN_CAUSTIC);
  g_assert_cmpint (caustic->rinse_ph.value, ==, 7500);
  g_assert_true (caustic->rinse_passed);
  g_assert_cmpint (acid->clean, ==, TD_CLEAN_ACID);
  g_assert_cmpint (acid->contact_ms, ==, 15 * 60000);
  g_assert_cmpint (acid->rinse_ph.value, ==, 7300);
  g_assert_cmpuint (acid->batch, ==, 1);
}

/* The other clean begins a pass even where nobody ended the first; that is its end. */
static void
test_clean_without_end (void)
{
  g_autoptr (Bench) bench = make_mixed_bench ();
  g_autoptr (TdVisit) visit = NULL;
  const TdPass *caustic;

  add_script (bench, RUN ACID_MIX "07:32 chemical-in circuit=1 batch=S1\n");
  visit = bench_fold (bench);
  g_assert_cmpuint (bench_line (visit, "A2")->passes->len, ==, 2);
  caustic = &g_array_index (bench_line (visit, "A2")->passes, TdPass, 0);
  g_assert_cmpint (caustic->contact_end.at_ms, ==, bench_time ("07:32"));
  g_assert_cmpint (caustic->contact_ms, ==, 29 * 60000);
  g_assert_false (caustic->rinse_passed);
}

/* A neutral chemical counts as the clean that the line was to have. */
static void
test_neutral (void)
{
  static const struct
  {
    const char *scope;
    TdClean clean;
  } cases[] = {
    { "06:59 scope clean=acid lines=A1", TD_CLEAN_ACID },
    { "06:59 scope clean=caustic lines=A1", TD_CLEAN_CAUSTIC },
    { "06:59 note text='no scope'", TD_CLEAN_CAUSTIC },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = make_mixed_bench ();
      g_autoptr (TdVisit) visit = NULL;

      bench_add (bench, cases[i].scope);
      bench_add (bench, "07:00 solution-mixed batch=N1 product=soap known=measured");
      bench_add (bench, "07:01 chemical-in lines=A1 batch=N1");
      visit = bench_fold (bench);
      g_assert_cmpint (bench_pass (visit, "A1")->clean, ==, cases[i].clean);
    }
}

/* The direction that it ran in is the last seen before the contact ended, not that of the beer
 * after. */
static void
test_direction (void)
{
  static const struct
  {
    const char *script;
    TdDirection direction;
  } cases[] = {
    { DONE, TD_DIRECTION_IN }, /* as planned */
    { RUN "07:05 flow-seen lines=A4 direction=out\n" END ("07:20"), TD_DIRECTION_OUT },
    { RUN "07:05 flow-seen lines=A4 direction=in\n" END (
          "07:20") "07:40 flow-seen lines=A4 direction=out\n",
      TD_DIRECTION_IN },
    { DONE "07:40 flow-seen lines=A4 direction=out\n", TD_DIRECTION_IN },
    { "06:40 flow-seen lines=A4 direction=out\n" RUN "07:05 flow-seen lines=A4 direction=in\n",
      TD_DIRECTION_IN },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = make_mixed_bench ();
      g_autoptr (TdVisit) visit = NULL;

      add_script (bench, cases[i].script);
      visit = bench_fold (bench);
      g_assert_cmpint (td_visit_line_get_direction (bench_line (visit, "A4")), ==,
                       cases[i].direction);
    }
}

static void
test_holds_chemical (void)
{
  static const struct
  {
    const char *script;
    gboolean holds;
  } cases[] = {
    { "", FALSE },
    { IN, TRUE },
    { "07:01 chemical-seen circuit=1 batch=K1", TRUE },
    { DONE, TRUE },
    { DONE PH ("07:30", "7400", METER), FALSE },
    { IN "07:30 out-of-service lines=A2 condition=holding reason=r handed_to=x", TRUE },
    { IN "07:30 out-of-service lines=A2 condition=rinsed reason=r handed_to=x", TRUE },
    { IN "07:30 out-of-service lines=A2 condition=drained reason=r handed_to=x", FALSE },
    { "06:40 out-of-service lines=A2 condition=drained reason=r handed_to=x\n" IN, TRUE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = make_mixed_bench ();
      g_autoptr (TdVisit) visit = NULL;

      add_script (bench, cases[i].script);
      visit = bench_fold (bench);
      g_assert_cmpint (td_visit_line_holds_chemical (bench_line (visit, "A2")), ==, cases[i].holds);
    }
}

/* Where nobody spoke of the pump, the return into the bucket says that it ran; where it was first
 * said to be switched off, it had run; where first on, it had not. */
static void
test_unspoken_pump (void)
{
  static const struct
  {
    const char *script;
    int minutes;
  } cases[] = {
    { DONE, 17 },
    { RUN OFF ("07:13") END ("07:20"), 10 },
    { RUN ON ("07:13") END ("07:20"), 7 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_autoptr (TdVisit) visit = NULL;

      for (guint k = 0; k < BENCH_UP_TO_MIX; k++)
        if (strstr (bench_good_visit[k], "cleaning-pump-on") == NULL)
          bench_add (bench, bench_good_visit[k]);
      add_script (bench, cases[i].script);
      visit = bench_fold (bench);
      g_assert_cmpint (bench_pass (visit, "A2")->contact_ms, ==, cases[i].minutes * 60000);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fold-pass/clocks", test_clocks);
  g_test_add_func ("/fold-pass/rinses", test_rinses);
  g_test_add_func ("/fold-pass/no-tap", test_no_tap);
  g_test_add_func ("/fold-pass/guessed-tap", test_guessed_tap);
  g_test_add_func ("/fold-pass/batch-seen", test_batch_seen);
  g_test_add_func ("/fold-pass/disorder", test_disorder);
  g_test_add_func ("/fold-pass/two-cleans", test_two_cleans);
  g_test_add_func ("/fold-pass/clean-without-end", test_clean_without_end);
  g_test_add_func ("/fold-pass/neutral", test_neutral);
  g_test_add_func ("/fold-pass/direction", test_direction);
  g_test_add_func ("/fold-pass/holds-chemical", test_holds_chemical);
  g_test_add_func ("/fold-pass/unspoken-pump", test_unspoken_pump);
  return g_test_run ();
}
