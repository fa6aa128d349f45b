/* Words of labels: none twice, each class with its statement; the limits of solutions as published. */
#include "core-safety.h"

#include <string.h>

static void
test_words (void)
{
  for (guint part = 0; part < TD_N_SAFETY; part++)
    {
      g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
      guint n = 0;
      const TdSafetyWord *words = td_safety_list (part, &n);

      g_assert_cmpuint (n, >, 4);
      for (guint i = 0; i < n; i++)
        {
          g_assert_cmpuint (words[i].part, ==, part);
          g_assert_true (g_hash_table_add (seen, (gpointer) words[i].code));
          g_assert_null (strchr (words[i].code, ' '));
          g_assert_true (td_safety_find (part, words[i].code) == &words[i]);
        }
      g_assert_null (td_safety_find (part, "no such code"));
    }
}

static void
test_classes (void)
{
  guint n = 0;
  const TdSafetyWord *classes = td_safety_list (TD_SAFETY_CLASS, &n);

  for (guint i = 0; i < n; i++)
    g_assert_nonnull (td_safety_find (TD_SAFETY_HAZARD, td_safety_get_hazard (classes[i].code)));
}

/* Regulation (EC) No 1272/2008, annex III table 1.2 and 1.1, annex IV table 1.3 and 1.4. */
static const struct
{
  TdSafetyPart part;
  const char *code;
  const char *text;
} published[] = {
  { TD_SAFETY_HAZARD, "H290", "May be corrosive to metals." },
  { TD_SAFETY_HAZARD, "H314", "Causes severe skin burns and eye damage." },
  { TD_SAFETY_HAZARD, "H319", "Causes serious eye irritation." },
  { TD_SAFETY_HAZARD, "EUH031", "Contact with acids liberates toxic gas." },
  { TD_SAFETY_PRECAUTION, "P301+P330+P331", "IF SWALLOWED: Rinse mouth. Do NOT induce vomiting." },
  { TD_SAFETY_PRECAUTION, "P405", "Store locked up." },
};

static void
test_published (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (published); i++)
    g_assert_cmpstr (td_safety_find (published[i].part, published[i].code)->text, ==, published[i].text);
}

/* Annex VI table 3, specific concentration limits: NaOH and KOH 1A from 5 %, 1B from 2 %, irritant from 0.5 %;
 * phosphoric acid 1B from 25 %, irritant from 10 %. */
static const struct
{
  const char *substance;
  gint64 percent_milli;
  const char *code;
} solutions[] = {
  { "naoh", 30000, "skin-corr-1a" }, { "naoh", 5000, "skin-corr-1a" }, { "naoh", 4999, "skin-corr-1b" },
  { "naoh", 2000, "skin-corr-1b" },  { "naoh", 1999, "skin-irrit-2" }, { "naoh", 500, "skin-irrit-2" },
  { "naoh", 499, NULL },             { "koh", 2000, "skin-corr-1b" },  { "h3po4", 25000, "skin-corr-1b" },
  { "h3po4", 24999, "skin-irrit-2" }, { "h3po4", 9999, NULL },         { "soap", 90000, NULL },
};

static void
test_solutions (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (solutions); i++)
    g_assert_cmpstr (td_safety_get_solution_class (solutions[i].substance, solutions[i].percent_milli), ==,
                     solutions[i].code);
}

static const char *
mark (const char *text)
{
  return strcmp (text, "acids") == 0 ? "ACIDS" : text;
}

static void
test_describe (void)
{
  g_auto (GStrv) hazards = td_safety_split ("H290 H999");
  g_auto (GStrv) never = td_safety_split ("acid light-metal");
  g_autofree char *first = td_safety_describe (TD_SAFETY_HAZARD, hazards, " ", mark);
  g_autofree char *second = td_safety_describe (TD_SAFETY_NEVER_WITH, never, ", ", mark);

  g_assert_cmpstr (first, ==, "H290 May be corrosive to metals. H999");
  g_assert_cmpstr (second, ==, "ACIDS, aluminium, zinc, tin and their alloys");
  g_assert_null (td_safety_describe (TD_SAFETY_HAZARD, NULL, " ", mark));
}

static void
test_join (void)
{
  g_auto (GStrv) codes = td_safety_split ("H290 H314");
  g_autofree char *text = td_safety_join (codes);

  g_assert_cmpstr (text, ==, "H290 H314");
  g_assert_cmpuint (g_strv_length (codes), ==, 2);
  g_assert_cmpstr (codes[1], ==, "H314");
  g_assert_null (td_safety_join (NULL));
  g_assert_null (td_safety_split (NULL));
  g_assert_null (td_safety_split (""));
}

/* Danger only where a class asks for it. */
static void
test_signal (void)
{
  g_auto (GStrv) strong = td_safety_split ("met-corr-1 skin-corr-1b");
  g_auto (GStrv) weak = td_safety_split ("met-corr-1 skin-irrit-2");
  TdProduct product = { .id = NULL };

  g_assert_false (td_product_is_danger (&product));
  product.safety[TD_SAFETY_CLASS] = weak;
  g_assert_false (td_product_is_danger (&product));
  product.safety[TD_SAFETY_CLASS] = strong;
  g_assert_true (td_product_is_danger (&product));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/safety/words", test_words);
  g_test_add_func ("/safety/classes", test_classes);
  g_test_add_func ("/safety/published", test_published);
  g_test_add_func ("/safety/solutions", test_solutions);
  g_test_add_func ("/safety/describe", test_describe);
  g_test_add_func ("/safety/join", test_join);
  g_test_add_func ("/safety/signal", test_signal);
  return g_test_run ();
}
