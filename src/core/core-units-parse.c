/* core-units-parse.c: figures as people enter them. */
#include "core-units.h"

#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-text.h"
#include "core-units-private.h"

#define ABSOLUTE_ZERO_C (-273.15)
/* Tubes of the trade are 4 to 15 mm wide; 3/8 entered as millimetres must not pass. */
#define MIN_BORE_MM 1
#define MAX_BORE_MM 200
/* Digits of a figure that anyone would enter. */
#define MAX_DIGITS 12

/* Vulgar fractions that keyboards have. */
static const struct
{
  const char *text;
  double value;
} vulgar[] = {
  { "\xC2\xBC", 1.0 / 4 },     { "\xC2\xBD", 1.0 / 2 },     { "\xC2\xBE", 3.0 / 4 },
  { "\xE2\x85\x9B", 1.0 / 8 }, { "\xE2\x85\x9C", 3.0 / 8 }, { "\xE2\x85\x9D", 5.0 / 8 },
  { "\xE2\x85\x9E", 7.0 / 8 }, { "\xE2\x85\x93", 1.0 / 3 }, { "\xE2\x85\x94", 2.0 / 3 },
};

static gboolean
is_space (const char *at)
{
  return *at != '\0' && g_unichar_isspace (g_utf8_get_char (at));
}

static const char *
skip_space (const char *at)
{
  while (is_space (at))
    at = g_utf8_next_char (at);
  return at;
}

/* Reads whole digits; 0 of them is no error here.  Returns: how many. */
static int
read_digits (const char **at, double *value_out)
{
  int count = 0;

  *value_out = 0;
  for (; g_ascii_isdigit (**at); (*at)++, count++)
    *value_out = *value_out * 10 + (**at - '0');
  return count;
}

/* Reads "1/4" or a vulgar fraction.  Returns: FALSE, with *@at unmoved, where none stands here. */
static gboolean
read_fraction (const char **at, double *value_out)
{
  const char *here = *at;
  double numerator;
  double denominator;

  for (gsize i = 0; i < G_N_ELEMENTS (vulgar); i++)
    if (g_str_has_prefix (here, vulgar[i].text))
      {
        *at = here + strlen (vulgar[i].text);
        *value_out = vulgar[i].value;
        return TRUE;
      }
  if (read_digits (&here, &numerator) == 0 || *here != '/')
    return FALSE;
  here++;
  if (read_digits (&here, &denominator) == 0 || denominator == 0)
    return FALSE;
  *at = here;
  *value_out = numerator / denominator;
  return TRUE;
}

/* Reads digits with at most one decimal mark, through a text that g_ascii_strtod() rounds rightly. */
static gboolean
read_decimal (const char **at, char decimal, double *value_out)
{
  const char *start = *at;
  g_autofree char *digits = NULL;
  double part;
  int count = read_digits (at, &part);

  if (**at == decimal)
    {
      int after;

      (*at)++;
      after = read_digits (at, &part);
      if (after == 0)
        return FALSE;
      count += after;
    }
  if (count == 0 || count > MAX_DIGITS)
    return FALSE;
  digits = g_strndup (start, (gsize) (*at - start));
  *value_out = g_ascii_strtod (g_strdelimit (digits, ",", '.'), NULL);
  return TRUE;
}

/* Reads "-2", "3.8", "1/4", "1 1/2", "2½". */
static gboolean
read_number (const char **at, char decimal, double *value_out)
{
  static const char minus[] = "\xE2\x88\x92";
  gboolean negative = FALSE;
  double fraction;
  const char *rest;

  if (**at == '-')
    {
      negative = TRUE;
      (*at)++;
    }
  else if (g_str_has_prefix (*at, minus))
    {
      negative = TRUE;
      *at += strlen (minus);
    }
  if (!read_fraction (at, value_out))
    {
      if (!read_decimal (at, decimal, value_out))
        return FALSE;
      rest = skip_space (*at);
      if (*value_out == floor (*value_out) && read_fraction (&rest, &fraction) && fraction < 1)
        {
          *value_out += fraction;
          *at = rest;
        }
    }
  if (negative)
    *value_out = -*value_out;
  return TRUE;
}

/* Lower case, one plain space between words, none at the ends. */
static char *
normalize_unit (const char *text)
{
  GString *normal = g_string_new (NULL);

  for (const char *at = skip_space (text); *at != '\0';)
    {
      if (is_space (at))
        {
          at = skip_space (at);
          if (*at != '\0' && *at != '/')
            g_string_append_c (normal, ' ');
        }
      else
        {
          const char *next = g_utf8_next_char (at);

          g_string_append_len (normal, at, next - at);
          at = *at == '/' ? skip_space (next) : next;
        }
    }
  g_string_ascii_down (normal);
  return g_string_free (normal, FALSE);
}

