/* store-photo.h: a photo's file into the book, within a write. */
#pragma once

#include "core-json.h"
#include "store-book.h"

G_BEGIN_DECLS

/* The body as it is kept: "file" read, stored by its hash, and replaced by "sha256" and "media".  A body
 * that names a hash already must name an attachment of the book.
 * Returns: (transfer full): the body, or NULL with TD_ERROR_SHAPE (not a picture, too large) or
 * TD_BOOK_ERROR. */
TdJson *td_photo_keep (TdBook *book, const TdJson *body, GError **error);

/* "image/jpeg" or "image/png" by the first bytes, or NULL. */
const char *td_photo_find_media (const void *bytes, gsize n_bytes);

G_END_DECLS
