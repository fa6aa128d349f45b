#include "model-listing.h"

TdListing *
td_listing_new (gint64 key, gboolean marked)
{
  TdListing *listing = g_atomic_rc_box_new0 (TdListing);

  listing->key = key;
  listing->marked = marked;
  return listing;
}

void
td_listing_set (TdListing *listing, guint cell, char *text)
{
  g_return_if_fail (listing != NULL && cell < TD_LISTING_CELLS);
  g_free (listing->cells[cell]);
  listing->cells[cell] = text;
}

TdListing *
td_listing_ref (TdListing *listing)
{
  return g_atomic_rc_box_acquire (listing);
}

static void
clear_listing (gpointer data)
{
  TdListing *listing = data;

  for (guint i = 0; i < TD_LISTING_CELLS; i++)
    g_free (listing->cells[i]);
}

void
td_listing_unref (TdListing *listing)
{
  g_atomic_rc_box_release_full (listing, clear_listing);
}

struct _TdListingItem
{
  TdRow parent;
};

G_DEFINE_FINAL_TYPE (TdListingItem, td_listing_item, TD_TYPE_ROW)

enum
{
  PROP_0,
  PROP_MARKED,
  PROP_SUMMARY,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static char *
make_summary (const TdListing *listing)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < TD_LISTING_CELLS; i++)
    if (listing->cells[i] != NULL && *listing->cells[i] != '\0')
      g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", listing->cells[i]);
  return g_string_free (text, FALSE);
}

static void
td_listing_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  const TdListing *listing = td_row_get_value (TD_ROW (object));

  if (listing == NULL)
    g_param_value_set_default (pspec, value);
  else if (id == PROP_MARKED)
    g_value_set_boolean (value, listing->marked);
  else if (id == PROP_SUMMARY)
    g_value_take_string (value, make_summary (listing));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

const char *
td_listing_item_get_cell (TdListingItem *self, guint cell)
{
  const TdListing *listing;

  g_return_val_if_fail (TD_IS_LISTING_ITEM (self) && cell < TD_LISTING_CELLS, "");
  listing = td_row_get_value (TD_ROW (self));
  return listing != NULL && listing->cells[cell] != NULL ? listing->cells[cell] : "";
}

static void
td_listing_item_class_init (TdListingItemClass *klass)
{
  TdRowClass *item_class = TD_ROW_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  G_OBJECT_CLASS (klass)->get_property = td_listing_item_get_property;
  item_class->ref_value = (gpointer (*) (gpointer)) td_listing_ref;
  item_class->unref_value = (void (*) (gpointer)) td_listing_unref;
  properties[PROP_MARKED] = g_param_spec_boolean ("marked", NULL, NULL, FALSE, flags);
  properties[PROP_SUMMARY] = g_param_spec_string ("summary", NULL, NULL, NULL, flags);
  td_row_class_install (item_class, properties, N_PROPS);
}

static void
td_listing_item_init (TdListingItem *self)
{
}
