#include "exchange-calendar.h"

#include "core-error.h"

#include <string.h>

/* RFC 5545, section 3.1: at most 75 octets a line, the line break not counted. */
#define LINE_OCTETS 75

/* Appends one content line, folded. A folded line begins with a space, which counts. */
static void
append_line (GString *out, const char *line)
{
  gsize room = LINE_OCTETS;
  const char *p = line;

  while (*p != '\0')
    {
      gsize octets = (gsize) (g_utf8_next_char (p) - p);

      if (octets > room)
        {
          g_string_append (out, "\r\n ");
          room = LINE_OCTETS - 1;
        }
      g_string_append_len (out, p, (gssize) octets);
      room -= octets;
      p += octets;
    }
  g_string_append (out, "\r\n");
}

static void append_property (GString *out, const char *name, const char *format, ...) G_GNUC_PRINTF (3, 4);

static void
append_property (GString *out, const char *name, const char *format, ...)
{
  g_autofree char *value = NULL;
  g_autofree char *line = NULL;
  va_list arguments;

  va_start (arguments, format);
  value = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  line = g_strconcat (name, value, NULL);
  append_line (out, line);
}

/* TEXT: backslash, semicolon, comma and line breaks are escaped; other controls have no place in it. */
static void
append_text (GString *out, const char *name, const char *text)
{
  g_autoptr (GString) line = g_string_new (name);
  g_autofree char *valid = NULL;

  if (text == NULL || *text == '\0')
    return;
  valid = g_utf8_make_valid (text, -1);
  for (const char *p = valid; *p != '\0'; p++)
    {
      if (*p == '\n')
        g_string_append (line, "\\n");
      else if (strchr ("\\;,", *p) != NULL)
        g_string_append_printf (line, "\\%c", *p);
      else if ((guchar) *p >= 0x20 && *p != 0x7f)
        g_string_append_c (line, *p);
      else if (*p == '\t')
        g_string_append_c (line, ' ');
    }
  append_line (out, line->str);
}

static char *
date_to_basic (TdDate date)
{
  int year, month, day;

  td_date_split (date, &year, &month, &day);
  return g_strdup_printf ("%04d%02d%02d", year, month, day);
}

/* "20260302T061000Z" */
static char *
moment_to_basic (gint64 utc_ms)
{
  gint64 day_ms = G_GINT64_CONSTANT (86400000);
  gint64 days = utc_ms >= 0 ? utc_ms / day_ms : -((-utc_ms + day_ms - 1) / day_ms);
  int seconds = (int) ((utc_ms - days * day_ms) / 1000);
  g_autofree char *date = date_to_basic ((TdDate) days);

  return g_strdup_printf ("%sT%02d%02d%02dZ", date, seconds / 3600, seconds / 60 % 60, seconds % 60);
}

static gboolean
is_in_range (gint64 days)
{
  return days >= td_date_make (1, 1, 1) && days < td_date_make (9999, 12, 31);
}

static gboolean
check_appointment (const TdAppointment *row, GHashTable *uids, GError **error)
{
  const char *wrong = NULL;

  if (row->uid == NULL || *row->uid == '\0')
    wrong = "has no UID";
  else if (g_hash_table_contains (uids, row->uid))
    wrong = "has the UID of another";
  else if (row->summary == NULL || *row->summary == '\0')
    wrong = "has no summary";
  else if (row->date == TD_DATE_NONE && row->minutes <= 0)
    wrong = "has neither a day nor a length in minutes";
  else if (!is_in_range (row->date != TD_DATE_NONE ? row->date : row->start_ms / 86400000) ||
           !is_in_range (row->changed_ms / 86400000))
    wrong = "lies outside the years 1 to 9999";
  for (const char *p = row->uid; wrong == NULL && *p != '\0'; p++)
    if ((guchar) *p < 0x21 || *p == 0x7f)
      wrong = "has a UID with a space or a control character";
  if (wrong == NULL)
    {
      g_hash_table_add (uids, (gpointer) row->uid);
      return TRUE;
    }
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "The appointment \"%s\" %s",
               row->summary != NULL && *row->summary != '\0' ? row->summary : "(no summary)", wrong);
  return FALSE;
}

static void
append_appointment (GString *out, const TdAppointment *row)
{
  g_autofree char *stamp = moment_to_basic (row->changed_ms);

  append_line (out, "BEGIN:VEVENT");
  append_property (out, "UID:", "%s", row->uid);
  append_property (out, "DTSTAMP:", "%s", stamp);
  append_property (out, "LAST-MODIFIED:", "%s", stamp);
  append_property (out, "SEQUENCE:", "%u", row->sequence);
  if (row->date != TD_DATE_NONE)
    {
      g_autofree char *start = date_to_basic (row->date);
      g_autofree char *end = date_to_basic (row->date + 1);

      append_property (out, "DTSTART;VALUE=DATE:", "%s", start);
      /* The end is the first day that is no longer part of it (section 3.6.1). */
      append_property (out, "DTEND;VALUE=DATE:", "%s", end);
    }
  else
    {
      g_autofree char *start = moment_to_basic (row->start_ms);
      g_autofree char *end = moment_to_basic (row->start_ms + (gint64) row->minutes * 60000);

      append_property (out, "DTSTART:", "%s", start);
      append_property (out, "DTEND:", "%s", end);
    }
  append_text (out, "SUMMARY:", row->summary);
  append_text (out, "LOCATION:", row->location);
  append_text (out, "DESCRIPTION:", row->description);
  append_text (out, "CATEGORIES:", row->categories);
  append_line (out, row->cancelled ? "STATUS:CANCELLED" : "STATUS:CONFIRMED");
  append_line (out, "END:VEVENT");
}

char *
td_calendar_write (const char *name, const TdAppointment *appointments, gsize n_appointments, GError **error)
{
  g_autoptr (GString) out = g_string_new (NULL);
  g_autoptr (GHashTable) uids = g_hash_table_new (g_str_hash, g_str_equal);

  g_return_val_if_fail (n_appointments == 0 || appointments != NULL, NULL);
  for (gsize i = 0; i < n_appointments; i++)
    if (!check_appointment (&appointments[i], uids, error))
      return NULL;
  append_line (out, "BEGIN:VCALENDAR");
  append_line (out, "VERSION:2.0");
  append_line (out, "PRODID:-//Tundish//Round//EN");
  append_line (out, "CALSCALE:GREGORIAN");
  append_line (out, "METHOD:PUBLISH");
  append_text (out, "NAME:", name);
  for (gsize i = 0; i < n_appointments; i++)
    append_appointment (out, &appointments[i]);
  append_line (out, "END:VCALENDAR");
  return g_string_free (g_steal_pointer (&out), FALSE);
}
