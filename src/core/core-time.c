#include "core-time.h"

#include "core-error.h"
#include "core-text.h"
#include "core-time-private.h"

#define MS_PER_S 1000
#define MS_PER_MIN 60000
#define MS_PER_DAY G_GINT64_CONSTANT (86400000)

/* The day that contains a time, and the milliseconds since its midnight (0 <= rest < a day). */
static gint64
split_day (gint64 utc_ms, gint32 offset_min, gint64 *rest_out)
{
  gint64 day = utc_ms / MS_PER_DAY;
  /* The offset is added to the rest and not to the whole, so that nothing overflows. */
  gint64 rest = utc_ms % MS_PER_DAY + (gint64) offset_min * MS_PER_MIN;
  gint64 carry = rest / MS_PER_DAY;

  rest -= carry * MS_PER_DAY;
  if (rest < 0)
    {
      rest += MS_PER_DAY;
      carry--;
    }
  *rest_out = rest;
  return day + carry;
}

static TdDate
date_at (gint64 utc_ms, gint32 offset_min)
{
  gint64 rest;
  gint64 day = split_day (utc_ms, offset_min, &rest);

  /* TD_DATE_NONE is the least gint32. */
  return day > G_MININT32 && day <= G_MAXINT32 ? (TdDate) day : TD_DATE_NONE;
}

/* Reads "06:10[:07[.123]]" as milliseconds of the day. */
static gboolean
read_clock (const char **at, gint64 *ms_out)
{
  int hour;
  int minute;
  int second = 0;
  int ms = 0;

  if (!td_time_read_digits (at, 2, &hour) || !td_time_read_char (at, ':')
      || !td_time_read_digits (at, 2, &minute))
    return FALSE;
  if (td_time_read_char (at, ':'))
    {
      if (!td_time_read_digits (at, 2, &second))
        return FALSE;
      if (td_time_read_char (at, '.'))
        {
          int digits = 0;

          for (; g_ascii_isdigit (**at); (*at)++, digits++)
            if (digits < 3)
              ms = ms * 10 + (**at - '0');
          if (digits == 0 || digits > 9)
            return FALSE;
          for (; digits < 3; digits++)
            ms *= 10;
        }
    }
  if (hour > 23 || minute > 59 || second > 59)
    return FALSE;
  *ms_out = ((gint64) hour * 60 + minute) * MS_PER_MIN + second * MS_PER_S + ms;
  return TRUE;
}

/* Reads "Z", "+hh:mm" or "-hh:mm". */
static gboolean
read_offset (const char **at, gint32 *offset_out)
{
  int hours;
  int minutes;
  gboolean west;

  *offset_out = 0;
  if (td_time_read_char (at, 'Z'))
    return TRUE;
  west = **at == '-';
  if (!td_time_read_char (at, west ? '-' : '+') || !td_time_read_digits (at, 2, &hours)
      || !td_time_read_char (at, ':') || !td_time_read_digits (at, 2, &minutes))
    return FALSE;
  if (hours > 23 || minutes > 59)
    return FALSE;
  *offset_out = (west ? -1 : 1) * (hours * 60 + minutes);
  return TRUE;
}

gboolean
td_moment_parse (const char *text, TdMoment *moment_out, GError **error)
{
  const char *at = text;
  int year;
  int month;
  int day;
  gint64 ms;
  gint32 offset;
  TdDate date;

  g_return_val_if_fail (text != NULL && moment_out != NULL, FALSE);
  if (!td_time_read_date (&at, &year, &month, &day) || !td_time_read_char (&at, 'T')
      || !read_clock (&at, &ms) || !read_offset (&at, &offset) || *at != '\0')
    {
      g_autofree char *excerpt = td_text_excerpt (text);

      g_set_error (error, TD_ERROR, TD_ERROR_PARSE,
                   "\"%s\" is not a time like 2026-03-02T06:10:07+00:00 (date, T, time, offset from "
                   "UTC)",
                   excerpt);
      return FALSE;
    }
  date = td_date_make (year, month, day);
  if (date == TD_DATE_NONE)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_PARSE, "there is no day %.10s in the calendar", text);
      return FALSE;
    }
  moment_out->utc_ms = date * MS_PER_DAY + ms - (gint64) offset * MS_PER_MIN;
  moment_out->offset_min = offset;
  return TRUE;
}

