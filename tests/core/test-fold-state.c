/* What the fold makes of single acts: the last word of the day, tags that change hands, remarks,
 * the ends. */
#include <string.h>

#include "core-error.h"
#include "visit-bench.h"

static TdVisit *
fold_script (const char *script)
{
  g_autoptr (Bench) bench = bench_new ();
  g_auto (GStrv) lines = g_strsplit (script, "\n", -1);

  bench_fill (bench, bench_good_visit, BENCH_UP_TO_MIX);
  for (guint i = 0; lines[i] != NULL; i++)
    if (*lines[i] != '\0')
      bench_add (bench, lines[i]);
  return bench_fold (bench);
}

/* Of the same act the last time counts, not the last that was written down. */
static void
test_latest (void)
{
  g_autoptr (TdVisit) visit = fold_script (
      "07:00 faucet-stripped lines=A2\n"
      "06:50 faucet-stripped lines=A2\n"
      "07:00 temperature-read of=beer lines=A2 temperature_c_milli=4000 known=measured\n"
      "06:50 temperature-read of=beer lines=A2 temperature_c_milli=9000 known=measured\n"
      "07:10 strength-measured batch=K1 percent_milli=2500 basis=w/v method=drops known=measured\n"
      "07:05 strength-measured batch=K1 percent_milli=2100 basis=w/w method=strip known=measured\n"
      "07:10 leak-checked lines=A2 result=tight\n"
      "07:05 leak-checked lines=A2 result=leak\n"
      "07:10 gas-on gas=keg lines=A2\n"
      "07:05 gas-off gas=keg lines=A2\n"
      "07:20 beer-clear lines=A2\n"
      "07:15 beer-clear lines=A2\n"
      "07:18 beer-clear lines=A2\n");
  const TdVisitLine *line = bench_line (visit, "A2");
  const TdBatch *batch = &g_array_index (visit->batches, TdBatch, 0);

  g_assert_cmpint (line->faucet_stripped.at_ms, ==, bench_time ("07:00"));
  g_assert_cmpint (line->beer_temperature.value, ==, 4000);
  g_assert_cmpint (batch->strength.value, ==, 2500);
  g_assert_cmpint (batch->strength_basis, ==, TD_BASIS_W_V);
  g_assert_cmpstr (batch->strength_method, ==, "drops");
  g_assert_false (line->leaking);
  g_assert_false (line->gas_off_now[1]);
  g_assert_cmpuint (line->gas[1]->len, ==, 3);
  g_assert_cmpint (line->beer_clear_first.at_ms, ==, bench_time ("07:15"));
  g_assert_cmpint (line->beer_clear_last.at_ms, ==, bench_time ("07:20"));
  g_assert_cmpuint (line->beer_clear_count, ==, 3);
  /* Of acts before the mix, the scope and the kegs: as they were. */
  g_assert_cmpint (line->keg_uncoupled.at_ms, ==, bench_time ("06:18"));
}

/* A line is proved once and for all. */
static void
test_proved_first (void)
{
  g_autoptr (TdVisit) visit = fold_script ("07:00 line-proved lines=A2\n");

  g_assert_cmpint (bench_line (visit, "A2")->proved.at_ms, ==, bench_time ("06:12"));
}

static const TdTag *
get_tag (const TdVisit *visit, guint index)
{
  g_assert_cmpuint (index, <, visit->tags->len);
  return &g_array_index (visit->tags, TdTag, index);
}

