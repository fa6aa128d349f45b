#include <string.h>

#include "core-slug.h"
#include "demo-files.h"

/* The files of the demonstration book: readable, and of the variety that they are there for. */

typedef struct
{
  const char *id;
  guint n_towers, n_coolers, n_lines, n_outlets;
  const char *zone;
} DemoSite;

static const DemoSite demo_sites[] = {
  { "ash-barrow-tavern", 1, 1, 6, 6, "America/Chicago" },
  { "gravel-pier-hall", 4, 2, 24, 24, "America/Chicago" },
  { "kestrel-yard", 1, 1, 3, 3, "America/Chicago" },
  { "mill-sluice-taproom", 2, 1, 8, 8, "Europe/Dublin" },
  { "penny-weir-club", 1, 1, 5, 5, "Europe/Dublin" },
  { "the-tin-heron", 1, 1, 4, 4, "Europe/Dublin" },
  { "two-lanterns-bar", 2, 1, 7, 8, "Europe/Dublin" },
};

static void
test_sites (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (demo_sites); i++)
    {
      const DemoSite *row = &demo_sites[i];
      g_autoptr (TdSite) site = read_demo_site (row->id);
      g_autofree char *slug = td_slug_from_text (site->name);

      g_assert_cmpstr (slug, ==, row->id);
      g_assert_cmpuint (site->n_towers, ==, row->n_towers);
      g_assert_cmpuint (site->n_coolers, ==, row->n_coolers);
      g_assert_cmpuint (site->n_lines, ==, row->n_lines);
      g_assert_cmpuint (site->n_outlets, ==, row->n_outlets);
      g_assert_cmpstr (site->zone, ==, row->zone);
      g_assert_cmpstr (site->account_name, !=, NULL);
    }
}

/* Every file of the folder is one of the table, so that none is forgotten. */
static void
test_folder (void)
{
  g_autofree char *path
      = g_build_filename (g_test_get_dir (G_TEST_DIST), "..", "data", "demo", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (GDir) folder = g_dir_open (path, 0, &error);
  const char *name;
  guint n = 0;

  g_assert_no_error (error);
  while ((name = g_dir_read_name (folder)) != NULL)
    n += g_str_has_suffix (name, ".site.json");
  g_assert_cmpuint (n, ==, G_N_ELEMENTS (demo_sites));
}

/* One tower, four lines, no beer pumps. */
static void
test_small (void)
{
  g_autoptr (TdSite) site = read_demo_site ("the-tin-heron");

  for (guint i = 0; i < site->n_lines; i++)
    {
      g_assert_cmpint (site->lines[i].beer_pump, ==, TD_BEER_PUMP_NONE);
      g_assert_false (site->lines[i].fob);
      g_assert_true (td_line_may_run_in (&site->lines[i]));
    }
}

/* Two towers over one cold room: trunks of 20 to 60 m in mixed bores, a split line, FOBs
 * everywhere. */
static void
test_two_towers (void)
{
  static const struct
  {
    const char *line;
    const char *tower;
    TdBeerPump pump;
  } lines[] = {
    { "A1", "TA", TD_BEER_PUMP_ONE_WAY },    { "A2", "TA", TD_BEER_PUMP_REVERSIBLE },
    { "A3", "TA", TD_BEER_PUMP_ONE_WAY },    { "A4", "TA", TD_BEER_PUMP_REVERSIBLE },
    { "B5", "TB", TD_BEER_PUMP_REVERSIBLE }, { "B6", "TB", TD_BEER_PUMP_ONE_WAY },
    { "B7", "TB", TD_BEER_PUMP_NONE },
  };
  g_autoptr (TdSite) site = read_demo_site ("two-lanterns-bar");
  double narrowest = G_MAXDOUBLE, widest = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (lines); i++)
    {
      const TdLine *line = &site->lines[td_site_find_line (site, lines[i].line)];
      double longest = 0;

      g_assert_cmpstr (site->towers[line->tower].id, ==, lines[i].tower);
      g_assert_cmpint (line->beer_pump, ==, lines[i].pump);
      g_assert_true (line->fob);
      for (guint j = 0; j < line->n_segments; j++)
        if (line->segments[j].length_m > longest)
          {
            longest = line->segments[j].length_m;
            narrowest = MIN (narrowest, line->segments[j].bore_mm);
            widest = MAX (widest, line->segments[j].bore_mm);
          }
      g_assert_cmpfloat (longest, >=, 20);
      g_assert_cmpfloat (longest, <=, 60);
    }
  g_assert_cmpint (site->outlets[td_site_find_outlet (site, "B8")].side, ==, 0);
  g_assert_cmpfloat (site->towers[0].height_m, !=, site->towers[1].height_m);
  g_assert_cmpfloat (narrowest, <, widest);
}

static void
test_company (void)
{
  g_autoptr (TdMasters) masters = read_demo_company ();
  gboolean kinds[TD_PRODUCT_OTHER + 1] = { FALSE };
  gboolean tools[TD_INSTRUMENT_OTHER + 1] = { FALSE };
  guint n_recalled = 0;

  for (guint i = 0; i < masters->n_products; i++)
    kinds[masters->products[i].kind] = TRUE;
  for (guint i = 0; i < masters->n_instruments; i++)
    tools[masters->instruments[i].kind] = TRUE;
  for (guint i = 0; i < masters->n_lots; i++)
    n_recalled += masters->lots[i].recalled;
  for (guint kind = 0; kind < TD_PRODUCT_OTHER; kind++)
    g_assert_true (kinds[kind]);
  for (guint kind = 0; kind < TD_INSTRUMENT_OTHER; kind++)
    g_assert_true (tools[kind]);
  g_assert_cmpuint (masters->n_technicians, ==, 4);
  g_assert_cmpuint (n_recalled, ==, 1);
  g_assert_nonnull (masters->emergency_phone);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/demo-data/sites", test_sites);
  g_test_add_func ("/demo-data/folder", test_folder);
  g_test_add_func ("/demo-data/small", test_small);
  g_test_add_func ("/demo-data/two-towers", test_two_towers);
  g_test_add_func ("/demo-data/company", test_company);
  return g_test_run ();
}
