/* The hours as bars: all that the run holds is drawn, in its place, and it can be read. */
#include "draw-hours.h"

#include "core-plan-make.h"

#include <math.h>
#include <string.h>

static const char sheet[]
    = "{\"format\":\"tundish-site/1\",\"coolers\":[{\"id\":\"C1\"}],\"towers\":[{\"id\":\"T1\",\"name\":\"Front bar\"}],"
      "\"lines\":["
      "{\"id\":\"L1\",\"number\":1,\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":20}]},"
      "{\"id\":\"L2\",\"number\":2,\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":20}]},"
      "{\"id\":\"L3\",\"number\":3,\"tower\":\"T1\",\"cooler\":\"C1\",\"segments\":[{\"bore_mm\":9.525,\"length_m\":20}]}]}";

typedef struct
{
  TdSite *site;
  TdPlan *plan;
  TdPlanOutlook *outlook;
  TdHours *hours;
} Chart;

static void
set_up (Chart *chart, gconstpointer data)
{
  chart->site = td_site_parse (sheet, -1, NULL);
  chart->plan = td_plan_make (chart->site, NULL, NULL);
  chart->outlook = td_plan_outlook_new (chart->site, chart->plan, NULL, 2, NULL);
  chart->hours = td_hours_new (chart->site, chart->outlook, 180);
}

static void
tear_down (Chart *chart, gconstpointer data)
{
  td_hours_free (chart->hours);
  td_plan_outlook_free (chart->outlook);
  td_plan_unref (chart->plan);
  td_site_unref (chart->site);
}

static void
test_rows (Chart *chart, gconstpointer data)
{
  const TdHours *hours = chart->hours;
  guint drawn = 0;

  /* A circuit, a static line, two technicians. */
  g_assert_cmpuint (hours->n_rows, ==, 4);
  g_assert_nonnull (strstr (hours->rows[0].label, "1"));
  g_assert_cmpstr (hours->rows[1].label, ==, "Front bar 3");
  g_assert_nonnull (strstr (hours->rows[0].note, "min before opening"));
  g_assert_cmpfloat_with_epsilon (hours->rows[0].in_x,
                                  hours->left
                                      + (hours->right - hours->left) * (double) chart->outlook->time->chemical_s[0]
                                            / (double) chart->outlook->time->total_s,
                                  1e-9);
  for (guint i = 0; i < hours->n_rows; i++)
    for (guint k = 0; k < hours->rows[i].n_bars; k++)
      {
        const TdHoursBar *bar = &hours->rows[i].bars[k];

        g_assert_cmpfloat (bar->width, >, 0.0);
        g_assert_cmpfloat (bar->x, >=, hours->left - 1e-9);
        g_assert_cmpfloat (bar->x + bar->width, <=, hours->right + 1e-9);
        /* What somebody does stands in a technician's row and, unless it is a walk or a wait, in another. */
        drawn += i < 2 && bar->work != TD_PLAN_WORK_CONTACT && bar->work != TD_PLAN_WORK_HOLD ? 1 : 0;
        drawn += i >= 2 && (bar->work == TD_PLAN_WORK_WALK || bar->work == TD_PLAN_WORK_WAIT) ? 1 : 0;
      }
  for (guint i = 2; i < hours->n_rows; i++)
    for (guint k = 1; k < hours->rows[i].n_bars; k++)
      g_assert_cmpfloat (hours->rows[i].bars[k].x, >=,
                         hours->rows[i].bars[k - 1].x + hours->rows[i].bars[k - 1].width - 1e-9);
  g_assert_cmpuint (drawn, >, 0);
  g_assert_cmpfloat_with_epsilon (hours->height, 6.0 + 5 * TD_HOURS_ROW_MM + 1.0, 1e-9);
}

/* Each kind of work has a letter of its own, save going and waiting, which are lines. */
static void
test_letters (void)
{
  GString *seen = g_string_new (NULL);

  for (TdPlanWork work = TD_PLAN_WORK_SET_UP; work <= TD_PLAN_WORK_PUT_BACK; work++)
    {
      const char *letter = td_hours_get_letter (work);

      g_assert_cmpuint (strlen (letter), ==, 1);
      g_assert_null (strchr (seen->str, *letter));
      g_string_append (seen, letter);
    }
  g_string_free (seen, TRUE);
}

/* Contact is painted in another colour than the ground, in all palettes. */
static void
test_paint (Chart *chart, gconstpointer data)
{
  for (int palette = 0; palette < TD_N_PALETTES; palette++)
    {
      TdPaintOptions options = TD_PAINT_OPTIONS_INIT;
      cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 1800, 350);
      cairo_t *cr = cairo_create (surface);
      const TdHoursRow *row = &chart->hours->rows[0];

      options.palette = (TdPaletteKind) palette;
      cairo_scale (cr, 10, 10);
      td_hours_paint (chart->hours, cr, &options);
      cairo_surface_flush (surface);
      for (guint k = 0; k < row->n_bars; k++)
        if (row->bars[k].work == TD_PLAN_WORK_CONTACT)
          {
            int x = (int) ((row->bars[k].x + 1.0) * 10), y = (int) ((row->y + 1.5) * 10);
            const guint32 *pixels = (const guint32 *) (gpointer) cairo_image_surface_get_data (surface);
            guint32 inside = pixels[y * cairo_image_surface_get_stride (surface) / 4 + x] & 0xffffff;
            const TdColour *still = &td_palette_get (options.palette)->still;

            g_assert_cmpint (ABS ((int) (inside >> 16) - (int) lround (still->red * 255)), <=, 2);
            g_assert_cmpint (ABS ((int) (inside & 255) - (int) lround (still->blue * 255)), <=, 2);
          }
      cairo_destroy (cr);
      cairo_surface_destroy (surface);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/hours/rows", Chart, NULL, set_up, test_rows, tear_down);
  g_test_add_func ("/hours/letters", test_letters);
  g_test_add ("/hours/paint", Chart, NULL, set_up, test_paint, tear_down);
  return g_test_run ();
}
