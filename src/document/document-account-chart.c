/* The charts of the account, each with its figures: use by month, expected against used, exceptions by rule. */
#include "document-account-private.h"

#include "document-i18n.h"
#include "document-table.h"

#include "draw-chart.h"

#include <string.h>

#define MOST_MONTHS 24
#define MONTHS_HEIGHT_MM 42

typedef struct
{
  TdChart *chart;
  TdFonts *fonts;
} Painting;

static void
painting_free (gpointer data)
{
  Painting *painting = data;

  td_chart_free (painting->chart);
  td_fonts_unref (painting->fonts);
  g_free (painting);
}

static void
draw_painting (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  const Painting *painting = data;
  TdPaintOptions options = { .palette = TD_PALETTE_PRINT, .chosen = -1 };

  options.font_map = td_fonts_get_map (painting->fonts);
  options.family = TD_FONTS_FAMILY;
  cairo_translate (cr, x, y);
  cairo_scale (cr, TD_POINTS_PER_MM, TD_POINTS_PER_MM);
  td_chart_paint (painting->chart, cr, &options);
}

/* With a heading and a sentence, the three on one page. */
static void
add_chart (TdFlow *flow, const char *title, const char *says, TdChartShape shape, const GPtrArray *groups)
{
  guint first = td_flow_count (flow);
  Painting *painting = g_new0 (Painting, 1);

  td_flow_add_heading (flow, 2, title);
  td_flow_add_paragraph (flow, says, &td_style_small);
  painting->chart = td_chart_new (shape, groups, td_flow_get_width (flow) / TD_POINTS_PER_MM, MONTHS_HEIGHT_MM);
  painting->fonts = td_fonts_ref (td_flow_get_fonts (flow));
  td_flow_add (flow, painting->chart->height * TD_POINTS_PER_MM, draw_painting, painting, painting_free);
  td_flow_keep_from (flow, first);
  td_flow_add_space (flow, 4);
}

static char *
make_litres (gint64 ml)
{
  return ml >= 0 ? g_strdup_printf ("%.3f", (double) ml / 1000) : g_strdup (TD_ACCOUNT_NONE);
}

static char *
make_short_litres (gint64 ml)
{
  return ml >= 0 ? g_strdup_printf ("%.1f", (double) ml / 1000) : NULL;
}

/* What was used of what was expected, as far as that is known. */
static char *
make_share (gint64 used_ml, gint64 unexpected_ml, gint64 expected_ml)
{
  if (expected_ml <= 0)
    return g_strdup (TD_ACCOUNT_NONE);
  return g_strdup_printf ("%.0f", 100.0 * (double) (used_ml - unexpected_ml) / (double) expected_ml);
}

/* ---- use by month ---- */

/* The months of one product, oldest first. (element-type TdAuditGroup) */
static GPtrArray *
list_months (const TdAudit *audit, const char *product)
{
  const GPtrArray *all = audit->groups[TD_AUDIT_MONTHS];
  GPtrArray *months = g_ptr_array_new ();

  for (guint i = 0; i < all->len; i++)
    if (strcmp (((const TdAuditGroup *) g_ptr_array_index (all, i))->product, product) == 0)
      g_ptr_array_add (months, g_ptr_array_index (all, i));
  if (months->len > MOST_MONTHS)
    g_ptr_array_remove_range (months, 0, months->len - MOST_MONTHS);
  return months;
}

static void
add_month_chart (TdFlow *flow, const char *title, const GPtrArray *months)
{
  g_autoptr (GPtrArray) groups = g_ptr_array_new_with_free_func ((GDestroyNotify) td_chart_group_free);

  for (guint i = 0; i < months->len; i++)
    {
      const TdAuditGroup *month = g_ptr_array_index (months, i);

      g_ptr_array_add (groups, td_chart_group_new (month->key, (double) month->used_ml,
                                                   make_short_litres (month->used_ml),
                                                   (double) MAX (month->expected_ml, 0),
                                                   make_short_litres (month->expected_ml)));
    }
  add_chart (flow, title, _ ("Litres of concentrate. Filled bars were used, hollow bars expected."), TD_CHART_COLUMNS,
             groups);
}

