/* Civil dates against GLib's own calendar. */
#include "core-error.h"
#include "core-time.h"

/* GLib's Julian day 719163 is 1970-01-01. */
#define GLIB_EPOCH 719163

static void
test_every_day (void)
{
  const TdDate first = td_date_make (1600, 1, 1);
  const TdDate last = td_date_make (2400, 12, 31);

  g_assert_cmpint (td_date_make (1970, 1, 1), ==, 0);
  g_assert_cmpint (last - first + 1, ==, 2 * 146097 + 366); /* two eras and the leap year 2400 */
  for (TdDate date = first; date <= last; date++)
    {
      int year;
      int month;
      int day;
      GDate glib;

      td_date_split (date, &year, &month, &day);
      g_date_clear (&glib, 1);
      g_date_set_julian (&glib, (guint32) (date + GLIB_EPOCH));
      g_assert_cmpint (year, ==, g_date_get_year (&glib));
      g_assert_cmpint (month, ==, (int) g_date_get_month (&glib));
      g_assert_cmpint (day, ==, g_date_get_day (&glib));
      g_assert_cmpint (td_date_get_weekday (date), ==, (int) g_date_get_weekday (&glib));
      g_assert_cmpint (td_date_make (year, month, day), ==, date);
    }
}

static void
test_make_refuses (void)
{
  static const int cases[][3] = {
    { 2023, 2, 29 }, { 1900, 2, 29 }, { 2100, 2, 29 }, { 2024, 2, 30 }, { 2024, 4, 31 },
    { 2024, 0, 1 },  { 2024, 13, 1 }, { 2024, 1, 0 },  { 2024, 1, 32 }, { 0, 1, 1 },
    { 10000, 1, 1 }, { -1, 1, 1 },    { 2024, -1, 1 }, { 2024, 1, -1 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_assert_cmpint (td_date_make (cases[i][0], cases[i][1], cases[i][2]), ==, TD_DATE_NONE);
  g_assert_cmpint (td_date_make (2000, 2, 29), !=, TD_DATE_NONE);
  g_assert_cmpint (td_date_make (1, 1, 1), ==, -719162);
  g_assert_cmpint (td_date_make (9999, 12, 31), ==, 2932896);
}

static void
test_split_extremes (void)
{
  static const TdDate dates[] = { G_MININT32 + 1, -719469, -719468, -1, 0, G_MAXINT32 };

  for (gsize i = 0; i < G_N_ELEMENTS (dates); i++)
    {
      int year;
      int month;
      int day;

      td_date_split (dates[i], &year, &month, &day);
      g_assert_cmpint (month, >=, 1);
      g_assert_cmpint (month, <=, 12);
      g_assert_cmpint (day, >=, 1);
      g_assert_cmpint (day, <=, 31);
      g_assert_cmpint (td_date_get_weekday (dates[i]), >=, 1);
      g_assert_cmpint (td_date_get_weekday (dates[i]), <=, 7);
    }
}

static void
test_text (void)
{
  static const char *const good[] = { "2026-03-02", "2024-02-29", "0001-01-01", "9999-12-31" };
  static const char *const bad[]
      = { "",           "2026-3-2",   "2026-03-02T", "20260302",    "2026/03/02", "2026-02-29",
          "2026-00-01", "2026-01-00", " 2026-03-02", "-2026-03-02", "02-03-2026", "0000-01-01" };

  for (gsize i = 0; i < G_N_ELEMENTS (good); i++)
    {
      TdDate date;
      g_autofree char *text = NULL;

      g_assert_true (td_date_parse (good[i], &date, NULL));
      text = td_date_to_text (date);
      g_assert_cmpstr (text, ==, good[i]);
    }
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      TdDate date = 5;
      g_autoptr (GError) error = NULL;

      g_assert_false (td_date_parse (bad[i], &date, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
      g_assert_cmpint (date, ==, 5);
    }
}

static void
test_add_months (void)
{
  static const struct
  {
    const char *from;
    int months;
    const char *to; /* NULL where out of the calendar */
  } cases[] = {
    { "2026-01-31", 1, "2026-02-28" },   { "2024-01-31", 1, "2024-02-29" },
    { "2026-01-31", 3, "2026-04-30" },   { "2026-03-02", 3, "2026-06-02" },
    { "2026-11-30", 3, "2027-02-28" },   { "2026-12-01", 1, "2027-01-01" },
    { "2024-02-29", 12, "2025-02-28" },  { "2024-02-29", 48, "2028-02-29" },
    { "2026-03-31", -1, "2026-02-28" },  { "2026-01-15", -1, "2025-12-15" },
    { "2026-03-31", 0, "2026-03-31" },   { "9999-12-31", 1, NULL },
    { "0001-01-01", -1, NULL },          { "2026-01-01", G_MAXINT, NULL },
    { "2026-01-01", G_MININT, NULL },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      TdDate from;
      TdDate to = TD_DATE_NONE;

      g_assert_true (td_date_parse (cases[i].from, &from, NULL));
      if (cases[i].to != NULL)
        g_assert_true (td_date_parse (cases[i].to, &to, NULL));
      g_assert_cmpint (td_date_add_months (from, cases[i].months), ==, to);
    }
}

/* GLib adds months by the same end-of-month rule. */
static void
test_add_months_random (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (7);

  for (int i = 0; i < 20000; i++)
    {
      TdDate from = g_rand_int_range (random, td_date_make (1700, 1, 1), td_date_make (2300, 1, 1));
      int months = g_rand_int_range (random, 0, 1200);
      GDate glib;

      g_date_clear (&glib, 1);
      g_date_set_julian (&glib, (guint32) (from + GLIB_EPOCH));
      g_date_add_months (&glib, (guint) months);
      g_assert_cmpint (td_date_add_months (from, months), ==,
                       (int) g_date_get_julian (&glib) - GLIB_EPOCH);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/date/every-day", test_every_day);
  g_test_add_func ("/date/make-refuses", test_make_refuses);
  g_test_add_func ("/date/split-extremes", test_split_extremes);
  g_test_add_func ("/date/text", test_text);
  g_test_add_func ("/date/add-months", test_add_months);
  g_test_add_func ("/date/add-months-random", test_add_months_random);
  return g_test_run ();
}
