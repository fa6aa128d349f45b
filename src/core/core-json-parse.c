#include "core-json.h"

#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-json-private.h"
#include "core-text.h"

/* Where the reader stands. */
typedef struct
{
  const char *at;
  const char *end;
  /* The last place whose line and column were asked for: counting goes on from there, so that a text of
   * one long line costs no more than one of many. */
  const char *mark;
  guint line;
  guint column;
  guint depth;
  GError **error;
} Reader;

static TdJson *parse_value (Reader *reader);

/* Moves the mark up to where the reader stands. */
static void
locate (Reader *reader)
{
  g_assert (reader->mark <= reader->at && reader->at <= reader->end);
  for (; reader->mark < reader->at; reader->mark++)
    {
      if (*reader->mark == '\n')
        {
          reader->line++;
          reader->column = 1;
        }
      else if ((*reader->mark & 0xC0) != 0x80) /* not the inside of a UTF-8 sequence */
        {
          reader->column++;
        }
    }
}

static gpointer fail (Reader *reader, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Sets the error at the place where the reader stands.  Returns: NULL. */
static gpointer
fail (Reader *reader, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list args;

  locate (reader);
  va_start (args, format);
  message = g_strdup_vprintf (format, args);
  va_end (args);
  g_set_error (reader->error, TD_ERROR, TD_ERROR_PARSE, "line %u, column %u: %s", reader->line,
               reader->column, message);
  return NULL;
}

/* Says that something else was expected than what stands here.  Returns: NULL. */
static gpointer
fail_expected (Reader *reader, const char *expected)
{
  gunichar found;
  char utf8[7] = { 0 };

  if (reader->at == reader->end)
    return fail (reader, "expected %s, but the text ends here", expected);
  found = g_utf8_get_char (reader->at);
  if (found < 0x20 || found == 0x7F)
    return fail (reader, "expected %s, found the character U+%04X", expected, found);
  g_unichar_to_utf8 (found, utf8);
  return fail (reader, "expected %s, found '%s'", expected, utf8);
}

static void
skip_space (Reader *reader)
{
  while (reader->at < reader->end
         && (*reader->at == ' ' || *reader->at == '\t' || *reader->at == '\n' || *reader->at == '\r'))
    reader->at++;
}

static gboolean
stands_at (const Reader *reader, char character)
{
  return reader->at < reader->end && *reader->at == character;
}

static gboolean
read_hex4 (Reader *reader, gunichar *value_out)
{
  gunichar value = 0;

  for (int i = 0; i < 4; i++, reader->at++)
    {
      if (reader->at == reader->end || !g_ascii_isxdigit (*reader->at))
        {
          fail_expected (reader, "four hexadecimal digits after \\u");
          return FALSE;
        }
      value = value * 16 + (gunichar) g_ascii_xdigit_value (*reader->at);
    }
  *value_out = value;
  return TRUE;
}

/* The reader stands behind "\u". */
static gboolean
read_unicode_escape (Reader *reader, GString *text)
{
  gunichar high;
  gunichar low;

  if (!read_hex4 (reader, &high))
    return FALSE;
  if (high == 0)
    {
      fail (reader, "a text may not hold \\u0000");
      return FALSE;
    }
  if (high >= 0xDC00 && high <= 0xDFFF)
    {
      fail (reader, "the surrogate \\u%04X stands without the one that goes before it", high);
      return FALSE;
    }
  if (high >= 0xD800 && high <= 0xDBFF)
    {
      if (reader->end - reader->at < 2 || reader->at[0] != '\\' || reader->at[1] != 'u')
        {
          fail (reader, "the surrogate \\u%04X stands without the one that goes after it", high);
          return FALSE;
        }
      reader->at += 2;
      if (!read_hex4 (reader, &low))
        return FALSE;
      if (low < 0xDC00 || low > 0xDFFF)
        {
          fail (reader, "\\u%04X cannot follow the surrogate \\u%04X", low, high);
          return FALSE;
        }
      high = 0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00);
    }
  g_string_append_unichar (text, high);
  return TRUE;
}

