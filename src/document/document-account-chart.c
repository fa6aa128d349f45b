/* Use by month against what was expected, one chart a product, with the figures beneath. */
#include "document-account-pages.h"

#include "document-canvas.h"
#include "document-i18n.h"
#include "document-table.h"

#include <string.h>

#define CHART_HEIGHT 96.0
#define BAR_ROOM 74.0
#define MOST_MONTHS 24
/* Grey of what was used; what was expected is an outline, so that the two differ without colour. */
#define USED_GREY 0.35

static const TdStyle small = { .size = 6.4 };
static const TdStyle label = { .size = 6.4, .grey = 0.3 };

/* The months of one product, oldest first. (element-type TdAuditGroup) */
static GPtrArray *
list_months (const TdAudit *audit, const char *product)
{
  GPtrArray *all = audit->groups[TD_AUDIT_MONTHS];
  GPtrArray *months = g_ptr_array_new ();

  for (guint i = 0; i < all->len; i++)
    if (strcmp (((const TdAuditGroup *) g_ptr_array_index (all, i))->product, product) == 0)
      g_ptr_array_add (months, g_ptr_array_index (all, i));
  if (months->len > MOST_MONTHS)
    g_ptr_array_remove_range (months, 0, months->len - MOST_MONTHS);
  return months;
}

static double
find_most (const GPtrArray *months)
{
  gint64 most = 1;

  for (guint i = 0; i < months->len; i++)
    {
      const TdAuditGroup *month = g_ptr_array_index (months, i);

      most = MAX (most, MAX (month->used_ml, month->expected_ml));
    }
  return (double) most;
}

static void
paint_month (TdCanvas *canvas, const TdAuditGroup *month, double x, double room, double scale)
{
  double width = MIN (room * 0.38, 26);
  double used = (double) month->used_ml * scale;
  double expected = month->expected_ml >= 0 ? (double) month->expected_ml * scale : 0;
  g_autofree char *figure = g_strdup_printf ("%.1f", (double) month->used_ml / 1000);

  td_canvas_fill (canvas, x, 10 + BAR_ROOM - used, width, used, USED_GREY);
  if (month->expected_ml >= 0)
    td_canvas_frame (canvas, x + width + 1, 10 + BAR_ROOM - expected, width, MAX (expected, 0.8), 0.8);
  td_canvas_text (canvas, x, 10 + BAR_ROOM - used - 8, -1, figure, &small);
  td_canvas_text (canvas, x, 12 + BAR_ROOM, -1, month->key, &label);
}

static void
paint_chart (TdFlow *flow, const GPtrArray *months)
{
  const double width = td_flow_get_width (flow);
  double room = MIN (width / (double) months->len, 90);
  double scale = (BAR_ROOM - 4) / find_most (months);
  TdCanvas *canvas = td_canvas_new (flow);

  for (guint i = 0; i < months->len; i++)
    paint_month (canvas, g_ptr_array_index (months, i), i * room + 4, room, scale);
  td_canvas_rule (canvas, 0, 10 + BAR_ROOM, width, 10 + BAR_ROOM, 0.6, 0);
  td_flow_add_canvas (flow, canvas, CHART_HEIGHT)->keep = TRUE;
}

static char *
make_litres (gint64 ml)
{
  return ml >= 0 ? g_strdup_printf ("%.3f", (double) ml / 1000) : g_strdup ("\xe2\x80\x93");
}

static void
paint_figures (TdFlow *flow, const GPtrArray *months)
{
  const TdColumn columns[] = {
    { _ ("Month"), PANGO_ALIGN_LEFT, 0, TRUE },        { _ ("Mixes"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Used, L"), PANGO_ALIGN_RIGHT, 0, TRUE },     { _ ("Expected, L"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Of that, %"), PANGO_ALIGN_RIGHT, 0, TRUE },  { _ ("Water, L"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);

  for (guint i = 0; i < months->len; i++)
    {
      const TdAuditGroup *month = g_ptr_array_index (months, i);
      gint64 compared = month->used_ml - month->unexpected_ml;
      g_autofree char *uses = g_strdup_printf ("%" G_GINT64_FORMAT, month->uses);
      g_autofree char *used = make_litres (month->used_ml);
      g_autofree char *expected = make_litres (month->expected_ml);
      g_autofree char *share = month->expected_ml > 0 ? g_strdup_printf ("%.0f", 100.0 * (double) compared
                                                                                     / (double) month->expected_ml)
                                                      : g_strdup ("\xe2\x80\x93");
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

      if (months->len == 0)
        continue;
      td_flow_add_heading (flow, 2, row->name);
      td_flow_add_paragraph (flow, _ ("Litres of concentrate a month: filled bars were used, outlined bars expected."),
                             &td_style_small);
      paint_chart (flow, months);
      paint_figures (flow, months);
    }
}
