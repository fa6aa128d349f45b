/* store-journal.h: appending to the journal of a visit.
 *
 * An entry is acknowledged (the call returns TRUE) only after it is durably on disk together with the
 * projections that follow from it.  After a failure nothing of it stays. */
#pragma once

#include "core-entry.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef struct
{
  guint expected_seq; /* the seq that the entry must get, 0 for any; TD_BOOK_ERROR_CONFLICT otherwise */
  gint64 recorded_ms; /* UTC ms to note as the machine's time; only with a pinned clock, 0: its own */
} TdBookAppend;

/* Appends one entry.  The first of a visit is its arrival, which names the site and fixes the site's
 * sheet for the whole visit.  A photo is handed in as a file's path (at most TD_ATTACHMENT_MAX bytes)
 * and stored by its hash.  A closing is handed in with an empty body: the book writes its snapshot,
 * gives the report number and seals the visit.
 * @options: (nullable). @entry_out: (out) (optional) (transfer full): the entry as stored.
 * Returns FALSE with TD_ERROR (SHAPE, RANGE, REFERENCE, IMPOSSIBLE; STOP for a closing, naming what
 * stands open) or TD_BOOK_ERROR. */
gboolean td_book_append (TdBook *book,
                         const TdDraft *draft,
                         const TdBookAppend *options,
                         TdEntry **entry_out,
                         GError **error);

/* Appends several entries (of one visit or several) in one transaction: all or none.
 * @drafts: (element-type TdDraft). @recorded_ms: (nullable): one for each draft, as
 * TdBookAppend.recorded_ms. @failed_out: (out) (optional): index of the draft that was refused. */
gboolean td_book_append_many (TdBook *book,
                              const GPtrArray *drafts,
                              const gint64 *recorded_ms,
                              guint *failed_out,
                              GError **error);

/* How many entries the visit has; 0 for a visit that the book does not know. */
gboolean td_book_count_entries (TdBook *book, const TdUuid *visit, guint *count_out, GError **error);

G_END_DECLS
