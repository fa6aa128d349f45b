/* Money: ISO 4217 decimals, rounding half away from zero, text both ways. */
#include "core-error.h"
#include "core-money.h"

static void
test_decimals (void)
{
  /* ISO 4217:2015, list one, column "minor unit". */
  static const struct
  {
    const char *code;
    int decimals;
  } cases[] = {
    { "EUR", 2 }, { "USD", 2 }, { "GBP", 2 }, { "JPY", 0 }, { "KWD", 3 }, { "CLF", 4 }, { "ZMW", 2 }, { "AED", 2 },
    { "XTS", -1 }, { "XAU", -1 }, { "eur", -1 }, { "EU", -1 }, { "UR ", -1 }, { "", -1 }, { "EURO", -1 }, { "DAF", -1 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_assert_cmpint (td_currency_get_decimals (cases[i].code), ==, cases[i].decimals);
}

static void
test_scale (void)
{
  /* Worked by hand: amount x factor / divisor, half away from zero. */
  static const struct
  {
    gint64 amount, factor, divisor, result;
  } cases[] = {
    { 5, 1, 2, 3 },        { -5, 1, 2, -3 },      { 1, 1, 3, 0 },         { 2, 1, 3, 1 },   { 4, 1, 3, 1 },
    { 5, 1, 3, 2 },        { -2, 1, 3, -1 },      { 0, 7, 3, 0 },         { 7, 1, 7, 1 },   { 10, 15, 100, 2 },
    { 1250, 1500, 1000, 1875 }, { 333, 333, 1000, 111 }, { G_MAXINT64, 1, 1, G_MAXINT64 },
    { G_MAXINT64, 1000, 1000, G_MAXINT64 },
  };
  g_autoptr (GError) error = NULL;
  gint64 result = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_assert_true (td_money_scale (cases[i].amount, cases[i].factor, cases[i].divisor, &result, NULL));
      g_assert_cmpint (result, ==, cases[i].result);
    }
  g_assert_false (td_money_scale (G_MAXINT64, 2, 1, &result, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
}

static void
test_percent (void)
{
  gint64 tax = 0;

  /* 23 % of 10.02 is 2.3046; 13.5 % of 1.00 is 0.135, half a cent goes up; of -1.00 down. */
  g_assert_true (td_money_get_percent (1002, 23000, &tax, NULL));
  g_assert_cmpint (tax, ==, 230);
  g_assert_true (td_money_get_percent (100, 13500, &tax, NULL));
  g_assert_cmpint (tax, ==, 14);
  g_assert_true (td_money_get_percent (-100, 13500, &tax, NULL));
  g_assert_cmpint (tax, ==, -14);
}

static void
test_text (void)
{
  static const struct
  {
    const char *text;
    const char *currency;
    gint64 amount;
    const char *plain;
  } cases[] = {
    { "0", "EUR", 0, "0.00" },         { "12.5", "EUR", 1250, "12.50" },   { "-0.05", "EUR", -5, "-0.05" },
    { "1234567", "JPY", 1234567, "1234567" }, { "1.234", "KWD", 1234, "1.234" }, { "7", "KWD", 7000, "7.000" },
  };
  static const char *const bad[] = { "", "-", ".", "1.", ".5", "1,5", "1.234", "1 000", "+1", "1e3", "--1", "1.2.3" };
  g_autofree char *shown = td_money_to_text (-123456789, "EUR");
  g_autofree char *least = td_money_to_plain_text (G_MININT64, "EUR");

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      gint64 amount = 0;
      g_autofree char *plain = td_money_to_plain_text (cases[i].amount, cases[i].currency);

      g_assert_true (td_money_parse (cases[i].text, cases[i].currency, &amount, NULL));
      g_assert_cmpint (amount, ==, cases[i].amount);
      g_assert_cmpstr (plain, ==, cases[i].plain);
    }
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      gint64 amount = 0;
      g_autoptr (GError) error = NULL;

      g_assert_false (td_money_parse (bad[i], "EUR", &amount, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
    }
  g_assert_cmpstr (shown, ==, "-1,234,567.89\302\240EUR");
  g_assert_cmpstr (least, ==, "-92233720368547758.08");
}

static void
test_round_trip (void)
{
  GRand *chance = g_rand_new_with_seed (4217);

  for (int i = 0; i < 20000; i++)
    {
      gint64 amount = ((gint64) g_rand_int (chance) << 24) - ((gint64) g_rand_int (chance) << 23);
      gint64 back = 0;
      const char *currency = i % 3 == 0 ? "JPY" : i % 3 == 1 ? "EUR" : "KWD";
      g_autofree char *text = td_money_to_plain_text (amount, currency);

      g_assert_true (td_money_parse (text, currency, &back, NULL));
      g_assert_cmpint (back, ==, amount);
    }
  g_rand_free (chance);
}

static void
test_sum (void)
{
  g_autoptr (GError) error = NULL;
  gint64 sum = G_MAXINT64 - 1;

  g_assert_true (td_money_add (&sum, 1, NULL));
  g_assert_false (td_money_add (&sum, 1, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
  g_assert_cmpint (sum, ==, G_MAXINT64);
}

static void
test_milli (void)
{
  static const struct
  {
    gint64 milli;
    const char *text;
  } cases[] = {
    { 0, "0" }, { 1, "0.001" }, { 10, "0.01" }, { 100, "0.1" }, { 1000, "1" }, { 13500, "13.5" }, { -1250, "-1.25" },
    { -3000, "-3" }, { 23000, "23" }, { 120, "0.12" }, { 1234567, "1234.567" },
  };
  gint64 milli = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = td_milli_to_text (cases[i].milli);

      g_assert_cmpstr (text, ==, cases[i].text);
      g_assert_true (td_milli_parse (text, &milli));
      g_assert_cmpint (milli, ==, cases[i].milli);
    }
  g_assert_false (td_milli_parse ("1.2345", &milli));
  g_assert_false (td_milli_parse ("1,5", &milli));
  g_assert_false (td_milli_parse ("", &milli));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/money/decimals", test_decimals);
  g_test_add_func ("/money/scale", test_scale);
  g_test_add_func ("/money/percent", test_percent);
  g_test_add_func ("/money/text", test_text);
  g_test_add_func ("/money/round-trip", test_round_trip);
  g_test_add_func ("/money/sum", test_sum);
  g_test_add_func ("/money/milli", test_milli);
  return g_test_run ();
}
