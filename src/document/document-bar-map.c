/* The map of a bar's lines: a table to find a keg by its faucet, and the drawing. */
#include "document-bar-private.h"
#include "document-canvas.h"
#include "document-i18n.h"
#include "document-table.h"

#include "draw-paint.h"
#include "draw-run-sheet.h"
#include "draw-scene.h"

static const TdStyle title_style = { 20, TRUE, 0, PANGO_ALIGN_LEFT };
static const TdStyle place_style = { 11, FALSE, 0.3, PANGO_ALIGN_LEFT };

static void
paint_head (TdFlow *flow, const TdSite *site, const TdLanguage *language)
{
  TdCanvas *canvas = td_canvas_new (flow);
  const double width = td_flow_get_width (flow);
  g_autofree char *title = g_strdup_printf ("%s: %s", site->name != NULL ? site->name : "\xe2\x80\x93",
                                            td_language_say (language, N_ ("which faucet pours from which keg")));
  double y = td_canvas_text (canvas, 0, 0, width, title, &title_style);

  if (site->address != NULL)
    y += td_canvas_text (canvas, 0, y + 2, width, site->address, &place_style) + 2;
  td_flow_add_canvas (flow, canvas, y);
  td_flow_add_space (flow, 10);
}

/* What a person at the keg has to know of the line. (transfer full) */
static char *
make_fittings (const TdLine *line, const TdLanguage *language)
{
  GString *text = g_string_new (NULL);

  if (line->fob)
    g_string_append (text, td_language_say (language, N_ ("FOB")));
  if (line->beer_pump != TD_BEER_PUMP_NONE)
    g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", td_language_say (language, N_ ("beer pump")));
  if (line->check_valve)
    g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", td_language_say (language, N_ ("check valve")));
  if (line->coupler != NULL)
    g_string_append_printf (text, "%s%s %s", text->len > 0 ? ", " : "", td_language_say (language, N_ ("coupler")),
                            line->coupler);
  return g_string_free (text, FALSE);
}

static void
add_outlet (TdTable *table, const TdSite *site, guint i, const TdLanguage *language)
{
  const TdOutlet *outlet = &site->outlets[i];
  const TdLine *line = &site->lines[outlet->line];
  g_autofree char *fittings = make_fittings (line, language);
  g_autofree char *number = outlet->number != 0 ? g_strdup_printf ("%d", outlet->number) : g_strdup ("\xe2\x80\x93");
  g_autofree char *name = outlet->side < 0 ? g_strdup (line->id)
                                           : g_strdup_printf ("%s (%s %s)", outlet->id,
                                                              td_language_say (language, N_ ("from")), line->id);

  td_table_add (table, number, site->towers[outlet->tower].name, line->product, site->coolers[outlet->cooler].name,
                name, fittings);
}

static void
paint_table (TdFlow *flow, const TdSite *site, const TdLanguage *language)
{
  const TdColumn columns[] = {
    { td_language_say (language, N_ ("Faucet")), PANGO_ALIGN_RIGHT, 0, TRUE },
    { td_language_say (language, N_ ("Tower")), PANGO_ALIGN_LEFT, 0, FALSE },
    { td_language_say (language, N_ ("Beer")), PANGO_ALIGN_LEFT, 0, FALSE },
    { td_language_say (language, N_ ("Keg stands in")), PANGO_ALIGN_LEFT, 0, FALSE },
    { td_language_say (language, N_ ("Line")), PANGO_ALIGN_LEFT, 0, TRUE },
    { td_language_say (language, N_ ("On the line")), PANGO_ALIGN_LEFT, 0, FALSE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 11);

  for (guint tower = 0; tower < site->n_towers; tower++)
    for (guint i = 0; i < site->n_outlets; i++)
      if (site->outlets[i].tower == tower)
        add_outlet (table, site, i, language);
  td_flow_add_table (flow, table);
  td_flow_add_space (flow, 14);
}

typedef struct
{
  TdScene *scene;
  TdFonts *fonts;
  guint row;
} Row;

static void
free_row (gpointer data)
{
  Row *row = data;

  td_scene_free (row->scene);
  td_fonts_unref (row->fonts);
  g_free (row);
}

static void
draw_row (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  const Row *row = data;
  TdPaintOptions options = { .palette = TD_PALETTE_PRINT, .chosen = -1 };

  (void) width;
  options.font_map = td_fonts_get_map (row->fonts);
  options.family = TD_FONTS_FAMILY;
  cairo_translate (cr, x, y);
  cairo_scale (cr, TD_POINTS_PER_MM, TD_POINTS_PER_MM);
  td_scene_paint_row (row->scene, (int) row->row, cr, &options);
}

static TdScene *
make_scene (TdFlow *flow, const TdSite *site)
{
  g_autoptr (TdRunSheet) sheet = td_run_sheet_new ((TdSite *) site);
  TdSceneOptions options = { .width_mm = td_flow_get_width (flow) / TD_POINTS_PER_MM };

  return td_scene_new (sheet, &options);
}

static void
paint_drawing (TdFlow *flow, const TdSite *site)
{
  g_autoptr (TdScene) first = make_scene (flow, site);

  for (guint i = 0; i < first->n_rows; i++)
    {
      Row *row = g_new0 (Row, 1);

      row->scene = make_scene (flow, site);
      row->fonts = td_fonts_ref (td_flow_get_fonts (flow));
      row->row = i;
      td_flow_add (flow, row->scene->rows[i].height * TD_POINTS_PER_MM, draw_row, row, free_row);
      td_flow_add_space (flow, 12);
    }
}

void
td_bar_paint_map (TdFlow *flow, const TdSite *site, const TdLanguage *language)
{
  paint_head (flow, site, language);
  paint_table (flow, site, language);
  if (site->n_outlets > 0)
    paint_drawing (flow, site);
}
