/* store-calendar.h: appointments as a calendar was last told them, so that a change raises their sequence (RFC 5545,
 * 3.8.7.4) and what no longer stands is told as cancelled. */
#pragma once

#include "store-book.h"

#include "core-time.h"

G_BEGIN_DECLS

typedef struct
{
  char *uid;
  guint sequence;    /* filled in */
  gboolean cancelled; /* filled in */
  gint64 changed_ms; /* filled in */
  TdDate date;
  char *summary, *location, *description;
} TdCalendarRow;

void td_calendar_row_free (TdCalendarRow *row);

/* Holds @wanted (element-type TdCalendarRow: what stands now) against what was told last and keeps the difference;
 * where there is none, nothing is written and all stays as it was.
 * Returns: (transfer full) (element-type TdCalendarRow): all that a calendar is to be told, what is cancelled
 * included, by date and uid; NULL with a TD_BOOK_ERROR. */
GPtrArray *td_book_update_calendar (TdBook *book, const GPtrArray *wanted, GError **error);

G_END_DECLS
