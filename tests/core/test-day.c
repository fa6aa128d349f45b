/* The order of a day, worked out by hand: the rule stands in core-day.h; hours and minutes are made up. */
#include "core-day.h"

#include <string.h>

static const TdTravel roads[] = { { "a", "b", 20 }, { "b", "c", 15 }, { "a", "a", 5 } };
static const TdDayFrame frame = { roads, G_N_ELEMENTS (roads), 30, 10, "a", 420, 900 };

/* date, minutes, area, from, to */
#define STOP(due, work, where, from, to) { .area = where, .date = due, .minutes = work, .from_min = from, .to_min = to }

static void
check (TdDayStop *stops, guint n, const char *expected, guint fit)
{
  guint order[8];
  g_autoptr (GString) had = g_string_new (NULL);
  guint n_fit = td_day_plan (&frame, stops, n, order);

  for (guint i = 0; i < n; i++)
    {
      const TdDayStop *stop = &stops[order[i]];

      g_string_append_printf (had, "%u", order[i]);
      if (stop->fits)
        g_string_append_printf (had, ":%d+%d-%d", stop->begin_min, stop->travel_min, stop->end_min);
      g_string_append_c (had, ' ');
    }
  g_assert_cmpstr (had->str, ==, expected);
  g_assert_cmpuint (n_fit, ==, fit);
}

static void
test_travel (void)
{
  g_assert_cmpint (td_day_get_travel (&frame, "a", "b"), ==, 20);
  g_assert_cmpint (td_day_get_travel (&frame, "b", "a"), ==, 20);
  g_assert_cmpint (td_day_get_travel (&frame, "a", "a"), ==, 5);
  g_assert_cmpint (td_day_get_travel (&frame, "b", "b"), ==, 10);
  g_assert_cmpint (td_day_get_travel (&frame, "a", "c"), ==, 30);
  g_assert_cmpint (td_day_get_travel (&frame, NULL, "c"), ==, 30);
}

/* Due dates first, whatever the road; within a day the nearest. */
static void
test_order (void)
{
  TdDayStop dates[] = { STOP (10, 60, "a", -1, -1), STOP (9, 60, "c", -1, -1) };
  TdDayStop near[] = { STOP (9, 60, "c", -1, -1), STOP (9, 60, "b", -1, -1), STOP (9, 60, "a", -1, -1) };
  TdDayStop equal[] = { STOP (9, 60, "b", -1, -1), STOP (9, 60, "b", -1, 800), STOP (9, 60, "b", -1, 700) };

  check (dates, 2, "1:450+30-510 0:540+30-600 ", 2);
  check (near, 3, "2:425+5-485 1:505+20-565 0:580+15-640 ", 3);
  /* Of equally near ones the one that must be done earliest. */
  check (equal, 3, "2:440+20-500 1:510+10-570 0:580+10-640 ", 3);
}

/* Hours of the site and of the day hold to the minute; what cannot be done is passed over and told. */
static void
test_hours (void)
{
  TdDayStop wait[] = { STOP (9, 60, "a", 600, -1) };
  TdDayStop exact[] = { STOP (9, 60, "a", -1, 485) };
  TdDayStop late[] = { STOP (9, 60, "a", -1, 484) };
  TdDayStop day[] = { STOP (9, 475, "a", -1, -1), STOP (10, 476, "a", -1, -1) };
  TdDayStop again[] = { STOP (8, 60, "b", 700, 800), STOP (9, 60, "a", -1, -1) };
  TdDayStop passed[] = { STOP (9, 300, "a", -1, 700), STOP (8, 300, "b", -1, 800), STOP (7, 500, "a", -1, -1) };

  check (wait, 1, "0:600+5-660 ", 1);
  check (exact, 1, "0:425+5-485 ", 1);
  check (late, 1, "0 ", 0);
  check (day, 2, "0:425+5-900 1 ", 1);
  check (again, 2, "0:700+20-760 1:780+20-840 ", 2);
  check (passed, 3, "1:440+20-740 2 0 ", 1);
}

/* Nothing is known of where the day begins: the first stop costs no road. */
static void
test_anywhere (void)
{
  TdDayFrame anywhere = frame;
  TdDayStop stops[] = { STOP (9, 60, "c", -1, -1), STOP (9, 60, NULL, -1, -1) };
  guint order[2];

  anywhere.area = NULL;
  g_assert_cmpuint (td_day_plan (&anywhere, stops, 2, order), ==, 2);
  g_assert_cmpint (stops[0].begin_min, ==, 420);
  g_assert_cmpint (stops[1].begin_min, ==, 510);
  g_assert_cmpuint (td_day_plan (&anywhere, NULL, 0, NULL), ==, 0);
}

static void
test_minutes (void)
{
  static const struct
  {
    const char *text;
    int minute; /* -1: refused */
  } cases[] = { { "00:00", 0 }, { "07:30", 450 }, { "24:00", 1440 }, { "24:01", -1 }, { "12:60", -1 }, { "7:30", -1 },
                { "07.30", -1 }, { "0730", -1 }, { "", -1 }, { "07:3o", -1 }, { "-1:00", -1 } };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      int minute = -1;

      g_assert_cmpint (td_day_parse_minute (cases[i].text, &minute), ==, cases[i].minute >= 0);
      if (cases[i].minute < 0)
        continue;
      g_autofree char *text = td_day_format_minute (minute);
      g_assert_cmpint (minute, ==, cases[i].minute);
      g_assert_cmpstr (text, ==, cases[i].text);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/day/travel", test_travel);
  g_test_add_func ("/day/order", test_order);
  g_test_add_func ("/day/hours", test_hours);
  g_test_add_func ("/day/anywhere", test_anywhere);
  g_test_add_func ("/day/minutes", test_minutes);
  return g_test_run ();
}
