#include "document-report-paint.h"

#include "document-i18n.h"

#include "draw-paint.h"

/* The scene of the visit, shared by the strips of its rows. */
typedef struct
{
  gatomicrefcount ref_count;
  TdScene *scene;
  TdFonts *fonts;
} Shared;

typedef struct
{
  Shared *shared;
  int row;
} Row;

static void
shared_unref (Shared *shared)
{
  if (!g_atomic_ref_count_dec (&shared->ref_count))
    return;
  td_scene_free (shared->scene);
  td_fonts_unref (shared->fonts);
  g_free (shared);
}

static void
row_free (gpointer data)
{
  shared_unref (((Row *)data)->shared);
  g_free (data);
}

static void
draw_row (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  const Row *row = data;
  TdPaintOptions options = { .palette = TD_PALETTE_PRINT, .chosen = -1 };

  options.font_map = td_fonts_get_map (row->shared->fonts);
  options.family = TD_FONTS_FAMILY;
  cairo_translate (cr, x, y);
  cairo_scale (cr, TD_POINTS_PER_MM, TD_POINTS_PER_MM);
  td_scene_paint_row (row->shared->scene, row->row, cr, &options);
}

static void
add_row (TdFlow *flow, Shared *shared, int row)
{
  Row *copy = g_new0 (Row, 1);
  double height = row < 0 ? shared->scene->legend.height : shared->scene->rows[row].height;

  g_atomic_ref_count_inc (&shared->ref_count);
  copy->shared = shared;
  copy->row = row;
  td_flow_add (flow, height * TD_POINTS_PER_MM, draw_row, copy, row_free);
  td_flow_add_space (flow, 12);
}

void
td_report_paint_drawing (TdFlow *flow, const TdReport *report)
{
  g_autoptr (TdRunSheet) sheet
      = td_run_sheet_new_visit (report->visit, report->draft ? TD_SHOW_NOW : TD_SHOW_AS_RUN);
  TdSceneOptions options
      = { .width_mm = td_flow_get_width (flow) / TD_POINTS_PER_MM, .legend = TRUE };
  Shared *shared = g_new0 (Shared, 1);

  g_atomic_ref_count_init (&shared->ref_count);
  shared->scene = td_scene_new (sheet, &options);
  shared->fonts = td_fonts_ref (td_flow_get_fonts (flow));
  td_flow_add_heading (
      flow, 1, report->draft ? _ ("The lines, as they stand") : _ ("The lines, as they were run"));
  td_flow_add_space (flow, 5);
  for (guint row = 0; row < shared->scene->n_rows; row++)
    add_row (flow, shared, (int)row);
  if (shared->scene->legend.height > 0)
    add_row (flow, shared, -1);
  shared_unref (shared);
}
