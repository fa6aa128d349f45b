/* desk-row-keys.h: keys for rows that have none of their own: the same id has the same key from one reading of the book to
 * the next, so that a row keeps its identity, and a choice of rows lasts, through changes of the book. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Counts its references from any thread; touched on the book's thread only. */
typedef struct _TdRowKeys TdRowKeys;

TdRowKeys *td_row_keys_new (void);
TdRowKeys *td_row_keys_ref (TdRowKeys *keys);
void td_row_keys_unref (gpointer keys);
/* 1 or more; a new one for an id that was never asked for. */
gint64 td_row_keys_get (TdRowKeys *keys, const char *id);

G_END_DECLS
