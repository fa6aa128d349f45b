#include "store-zone.h"

/* 1990-01-01 and 2100-01-01, UTC seconds: no visit is older, and no interval reaches further. */
#define FIRST_S G_GINT64_CONSTANT (631152000)
#define LAST_S G_GINT64_CONSTANT (4102444800)
/* No zone has kept an offset for less than a week since 1990 (the shortest known spells are the weeks of
 * Ramadan in North Africa). */
#define STEP_S G_GINT64_CONSTANT (604800)

static gint32
get_offset_s (GTimeZone *zone, gint64 utc_s)
{
  return g_time_zone_get_offset (zone, g_time_zone_find_interval (zone, G_TIME_TYPE_UNIVERSAL, utc_s));
}

/* The first second after @before, up to @after, at which the offset of @after holds. */
static gint64
find_change (GTimeZone *zone, gint64 before, gint64 after)
{
  gint32 new_offset = get_offset_s (zone, after);
  g_assert (before < after);
  while (after - before > 1)
    {
      gint64 middle = before + (after - before) / 2;
      if (get_offset_s (zone, middle) == new_offset)
        after = middle;
      else
        before = middle;
    }
  return after;
}

TdZone *
td_zone_load (const char *name, GError **error)
{
  g_return_val_if_fail (name != NULL, NULL);
  g_autoptr (GTimeZone) zone = g_time_zone_new_identifier (name);
  /* GLib also reads "+01:00" and "EST5EDT" forms, which name no place. */
  if (zone == NULL || name[0] == '\0' || name[0] == '+' || name[0] == '-' || name[0] == '/')
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                   "This machine knows no time zone “%s”; write it as the IANA list does, such as "
                   "“Europe/Dublin”, or install the package of time zones", name);
      return NULL;
    }
  g_autoptr (GArray) spans = g_array_new (FALSE, FALSE, sizeof (TdZoneSpan));
  TdZoneSpan span = { FIRST_S, get_offset_s (zone, FIRST_S) / 60 };
  g_array_append_val (spans, span);
  gint32 offset = get_offset_s (zone, FIRST_S);
  for (gint64 at = FIRST_S; at < LAST_S; at += STEP_S)
    {
      gint32 next = get_offset_s (zone, at + STEP_S);
      if (next == offset)
        continue;
      span.from_utc_s = find_change (zone, at, at + STEP_S);
      span.offset_min = next / 60;
      g_array_append_val (spans, span);
      offset = next;
    }
  return td_zone_new (name, (const TdZoneSpan *) spans->data, spans->len);
}
