/* draw-hours.h: the hours of a plan as bars: who does what when, and what waits for whom.
 *
 * Scene first: rows of bars in millimetres, without cairo; then paint.  A row for each circuit (what is
 * done to all of it), each static line, each technician; minutes run to the right.  The kind of work is
 * told by a letter, a pattern and a colour: contact and hold are full bars, everything else is a frame,
 * waiting a thin line.  A mark under a circuit shows when its chemical goes in, and says how long before
 * opening that has to be at the latest. */
#pragma once

#include "core-plan-outlook.h"
#include "draw-paint.h"

G_BEGIN_DECLS

typedef struct
{
  TdPlanWork work;
  double x, width; /* mm */
} TdHoursBar;

typedef struct
{
  char *label; /* "Circuit 1", a faucet's title, "Technician 1" */
  char *note;  /* of a circuit: "60 min before opening"; else NULL */
  double y;    /* mm, its upper edge */
  double in_x; /* of a circuit: where its chemical goes in, mm; else negative */
  TdHoursBar *bars;
  guint n_bars;
} TdHoursRow;

typedef struct _TdHours
{
  double width, height; /* mm */
  double row_mm;        /* height of a row */
  double left, right;   /* mm, where the first minute begins and the last one ends */
  gint64 total_s;
  TdHoursRow *rows;
  guint n_rows;
  char *legend;   /* the letters with their words, below the rows */
  guint tick_min; /* minutes from one mark of the scale to the next */
} TdHours;

#define TD_HOURS_ROW_MM 6.0
#define TD_HOURS_MIN_WIDTH_MM 80.0

/* @width_mm: what there is, at least TD_HOURS_MIN_WIDTH_MM.  Returns: (transfer full). */
TdHours *td_hours_new (const TdSite *site, const TdPlanOutlook *outlook, double width_mm);
void td_hours_free (TdHours *hours);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdHours, td_hours_free)

/* Paints with the upper left corner at the origin; one unit of @cr is a millimetre.  Of @options palette,
 * fonts and ground count.  @options: (nullable). */
void td_hours_paint (const TdHours *hours, cairo_t *cr, const TdPaintOptions *options);

/* The letter of a kind of work, as the bars carry it, and its word. */
const char *td_hours_get_letter (TdPlanWork work);

G_END_DECLS