static void
add_month_figures (TdFlow *flow, const GPtrArray *months)
{
  const TdColumn columns[] = {
    { _ ("Month"), PANGO_ALIGN_LEFT, 0, TRUE },       { _ ("Mixes"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Used, L"), PANGO_ALIGN_RIGHT, 0, TRUE },    { _ ("Expected, L"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Of that, %"), PANGO_ALIGN_RIGHT, 0, TRUE }, { _ ("Water, L"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);

  for (guint i = 0; i < months->len; i++)
    {
      const TdAuditGroup *month = g_ptr_array_index (months, i);
      g_autofree char *uses = g_strdup_printf ("%" G_GINT64_FORMAT, month->uses);
      g_autofree char *used = make_litres (month->used_ml);
      g_autofree char *expected = make_litres (month->expected_ml);
      g_autofree char *share = make_share (month->used_ml, month->unexpected_ml, month->expected_ml);
      g_autofree char *water = make_litres (month->water_ml);

      td_table_add (table, month->key, uses, used, expected, share, water);
    }
  td_flow_add_table (flow, table);
}

void
td_account_paint_months (TdFlow *flow, const TdAudit *audit)
{
  for (guint i = 0; i < audit->products->len; i++)
    {
      const TdAuditRow *row = &g_array_index (audit->products, TdAuditRow, i);
      g_autoptr (GPtrArray) months = list_months (audit, row->account.product);
      g_autofree char *title = g_strdup_printf (_ ("Use by month: %s"), row->name);

      if (months->len == 0)
        continue;
      add_month_chart (flow, title, months);
      add_month_figures (flow, months);
    }
}

/* ---- expected against used ---- */

void
td_account_paint_expected (TdFlow *flow, const TdAudit *audit)
{
  const TdColumn columns[] = {
    { _ ("Product"), PANGO_ALIGN_LEFT, 0, FALSE },      { _ ("Used, expectation known, L"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Expected, L"), PANGO_ALIGN_RIGHT, 0, TRUE },  { _ ("Of that, %"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Not known, L"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);
  g_autoptr (GPtrArray) groups = g_ptr_array_new_with_free_func ((GDestroyNotify) td_chart_group_free);

  for (guint i = 0; i < audit->products->len; i++)
    {
      const TdAuditRow *row = &g_array_index (audit->products, TdAuditRow, i);
      const TdStockAccount *a = &row->account;
      gint64 compared = a->used_ml - a->unexpected_ml;
      g_autofree char *used = make_litres (compared);
      g_autofree char *expected = make_litres (a->expected_ml);
      g_autofree char *share = make_share (a->used_ml, a->unexpected_ml, a->expected_ml);
      g_autofree char *unknown = make_litres (a->unexpected_ml);

      if (a->expected_ml < 0)
        continue;
      g_ptr_array_add (groups, td_chart_group_new (row->name, (double) compared, make_short_litres (compared),
                                                   (double) a->expected_ml, make_short_litres (a->expected_ml)));
      td_table_add (table, row->name, used, expected, share, unknown);
    }
  if (groups->len == 0)
    return;
  add_chart (flow, _ ("Expected against used"),
             _ ("Litres of concentrate. Filled bars were used, hollow bars expected: what the lines that a mix went "
                "through ask for at the label's strength."),
             TD_CHART_ROWS, groups);
  td_flow_add_table (flow, table);
}

/* ---- exceptions by rule ---- */

void
td_account_paint_rules (TdFlow *flow, const TdAudit *audit)
{
  const TdColumn columns[] = {
    { _ ("What"), PANGO_ALIGN_LEFT, 0, FALSE },
    { _ ("Code"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Exceptions"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Not looked into"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);
  g_autoptr (GPtrArray) groups = g_ptr_array_new_with_free_func ((GDestroyNotify) td_chart_group_free);

  for (guint id = 0; id < TD_N_EXCEPTIONS; id++)
    {
      const TdExceptionInfo *info = td_exception_get_info (id);
      guint open = 0;
      guint n = td_audit_count_exceptions (audit, id, &open);
      char *all = g_strdup_printf ("%u", n);
      char *rest = g_strdup_printf ("%u", open);

      if (n > 0)
        td_table_add (table, _ (info->text), info->code, all, rest);
      if (n > 0)
        g_ptr_array_add (groups, td_chart_group_new (_ (info->text), n, g_steal_pointer (&all), open,
                                                     g_steal_pointer (&rest)));
      g_free (all);
      g_free (rest);
    }
  if (groups->len == 0)
    return;
  add_chart (flow, _ ("Exceptions by rule"),
             _ ("Filled bars are all of the period, hollow bars those that nobody has looked into."), TD_CHART_ROWS,
             groups);
  td_flow_add_table (flow, table);
}
