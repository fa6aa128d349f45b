/* The state of a visit as folded, and what cannot have happened. */
#include <string.h>

#include "core-error.h"
#include "visit-bench.h"

static TdVisit *
fold_good_visit (void)
{
  g_autoptr (Bench) bench = bench_new ();

  bench_add_lines (bench, bench_good_visit);
  return bench_fold (bench);
}

static void
test_good_visit (void)
{
  g_autoptr (TdVisit) visit = fold_good_visit ();
  const TdVisitCircuit *circuit;
  const TdTag *tag;
  const TdBatch *batch;

  g_assert_cmpstr (visit->site_id, ==, "two-lanterns-bar");
  g_assert_cmpstr (visit->work, ==, "routine");
  g_assert_cmpint (visit->arrived.utc_ms, ==, bench_time ("06:00"));
  g_assert_cmpuint (visit->last_seq, ==, visit->entries->len);
  g_assert_cmpuint (visit->kept_out->len, ==, 0);
  g_assert_cmpuint (visit->persons->len, ==, 1);
  g_assert_cmpstr (td_visit_get_person_name (visit, "ida"), ==, "Ida Brook");
  g_assert_cmpstr (td_visit_get_person_name (visit, "someone"), ==, "someone");
  g_assert_false (visit->closed);

  circuit = td_visit_find_circuit (visit, 1);
  g_assert_nonnull (circuit);
  g_assert_null (td_visit_find_circuit (visit, 2));
  g_assert_cmpuint (circuit->legs->len, ==, 2);
  g_assert_cmpint (circuit->flow.value, ==, 4200);
  g_assert_cmpuint (visit->statics->len, ==, 1);
  g_assert_cmpint (g_array_index (visit->statics, TdVisitStatic, 0).fed_by, ==, 1);

  g_assert_cmpuint (visit->tags->len, ==, 1);
  tag = &g_array_index (visit->tags, TdTag, 0);
  g_assert_cmpuint (tag->lifts->len, ==, 2);
  g_assert_cmpuint (g_array_index (tag->lifts, TdTagLift, 0).again.seq, !=, 0);
  g_assert_cmpuint (g_array_index (tag->lifts, TdTagLift, 1).again.seq, ==, 0);
  g_assert_cmpint (tag->removed.at_ms, ==, bench_time ("07:18"));
  g_assert_cmpstr (tag->owner, ==, "ida");

  batch = &g_array_index (visit->batches, TdBatch, 0);
  g_assert_cmpstr (batch->product->name, ==, "Line lye 30");
  g_assert_cmpstr (batch->lot->code, ==, "771");
  g_assert_cmpint (batch->concentrate_ml, ==, 1030);
  g_assert_cmpint (batch->strength.value, ==, 2050);
  g_assert_cmpint (batch->temperature.value, ==, 40000);
  g_assert_cmpint (batch->disposed_ml, ==, 18000);
  g_assert_cmpint (visit->beer_lost_ml, ==, 2200);
  g_assert_cmpint (visit->rinse_water_ml, ==, 30000);
  g_assert_cmpstr (visit->countersignature.meaning, ==, "informed");
  g_assert_cmpstr (visit->signature.name, ==, "Ida Brook");
}