char *
td_moment_to_text (const TdMoment *moment)
{
  gint64 rest;
  TdDate date;
  g_autofree char *day = NULL;
  g_autofree char *clock = NULL;
  g_autofree char *fraction = NULL;
  gint32 offset;

  g_return_val_if_fail (moment != NULL, NULL);
  date = td_moment_get_date (moment);
  g_return_val_if_fail (date != TD_DATE_NONE, NULL);
  split_day (moment->utc_ms, moment->offset_min, &rest);
  day = td_date_to_text (date);
  clock = td_moment_to_clock (moment, TRUE);
  if (rest % MS_PER_S != 0)
    fraction = g_strdup_printf (".%03d", (int) (rest % MS_PER_S));
  offset = ABS (moment->offset_min);
  return g_strdup_printf ("%sT%s%s%c%02d:%02d", day, clock, fraction != NULL ? fraction : "",
                          moment->offset_min < 0 ? '-' : '+', offset / 60, offset % 60);
}

TdDate
td_moment_get_date (const TdMoment *moment)
{
  g_return_val_if_fail (moment != NULL, TD_DATE_NONE);
  return date_at (moment->utc_ms, moment->offset_min);
}

char *
td_moment_to_clock (const TdMoment *moment, gboolean seconds)
{
  gint64 rest;
  int minutes;

  g_return_val_if_fail (moment != NULL, NULL);
  split_day (moment->utc_ms, moment->offset_min, &rest);
  minutes = (int) (rest / MS_PER_MIN);
  if (!seconds)
    return g_strdup_printf ("%02d:%02d", minutes / 60, minutes % 60);
  return g_strdup_printf ("%02d:%02d:%02d", minutes / 60, minutes % 60,
                          (int) (rest % MS_PER_MIN / MS_PER_S));
}

struct _TdZone
{
  gatomicrefcount ref_count;
  char *name;
  TdZoneSpan *spans;
  gsize n_spans;
};

TdZone *
td_zone_new (const char *name, const TdZoneSpan *spans, gsize n_spans)
{
  TdZone *zone;

  g_return_val_if_fail (name != NULL && spans != NULL && n_spans > 0, NULL);
  for (gsize i = 1; i < n_spans; i++)
    g_return_val_if_fail (spans[i - 1].from_utc_s < spans[i].from_utc_s, NULL);
  zone = g_new0 (TdZone, 1);
  g_atomic_ref_count_init (&zone->ref_count);
  zone->name = g_strdup (name);
  zone->spans = g_memdup2 (spans, n_spans * sizeof *spans);
  zone->n_spans = n_spans;
  return zone;
}

TdZone *
td_zone_ref (TdZone *zone)
{
  g_return_val_if_fail (zone != NULL, NULL);
  g_atomic_ref_count_inc (&zone->ref_count);
  return zone;
}

void
td_zone_unref (TdZone *zone)
{
  g_return_if_fail (zone != NULL);
  if (!g_atomic_ref_count_dec (&zone->ref_count))
    return;
  g_free (zone->name);
  g_free (zone->spans);
  g_free (zone);
}

const char *
td_zone_get_name (const TdZone *zone)
{
  g_return_val_if_fail (zone != NULL, NULL);
  return zone->name;
}

gint32
td_zone_get_offset (const TdZone *zone, gint64 utc_ms)
{
  gsize low = 0; /* the span sought is in low ... high - 1 */
  gsize high;
  gint64 utc_s = utc_ms / MS_PER_S - (utc_ms % MS_PER_S < 0 ? 1 : 0);

  g_return_val_if_fail (zone != NULL, 0);
  high = zone->n_spans;
  while (high - low > 1)
    {
      gsize middle = low + (high - low) / 2;

      if (zone->spans[middle].from_utc_s <= utc_s)
        low = middle;
      else
        high = middle;
    }
  return zone->spans[low].offset_min;
}

TdDate
td_zone_get_date (const TdZone *zone, gint64 utc_ms)
{
  g_return_val_if_fail (zone != NULL, TD_DATE_NONE);
  return date_at (utc_ms, td_zone_get_offset (zone, utc_ms));
}