static void
test_hand_over (void)
{
  g_autoptr (TdVisit) visit
      = fold_script ("06:40 tag-hung tag=T2 tag_kind=lock at=outlet line=A1\n"
                     "06:41 tag-hung tag=T3 tag_kind=tag at=outlet line=A3 @olav\n"
                     "06:42 tag-hung tag=T4 tag_kind=tag at=power place='cooler switch'\n"
                     "06:43 tag-lifted tag=T1\n"
                     "06:44 tag-hung-again tag=T1\n"
                     "06:45 tag-removed tag=T4\n"
                     "06:50 hand-over to=pia\n"
                     "06:51 tag-lifted tag=T1 @pia\n"
                     "06:55 hand-over to=rut tags=T2 @pia\n");
  const TdTagLift *lifts = (const TdTagLift *)(gpointer)get_tag (visit, 0)->lifts->data;

  g_assert_cmpstr (get_tag (visit, 0)->owner, ==, "pia");
  g_assert_cmpstr (get_tag (visit, 0)->hung_by, ==, "ida");
  g_assert_cmpstr (get_tag (visit, 1)->owner, ==, "rut");
  /* Another's tag, and one that does not hang any more, are not hers to hand over. */
  g_assert_cmpstr (get_tag (visit, 2)->owner, ==, "olav");
  g_assert_cmpstr (get_tag (visit, 3)->owner, ==, "ida");
  g_assert_cmpint (get_tag (visit, 3)->outlet, ==, -1);
  g_assert_cmpstr (get_tag (visit, 3)->place, ==, "cooler switch");
  /* Each lift knows whose tag it was then. */
  g_assert_cmpstr (lifts[0].owner, ==, "ida");
  g_assert_cmpstr (lifts[1].owner, ==, "pia");
  g_assert_cmpstr (lifts[1].lifted_by, ==, "pia");
}

/* A tag that was removed may hang elsewhere: another life, the first stays on record. */
static void
test_tag_again (void)
{
  g_autoptr (TdVisit) visit = fold_script ("06:40 tag-removed tag=T1\n"
                                           "06:41 tag-hung tag=T1 tag_kind=tag at=outlet line=A1\n"
                                           "06:42 tag-lifted tag=T1\n");

  g_assert_cmpuint (visit->tags->len, ==, 2);
  g_assert_cmpuint (get_tag (visit, 0)->lifts->len, ==, 0);
  g_assert_cmpint (get_tag (visit, 0)->removed.at_ms, ==, bench_time ("06:40"));
  g_assert_cmpuint (get_tag (visit, 1)->lifts->len, ==, 1);
  g_assert_cmpuint (get_tag (visit, 1)->removed.seq, ==, 0);
}

static void
test_employer_procedure (void)
{
  g_autoptr (TdVisit) two
      = fold_script ("07:00 tag-removed tag=T1 absent_verified=yes contact_tried=yes @pia\n");
  g_autoptr (TdVisit) three = fold_script (
      "07:00 tag-removed tag=T1 absent_verified=yes contact_tried=yes told_before_return=yes @pia\n");

  g_assert_false (get_tag (two, 0)->employer_procedure);
  g_assert_true (get_tag (three, 0)->employer_procedure);
  g_assert_cmpstr (get_tag (three, 0)->removed_by, ==, "pia");
}

/* A strength is in the product's basis where nobody says another. */
static void
test_basis (void)
{
  g_autoptr (TdVisit) visit
      = fold_script ("07:00 solution-mixed batch=N1 product=soap known=measured\n"
                     "07:00 solution-mixed batch=N2 product=soap basis=w/v known=accepted\n");
  const TdBatch *one = &g_array_index (visit->batches, TdBatch, 1);
  const TdBatch *two = &g_array_index (visit->batches, TdBatch, 2);

  g_assert_cmpint (one->basis, ==, TD_BASIS_V_V);
  g_assert_cmpint (two->basis, ==, TD_BASIS_W_V);
  g_assert_cmpint (one->concentrate_ml, ==, -1);
  g_assert_cmpint (one->percent_milli, ==, -1);
  g_assert_null (one->lot);
  g_assert_cmpint (two->known, ==, TD_KNOWN_ACCEPTED);
}

