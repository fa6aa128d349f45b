/* store-company.h: rows of the company file into the book, within a write. */
#pragma once

#include "store-put.h"

G_BEGIN_DECLS

/* Adds what is new and changes what differs, by id; a row that says retired is marked as taken away.
 * @count: (nullable). */
gboolean td_company_put (TdBook *book, const TdMasters *masters, TdImportCount *count, GError **error);

G_END_DECLS
