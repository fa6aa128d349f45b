/* store-seal.h: closing a visit: its snapshot, its number, its seal, and the reading back. */
#pragma once

#include "store-state.h"

G_BEGIN_DECLS

/* The number that this device's next report gets and the seal before it; within a write.
 * @previous_out: (transfer full) (nullable): NULL for the device's first. */
gboolean td_seal_next (TdBook *book, gint64 *number_out, char **previous_out, GError **error);

/* The body of a closing of the visit that @state holds: judges the visit as closed by @closing and takes
 * the snapshot. @closing: the envelope that the entry will have.
 * Returns: (transfer full): the body, or NULL with TD_ERROR_STOP that names what stands open. */
TdJson *td_seal_make_body (TdBook *book, const TdVisitState *state, const TdEnvelope *closing, GError **error);

/* Seals the visit whose closing has just been written with all that follows from it, then reads it back
 * from the book, folds it by its own snapshot, and compares: FALSE with TD_BOOK_ERROR_DAMAGED where
 * anything reads otherwise. */
gboolean td_seal_visit (TdBook *book, const TdVisitState *state, GError **error);

G_END_DECLS
