/* store-safety.h: safety data sheets of products, and lots that their maker calls back. */
#pragma once

#include "core-time.h"
#include "store-book.h"

G_BEGIN_DECLS

/* Largest safety data sheet in bytes; those of cleaners take 100 to 600 kB (ours, no source). */
#define TD_SAFETY_SHEET_MAX 4000000

/* Keeps the file of a product's safety data sheet; the one with the latest revision is the product's.  The
 * bytes are had back by the product's sds_sha256 through td_book_get_attachment().  The same sheet again
 * changes nothing. @revised: its date of revision as printed on it, not later than today.
 * FALSE with TD_ERROR_SHAPE (no PDF), TD_ERROR_RANGE (too large, or a date to come) or
 * TD_BOOK_ERROR_MISSING. */
gboolean td_book_add_safety_sheet (TdBook *book, const char *product, GBytes *bytes, TdDate revised, GError **error);

/* Marks a lot as called back by its maker, or takes the mark away again; uses and what is left of it are
 * exceptions of the account from then on.  FALSE with TD_BOOK_ERROR_MISSING. */
gboolean td_book_recall_lot (TdBook *book, const char *lot, gboolean recalled, GError **error);

G_END_DECLS
