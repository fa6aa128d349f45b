/* store-attachment.h: photos and other bytes that entries name by hash. */
#pragma once

#include "store-book.h"

G_BEGIN_DECLS

/* Largest attachment in bytes: a photo is made smaller before it is handed in, so that a book of
 * thousands of visits can still be copied in seconds (ours, no source). */
#define TD_ATTACHMENT_MAX 300000

/* @sha256: 64 lower-case hex digits. @media_out: (out) (optional) (transfer full): "image/jpeg".
 * Returns: (transfer full): the bytes, or NULL with TD_BOOK_ERROR_MISSING or another. */
GBytes *td_book_get_attachment (TdBook *book, const char *sha256, char **media_out, GError **error);

G_END_DECLS