static void
test_good_lines (void)
{
  g_autoptr (TdVisit) visit = fold_good_visit ();
  const TdVisitLine *line;
  const TdPass *pass;

  line = bench_line (visit, "A4");
  g_assert_cmpint (line->method, ==, TD_METHOD_CIRCULATING);
  g_assert_cmpint (line->direction, ==, TD_DIRECTION_IN);
  g_assert_true (line->reversal);
  g_assert_cmpint (td_visit_line_get_direction (line), ==, TD_DIRECTION_IN);
  g_assert_cmpint (line->lever_set.at_ms, ==, bench_time ("06:22"));
  g_assert_cmpint (line->lever_back.at_ms, ==, bench_time ("07:07"));
  g_assert_cmpint (line->found_pressure.value, ==, 100000);
  g_assert_cmpstr (line->found_lever, ==, "out");
  g_assert_cmpuint (line->beer_clear_count, ==, 2);
  g_assert_cmpuint (line->gas[0]->len, ==, 2);
  g_assert_false (line->gas_off_now[0] || line->gas_off_now[1]);
  g_assert_true (line->in_scope[TD_CLEAN_CAUSTIC]);
  g_assert_false (line->in_scope[TD_CLEAN_ACID]);

  pass = bench_pass (visit, "A4");
  g_assert_cmpuint (line->passes->len, ==, 1);
  g_assert_cmpint (pass->clean, ==, TD_CLEAN_CAUSTIC);
  g_assert_cmpint (pass->circuit, ==, 1);
  /* Seen at 06:33, return in the bucket at 06:34: the later of the two. */
  g_assert_cmpint (pass->clock_start.at_ms, ==, bench_time ("06:34"));
  g_assert_cmpint (pass->contact_ms, ==, 17 * 60000);
  g_assert_cmpint (pass->required_ms, ==, 15 * 60000);
  g_assert_cmpint (pass->rinse_ph.value, ==, 7520);
  g_assert_cmpint (pass->tap_ph.value, ==, 7400);
  g_assert_cmpint (pass->rinse_band, ==, 300);
  g_assert_true (pass->rinse_passed);
  g_assert_cmpstr (pass->debris, ==, "none");
  g_assert_false (td_visit_line_holds_chemical (line));

  pass = bench_pass (visit, "B6");
  g_assert_cmpint (pass->method, ==, TD_METHOD_STATIC);
  g_assert_cmpint (pass->contact_ms, ==, 21 * 60000);
  g_assert_cmpint (pass->required_ms, ==, 20 * 60000);
  g_assert_true (pass->shut);
}

/* Acts that cannot have happened, after so many lines of the good visit and, where given, some
 * more. */
