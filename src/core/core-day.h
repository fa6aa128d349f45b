/* core-day.h: a technician's day: which sites, in which order, at what time.
 *
 * The order, as it is told on the sheet: by the day on which a site is due; of those due on one day always the
 * nearest to where one stands (fewest minutes on the road), then the one that must be done earliest, then in the
 * order given.  A site is passed over where it cannot be begun and done within its hours and the working day
 * when it would come next, and is tried again after every stop.  One waits where a site lets nobody in yet.
 * It is no optimum and does not claim to be one. */
#pragma once

#include "core-time.h"

G_BEGIN_DECLS

/* The road between two areas, either way; or within one. */
typedef struct
{
  const char *a, *b;
  int minutes; /* >= 0 */
} TdTravel;

typedef struct
{
  const char *area;   /* NULL where not said */
  TdDate date;        /* due */
  int minutes;        /* of work there, > 0 */
  int from_min;       /* minute of the day from which, -1: any */
  int to_min;         /* minute of the day by which, -1: any */
  /* filled in */
  gboolean fits;
  int travel_min;     /* on the road to it */
  int begin_min;
  int end_min;
} TdDayStop;

typedef struct
{
  const TdTravel *travel;
  guint n_travel;
  int between_min;  /* between areas that no road is told of, or where an area is not known */
  int within_min;   /* within an area likewise */
  const char *area; /* where the day begins, NULL where not said: the first stop costs no road then */
  int from_min, to_min; /* working hours, minutes of the day */
} TdDayFrame;

/* Minutes on the road from @a to @b (nullable). */
int td_day_get_travel (const TdDayFrame *frame, const char *a, const char *b);

/* Fills the stops in. @order: of n_stops: indices in the order of the day; those that do not fit come last, by
 * due date. Returns: how many fit. */
guint td_day_plan (const TdDayFrame *frame, TdDayStop *stops, guint n_stops, guint *order);

/* "07:30" as a minute of the day, 24:00 included; FALSE where @text is no time. */
gboolean td_day_parse_minute (const char *text, int *minute_out);
/* 450 as "07:30"; past midnight it goes on: "24:10". (transfer full) */
char *td_day_format_minute (int minute);

G_END_DECLS
