/* desk-listing-view.h: a table of texts whose rows are made when they are looked at. */
#pragma once

#include "model-listing.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

typedef struct
{
  const char *title; /* translated */
  int chars;         /* width in digits, 0: shares what is left */
  gboolean figure;   /* stands right, with figures of one width */
} TdListingColumn;

#define TD_TYPE_LISTING_VIEW (td_listing_view_get_type ())
/* Signal "row-activated" (int64: the row's key): by click, Return, or a screen reader. */
G_DECLARE_FINAL_TYPE (TdListingView, td_listing_view, TD, LISTING_VIEW, GtkWidget)

GtkWidget *td_listing_view_new (void);
/* @label: its accessible name. @columns: at most TD_LISTING_CELLS; cell i of a row stands in column i. */
void td_listing_view_set_columns (TdListingView *self, const char *label, const TdListingColumn *columns, guint n_columns);
/* @rows: (transfer full) (element-type TdListing). @nothing: what stands there
 * where there are none, translated. */
void td_listing_view_set_rows (TdListingView *self, GPtrArray *rows, const char *nothing);
guint td_listing_view_get_length (TdListingView *self);

G_END_DECLS