static void
test_remarks (void)
{
  g_autoptr (TdVisit) visit = fold_script (
      "07:00 fault tower=TA cooler=C1 symptom=warm extent=all-lines cause=balance-temperature "
      "severity=quality text='too warm' action='told the bar' quote_wanted=yes follow_up=no\n"
      "07:01 part-fitted line=A1 part='faucet washer' quantity=2\n"
      "07:02 incident what=spill text='a litre on the floor' action='mopped up'\n"
      "07:03 note text='first line' line=A2\n"
      "07:04 photo sha256=00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff media=image/jpeg\n"
      "07:05 line-left-out lines=A1 reason='keg empty'\n"
      "07:06 out-of-service lines=B6 condition=holding reason='broken' handed_to='Bar manager' tag=T1\n"
      "07:07 keg-coupled lines=A2 product='Beer 2'\n"
      "07:08 keg-coupled lines=A4 product='Stout'\n"
      "07:09 product-now lines=B6 product='Cider'\n"
      "07:10 left-tidy\n");
  const TdFault *fault = &g_array_index (visit->faults, TdFault, 0);
  const TdPart *part = &g_array_index (visit->parts, TdPart, 0);

  g_assert_cmpint (fault->outlet, ==, -1);
  g_assert_cmpint (fault->tower, ==, 0);
  g_assert_cmpint (fault->cooler, ==, 0);
  g_assert_true (fault->quote_wanted);
  g_assert_false (fault->follow_up);
  g_assert_cmpstr (fault->action, ==, "told the bar");
  g_assert_cmpint (part->outlet, ==, 0);
  g_assert_cmpint (part->quantity, ==, 2);
  g_assert_cmpstr (g_array_index (visit->incidents, TdRemark, 0).what, ==, "spill");
  g_assert_cmpint (g_array_index (visit->notes, TdRemark, 0).outlet, ==, 1);
  g_assert_cmpstr (g_array_index (visit->photos, TdRemark, 0).media, ==, "image/jpeg");
  g_assert_cmpstr (bench_line (visit, "A1")->left_out_reason, ==, "keg empty");
  g_assert_cmpstr (bench_line (visit, "B6")->service_tag, ==, "T1");
  g_assert_true (td_visit_is_out_of_service (visit, bench_line (visit, "B6")->outlet));
  g_assert_false (td_visit_is_out_of_service (visit, bench_line (visit, "A1")->outlet));
  /* The beer that the sheet names is no swap. */
  g_assert_null (bench_line (visit, "A2")->product_now);
  g_assert_cmpstr (bench_line (visit, "A4")->product_now, ==, "Stout");
  g_assert_cmpstr (bench_line (visit, "B6")->product_now, ==, "Cider");
  g_assert_cmpuint (visit->left_tidy.seq, !=, 0);
}

/* A side faucet is out of service with the line that feeds it. */
static void
test_side_faucet_service (void)
{
  g_autoptr (TdVisit) fed
      = fold_script ("07:00 out-of-service lines=B7 condition=rinsed reason=r handed_to=x\n");
  g_autoptr (TdVisit) own
      = fold_script ("07:00 out-of-service lines=B7s condition=rinsed reason=r handed_to=x\n");

  g_assert_true (td_visit_is_out_of_service (fed, bench_line (fed, "B7s")->outlet));
  g_assert_true (td_visit_is_out_of_service (own, bench_line (own, "B7s")->outlet));
  g_assert_false (td_visit_is_out_of_service (own, bench_line (own, "B7")->outlet));
}

static void
test_cooling (void)
{
  g_autoptr (TdVisit) visit
      = fold_script ("06:50 cooling-off place=TA\n06:55 cooling-on place=TA\n");

  g_assert_cmpuint (visit->cooling->len, ==, 3);
  g_assert_cmpstr (g_array_index (visit->cooling, TdCooling, 1).place, ==, "TA");
  g_assert_true (g_array_index (visit->cooling, TdCooling, 2).on);
}

