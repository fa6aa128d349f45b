#include "core-day.h"

#include <string.h>

int
td_day_get_travel (const TdDayFrame *frame, const char *a, const char *b)
{
  g_return_val_if_fail (frame != NULL, 0);
  if (a == NULL || b == NULL)
    return frame->between_min;
  for (guint i = 0; i < frame->n_travel; i++)
    {
      const TdTravel *road = &frame->travel[i];

      if ((strcmp (road->a, a) == 0 && strcmp (road->b, b) == 0)
          || (strcmp (road->a, b) == 0 && strcmp (road->b, a) == 0))
        return road->minutes;
    }
  return strcmp (a, b) == 0 ? frame->within_min : frame->between_min;
}

/* Where one stands between two stops. */
typedef struct
{
  const char *area;
  int minute;
  gboolean anywhere; /* nothing is known of where the day begins */
} Place;

/* Sets the times of a stop that would come next; FALSE where it cannot be done then. */
static gboolean
try_stop (const TdDayFrame *frame, const Place *place, TdDayStop *stop)
{
  int latest = stop->to_min >= 0 ? MIN (stop->to_min, frame->to_min) : frame->to_min;

  stop->travel_min = place->anywhere ? 0 : td_day_get_travel (frame, place->area, stop->area);
  stop->begin_min = MAX (place->minute + stop->travel_min, stop->from_min);
  stop->end_min = stop->begin_min + stop->minutes;
  return stop->end_min <= latest;
}

static gboolean
is_before (const TdDayStop *a, const TdDayStop *b)
{
  int a_to = a->to_min >= 0 ? a->to_min : G_MAXINT;
  int b_to = b->to_min >= 0 ? b->to_min : G_MAXINT;

  if (a->date != b->date)
    return a->date < b->date;
  if (a->travel_min != b->travel_min)
    return a->travel_min < b->travel_min;
  return a_to < b_to;
}

/* The stop that comes next, -1 where none can. */
static int
find_next (const TdDayFrame *frame, const Place *place, TdDayStop *stops, guint n_stops)
{
  int best = -1;

  for (guint i = 0; i < n_stops; i++)
    if (!stops[i].fits && try_stop (frame, place, &stops[i])
        && (best < 0 || is_before (&stops[i], &stops[best])))
      best = (int) i;
  return best;
}

guint
td_day_plan (const TdDayFrame *frame, TdDayStop *stops, guint n_stops, guint *order)
{
  Place place;
  guint n = 0, n_fit;
  int next;

  g_return_val_if_fail (frame != NULL && (n_stops == 0 || (stops != NULL && order != NULL)), 0);
  place = (Place){ frame->area, frame->from_min, frame->area == NULL };
  for (guint i = 0; i < n_stops; i++)
    stops[i].fits = FALSE;
  while ((next = find_next (frame, &place, stops, n_stops)) >= 0)
    {
      stops[next].fits = TRUE;
      order[n++] = (guint) next;
      place = (Place){ stops[next].area, stops[next].end_min, FALSE };
    }
  n_fit = n;
  /* The rest by due date; equal ones as given. */
  for (guint i = 0; i < n_stops; i++)
    {
      guint at = n;

      if (stops[i].fits)
        continue;
      while (at > n_fit && stops[order[at - 1]].date > stops[i].date)
        {
          order[at] = order[at - 1];
          at--;
        }
      order[at] = i;
      n++;
    }
  return n_fit;
}

gboolean
td_day_parse_minute (const char *text, int *minute_out)
{
  int hour, minute;

  g_return_val_if_fail (text != NULL && minute_out != NULL, FALSE);
  if (strlen (text) != 5 || text[2] != ':' || !g_ascii_isdigit (text[0]) || !g_ascii_isdigit (text[1])
      || !g_ascii_isdigit (text[3]) || !g_ascii_isdigit (text[4]))
    return FALSE;
  hour = 10 * (text[0] - '0') + text[1] - '0';
  minute = 10 * (text[3] - '0') + text[4] - '0';
  *minute_out = 60 * hour + minute;
  return minute < 60 && *minute_out <= 24 * 60;
}

char *
td_day_format_minute (int minute)
{
  g_return_val_if_fail (minute >= 0, NULL);
  return g_strdup_printf ("%02d:%02d", minute / 60, minute % 60);
}
