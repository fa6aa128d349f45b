/* Whatever is written down in whatever order: the fold takes it or refuses it, and stays true to
 * itself. */
#include <string.h>

#include "core-rule.h"
#include "visit-bench.h"
#include "visit-dump.h"

/* Acts that a walk draws from; "%s" is a line, "%t" a tag, "%c" a circuit. */
static const char *const acts[] = {
  "chemical-in circuit=%c batch=K1",
  "chemical-in lines=%s batch=K1",
  "chemical-in lines=%s batch=S1",
  "chemical-seen circuit=%c batch=K1",
  "chemical-seen lines=%s batch=K1 shut=yes",
  "chemical-seen lines=%s batch=S1",
  "return-in-bucket circuit=%c",
  "contact-ended circuit=%c",
  "contact-ended lines=%s",
  "rinse-started circuit=%c",
  "rinse-started lines=%s",
  "rinse-circulated circuit=%c",
  "ph-read of=outlet lines=%s ph_milli=7450 instrument=meter known=measured",
  "ph-read of=outlet lines=%s ph_milli=11900 instrument=strip known=measured",
  "ph-read of=tap ph_milli=7400 known=measured",
  "debris-seen lines=%s debris=some",
  "cleaning-pump-on circuit=%c flow_ml_min=3000",
  "cleaning-pump-off circuit=%c",
  "tag-hung tag=%t tag_kind=tag at=outlet line=%s",
  "tag-lifted tag=%t",
  "tag-hung-again tag=%t",
  "tag-removed tag=%t",
  "tag-removed tag=%t @pia",
  "hand-over to=pia",
  "gas-off gas=beer-pump lines=A4",
  "gas-on gas=beer-pump lines=A4",
  "gas-off gas=keg lines=%s",
  "gas-on gas=keg lines=%s",
  "lever-set lines=A4",
  "lever-set-back lines=A4",
  "flow-seen lines=%s direction=in",
  "flow-seen lines=%s direction=out",
  "fob-flooded lines=%s",
  "fob-rinsed lines=%s",
  "faucet-stripped lines=%s",
  "faucet-rebuilt lines=%s",
  "beer-clear lines=%s",
  "scope clean=acid lines=%s",
  "line-left-out lines=%s reason=r",
  "out-of-service lines=%s condition=holding reason=r handed_to=x",
  "solution-mixed batch=S1 product=sour known=estimated",
  "solution-disposed batch=K1 volume_ml=10 drain=sewer known=measured",
  "plan-adopted source=hand plan='{\"circuits\":[],\"static\":[{\"line\":\"%s\",\"cooler\":\"C1\"}]}'",
  "plan-adopted source=hand plan='{\"circuits\":[{\"number\":2,\"station\":\"TB\",\"legs\":["
  "{\"line\":\"B7\",\"direction\":\"in\",\"reversal\":\"no\"},{\"line\":\"B5\",\"direction\":\"out\",\"reversal\":\"no\"}]}],"
  "\"static\":[]}'",
  "correction of=%n void=yes why=w",
  "correction of=%n set='{\"happened\":\"2026-03-02T06:%mZ\"}' why=w",
  "correction of=%n set='{\"lines\":[\"%s\"]}' why=w",
  "note text=n @someone",
};

static const char *const lines[] = { "A1", "A2", "A3", "A4", "B5", "B6", "B7", "B7s", "A9", "B8" };

