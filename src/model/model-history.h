/* model-history.h: what became of a site's lines from visit to visit, and what is still to be done there. */
#pragma once

#include "core-time.h"

G_BEGIN_DECLS

/* A figure that was not read. */
#define TD_HISTORY_NONE G_MININT64

/* A line (an outlet) in one visit. */
typedef struct
{
  char *line; /* id of the outlet */
  gint64 contact_s, required_s;
  gint64 rinse_ph_milli, tap_ph_milli;
  gint64 flow_ml_min;
  gint64 beer_c_milli;
} TdHistoryPoint;

/* A closed visit that no newer one stands for. */
typedef struct
{
  char *id; /* UUID */
  char *number;
  TdDate date;
  GArray *points; /* TdHistoryPoint */
} TdHistoryVisit;

/* A fault that asked for somebody to come back, or for a price. */
typedef struct
{
  char *visit; /* UUID */
  TdDate date;
  char *place; /* "Front bar 4"; NULL where none was named */
  char *text;
  gboolean quote_wanted;
} TdFollowUp;

typedef struct
{
  GPtrArray *visits;     /* TdHistoryVisit, oldest first */
  GPtrArray *follow_ups; /* TdFollowUp, newest first */
} TdHistory;

TdHistory *td_history_new (void);
void td_history_free (gpointer history);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdHistory, td_history_free)

/* @number: (nullable). Returns: (transfer none): the visit, put behind those before. */
TdHistoryVisit *td_history_add_visit (TdHistory *history, const char *id, const char *number, TdDate date);
/* Returns: (transfer none): the point, all figures not read, until the next call. */
TdHistoryPoint *td_history_visit_add (TdHistoryVisit *visit, const char *line);
void td_history_add_follow_up (TdHistory *history, const char *visit, TdDate date, const char *place, const char *text,
                               gboolean quote_wanted);
/* The line's point in the visit; NULL where it was not cleaned or read there. */
const TdHistoryPoint *td_history_visit_find (const TdHistoryVisit *visit, const char *line);

G_END_DECLS
