/* The order of places: crossings counted by an independent rule, and taken away where they can be.
 */
#include "draw-order.h"
#include "scene-cases.h"

/* Pairs of line segments between two rails cross if and only if their ends are in opposite order.
 */
static guint
count_by_pairs (const TdSite *site, const guint *towers, const guint *coolers)
{
  g_autofree guint *place = g_new0 (guint, site->n_outlets),
                   *below = g_new0 (guint, site->n_outlets);
  guint at = 0, crossings = 0;

  for (guint i = 0; i < site->n_towers; i++)
    {
      guint n;
      g_autofree guint *outlets = td_order_outlets (site, towers[i], &n);

      for (guint j = 0; j < n; j++)
        place[outlets[j]] = at++;
    }
  for (guint i = 0; i < site->n_outlets; i++)
    for (guint j = 0; j < site->n_coolers; j++)
      if (coolers[j] == site->outlets[i].cooler)
        below[i] = j;
  for (guint i = 0; i < site->n_outlets; i++)
    for (guint j = 0; j < site->n_outlets; j++)
      crossings += site->outlets[i].side < 0 && site->outlets[j].side < 0 && place[i] < place[j]
                   && below[i] > below[j];
  return crossings;
}

static void
test_cases (void)
{
  for (guint i = 0; i < n_scene_cases; i++)
    {
      g_autoptr (TdRunSheet) sheet = scene_case_make (&scene_cases[i]);
      g_autofree guint *towers = g_new (guint, sheet->site->n_towers);
      g_autofree guint *coolers = g_new (guint, sheet->site->n_coolers);
      g_autofree guint *sheet_towers = g_new (guint, sheet->site->n_towers);
      guint before;

      for (guint j = 0; j < sheet->site->n_towers; j++)
        sheet_towers[j] = j;
      for (guint j = 0; j < sheet->site->n_coolers; j++)
        coolers[j] = j;
      before = count_by_pairs (sheet->site, sheet_towers, coolers);
      td_order_places (sheet->site, towers, coolers);
      g_assert_cmpuint (td_order_count_crossings (sheet->site, towers, coolers), ==,
                        count_by_pairs (sheet->site, towers, coolers));
      g_assert_cmpuint (count_by_pairs (sheet->site, towers, coolers), <=, before);
      /* Where nothing is gained, the sheet's own order stands. */
      for (guint j = 0; before == 0 && j < sheet->site->n_towers; j++)
        g_assert_cmpuint (towers[j], ==, j);
    }
}

static TdSite *
parse (const char *lines)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *json = g_strdup_printf (
      "{\"format\":\"tundish-site/1\",\"site\":{\"name\":\"x\"},"
      "\"coolers\":[{\"id\":\"C1\"},{\"id\":\"C2\"}],\"towers\":[{\"id\":\"T1\"},{\"id\":\"T2\"}],"
      "\"lines\":[%s]}",
      lines);
  TdSite *site = td_site_parse (json, -1, &error);

  g_assert_no_error (error);
  return site;
}

#define LINE(id, number, tower, cooler)                                                            \
  "{\"id\":\"" id "\",\"number\":" number ",\"tower\":\"" tower "\",\"cooler\":\"" cooler          \
  "\",\"beer_pump\":\"none\",\"head_loss_m\":1,\"volume_ml\":500}"

/* Two towers each fed from the cooler on the other side: 4 crossings as the sheet has them, none
 * swapped. */
static void
test_swap (void)
{
  g_autoptr (TdSite) site = parse (LINE ("a", "1", "T1", "C2") "," LINE (
      "b", "2", "T1", "C2") "," LINE ("c", "3", "T2", "C1") "," LINE ("d", "4", "T2", "C1"));
  guint towers[2] = { 0, 1 }, coolers[2] = { 0, 1 };

  g_assert_cmpuint (td_order_count_crossings (site, towers, coolers), ==, 4);
  td_order_places (site, towers, coolers);
  g_assert_cmpuint (td_order_count_crossings (site, towers, coolers), ==, 0);
  g_assert_cmpuint (towers[0], ==, 0);
  g_assert_cmpuint (coolers[0], ==, 1);
}

/* By number as painted on the faucets, whatever the sheet's order; those without a number last. */
static void
test_numbers (void)
{
  g_autoptr (TdSite) site = parse (
      LINE ("z", "12", "T1", "C1") "," LINE ("y", "0", "T1", "C1") "," LINE ("x", "3", "T1", "C1"));
  guint n;
  g_autofree guint *outlets = td_order_outlets (site, 0, &n);

  g_assert_cmpuint (n, ==, 3);
  g_assert_cmpstr (site->outlets[outlets[0]].id, ==, "x");
  g_assert_cmpstr (site->outlets[outlets[1]].id, ==, "z");
  g_assert_cmpstr (site->outlets[outlets[2]].id, ==, "y");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/order/cases", test_cases);
  g_test_add_func ("/order/swap", test_swap);
  g_test_add_func ("/order/numbers", test_numbers);
  return g_test_run ();
}
