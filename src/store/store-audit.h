/* store-audit.h: the chemical account of a period, read from a book. */
#pragma once

#include "core-audit.h"
#include "store-book.h"

G_BEGIN_DECLS

/* The account by product alone, from the sums of days that stand beside the uses. Returns: (transfer full): an audit with products and nothing else, or NULL. */
TdAudit *td_book_get_account (TdBook *book, TdDate from, TdDate to, GError **error);

/* All of it: also by lot, place, site, technician, method and month, and the exceptions.
 * Exceptions of visits are those that began within the period; of sites that are overdue those of
 * @now_ms. Returns: (transfer full). */
TdAudit *td_book_get_audit (TdBook *book, TdDate from, TdDate to, gint64 now_ms, GError **error);

/* Notes that @person has looked into the exception with that key, and what was found out; appended, the
 * last one is shown. The key must be among the exceptions of @audit (TD_BOOK_ERROR_MISSING). */
gboolean td_book_acknowledge (TdBook *book, const TdAudit *audit, const char *key, const char *person,
                              const char *reason, GError **error);

G_END_DECLS
