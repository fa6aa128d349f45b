#include "desk-chem-rows.h"

#include "desk-format.h"
#include "desk-i18n.h"

#include "core-money.h"

#include <string.h>

#define MOST_BARS 12

static const char *const by_names[TD_N_CHEM_BY] = {
  N_ ("By product"), N_ ("By lot"), N_ ("By place"), N_ ("By site"), N_ ("By technician"), N_ ("By method"),
  N_ ("By month"),
};

/* Titles are translated when they are asked for. */
static const TdListingColumn account_columns[] = {
  { N_ ("Product"), 0, FALSE },  { N_ ("Opening"), 9, TRUE },  { N_ ("Received"), 9, TRUE },
  { N_ ("Used"), 9, TRUE },      { N_ ("Disposed"), 9, TRUE }, { N_ ("Adjusted"), 9, TRUE },
  { N_ ("Closing"), 9, TRUE },   { N_ ("Counted"), 9, TRUE },  { N_ ("Expected"), 9, TRUE },
};
static const TdListingColumn group_columns[] = {
  { N_ ("What"), 0, FALSE },      { N_ ("Product"), 0, FALSE }, { N_ ("Mixes"), 7, TRUE },
  { N_ ("Lines"), 7, TRUE },      { N_ ("Used"), 10, TRUE },    { N_ ("Expected"), 10, TRUE },
  { N_ ("Of that, %"), 10, TRUE }, { N_ ("Water"), 10, TRUE },
};

/* Copies with translated titles, made once. */
static const TdListingColumn *
translate (const TdListingColumn *columns, guint n, TdListingColumn *kept)
{
  for (guint i = 0; i < n; i++)
    {
      kept[i] = columns[i];
      kept[i].title = _ (columns[i].title);
    }
  return kept;
}

const char *
td_chem_by_get_name (TdChemBy by)
{
  g_return_val_if_fail ((guint) by < TD_N_CHEM_BY, NULL);
  return _ (by_names[by]);
}

const TdListingColumn *
td_chem_get_columns (TdChemBy by, guint *n_out)
{
  static TdListingColumn account[G_N_ELEMENTS (account_columns)], groups[G_N_ELEMENTS (group_columns)];

  *n_out = by <= TD_CHEM_BY_PLACE ? G_N_ELEMENTS (account_columns) : G_N_ELEMENTS (group_columns);
  return by <= TD_CHEM_BY_PLACE ? translate (account_columns, *n_out, account)
                                : translate (group_columns, *n_out, groups);
}

static char *
make_volume (gint64 ml)
{
  return td_format_volume (NULL, (double) ml);
}

static char *
make_known_volume (gint64 ml)
{
  return ml >= 0 ? make_volume (ml) : NULL;
}

static const GArray *
get_accounts (const TdAudit *audit, TdChemBy by)
{
  return by == TD_CHEM_BY_PRODUCT ? audit->products : by == TD_CHEM_BY_LOT ? audit->lots : audit->places;
}

static const GPtrArray *
get_groups (const TdAudit *audit, TdChemBy by)
{
  static const TdAuditGroupKind kinds[TD_N_CHEM_BY] = {
    [TD_CHEM_BY_SITE] = TD_AUDIT_SITES,
    [TD_CHEM_BY_TECHNICIAN] = TD_AUDIT_TECHNICIANS,
    [TD_CHEM_BY_METHOD] = TD_AUDIT_METHODS,
    [TD_CHEM_BY_MONTH] = TD_AUDIT_MONTHS,
  };

  return audit->groups[kinds[by]];
}

static TdListing *
make_account_row (const TdAuditRow *row, guint key)
{
  const TdStockAccount *a = &row->account;
  TdListing *listing = td_listing_new (key, a->closing_ml < 0);

  td_listing_set (listing, 0, td_format_pair (NULL, row->name, row->detail));
  td_listing_set (listing, 1, make_volume (a->opening_ml));
  td_listing_set (listing, 2, make_volume (a->received_ml));
  td_listing_set (listing, 3, make_volume (a->used_ml));
  td_listing_set (listing, 4, make_volume (a->disposed_ml));
  td_listing_set (listing, 5, make_volume (a->adjusted_ml + a->moved_ml));
  td_listing_set (listing, 6, make_volume (a->closing_ml));
  td_listing_set (listing, 7, make_known_volume (a->counted_ml));
  td_listing_set (listing, 8, make_known_volume (a->expected_ml));
  return listing;
}

static const char *
get_product_name (const TdChemLoaded *loaded, const char *id)
{
  const TdProduct *product = td_masters_find_product (loaded->masters, id);

  return product != NULL ? product->name : id;
}

static const char *
say_method (const char *method)
{
  static const struct
  {
    const char *method;
    const char *text;
  } words[] = { { "circulating", N_ ("Circulating") },
                { "static", N_ ("Static") },
                { "both", N_ ("Circulating and static") },
                { "none", N_ ("Sent into no line") } };

  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    if (strcmp (words[i].method, method) == 0)
      return _ (words[i].text);
  return method;
}

static TdListing *
make_group_row (const TdChemLoaded *loaded, const TdAuditGroup *group, TdChemBy by, guint key)
{
  TdListing *listing = td_listing_new (key, FALSE);
  gint64 compared = group->used_ml - group->unexpected_ml;

  td_listing_set (listing, 0, g_strdup (by == TD_CHEM_BY_METHOD ? say_method (group->name) : group->name));
  td_listing_set (listing, 1, g_strdup (get_product_name (loaded, group->product)));
  td_listing_set (listing, 2, g_strdup_printf ("%" G_GINT64_FORMAT, group->uses));
  td_listing_set (listing, 3, g_strdup_printf ("%" G_GINT64_FORMAT, group->lines));
  td_listing_set (listing, 4, make_volume (group->used_ml));
  td_listing_set (listing, 5, make_known_volume (group->expected_ml));
  if (group->expected_ml > 0)
    td_listing_set (listing, 6, g_strdup_printf ("%.0f", 100.0 * (double) compared / (double) group->expected_ml));
  td_listing_set (listing, 7, make_volume (group->water_ml));
  return listing;
}

