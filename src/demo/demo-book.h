/* demo-book.h: a book of an invented company, for trying the program and for tests.
 *
 * Deterministic: the same moment and number of visits give the same ids, names, times and seals. */
#pragma once

#include "store-book.h"

G_BEGIN_DECLS

/* The moment that a demonstration book stands at unless it is told another. */
#define TD_DEMO_NOW "2026-06-15T13:00:00+01:00"

/* Makes the book, marked as a test book, at @path: company, sites, finished visits (one of them with a
 * reversed pump, tags and a fault), one open visit, an overdue site; and @n_more generated visits with
 * plausible faults, shortfalls and late entries.
 * @now_ms: UTC ms. Returns: (transfer full): the open book, or NULL; nothing stays then. */
TdBook *td_demo_book_create (const char *path, gint64 now_ms, guint n_more, GError **error);

/* The fault text of the finished visit with the reversal; it stands nowhere else in the book. */
const char *td_demo_get_fault_text (void);

G_END_DECLS
