#include "core-money.h"

#include "core-error.h"

#include <string.h>

/* ISO 4217 gives most currencies two decimals; these differ.  Codes that are no money to invoice in
 * (metals, bond units, "no currency") are left out on purpose. */
static const struct
{
  char code[4];
  int decimals;
} EXCEPTIONS[] = {
  { "BHD", 3 }, { "BIF", 0 }, { "CLF", 4 }, { "CLP", 0 }, { "DJF", 0 }, { "GNF", 0 }, { "IQD", 3 }, { "ISK", 0 },
  { "JOD", 3 }, { "JPY", 0 }, { "KMF", 0 }, { "KRW", 0 }, { "KWD", 3 }, { "LYD", 3 }, { "OMR", 3 }, { "PYG", 0 },
  { "RWF", 0 }, { "TND", 3 }, { "UGX", 0 }, { "UYI", 0 }, { "UYW", 4 }, { "VND", 0 }, { "VUV", 0 }, { "XAF", 0 },
  { "XOF", 0 }, { "XPF", 0 },
};

static const char TWO_DECIMALS[] =
  "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF "
  "CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF "
  "IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN "
  "MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS "
  "SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XCD YER ZAR ZMW ";

int
td_currency_get_decimals (const char *code)
{
  const char *found;

  g_return_val_if_fail (code != NULL, -1);
  if (strlen (code) != 3)
    return -1;
  for (gsize i = 0; i < G_N_ELEMENTS (EXCEPTIONS); i++)
    if (strcmp (EXCEPTIONS[i].code, code) == 0)
      return EXCEPTIONS[i].decimals;
  found = strstr (TWO_DECIMALS, code);
  /* Four characters a row: a hit anywhere else lies across two codes. */
  return found != NULL && (found - TWO_DECIMALS) % 4 == 0 ? 2 : -1;
}

static gboolean
refuse_size (GError **error)
{
  g_set_error_literal (error, TD_ERROR, TD_ERROR_RANGE,
                       "An amount of money is too large to be counted; look at quantity and price");
  return FALSE;
}

gboolean
td_money_scale (gint64 amount, gint64 factor, gint64 divisor, gint64 *result_out, GError **error)
{
  __int128 product;
  __int128 half;
  __int128 result;

  g_return_val_if_fail (divisor > 0 && result_out != NULL, FALSE);
  product = (__int128) amount * factor;
  half = divisor / 2;
  /* An odd divisor has no exact half: (divisor - 1) / 2 rounds the same. */
  result = product >= 0 ? (product + half) / divisor : -((-product + half) / divisor);
  if (result > G_MAXINT64 || result < G_MININT64)
    return refuse_size (error);
  *result_out = (gint64) result;
  return TRUE;
}

gboolean
td_money_get_percent (gint64 amount, gint64 percent_milli, gint64 *result_out, GError **error)
{
  return td_money_scale (amount, percent_milli, 100000, result_out, error);
}

gboolean
td_money_add (gint64 *sum, gint64 amount, GError **error)
{
  gint64 result;

  g_return_val_if_fail (sum != NULL, FALSE);
  if (__builtin_add_overflow (*sum, amount, &result))
    return refuse_size (error);
  *sum = result;
  return TRUE;
}

static char *
format (gint64 amount, const char *currency, const char *group)
{
  int decimals = MAX (td_currency_get_decimals (currency), 0);
  g_autoptr (GString) text = g_string_new (NULL);
  /* The most negative number has no positive twin of its own type. */
  guint64 rest = amount < 0 ? -(guint64) amount : (guint64) amount;
  int digits = 0;

  for (int i = 0; i < decimals; i++, rest /= 10)
    g_string_prepend_c (text, (char) ('0' + rest % 10));
  if (decimals > 0)
    g_string_prepend_c (text, '.');
  do
    {
      if (digits > 0 && digits % 3 == 0)
        g_string_prepend (text, group);
      g_string_prepend_c (text, (char) ('0' + rest % 10));
      rest /= 10;
      digits++;
    }
  while (rest > 0);
  if (amount < 0)
    g_string_prepend_c (text, '-');
  return g_string_free (g_steal_pointer (&text), FALSE);
}

char *
td_money_to_plain_text (gint64 amount, const char *currency)
{
  return format (amount, currency, "");
}

char *
td_money_to_text (gint64 amount, const char *currency)
{
  g_autofree char *number = format (amount, currency, ",");

  return g_strconcat (number, "\302\240", currency, NULL);
}

static gboolean
refuse_text (const char *text, int decimals, GError **error)
{
  g_set_error (error, TD_ERROR, TD_ERROR_PARSE,
               "'%s' is not an amount: write digits, a point and at most %d decimals", text, decimals);
  return FALSE;
}

gboolean
td_money_parse (const char *text, const char *currency, gint64 *amount_out, GError **error)
{
  int decimals = MAX (td_currency_get_decimals (currency), 0);
  gboolean negative = *text == '-';
  const char *p = text + (negative ? 1 : 0);
  int after = -1; /* digits read after the point, -1 before it */
  gint64 value = 0;
  int digits = 0;

  g_return_val_if_fail (text != NULL && amount_out != NULL, FALSE);
  for (; *p != '\0'; p++)
    {
      if (*p == '.' && after < 0 && digits > 0 && decimals > 0)
        {
          after = 0;
          continue;
        }
      if (!g_ascii_isdigit (*p) || after == decimals)
        return refuse_text (text, decimals, error);
      if (__builtin_mul_overflow (value, 10, &value) || __builtin_add_overflow (value, *p - '0', &value))
        return refuse_size (error);
      digits++;
      after += after >= 0;
    }
  if (digits == 0 || after == 0)
    return refuse_text (text, decimals, error);
  for (int i = MAX (after, 0); i < decimals; i++)
    if (__builtin_mul_overflow (value, 10, &value))
      return refuse_size (error);
  *amount_out = negative ? -value : value;
  return TRUE;
}

char *
td_milli_to_text (gint64 milli)
{
  /* The most negative number has no positive twin of its own type. */
  guint64 rest = milli < 0 ? -(guint64) milli : (guint64) milli;
  const char *sign = milli < 0 ? "-" : "";
  int after = (int) (rest % 1000);

  rest /= 1000;
  if (after == 0)
    return g_strdup_printf ("%s%" G_GUINT64_FORMAT, sign, rest);
  if (after % 100 == 0)
    return g_strdup_printf ("%s%" G_GUINT64_FORMAT ".%d", sign, rest, after / 100);
  if (after % 10 == 0)
    return g_strdup_printf ("%s%" G_GUINT64_FORMAT ".%02d", sign, rest, after / 10);
  return g_strdup_printf ("%s%" G_GUINT64_FORMAT ".%03d", sign, rest, after);
}

gboolean
td_milli_parse (const char *text, gint64 *milli_out)
{
  gint64 value = 0;

  g_return_val_if_fail (text != NULL && milli_out != NULL, FALSE);
  /* The Kuwaiti dinar has three decimals, so that its amounts are thousandths. */
  if (!td_money_parse (text, "KWD", &value, NULL))
    return FALSE;
  *milli_out = value;
  return TRUE;
}