/* The reader stands behind the backslash. */
static gboolean
read_escape (Reader *reader, GString *text)
{
  static const char letters[] = "\"\\/bfnrt";
  static const char meanings[] = "\"\\/\b\f\n\r\t";
  const char *letter;

  if (stands_at (reader, 'u'))
    {
      reader->at++;
      return read_unicode_escape (reader, text);
    }
  letter = reader->at < reader->end ? strchr (letters, *reader->at) : NULL;
  if (letter == NULL)
    {
      fail_expected (reader, "one of \" \\ / b f n r t u after a backslash");
      return FALSE;
    }
  g_string_append_c (text, meanings[letter - letters]);
  reader->at++;
  return TRUE;
}

/* Moves to the next character that does not stand for itself in a text. */
static void
skip_plain (Reader *reader)
{
  while (reader->at < reader->end && *reader->at != '"' && *reader->at != '\\'
         && (guchar) *reader->at >= 0x20)
    reader->at++;
}

/* The reader stands at the opening quote.  Returns: (transfer full) (nullable): the text. */
static char *
parse_text (Reader *reader)
{
  g_autoptr (GString) text = NULL;

  g_assert (stands_at (reader, '"'));
  reader->at++;
  for (;;)
    {
      const char *start = reader->at;
      gsize length;

      skip_plain (reader);
      if (reader->at == reader->end)
        return fail (reader, "the text in quotes does not end");
      length = (gsize) (reader->at - start);
      if (*reader->at == '"' && text == NULL)
        {
          reader->at++;
          return g_strndup (start, length);
        }
      if (text == NULL)
        text = g_string_new (NULL);
      g_string_append_len (text, start, (gssize) length);
      if (*reader->at == '"')
        {
          reader->at++;
          return g_string_free (g_steal_pointer (&text), FALSE);
        }
      if (*reader->at != '\\')
        return fail (reader, "a control character (U+%04X) inside quotes must be escaped",
                     (guint) (guchar) *reader->at);
      reader->at++;
      if (!read_escape (reader, text))
        return NULL;
    }
}

static TdJson *
parse_string (Reader *reader)
{
  guint line = reader->line;
  guint column = reader->column;
  char *text = parse_text (reader);
  TdJson *json;

  if (text == NULL)
    return NULL;
  json = td_json_new (TD_JSON_STRING, line, column);
  json->u.string = text;
  return json;
}

/* Moves over the digits that stand here.  Returns: FALSE with the error set where there is none. */
static gboolean
skip_digits (Reader *reader, const char *where)
{
  const char *start = reader->at;

  while (reader->at < reader->end && g_ascii_isdigit (*reader->at))
    reader->at++;
  if (reader->at == start)
    fail_expected (reader, where);
  return reader->at > start;
}

/* Moves over a number.  @integral_out: neither fraction nor exponent. */
static gboolean
scan_number (Reader *reader, gboolean *integral_out)
{
  const char *first;

  *integral_out = TRUE;
  if (stands_at (reader, '-'))
    reader->at++;
  first = reader->at;
  if (!skip_digits (reader, "a digit after '-'"))
    return FALSE;
  if (*first == '0' && reader->at - first > 1)
    {
      reader->at = first;
      fail (reader, "a number may not start with a needless 0");
      return FALSE;
    }
  if (stands_at (reader, '.'))
    {
      *integral_out = FALSE;
      reader->at++;
      if (!skip_digits (reader, "a digit after the decimal point"))
        return FALSE;
    }
  if (stands_at (reader, 'e') || stands_at (reader, 'E'))
    {
      *integral_out = FALSE;
      reader->at++;
      if (stands_at (reader, '+') || stands_at (reader, '-'))
        reader->at++;
      if (!skip_digits (reader, "a digit in the exponent"))
        return FALSE;
    }
  return TRUE;
}

