/* Charts: bars as long as their figures say, inside the picture, apart without colour. */
#include "draw-chart.h"

static GPtrArray *
make_groups (guint n)
{
  GPtrArray *groups = g_ptr_array_new_with_free_func ((GDestroyNotify) td_chart_group_free);

  for (guint i = 0; i < n; i++)
    g_ptr_array_add (groups, td_chart_group_new ("a label that is rather long", 100.0 * i, g_strdup ("x"), 50.0 * i,
                                                 i % 3 == 2 ? NULL : g_strdup ("y")));
  return groups;
}

static void
check_inside (const TdChart *chart)
{
  for (guint i = 0; i < chart->bars->len; i++)
    {
      const TdBox *box = &g_array_index (chart->bars, TdChartBar, i).box;

      g_assert_cmpfloat (box->x, >=, 0);
      g_assert_cmpfloat (box->y, >=, 0);
      g_assert_cmpfloat (box->x + box->width, <=, chart->width + 1e-6);
      g_assert_cmpfloat (box->y + box->height, <=, chart->height + 1e-6);
      for (guint j = 0; j < i; j++)
        {
          const TdBox *other = &g_array_index (chart->bars, TdChartBar, j).box;

          g_assert_true (box->x >= other->x + other->width || other->x >= box->x + box->width
                         || box->y >= other->y + other->height || other->y >= box->y + box->height);
        }
    }
}

static void
test_lengths (void)
{
  for (guint shape = TD_CHART_COLUMNS; shape <= TD_CHART_ROWS; shape++)
    for (guint n = 1; n <= 24; n++)
      {
        g_autoptr (GPtrArray) groups = make_groups (n);
        g_autoptr (TdChart) chart = td_chart_new (shape, groups, 170, 40);
        double unit = 0;

        check_inside (chart);
        for (guint i = 0; i < chart->bars->len; i++)
          {
            const TdChartBar *bar = &g_array_index (chart->bars, TdChartBar, i);
            double length = shape == TD_CHART_ROWS ? bar->box.width : bar->box.height;
            double value = (bar->series == 0 ? 100.0 : 50.0) * bar->group;

            if (value == 0)
              continue;
            if (unit == 0)
              unit = length / value;
            g_assert_cmpfloat_with_epsilon (length, value * unit, 1e-6);
          }
      }
}

static void
test_hit (void)
{
  g_autoptr (GPtrArray) groups = make_groups (4);
  g_autoptr (TdChart) rows = td_chart_new (TD_CHART_ROWS, groups, 170, 0);

  for (guint i = 0; i < rows->bars->len; i++)
    {
      const TdChartBar *bar = &g_array_index (rows->bars, TdChartBar, i);

      g_assert_cmpint (td_chart_hit (rows, 3, bar->box.y + bar->box.height / 2), ==, bar->group);
    }
  g_assert_cmpint (td_chart_hit (rows, -1, 3), ==, -1);
  g_assert_cmpint (td_chart_hit (rows, 3, rows->height + 5), ==, -1);
}

static double
get_grey (cairo_surface_t *surface, double x, double y)
{
  const guchar *pixel = cairo_image_surface_get_data (surface)
                        + (gsize) (y * 10) * (gsize) cairo_image_surface_get_stride (surface) + (gsize) (x * 10) * 4;

  return (0.0722 * pixel[0] + 0.7152 * pixel[1] + 0.2126 * pixel[2]) / 255.0;
}

/* In grey, a filled bar is far from the paper, and a hollow one is paper inside an edge. */
static void
test_greyscale (void)
{
  g_autoptr (GPtrArray) groups = g_ptr_array_new_with_free_func ((GDestroyNotify) td_chart_group_free);
  TdPaintOptions options = TD_PAINT_OPTIONS_INIT;

  g_ptr_array_add (groups, td_chart_group_new ("a", 10, g_strdup ("10"), 8, g_strdup ("8")));
  for (guint palette = 0; palette < TD_N_PALETTES; palette++)
    {
      g_autoptr (TdChart) chart = td_chart_new (TD_CHART_COLUMNS, groups, 40, 30);
      cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 400, 300);
      cairo_t *cr = cairo_create (surface);
      const TdBox *full = &g_array_index (chart->bars, TdChartBar, 0).box;
      const TdBox *hollow = &g_array_index (chart->bars, TdChartBar, 1).box;
      double ground;

      cairo_scale (cr, 10, 10);
      options.palette = palette;
      td_chart_paint (chart, cr, &options);
      cairo_surface_flush (surface);
      ground = get_grey (surface, 39, 1);
      g_assert_cmpfloat (ABS (get_grey (surface, full->x + full->width / 2, full->y + 5) - ground), >, 0.25);
      g_assert_cmpfloat_with_epsilon (get_grey (surface, hollow->x + hollow->width / 2, hollow->y + 5), ground, 0.01);
      g_assert_cmpfloat (ABS (get_grey (surface, hollow->x + 0.15, hollow->y + 5) - ground), >, 0.4);
      cairo_destroy (cr);
      cairo_surface_destroy (surface);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/chart/lengths", test_lengths);
  g_test_add_func ("/chart/hit", test_hit);
  g_test_add_func ("/chart/greyscale", test_greyscale);
  return g_test_run ();
}
