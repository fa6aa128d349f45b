/* core-uuid.h: identifiers that may be shared between books (RFC 9562). */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef struct
{
  guint8 bytes[16];
} TdUuid;

#define TD_UUID_TEXT_LENGTH 36

/* A version 7 identifier. @utc_ms: milliseconds since 1970, 0 <= utc_ms < 2^48; @random: 10 bytes, of which 74 bits are
 * used; core has no clock and no source of chance of its own. */
TdUuid td_uuid_make_v7 (gint64 utc_ms, const guint8 random[10]);
/* Accepts the 36-character form, either case. Returns FALSE with TD_ERROR_PARSE otherwise. */
gboolean td_uuid_parse (const char *text, TdUuid *uuid_out, GError **error);
/* Writes the lower-case form and a NUL into @text_out. */
void td_uuid_format (const TdUuid *uuid, char text_out[TD_UUID_TEXT_LENGTH + 1]);
/* Returns: (transfer full): the lower-case form. */
char *td_uuid_to_text (const TdUuid *uuid);
gboolean td_uuid_equal (const TdUuid *a, const TdUuid *b);
gboolean td_uuid_is_nil (const TdUuid *uuid);

G_END_DECLS