/* @digits: what scan_number() moved over.  An error names where the reader stands. */
static TdJson *
make_number (Reader *reader, const char *digits, gboolean integral)
{
  g_autoptr (TdJson) json
      = td_json_new (integral ? TD_JSON_INTEGER : TD_JSON_REAL, reader->line, reader->column);

  if (integral)
    {
      if (!g_ascii_string_to_signed (digits, 10, G_MININT64, G_MAXINT64, &json->u.integer, NULL))
        return fail (reader, "the integer %.40s does not fit in 64 bits", digits);
    }
  else
    {
      json->u.real = g_ascii_strtod (digits, NULL);
      if (!isfinite (json->u.real))
        return fail (reader, "the number %.40s is too large", digits);
    }
  return g_steal_pointer (&json);
}

static TdJson *
parse_number (Reader *reader)
{
  const char *start = reader->at;
  char few[32];
  g_autofree char *many = NULL;
  char *digits = few;
  gsize length;
  gboolean integral;
  TdJson *json;

  if (!scan_number (reader, &integral))
    return NULL;
  length = (gsize) (reader->at - start);
  if (length >= sizeof few)
    digits = many = g_malloc (length + 1);
  memcpy (digits, start, length);
  digits[length] = '\0';
  reader->at = start;
  json = make_number (reader, digits, integral);
  reader->at = start + length;
  return json;
}