/* Contact that ends in the minute in which the chemical came: nothing speaks against it. */
static void
test_end_at_once (void)
{
  g_autoptr (TdVisit) visit
      = fold_script ("07:00 chemical-in lines=B6 batch=K1\n07:00 contact-ended lines=B6\n");

  g_assert_cmpint (bench_pass (visit, "B6")->contact_ms, ==, 0);
  g_assert_cmpuint (bench_pass (visit, "B6")->contact_end.seq, !=, 0);
}

static void
test_closed (void)
{
  g_autoptr (TdVisit) visit
      = fold_script ("07:30 signature name='Ida Brook' meaning=work-done\n"
                     "07:31 countersignature meaning=refused reason='in a hurry'\n"
                     "07:32 closing snapshot='{\"rules\":1}'\n");

  g_assert_true (visit->closed);
  g_assert_cmpint (visit->closed_at.utc_ms, ==, bench_time ("07:32"));
  g_assert_nonnull (visit->snapshot);
  g_assert_true (visit->signature.given);
  g_assert_cmpstr (visit->countersignature.meaning, ==, "refused");
  g_assert_cmpstr (visit->countersignature.reason, ==, "in a hurry");
}

static void
test_arrival (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;

  bench_add (
      bench,
      "06:00 arrival site=two-lanterns-bar work=amendment out_of_hours=yes crew=pia,ida,olav "
      "amends=0195f0a1-7c00-7000-8000-000000000001");
  bench_add (bench, "06:01 note text=x @olav");
  visit = bench_fold (bench);
  g_assert_true (visit->amends_other);
  g_assert_cmpint (visit->amends.bytes[0], ==, 1);
  g_assert_cmpstr (visit->out_of_hours, ==, "yes");
  g_assert_null (visit->sds_at_hand);
  /* Who made entries, in order; then the crew; each once. */
  g_assert_cmpuint (visit->persons->len, ==, 3);
  g_assert_cmpstr (g_ptr_array_index (visit->persons, 0), ==, "ida");
  g_assert_cmpstr (g_ptr_array_index (visit->persons, 1), ==, "olav");
  g_assert_cmpstr (g_ptr_array_index (visit->persons, 2), ==, "pia");
}

