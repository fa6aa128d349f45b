/* core-time.h: moments, civil dates and zones, without a clock.
 *
 * A moment is milliseconds of UTC since 1970-01-01 and the offset that the person's clock showed.
 * A date is a count of days since 1970-01-01 in the proleptic Gregorian calendar.  Zone rules come in
 * as data (TdZone); core never asks the machine. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef struct
{
  gint64 utc_ms;     /* milliseconds since 1970-01-01T00:00:00Z, leap seconds not counted */
  gint32 offset_min; /* minutes east of UTC that the person's clock showed */
} TdMoment;

typedef gint32 TdDate; /* days since 1970-01-01 */
#define TD_DATE_NONE G_MININT32

/* Reads ISO 8601 "2026-03-02T06:10[:07[.123]](Z|+hh:mm|-hh:mm)". The offset is required: a time without
 * one names no moment. Digits beyond the millisecond are dropped, 9 at most. Returns FALSE with TD_ERROR_PARSE, also for dates that do not exist. */
gboolean td_moment_parse (const char *text, TdMoment *moment_out, GError **error);
/* Returns: (transfer full): "2026-03-02T06:10:07+00:00", with ".123" only where milliseconds are not 0. */
char *td_moment_to_text (const TdMoment *moment);
/* The civil date at the moment's own offset. */
TdDate td_moment_get_date (const TdMoment *moment);
/* Returns: (transfer full): "06:10" or, with @seconds, "06:10:07", at the moment's own offset. */
char *td_moment_to_clock (const TdMoment *moment, gboolean seconds);

/* TD_DATE_NONE where there is no such day; years are 1..9999. */
TdDate td_date_make (int year, int month, int day);
void td_date_split (TdDate date, int *year_out, int *month_out, int *day_out);
/* Reads "2026-03-02". */
gboolean td_date_parse (const char *text, TdDate *date_out, GError **error);
/* Returns: (transfer full): "2026-03-02". @date: not TD_DATE_NONE, as in all functions below. */
char *td_date_to_text (TdDate date);
/* 1 Monday ... 7 Sunday (ISO 8601). */
int td_date_get_weekday (TdDate date);
/* The same day @months later (earlier where negative), or the last day of that month where it has no such
 * day; TD_DATE_NONE beyond the years 1..9999. */
TdDate td_date_add_months (TdDate date, int months);

/* A zone's rules: from each span's start on, its offset holds. */
typedef struct
{
  gint64 from_utc_s; /* seconds since 1970-01-01T00:00:00Z; the first span also holds before it */
  gint32 offset_min; /* minutes east of UTC */
} TdZoneSpan;

typedef struct _TdZone TdZone; /* immutable, reference counted */
/* @name: IANA name ("Europe/Dublin"); @spans: at least one, ascending. */
TdZone *td_zone_new (const char *name, const TdZoneSpan *spans, gsize n_spans);
TdZone *td_zone_ref (TdZone *zone);
void td_zone_unref (TdZone *zone);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdZone, td_zone_unref)
const char *td_zone_get_name (const TdZone *zone);
gint32 td_zone_get_offset (const TdZone *zone, gint64 utc_ms);
/* The civil date in the zone at a moment. */
TdDate td_zone_get_date (const TdZone *zone, gint64 utc_ms);

G_END_DECLS
