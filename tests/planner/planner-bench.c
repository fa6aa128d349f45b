#include "planner-bench.h"

#include "core-json-build.h"
#include "core-plan-check.h"

char *
bench_path (const char *name)
{
  return g_test_build_filename (G_TEST_DIST, "data", "planning", name, NULL);
}

TdJson *
bench_read (const char *name)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *path = bench_path (name);
  g_autofree char *text = NULL;
  gsize length = 0;
  g_file_get_contents (path, &text, &length, &error);
  g_assert_no_error (error);
  TdJson *json = td_json_parse (text, (gssize)length, &error);
  g_assert_no_error (error);
  return json;
}

TdSite *
bench_read_site (const char *name)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) sheet = bench_read (name);
  TdSite *site = td_site_from_json (sheet, &error);
  g_assert_no_error (error);
  return site;
}

static void
add_shuffled (TdJsonBuilder *b, const TdJson *array, GRand *rand)
{
  guint n = td_json_get_length (array);
  g_autofree guint *order = g_new (guint, n + 1);
  td_json_builder_begin_array (b);
  for (guint i = 0; i < n; i++)
    {
      guint at = (guint)g_rand_int_range (rand, 0, (gint32)i + 1);
      order[i] = order[at];
      order[at] = i;
    }
  for (guint i = 0; i < n; i++)
    td_json_builder_value (b, td_json_get_element (array, order[i]));
  td_json_builder_end (b);
}

TdJson *
bench_shuffle (const TdJson *sheet, GRand *rand)
{
  static const char *const shuffled[] = { "lines", "towers", "coolers", NULL };
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  td_json_builder_begin_object (b);
  for (guint i = 0; i < td_json_get_length (sheet); i++)
    {
      td_json_builder_key (b, td_json_get_key (sheet, i));
      if (g_strv_contains (shuffled, td_json_get_key (sheet, i)))
        add_shuffled (b, td_json_get_element (sheet, i), rand);
      else
        td_json_builder_value (b, td_json_get_element (sheet, i));
    }
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}

/* ---- made-up sites ---- */

BenchShape
bench_make_shape (GRand *rand, guint max_lines)
{
  static const double shares[] = { 0.0, 0.1, 0.3, 0.5 };
  static const double heads[] = { 200.0, 401.0, 700.0 };
  BenchShape shape = { (guint)g_rand_int_range (rand, 2, (gint32)max_lines + 1),
                       (guint)g_rand_int_range (rand, 1, 4),
                       (guint)g_rand_int_range (rand, 1, 4),
                       shares[g_rand_int_range (rand, 0, 4)],
                       shares[g_rand_int_range (rand, 0, 4)],
                       heads[g_rand_int_range (rand, 0, 3)],
                       (guint)g_rand_int_range (rand, 0, BENCH_STYLES),
                       g_rand_boolean (rand) ? 0.0 : 0.1 };
  return shape;
}

static int
make_loss_mm (GRand *rand, const BenchShape *shape, guint cell)
{
  int capacity = (int)(shape->capacity_m * 1000.0);
  switch (shape->style)
    {
    case 0: /* one run for each pair of places, with some difference */
      return 30000 + (int)(cell * 17000 % 110000) + g_rand_int_range (rand, 0, 3) * 1000;
    case 1: /* anything */
      return g_rand_int_range (rand, 20000, 160000);
    case 2: /* a few kinds of nearly equal runs */
      return (g_rand_boolean (rand) ? 60000 : 120000) + g_rand_int_range (rand, 0, 1000);
    case 3: /* parts of the capacity that leave a rest */
      return capacity / g_rand_int_range (rand, 2, 7) + g_rand_int_range (rand, 0, 3000);
    default: /* many interchangeable lines */
      return 60000 + 20000 * g_rand_int_range (rand, 0, 2);
    }
}

