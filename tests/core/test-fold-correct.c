/* Corrections: what they change, what is refused, what they break. */
#include <string.h>

#include "core-error.h"
#include "core-rule.h"
#include "visit-bench.h"
#include "visit-dump.h"

/* Numbers of entries in the good visit. */
#define PLAN "8"
#define TAG_HUNG "10"
#define MIXED "22"
#define CHEMICAL_IN "28"
#define CHEMICAL_SEEN "30"
#define CONTACT_ENDED "40"

static Bench *
make_good_bench (void)
{
  Bench *bench = bench_new ();

  bench_fill (bench, bench_good_visit, G_MAXUINT);
  return bench;
}

static char *
dump_good_visit_with (const char *line)
{
  g_autoptr (Bench) bench = make_good_bench ();
  g_autoptr (TdVisit) visit = NULL;

  bench_add (bench, line);
  visit = bench_fold (bench);
  return visit_dump (visit);
}

static void
test_numbers (void)
{
  static const struct
  {
    const char *seq;
    const char *kind;
  } numbers[] = {
    { PLAN, "plan-adopted" },           { TAG_HUNG, "tag-hung" },
    { MIXED, "solution-mixed" },        { CHEMICAL_IN, "chemical-in" },
    { CHEMICAL_SEEN, "chemical-seen" }, { CONTACT_ENDED, "contact-ended" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    {
      const char *line = bench_good_visit[g_ascii_strtoll (numbers[i].seq, NULL, 10) - 1];

      g_assert_cmpstr (strstr (line, numbers[i].kind), !=, NULL);
    }
}

/* clang-format off */
static const struct
{
  const char *before; /* or NULL */
  const char *line;
  int code;
  const char *says;
} refused[] = {
  { NULL, "07:40 correction of=900 void=yes why=w", TD_ERROR_IMPOSSIBLE, "no earlier entry 900" },
  { NULL, "07:40 correction of=77 void=yes why=w", TD_ERROR_IMPOSSIBLE, "no earlier entry 77" },
  { NULL, "07:40 correction of=1 void=yes why=w", TD_ERROR_IMPOSSIBLE, "without its arrival" },
  { NULL, "07:40 correction of=1 set='{\"site\":\"elsewhere\"}' why=w", TD_ERROR_IMPOSSIBLE, "another site" },
  { NULL, "07:40 correction of=3 set='{}' why=w", TD_ERROR_SHAPE, "empty" },
  { NULL, "07:40 correction of=3 set='{\"ph_milli\":7}' why=w", TD_ERROR_SHAPE, "ph_milli" },
  { NULL, "07:40 correction of=3 set='{\"tower\":7}' why=w", TD_ERROR_SHAPE, "tower" },
  { NULL, "07:40 correction of=24 set='{\"ph_milli\":14001}' why=w", TD_ERROR_RANGE, "ph_milli" },
  { NULL, "07:40 correction of=24 set='{\"of\":\"outlet\"}' why=w", TD_ERROR_SHAPE, "lines" },
  { NULL, "07:40 correction of=3 set='{\"tower\":\"TX\"}' why=w", TD_ERROR_REFERENCE, "TX" },
  { NULL, "07:40 correction of=" MIXED " set='{\"product\":\"sand\"}' why=w", TD_ERROR_REFERENCE, "sand" },
  { NULL, "07:40 correction of=" MIXED " set='{\"lot\":\"SO1\"}' why=w", TD_ERROR_REFERENCE, "is of product" },
  { NULL, "07:40 correction of=" CHEMICAL_IN " set='{\"circuit\":7}' why=w", TD_ERROR_REFERENCE, "no circuit 7" },
  { NULL, "07:40 correction of=" CHEMICAL_IN " set='{\"batch\":\"K9\"}' why=w", TD_ERROR_REFERENCE, "K9" },
  { NULL, "07:40 correction of=" PLAN " set='{\"plan\":{\"circuits\":[{\"number\":1,\"station\":\"TA\",\"legs\":["
    "{\"line\":\"A2\",\"direction\":\"out\",\"reversal\":\"no\"}]}],\"static\":[]}}' why=w",
    TD_ERROR_IMPOSSIBLE, "not closed" },
  { "07:40 correction of=3 void=yes why=w", "07:41 correction of=3 void=yes why=w", TD_ERROR_IMPOSSIBLE, "voided already" },
  { "07:40 correction of=3 void=yes why=w", "07:41 correction of=3 set='{\"name\":\"x\"}' why=w", TD_ERROR_IMPOSSIBLE,
    "voided already" },
  { "07:40 correction of=3 set='{\"name\":\"x\"}' why=w", "07:41 correction of=77 set='{\"void\":\"yes\"}' why=w",
    TD_ERROR_SHAPE, "exactly one" },
};
/* clang-format on */

static void
test_refused (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (refused); i++)
    {
      g_autoptr (Bench) bench = make_good_bench ();
      g_autoptr (GError) error = NULL;

      if (refused[i].before != NULL)
        bench_add (bench, refused[i].before);
      if (bench_try (bench, refused[i].line, &error))
        g_error ("taken: %s", refused[i].line);
      if (!g_error_matches (error, TD_ERROR, refused[i].code)
          || strstr (error->message, refused[i].says) == NULL)
        g_error ("%s: refused with %d: %s", refused[i].line, error->code, error->message);
    }
}

static void
test_set (void)
{
  g_autoptr (Bench) bench = make_good_bench ();
  g_autoptr (TdVisit) visit = NULL;
  const TdEntry *entry;
  const TdCorrection *correction;

  bench_add (bench, "07:40 correction of=" CONTACT_ENDED
                    " set='{\"happened\":\"2026-03-02T06:50:00Z\"}' why=slip");
  bench_add (bench, "07:41 correction of=" MIXED
                    " set='{\"concentrate_ml\":1000,\"person\":\"pia\"}' why='his mix'");
  visit = bench_fold (bench);
  g_assert_cmpint (bench_pass (visit, "A2")->contact_ms, ==, 16 * 60000);
  g_assert_cmpint (g_array_index (visit->batches, TdBatch, 0).concentrate_ml, ==, 1000);
  g_assert_cmpint (g_array_index (visit->batches, TdBatch, 0).water_ml, ==, 20000);
  g_assert_cmpstr (g_array_index (visit->batches, TdBatch, 0).person, ==, "pia");
  g_assert_cmpuint (visit->persons->len, ==, 2);

  /* What was written stays as it was written. */
  entry = g_ptr_array_index (visit->entries, 21);
  g_assert_cmpstr (entry->envelope.person, ==, "ida");
  entry = td_visit_get_effective (visit, 22);
  g_assert_cmpstr (entry->envelope.person, ==, "pia");
  g_assert_cmpuint (entry->envelope.seq, ==, 22);
  g_assert_null (td_visit_get_effective (visit, 0));
  g_assert_null (td_visit_get_effective (visit, visit->last_seq + 1));

  g_assert_cmpuint (visit->corrections->len, ==, 2);
  correction = &g_array_index (visit->corrections, TdCorrection, 0);
  g_assert_cmpuint (correction->of, ==, 40);
  g_assert_cmpuint (correction->seq, ==, 77);
  g_assert_cmpstr (correction->why, ==, "slip");
  g_assert_false (correction->voids || correction->breaks_order);
}

/* An act names a circuit or lines: to set the one drops the other. */
static void
test_circuit_for_lines (void)
{
  g_autofree char *corrected = dump_good_visit_with ("07:40 correction of=" CONTACT_ENDED
                                                     " set='{\"lines\":[\"A2\",\"A4\"]}' why=w");
  g_autoptr (Bench) bench = make_good_bench ();
  g_autoptr (TdVisit) visit = bench_fold (bench);
  g_autofree char *good = visit_dump (visit);

  g_assert_cmpstr (corrected, ==, good);
}

/* Of several corrections of an entry the later wins, field by field. */
static void
test_later_wins (void)
{
  g_autoptr (Bench) bench = make_good_bench ();
  g_autoptr (TdVisit) visit = NULL;
  const TdBatch *batch;

  bench_add (bench, "07:40 correction of=" MIXED
                    " set='{\"concentrate_ml\":900,\"water_ml\":19000}' why=w");
  bench_add (bench, "07:41 correction of=" MIXED " set='{\"concentrate_ml\":950}' why=w");
  visit = bench_fold (bench);
  batch = &g_array_index (visit->batches, TdBatch, 0);
  g_assert_cmpint (batch->concentrate_ml, ==, 950);
  g_assert_cmpint (batch->water_ml, ==, 19000);
}

static void
test_correction_of_correction (void)
{
  g_autoptr (Bench) bench = make_good_bench ();
  g_autoptr (TdVisit) set = NULL;
  g_autoptr (TdVisit) restored = NULL;

  bench_add (bench, "07:40 correction of=" MIXED
                    " set='{\"concentrate_ml\":900,\"water_ml\":19000}' why=w");
  /* Entry 77: its set is replaced as a whole, the water is as first written again. */
  bench_add (bench, "07:41 correction of=77 set='{\"set\":{\"concentrate_ml\":800}}' why=w");
  set = bench_fold (bench);
  g_assert_cmpint (g_array_index (set->batches, TdBatch, 0).concentrate_ml, ==, 800);
  g_assert_cmpint (g_array_index (set->batches, TdBatch, 0).water_ml, ==, 20000);
  g_assert_cmpuint (set->corrections->len, ==, 2);

  bench_add (bench, "07:42 correction of=77 void=yes why=w");
  restored = bench_fold (bench);
  g_assert_cmpint (g_array_index (restored->batches, TdBatch, 0).concentrate_ml, ==, 1030);
  g_assert_null (td_visit_get_effective (restored, 77));
  g_assert_cmpuint (restored->corrections->len, ==, 2);
}

/* A void that is voided lets the entry stand again, also for a further correction. */
static void
test_void_of_void (void)
{
  g_autoptr (Bench) bench = make_good_bench ();
  g_autoptr (TdVisit) visit = NULL;

  bench_add (bench, "07:40 correction of=3 void=yes why=w");
  bench_add (bench, "07:41 correction of=77 void=yes why=w");
  bench_add (bench, "07:42 correction of=3 set='{\"name\":\"Second waiter\"}' why=w");
  visit = bench_fold (bench);
  g_assert_cmpuint (visit->staff->len, ==, 2);
  g_assert_cmpstr (g_array_index (visit->staff, TdCheck, 1).name, ==, "Second waiter");
}

/* Which correction broke something, and what is kept out. */
static void
test_breaks_order (void)
{
  g_autoptr (Bench) bench = make_good_bench ();
  g_autoptr (TdVisit) visit = NULL;
  static const gboolean breaks[] = { FALSE, TRUE, FALSE, TRUE };

  bench_add (bench, "07:40 correction of=2 void=yes why='not told'");
  /* Tag T1 was lifted twice, hung again once and removed: four acts without a tag. */
  bench_add (bench, "07:41 correction of=" TAG_HUNG " void=yes why='no tag'");
  bench_add (bench, "07:42 correction of=" MIXED " set='{\"lot\":\"LYOLD\"}' why=w");
  bench_add (bench, "07:43 correction of=" CHEMICAL_SEEN
                    " set='{\"happened\":\"2026-03-02T06:53:00Z\"}' why=w");
  bench_add (bench, "07:44 note text='still open'");
  visit = bench_fold (bench);
  g_assert_cmpuint (visit->kept_out->len, ==, 4);
  g_assert_cmpuint (visit->tags->len, ==, 0);
  g_assert_cmpuint (visit->corrections->len, ==, G_N_ELEMENTS (breaks));
  for (guint i = 0; i < G_N_ELEMENTS (breaks); i++)
    g_assert_cmpint (g_array_index (visit->corrections, TdCorrection, i).breaks_order, ==,
                     breaks[i]);
}

/* Voiding the plan takes every act on its circuit; a line still holds what was sent in by its name.
 */
static void
test_void_plan (void)
{
  g_autoptr (Bench) bench = make_good_bench ();
  g_autoptr (TdVisit) visit = NULL;

  bench_add (bench, "07:40 correction of=" PLAN " void=yes why=w");
  visit = bench_fold (bench);
  g_assert_cmpuint (visit->circuits->len, ==, 0);
  g_assert_cmpuint (bench_line (visit, "A2")->passes->len, ==, 0);
  g_assert_cmpuint (bench_line (visit, "B6")->passes->len, ==, 1);
  g_assert_true (g_array_index (visit->corrections, TdCorrection, 0).breaks_order);
  g_assert_cmpuint (visit->kept_out->len, ==, 10);
}

/* A voided mix does not take the chemical out of the lines. */
static void
test_void_mix (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;

  bench_fill (bench, bench_good_visit, 35);
  bench_add (bench, "06:40 correction of=" MIXED " void=yes why=w");
  visit = bench_fold (bench);
  g_assert_cmpuint (bench_pass (visit, "A4")->batch, ==, G_MAXUINT);
  g_assert_true (td_visit_line_holds_chemical (bench_line (visit, "A4")));
}

/* The good visit's entries and such corrections, folded at once: made anew for each of many visits
 * they would take most of the time. */
static char *
dump_entries_with (Bench *good, const char *const *corrections)
{
  guint n_good = good->entries->len;
  g_autoptr (TdVisit) visit = NULL;

  bench_fill (good, corrections, G_MAXUINT);
  visit = bench_fold (good);
  g_ptr_array_set_size (good->entries, (int)n_good);
  return visit_dump (visit);
}

static char *
dump_without (Bench *good, guint index)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;

  for (guint i = 0; i < good->entries->len; i++)
    {
      TdEntry *entry = g_ptr_array_index (good->entries, i);
      TdEnvelope envelope = entry->envelope;

      envelope.seq = bench->entries->len + 1;
      if (i < index)
        g_ptr_array_add (bench->entries, td_entry_ref (entry));
      else if (i > index)
        g_ptr_array_add (bench->entries, td_entry_new (&envelope, entry->body, NULL));
    }
  /* In the other visit a correction stands there. */
  bench_fill (
      bench,
      (const char *const[]){ "07:40 correction of=1 set='{\"work\":\"routine\"}' why=w", NULL }, 1);
  visit = bench_fold (bench);
  return visit_dump (visit);
}