#define ALL 1000
/* clang-format off */
static const struct
{
  guint lines;
  const char *before;
  const char *line;
  int code;
  const char *says;
} refused[] = {
  { 0, NULL, "06:00 staff-told tower=TA name=x", TD_ERROR_IMPOSSIBLE, "begins with its arrival" },
  { 1, NULL, "06:01 arrival site=x work=routine", TD_ERROR_IMPOSSIBLE, "has its arrival already" },
  { 1, NULL, "06:01 staff-told tower=TX name=x", TD_ERROR_REFERENCE, "no tower" },
  { 1, NULL, "06:01 cold-room-checked cooler=TA co2=normal access=clear", TD_ERROR_REFERENCE, "no cooler" },
  { 1, NULL, "06:01 scope clean=caustic lines=A1,Z9", TD_ERROR_REFERENCE, "Z9" },
  { 1, NULL, "06:01 as-found lines=A4,A2 lever=in", TD_ERROR_IMPOSSIBLE, "Front bar 2 has no reversible" },
  { 9, NULL, "06:20 lever-set lines=A2", TD_ERROR_IMPOSSIBLE, "no reversible beer pump" },
  { 9, NULL, "06:20 lever-set lines=A3", TD_ERROR_IMPOSSIBLE, "no reversible beer pump" },
  { 9, NULL, "06:20 lever-set-back lines=A3", TD_ERROR_IMPOSSIBLE, "no reversible beer pump" },
  { 9, NULL, "06:20 fob-flooded lines=A2", TD_ERROR_IMPOSSIBLE, "no FOB" },
  { 9, NULL, "06:20 fob-opened lines=A2", TD_ERROR_IMPOSSIBLE, "no FOB" },
  { 9, NULL, "06:20 fob-vented lines=A9", TD_ERROR_IMPOSSIBLE, "no FOB" },
  { 9, NULL, "06:20 keg-uncoupled lines=B7s", TD_ERROR_IMPOSSIBLE, "side faucet" },
  { 9, NULL, "06:20 keg-coupled lines=B7s", TD_ERROR_IMPOSSIBLE, "side faucet" },
  { 9, NULL, "06:20 check-ball-out lines=B7s", TD_ERROR_IMPOSSIBLE, "side faucet" },
  { 9, NULL, "06:20 coupler-brushed lines=B7s", TD_ERROR_IMPOSSIBLE, "side faucet" },
  { 9, NULL, "06:20 ends-joined ends=keg by=manifold lines=B7s", TD_ERROR_IMPOSSIBLE, "side faucet" },
  { 9, NULL, "06:20 gas-off gas=keg lines=B7s", TD_ERROR_IMPOSSIBLE, "side faucet" },
  { 9, NULL, "06:20 gas-off gas=beer-pump lines=A2", TD_ERROR_IMPOSSIBLE, "no beer pump" },
  { 9, NULL, "06:20 pressure-read lines=A2 gas=beer-pump pressure_pa=1 known=measured", TD_ERROR_IMPOSSIBLE,
    "no beer pump" },
  { 9, NULL, "06:20 cooling-off place=A2", TD_ERROR_REFERENCE, "no cooler or tower" },
  { 9, NULL, "06:20 flow-seen lines=A3 direction=in", TD_ERROR_IMPOSSIBLE, "one-way part" },
  { 9, NULL, "06:20 tag-lifted tag=T1", TD_ERROR_IMPOSSIBLE, "never hung" },
  { 9, NULL, "06:20 tag-removed tag=T1", TD_ERROR_IMPOSSIBLE, "never hung" },
  { 9, NULL, "06:20 hand-over to=olav tags=T1", TD_ERROR_IMPOSSIBLE, "never hung" },
  { 9, NULL, "06:20 out-of-service lines=A2 condition=holding reason=r handed_to=x tag=T9", TD_ERROR_IMPOSSIBLE,
    "never hung" },
  { 9, NULL, "06:20 tag-hung tag=T1 tag_kind=tag at=outlet line=Z9", TD_ERROR_REFERENCE, "Z9" },
  { 10, NULL, "06:20 tag-hung tag=T1 tag_kind=tag at=outlet line=A2", TD_ERROR_IMPOSSIBLE, "hangs already" },
  { 10, NULL, "06:20 tag-hung-again tag=T1", TD_ERROR_IMPOSSIBLE, "was not lifted" },
  { 10, "06:20 tag-lifted tag=T1", "06:21 tag-lifted tag=T1", TD_ERROR_IMPOSSIBLE, "is lifted since" },
  { 10, "06:20 tag-removed tag=T1", "06:21 tag-removed tag=T1", TD_ERROR_IMPOSSIBLE, "was removed" },
  { 10, "06:20 tag-removed tag=T1", "06:21 tag-lifted tag=T1", TD_ERROR_IMPOSSIBLE, "was removed" },
  { 10, "06:20 tag-removed tag=T1", "06:21 hand-over to=olav tags=T1", TD_ERROR_IMPOSSIBLE, "was removed" },
  { 10, NULL, "06:21 hand-over to=pia tags=T1 @olav", TD_ERROR_IMPOSSIBLE, "Ida Brook's, not Olav Reed's" },
  { 9, NULL, "06:20 solution-mixed batch=K1 product=mystery known=measured", TD_ERROR_REFERENCE, "no product" },
  { 9, NULL, "06:20 solution-mixed batch=K1 product=lye lot=NO known=measured", TD_ERROR_REFERENCE, "no lot" },
  { 9, NULL, "06:20 solution-mixed batch=K1 product=lye lot=SO1 known=measured", TD_ERROR_REFERENCE,
    "is of product" },
  { 9, NULL, "06:20 solution-mixed batch=K1 product=lye instrument=no known=measured", TD_ERROR_REFERENCE,
    "no instrument" },
  { 27, NULL, "06:30 solution-mixed batch=K1 product=lye known=measured", TD_ERROR_IMPOSSIBLE, "was mixed by" },
  { 9, NULL, "06:20 chemical-in circuit=1 batch=K1", TD_ERROR_REFERENCE, "no batch" },
  { 9, NULL, "06:20 strength-measured batch=K1 percent_milli=1 basis=w/w method=drops known=measured",
    TD_ERROR_REFERENCE, "no batch" },
  { 9, NULL, "06:20 solution-disposed batch=K1 volume_ml=1 drain=sewer known=measured", TD_ERROR_REFERENCE,
    "no batch" },
  { 27, NULL, "06:30 chemical-in circuit=2 batch=K1", TD_ERROR_REFERENCE, "no circuit 2" },
  { 27, NULL, "06:30 cleaning-pump-on circuit=3", TD_ERROR_REFERENCE, "no circuit 3" },
  { 27, NULL, "06:30 return-in-bucket circuit=3", TD_ERROR_REFERENCE, "no circuit 3" },
  { 27, NULL, "06:30 contact-ended circuit=1", TD_ERROR_IMPOSSIBLE, "no chemical was in circuit 1" },
  { 27, NULL, "06:30 contact-ended lines=B6", TD_ERROR_IMPOSSIBLE, "no chemical was in Terrace 6" },
  { 27, "06:31 chemical-in lines=B6 batch=K1", "06:30 contact-ended lines=B6", TD_ERROR_IMPOSSIBLE,
    "no chemical was in Terrace 6 by then" },
  { 27, NULL, "06:30 ph-read of=tap ph_milli=7000 instrument=no known=measured", TD_ERROR_REFERENCE,
    "no instrument" },
  { 9, NULL, "06:30 temperature-read of=cold-room cooler=C9 temperature_c_milli=1 known=measured",
    TD_ERROR_REFERENCE, "no cooler" },
  { 9, NULL, "06:30 fault line=Z9 symptom=leak extent=one-line cause=equipment severity=quality text=t",
    TD_ERROR_REFERENCE, "Z9" },
  { 9, NULL, "06:30 part-fitted line=Z9 part=washer quantity=1", TD_ERROR_REFERENCE, "Z9" },
  { 9, NULL, "06:30 note line=Z9 text=t", TD_ERROR_REFERENCE, "Z9" },
  { 9, NULL, "06:30 finding-reason code=no-such-rule reason=r", TD_ERROR_REFERENCE, "no rule" },
  { 9, NULL, "06:30 finding-reason code=contact-short line=Z9 reason=r", TD_ERROR_REFERENCE, "Z9" },
  { ALL, "07:30 closing", "07:31 note text=late", TD_ERROR_IMPOSSIBLE, "is closed" },
  { ALL, "07:30 closing", "07:31 closing", TD_ERROR_IMPOSSIBLE, "is closed" },
  { ALL, "07:30 closing", "07:31 correction of=3 void=yes why=w", TD_ERROR_IMPOSSIBLE, "is closed" },
};
/* clang-format on */

static void
test_refused (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (refused); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_autoptr (GError) error = NULL;
      guint len;

      bench_fill (bench, bench_good_visit, refused[i].lines);
      if (refused[i].before != NULL)
        bench_add (bench, refused[i].before);
      len = bench->entries->len;
      if (bench_try (bench, refused[i].line, &error))
        g_error ("taken, though impossible: %s", refused[i].line);
      if (!g_error_matches (error, TD_ERROR, refused[i].code)
          || strstr (error->message, refused[i].says) == NULL)
        g_error ("%s: refused with %d: %s", refused[i].line, error->code, error->message);
      g_assert_cmpuint (bench->entries->len, ==, len);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fold/good-visit", test_good_visit);
  g_test_add_func ("/fold/good-lines", test_good_lines);
  g_test_add_func ("/fold/refused", test_refused);
  return g_test_run ();
}
