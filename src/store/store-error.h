/* store-error.h: the error domain of the service book. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

#define TD_BOOK_ERROR (td_book_error_quark ())

/* What went wrong with a book, in a form a test can name.  The message is for a person: what happened,
 * what is safe, what to do.  Errors of the content of an entry or a file (a wrong field, an impossible
 * act, an open stop) keep core's domain TD_ERROR. */
typedef enum
{
  TD_BOOK_ERROR_NOT_A_BOOK, /* another kind of file, or an empty one */
  TD_BOOK_ERROR_NEWER,      /* written by a later program; left untouched */
  TD_BOOK_ERROR_DAMAGED,    /* bytes that do not hold together, or a check that failed */
  TD_BOOK_ERROR_LOCKED,     /* another program is writing for longer than the busy timeout */
  TD_BOOK_ERROR_READ_ONLY,  /* the file or its folder cannot be written */
  TD_BOOK_ERROR_FULL,       /* no room left */
  TD_BOOK_ERROR_IO,         /* the disk or the system refused otherwise */
  TD_BOOK_ERROR_EXISTS,     /* something is there already and is not written over */
  TD_BOOK_ERROR_MISSING,    /* no such file, visit, site, attachment */
  TD_BOOK_ERROR_REFUSED,    /* an act against the record: a closed visit, an amended one, a frozen row */
  TD_BOOK_ERROR_CONFLICT,   /* the visit has gone on since the writer looked: another seq was expected */
  TD_BOOK_ERROR_TEST_CLOCK  /* a pinned clock on a book that is not marked as a test book */
} TdBookError;

GQuark td_book_error_quark (void);

G_END_DECLS
