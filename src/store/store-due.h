/* store-due.h: the round: what each site is due for, and when. */
#pragma once

#include "store-book.h"

G_BEGIN_DECLS

typedef enum
{
  TD_TASK_CAUSTIC,
  TD_TASK_ACID,
  TD_TASK_FAUCETS,     /* faucets stripped */
  TD_TASK_FOB_COUPLER, /* FOB and coupler stripped */
  TD_TASK_HOSE,        /* jumper hoses renewed */
  TD_N_TASKS
} TdTask;

typedef struct
{
  char *account; /* name */
  char *site;    /* name */
  char *site_id;
  TdTask task;
  TdDate last;  /* when the line that waits longest had it; TD_DATE_NONE where no line ever had */
  TdDate due;
  int days;     /* from @today to due; negative: overdue */
  int minutes;  /* planned, -1 where not known */
  TdDate planned; /* due, or the day that the visit was moved to since the last one */
  guint missed; /* visits written down as missed since the last one */
  char *reason; /* of the note that was made last, NULL where nothing was missed or moved */
} TdDueRow;

void td_due_row_free (TdDueRow *row);

/* A fitted part whose name begins like this, in any case, renews the jumper hose of its line, or of every line
 * where it names none. */
#define TD_PART_HOSE "jumper hose"

/* A site is due when the line that waits longest is: the interval of the site (or company) after the
 * civil date on which the task was last done, in the site's zone; a line that never had the task is due
 * from the day it came into the book (its hose the interval after that day: a new one came with it).  A line that the site's newest visit left out or out of service
 * does not hold the others back.  Open visits count.  An amendment counts in place of what it amends
 * once it is closed; one that was begun and left does not.
 * @now_ms: UTC ms, for the days. Returns: (transfer full) (element-type TdDueRow): by due date, then
 * account and site; NULL with a TD_BOOK_ERROR. */
GPtrArray *td_book_list_due (TdBook *book, gint64 now_ms, GError **error);

const char *td_task_to_text (TdTask task); /* "caustic", "acid", "faucets", "fob-coupler", "hose" */

G_END_DECLS
