/* model-lazy-list.h: a list of any length that asks for its rows page by page, when they are looked at.
 *
 * What it holds is a snapshot: the key of every row, in order (8 bytes a row).  Filtering and sorting
 * were done by whoever made the snapshot.  An item is made when its position is first asked for, is the
 * same object for as long as anybody holds it (which is GListModel's rule), and is empty until its page
 * has come.  A new snapshot keeps the items of the rows that stay and asks for their values again. */
#pragma once

#include "model-row.h"

G_BEGIN_DECLS

/* Rows in a page: one reading of the book each; measured as a good size for SQLite (1.4 ms a page). */
#define TD_LAZY_PAGE 256
/* Pages whose values are kept although no item of them lives: some screens around the one in view. */
#define TD_LAZY_CACHE 16

#define TD_TYPE_LAZY_LIST (td_lazy_list_get_type ())
G_DECLARE_FINAL_TYPE (TdLazyList, td_lazy_list, TD, LAZY_LIST, GObject)

/* A page that the list waits for. */
typedef struct _TdLazyRequest TdLazyRequest;

/* Asks for the values of a page.  To be answered once with td_lazy_list_answer(), now or later.
 * @request: (transfer full). */
typedef void (*TdLazyFetch) (TdLazyList *list, TdLazyRequest *request, gpointer user_data);

/* @item_type: a final subclass of TdRow. @fetch: called on the thread that looks at the list. */
TdLazyList *td_lazy_list_new (GType item_type, TdLazyFetch fetch, gpointer user_data, GDestroyNotify destroy);

/* The new snapshot. @keys: (transfer full) (element-type gint64): none twice. Emits items-changed for
 * the span between what both snapshots begin and end with. */
void td_lazy_list_set_keys (TdLazyList *self, GArray *keys);

/* The keys of the rows asked for. */
const gint64 *td_lazy_request_get_keys (const TdLazyRequest *request, guint *n_out);

/* @request: (transfer full). @values: (nullable) (transfer none): one for each key, NULL for a row that
 * is gone; NULL where they could not be read (the page is asked for again when it is next looked at).
 * An answer to a request of an earlier snapshot is let go. */
void td_lazy_list_answer (TdLazyList *self, TdLazyRequest *request, GPtrArray *values);
/* Lets a request go that nobody can answer any more. */
void td_lazy_request_free (TdLazyRequest *request);

/* Position of the row with that key, or G_MAXUINT. Goes through the keys. */
guint td_lazy_list_find (TdLazyList *self, gint64 key);
/* The key of a row, without its item being made; 0 behind the last. */
gint64 td_lazy_list_get_key (TdLazyList *self, guint position);

G_END_DECLS
