#include "core-json-write.h"

#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-json-private.h"

/* Digits of DBL_MAX before the point, 15 after it, sign, point and NUL. */
#define FIXED_SIZE (309 + 15 + 3)
/* "-1.2345678901234567e-308" and NUL. */
#define EXPONENT_SIZE 32

/* Makes the format of @decimals (0..16) digits after the point for g_ascii_formatd(). */
static void
make_format (char format[6], int decimals, char style)
{
  format[0] = '%';
  format[1] = '.';
  format[2] = (char) ('0' + decimals / 10);
  format[3] = (char) ('0' + decimals % 10);
  format[4] = style;
  format[5] = '\0';
}

double
td_json_round (double value, int decimals)
{
  char format[6];
  char digits[FIXED_SIZE];

  g_assert (isfinite (value));
  g_assert (decimals >= 0 && decimals <= 15);
  make_format (format, decimals, 'f');
  return g_ascii_strtod (g_ascii_formatd (digits, sizeof digits, format, value), NULL);
}

/* Fewest significant digits that read back as @value, as "d.ddde+XX". */
static void
format_shortest (double value, char digits[EXPONENT_SIZE])
{
  for (int decimals = 0; decimals <= 16; decimals++)
    {
      char format[6];

      make_format (format, decimals, 'e');
      g_ascii_formatd (digits, EXPONENT_SIZE, format, value);
      /* Bits are compared by value: NAN and the two zeros do not come here. */
      if (g_ascii_strtod (digits, NULL) == value)
        return;
    }
  g_assert_not_reached (); /* 17 digits name every double (IEEE 754-2019, 5.12.2) */
}

/* Splits "d.ddde+XX" into its digits and the power of ten of the first. */
static int
split_exponent (char *text, GString *mantissa)
{
  char *mark = strchr (text, 'e');

  g_assert (mark != NULL);
  *mark = '\0';
  for (const char *at = text; *at != '\0'; at++)
    if (g_ascii_isdigit (*at))
      g_string_append_c (mantissa, *at);
  return (int) g_ascii_strtoll (mark + 1, NULL, 10);
}

void
td_json_append_real (GString *text, double value)
{
  char digits[EXPONENT_SIZE];
  g_autoptr (GString) mantissa = g_string_new (NULL);
  int exponent;

  g_assert (isfinite (value));
  if (value == 0)
    {
      g_string_append (text, signbit (value) ? "-0.0" : "0");
      return;
    }
  format_shortest (fabs (value), digits);
  exponent = split_exponent (digits, mantissa);
  if (value < 0)
    g_string_append_c (text, '-');
  /* From 1e16 on the shortest digits, filled up with zeros, may be another integer than the double. */
  if (exponent < -6 || exponent >= 16)
    {
      g_string_append_c (text, mantissa->str[0]);
      if (mantissa->len > 1)
        g_string_append_printf (text, ".%s", mantissa->str + 1);
      g_string_append_printf (text, "e%d", exponent);
    }
  else if (exponent < 0)
    {
      g_string_append (text, "0.");
      for (int i = exponent + 1; i < 0; i++)
        g_string_append_c (text, '0');
      g_string_append (text, mantissa->str);
    }
  else
    {
      gsize before = (gsize) exponent + 1;

      while (mantissa->len < before)
        g_string_append_c (mantissa, '0');
      g_string_append_len (text, mantissa->str, (gssize) before);
      if (mantissa->len > before)
        g_string_append_printf (text, ".%s", mantissa->str + before);
    }
}

void
td_json_append_string (GString *text, const char *value)
{
  static const char letters[] = "\"\\bfnrt";
  static const char meanings[] = "\"\\\b\f\n\r\t";

  g_assert (value != NULL);
  g_string_append_c (text, '"');
  for (const char *at = value; *at != '\0'; at++)
    {
      const char *meaning = strchr (meanings, *at);

      if (meaning != NULL)
        {
          g_string_append_c (text, '\\');
          g_string_append_c (text, letters[meaning - meanings]);
        }
      else if ((guchar) *at < 0x20)
        g_string_append_printf (text, "\\u%04x", (guint) (guchar) *at);
      else
        g_string_append_c (text, *at);
    }
  g_string_append_c (text, '"');
}

