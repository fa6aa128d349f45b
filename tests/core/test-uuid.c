/* Identifiers. */
#include <string.h>

#include "core-error.h"
#include "core-uuid.h"

/* RFC 9562, appendix A.6: the example of version 7. */
static void
test_rfc_example (void)
{
  static const guint8 random[10] = { 0x0C, 0xC3, 0x18, 0xC4, 0xDC, 0x0C, 0x0C, 0x07, 0x39, 0x8F };
  TdUuid uuid = td_uuid_make_v7 (G_GINT64_CONSTANT (1645557742000), random);
  g_autofree char *text = td_uuid_to_text (&uuid);

  g_assert_cmpstr (text, ==, "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
}

static void
test_bits (void)
{
  guint8 random[10];
  TdUuid zeros;
  TdUuid ones;
  g_autofree char *low = NULL;
  g_autofree char *high = NULL;

  memset (random, 0, sizeof random);
  zeros = td_uuid_make_v7 (0, random);
  memset (random, 0xFF, sizeof random);
  ones = td_uuid_make_v7 ((G_GINT64_CONSTANT (1) << 48) - 1, random);
  low = td_uuid_to_text (&zeros);
  high = td_uuid_to_text (&ones);
  g_assert_cmpstr (low, ==, "00000000-0000-7000-8000-000000000000");
  g_assert_cmpstr (high, ==, "ffffffff-ffff-7fff-bfff-ffffffffffff");
  g_assert_false (td_uuid_is_nil (&zeros));
  g_assert_false (td_uuid_equal (&zeros, &ones));
}

static void
test_parse (void)
{
  TdUuid lower;
  TdUuid upper;
  TdUuid nil;

  g_assert_true (td_uuid_parse ("0190b5d2-7c11-7def-8abc-0123456789ab", &lower, NULL));
  g_assert_true (td_uuid_parse ("0190B5D2-7C11-7DEF-8ABC-0123456789AB", &upper, NULL));
  g_assert_true (td_uuid_equal (&lower, &upper));
  g_assert_cmphex (lower.bytes[0], ==, 0x01);
  g_assert_cmphex (lower.bytes[15], ==, 0xAB);
  g_assert_true (td_uuid_parse ("00000000-0000-0000-0000-000000000000", &nil, NULL));
  g_assert_true (td_uuid_is_nil (&nil));
}

static void
test_refuses (void)
{
  static const char *const texts[] = {
    "",
    "0",
    "0190b5d2",
    "0190b5d27c117def8abc0123456789ab",
    "0190b5d2-7c11-7def-8abc-0123456789a",
    "0190b5d2-7c11-7def-8abc-0123456789abc",
    "0190b5d2-7c11-7def-8abc-0123456789ag",
    "{190b5d2-7c11-7def-8abc-0123456789ab",
    "0190b5d2-7c11-7def-8abc_0123456789ab",
    "0190b5d-27c11-7def-8abc-0123456789ab",
  };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      TdUuid uuid = { { 9 } };
      g_autoptr (GError) error = NULL;
      /* Exactly as long as the text, so that reading beyond it is caught by a sanitizer. */
      g_autofree char *copy = g_strdup (texts[i]);

      g_assert_false (td_uuid_parse (copy, &uuid, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
      g_assert_cmpint (uuid.bytes[0], ==, 9);
    }
}

static void
test_round_trip (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (9562);
  TdUuid before = { { 0 } };

  for (gint64 ms = 1; ms < 10000; ms++)
    {
      guint8 bytes[10];
      TdUuid uuid;
      TdUuid again;
      char text[TD_UUID_TEXT_LENGTH + 1];

      for (gsize i = 0; i < sizeof bytes; i++)
        bytes[i] = (guint8) g_rand_int (random);
      uuid = td_uuid_make_v7 (ms, bytes);
      td_uuid_format (&uuid, text);
      g_assert_true (td_uuid_parse (text, &again, NULL));
      g_assert_true (td_uuid_equal (&uuid, &again));
      /* Later ones sort behind earlier ones. */
      g_assert_cmpint (memcmp (before.bytes, uuid.bytes, sizeof uuid.bytes), <, 0);
      before = uuid;
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/uuid/rfc-example", test_rfc_example);
  g_test_add_func ("/uuid/bits", test_bits);
  g_test_add_func ("/uuid/parse", test_parse);
  g_test_add_func ("/uuid/refuses", test_refuses);
  g_test_add_func ("/uuid/round-trip", test_round_trip);
  return g_test_run ();
}
