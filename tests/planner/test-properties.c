/* What must hold between plans of sites that differ in one thing. */
#include <math.h>
#include <string.h>

#include "core-json-build.h"
#include "planner-bench.h"

#define N_SITES 250

/* A site as numbers, to be changed and planned. */
typedef struct
{
  guint n;
  struct
  {
    guint tower, cooler;
    const char *pump; /* "none", "one-way", "reversible" */
    int loss_mm;
  } lines[24];
  int capacity_mm;
  gboolean mirrored; /* towers are coolers and coolers are towers */
} Model;

static Model
make_model (GRand *rand, guint max_lines)
{
  static const char *const pumps[] = { "none", "none", "one-way", "reversible" };
  Model model = { .n = (guint)g_rand_int_range (rand, 3, (gint32)max_lines + 1),
                  .capacity_mm = g_rand_boolean (rand) ? 200000 : 401000 };
  for (guint i = 0; i < model.n; i++)
    {
      model.lines[i].tower = (guint)g_rand_int_range (rand, 0, 3);
      model.lines[i].cooler = (guint)g_rand_int_range (rand, 0, 2);
      model.lines[i].pump = pumps[g_rand_int_range (rand, 0, 4)];
      model.lines[i].loss_mm = g_rand_int_range (rand, 20000, 150000);
    }
  return model;
}

static void
write_places (TdJsonBuilder *b, const char *key, char letter)
{
  td_json_builder_key (b, key);
  td_json_builder_begin_array (b);
  for (guint i = 0; i < 3; i++)
    {
      char id[] = { letter, (char)('1' + i), '\0' };
      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "id", id);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

static TdSite *
make_site (const Model *model)
{
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  g_autoptr (GError) error = NULL;
  double head_m = model->capacity_mm / 1000.0;
  g_autofree char *pump_text = g_strdup_printf ("{\"curve\":[[0,%.4f],[3.8,%.3f],[7.6,%.4f]]}",
                                                head_m * 1.2, head_m, head_m * 0.4);
  g_autoptr (TdJson) pump = td_json_parse (pump_text, -1, NULL);
  g_autoptr (TdJson) limits = td_json_parse ("{\"min_flow_l_min\":3.8}", -1, NULL);
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "format", TD_SITE_FORMAT);
  write_places (b, "coolers", 'C');
  write_places (b, "towers", 'T');
  td_json_builder_key (b, "lines");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < model->n; i++)
    {
      guint tower = model->mirrored ? model->lines[i].cooler : model->lines[i].tower;
      guint cooler = model->mirrored ? model->lines[i].tower : model->lines[i].cooler;
      char id[] = { (char)('A' + i), '\0' };
      char tower_id[] = { 'T', (char)('1' + tower), '\0' };
      char cooler_id[] = { 'C', (char)('1' + cooler), '\0' };
      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "id", id);
      td_json_builder_member_string (b, "tower", tower_id);
      td_json_builder_member_string (b, "cooler", cooler_id);
      td_json_builder_member_string (b, "beer_pump", model->lines[i].pump);
      td_json_builder_member_real (b, "head_loss_m", model->lines[i].loss_mm / 1000.0, -1);
      td_json_builder_member_integer (b, "volume_ml", 1000);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_json_builder_member_value (b, "cleaning_pump", pump);
  td_json_builder_member_value (b, "limits", limits);
  td_json_builder_end (b);
  g_autoptr (TdJson) sheet = td_json_builder_finish (b);
  TdSite *site = td_site_from_json (sheet, &error);
  g_assert_no_error (error);
  return site;
}

/* Static lines, circuits, reversals as one number, the worse the greater. */
static guint
rate (const Model *model)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSite) site = make_site (model);
  g_autoptr (TdPlan) plan = td_plan_make (site, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (plan->proven);
  return plan->n_statics * 10000 + plan->n_circuits * 100 + plan->reversals;
}

static void
test_more_head (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (21);
  guint n_better = 0;
  for (guint i = 0; i < N_SITES; i++)
    {
      Model model = make_model (rand, 14);
      guint before = rate (&model);
      model.capacity_mm += 60000;
      guint after = rate (&model);
      g_assert_cmpuint (after, <=, before);
      n_better += after < before ? 1 : 0;
    }
  g_assert_cmpuint (n_better, >, 20);
}

