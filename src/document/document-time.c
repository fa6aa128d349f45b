#include "document-time.h"

#include "document-i18n.h"
#include "document-units.h"

static char *
format_clock (gint64 ms, gint32 offset_min, gint64 base_ms, gboolean seconds)
{
  const TdMoment moment = { ms, offset_min }, base = { base_ms, offset_min };
  g_autofree char *clock = NULL, *date = NULL;

  if (ms == TD_NONE)
    return g_strdup ("\xe2\x80\x93");
  clock = td_moment_to_clock (&moment, seconds);
  if (base_ms != TD_NONE && td_moment_get_date (&moment) == td_moment_get_date (&base))
    return g_steal_pointer (&clock);
  date = td_date_to_text (td_moment_get_date (&moment));
  return g_strdup_printf ("%s %s", date, clock);
}

char *
td_time_clock (gint64 ms, gint32 offset_min, gint64 base_ms)
{
  return format_clock (ms, offset_min, base_ms, FALSE);
}

char *
td_time_clock_seconds (gint64 ms, gint32 offset_min, gint64 base_ms)
{
  return format_clock (ms, offset_min, base_ms, TRUE);
}

char *
td_date_to_words (TdDate date)
{
  static const char *const days[]
      = { N_ ("Monday"), N_ ("Tuesday"),  N_ ("Wednesday"), N_ ("Thursday"),
          N_ ("Friday"), N_ ("Saturday"), N_ ("Sunday") };
  static const char *const months[]
      = { N_ ("January"),   N_ ("February"), N_ ("March"),    N_ ("April"),
          N_ ("May"),       N_ ("June"),     N_ ("July"),     N_ ("August"),
          N_ ("September"), N_ ("October"),  N_ ("November"), N_ ("December") };
  int year, month, day;

  if (date == TD_DATE_NONE)
    return g_strdup ("\xe2\x80\x93");
  td_date_split (date, &year, &month, &day);
  /* TRANSLATORS: weekday, day, month, year: "Monday 2 March 2026". */
  return g_strdup_printf (_ ("%1$s %2$d %3$s %4$d"), _ (days[td_date_get_weekday (date) - 1]), day,
                          _ (months[month - 1]), year);
}

char *
td_offset_to_text (gint32 offset_min)
{
  gint32 size = ABS (offset_min);

  return g_strdup_printf ("UTC%s%02d:%02d", offset_min < 0 ? "\xe2\x88\x92" : "+", size / 60,
                          size % 60);
}
