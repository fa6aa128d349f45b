#include "core-uuid.h"

#include <string.h>

#include "core-error.h"
#include "core-text.h"

/* RFC 9562, 5.7: 48 bits of time, version 7, 12 random bits, variant 10, 62 random bits. */
TdUuid
td_uuid_make_v7 (gint64 utc_ms, const guint8 random[10])
{
  TdUuid uuid;

  g_assert (random != NULL);
  g_assert (utc_ms >= 0 && utc_ms < (G_GINT64_CONSTANT (1) << 48));
  for (int i = 0; i < 6; i++)
    uuid.bytes[i] = (guint8) (utc_ms >> (40 - 8 * i));
  memcpy (uuid.bytes + 6, random, 10);
  uuid.bytes[6] = 0x70 | (uuid.bytes[6] & 0x0F);
  uuid.bytes[8] = 0x80 | (uuid.bytes[8] & 0x3F);
  return uuid;
}

static gboolean
is_dash_place (gsize place)
{
  return place == 8 || place == 13 || place == 18 || place == 23;
}

gboolean
td_uuid_parse (const char *text, TdUuid *uuid_out, GError **error)
{
  TdUuid uuid = { { 0 } };
  gsize nibble = 0;

  g_return_val_if_fail (text != NULL && uuid_out != NULL, FALSE);
  for (gsize i = 0; i < TD_UUID_TEXT_LENGTH + 1; i++)
    {
      char c = text[i];
      gboolean right = i == TD_UUID_TEXT_LENGTH ? c == '\0'
                       : is_dash_place (i)      ? c == '-'
                                                : g_ascii_isxdigit (c);

      /* Stops at the first wrong character, so that a short text is never read beyond its NUL. */
      if (!right)
        {
          g_autofree char *excerpt = td_text_excerpt (text);

          g_set_error (error, TD_ERROR, TD_ERROR_PARSE,
                       "\"%s\" is not an identifier of the form 0190b5d2-7c11-7def-8abc-0123456789ab",
                       excerpt);
          return FALSE;
        }
      if (g_ascii_isxdigit (c))
        {
          uuid.bytes[nibble / 2] |= (guint8) (g_ascii_xdigit_value (c) << (nibble % 2 ? 0 : 4));
          nibble++;
        }
    }
  *uuid_out = uuid;
  return TRUE;
}

void
td_uuid_format (const TdUuid *uuid, char text_out[TD_UUID_TEXT_LENGTH + 1])
{
  static const char digits[] = "0123456789abcdef";
  gsize place = 0;

  g_assert (uuid != NULL && text_out != NULL);
  for (gsize nibble = 0; nibble < 32; nibble++)
    {
      guint8 byte = uuid->bytes[nibble / 2];

      if (is_dash_place (place))
        text_out[place++] = '-';
      text_out[place++] = digits[nibble % 2 ? byte & 0x0F : byte >> 4];
    }
  text_out[place] = '\0';
}

char *
td_uuid_to_text (const TdUuid *uuid)
{
  char *text = g_malloc (TD_UUID_TEXT_LENGTH + 1);

  td_uuid_format (uuid, text);
  return text;
}

gboolean
td_uuid_equal (const TdUuid *a, const TdUuid *b)
{
  g_assert (a != NULL && b != NULL);
  return memcmp (a->bytes, b->bytes, sizeof a->bytes) == 0;
}

gboolean
td_uuid_is_nil (const TdUuid *uuid)
{
  static const TdUuid nil = { { 0 } };

  return td_uuid_equal (uuid, &nil);
}
