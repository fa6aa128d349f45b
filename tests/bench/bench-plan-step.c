/* How long the wizard's Plan step takes from a pin to the new picture: planning, outlook, layout of drawing
 * and hours, painting.  usage: bench-plan-step SITE.json
 *
 * Every line of the site is pinned static, left out and forbidden its lever in turn, as a technician would. */
#include "core-plan-make.h"
#include "desk-hours-view.h"
#include "desk-tower-view.h"

#include <stdlib.h>
#include <time.h>

typedef struct
{
  GMainLoop *loop;
  gboolean painted;
} Frame;

static gint64
get_spent_us (void)
{
  struct timespec spent;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &spent);
  return (gint64) spent.tv_sec * G_USEC_PER_SEC + spent.tv_nsec / 1000;
}

static void
after_paint_cb (GdkFrameClock *clock, gpointer user_data)
{
  Frame *frame = user_data;

  frame->painted = TRUE;
}

static void
wait_for_paint (Frame *frame)
{
  frame->painted = FALSE;
  while (!frame->painted)
    g_main_context_iteration (NULL, TRUE);
}

/* How much of all that is planning, ms. */
static double planning_ms;

/* Returns the milliseconds of the processor from the pin to the picture; below zero where the pin cannot be
 * kept. */
static double
pin (TdSite *site, TdTowerView *drawing, TdHoursView *hours, Frame *frame, TdPinKind kind, guint line)
{
  const char *const ids[] = { site->lines[line].id, NULL };
  g_autoptr (TdPlanPins) pins = td_plan_pins_new ();
  g_autoptr (TdPlan) plan = NULL;
  g_autoptr (TdPlanOutlook) outlook = NULL;
  gint64 begun_us = get_spent_us ();

  td_plan_pins_add (pins, kind, ids);
  plan = td_plan_make_with (site, NULL, pins, NULL);
  if (plan == NULL)
    return -1.0;
  outlook = td_plan_outlook_new (site, plan, NULL, 1, NULL);
  planning_ms += (double) (get_spent_us () - begun_us) / 1000.0;
  td_tower_view_set_sheet (drawing, td_run_sheet_new_plan (site, plan));
  td_hours_view_set_outlook (hours, site, outlook, "");
  wait_for_paint (frame);
  return (double) (get_spent_us () - begun_us) / 1000.0;
}

static int
compare (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;

  return x < y ? -1 : x > y;
}

int
main (int argc, char **argv)
{
  static const TdPinKind kinds[] = { TD_PIN_STATIC, TD_PIN_LEAVE_OUT, TD_PIN_NO_REVERSAL };
  g_autofree char *text = NULL;
  g_autoptr (TdSite) site = NULL;
  g_autoptr (GArray) times = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GError) error = NULL;
  GtkWidget *window, *box, *drawing, *hours;
  Frame frame = { NULL, FALSE };

  if (argc != 2)
    return 2;
  gtk_init ();
  if (!g_file_get_contents (argv[1], &text, NULL, &error) || (site = td_site_parse (text, -1, &error)) == NULL)
    g_error ("%s: %s", argv[1], error->message);
  window = gtk_window_new ();
  box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  drawing = td_tower_view_new ();
  hours = g_object_new (TD_TYPE_HOURS_VIEW, NULL);
  gtk_window_set_default_size (GTK_WINDOW (window), 1024, 1200);
  gtk_widget_set_size_request (drawing, -1, 420);
  gtk_box_append (GTK_BOX (box), drawing);
  gtk_box_append (GTK_BOX (box), hours);
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_window_present (GTK_WINDOW (window));
  g_signal_connect (gtk_widget_get_frame_clock (window), "after-paint", G_CALLBACK (after_paint_cb), &frame);
  for (guint i = 0; i <= 3 * site->n_lines; i++)
    {
      double took = pin (site, TD_TOWER_VIEW (drawing), TD_HOURS_VIEW (hours), &frame, kinds[i % 3],
                         (i / 3) % site->n_lines);

      /* The first one also lays out fonts. */
      if (took >= 0.0 && i > 0)
        g_array_append_val (times, took);
    }
  g_array_sort (times, compare);
  g_print ("%u pins on %u lines: median %.1f ms, nine in ten within %.1f ms, worst %.1f ms, of which planning takes %.1f "
           "(a frame is 16 ms)\n",
           times->len, site->n_lines, g_array_index (times, double, times->len / 2),
           g_array_index (times, double, times->len * 9 / 10), g_array_index (times, double, times->len - 1),
           planning_ms / (double) (times->len + 1));
  return 0;
}