static void
append_plain (GString *text, const TdJson *json)
{
  switch (json->kind)
    {
    case TD_JSON_NULL:
      g_string_append (text, "null");
      break;
    case TD_JSON_BOOLEAN:
      g_string_append (text, json->u.boolean ? "true" : "false");
      break;
    case TD_JSON_INTEGER:
      g_string_append_printf (text, "%" G_GINT64_FORMAT, json->u.integer);
      break;
    case TD_JSON_REAL:
      td_json_append_real (text, json->u.real);
      break;
    case TD_JSON_STRING:
      td_json_append_string (text, json->u.string);
      break;
    case TD_JSON_ARRAY:
    case TD_JSON_OBJECT:
    default:
      g_assert_not_reached ();
    }
}

static void
append_break (GString *text, guint indent)
{
  g_string_append_c (text, '\n');
  for (guint i = 0; i < indent; i++)
    g_string_append (text, "  ");
}

static void
append_value (GString *text, const TdJson *json, gboolean pretty, guint indent)
{
  gboolean object = json->kind == TD_JSON_OBJECT;
  gboolean broken;

  if (json->depth == 0)
    {
      append_plain (text, json);
      return;
    }
  broken = pretty && json->length > 0 && (object || json->depth > 1);
  g_string_append_c (text, object ? '{' : '[');
  for (guint i = 0; i < json->length; i++)
    {
      if (i > 0)
        g_string_append (text, pretty && !broken ? ", " : ",");
      if (broken)
        append_break (text, indent + 1);
      if (object)
        {
          td_json_append_string (text, json->u.items.keys[i].text);
          g_string_append (text, pretty ? ": " : ":");
        }
      append_value (text, json->u.items.elements[i], pretty, indent + 1);
    }
  if (broken)
    append_break (text, indent);
  g_string_append_c (text, object ? '}' : ']');
}

char *
td_json_to_text (const TdJson *json, gboolean pretty)
{
  g_autoptr (GString) text = g_string_new (NULL);

  g_return_val_if_fail (json != NULL, NULL);
  append_value (text, json, pretty, 0);
  if (pretty)
    g_string_append_c (text, '\n');
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static gboolean
append_canonical (GString *text, const TdJson *json, GError **error)
{
  gboolean object = json->kind == TD_JSON_OBJECT;

  if (json->kind == TD_JSON_INTEGER || json->kind == TD_JSON_STRING)
    {
      append_plain (text, json);
      return TRUE;
    }
  if (json->depth == 0)
    {
      td_json_set_error (json, TD_ERROR_SHAPE, error,
                         "a journal body holds objects, arrays, texts and integers only; write a real as "
                         "an integer of a smaller unit, leave out a key instead of null, and use 0 and 1 "
                         "for false and true");
      return FALSE;
    }
  g_string_append_c (text, object ? '{' : '[');
  for (guint i = 0; i < json->length; i++)
    {
      guint index = object ? json->u.items.order[i] : i;

      if (i > 0)
        g_string_append_c (text, ',');
      if (object)
        {
          td_json_append_string (text, json->u.items.keys[index].text);
          g_string_append_c (text, ':');
        }
      if (!append_canonical (text, json->u.items.elements[index], error))
        return FALSE;
    }
  g_string_append_c (text, object ? '}' : ']');
  return TRUE;
}

char *
td_json_to_canonical (const TdJson *json, GError **error)
{
  g_autoptr (GString) text = g_string_new (NULL);

  g_return_val_if_fail (json != NULL, NULL);
  g_return_val_if_fail (error == NULL || *error == NULL, NULL);
  if (!append_canonical (text, json, error))
    return NULL;
  return g_string_free (g_steal_pointer (&text), FALSE);
}
