/* Moments, dates and zones. */
#include <string.h>

#include "core-error.h"
#include "core-time.h"

static void
test_moment_parse (void)
{
  /* UTC figures by GNU date, `date -u -d TIME +%s`. */
  static const struct
  {
    const char *text;
    gint64 utc_ms;
    gint32 offset_min;
    const char *written;
  } cases[] = {
    { "1970-01-01T00:00Z", 0, 0, "1970-01-01T00:00:00+00:00" },
    { "2026-03-02T06:10Z", 1772431800000, 0, "2026-03-02T06:10:00+00:00" },
    { "2026-03-02T06:10:07.123+00:00", 1772431807123, 0, "2026-03-02T06:10:07.123+00:00" },
    { "2026-03-02T06:10:07.5-05:30", 1772451607500, -330, "2026-03-02T06:10:07.500-05:30" },
    { "2026-03-02T00:10:00+13:45", 1772360700000, 825, "2026-03-02T00:10:00+13:45" },
    { "2026-03-02T06:10:07.123999999Z", 1772431807123, 0, "2026-03-02T06:10:07.123+00:00" },
    { "1969-12-31T23:59:59.999Z", -1, 0, "1969-12-31T23:59:59.999+00:00" },
    { "1970-01-01T00:00:00+01:00", -3600000, 60, "1970-01-01T00:00:00+01:00" },
    { "2024-02-29T23:59:59-00:00", 1709251199000, 0, "2024-02-29T23:59:59+00:00" },
    { "0001-01-01T00:00:00Z", -62135596800000, 0, "0001-01-01T00:00:00+00:00" },
    { "9999-12-31T23:59:59.999Z", 253402300799999, 0, "9999-12-31T23:59:59.999+00:00" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      TdMoment moment;
      g_autoptr (GError) error = NULL;
      g_autofree char *written = NULL;

      g_assert_true (td_moment_parse (cases[i].text, &moment, &error));
      g_assert_no_error (error);
      g_assert_cmpint (moment.utc_ms, ==, cases[i].utc_ms);
      g_assert_cmpint (moment.offset_min, ==, cases[i].offset_min);
      written = td_moment_to_text (&moment);
      g_assert_cmpstr (written, ==, cases[i].written);
    }
}

static void
test_moment_refuses (void)
{
  static const char *const texts[] = {
    "",
    "2026-03-02",
    "2026-03-02T06:10",           /* no offset names no moment */
    "2026-03-02T06:10:07",
    "2026-03-02 06:10Z",
    "2026-03-02T06:10z",
    "2026-3-2T06:10Z",
    "2026-03-02T6:10Z",
    "2026-03-02T06Z",
    "2026-03-02T06:10:7Z",
    "2026-03-02T06:10:07.Z",
    "2026-03-02T06:10:07.1234567890Z",
    "2026-03-02T06:10:07,5Z",
    "2026-03-02T24:00Z",
    "2026-03-02T23:60Z",
    "2026-03-02T23:59:60Z",
    "2026-03-02T06:10+24:00",
    "2026-03-02T06:10+01:60",
    "2026-03-02T06:10+0100",
    "2026-03-02T06:10+01",
    "2026-03-02T06:10Z ",
    " 2026-03-02T06:10Z",
    "2026-02-29T06:10Z",          /* not a leap year */
    "2026-13-02T06:10Z",
    "2026-04-31T06:10Z",
    "0000-01-01T06:10Z",
    "2026-03-02T06:10\342\210\22201:00", /* U+2212 for '-' */
  };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      TdMoment moment = { 7, 7 };
      g_autoptr (GError) error = NULL;

      g_assert_false (td_moment_parse (texts[i], &moment, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
      g_assert_cmpint (moment.utc_ms, ==, 7);
    }
}

static void
test_moment_parts (void)
{
  static const struct
  {
    const char *text;
    const char *date;
    const char *clock;
    const char *seconds;
  } cases[] = {
    { "2026-03-02T23:59:59.999-05:00", "2026-03-02", "23:59", "23:59:59" },
    { "2026-03-02T00:00+14:00", "2026-03-02", "00:00", "00:00:00" },
    { "1969-12-31T22:30:01+01:00", "1969-12-31", "22:30", "22:30:01" },
    { "1970-01-01T00:30:00+01:00", "1970-01-01", "00:30", "00:30:00" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      TdMoment moment;
      g_autofree char *date = NULL;
      g_autofree char *clock = NULL;
      g_autofree char *seconds = NULL;

      g_assert_true (td_moment_parse (cases[i].text, &moment, NULL));
      date = td_date_to_text (td_moment_get_date (&moment));
      clock = td_moment_to_clock (&moment, FALSE);
      seconds = td_moment_to_clock (&moment, TRUE);
      g_assert_cmpstr (date, ==, cases[i].date);
      g_assert_cmpstr (clock, ==, cases[i].clock);
      g_assert_cmpstr (seconds, ==, cases[i].seconds);
    }
}

/* Times that no calendar holds are no date, and nothing overflows on the way. */
static void
test_moment_extremes (void)
{
  const TdMoment cases[] = { { G_MAXINT64, 1439 }, { G_MININT64, -1439 } };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *clock = td_moment_to_clock (&cases[i], TRUE);

      g_assert_cmpuint (strlen (clock), ==, 8);
      g_assert_cmpint (td_moment_get_date (&cases[i]), ==, TD_DATE_NONE);
    }
}

static void
test_moment_round_trip (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (525600);

  for (int i = 0; i < 20000; i++)
    {
      TdMoment moment;
      TdMoment again;
      g_autofree char *text = NULL;

      moment.utc_ms = (gint64) g_rand_double_range (random, -6.2e13, 2.5e14);
      moment.offset_min = g_rand_int_range (random, -1439, 1440);
      text = td_moment_to_text (&moment);
      g_assert_true (td_moment_parse (text, &again, NULL));
      g_assert_cmpint (again.utc_ms, ==, moment.utc_ms);
      g_assert_cmpint (again.offset_min, ==, moment.offset_min);
    }
}

static void
test_zone (void)
{
  /* Ireland in 2026, from the IANA zone data: summer time from 29 March 01:00 UTC to 25 October 01:00
   * UTC (Directive 2000/84/EC: last Sundays). */
  static const TdZoneSpan spans[] = { { 1761440400, 0 }, { 1774746000, 60 }, { 1792890000, 0 } };
  g_autoptr (TdZone) zone = td_zone_new ("Europe/Dublin", spans, G_N_ELEMENTS (spans));
  static const struct
  {
    const char *at;
    gint32 offset_min;
    const char *date;
  } cases[] = {
    { "1900-01-01T00:00Z", 0, "1900-01-01" }, /* before the first span: the first holds */
    { "2026-03-29T00:59:59.999Z", 0, "2026-03-29" },
    { "2026-03-29T01:00:00Z", 60, "2026-03-29" },
    { "2026-07-01T22:59:59Z", 60, "2026-07-01" },
    { "2026-07-01T23:00:00Z", 60, "2026-07-02" },
    { "2026-10-25T00:59:59.999Z", 60, "2026-10-25" },
    { "2026-10-25T01:00:00Z", 0, "2026-10-25" },
    { "2026-12-31T23:59:59Z", 0, "2026-12-31" },
  };

  g_assert_cmpstr (td_zone_get_name (zone), ==, "Europe/Dublin");
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      TdMoment moment;
      g_autofree char *date = NULL;

      g_assert_true (td_moment_parse (cases[i].at, &moment, NULL));
      g_assert_cmpint (td_zone_get_offset (zone, moment.utc_ms), ==, cases[i].offset_min);
      date = td_date_to_text (td_zone_get_date (zone, moment.utc_ms));
      g_assert_cmpstr (date, ==, cases[i].date);
    }
}

/* The binary search against a plain one. */
static void
test_zone_search (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (42);

  for (gsize n = 1; n < 40; n++)
    {
      TdZoneSpan spans[40];
      g_autoptr (TdZone) zone = NULL;
      g_autoptr (TdZone) second = NULL;

      for (gsize i = 0; i < n; i++)
        {
          spans[i].from_utc_s = (gint64) i * 100 - 1000;
          spans[i].offset_min = g_rand_int_range (random, -720, 841);
        }
      zone = td_zone_new ("X/Y", spans, n);
      second = td_zone_ref (zone);
      for (gint64 s = -1200; s < 3200; s += 50)
        {
          gint32 expected = spans[0].offset_min;

          for (gsize i = 0; i < n; i++)
            if (spans[i].from_utc_s <= s)
              expected = spans[i].offset_min;
          g_assert_cmpint (td_zone_get_offset (second, s * 1000), ==, expected);
        }
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/time/moment/parse", test_moment_parse);
  g_test_add_func ("/time/moment/refuses", test_moment_refuses);
  g_test_add_func ("/time/moment/parts", test_moment_parts);
  g_test_add_func ("/time/moment/extremes", test_moment_extremes);
  g_test_add_func ("/time/moment/round-trip", test_moment_round_trip);
  g_test_add_func ("/time/zone/ireland", test_zone);
  g_test_add_func ("/time/zone/search", test_zone_search);
  return g_test_run ();
}
