/* store-trace.h: where a lot went, what was in a line, and what stood in it at a moment. */
#pragma once

#include "core-visit.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef struct
{
  char *kind;       /* "receipt", "transfer", "disposal", "count", or "use" */
  char *lot;        /* id, NULL where none was named */
  char *lot_code;
  char *product;    /* name */
  gint64 at_ms;     /* of a use: when it went into the line */
  char *place, *to; /* names, NULL of a use */
  gint64 amount_ml; /* of a use: of the whole mix */
  gboolean has_visit;
  TdUuid visit;
  char *number;     /* of the report, NULL where none */
  char *site_id, *site;
  char *line;       /* NULL for a mix that was sent into none */
} TdTraceRow;

void td_trace_row_free (TdTraceRow *row);

/* Both ways in one query: forwards from @lot to movements, visits and lines; backwards from @line of
 * @site_id to the lots that were in it. Each may be NULL. Amended visits are left out.
 * Returns: (transfer full) (element-type TdTraceRow): by time; TD_BOOK_ERROR_MISSING where the book knows
 * no such lot or site. */
GPtrArray *td_book_trace (TdBook *book, const char *lot, const char *site_id, const char *line, GError **error);

/* What was in a line at a moment, and who held its outlet. */
typedef struct
{
  gboolean has_visit; /* FALSE: no visit had begun by then, and nothing else is set */
  TdUuid visit;
  char *number;
  gboolean held;      /* chemical stood in it */
  char *clean, *method;
  int circuit;
  gint64 in_ms, out_ms; /* out_ms 0 while it holds */
  char *product, *lot, *batch; /* ids */
  gint64 percent_milli; /* -1 where not said */
  char *basis;
  gboolean tagged;
  char *tag, *tag_kind;
  char *person;       /* name of who held the outlet, or stood there while the tag was lifted */
  gboolean lifted;
  gint64 from_ms, until_ms; /* until_ms 0 while it hangs */
} TdMomentRow;

void td_moment_row_free (TdMomentRow *row);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdMomentRow, td_moment_row_free)
/* One query, by the newest visit of the site that had begun by @at_ms (UTC ms) and was not amended.
 * Returns: (transfer full), or NULL with an error. */
TdMomentRow *td_book_find_moment (TdBook *book, const char *site_id, const char *line, gint64 at_ms,
                                  GError **error);

G_END_DECLS