/* What the book has lost since does not take an older entry out; it may not be written anew. */
static void
test_lost_masters (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdMasters) none = td_masters_new ();
  g_autoptr (TdVisit) visit = NULL;
  g_autoptr (GError) error = NULL;
  TdVisitContext context;

  bench_fill (bench, bench_good_visit, BENCH_UP_TO_MIX);
  context = bench->context;
  context.masters = none;
  visit = td_visit_fold (&context, bench->entries, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (visit->kept_out->len, ==, 0);
  g_assert_null (g_array_index (visit->batches, TdBatch, 0).product);
  g_assert_null (g_array_index (visit->tap_ph, TdReading, 0).instrument);

  g_ptr_array_set_size (bench->entries, 22);
  g_assert_null (td_visit_fold (&context, bench->entries, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_REFERENCE);
}

/* A list that is not one visit's journal. */
static void
test_broken_lists (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (GPtrArray) list = g_ptr_array_new ();
  g_autoptr (TdEntry) foreign = NULL;
  TdEnvelope envelope;
  g_autoptr (TdJson) body = td_json_parse ("{}", -1, NULL);
  g_autoptr (TdEntry) damaged = NULL;
  g_autoptr (GError) error = NULL;

  g_assert_null (td_visit_fold (&bench->context, list, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
  g_clear_error (&error);

  for (guint i = 0; i < 3; i++)
    bench_add (bench, bench_good_visit[i]);
  /* A gap */
  g_ptr_array_add (list, g_ptr_array_index (bench->entries, 0));
  g_ptr_array_add (list, g_ptr_array_index (bench->entries, 2));
  g_assert_null (td_visit_fold (&bench->context, list, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
  g_assert_nonnull (strstr (error->message, "entry 2"));
  g_clear_error (&error);

  /* An entry of another visit */
  envelope = ((TdEntry *)g_ptr_array_index (bench->entries, 1))->envelope;
  envelope.visit.bytes[3] = 99;
  foreign
      = td_entry_new (&envelope, ((TdEntry *)g_ptr_array_index (bench->entries, 1))->body, NULL);
  list->pdata[1] = foreign;
  g_assert_null (td_visit_fold (&bench->context, list, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
  g_clear_error (&error);

  /* A body that no writer was let write */
  envelope = ((TdEntry *)g_ptr_array_index (bench->entries, 1))->envelope;
  damaged = td_entry_new (&envelope, body, NULL);
  list->pdata[1] = damaged;
  g_assert_null (td_visit_fold (&bench->context, list, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
  g_assert_nonnull (strstr (error->message, "entry 2: staff-told"));
}

static void
test_words (void)
{
  g_assert_cmpstr (td_method_to_text (TD_METHOD_NONE), ==, "none");
  g_assert_cmpstr (td_method_to_text (TD_METHOD_CIRCULATING), ==, "circulating");
  g_assert_cmpstr (td_method_to_text (TD_METHOD_STATIC), ==, "static");
  g_assert_cmpstr (td_direction_to_text (TD_DIRECTION_IN), ==, "in");
  g_assert_cmpstr (td_direction_to_text (TD_DIRECTION_OUT), ==, "out");
  g_assert_cmpstr (td_clean_to_text (TD_CLEAN_ACID), ==, "acid");
  g_assert_cmpstr (td_clean_to_text (TD_CLEAN_CAUSTIC), ==, "caustic");
  g_assert_cmpstr (td_known_to_text (TD_KNOWN_MEASURED), ==, "measured");
  g_assert_cmpstr (td_known_to_text (TD_KNOWN_ACCEPTED), ==, "accepted");
  g_assert_cmpstr (td_known_to_text (TD_KNOWN_ESTIMATED), ==, "estimated");
}

static void
test_stamps (void)
{
  TdStamp none = { 0 };
  TdStamp early = { 10, 5 };
  TdStamp late = { 20, 2 };
  TdStamp late_again = { 20, 3 };

  g_assert_cmpint (td_stamp_compare (early, late), <, 0);
  g_assert_cmpint (td_stamp_compare (late, early), >, 0);
  g_assert_cmpint (td_stamp_compare (late, late_again), <, 0);
  g_assert_cmpint (td_stamp_compare (late, late), ==, 0);
  g_assert_false (td_stamp_is_open (none, none));
  g_assert_true (td_stamp_is_open (early, none));
  g_assert_false (td_stamp_is_open (early, late));
  g_assert_true (td_stamp_is_open (late, early));
  g_assert_true (td_stamp_is_open (late_again, late));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fold-state/latest", test_latest);
  g_test_add_func ("/fold-state/proved-first", test_proved_first);
  g_test_add_func ("/fold-state/hand-over", test_hand_over);
  g_test_add_func ("/fold-state/tag-again", test_tag_again);
  g_test_add_func ("/fold-state/employer-procedure", test_employer_procedure);
  g_test_add_func ("/fold-state/basis", test_basis);
  g_test_add_func ("/fold-state/remarks", test_remarks);
  g_test_add_func ("/fold-state/side-faucet-service", test_side_faucet_service);
  g_test_add_func ("/fold-state/cooling", test_cooling);
  g_test_add_func ("/fold-state/end-at-once", test_end_at_once);
  g_test_add_func ("/fold-state/closed", test_closed);
  g_test_add_func ("/fold-state/arrival", test_arrival);
  g_test_add_func ("/fold-state/lost-masters", test_lost_masters);
  g_test_add_func ("/fold-state/broken-lists", test_broken_lists);
  g_test_add_func ("/fold-state/words", test_words);
  g_test_add_func ("/fold-state/stamps", test_stamps);
  return g_test_run ();
}