static char *
draw_act (GRand *chance, guint n_entries)
{
  const char *act = acts[g_rand_int_range (chance, 0, G_N_ELEMENTS (acts))];
  GString *out = g_string_new (NULL);

  /* Mostly forward in time, now and then written down late. */
  g_string_append_printf (out, "%02d:%02d ", 6 + MIN ((int)n_entries / 40, 16),
                          g_rand_int_range (chance, 0, 60));
  for (const char *c = act; *c != '\0'; c++)
    {
      if (*c != '%')
        {
          g_string_append_c (out, *c);
          continue;
        }
      c++;
      if (*c == 's')
        g_string_append (out, lines[g_rand_int_range (chance, 0, G_N_ELEMENTS (lines))]);
      else if (*c == 't')
        g_string_append_printf (out, "T%d", g_rand_int_range (chance, 1, 4));
      else if (*c == 'c')
        g_string_append_printf (out, "%d", g_rand_int_range (chance, 1, 3));
      else if (*c == 'n')
        g_string_append_printf (out, "%d", g_rand_int_range (chance, 1, (int)n_entries + 1));
      else
        g_string_append_printf (out, "%02d", g_rand_int_range (chance, 0, 60));
    }
  return g_string_free (out, FALSE);
}

static void
check_pass (const TdVisit *visit, const TdVisitLine *line, guint index)
{
  const TdPass *pass = &g_array_index (line->passes, TdPass, index);
  gint64 now_ms = bench_time ("23:59");
  gint64 contact_ms = td_pass_get_contact_ms (visit, pass, now_ms);
  gint64 end_ms = pass->contact_end.seq != 0 ? pass->contact_end.at_ms : now_ms;

  g_assert_true (pass->chemical_in.seq != 0 || pass->chemical_seen.seq != 0);
  g_assert_cmpint (contact_ms, >=, 0);
  if (contact_ms > 0)
    g_assert_cmpint (contact_ms, <=, end_ms - pass->clock_start.at_ms);
  if (pass->contact_end.seq != 0)
    g_assert_cmpint (contact_ms, ==, pass->contact_ms);
  /* Only the last pass may run. */
  if (index + 1 < line->passes->len)
    g_assert_cmpuint (pass->contact_end.seq, !=, 0);
  if (pass->rinse_passed)
    {
      g_assert_cmpint (ABS (pass->rinse_ph.value - pass->tap_ph.value), <=, pass->rinse_band);
      g_assert_cmpint (pass->rinse_ph.stamp.at_ms, >=, pass->contact_end.at_ms);
    }
  g_assert_cmpint (pass->circuit != 0, ==, pass->method == TD_METHOD_CIRCULATING);
  if (pass->circuit != 0)
    g_assert_nonnull (td_visit_find_circuit (visit, pass->circuit));
}

static void
check_visit (const TdVisit *visit)
{
  g_autoptr (GPtrArray) findings = td_visit_get_findings (visit, bench_time ("23:59"));

  for (guint i = 0; i < visit->n_lines; i++)
    for (guint k = 0; k < visit->lines[i].passes->len; k++)
      check_pass (visit, &visit->lines[i], k);
  for (guint i = 0; i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);

      /* Only the last lift may be open. */
      for (guint k = 0; k + 1 < tag->lifts->len; k++)
        g_assert_cmpuint (g_array_index (tag->lifts, TdTagLift, k).again.seq, !=, 0);
    }
  for (guint i = 1; i < visit->kept_out->len; i++)
    g_assert_cmpuint (g_array_index (visit->kept_out, guint, i - 1), <,
                      g_array_index (visit->kept_out, guint, i));
  /* Whatever was kept out, somebody made it so. */
  if (visit->kept_out->len > 0)
    {
      gboolean blamed = FALSE;

      for (guint i = 0; i < visit->corrections->len; i++)
        blamed = blamed || g_array_index (visit->corrections, TdCorrection, i).breaks_order;
      g_assert_true (blamed);
    }
  for (guint i = 0; i < findings->len; i++)
    g_assert_true (
        g_utf8_validate (((const TdFinding *)g_ptr_array_index (findings, i))->text, -1, NULL));
}

/* Folding is the same every time, and nothing of one visit is left in another. */
static void
check_again (Bench *bench, const TdVisit *visit)
{
  g_autoptr (TdVisit) again = bench_fold (bench);
  g_autofree char *one = visit_dump (visit);
  g_autofree char *two = visit_dump (again);

  g_assert_cmpstr (one, ==, two);
}

