#include "core-json-read-text.h"

#include "core-error.h"
#include "core-text.h"

gboolean
td_id_is_valid (const char *id)
{
  const char *last;

  g_return_val_if_fail (id != NULL, FALSE);
  if (*id == '\0' || !g_utf8_validate (id, -1, NULL) || g_utf8_strlen (id, -1) > TD_ID_MAX_LENGTH)
    return FALSE;
  last = id;
  for (const char *at = id; *at != '\0'; at = g_utf8_next_char (at))
    {
      if (g_unichar_iscntrl (g_utf8_get_char (at)))
        return FALSE;
      last = at;
    }
  return !g_unichar_isspace (g_utf8_get_char (id)) && !g_unichar_isspace (g_utf8_get_char (last));
}

/* Keeps an error at the member's own place. */
static void
fail_at (TdJsonReader *reader, const char *key, int code, const char *message)
{
  td_json_reader_fail (reader, td_json_reader_optional_any (reader, key), code, "\"%s\": %s", key,
                       message);
}

static const char *
check_id (TdJsonReader *reader, const char *key, const char *id)
{
  g_autofree char *excerpt = NULL;
  g_autofree char *message = NULL;

  if (!td_json_reader_is_good (reader) || id == NULL || td_id_is_valid (id))
    return id;
  excerpt = td_text_excerpt (id);
  message = g_strdup_printf ("\"%s\" cannot be an identifier; it may have 1 to %d characters, no line "
                             "break or other control character, and no space at either end",
                             excerpt, TD_ID_MAX_LENGTH);
  fail_at (reader, key, TD_ERROR_SHAPE, message);
  return NULL;
}

const char *
td_json_reader_id (TdJsonReader *reader, const char *key)
{
  const char *id = check_id (reader, key, td_json_reader_string (reader, key));

  return id != NULL ? id : "";
}

const char *
td_json_reader_optional_id (TdJsonReader *reader, const char *key)
{
  return check_id (reader, key, td_json_reader_optional_string (reader, key));
}

static TdDate
check_date (TdJsonReader *reader, const char *key, const char *text)
{
  g_autoptr (GError) error = NULL;
  TdDate date = TD_DATE_NONE;

  if (!td_json_reader_is_good (reader) || text == NULL)
    return TD_DATE_NONE;
  if (!td_date_parse (text, &date, &error))
    fail_at (reader, key, error->code, error->message);
  return date;
}

TdDate
td_json_reader_date (TdJsonReader *reader, const char *key)
{
  return check_date (reader, key, td_json_reader_string (reader, key));
}

TdDate
td_json_reader_optional_date (TdJsonReader *reader, const char *key)
{
  return check_date (reader, key, td_json_reader_optional_string (reader, key));
}

TdMoment
td_json_reader_moment (TdJsonReader *reader, const char *key)
{
  const char *text = td_json_reader_string (reader, key);
  g_autoptr (GError) error = NULL;
  TdMoment moment = { 0, 0 };

  if (td_json_reader_is_good (reader) && !td_moment_parse (text, &moment, &error))
    fail_at (reader, key, error->code, error->message);
  return moment;
}
