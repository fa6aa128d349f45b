/* Stock, ledger and traces as rows. */
#include "desk-chem-rows.h"

#include "desk-format.h"
#include "desk-i18n.h"

#include <string.h>

#define MS_PER_MINUTE G_GINT64_CONSTANT (60000)

static const TdListingColumn stock_columns[] = {
  { N_ ("Place"), 16, FALSE }, { N_ ("Product"), 0, FALSE },       { N_ ("Lot"), 14, FALSE },
  { N_ ("Use by"), 13, FALSE }, { N_ ("There"), 11, TRUE },        { N_ ("Remark"), 0, FALSE },
};
static const TdListingColumn ledger_columns[] = {
  { N_ ("When"), 18, FALSE },   { N_ ("What"), 10, FALSE },  { N_ ("Where"), 0, FALSE }, { N_ ("Product"), 0, FALSE },
  { N_ ("Lot"), 12, FALSE },    { N_ ("Amount"), 11, TRUE }, { N_ ("By"), 10, FALSE },   { N_ ("Reason"), 0, FALSE },
};
static const TdListingColumn trace_columns[] = {
  { N_ ("When, UTC"), 18, FALSE }, { N_ ("What"), 10, FALSE }, { N_ ("Lot"), 13, FALSE },   { N_ ("Product"), 0, FALSE },
  { N_ ("Amount"), 10, TRUE }, { N_ ("Where"), 0, FALSE },  { N_ ("Line"), 6, FALSE },   { N_ ("Report"), 14, FALSE },
};

#define COLUMNS(name)                                               \
  const TdListingColumn *td_chem_get_##name##_columns (guint *n_out) \
  {                                                                 \
    static TdListingColumn kept[G_N_ELEMENTS (name##_columns)];     \
                                                                    \
    *n_out = G_N_ELEMENTS (name##_columns);                         \
    for (guint i = 0; i < *n_out; i++)                              \
      {                                                             \
        kept[i] = name##_columns[i];                                \
        kept[i].title = _ (name##_columns[i].title);                \
      }                                                             \
    return kept;                                                    \
  }

COLUMNS (stock)
COLUMNS (ledger)
COLUMNS (trace)

static const char *
get_place_name (const TdChemLoaded *loaded, const char *id)
{
  for (guint i = 0; i < loaded->places->len; i++)
    {
      const TdStockPlace *place = g_ptr_array_index (loaded->places, i);

      if (g_strcmp0 (place->id, id) == 0)
        return place->name;
    }
  return id;
}

/* "2 Mar 2026 14:07" on clocks that stand @offset_min east of UTC. */
static char *
make_time (gint64 utc_ms, int offset_min)
{
  gint64 minutes = (utc_ms + offset_min * MS_PER_MINUTE) / MS_PER_MINUTE;
  g_autofree char *date = td_format_date (NULL, (int) (minutes / 1440));

  return g_strdup_printf ("%s %02d:%02d", date, (int) (minutes % 1440 / 60), (int) (minutes % 60));
}

static char *
make_remark (const TdLot *lot, gint64 ml, TdDate today)
{
  if (ml < 0)
    return g_strdup (_ ("Less than nothing: a receipt or a count is missing"));
  if (lot != NULL && lot->recalled)
    return g_strdup (_ ("Recalled: do not use"));
  if (lot != NULL && lot->expiry != TD_DATE_NONE && lot->expiry < today)
    return g_strdup (_ ("Expired"));
  return NULL;
}

GPtrArray *
td_chem_make_stock (const TdChemLoaded *loaded, const char *place)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_listing_unref);

  for (guint i = 0; i < loaded->cells->len; i++)
    {
      const TdStockCell *cell = &g_array_index (loaded->cells, TdStockCell, i);
      const TdProduct *product = td_masters_find_product (loaded->masters, cell->product);
      const TdLot *lot = td_masters_find_lot (loaded->masters, cell->lot);
      char *remark;
      TdListing *listing;

      if ((place != NULL && strcmp (place, cell->place) != 0) || cell->ml == 0)
        continue;
      remark = make_remark (lot, cell->ml, loaded->audit->to);
      listing = td_listing_new (i, remark != NULL);
      td_listing_set (listing, 0, g_strdup (get_place_name (loaded, cell->place)));
      td_listing_set (listing, 1, g_strdup (product != NULL ? product->name : cell->product));
      td_listing_set (listing, 2, g_strdup (lot != NULL ? lot->code : cell->lot));
      td_listing_set (listing, 3, lot != NULL ? td_format_date (NULL, lot->expiry) : NULL);
      td_listing_set (listing, 4, td_format_volume (NULL, (double) cell->ml));
      td_listing_set (listing, 5, remark);
      g_ptr_array_add (rows, listing);
    }
  return rows;
}

static const char *
say_kind (const char *kind)
{
  static const struct
  {
    const char *kind;
    const char *text;
  } words[] = { { "receipt", N_ ("Received") }, { "transfer", N_ ("Moved") }, { "use", N_ ("Used") },
                { "disposal", N_ ("Disposed") }, { "count", N_ ("Counted") } };

  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    if (strcmp (words[i].kind, kind) == 0)
      return _ (words[i].text);
  return kind;
}

/* "Store → Van 1" */
static char *
make_way (const char *from, const char *to)
{
  return to != NULL ? g_strdup_printf ("%s \xe2\x86\x92 %s", from, to) : g_strdup (from);
}

static TdListing *
make_ledger_row (const TdChemLoaded *loaded, const TdMovementRow *move, guint key)
{
  const TdTechnician *person = td_masters_find_technician (loaded->masters, move->person);
  TdListing *listing = td_listing_new (key, move->adjusted_ml != 0);

  td_listing_set (listing, 0, make_time (move->happened.utc_ms, move->happened.offset_min));
  td_listing_set (listing, 1, g_strdup (say_kind (td_move_kind_to_text (move->kind))));
  td_listing_set (listing, 2, make_way (move->place_name, move->to_name));
  td_listing_set (listing, 3, g_strdup (move->product_name));
  td_listing_set (listing, 4, g_strdup (move->lot_code));
  td_listing_set (listing, 5, td_format_volume (NULL, (double) move->amount_ml));
  td_listing_set (listing, 6, g_strdup (person != NULL ? person->name : move->person));
  if (move->adjusted_ml != 0)
    {
      g_autofree char *off = td_format_volume (NULL, (double) move->adjusted_ml);

      td_listing_set (listing, 7, g_strdup_printf (_ ("%s against the book: %s"), off,
                                                   move->reason != NULL ? move->reason : ""));
    }
  else
    td_listing_set (listing, 7, g_strdup (move->reason));
  return listing;
}

GPtrArray *
td_chem_make_ledger (const TdChemLoaded *loaded, const char *place)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_listing_unref);

  for (guint i = loaded->movements->len; i > 0; i--)
    {
      const TdMovementRow *move = g_ptr_array_index (loaded->movements, i - 1);

      if (place == NULL || strcmp (place, move->place) == 0 || g_strcmp0 (place, move->to) == 0)
        g_ptr_array_add (rows, make_ledger_row (loaded, move, i - 1));
    }
  return rows;
}