/* @unit: normalized. */
static gboolean
is_spelled (const TdUnitInfo *info, const char *unit)
{
  gsize length = strlen (unit);
  const char *at = info->spellings;

  if (g_ascii_strcasecmp (info->symbol, unit) == 0)
    return TRUE;
  while (*at != '\0')
    {
      gsize part = strcspn (at, "|");

      if (part == length && strncmp (at, unit, length) == 0)
        return TRUE;
      at += part;
      if (*at == '|')
        at++;
    }
  return FALSE;
}

/* "mL, L, fl oz": the units of a quantity. */
static char *
list_units (TdQuantity quantity)
{
  GString *list = g_string_new (NULL);

  for (guint i = 0; i < TD_N_UNITS; i++)
    if (td_unit_get_quantity ((TdUnit) i) == quantity)
      {
        if (list->len > 0)
          g_string_append (list, ", ");
        g_string_append (list, td_unit_get_symbol ((TdUnit) i));
      }
  return g_string_free (list, FALSE);
}

/* The unit that @text names, or the one that is meant where it names none. */
static gboolean
find_unit (TdQuantity quantity, const char *text, const TdUnitStyle *style, TdUnit *unit_out)
{
  g_autofree char *unit = normalize_unit (text);

  if (*unit == '\0')
    {
      *unit_out = td_quantity_get_unit (quantity, style->system);
      return quantity != TD_QUANTITY_VOLUME && quantity != TD_QUANTITY_MASS;
    }
  for (guint i = 0; i < TD_N_UNITS; i++)
    {
      const TdUnitInfo *info = td_unit_get_info ((TdUnit) i);

      if (info->quantity == quantity && is_spelled (info, unit))
        {
          *unit_out = (TdUnit) i;
          return TRUE;
        }
    }
  return FALSE;
}

static gboolean
check_range (TdQuantity quantity, const char *text, double value, GError **error)
{
  g_autofree char *excerpt = NULL;
  const char *fault = NULL;

  if (quantity == TD_QUANTITY_TEMPERATURE)
    fault = value < ABSOLUTE_ZERO_C ? "cannot be below absolute zero" : NULL;
  else if (quantity == TD_QUANTITY_BORE)
    fault = value < MIN_BORE_MM || value > MAX_BORE_MM
                ? "must be from 1 to 200 mm; name the unit, as in 9.5 mm or 3/8 in"
                : NULL;
  else if (quantity != TD_QUANTITY_TEMPERATURE_DIFFERENCE)
    fault = value < 0 ? "cannot be less than nothing" : NULL;
  if (fault == NULL)
    return TRUE;
  excerpt = td_text_excerpt (text);
  g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "\"%s\": %s %s", excerpt,
               td_quantity_get_name (quantity), fault);
  return FALSE;
}

gboolean
td_quantity_parse (TdQuantity quantity, const char *text, const TdUnitStyle *style, double *value_out,
                   GError **error)
{
  const char *at;
  double number;
  TdUnit unit;

  g_return_val_if_fail ((guint) quantity < TD_N_QUANTITIES && text != NULL, FALSE);
  g_return_val_if_fail (style != NULL && (style->decimal == '.' || style->decimal == ','), FALSE);
  at = g_utf8_validate (text, -1, NULL) ? skip_space (text) : "";
  if (!read_number (&at, style->decimal, &number) || *at == '.' || *at == ',' || *at == '/')
    {
      g_autofree char *excerpt = td_text_excerpt (text);

      g_set_error (error, TD_ERROR, TD_ERROR_PARSE,
                   "\"%s\" does not start with a number; write it like 12%c5 or 1/4, without separators of "
                   "thousands",
                   excerpt, style->decimal);
      return FALSE;
    }
  if (!find_unit (quantity, at, style, &unit))
    {
      g_autofree char *excerpt = td_text_excerpt (text);
      g_autofree char *list = list_units (quantity);

      g_set_error (error, TD_ERROR, TD_ERROR_PARSE,
                   "\"%s\" is not %s; put one of these units behind the number: %s", excerpt,
                   td_quantity_get_name (quantity), list);
      return FALSE;
    }
  number = td_unit_to_base (unit, number);
  if (!check_range (quantity, text, number, error))
    return FALSE;
  *value_out = number;
  return TRUE;
}
