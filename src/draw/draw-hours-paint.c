#include "draw-hours.h"

#include "draw-i18n.h"
#include "draw-text.h"

/* A bar narrower than this carries no letter. */
#define LETTER_MM 2.4
#define TEXT_MM 2.6
#define FRAME_MM 0.25

typedef struct
{
  cairo_t *cr;
  const TdHours *hours;
  const TdPalette *palette;
  TdTextPen *text;
} Pen;

static void
write_text (const Pen *pen, const char *text, double x, double y, double width, TdAlign align)
{
  TdBox box = { x, y, width, pen->hours->row_mm };

  td_colour_set (&pen->palette->ink, pen->cr);
  td_text_pen_write (pen->text, text, &box, TEXT_MM, align, FALSE, FALSE);
}

/* Minutes over the rows, with a faint line down through all of them. */
static void
paint_scale (const Pen *pen)
{
  const TdHours *hours = pen->hours;

  for (gint64 minute = 0; minute * 60 <= hours->total_s; minute += hours->tick_min)
    {
      double x = hours->left + (hours->right - hours->left) * (double) (minute * 60) / (double) MAX (hours->total_s, 1);
      g_autofree char *text = g_strdup_printf ("%" G_GINT64_FORMAT, minute);

      td_colour_set (&pen->palette->faint, pen->cr);
      cairo_set_line_width (pen->cr, 0.1);
      cairo_move_to (pen->cr, x, hours->row_mm);
      cairo_line_to (pen->cr, x, hours->height);
      cairo_stroke (pen->cr);
      write_text (pen, text, x - 6, 0, 12, TD_ALIGN_CENTRE);
    }
  write_text (pen, _ ("minutes"), 0, 0, hours->left - 8, TD_ALIGN_LEFT);
}

static void
paint_bar (const Pen *pen, const TdHoursRow *row, const TdHoursBar *bar)
{
  gboolean full = bar->work == TD_PLAN_WORK_CONTACT || bar->work == TD_PLAN_WORK_HOLD;
  double top = row->y + 0.8, height = pen->hours->row_mm - 1.6;

  if (bar->work == TD_PLAN_WORK_WALK || bar->work == TD_PLAN_WORK_WAIT)
    {
      /* Going is a slanting line, waiting a level one. */
      td_colour_set (&pen->palette->faint, pen->cr);
      cairo_set_line_width (pen->cr, 0.4);
      cairo_move_to (pen->cr, bar->x, bar->work == TD_PLAN_WORK_WALK ? top + height : top + height / 2);
      cairo_line_to (pen->cr, bar->x + bar->width, bar->work == TD_PLAN_WORK_WALK ? top : top + height / 2);
      cairo_stroke (pen->cr);
      return;
    }
  cairo_rectangle (pen->cr, bar->x, top, bar->width, height);
  td_colour_set (full ? &pen->palette->still : &pen->palette->panel, pen->cr);
  cairo_fill_preserve (pen->cr);
  td_colour_set (&pen->palette->edge, pen->cr);
  cairo_set_line_width (pen->cr, FRAME_MM);
  cairo_stroke (pen->cr);
  if (bar->width < LETTER_MM)
    return;
  td_colour_set (full ? &pen->palette->ground : &pen->palette->ink, pen->cr);
  td_text_pen_write (pen->text, td_hours_get_letter (bar->work), &(TdBox){ bar->x, row->y, bar->width, pen->hours->row_mm },
                     TEXT_MM, TD_ALIGN_CENTRE, TRUE, FALSE);
}

static void
paint_row (const Pen *pen, const TdHoursRow *row)
{
  const TdHours *hours = pen->hours;

  write_text (pen, row->label, 0, row->y, hours->left - 1.0, TD_ALIGN_LEFT);
  for (guint i = 0; i < row->n_bars; i++)
    paint_bar (pen, row, &row->bars[i]);
  if (row->note != NULL)
    write_text (pen, row->note, hours->right + 1.0, row->y, hours->width - hours->right - 1.0, TD_ALIGN_LEFT);
  if (row->in_x < 0.0)
    return;
  td_colour_set (&pen->palette->in, pen->cr);
  cairo_move_to (pen->cr, row->in_x, row->y + hours->row_mm - 1.6);
  cairo_rel_line_to (pen->cr, 1.0, 1.5);
  cairo_rel_line_to (pen->cr, -2.0, 0.0);
  cairo_close_path (pen->cr);
  cairo_fill (pen->cr);
}

void
td_hours_paint (const TdHours *hours, cairo_t *cr, const TdPaintOptions *options)
{
  const TdPaintOptions standard = TD_PAINT_OPTIONS_INIT;
  Pen pen = { .cr = cr, .hours = hours };
  g_autoptr (TdTextPen) text = NULL;

  g_return_if_fail (hours != NULL && cr != NULL);
  if (options == NULL)
    options = &standard;
  text = td_text_pen_new (cr, options->font_map, options->family);
  pen.text = text;
  pen.palette = td_palette_get (options->palette);
  if (options->ground)
    {
      td_colour_set (&pen.palette->ground, cr);
      cairo_rectangle (cr, 0, 0, hours->width, hours->height);
      cairo_fill (cr);
    }
  paint_scale (&pen);
  for (guint i = 0; i < hours->n_rows; i++)
    paint_row (&pen, &hours->rows[i]);
  write_text (&pen, hours->legend, 0, hours->height - hours->row_mm - 1.0, hours->width, TD_ALIGN_LEFT);
}
