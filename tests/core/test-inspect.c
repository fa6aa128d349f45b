/* The inspector's extract: what each rule asks for, what a visit has of it, what is missing. */
#include "core-inspect.h"
#include "visit-bench.h"

#include <string.h>

#define DAY ((TdDate) (BENCH_DAY_MS / 86400000))

/* Taken from the texts of the law that core-inspect.def names. */
static const struct
{
  const char *rules;
  const char *asks;
  const char *leaves;
} cases[] = {
  { "us-pa", "date cleaner method interval", "signed countersigned lines parts chemical rinse" },
  { "us-ri", "date method signed countersigned rinse interval", "parts chemical lines" },
  { "de-former", "date lines parts signed", "countersigned interval chemical" },
  { "all", "date cleaner method lines parts chemical rinse signed countersigned interval safety-sheet", "" },
};

static gboolean
ask (TdRecordRules rules, const char *code)
{
  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    if (strcmp (td_record_item_to_text (item), code) == 0)
      return td_record_rules_ask (rules, item);
  g_assert_not_reached ();
}

static void
test_rules (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_auto (GStrv) asks = g_strsplit (cases[i].asks, " ", -1);
      g_auto (GStrv) leaves = g_strsplit (cases[i].leaves, " ", -1);
      TdRecordRules rules;

      g_assert_true (td_record_rules_find (cases[i].rules, &rules));
      for (guint a = 0; asks[a] != NULL; a++)
        g_assert_true (ask (rules, asks[a]));
      for (guint l = 0; leaves[l] != NULL && *leaves[l] != '\0'; l++)
        g_assert_false (ask (rules, leaves[l]));
    }
  g_assert_false (td_record_rules_find ("mars", &(TdRecordRules) { 0 }));
}

/* The good visit, with what is left out of it. */
static TdVisit *
make_visit (const char *left_out)
{
  g_autoptr (Bench) bench = bench_new ();

  for (guint i = 0; bench_good_visit[i] != NULL; i++)
    if (left_out == NULL || strstr (bench_good_visit[i], left_out) == NULL)
      bench_add (bench, bench_good_visit[i]);
  return bench_fold (bench);
}

static TdInspection *
inspect (TdRecordRules rules, const TdVisit *visit, TdDate from, TdDate to)
{
  TdInspection *inspection = td_inspection_new (visit->site, visit->masters, rules, 14, from, to);

  td_inspection_add (inspection, visit, "T-00001");
  td_inspection_finish (inspection);
  return inspection;
}

static void
test_whole (void)
{
  g_autoptr (TdVisit) visit = make_visit (NULL);
  g_autoptr (TdInspection) inspection = inspect (TD_RECORD_RULES_RHODE_ISLAND, visit, DAY - 10, DAY + 10);
  const TdInspectedVisit *row = g_ptr_array_index (inspection->visits, 0);
  const TdInspectedMix *mix = &g_array_index (row->mixes, TdInspectedMix, 0);

  g_assert_cmpuint (inspection->visits->len, ==, 1);
  g_assert_cmpuint (td_inspection_count_all_missing (inspection), ==, 0);
  g_assert_cmpint (inspection->interval_days, ==, 28);
  g_assert_cmpint (inspection->first, ==, DAY);
  g_assert_cmpint (inspection->days_since, ==, 10);
  g_assert_false (td_inspection_is_overdue (inspection));
  g_assert_cmpstr (row->circulating, ==, "Front bar 2, Front bar 4");
  g_assert_cmpstr (row->still, ==, "Terrace 6");
  g_assert_cmpint (row->days, ==, -1);
  g_assert_cmpuint (row->passes, ==, 3);
  g_assert_cmpuint (row->rinsed, ==, 3);
  g_assert_nonnull (row->signed_by);
  g_assert_nonnull (row->countersigned_by);
  g_assert_nonnull (mix->product);
  g_assert_nonnull (mix->lot);
  g_assert_cmpint (mix->concentrate_ml, >, 0);
}

static const struct
{
  const char *left_out;
  TdRecordRules rules;
  TdRecordItem missing; /* TD_N_RECORD_ITEMS: nothing */
} gaps[] = {
  { "countersignature", TD_RECORD_RULES_RHODE_ISLAND, TD_RECORD_COUNTERSIGNED },
  { "countersignature", TD_RECORD_RULES_PENNSYLVANIA, TD_N_RECORD_ITEMS },
  { " signature", TD_RECORD_RULES_RHODE_ISLAND, TD_RECORD_SIGNED },
  { "ph-read of=outlet", TD_RECORD_RULES_RHODE_ISLAND, TD_RECORD_RINSE },
  { "ph-read of=outlet", TD_RECORD_RULES_PENNSYLVANIA, TD_N_RECORD_ITEMS },
};

static void
test_gaps (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (gaps); i++)
    {
      g_autoptr (TdVisit) visit = make_visit (gaps[i].left_out);
      g_autoptr (TdInspection) inspection = inspect (gaps[i].rules, visit, DAY - 10, DAY + 10);

      for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
        g_assert_cmpuint (td_inspection_count_missing (inspection, item), ==, item == gaps[i].missing);
    }
}

/* The interval is measured from the cleaning before, also where that lies before the period. */
static void
test_interval (void)
{
  g_autoptr (TdVisit) visit = make_visit (NULL);
  g_autoptr (TdInspection) later = td_inspection_new (visit->site, visit->masters, TD_RECORD_RULES_ALL, 14, DAY + 1, DAY + 15);
  g_autoptr (TdInspection) none = td_inspection_new (visit->site, visit->masters, TD_RECORD_RULES_ALL, 14, DAY - 9, DAY - 1);
  g_autoptr (TdInspection) same = td_inspection_new (visit->site, visit->masters, TD_RECORD_RULES_ALL, 14, DAY, DAY);

  td_inspection_add (later, visit, "T-1");
  td_inspection_finish (later);
  g_assert_cmpuint (later->visits->len, ==, 0);
  g_assert_cmpint (later->days_since, ==, 15);
  g_assert_true (td_inspection_is_overdue (later));
  td_inspection_add (none, visit, "T-1");
  td_inspection_finish (none);
  g_assert_cmpint (none->days_since, ==, -1);
  g_assert_true (td_inspection_is_overdue (none));
  td_inspection_add (same, visit, "T-1");
  td_inspection_add (same, visit, "T-2");
  td_inspection_finish (same);
  g_assert_cmpint (((const TdInspectedVisit *) g_ptr_array_index (same->visits, 1))->days, ==, 0);
}

/* A visit on which nothing was cleaned is none of the record's. */
static void
test_no_cleaning (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  g_autoptr (TdInspection) inspection = NULL;

  bench_fill (bench, bench_good_visit, BENCH_UP_TO_MIX);
  visit = bench_fold (bench);
  inspection = inspect (TD_RECORD_RULES_ALL, visit, DAY, DAY);
  g_assert_cmpuint (inspection->visits->len, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/inspect/rules", test_rules);
  g_test_add_func ("/inspect/whole", test_whole);
  g_test_add_func ("/inspect/gaps", test_gaps);
  g_test_add_func ("/inspect/interval", test_interval);
  g_test_add_func ("/inspect/no-cleaning", test_no_cleaning);
  return g_test_run ();
}
