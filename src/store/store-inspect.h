/* store-inspect.h: the inspector's extract of one site, read from a book. */
#pragma once

#include "core-inspect.h"
#include "store-book.h"

G_BEGIN_DECLS

/* The cleaning record of @site_id from @from to @to by the rules that are set for the site (record-rules), or
 * by @rules where it is not NULL.  Every visit that was not amended is read, open ones too.
 * Returns: (transfer full): the record, or NULL with TD_BOOK_ERROR_MISSING or another. */
TdInspection *td_book_get_inspection (TdBook *book, const char *site_id, const TdRecordRules *rules, TdDate from,
                                      TdDate to, GError **error);

G_END_DECLS