static void
add_places (TdJsonBuilder *b, const char *key, char letter, guint n)
{
  td_json_builder_key (b, key);
  td_json_builder_begin_array (b);
  for (guint i = 0; i < n; i++)
    {
      g_autofree char *id = g_strdup_printf ("%c%u", letter, i + 1);
      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "id", id);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

static void
add_line (TdJsonBuilder *b, GRand *rand, const BenchShape *shape, guint i)
{
  guint tower = (guint)g_rand_int_range (rand, 0, (gint32)shape->n_towers);
  guint cooler = (guint)g_rand_int_range (rand, 0, (gint32)shape->n_coolers);
  double what = g_rand_double (rand);
  int loss_mm = make_loss_mm (rand, shape, tower * shape->n_coolers + cooler);
  g_autofree char *id = g_strdup_printf ("L%02u", i + 1);
  g_autofree char *tower_id = g_strdup_printf ("T%u", tower + 1);
  g_autofree char *cooler_id = g_strdup_printf ("C%u", cooler + 1);
  const char *pump = what < shape->one_way                       ? "one-way"
                     : what < shape->one_way + shape->reversible ? "reversible"
                                                                 : "none";

  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "id", id);
  td_json_builder_member_integer (b, "number", i + 1);
  td_json_builder_member_string (b, "tower", tower_id);
  td_json_builder_member_string (b, "cooler", cooler_id);
  td_json_builder_member_string (b, "beer_pump", pump);
  td_json_builder_member_real (b, "head_loss_m", loss_mm / 1000.0, 3);
  td_json_builder_member_integer (b, "volume_ml", loss_mm / 60);
  if (g_rand_double (rand) < shape->sides)
    {
      g_autofree char *side = g_strdup_printf ("L%02ub", i + 1);
      td_json_builder_key (b, "side_faucets");
      td_json_builder_begin_array (b);
      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "id", side);
      td_json_builder_member_integer (b, "number", 100 + i);
      td_json_builder_member_string (b, "tower", tower_id);
      td_json_builder_end (b);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

TdJson *
bench_make_sheet (GRand *rand, const BenchShape *shape)
{
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  double curve[3][2] = { { 0.0, shape->capacity_m * 1.2 },
                         { 3.8, shape->capacity_m },
                         { 7.6, shape->capacity_m * 0.4 } };
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "format", TD_SITE_FORMAT);
  add_places (b, "coolers", 'C', shape->n_coolers);
  add_places (b, "towers", 'T', shape->n_towers);
  td_json_builder_key (b, "lines");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < shape->n_lines; i++)
    add_line (b, rand, shape, i);
  td_json_builder_end (b);
  td_json_builder_key (b, "cleaning_pump");
  td_json_builder_begin_object (b);
  td_json_builder_key (b, "curve");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < 3; i++)
    {
      td_json_builder_begin_array (b);
      td_json_builder_real (b, curve[i][0], -1);
      td_json_builder_real (b, curve[i][1], -1);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_json_builder_end (b);
  td_json_builder_key (b, "limits");
  td_json_builder_begin_object (b);
  td_json_builder_member_real (b, "min_flow_l_min", 3.8, -1);
  td_json_builder_member_integer (b, "max_pressure_kpa", 1000000);
  td_json_builder_end (b);
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}

/* ---- plans ---- */

void
bench_check_plan (const TdSite *site, const TdPlan *plan)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdLegModel) model = td_leg_model_new (site, NULL, &error);
  guint reversals = 0;
  g_assert_no_error (error);
  g_autoptr (GPtrArray) faults = td_plan_check (site, model, plan);
  for (guint i = 0; i < faults->len; i++)
    g_test_message ("%s", ((TdPlanFault *)g_ptr_array_index (faults, i))->text);
  g_assert_cmpuint (faults->len, ==, 0);
  for (guint c = 0; c < plan->n_circuits; c++)
    for (guint i = 0; i < plan->circuits[c].n_legs; i++)
      reversals += plan->circuits[c].legs[i].reversal ? 1 : 0;
  g_assert_cmpuint (plan->reversals, ==, reversals);
  g_assert_cmpuint (plan->bound_static, <=, plan->n_statics);
  g_assert_cmpuint (plan->bound_circuits, <=, plan->n_circuits);
  g_assert_true (plan->proven == (plan->gap == NULL));
}