GPtrArray *
td_chem_make_trace (const GPtrArray *rows)
{
  GPtrArray *listings = g_ptr_array_new_with_free_func ((GDestroyNotify) td_listing_unref);

  for (guint i = 0; i < rows->len; i++)
    {
      const TdTraceRow *row = g_ptr_array_index (rows, i);
      TdListing *listing = td_listing_new (i, FALSE);

      td_listing_set (listing, 0, make_time (row->at_ms, 0));
      td_listing_set (listing, 1, g_strdup (say_kind (row->kind)));
      td_listing_set (listing, 2, g_strdup (row->lot_code != NULL ? row->lot_code : row->lot));
      td_listing_set (listing, 3, g_strdup (row->product));
      td_listing_set (listing, 4, td_format_volume (NULL, (double) row->amount_ml));
      td_listing_set (listing, 5, row->has_visit ? g_strdup (row->site) : make_way (row->place, row->to));
      td_listing_set (listing, 6, g_strdup (row->line));
      td_listing_set (listing, 7, row->has_visit && row->number == NULL ? g_strdup (_ ("open")) : g_strdup (row->number));
      g_ptr_array_add (listings, listing);
    }
  return listings;
}

/* ---- a moment ---- */

static char *
make_clock (gint64 utc_ms, TdZone *zone)
{
  return make_time (utc_ms, zone != NULL ? td_zone_get_offset (zone, utc_ms) : 0);
}

static void
say_contents (GString *text, const TdMomentRow *moment, const TdChemLoaded *loaded, const char *line, TdZone *zone)
{
  const TdProduct *product = td_masters_find_product (loaded->masters, moment->product);
  const TdLot *lot = td_masters_find_lot (loaded->masters, moment->lot);
  g_autofree char *in = make_clock (moment->in_ms, zone);
  g_autofree char *out = moment->out_ms != 0 ? make_clock (moment->out_ms, zone) : NULL;

  if (!moment->held)
    {
      g_string_append_printf (text, _ ("No chemical stood in %s then."), line);
      return;
    }
  g_string_append_printf (text, _ ("In %s stood %s, lot %s, since %s"), line,
                          product != NULL ? product->name : _ ("a mix that was taken back"),
                          lot != NULL ? lot->code : "\xe2\x80\x93", in);
  if (out != NULL)
    g_string_append_printf (text, _ (", until %s."), out);
  else
    g_string_append (text, _ (", and it still stands there."));
}

char *
td_chem_say_moment (const TdMomentRow *moment, const TdChemLoaded *loaded, const char *line, TdZone *zone)
{
  GString *text = g_string_new (NULL);
  g_autofree char *since = NULL;

  if (!moment->has_visit)
    {
      g_string_append (text, _ ("No visit to this site had begun by then."));
      return g_string_free (text, FALSE);
    }
  say_contents (text, moment, loaded, line, zone);
  since = moment->tagged ? make_clock (moment->from_ms, zone) : NULL;
  g_string_append_c (text, ' ');
  if (!moment->tagged)
    g_string_append (text, _ ("No tag held its outlet."));
  else if (moment->lifted)
    g_string_append_printf (text, _ ("Tag %s was lifted: %s stood at the outlet since %s."), moment->tag, moment->person,
                            since);
  else
    g_string_append_printf (text, _ ("Tag %s of %s held its outlet since %s."), moment->tag, moment->person, since);
  if (moment->number != NULL)
    g_string_append_printf (text, _ (" Report %s."), moment->number);
  return g_string_free (text, FALSE);
}
