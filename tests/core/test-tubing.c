/* The tube table against geometry and against the handbook's printed examples. */
#include <math.h>
#include <string.h>

#include "core-tubing.h"
#include "core-units.h"

#define MM_PER_IN 25.4

static const TdTube *
tube (const char *material, double bore_in)
{
  const TdTube *found = td_tubing_find (material, bore_in * MM_PER_IN);

  g_assert_nonnull (found);
  return found;
}

/* The one that is sold by its outside diameter. */
static const TdTube *
stainless (void)
{
  guint n;
  const TdTube *table = td_tubing_get_table (&n);

  for (guint i = 0; i < n; i++)
    if (strcmp (table[i].material, "stainless") == 0)
      return &table[i];
  g_assert_not_reached ();
}

/* pi/4 d2 in mL/m, mL/ft and US fl oz/ft, four digits each, computed apart from this program; the
 * handbook's fractions beside them (BA Draught Beer Quality Manual; 3/16 and 5/16 from memory). */
static void
test_geometry (void)
{
  static const struct
  {
    double bore_in;
    double ml_m;
    double ml_ft;
    double fl_oz_ft;
    double handbook_fl_oz_ft;
  } cases[] = {
    { 3.0 / 16, 17.8139, 5.4297, 0.1836, 0.167 }, { 1.0 / 4, 31.6692, 9.6528, 0.3264, 0.333 },
    { 5.0 / 16, 49.4832, 15.0825, 0.5100, 0.5 },  { 3.0 / 8, 71.2557, 21.7187, 0.7344, 0.75 },
    { 1.0 / 2, 126.6769, 38.6111, 1.3056, 1.333 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      double ml_m = td_tubing_get_ml_m (cases[i].bore_in * MM_PER_IN);
      double ml_ft = ml_m * td_unit_to_base (TD_UNIT_FT, 1);

      g_assert_cmpfloat_with_epsilon (ml_m, cases[i].ml_m, 0.00006);
      g_assert_cmpfloat_with_epsilon (ml_ft, cases[i].ml_ft, 0.00006);
      g_assert_cmpfloat_with_epsilon (td_unit_from_base (TD_UNIT_FL_OZ, ml_ft), cases[i].fl_oz_ft, 0.00006);
      g_assert_cmpfloat_with_epsilon (tube ("vinyl", cases[i].bore_in)->handbook_fl_oz_ft,
                                      cases[i].handbook_fl_oz_ft, 0.0006);
    }
}

/* The handbook rounds, but nowhere beyond a tenth of geometry. */
static void
test_handbook_is_near (void)
{
  guint n;
  const TdTube *table = td_tubing_get_table (&n);

  for (guint i = 0; i < n; i++)
    {
      double fl_oz_ft;

      g_assert_cmpfloat (table[i].restriction_psi_ft, >, 0);
      if (isnan (table[i].bore_mm))
        continue;
      fl_oz_ft = td_unit_from_base (TD_UNIT_FL_OZ, td_tubing_get_ml_m (table[i].bore_mm) * 0.3048);
      g_assert_cmpfloat_with_epsilon (table[i].handbook_fl_oz_ft / fl_oz_ft, 1, 0.1);
      g_assert_true (td_tubing_find (table[i].material, table[i].bore_mm) == &table[i]);
    }
}

/* Volumes printed in the handbook: 100 ft of 3/8 hold 75 fl oz, 50 ft of 5/16 hold 25. */
static void
test_printed_volumes (void)
{
  g_assert_cmpfloat (100 * tube ("vinyl", 3.0 / 8)->handbook_fl_oz_ft, ==, 75);
  g_assert_cmpfloat (50 * tube ("barrier", 5.0 / 16)->handbook_fl_oz_ft, ==, 25);
  /* 5 ft 3/8 vinyl + 63.3 ft 1/4 barrier + 6.67 ft 5/16 stainless: 27.08 fl oz, its lengths rounded. */
  g_assert_cmpfloat_with_epsilon (5 * tube ("vinyl", 3.0 / 8)->handbook_fl_oz_ft
                                      + 63.3 * tube ("barrier", 1.0 / 4)->handbook_fl_oz_ft
                                      + 6.67 * stainless ()->handbook_fl_oz_ft,
                                  27.08, 0.02);
}

/* Balances printed in the handbook: restriction of the tube and 0.5 psi a foot of rise. */
static void
test_printed_balances (void)
{
  static const struct
  {
    const char *material;
    double bore_in;
    double length_ft;
    double rise_ft;
    double psi;
  } cases[] = {
    { "vinyl", 3.0 / 16, 3, 4, 11 },
    { "vinyl", 1.0 / 4, 10, 8, 12.5 },
    { "barrier", 1.0 / 4, 30, 6, 12 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_assert_cmpfloat_with_epsilon (
        cases[i].length_ft * tube (cases[i].material, cases[i].bore_in)->restriction_psi_ft
            + cases[i].rise_ft * TD_TUBING_HANDBOOK_RISE_PSI_FT,
        cases[i].psi, 1e-9);
  g_assert_cmpfloat_with_epsilon (5 * tube ("vinyl", 3.0 / 8)->restriction_psi_ft
                                      + 63.3 * tube ("barrier", 1.0 / 4)->restriction_psi_ft
                                      + 6.67 * stainless ()->restriction_psi_ft,
                                  22, 0.02);
}

static void
test_find (void)
{
  g_assert_cmpstr (td_tubing_find ("vinyl", 9.5)->size, ==, "3/8 in inside");
  g_assert_cmpstr (td_tubing_find ("barrier", 7.9)->size, ==, "5/16 in inside");
  g_assert_null (td_tubing_find ("vinyl", 9.7));
  g_assert_null (td_tubing_find ("vinyl", 8.5));
  g_assert_null (td_tubing_find ("barrier", 12.7)); /* none in the handbook's table */
  g_assert_null (td_tubing_find ("stainless", 6.35));
  g_assert_null (td_tubing_find ("copper", 9.525));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/tubing/geometry", test_geometry);
  g_test_add_func ("/tubing/handbook-is-near", test_handbook_is_near);
  g_test_add_func ("/tubing/printed-volumes", test_printed_volumes);
  g_test_add_func ("/tubing/printed-balances", test_printed_balances);
  g_test_add_func ("/tubing/find", test_find);
  return g_test_run ();
}