static void
walk (guint32 seed, guint steps)
{
  g_autoptr (Bench) bench = bench_new ();
  GRand *chance = g_rand_new_with_seed (seed);
  g_autoptr (TdVisit) visit = NULL;
  guint taken = 0;

  bench_fill (bench, bench_good_visit, BENCH_UP_TO_MIX);
  for (guint i = 0; i < steps; i++)
    {
      g_autofree char *line = draw_act (chance, bench->entries->len);
      g_autoptr (GError) error = NULL;

      if (bench_try (bench, line, &error))
        taken++;
      else
        g_assert_cmpstr (error->message, !=, "");
    }
  g_rand_free (chance);
  /* A walk that is refused throughout would show nothing. */
  g_assert_cmpuint (taken, >, steps / 4);
  visit = bench_fold (bench);
  check_visit (visit);
  check_again (bench, visit);
}

static void
test_walks (void)
{
  for (guint32 seed = 1; seed <= 20; seed++)
    walk (seed, 60);
}

/* Every beginning of a visit is a visit, and what has been written of it is not lost by going on.
 */
static void
test_prefixes (void)
{
  g_autoptr (Bench) bench = bench_new ();
  guint batches = 0, tags = 0, persons = 0, taps = 0;

  for (guint i = 0; bench_good_visit[i] != NULL; i++)
    {
      g_autoptr (TdVisit) visit = NULL;

      bench_add (bench, bench_good_visit[i]);
      visit = bench_fold (bench);
      check_visit (visit);
      g_assert_cmpuint (visit->batches->len, >=, batches);
      g_assert_cmpuint (visit->tags->len, >=, tags);
      g_assert_cmpuint (visit->persons->len, >=, persons);
      g_assert_cmpuint (visit->tap_ph->len, >=, taps);
      batches = visit->batches->len;
      tags = visit->tags->len;
      persons = visit->persons->len;
      taps = visit->tap_ph->len;
    }
}

/* Acts of the same line at different times: the order of writing does not matter to the passes. */
static void
test_writing_order (void)
{
  static const char *const script[] = {
    "06:40 chemical-in circuit=1 batch=K1",
    "06:42 chemical-seen circuit=1 batch=K1",
    "06:43 return-in-bucket circuit=1",
    "06:45 cleaning-pump-off circuit=1",
    "06:47 cleaning-pump-on circuit=1",
    "06:50 flow-seen lines=A4 direction=in",
    "07:00 contact-ended circuit=1",
    "07:01 rinse-started circuit=1",
    "07:05 debris-seen lines=A2,A4 debris=none",
    "07:06 ph-read of=outlet lines=A2,A4 ph_milli=7450 instrument=meter known=measured",
  };
  GRand *chance = g_rand_new_with_seed (11);
  g_autofree char *first = NULL;

  for (guint round = 0; round < 40; round++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_autoptr (GPtrArray) left = g_ptr_array_new ();
      g_autoptr (TdVisit) visit = NULL;
      g_autofree char *dump = NULL;

      bench_fill (bench, bench_good_visit, BENCH_UP_TO_MIX);
      /* The end of a contact needs its beginning on record. */
      bench_add (bench, script[0]);
      for (gsize i = 1; i < G_N_ELEMENTS (script); i++)
        g_ptr_array_add (left, (gpointer)script[i]);
      while (left->len > 0)
        {
          guint pick = round == 0 ? 0 : (guint)g_rand_int_range (chance, 0, (int)left->len);

          bench_add (bench, g_ptr_array_index (left, pick));
          g_ptr_array_remove_index (left, pick);
        }
      visit = bench_fold (bench);
      dump = visit_dump (visit);
      if (first == NULL)
        first = g_steal_pointer (&dump);
      else
        g_assert_cmpstr (first, ==, dump);
    }
  g_rand_free (chance);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fold-random/walks", test_walks);
  g_test_add_func ("/fold-random/prefixes", test_prefixes);
  g_test_add_func ("/fold-random/writing-order", test_writing_order);
  return g_test_run ();
}
