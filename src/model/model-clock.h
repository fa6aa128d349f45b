/* model-clock.h: the contact clocks of a visit: one for each circuit and each static line that holds
 * chemical. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

typedef enum
{
  TD_CLOCK_FILLING, /* chemical sent in, full strength not seen: no contact counted yet */
  TD_CLOCK_RUNNING,
  TD_CLOCK_PAUSED,  /* the cleaning pump is off */
  TD_CLOCK_REACHED, /* long enough */
  TD_CLOCK_LONG     /* longer than the record lets pass without a reason */
} TdClockState;

typedef struct
{
  int circuit; /* 0: of a static line */
  int outlet;  /* -1: of a circuit */
  char *title; /* "Circuit 1", "Tower B 6" */
  TdClockState state;
  gint64 contact_ms;
  gint64 required_ms;
} TdContactClock;

void td_contact_clock_free (TdContactClock *clock);
/* Returns: (transfer full) (element-type TdContactClock): those nearest to their end, or past it, first;
 * empty where nothing is in contact. */
GPtrArray *td_contact_clocks_new (const TdVisit *visit, gint64 now_ms);
/* "3:20", "1:02:10"; seconds begun do not count. (transfer full) */
char *td_contact_to_text (gint64 ms);
/* "running", ... for style classes and tests. */
const char *td_clock_state_to_text (TdClockState state);
/* What the clock says in words: "7 of 15 min", "paused: the cleaning pump is off". (transfer full) */
char *td_contact_clock_to_words (const TdContactClock *clock);

G_END_DECLS