/* Voiding an entry equals never having made it, whichever it is. */
static void
test_void_equals_never (void)
{
  g_autoptr (Bench) good = make_good_bench ();

  for (guint i = 1; i < good->entries->len; i++)
    {
      g_autofree char *line = g_strdup_printf ("07:40 correction of=%u void=yes why=w", i + 1);
      g_autofree char *voided = dump_entries_with (good, (const char *const[]){ line, NULL });
      g_autofree char *never = dump_without (good, i);

      if (strcmp (voided, never) != 0)
        g_error ("entry %u voided:\n%s\nnever made:\n%s", i + 1, voided, never);
    }
}

/* Voiding the voiding correction of any entry gives the visit as it was. */
static void
test_void_twice_equals_nothing (void)
{
  g_autoptr (Bench) good = make_good_bench ();
  g_autofree char *before = dump_entries_with (good, (const char *const[]){ NULL });

  for (guint i = 1; i < good->entries->len; i++)
    {
      g_autofree char *line = g_strdup_printf ("07:40 correction of=%u void=yes why=w", i + 1);
      g_autofree char *again
          = g_strdup_printf ("07:41 correction of=%u void=yes why=w", good->entries->len + 1);
      g_autofree char *after = dump_entries_with (good, (const char *const[]){ line, again, NULL });

      g_assert_cmpstr (before, ==, after);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fold-correct/numbers", test_numbers);
  g_test_add_func ("/fold-correct/refused", test_refused);
  g_test_add_func ("/fold-correct/set", test_set);
  g_test_add_func ("/fold-correct/circuit-for-lines", test_circuit_for_lines);
  g_test_add_func ("/fold-correct/later-wins", test_later_wins);
  g_test_add_func ("/fold-correct/correction-of-correction", test_correction_of_correction);
  g_test_add_func ("/fold-correct/void-of-void", test_void_of_void);
  g_test_add_func ("/fold-correct/breaks-order", test_breaks_order);
  g_test_add_func ("/fold-correct/void-plan", test_void_plan);
  g_test_add_func ("/fold-correct/void-mix", test_void_mix);
  g_test_add_func ("/fold-correct/void-equals-never", test_void_equals_never);
  g_test_add_func ("/fold-correct/void-twice-equals-nothing", test_void_twice_equals_nothing);
  return g_test_run ();
}