GPtrArray *
td_chem_make_rows (const TdChemLoaded *loaded, TdChemBy by)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_listing_unref);

  if (by <= TD_CHEM_BY_PLACE)
    {
      const GArray *accounts = get_accounts (loaded->audit, by);

      for (guint i = 0; i < accounts->len; i++)
        g_ptr_array_add (rows, make_account_row (&g_array_index (accounts, TdAuditRow, i), i));
      return rows;
    }
  for (guint i = 0; i < get_groups (loaded->audit, by)->len; i++)
    g_ptr_array_add (rows, make_group_row (loaded, g_ptr_array_index (get_groups (loaded->audit, by), i), by, i));
  return rows;
}

/* ---- bars ---- */

static TdChartGroup *
make_bar (const char *label, gint64 used_ml, gint64 expected_ml)
{
  return td_chart_group_new (label, (double) used_ml, make_volume (used_ml), (double) MAX (expected_ml, 0),
                             make_known_volume (expected_ml));
}

/* The product of which most was used. */
static const char *
find_most_used (const TdAudit *audit)
{
  const TdAuditRow *most = NULL;

  for (guint i = 0; i < audit->products->len; i++)
    {
      const TdAuditRow *row = &g_array_index (audit->products, TdAuditRow, i);

      if (most == NULL || row->account.used_ml > most->account.used_ml)
        most = row;
    }
  return most != NULL ? most->account.product : NULL;
}

GPtrArray *
td_chem_make_bars (const TdChemLoaded *loaded, TdChemBy by, TdChartShape *shape_out)
{
  GPtrArray *bars = g_ptr_array_new_with_free_func ((GDestroyNotify) td_chart_group_free);
  const char *most = find_most_used (loaded->audit);

  *shape_out = by == TD_CHEM_BY_MONTH ? TD_CHART_COLUMNS : TD_CHART_ROWS;
  if (by <= TD_CHEM_BY_PLACE)
    {
      const GArray *accounts = get_accounts (loaded->audit, by);

      for (guint i = 0; i < MIN (accounts->len, MOST_BARS); i++)
        {
          const TdAuditRow *row = &g_array_index (accounts, TdAuditRow, i);
          g_autofree char *label = td_format_pair (NULL, row->name, row->detail);

          g_ptr_array_add (bars, make_bar (label, row->account.used_ml, row->account.expected_ml));
        }
      return bars;
    }
  for (guint i = 0; i < get_groups (loaded->audit, by)->len && bars->len < MOST_BARS; i++)
    {
      const TdAuditGroup *group = g_ptr_array_index (get_groups (loaded->audit, by), i);

      if (g_strcmp0 (group->product, most) == 0)
        g_ptr_array_add (bars, make_bar (by == TD_CHEM_BY_METHOD ? say_method (group->name) : group->name,
                                         group->used_ml, group->expected_ml));
    }
  return bars;
}

/* ---- exceptions ---- */

static const TdListingColumn exception_columns[] = {
  { N_ ("Date"), 13, FALSE },   { N_ ("What"), 0, FALSE }, { N_ ("Site"), 17, FALSE },
  { N_ ("Report"), 14, FALSE }, { N_ ("In figures"), 0, FALSE },
};

const TdListingColumn *
td_chem_get_exception_columns (guint *n_out)
{
  static TdListingColumn kept[G_N_ELEMENTS (exception_columns)];

  *n_out = G_N_ELEMENTS (exception_columns);
  return translate (exception_columns, *n_out, kept);
}

GPtrArray *
td_chem_make_exceptions (const TdChemLoaded *loaded, TdExceptionId only, gboolean open)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func ((GDestroyNotify) td_listing_unref);

  for (guint i = 0; i < loaded->audit->exceptions->len; i++)
    {
      const TdAuditException *exception = g_ptr_array_index (loaded->audit->exceptions, i);
      TdListing *listing;

      if ((only != TD_N_EXCEPTIONS && exception->id != only) || (open && exception->acknowledged))
        continue;
      listing = td_listing_new (i, !exception->acknowledged);
      td_listing_set (listing, 0, td_format_date (NULL, exception->date));
      td_listing_set (listing, 1, g_strdup (_ (td_exception_get_info (exception->id)->text)));
      td_listing_set (listing, 2, g_strdup (exception->site));
      td_listing_set (listing, 3, g_strdup (exception->number));
      td_listing_set (listing, 4, g_strdup (exception->text));
      g_ptr_array_add (rows, listing);
    }
  return rows;
}

GPtrArray *
td_chem_make_rule_bars (const TdChemLoaded *loaded, GArray **ids_out)
{
  GPtrArray *bars = g_ptr_array_new_with_free_func ((GDestroyNotify) td_chart_group_free);

  *ids_out = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint id = 0; id < TD_N_EXCEPTIONS; id++)
    {
      guint open = 0;
      guint n = td_audit_count_exceptions (loaded->audit, id, &open);

      if (n == 0)
        continue;
      g_array_append_val (*ids_out, id);
      g_ptr_array_add (bars, td_chart_group_new (_ (td_exception_get_info (id)->text), n, g_strdup_printf ("%u", n), open,
                                                 g_strdup_printf ("%u", open)));
    }
  return bars;
}
