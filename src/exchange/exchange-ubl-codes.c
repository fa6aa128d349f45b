/* Code lists of electronic invoices, as of the validation artefacts of EN 16931 (ISO 3166-1 alpha-2 with the
 * artefacts' additions 1A Kosovo and XI Northern Ireland; EAS, the electronic address schemes). */
#include "exchange-ubl-private.h"

#include "core-money.h"

#include <string.h>

static const char COUNTRIES[]
  = " 1A AD AE AF AG AI AL AM AO AQ AR AS AT AU AW AX AZ BA BB BD BE BF BG BH BI BJ BL BM BN BO BQ BR BS BT BV BW BY BZ"
    " CA CC CD CF CG CH CI CK CL CM CN CO CR CU CV CW CX CY CZ DE DJ DK DM DO DZ EC EE EG EH ER ES ET FI FJ FK FM FO FR"
    " GA GB GD GE GF GG GH GI GL GM GN GP GQ GR GS GT GU GW GY HK HM HN HR HT HU ID IE IL IM IN IO IQ IR IS IT JE JM JO"
    " JP KE KG KH KI KM KN KP KR KW KY KZ LA LB LC LI LK LR LS LT LU LV LY MA MC MD ME MF MG MH MK ML MM MN MO MP MQ MR"
    " MS MT MU MV MW MX MY MZ NA NC NE NF NG NI NL NO NP NR NU NZ OM PA PE PF PG PH PK PL PM PN PR PS PT PW PY QA RE RO"
    " RS RU RW SA SB SC SD SE SG SH SI SJ SK SL SM SN SO SR SS ST SV SX SY SZ TC TD TF TG TH TJ TK TL TM TN TO TR TT TV"
    " TW TZ UA UG UM US UY UZ VA VC VE VG VI VN VU WF WS XI YE YT ZA ZM ZW ";

static const char SCHEMES[]
  = " 0002 0007 0009 0037 0060 0088 0096 0097 0106 0130 0135 0142 0147 0151 0154 0158 0170 0177 0183 0184 0188 0190 0191"
    " 0192 0193 0194 0195 0196 0198 0199 0200 0201 0202 0203 0204 0205 0208 0209 0210 0211 0212 0213 0215 0216 0217 0218"
    " 0219 0220 0221 0225 0230 0235 0240 0242 0244 0245 0246 0248 9910 9913 9914 9915 9918 9919 9920 9922 9923 9924 9925"
    " 9926 9927 9928 9929 9930 9931 9932 9933 9934 9935 9936 9937 9938 9939 9940 9941 9942 9943 9944 9945 9946 9947 9948"
    " 9949 9950 9951 9952 9953 9957 9959 AN AQ AS AU EM ";

/* @list: words with a space before and behind each. */
static gboolean
holds (const char *list, const char *word, gsize length)
{
  for (const char *found = list; (found = strchr (found, ' ')) != NULL && found[1] != '\0'; found++)
    if (strncmp (found + 1, word, length) == 0 && found[1 + length] == ' ')
      return TRUE;
  return FALSE;
}

gboolean
td_ubl_is_country (const char *code)
{
  g_return_val_if_fail (code != NULL, FALSE);
  return strlen (code) == 2 && holds (COUNTRIES, code, 2);
}

gboolean
td_ubl_is_scheme (const char *code, gsize length)
{
  g_return_val_if_fail (code != NULL, FALSE);
  return length > 0 && memchr (code, ' ', length) == NULL && holds (SCHEMES, code, length);
}

gboolean
td_ubl_is_unit (const char *code)
{
  g_return_val_if_fail (code != NULL, FALSE);
  return strcmp (code, TD_UNIT_ONE) == 0 || strcmp (code, TD_UNIT_LITRE) == 0 || strcmp (code, TD_UNIT_MINUTE) == 0;
}

char *
td_ubl_get_vat (const char *tax_id)
{
  g_autoptr (GString) plain = g_string_new (NULL);
  gboolean digits = FALSE;

  for (const char *p = tax_id; p != NULL && *p != '\0'; p++)
    {
      if (strchr (" .-", *p) != NULL)
        continue;
      /* The identifiers of some countries hold a star or a plus sign (Directive 2006/112/EC leaves the form to them). */
      if (!g_ascii_isalnum (*p) && strchr ("*+", *p) == NULL)
        return NULL;
      digits |= g_ascii_isdigit (*p);
      g_string_append_c (plain, *p);
    }
  if (plain->len < 4 || !digits || !(holds (COUNTRIES, plain->str, 2) || g_str_has_prefix (plain->str, "EL")))
    return NULL;
  return g_string_free (g_steal_pointer (&plain), FALSE);
}

char *
td_ubl_split_endpoint (const char *endpoint, const char **address_out)
{
  const char *colon;

  g_return_val_if_fail (endpoint != NULL && address_out != NULL, NULL);
  colon = strchr (endpoint, ':');
  *address_out = colon != NULL ? colon + 1 : endpoint;
  return colon != NULL && colon > endpoint && colon[1] != '\0' ? g_strndup (endpoint, (gsize) (colon - endpoint)) : NULL;
}

gboolean
td_ubl_has_cents (gint64 minor, const char *currency)
{
  int decimals = td_currency_get_decimals (currency);

  for (; decimals > 2; decimals--, minor /= 10)
    if (minor % 10 != 0)
      return FALSE;
  return TRUE;
}

char *
td_ubl_format_amount (gint64 minor, const char *currency)
{
  char *text = td_money_to_plain_text (minor, currency);
  char *end = text + strlen (text);

  for (int decimals = td_currency_get_decimals (currency); decimals > 2 && end[-1] == '0'; decimals--)
    *--end = '\0';
  return text;
}