/* One line that may run in where it could not, or loses less, or needs no lever. */
static void
test_freer_line (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (22);
  guint n_better = 0;
  for (guint i = 0; i < N_SITES; i++)
    {
      Model model = make_model (rand, 14);
      guint line = (guint)g_rand_int_range (rand, 0, (gint32)model.n), before = rate (&model);
      if (g_str_equal (model.lines[line].pump, "one-way"))
        model.lines[line].pump = "reversible";
      else if (g_str_equal (model.lines[line].pump, "reversible"))
        model.lines[line].pump = "none";
      else
        model.lines[line].loss_mm /= 2;
      guint after = rate (&model);
      g_assert_cmpuint (after, <=, before);
      n_better += after < before ? 1 : 0;
    }
  g_assert_cmpuint (n_better, >, 10);
}

/* A line more makes one line more static at most, and never fewer by more than one. */
static void
test_line_more (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (23);
  for (guint i = 0; i < N_SITES; i++)
    {
      Model model = make_model (rand, 14);
      guint all = rate (&model) / 10000;
      model.n--;
      guint without = rate (&model) / 10000;
      g_assert_cmpuint (all, <=, without + 1);
    }
}

/* Everything twice as long and the pump twice as strong is the same site; so is one with towers and
 * coolers exchanged, where every circuit is run the other way round. */
static void
test_scaled_and_mirrored (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (24);
  for (guint i = 0; i < N_SITES; i++)
    {
      Model model = make_model (rand, 14), scaled = model, mirrored = model;
      guint expected = rate (&model);
      for (guint k = 0; k < scaled.n; k++)
        scaled.lines[k].loss_mm *= 2;
      scaled.capacity_mm *= 2;
      g_assert_cmpuint (rate (&scaled), ==, expected);
      mirrored.mirrored = TRUE;
      g_assert_cmpuint (rate (&mirrored), ==, expected);
    }
}

/* Two sites side by side without a place in common cost what both cost. */
static void
test_side_by_side (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (25);
  for (guint i = 0; i < N_SITES; i++)
    {
      Model left = make_model (rand, 9), right = make_model (rand, 9);
      right.capacity_mm = left.capacity_mm;
      for (guint k = 0; k < left.n; k++)
        left.lines[k].tower = left.lines[k].cooler = 0;
      for (guint k = 0; k < right.n; k++)
        {
          right.lines[k].tower = 1 + right.lines[k].tower % 2;
          right.lines[k].cooler = 1;
        }
      Model both = left;
      for (guint k = 0; k < right.n; k++)
        both.lines[both.n++] = right.lines[k];
      g_assert_cmpuint (rate (&both), ==, rate (&left) + rate (&right));
    }
}

/* Exactly at the limit flows, one micrometre beyond does not; a relative 1e-9 is no difference. */
static void
test_limit (void)
{
  static const struct
  {
    double loss_m;
    gboolean fits;
  } cases[] = {
    { 19.0, TRUE },      { 19.0000004, TRUE }, { 19.000001, FALSE },
    { 18.999999, TRUE }, { 19.5, FALSE },
  };
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = g_strdup_printf (
          "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C\"}],\"towers\":[{\"id\":\"T\"}],\"lines\":["
          "{\"id\":\"A\",\"tower\":\"T\",\"cooler\":\"C\",\"head_loss_m\":19,\"volume_ml\":9},"
          "{\"id\":\"B\",\"tower\":\"T\",\"cooler\":\"C\",\"head_loss_m\":%.7f,\"volume_ml\":9}],"
          "\"cleaning_pump\":{\"curve\":[[0,45],[4,38],[8,15]]},\"limits\":{\"min_flow_l_min\":4}}",
          cases[i].loss_m);
      g_autoptr (TdSite) site = td_site_parse (text, -1, NULL);
      g_autoptr (TdPlan) plan = td_plan_make (site, NULL, NULL);
      g_assert_cmpuint (plan->n_circuits, ==, cases[i].fits ? 1 : 0);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/planner/properties/more-head", test_more_head);
  g_test_add_func ("/planner/properties/freer-line", test_freer_line);
  g_test_add_func ("/planner/properties/line-more", test_line_more);
  g_test_add_func ("/planner/properties/scaled-and-mirrored", test_scaled_and_mirrored);
  g_test_add_func ("/planner/properties/side-by-side", test_side_by_side);
  g_test_add_func ("/planner/properties/limit", test_limit);
  return g_test_run ();
}
