/* What is said at Mix of the chosen chemical: its label, what to wear, what it must never meet, its safety data
 * sheet, and what the solution itself still is. */
#include "model-hint.h"

#include "core-json-build.h"
#include "visit-bench.h"

#include <string.h>

static const char company[]
    = "{\"format\": \"tundish-company/1\", \"products\": [{\"id\": \"lye\", \"name\": \"Lye\", \"kind\": \"caustic\","
      " \"substance\": \"naoh\", \"basis\": \"w/w\", \"percent_milli\": 30000, \"target_percent_milli\": 2000,"
      " \"classes\": [\"met-corr-1\", \"skin-corr-1a\"], \"hazards\": [\"H290\", \"H314\"],"
      " \"protection\": [\"goggles\", \"gloves\"], \"never_with\": [\"acid\"]},"
      " {\"id\": \"plain\", \"name\": \"Plain\", \"kind\": \"other\", \"substance\": \"soap\", \"basis\": \"w/w\","
      " \"percent_milli\": 30000, \"target_percent_milli\": 2000}]}";

static const struct
{
  const char *product;
  gint64 percent_milli;
  const char *says;
  gboolean said;
} cases[] = {
  { "lye", 2000, "Danger. H290 May be corrosive to metals. H314", TRUE },
  { "lye", 2000, "Wear: tight goggles, chemical-resistant gloves.", TRUE },
  { "lye", 2000, "Never bring together with: acids.", TRUE },
  { "lye", 2000, "holds no safety data sheet", TRUE },
  { "lye", 2000, "The solution itself is Skin Corr. 1B", TRUE },
  { "lye", 1000, "The solution itself is Skin Irrit. 2", TRUE },
  { "lye", 400, "The solution itself is", FALSE },
  { "plain", 2000, "Danger.", FALSE },
  { "plain", 2000, "Wear:", FALSE },
  { "plain", 2000, "The solution itself is", FALSE },
};

static gboolean
says (const TdVisit *visit, const char *product, gint64 percent_milli, const char *text)
{
  static const TdUnitStyle style = { TD_UNITS_METRIC, '.' };
  g_autofree char *body = g_strdup_printf ("{\"product\": \"%s\", \"percent_milli\": %" G_GINT64_FORMAT "}", product,
                                           percent_milli);
  g_autoptr (TdJson) json = td_json_parse (body, -1, NULL);
  g_autoptr (GPtrArray) hints = td_hints_new (visit, TD_KIND_SOLUTION_MIXED, json, &style);

  for (guint i = 0; i < hints->len; i++)
    if (strstr (((const TdHint *) g_ptr_array_index (hints, i))->text, text) != NULL)
      return TRUE;
  return FALSE;
}

static void
test_mix (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdJson) json = td_json_parse (company, -1, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdVisit) visit = NULL;

  td_masters_unref (bench->context.masters);
  bench->context.masters = td_masters_from_json (json, &error);
  g_assert_no_error (error);
  bench_add (bench, bench_good_visit[0]);
  visit = bench_fold (bench);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_assert_cmpint (says (visit, cases[i].product, cases[i].percent_milli, cases[i].says), ==, cases[i].said);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/hint/mix", test_mix);
  return g_test_run ();
}
