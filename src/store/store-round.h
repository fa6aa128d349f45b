/* store-round.h: who goes where within which hours, what was missed or moved, and a technician's day. */
#pragma once

#include "core-day-sheet.h"
#include "core-json.h"
#include "store-due.h"
#include "store-master.h"

G_BEGIN_DECLS

#define TD_ROUND_FORMAT "tundish-round/1"
/* Longest reason of a note, bytes. */
#define TD_ROUND_REASON_MAX 4000

/* Takes hours, areas and travel minutes in:
 * {"format":"tundish-round/1","technicians":[{"id","area"?,"from":"07:00","to":"15:30"}],
 *  "travel":[{"from","to","minutes"}],"sites":[{"site","area"?,"technician"?,"from"?,"to"?}]}
 * What is left out stays. TD_ERROR_SHAPE, TD_ERROR_REFERENCE (a site that the book does not know). */
gboolean td_book_import_round (TdBook *book, const TdJson *json, TdImportCount *count_out, GError **error);

typedef struct
{
  const char *site_id;
  TdDate day;        /* on which the visit was to be */
  TdDate moved_to;   /* TD_DATE_NONE: it was missed */
  gboolean theirs;   /* the customer's doing: a flat contract is paid as if it had been made */
  const char *reason; /* not empty */
  const char *person;
} TdRoundNote;

/* Writes down that a planned visit was missed or moved; it is never changed. It is shown with what is due until
 * somebody arrives at the site. TD_BOOK_ERROR_MISSING, TD_ERROR_SHAPE (no reason), TD_ERROR_RANGE (moved to
 * the same day). */
gboolean td_book_add_round_note (TdBook *book, const TdRoundNote *note, GError **error);

/* The sites of the technician, and those that are nobody's, with a task due by the day or few days after it (the
 * setting round-ahead-days), ordered by td_day_plan().  A visit of a site that was moved to a later day is left for
 * that day. @now_ms: for the days overdue. Returns: (transfer full), or NULL with a TD_BOOK_ERROR (_MISSING: no
 * such technician). */
TdDaySheet *td_book_make_day (TdBook *book, const char *technician, TdDate day, gint64 now_ms, GError **error);

G_END_DECLS
