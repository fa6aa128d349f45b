/* model-listing.h: a row of a table of texts, for lists whose columns differ from one time to the next. */
#pragma once

#include "model-row.h"

G_BEGIN_DECLS

#define TD_LISTING_CELLS 10

/* Filled by td_listing_set() before anybody else sees it, immutable afterwards; reference counted. */
typedef struct
{
  gint64 key; /* of its row: unique in a table, the same from one reading to the next */
  char *cells[TD_LISTING_CELLS]; /* NULL where a cell is empty */
  gboolean marked; /* asks for attention */
} TdListing;

TdListing *td_listing_new (gint64 key, gboolean marked);
/* @text: (transfer full) (nullable). */
void td_listing_set (TdListing *listing, guint cell, char *text);
TdListing *td_listing_ref (TdListing *listing);
void td_listing_unref (TdListing *listing);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdListing, td_listing_unref)

#define TD_TYPE_LISTING_ITEM (td_listing_item_get_type ())
/* Properties: "marked" (boolean); "summary" (string): its cells one after the other. */
G_DECLARE_FINAL_TYPE (TdListingItem, td_listing_item, TD, LISTING_ITEM, TdRow)

/* Returns: (transfer none): never NULL. */
const char *td_listing_item_get_cell (TdListingItem *self, guint cell);

G_END_DECLS