static TdJson *
parse_word (Reader *reader)
{
  static const struct
  {
    const char *text;
    TdJsonType kind;
    gboolean value;
  } words[] = {
    { "true", TD_JSON_BOOLEAN, TRUE },
    { "false", TD_JSON_BOOLEAN, FALSE },
    { "null", TD_JSON_NULL, FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    {
      gsize length = strlen (words[i].text);

      if ((gsize) (reader->end - reader->at) >= length
          && memcmp (reader->at, words[i].text, length) == 0)
        {
          TdJson *json = td_json_new (words[i].kind, reader->line, reader->column);

          json->u.boolean = words[i].value;
          reader->at += length;
          return json;
        }
    }
  return fail_expected (reader, "a value");
}

/* Enters an array or object. */
static gboolean
descend (Reader *reader)
{
  if (reader->depth == TD_JSON_MAX_DEPTH)
    {
      fail (reader, "nested deeper than %d", TD_JSON_MAX_DEPTH);
      return FALSE;
    }
  reader->depth++;
  reader->at++;
  skip_space (reader);
  return TRUE;
}

/* After an element: TRUE with @more_out where a comma or the end stands here. */
static gboolean
read_separator (Reader *reader, char closing, const char *expected, gboolean *more_out)
{
  skip_space (reader);
  *more_out = stands_at (reader, ',');
  if (!*more_out && !stands_at (reader, closing))
    {
      fail_expected (reader, expected);
      return FALSE;
    }
  reader->at++;
  skip_space (reader);
  return TRUE;
}

static TdJson *
parse_array (Reader *reader)
{
  guint line = reader->line;
  guint column = reader->column;
  g_autoptr (GPtrArray) elements = g_ptr_array_new_with_free_func ((GDestroyNotify) td_json_unref);
  gboolean more;

  if (!descend (reader))
    return NULL;
  more = !stands_at (reader, ']');
  if (!more)
    reader->at++;
  while (more)
    {
      TdJson *element = parse_value (reader);

      if (element == NULL)
        return NULL;
      g_ptr_array_add (elements, element);
      if (!read_separator (reader, ']', "',' or ']'", &more))
        return NULL;
    }
  reader->depth--;
  return td_json_new_items (elements, NULL, line, column, NULL);
}

/* Reads a key and the colon. */
static gboolean
read_key (Reader *reader, GArray *keys)
{
  TdJsonKey key;

  if (!stands_at (reader, '"'))
    {
      fail_expected (reader, "a key in double quotes");
      return FALSE;
    }
  locate (reader);
  key.line = reader->line;
  key.column = reader->column;
  key.text = parse_text (reader);
  if (key.text == NULL)
    return FALSE;
  g_array_append_val (keys, key);
  skip_space (reader);
  if (!stands_at (reader, ':'))
    {
      fail_expected (reader, "':' after the key");
      return FALSE;
    }
  reader->at++;
  return TRUE;
}

static TdJson *
close_object (Reader *reader, GPtrArray *elements, GArray *keys, guint line, guint column)
{
  guint doubled = 0;
  TdJson *json = td_json_new_items (elements, keys, line, column, &doubled);
  g_autofree char *excerpt = NULL;
  const TdJsonKey *key;

  reader->depth--;
  if (json != NULL)
    return json;
  key = &g_array_index (keys, TdJsonKey, doubled);
  excerpt = td_text_excerpt (key->text);
  g_set_error (reader->error, TD_ERROR, TD_ERROR_PARSE,
               "line %u, column %u: the key \"%s\" stands twice in one object", key->line, key->column,
               excerpt);
  return NULL;
}

static TdJson *
parse_object (Reader *reader)
{
  guint line = reader->line;
  guint column = reader->column;
  g_autoptr (GPtrArray) elements = g_ptr_array_new_with_free_func ((GDestroyNotify) td_json_unref);
  g_autoptr (GArray) keys = td_json_keys_new ();
  gboolean more;

  if (!descend (reader))
    return NULL;
  more = !stands_at (reader, '}');
  if (!more)
    reader->at++;
  while (more)
    {
      TdJson *element;

      if (!read_key (reader, keys))
        return NULL;
      element = parse_value (reader);
      if (element == NULL)
        return NULL;
      g_ptr_array_add (elements, element);
      if (!read_separator (reader, '}', "',' or '}'", &more))
        return NULL;
    }
  return close_object (reader, elements, keys, line, column);
}

static TdJson *
parse_value (Reader *reader)
{
  skip_space (reader);
  locate (reader);
  if (reader->at == reader->end)
    return fail_expected (reader, "a value");
  switch (*reader->at)
    {
    case '{':
      return parse_object (reader);
    case '[':
      return parse_array (reader);
    case '"':
      return parse_string (reader);
    case '-':
    case '0' ... '9':
      return parse_number (reader);
    default:
      return parse_word (reader);
    }
}

/* Before anything else, so that the rest may trust every byte. */
static gboolean
check_encoding (Reader *reader, gsize size)
{
  const char *text = reader->at;
  const char *bad;

  if (size > G_MAXINT32)
    {
      fail (reader, "the text is larger than 2 GiB");
      return FALSE;
    }
  if (size >= 3 && memcmp (text, "\xEF\xBB\xBF", 3) == 0)
    {
      fail (reader, "the text starts with a byte order mark; save it as UTF-8 without one");
      return FALSE;
    }
  if (g_utf8_validate_len (text, size, &bad))
    return TRUE;
  reader->at = bad;
  if (*bad == '\0')
    fail (reader, "a NUL byte");
  else
    fail (reader, "the byte 0x%02X is not UTF-8; save the text as UTF-8", (guint) (guchar) *bad);
  return FALSE;
}

TdJson *
td_json_parse (const char *text, gssize length, GError **error)
{
  gsize size;
  Reader reader = { 0 };
  g_autoptr (TdJson) json = NULL;

  g_return_val_if_fail (text != NULL, NULL);
  g_return_val_if_fail (error == NULL || *error == NULL, NULL);
  size = length < 0 ? strlen (text) : (gsize) length;
  reader.at = reader.mark = text;
  reader.end = text + size;
  reader.line = reader.column = 1;
  reader.error = error;
  if (!check_encoding (&reader, size))
    return NULL;
  json = parse_value (&reader);
  if (json == NULL)
    return NULL;
  skip_space (&reader);
  if (reader.at < reader.end)
    return fail_expected (&reader, "nothing after the value");
  return g_steal_pointer (&json);
}
