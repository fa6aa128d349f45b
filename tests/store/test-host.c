/* Clocks, chance and zones of the machine, and the pinned ones. */
#include "store-host.h"

#include <string.h>

static void
test_real (void)
{
  g_autoptr (TdClock) clock = td_clock_new ();
  gint64 before = g_get_real_time () / 1000;
  gint64 now = td_clock_get_now_ms (clock);
  gint64 after = g_get_real_time () / 1000;
  g_assert_false (td_clock_is_pinned (clock));
  g_assert_cmpint (now, >=, before);
  g_assert_cmpint (now, <=, after);
  /* Boot time goes on, and never stands behind the monotonic clock, which stops in suspend. */
  gint64 monotonic = g_get_monotonic_time () / 1000;
  g_assert_cmpint (td_clock_get_boottime_ms (clock), >=, monotonic);
  TdUuid id;
  g_assert_true (td_uuid_parse (td_clock_get_boot_id (clock), &id, NULL));
  g_autoptr (TdClock) again = td_clock_new ();
  g_assert_cmpstr (td_clock_get_boot_id (clock), ==, td_clock_get_boot_id (again));
}

static void
test_chance (void)
{
  g_autoptr (TdClock) clock = td_clock_new ();
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  for (guint i = 0; i < 1000; i++)
    {
      TdUuid id = td_clock_make_uuid (clock);
      g_assert_true (g_hash_table_add (seen, td_uuid_to_text (&id)));
      g_assert_cmpint (id.bytes[6] >> 4, ==, 7); /* RFC 9562, 5.7 */
    }
}

static void
test_pinned (void)
{
  g_autoptr (TdClock) a = td_clock_new_pinned (1000, 10, 7);
  g_autoptr (TdClock) b = td_clock_new_pinned (1000, 10, 7);
  g_autoptr (TdClock) c = td_clock_new_pinned (1000, 10, 8);
  guint8 x[16], y[16], z[16];
  g_assert_true (td_clock_is_pinned (a));
  td_clock_fill_random (a, x, sizeof x);
  td_clock_fill_random (b, y, sizeof y);
  td_clock_fill_random (c, z, sizeof z);
  g_assert_cmpmem (x, sizeof x, y, sizeof y);
  g_assert_cmpint (memcmp (x, z, sizeof x), !=, 0);
  g_assert_cmpint (td_clock_get_now_ms (a), ==, 1000);
  g_assert_cmpint (td_clock_get_now_ms (a), ==, 1000);
  gint64 boot = td_clock_get_boottime_ms (a);
  td_clock_advance (a);
  g_assert_cmpint (td_clock_get_now_ms (a), ==, 1010);
  g_assert_cmpint (td_clock_get_boottime_ms (a), ==, boot + 10);
  td_clock_set_now_ms (a, 5000);
  g_assert_cmpint (td_clock_get_boottime_ms (a), ==, boot + 4000);
  /* A clock that is set back does not take boot time with it. */
  td_clock_set_now_ms (a, 100);
  g_assert_cmpint (td_clock_get_now_ms (a), ==, 100);
  g_assert_cmpint (td_clock_get_boottime_ms (a), ==, boot + 4000);
}

/* splitmix64 from seed 0: e220a8397b1dcdaf 6e789e6aa1b965f4 06c45d188009454f (S. Vigna's reference
 * implementation, as printed in many test suites); the lowest byte of each. */
static void
test_sequence (void)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (0, 0, 0);
  guint8 bytes[3];
  td_clock_fill_random (clock, bytes, sizeof bytes);
  g_assert_cmphex (bytes[0], ==, 0xaf);
  g_assert_cmphex (bytes[1], ==, 0xf4);
  g_assert_cmphex (bytes[2], ==, 0x4f);
}

/* Offsets by the IANA database: Ireland and New York change their clocks, on the last Sunday of March and
 * the second of March; Kolkata never; Lord Howe Island by half an hour. */
static const struct
{
  const char *zone;
  gint64 utc_s;
  int offset_min;
} offsets[] = {
  { "UTC", 1772409600, 0 },
  { "Europe/Dublin", 1774745999, 0 },         /* 2026-03-29T00:59:59Z */
  { "Europe/Dublin", 1774746000, 60 },        /* 2026-03-29T01:00:00Z */
  { "Europe/Dublin", 1792889999, 60 },        /* 2026-10-25T00:59:59Z */
  { "Europe/Dublin", 1792890000, 0 },         /* 2026-10-25T01:00:00Z */
  { "America/New_York", 1772953199, -300 },   /* 2026-03-08T06:59:59Z */
  { "America/New_York", 1772953200, -240 },   /* 2026-03-08T07:00:00Z */
  { "Asia/Kolkata", 1772409600, 330 },
  { "Australia/Lord_Howe", 1772409600, 660 }, /* summer */
  { "Australia/Lord_Howe", 1780000000, 630 }, /* winter */
  { "Europe/Dublin", 946684800, 0 },          /* 2000-01-01 */
};

static void
test_zone (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (offsets); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdZone) zone = td_zone_load (offsets[i].zone, &error);
      g_assert_no_error (error);
      g_assert_cmpstr (td_zone_get_name (zone), ==, offsets[i].zone);
      g_assert_cmpint (td_zone_get_offset (zone, offsets[i].utc_s * 1000), ==, offsets[i].offset_min);
    }
}

static void
test_zone_refused (void)
{
  static const char *const names[] = { "Europe/Nowhere", "", "+01:00", "/etc/localtime", "../etc/passwd" };
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autoptr (GError) error = NULL;
      g_assert_null (td_zone_load (names[i], &error));
      g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/host/real", test_real);
  g_test_add_func ("/host/chance", test_chance);
  g_test_add_func ("/host/pinned", test_pinned);
  g_test_add_func ("/host/sequence", test_sequence);
  g_test_add_func ("/host/zone", test_zone);
  g_test_add_func ("/host/zone-refused", test_zone_refused);
  return g_test_run ();
}
